"""Whatever is clicked and typed in all windows, in any order: nothing raises, nothing is unsaid.

An exception in a slot, a warning and a log record fail a test of themselves (pytest-qt, conftest).
Seeds are fixed, so a run that fails can be gone through again.
"""

import random
from collections.abc import Iterable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QLineEdit,
    QSlider,
    QTabBar,
    QTableWidget,
    QWidget,
)
from pytestqt.qtbot import QtBot

from fitplanner.documents.preferences import Theme
from fitplanner.quantities import UnitSystem
from fitplanner.ui.dialogs import Unsaved
from fitplanner.ui.fields import QuantityEntry
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.panels.linkage import LinkageTable
from fitplanner.ui.spring.window import SpringButton
from tests.gui.shell import answers, open_window, press, retype, wait_for_plan

TEXTS = (
    "0", "12", "-3", "75 kg", "2 1/4 in", "x", "", "1e400", "999999", "30,5", "<b>", "850", "4.4",
    "½", "  ", "NaN", "[*] & co",
)  # fmt: skip
KEYS = (Qt.Key.Key_Return, Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Tab, Qt.Key.Key_Escape)
# What leaves the program: to a printer, a file, a chooser of files.
LEAVES = ("print", "export", "pdf", "import", "copy picture", "save", "where")
STEPS = 160


def windows(window: MainWindow) -> list[QWidget]:
    """The windows that stand now; none of those that only wait, and no list that dropped down."""
    stand = (one for one in QApplication.topLevelWidgets() if one.isVisible())
    return [one for one in stand if one is window or one.windowTitle()]


def open_one(window: MainWindow, chance: random.Random) -> None:
    """Open one of the windows beside the main one."""
    side = window.side
    which = chance.randrange(9)
    commands = ("figures", "machines", "edit_machine", "new_machine", "compare", "fleet", "people")
    if which < len(commands):
        press(window, commands[which])
        return
    press(window, "figures")
    assert side.figures is not None
    side.figures.show_section("rear")
    if which == len(commands):
        table = side.figures.findChildren(LinkageTable)[0]
        chance.choice([table.open_drawing, table.open_readings])()
    else:
        chance.choice(side.figures.findChildren(SpringButton)).open_window()


def usable(root: QWidget, kind: type[QWidget]) -> list[QWidget]:
    """Widgets of a kind that a hand can reach and that stay in the program."""
    return [
        one
        for one in root.findChildren(kind)
        if one.isVisible() and one.isEnabled() and not _leaves(one)
    ]


def _leaves(one: QWidget) -> bool:
    if not isinstance(one, QAbstractButton):
        return False
    menu = getattr(one, "menu", lambda: None)()
    words = one.text().replace("&", "").lower()
    return menu is not None or any(words.startswith(each) for each in LEAVES)


def act(root: QWidget, chance: random.Random) -> None:
    """Do one thing in a window."""
    kinds = (
        QLineEdit, QLineEdit, QComboBox, QAbstractButton, QTableWidget, QAbstractItemView,
        QTabBar, QSlider, QWidget,
    )  # fmt: skip
    targets = usable(root, chance.choice(kinds))
    if not targets:
        return
    target = chance.choice(targets)
    if isinstance(target, QLineEdit):
        if not target.isReadOnly():
            retype(target, chance.choice(TEXTS))
            QTest.keyClick(target, chance.choice(KEYS[:3]))
    elif isinstance(target, QTableWidget) and target.rowCount() and target.columnCount():
        row = chance.randrange(target.rowCount())
        target.setCurrentCell(row, chance.randrange(target.columnCount()))
        item = target.currentItem()
        if item is not None:
            item.setText(chance.choice(TEXTS))
    elif isinstance(target, QAbstractButton):
        QTest.mouseClick(target, Qt.MouseButton.LeftButton)
    elif isinstance(target, QTabBar) and target.count():
        target.setCurrentIndex(chance.randrange(target.count()))
    elif isinstance(target, QAbstractItemView):
        place = QPoint(chance.randrange(1 + target.width()), chance.randrange(1 + target.height()))
        QTest.mouseClick(target.viewport(), Qt.MouseButton.LeftButton, pos=place)
    else:
        QTest.keyClick(target, chance.choice(KEYS))


def unsaid(entries: Iterable[QuantityEntry], window: MainWindow) -> list[str]:
    """Fields of the job that show another value than it holds and say nothing of it."""
    job = window.session.job
    return [
        f"{one.words}: {one.text()}"
        for one in entries
        if not one.message() and one.value() != one._read_job(job)
    ]


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_random_use_of_all_windows(qtbot: QtBot, seed: int) -> None:
    chance = random.Random(seed)
    window = open_window(qtbot)
    answers(window).unsaved = Unsaved.DISCARD
    begun = [window.session.job]
    # A new job is begun by a button as well; steps go back to where it began.
    window.files.replaced.connect(lambda: begun.append(window.session.job))
    for _ in range(STEPS):
        act(chance.choice(windows(window)), chance)
        match chance.randrange(16):
            case 0 | 1:
                open_one(window, chance)
            case 2:
                press(window, "undo")
            case 3:
                press(window, "redo")
            case 4:
                window.set_system(chance.choice(list(UnitSystem)))
            case 5:
                window.set_theme(chance.choice([Theme.LIGHT, Theme.DARK]))
            case 6:
                window.pictures.states.setCurrentIndex(
                    chance.randrange(window.pictures.states.count())
                )
            case 7:
                beside = [one for one in windows(window) if one is not window]
                if beside:
                    chance.choice(beside).close()
        qtbot.wait(0)
    wait_for_plan(qtbot, window)
    assert window.answer is not None and window.answer.fault is None
    panels = window.inputs.findChildren(QuantityEntry)
    assert unsaid(panels, window) == []
    refused = [one for one in panels if one.message() and one.isVisibleTo(window)]
    assert not refused or window.headline.refused_text()
    # Everything can be taken back, whoever did it.
    for _ in range(4 * STEPS):
        if not window.commands["undo"].isEnabled():
            break
        press(window, "undo")
    assert window.session.job == begun[-1]
    window.set_theme(Theme.LIGHT)
