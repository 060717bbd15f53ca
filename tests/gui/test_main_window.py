"""The window: typing changes the plan, steps can be taken back, files keep what was entered."""

import gc
import threading
import weakref
from pathlib import Path

import pytest
from PySide6.QtCore import (
    QCoreApplication,
    QEvent,
    QPoint,
    QStandardPaths,
    Qt,
    QTimer,
)
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMessageBox, QWidget
from pytestqt.qtbot import QtBot

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Theme
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import STATE_NAMES, Plan
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.quantities import UnitSystem
from fitplanner.store.preferences import load_preferences
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.faults import Faults
from fitplanner.ui.theme import colours_of
from fitplanner.ui.views import Halves
from tests import factories
from tests.gui.shell import entry, library, open_window, press, retype, wait_for_plan

# The window.


def test_the_pages_have_room_in_a_low_window_and_the_users_shares_are_kept(qtbot: QtBot) -> None:
    window = open_window(qtbot, wait=False)
    window.resize(1280, 800)
    qtbot.waitUntil(lambda: window.height() == 800)
    assert window.pages.currentWidget().height() >= 250
    assert window.pictures.side.height() >= 200
    assert window.halves.kept() == ""
    handle = window.halves.handle(1)
    middle = handle.rect().center()
    QTest.mousePress(handle, Qt.MouseButton.LeftButton, pos=middle)
    QTest.mouseMove(handle, middle + QPoint(0, 60))
    QTest.mouseRelease(handle, Qt.MouseButton.LeftButton, pos=middle)
    wanted = window.halves.sizes()
    window.close()
    kept = load_preferences()[0].window_split
    assert kept and kept == window.halves.kept()
    again = Halves(QWidget(), QWidget(), kept)
    qtbot.addWidget(again)
    again.resize(window.halves.size())
    again.show()
    assert again.sizes() == pytest.approx(wanted, abs=2)
    assert again.kept() == kept


def test_the_first_job_is_saved_among_the_users_documents(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    documents = tmp_path / "papers"
    documents.mkdir()

    def usual(kind: QStandardPaths.StandardLocation) -> str:
        return str(documents if kind.name == "DocumentsLocation" else tmp_path)

    monkeypatch.setattr(QStandardPaths, "writableLocation", usual)
    window = open_window(qtbot, wait=False)
    proposed: list[Path] = []
    monkeypatch.setattr(window.dialogs, "choose_save", lambda path: proposed.append(path))
    press(window, "save_as")
    window.files.folder = str(tmp_path / "gone")
    press(window, "save_as")
    window.files.folder = str(tmp_path)
    press(window, "save_as")
    documents.rmdir()
    window.files.folder = ""
    press(window, "save_as")
    assert [path.parent for path in proposed] == [documents, documents, tmp_path, tmp_path]


def test_the_picked_tab_is_plain_without_its_colour(qtbot: QtBot) -> None:
    window = open_window(qtbot, wait=False)
    tabs = window.pictures.states
    for theme in (Theme.LIGHT, Theme.DARK):
        window.set_theme(theme)
        accent = colours_of(window.palette()).colour("accent")
        image = tabs.grab().toImage()
        for row in range(tabs.count()):
            tab = tabs.tabRect(row)
            below = image.pixelColor(tab.center().x(), tab.bottom() - 1)
            assert (below == accent) == (row == tabs.currentIndex())
    places = [tabs.tabRect(row) for row in range(tabs.count())]
    tabs.setCurrentIndex(0)
    # No tab moves when another one is picked.
    assert [tabs.tabRect(row).width() for row in range(tabs.count())] == [
        place.width() for place in places
    ]


# Typing and planning.


def test_typed_mass_changes_the_plan(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    before = window.plan
    assert before is not None
    retype(entry(window, "rider", "mass_kg"), "95")
    wait_for_plan(qtbot, window)
    assert window.session.job.rider.mass_kg == 95.0
    after = window.plan
    assert after is not None and after == evaluate(window.session.job)
    # A heavier rider sinks deeper into the stock springs.
    stock = (before.states.stock.rider_up, after.states.stock.rider_up)
    assert stock[1].rear_compression_mm > stock[0].rear_compression_mm


def test_a_run_of_typing_is_one_step_of_undo(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    first = window.session.job
    retype(entry(window, "rider", "mass_kg"), "95")
    retype(entry(window, "rider", "boot_sole_mm"), "40")
    press(window, "undo")
    assert window.session.job.rider.boot_sole_mm == first.rider.boot_sole_mm
    assert window.session.job.rider.mass_kg == 95.0
    press(window, "undo")
    assert window.session.job == first
    assert entry(window, "rider", "mass_kg").text() == "75"
    assert not window.commands["undo"].isEnabled()
    press(window, "redo")
    press(window, "redo")
    assert window.session.job.rider.mass_kg == 95.0
    assert window.session.job.rider.boot_sole_mm == 40.0
    wait_for_plan(qtbot, window)
    assert window.plan == evaluate(window.session.job)


def test_the_undo_key_in_a_field_takes_the_job_back(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    first = window.session.job
    field = entry(window, "rider", "mass_kg")
    retype(field, "95")
    QTest.keyClick(field.line_edit, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.session.job == first
    assert field.text() == "75"


def test_typing_back_to_the_start_leaves_no_step(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    field = entry(window, "rider", "gear_mass_kg")
    retype(field, "9")
    retype(field, "8")
    assert not window.commands["undo"].isEnabled()
    assert not window.isWindowModified()


def test_bad_text_stays_and_so_does_the_plan(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    plan, job = window.plan, window.session.job
    field = entry(window, "rider", "mass_kg")
    retype(field, "7o")
    QTest.keyClick(field.line_edit, Qt.Key.Key_Return)
    assert field.text() == "7o" and field.message()
    assert window.session.job == job and window.plan == plan
    retype(entry(window, "rider", "boot_sole_mm"), "30")
    wait_for_plan(qtbot, window)
    assert field.text() == "7o" and window.plan == evaluate(window.session.job)


def test_what_is_missing_is_said_and_figures_are_cleared(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    retype(entry(window, "rider", "mass_kg"), "")
    wait_for_plan(qtbot, window)
    assert window.plan is None
    assert "mass" in " ".join(window.headline.texts()).lower()
    assert window.headline.isVisible() and not window.notice.isVisible()
    retype(entry(window, "rider", "mass_kg"), "75")
    wait_for_plan(qtbot, window)
    assert window.plan == evaluate(window.session.job)


def test_a_machine_that_cannot_be_built_is_told_at_the_machine(qtbot: QtBot) -> None:
    def refuse(job: Job) -> Plan:
        raise UnsolvableError("the swing-arm is too short")

    window = open_window(qtbot, planner=refuse)
    assert "too short" in window.inputs.machine.problem.text()
    assert window.plan is None


@pytest.mark.expects_log
def test_a_fault_of_the_planner_is_told_and_the_window_lives_on(qtbot: QtBot) -> None:
    def stumble(job: Job) -> Plan:
        if job.rider.mass_kg == 80.0:
            raise ZeroDivisionError("of the test")
        return evaluate(job)

    window = open_window(qtbot, planner=stumble)
    retype(entry(window, "rider", "mass_kg"), "80")
    wait_for_plan(qtbot, window)
    assert "ZeroDivisionError" in window.notice.text() and window.plan is None
    retype(entry(window, "rider", "mass_kg"), "81")
    wait_for_plan(qtbot, window)
    assert window.plan is not None


def test_late_answers_are_dropped(qtbot: QtBot) -> None:
    begun, go_on = threading.Event(), threading.Event()
    asked: list[float | None] = []

    def slow(job: Job) -> Plan:
        asked.append(job.rider.mass_kg)
        begun.set()
        assert go_on.wait(20)
        return evaluate(job)

    window = open_window(qtbot, planner=slow, wait=False)
    shown: list[float | None] = []
    window.planner.answered.connect(lambda answer: shown.append(answer.job.rider.mass_kg))
    assert begun.wait(20)
    # The window answers to keys while the first question is still being worked out.
    for text in ("81", "82", "83"):
        retype(entry(window, "rider", "mass_kg"), text)
    go_on.set()
    wait_for_plan(qtbot, window)
    assert shown == [83.0]
    assert asked == [75.0, 83.0]
    assert window.plan == evaluate(window.session.job)


def test_each_state_of_the_machine_is_drawn_when_it_is_chosen(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    assert window.plan is not None and window.pictures.state == "stopped"
    first = window.pictures.states.tabRect(0).center()
    QTest.mouseClick(window.pictures.states, Qt.MouseButton.LeftButton, pos=first)
    shown = []
    for _ in STATE_NAMES:
        shown.append(window.pictures.state)
        assert window.pictures.side.scene() is window.plan.pictures.side[shown[-1]]
        QTest.keyClick(window.pictures.states, Qt.Key.Key_Right)
    assert shown == list(STATE_NAMES)
    # Typing keeps the state that is being looked at.
    retype(entry(window, "rider", "mass_kg"), "80")
    wait_for_plan(qtbot, window)
    assert window.plan is not None
    assert window.pictures.side.scene() is window.plan.pictures.side[STATE_NAMES[-1]]


# Units, appearance, preferences.


def test_units_change_what_is_shown_and_nothing_else(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    job, plan = window.session.job, window.plan
    stature = entry(window, "rider", "stature_mm")
    window.set_system(UnitSystem.INCH)
    assert stature.text() == "66.142"
    stature.line_edit.setFocus()
    QTest.keyClick(stature.line_edit, Qt.Key.Key_Return)
    window.set_system(UnitSystem.METRIC)
    assert stature.text() == "1680"
    assert window.session.job is job and window.plan is plan
    assert not window.planner.busy and not window.commands["undo"].isEnabled()


def test_units_and_appearance_are_kept(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    window.set_system(UnitSystem.METRIC_KGF)
    window.set_theme(Theme.DARK)
    window.close()
    preferences, _ = load_preferences()
    assert preferences.unit_system is UnitSystem.METRIC_KGF
    assert preferences.theme is Theme.DARK
    assert preferences.window_geometry
    window.set_theme(Theme.LIGHT)


def test_every_key_of_a_command_is_left_to_it_by_a_field(qtbot: QtBot) -> None:
    """The cursor stands in a field most of the time; keys of the text itself never arrive."""
    window = open_window(qtbot)
    for field in (entry(window, "rider", "mass_kg").line_edit, window.inputs.title):
        field.setFocus()
        for action in window.findChildren(QAction):
            if action.parent() is not window:
                continue
            for keys in action.shortcuts():
                pressed = keys[0]
                event = QKeyEvent(
                    QEvent.Type.ShortcutOverride, pressed.key(), pressed.keyboardModifiers()
                )
                event.ignore()
                QApplication.sendEvent(field, event)
                assert not event.isAccepted(), f"{action.text()}: {keys.toString()}"


def test_the_title_names_a_machine_that_the_job_s_name_does_not(qtbot: QtBot) -> None:
    window = open_window(qtbot, factories.job(title="Two inches down"))
    machine, other = window.session.job.machine, library()["other-bike"]
    assert window.windowTitle() == f"Two inches down ({machine.name})[*]"
    window.side.machine_wanted.emit(other)
    assert window.windowTitle() == f"Two inches down ({other.name})[*]"
    retype(window.inputs.title, f"{other.name} lowered")
    assert window.windowTitle() == f"{other.name} lowered[*]"


# Life of the window.


def test_a_title_cannot_pose_as_the_unsaved_mark(qtbot: QtBot) -> None:
    window = open_window(qtbot, factories.job(title="Odd [*] <b>name</b>"))
    assert "Odd [*][*] <b>name</b>" in window.windowTitle()


def test_messages_show_marks_in_names_as_they_are(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    seen: list[tuple[str, Qt.TextFormat]] = []

    def read_and_close() -> None:
        box = QApplication.activeModalWidget()
        assert isinstance(box, QMessageBox)
        seen.append((box.text(), box.textFormat()))
        box.accept()

    QTimer.singleShot(0, read_and_close)
    Dialogs(window).tell("<img src=x>", "<b>bold</b>")
    assert seen == [("<img src=x>\n\n<b>bold</b>", Qt.TextFormat.PlainText)]


@pytest.mark.expects_log
def test_an_unexpected_exception_is_logged_and_told_once(qtbot: QtBot) -> None:
    told: list[str] = []
    faults = Faults(told.append)
    try:
        raise KeyError("of the test")
    except KeyError as error:
        faults.catch(KeyError, error, error.__traceback__)
    qtbot.waitUntil(lambda: bool(told))
    assert "KeyError" in told[0]


def test_a_closed_window_is_not_kept_alive(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    window.show_figures()
    gone = weakref.ref(window)
    window.close()
    window.deleteLater()
    del window
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    assert gone() is None
