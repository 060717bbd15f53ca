"""The window of the comparison: its columns and the pictures to one scale."""

import gc
import threading
import weakref
from collections.abc import Callable

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QLocale, QRectF, Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import STATE_NAMES, Plan
from fitplanner.quantities import UnitSystem
from fitplanner.report.compare import (
    MOST_COLUMNS,
    open_choices,
    stock_choices,
)
from fitplanner.ui.compare.pictures import alone, cameras
from fitplanner.ui.compare.window import CompareWindow
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.picture import plain_mm
from fitplanner.ui.picture.layout import arrange
from tests import factories
from tests.gui.looking import plain
from tests.gui.shell import library, open_window

BRITISH = QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom)
INCH = UnitSystem.INCH


# The window.


class Held:
    """The job that the window asks for."""

    def __init__(self, job: Job) -> None:
        self.job = job

    def __call__(self) -> Job:
        return self.job


def opened(
    qtbot: QtBot,
    job: Job | None = None,
    planner: Callable[[Job], Plan] = evaluate,
    *,
    empty: bool = True,
    named: Callable[[Choices], str] | None = None,
) -> tuple[CompareWindow, Held]:
    """The window over a job; `empty` takes away what it begins with."""
    held = Held(job or factories.job())
    window = CompareWindow(held, library(), Dialogs(None), planner=planner, named=named)  # type: ignore[arg-type]
    window.setLocale(BRITISH)
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    if empty:
        window.clear()
    return window, held


def planned(qtbot: QtBot, window: CompareWindow) -> None:
    qtbot.waitUntil(lambda: not window.shelf.busy)


def seen(window: CompareWindow) -> list[str]:
    return [label.text() for label in window.findChildren(QLabel) if label.isVisibleTo(window)]


def titles(window: CompareWindow) -> list[str]:
    return [head.texts()[0].split("  ", 1)[1] for head in window.heads()]


def test_stock_plan_and_another_machine_stand_side_by_side(qtbot: QtBot) -> None:
    job = factories.job(choices={"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0})
    window, _ = opened(qtbot, job)
    window.stock_button.click()
    window.plan_button.click()
    window.add_machine(library()["other-bike"])
    planned(qtbot, window)
    assert titles(window) == ["Stock machine", "Plan of this job", "As the planner chooses"]
    stock, plan, other = window.shelf.items
    assert stock.job.choices == stock_choices(job)
    assert plan.job == job
    assert other.job.machine.id == "other-bike" and other.job.rider == job.rider
    assert other.job.choices == open_choices(job.choices)
    texts = [plain(text) for text in window.table.texts()]
    place = texts.index("Extension limiter, fork")
    assert texts[place + 1 : place + 3] == ["–", "≠ 30.0 mm"]
    window.close_shelf()


def test_it_begins_with_the_stock_machine_and_the_plan_beside_it(qtbot: QtBot) -> None:
    window, _ = opened(qtbot, empty=False)
    planned(qtbot, window)
    assert titles(window) == ["Stock machine", "Plan of this job"]
    assert window.comparison is not None
    assert "Changes are against column 1, Stock machine." in window.comparison.notes
    assert any(text.startswith("Changes are against column 1") for text in seen(window))
    window.close_shelf()


def test_one_column_that_was_left_gets_the_stock_machine_before_it(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.add_plan()
    window.hide()
    window.show()
    planned(qtbot, window)
    assert titles(window) == ["Stock machine", "Plan of this job"]
    window.close_shelf()


def test_a_plan_taken_from_the_options_bears_their_name(qtbot: QtBot) -> None:
    window, _ = opened(qtbot, named=lambda _: "The cheapest")
    window.add_plan()
    assert titles(window) == ["Plan of this job: the cheapest"]
    planned(qtbot, window)
    window.close_shelf()


def test_plans_are_worked_out_away_from_the_window(qtbot: QtBot) -> None:
    threads: list[int] = []

    def planner(job: Job) -> Plan:
        threads.append(threading.get_ident())
        return evaluate(job)

    window, _ = opened(qtbot, planner=planner)
    window.add_plan()
    planned(qtbot, window)
    assert threads and threads[0] != threading.get_ident()
    window.close_shelf()


def test_four_are_the_most_and_none_stands_twice(qtbot: QtBot) -> None:
    window, held = opened(qtbot)
    window.add_plan()
    window.add_plan()
    assert len(window.shelf.items) == 1
    for amount in (10.0, 15.0, 20.0, 25.0):
        held.job = held.job.replace(choices=held.job.choices.replace(fork_limiter_mm=amount))
        window.add_plan()
    assert len(window.shelf.items) == MOST_COLUMNS
    assert "Four columns are the most" in window.notice()
    assert not window.plan_button.isEnabled() and not window.stock_button.isEnabled()
    window.close_shelf()


def test_columns_are_moved_and_taken_away_with_keys(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.add_stock()
    window.add_plan()
    planned(qtbot, window)
    first, last = window.heads()
    assert not first.left.isEnabled() and not last.right.isEnabled()
    QTest.keyClick(last.left, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: titles(window) == ["Plan of this job", "Stock machine"])
    QTest.keyClick(window.heads()[0].close_button, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: titles(window) == ["Stock machine"])
    QTest.keyClick(window.heads()[0].close_button, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: not window.shelf.items)
    assert window.comparison is None and not window.paper.pdf_button.isEnabled()
    window.close_shelf()


def test_cells_that_differ_are_bold_and_others_can_be_hidden(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.add_stock()
    window.add_plan()
    planned(qtbot, window)
    comparison = window.comparison
    assert comparison is not None
    rows = [each for section in comparison.sections for each in section.rows]
    differing = [cell.words for each in rows for cell in each.cells if cell.change]
    assert differing and window.table.bold_texts() == differing
    window.differing_box.click()
    assert len(window.table.texts()) == 3 * sum(each.differs for each in rows)
    window.close_shelf()


def test_units_and_rates_are_followed(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.add_stock()
    window.set_system(INCH)
    window.set_rates(Rates(hourly=60.0, currency="EUR"))
    planned(qtbot, window)
    texts = [plain(text) for text in window.table.texts()]
    assert not any(text.endswith(" mm") for text in texts)
    assert texts[texts.index("Price") + 1] == "€0"
    window.close_shelf()


def test_a_rider_who_changed_is_told_and_worked_out_again(qtbot: QtBot) -> None:
    window, held = opened(qtbot)
    window.add_plan()
    planned(qtbot, window)
    assert window.notice() == ""
    held.job = held.job.replace(rider=held.job.rider.replace(mass_kg=60.0))
    window.refresh()
    assert "have changed" in window.notice()
    window.rider_button.click()
    planned(qtbot, window)
    assert window.notice() == ""
    (item,) = window.shelf.items
    assert item.job.rider.mass_kg == 60.0 and item.plan == evaluate(held.job)
    window.close_shelf()


def test_a_column_without_a_plan_says_why(qtbot: QtBot) -> None:
    window, _ = opened(qtbot, factories.job(rider={"mass_kg": None}))
    window.add_plan()
    planned(qtbot, window)
    assert "mass" in window.heads()[0].texts()[1]
    assert window.comparison is None and not window.paper.print_button.isEnabled()
    window.close_shelf()


def test_another_job_clears_the_columns(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    window.commands["compare"].trigger()
    assert window.compare is not None and window.compare.isVisible()
    assert len(window.compare.shelf.items) == 2
    planned(qtbot, window.compare)
    window.commands["new"].trigger()
    assert window.compare.shelf.items == ()


def test_the_window_leaves_nothing_behind(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.add_stock()
    window.add_plan()
    planned(qtbot, window)
    window.close_shelf()
    gone = weakref.ref(window)
    window.close()
    window.deleteLater()
    del window
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    assert gone() is None


# Pictures.


def test_pictures_have_one_scale_and_one_ground(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.add_stock()
    window.add_machine(library()["other-bike"])
    planned(qtbot, window)
    for width in (900, 1500):
        window.resize(width, 760)
        for state in range(len(STATE_NAMES)):
            window.states.setCurrentIndex(state)
            scales = window.pictures.scales()
            assert len(scales) == 2 and scales[0] == pytest.approx(scales[1], rel=1e-9)
            assert window.pictures.grab().width() > 0
    window.close_shelf()


@pytest.mark.parametrize("sizes", [[(200, 200), (300, 200)], [(400, 260)] * 4])
def test_the_scale_is_that_of_the_tightest_picture(sizes: list[tuple[int, int]]) -> None:
    job = factories.job()
    scene = evaluate(job).pictures.side["stopped"]
    small = evaluate(job.replace(choices=stock_choices(job))).pictures.side["full_bump"]
    places = [(QRectF(0, 0, *size), alone((scene, small)[n % 2])) for n, size in enumerate(sizes)]
    font = QFont()
    found = cameras(places, plain_mm, font)
    layouts = [
        arrange(rect, scene, plain_mm, font, camera)
        for (rect, scene), camera in zip(places, found, strict=True)
    ]
    assert max(one.scale for one in layouts) == pytest.approx(min(one.scale for one in layouts))
    assert max(camera.zoom for camera in found) == pytest.approx(1.0), "no room is wasted"
    assert all(camera.zoom <= 1.0 + 1e-9 for camera in found), "nothing is cut off"
    grounds = [one.rect.bottom() - one.ground_y for one in layouts]
    assert max(grounds) == pytest.approx(min(grounds), abs=0.5)


def test_a_picture_alone_shows_no_before() -> None:
    scene = evaluate(factories.job()).pictures.side["stopped"]
    assert scene.before and len(scene.heights) == 2
    bare = alone(scene)
    assert not bare.before and bare.change is None
    (height,) = bare.heights
    assert height.value_mm == scene.heights[-1].value_mm
    assert alone(scene, measured=False).heights == ()
