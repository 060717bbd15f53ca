"""The window and its files: saving, opening, leaving, and work found again after a crash."""

from pathlib import Path

import pytest
from PySide6.QtCore import (
    QMimeData,
    QPoint,
    QPointF,
    Qt,
    QUrl,
)
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fitplanner.documents.preferences import LastJob, Preferences, Theme
from fitplanner.paths import user_data_dir
from fitplanner.store.autosave import Autosave
from fitplanner.store.files import open_job, save_job
from fitplanner.store.preferences import load_preferences
from fitplanner.store.profiles import Shelf
from fitplanner.store.shop import Shop
from fitplanner.ui.dialogs import Unsaved
from tests import factories
from tests.gui.shell import answers, entry, open_window, press, retype


def test_save_and_open_give_back_the_same_job(qtbot: QtBot, tmp_path: Path) -> None:
    window = open_window(qtbot)
    retype(entry(window, "rider", "mass_kg"), "68.25")
    assert window.isWindowModified()
    answers(window).to_save = tmp_path / "first"
    press(window, "save_as")
    saved = tmp_path / "first.fit.json"
    assert not window.isWindowModified() and "first.fit.json" in window.windowTitle()
    job = window.session.job
    bar = window.inputs.verticalScrollBar()
    bar.setValue(bar.maximum())
    press(window, "new")
    assert bar.value() == 0
    assert window.session.job.rider.mass_kg is None
    assert window.session.job.machine == job.machine
    answers(window).to_open = saved
    press(window, "open")
    assert window.session.job == job == open_job(saved)
    assert entry(window, "rider", "mass_kg").text() == "68.25"
    assert [one.path for one in window.files.recent()] == [saved]


def test_a_typed_name_never_replaces_another_job_unasked(qtbot: QtBot, tmp_path: Path) -> None:
    other = tmp_path / "other.fit.json"
    save_job(factories.job(title="Not this one"), other)
    window = open_window(qtbot)
    answers(window).to_save = tmp_path / "other"
    answers(window).replace = False
    press(window, "save_as")
    assert answers(window).asked == [str(other)]
    assert open_job(other).title == "Not this one"


@pytest.mark.parametrize("text", ["{", '{"format": "something-else"}', ""])
def test_a_damaged_file_is_told_and_the_job_stays(qtbot: QtBot, tmp_path: Path, text: str) -> None:
    window = open_window(qtbot)
    job = window.session.job
    damaged = tmp_path / "damaged.fit.json"
    damaged.write_text(text)
    window.files.open_path(damaged)
    assert len(answers(window).told) == 1 and str(damaged) in answers(window).told[0]
    assert window.session.job is job


def test_a_file_that_is_gone_is_told(qtbot: QtBot, tmp_path: Path) -> None:
    window = open_window(qtbot)
    window.files.open_path(tmp_path / "gone.fit.json")
    assert "gone.fit.json" in answers(window).told[0]


def test_leaving_unsaved_changes_is_asked(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    retype(entry(window, "rider", "mass_kg"), "80")
    job = window.session.job
    answers(window).unsaved = Unsaved.CANCEL
    press(window, "new")
    assert window.session.job is job
    assert not window.close() and window.isVisible()
    answers(window).unsaved = Unsaved.SAVE
    assert window.close()
    with Shop.open() as shop:
        assert [shop.get(row.id).job for row in shop.find()] == [job]


def test_a_file_dropped_on_the_window_is_opened(qtbot: QtBot, tmp_path: Path) -> None:
    dropped = tmp_path / "dropped.fit.json"
    save_job(factories.job(title="Dropped"), dropped)
    window = open_window(qtbot)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(dropped))])
    left, copy, none = Qt.MouseButton.LeftButton, Qt.DropAction.CopyAction, Qt.KeyboardModifier(0)
    enter = QDragEnterEvent(QPoint(5, 5), copy, data, left, none)
    QApplication.sendEvent(window, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(window, QDropEvent(QPointF(5, 5), copy, data, left, none))
    assert window.session.job.title == "Dropped"


@pytest.mark.parametrize("how", ["dropped", "opened"])
def test_a_machine_in_a_file_goes_into_the_library(qtbot: QtBot, tmp_path: Path, how: str) -> None:
    machine = factories.machine_profile(id="coming", name="Coming")
    path = tmp_path / "coming.json"
    Shelf.at("").export(machine, path)
    window = open_window(qtbot)
    retype(entry(window, "rider", "mass_kg"), "80")
    job = window.session.job
    if how == "opened":
        answers(window).to_open = path
        press(window, "open")
    else:
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(str(path))])
        copy = Qt.DropAction.CopyAction
        left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier(0)
        QApplication.sendEvent(window, QDragEnterEvent(QPoint(5, 5), copy, data, left, none))
        QApplication.sendEvent(window, QDropEvent(QPointF(5, 5), copy, data, left, none))
    # The job stays as it is, unsaved changes and all, and nobody asks about them.
    assert window.session.job is job
    assert answers(window).asked == []
    assert Shelf.at("").read().profiles["coming"] == machine
    assert "is in the library now" in answers(window).told[0]


# The next time.


def test_the_job_of_the_last_time_is_offered_and_not_forced(qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "mine.fit.json"
    save_job(factories.job(title="Mine"), path)
    first = open_window(qtbot)
    first.files.open_path(path)
    first.close()
    assert load_preferences()[0].last_job == LastJob(file=str(path))
    window = open_window(qtbot, preferences=load_preferences()[0])
    job = window.session.job
    window.arrivals.offer_last(job)
    offer = window.inputs.going_on
    assert window.session.job is job and "mine.fit.json" in offer.text()
    QTest.mouseClick(offer.button, Qt.MouseButton.LeftButton)
    assert window.session.job.title == "Mine"
    assert not offer.isVisibleTo(window)


def test_a_job_of_the_shop_is_offered_without_its_name(qtbot: QtBot) -> None:
    """Whoever is erased from the shop must not be found in the preferences."""
    first = open_window(qtbot, factories.job(title="Zilla's"))
    press(first, "save")
    first.close()
    last = load_preferences()[0].last_job
    assert last.kept and "Zilla" not in last.model_dump_json()
    window = open_window(qtbot, preferences=load_preferences()[0])
    window.arrivals.offer_last(window.session.job)
    QTest.mouseClick(window.inputs.going_on.button, Qt.MouseButton.LeftButton)
    assert window.session.job.title == "Zilla's"


def test_the_offer_goes_once_the_first_job_is_worked_on(qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "mine.fit.json"
    preferences = Preferences(theme=Theme.LIGHT, last_job=LastJob(file=str(path)))
    window = open_window(qtbot, preferences=preferences)
    window.arrivals.offer_last(window.session.job)
    offer = window.inputs.going_on
    # A file that is gone is not offered.
    assert not offer.isVisibleTo(window)
    save_job(factories.job(title="Mine"), path)
    window.arrivals.offer_last(window.session.job)
    assert offer.isVisibleTo(window)
    retype(entry(window, "rider", "mass_kg"), "80")
    assert not offer.isVisibleTo(window)
    # Ended without a job that is kept, the one before is still the last.
    answers(window).unsaved = Unsaved.DISCARD
    window.close()
    assert window.settings.preferences.last_job == LastJob(file=str(path))


def test_another_job_forgets_bad_text_and_steps(qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "next.fit.json"
    save_job(factories.job(), path)
    window = open_window(qtbot)
    retype(entry(window, "rider", "gear_mass_kg"), "nine")
    retype(entry(window, "rider", "boot_sole_mm"), "31")
    window.files.open_path(path)
    assert entry(window, "rider", "gear_mass_kg").text() == "8"
    assert not window.commands["undo"].isEnabled()


def test_unsaved_work_survives_a_crash(qtbot: QtBot, tmp_path: Path) -> None:
    job, file = factories.job(title="Half done"), tmp_path / "half.fit.json"
    with Autosave() as crashed:
        crashed.keep(job, file)
    window = open_window(qtbot)
    window.files.start_keeping()
    assert "Half done" in answers(window).asked[0] and str(file) in answers(window).asked[0]
    assert window.session.job == job and window.session.unsaved
    assert window.session.path == file


def test_unsaved_work_thrown_away_is_not_asked_again(qtbot: QtBot) -> None:
    with Autosave() as crashed:
        crashed.keep(factories.job(title="Half done"), None)
    window = open_window(qtbot)
    answers(window).recover = False
    window.files.start_keeping()
    assert window.session.job.title != "Half done"
    window.close()
    with Autosave() as later:
        assert later.recovery() is None


def test_work_is_kept_while_it_is_unsaved(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    window.files.start_keeping()
    retype(entry(window, "rider", "mass_kg"), "80")
    job = window.session.job
    window.files.keeping.keep()
    qtbot.waitUntil(lambda: any(_home().glob("autosave*.json")))
    # What a crash would leave: the slot, no longer locked.
    kept = next(_home().glob("autosave*.json"))
    copy = _home() / "crash" / "autosave.json"
    copy.parent.mkdir()
    copy.write_bytes(kept.read_bytes())
    with Autosave(copy) as after:
        recovery = after.recovery()
    assert recovery is not None and recovery.job == job
    window.close()
    assert not any(_home().glob("autosave*.json"))


def _home() -> Path:
    return user_data_dir()
