"""Windows beside the main one open where they hide little of the plan."""

import pytest
from PySide6.QtCore import QPoint, QRect, QSize
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.ui.beside import place_of
from tests.gui.editor_fixture import office
from tests.gui.shell import library, open_window, press

WIDE = QRect(0, 0, 2560, 1400)
SMALL = QRect(0, 0, 1280, 800)
LIST = QSize(900, 560)


@pytest.mark.parametrize(
    ("screen", "main", "place"),
    [
        (WIDE, QRect(0, 40, 1280, 800), QPoint(1280, 40)),
        (WIDE, QRect(1280, 40, 1280, 800), QPoint(380, 40)),
        # Too low on the screen to stand level with the main window.
        (WIDE, QRect(0, 1000, 1280, 400), QPoint(1280, 840)),
        (SMALL, SMALL, QPoint(380, 240)),
    ],
)
def test_it_stands_beside_or_else_in_the_corner(screen: QRect, main: QRect, place: QPoint) -> None:
    found = place_of(screen, main, LIST)
    assert found == place
    assert screen.contains(QRect(found, LIST))


def test_one_larger_than_the_screen_keeps_its_upper_left_corner_on_it() -> None:
    assert place_of(SMALL, SMALL, QSize(1400, 900)) == QPoint(0, 0)


def test_a_window_that_stands_stays_where_it_was_put(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    press(window, "machines")
    assert window.side.office is not None
    shown = window.side.office.list
    shown.move(3, 5)
    QTest.qWait(1)
    before = shown.pos()
    press(window, "machines")
    assert shown.pos() == before
    shown.close()
    press(window, "machines")
    assert shown.pos() == before


def test_the_list_says_that_a_machine_is_used(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    found = office(qtbot, window)
    other = library()["other-bike"]
    found.list.pick(other.id)
    found.list.use_button.click()
    assert window.session.job.machine == other
    assert found.list.says.text().startswith(f"{other.name} is the machine of this job now")
