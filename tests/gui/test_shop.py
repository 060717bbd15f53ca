"""The shop's jobs in the window: saved, found, opened, settled between two, and nothing lost."""

import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from fitplanner import paths
from fitplanner.documents.bench import MeasuredState, Place, Reading, Stage, Tick, When
from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Theme
from fitplanner.planning.evaluate import evaluate
from fitplanner.quantities import UnitSystem
from fitplanner.session.edits import replace_at
from fitplanner.store.autosave import Autosave
from fitplanner.store.files import StoreError, open_job, save_job
from fitplanner.store.shop import Query, Shop, database
from fitplanner.ui.dialogs import Dialogs, Unsaved
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.settings import Settings
from fitplanner.ui.shop import desk as desk_module
from fitplanner.ui.shop import place as place_module
from fitplanner.ui.shop.conflict import Choice, ConflictDialog
from fitplanner.ui.shop.desk import Desk, GivenUpError, open_shop
from fitplanner.ui.shop.history import HistoryDialog, Version
from fitplanner.ui.shop.model import RIDER, STAGE, WHO, JobsModel
from fitplanner.ui.shop.place import PlaceDialog
from fitplanner.ui.shop.stage import Fix
from fitplanner.ui.shop.waiting import Waiting
from fitplanner.ui.shop.window import PART, JobsWindow
from fitplanner.ui.shop.words import lines
from fitplanner.ui.widgets.figures import Figures
from tests import factories
from tests.gui.shell import answers, entry, open_window, retype, wait_for_plan

FIGURES = Figures(UnitSystem.METRIC)


@pytest.fixture(autouse=True)
def clean_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FITPLANNER_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("LOGNAME", "sanne")


def press(window: MainWindow, command: str) -> None:
    window.commands[command].trigger()


def named(name: str, **changes: Any) -> Job:
    job = factories.job(**changes)
    return job.replace(rider=job.rider.replace(name=name, phone="0100 5551"))


def kept_jobs() -> list[Job]:
    with Shop.open() as shop:
        return [shop.get(row.id).job for row in shop.find()]


def add(*jobs: Job, who: str = "Maud") -> list[str]:
    with Shop.open() as shop:
        return [shop.add(job, who).id for job in jobs]


def changed(window: MainWindow, address: tuple[str | int, ...], value: object) -> Job:
    """The job after an edit through the history, as every field makes it."""
    window.history.change(replace_at(window.session.job, address, value), "an edit")
    return window.session.job


def opened(qtbot: QtBot, key: str) -> MainWindow:
    window = open_window(qtbot, wait=False)
    assert window.counter.open(key)
    return window


def show_jobs(qtbot: QtBot, window: MainWindow) -> JobsWindow:
    press(window, "jobs")
    jobs = window.side.jobs
    assert jobs is not None
    looked(qtbot, jobs)
    return jobs


def looked(qtbot: QtBot, jobs: JobsWindow) -> None:
    """Until the list shows what was asked for last."""
    qtbot.waitUntil(lambda: not jobs.filters._rest.isActive() and not jobs.questions.busy)


def cells(jobs: JobsWindow, column: int) -> list[str]:
    model = jobs.model
    return [model.data(model.index(row, column)) for row in range(model.rowCount())]


# Saving.


def test_a_new_job_is_saved_in_the_shop_without_a_question(qtbot: QtBot) -> None:
    window = open_window(qtbot, named("Ilka", title="First"), wait=False)
    assert window.windowTitle() == "First[*]"
    press(window, "save")
    job = changed(window, ("note",), "wants it soon")
    assert window.isWindowModified()
    press(window, "save")
    assert not window.isWindowModified()
    assert window.windowTitle() == "First – in the shop[*]"
    assert kept_jobs() == [job]
    with Shop.open() as shop:
        (row,) = shop.find()
        assert (row.revision, row.who) == (2, "sanne")
    assert answers(window).asked == answers(window).told == []


def test_a_job_of_a_file_stays_one_until_it_is_taken_in(qtbot: QtBot, tmp_path: Path) -> None:
    file = tmp_path / "first.fit.json"
    save_job(factories.job(title="Filed"), file)
    window = open_window(qtbot, wait=False)
    answers(window).to_open = file
    press(window, "open")
    job = changed(window, ("note",), "changed")
    press(window, "save")
    assert open_job(file) == job
    assert not paths.shop_file().exists()
    assert window.windowTitle() == "Filed – first.fit.json[*]"
    press(window, "take_in")
    assert kept_jobs() == [job]
    assert window.windowTitle() == "Filed – in the shop[*]"
    assert window.session.path is None


def test_a_job_of_the_shop_goes_to_a_file_as_a_copy(qtbot: QtBot, tmp_path: Path) -> None:
    (key,) = add(factories.job(title="Kept"))
    window = opened(qtbot, key)
    job = changed(window, ("note",), "not saved yet")
    answers(window).to_save = tmp_path / "copy"
    press(window, "save_as")
    assert open_job(tmp_path / "copy.fit.json") == job
    assert window.session.unsaved and window.session.kept is not None
    assert window.session.path is None
    press(window, "save")
    assert kept_jobs() == [job]


def test_a_file_that_cannot_be_taken_in_is_told(qtbot: QtBot, tmp_path: Path) -> None:
    bad = tmp_path / "bad.fit.json"
    bad.write_text("{", encoding="utf-8")
    window = open_window(qtbot, wait=False)
    for path, said in ((bad, "cannot be taken in"), (tmp_path / "gone.fit.json", "gone.fit.json")):
        answers(window).to_open = path
        press(window, "take_in")
        assert said in answers(window).told.pop()
    assert not paths.shop_file().exists()


def test_the_start_and_the_end_of_a_window_touch_no_database(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    window.close()
    assert not paths.shop_file().exists()


def test_the_window_starts_without_the_database_library() -> None:
    program = (
        "import sys, fitplanner.ui.app, fitplanner.ui.unattended\n"
        "print(sorted({'sqlalchemy', 'alembic', 'psycopg'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert done.stdout.strip() == "[]", done.stderr


def test_the_users_name_stands_with_the_change(qtbot: QtBot) -> None:
    window = open_window(qtbot, wait=False)
    window.settings.change(user_name="  Jorinde ")
    press(window, "save")
    with Shop.open() as shop:
        assert shop.find()[0].who == "Jorinde"


def test_an_account_without_a_name_saves_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    def nobody() -> str:
        raise KeyError("uid not found")

    monkeypatch.setattr("getpass.getuser", nobody)
    assert Settings(kept=False).who == ""


# Refusals: nothing is lost, and the mend is said.


@pytest.fixture
def locked(monkeypatch: pytest.MonkeyPatch) -> Iterator[sqlite3.Connection]:
    """The database held by another program."""
    monkeypatch.setattr(database, "WAIT_S", 0.2)
    Shop.open().close()
    holder = sqlite3.connect(paths.shop_file(), isolation_level=None)
    holder.execute("BEGIN EXCLUSIVE")
    yield holder
    holder.close()


def test_a_locked_database_is_told_and_the_work_stays(
    qtbot: QtBot, locked: sqlite3.Connection
) -> None:
    window = open_window(qtbot, factories.job(title="Mine"), wait=False)
    job = changed(window, ("note",), "typed meanwhile")
    press(window, "save")
    (told,) = answers(window).told
    assert "Another window or program is writing" in told and str(paths.shop_file()) in told
    assert window.session.unsaved and window.session.job == job
    answers(window).unsaved = Unsaved.SAVE
    assert not window.close() and window.isVisible()
    locked.execute("ROLLBACK")
    press(window, "save")
    assert kept_jobs() == [job]


def test_a_database_that_cannot_be_read_is_said_in_the_list(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    add(named("Ilka"))
    window = open_window(qtbot, wait=False)
    jobs = show_jobs(qtbot, window)
    with monkeypatch.context() as patch:

        def refuse(shop: Shop, query: Query) -> None:
            raise StoreError("The jobs cannot be read", shop.where, "Wait a moment.")

        patch.setattr(Shop, "find", refuse)
        jobs.refresh()
        looked(qtbot, jobs)
        assert jobs.fault.isVisible() and "Wait a moment." in jobs.fault.text()
        # What was read before stays.
        assert cells(jobs, RIDER) == ["Ilka"]
    jobs.fault.button.click()
    looked(qtbot, jobs)
    assert not jobs.fault.isVisible()


def test_a_job_of_another_database_is_saved_as_a_new_one(qtbot: QtBot, tmp_path: Path) -> None:
    (key,) = add(factories.job(title="Kept"))
    window = opened(qtbot, key)
    window.desk.move(tmp_path / "other.sqlite", "")
    job = changed(window, ("note",), "changed")
    answers(window).add_missing = False
    press(window, "save")
    assert window.session.unsaved
    answers(window).add_missing = True
    press(window, "save")
    assert not window.session.unsaved
    with Shop.open(tmp_path / "other.sqlite") as other:
        assert [other.get(row.id).job for row in other.find()] == [job]


# The desk.


class Slow:
    """A database behind a slow line: each call waits for its turn."""

    def __init__(self) -> None:
        self.go = threading.Event()
        self.calls = 0
        self.closed = False

    def count(self, query: Query | None = None) -> int:
        self.calls += 1
        assert self.go.wait(20)
        return 7

    def fail(self) -> None:
        raise StoreError("The job is not saved", "far away", "Try again.")

    def close(self) -> None:
        self.closed = True


def slow_desk(slow: Any) -> Desk:
    return Desk(opener=lambda _: slow)


def notice() -> Waiting | None:
    shown = QApplication.activeModalWidget()
    return shown if isinstance(shown, Waiting) else None


def test_what_takes_long_is_said_and_the_window_lives_on(qtbot: QtBot) -> None:
    slow = Slow()
    desk = slow_desk(slow)
    seen: list[str] = []

    def look() -> None:
        shown = notice()
        if shown is None:
            seen.append("not yet")
            return
        seen.append("shown")
        assert not shown.findChildren(QPushButton), "a save cannot be given up"
        shown.close()
        QTest.keyClick(shown, Qt.Key.Key_Escape)
        assert shown.isVisible() and desk.waiting
        with pytest.raises(GivenUpError):
            desk.wait(lambda shop: shop.count(), "while another is waited for")
        timer.stop()
        slow.go.set()

    timer = QTimer()
    timer.timeout.connect(look)
    timer.start(20)
    assert desk.wait(lambda shop: shop.count(), "Saving…") == 7
    assert seen[0] == "not yet" and seen[-1] == "shown"
    assert notice() is None and not desk.waiting
    with pytest.raises(StoreError, match="far away"):
        desk.wait(lambda _: slow.fail(), "Saving…")
    desk.close()
    assert slow.closed


def test_a_quick_answer_shows_no_notice(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError("no notice was due")

    slow = Slow()
    slow.go.set()
    monkeypatch.setattr(desk_module, "Waiting", never)
    desk = slow_desk(slow)
    assert desk.wait(lambda shop: shop.count(), "…") == 7
    desk.close()


def test_reading_can_be_given_up_and_is_finished_all_the_same(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(desk_module, "NOTICE_AFTER_MS", 10)
    slow = Slow()
    desk = slow_desk(slow)

    def give_up() -> None:
        shown = notice()
        if shown is not None:
            timer.stop()
            shown.findChildren(QPushButton)[0].click()

    timer = QTimer()
    timer.timeout.connect(give_up)
    timer.start(10)
    with pytest.raises(GivenUpError):
        desk.wait(lambda shop: shop.count(), "Reading…", may_give_up=True)
    QTimer.singleShot(50, slow.go.set)
    # What was given up is done first; its end is not taken for the end of this one.
    assert desk.wait(lambda shop: shop.calls, "Reading…") == 1
    desk.close()


def test_closing_waits_for_what_was_begun(qtbot: QtBot) -> None:
    slow = Slow()
    desk = slow_desk(slow)
    window = open_window(qtbot, wait=False, desk=desk)
    asker = desk.questions(window)
    asker.ask(lambda shop: shop.count())
    qtbot.waitUntil(lambda: slow.calls == 1)
    QTimer.singleShot(30, slow.go.set)
    assert window.close()
    assert slow.closed


def test_the_newest_question_is_answered(qtbot: QtBot) -> None:
    slow = Slow()
    desk = slow_desk(slow)
    asker = desk.questions()
    told: list[object] = []
    asker.answered.connect(lambda question, reply: told.append(reply.value))
    asker.ask(lambda shop: shop.count())
    for number in range(50):
        asker.ask(lambda _, number=number: number)
    slow.go.set()
    qtbot.waitUntil(lambda: not asker.busy)
    assert told == [49]
    desk.close()


@pytest.mark.expects_log
def test_a_fault_in_a_question_is_logged_and_answered(qtbot: QtBot) -> None:
    desk = slow_desk(Slow())
    asker = desk.questions()
    with qtbot.waitSignal(asker.answered) as told:
        asker.ask(lambda _: 1 / 0)
    assert isinstance(told.args[1].error, ZeroDivisionError)
    desk.close()


def test_nothing_else_is_begun_while_a_save_is_waited_for(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = open_window(qtbot, wait=False)
    job = changed(window, ("note",), "typed")
    tried: list[object] = []

    def meanwhile() -> None:
        tried.append(window.close())
        tried.append(window.files.new())
        tried.append(window.files.save())

    real = Shop.add

    def slow_add(shop: Shop, *arguments: Any) -> Any:
        time.sleep(0.2)
        return real(shop, *arguments)

    monkeypatch.setattr(Shop, "add", slow_add)
    QTimer.singleShot(20, meanwhile)
    press(window, "save")
    assert tried == [False, False, False]
    assert window.isVisible() and window.session.job == job and not window.session.unsaved


# Two windows on one database.


def two_windows(qtbot: QtBot, job: Job) -> tuple[MainWindow, MainWindow]:
    """Both have the same job open; the first saved a change, and so did not the second."""
    (key,) = add(job)
    first, second = opened(qtbot, key), opened(qtbot, key)
    first.settings.change(user_name="Maud")
    changed(first, ("rider", "mass_kg"), 81.0)
    press(first, "save")
    changed(second, ("rider", "mass_kg"), 64.5)
    changed(second, ("note",), "mine")
    return first, second


def test_the_second_to_save_sees_both_and_may_cancel(qtbot: QtBot) -> None:
    first, second = two_windows(qtbot, named("Ilka"))
    answers(second).choices = [Choice.CANCEL]
    press(second, "save")
    assert answers(second).asked == ["conflict with Maud"]
    rows = {line.entry: line.values for line in answers(second).seen}
    assert rows == {
        "Note": ("–", "mine", "–"),
        "Rider: Body mass": ("75 kg", "64.5 kg", "81 kg"),
    }
    assert second.session.unsaved and second.session.job.rider.mass_kg == 64.5
    assert kept_jobs() == [first.session.job]


def test_mine_over_theirs_leaves_theirs_in_the_history(qtbot: QtBot) -> None:
    _, second = two_windows(qtbot, named("Ilka"))
    answers(second).choices = [Choice.MINE]
    press(second, "save")
    assert not second.session.unsaved
    with Shop.open() as shop:
        (row,) = shop.find()
        assert shop.get(row.id).job == second.session.job
        masses = [shop.version(row.id, n).rider.mass_kg for n in (1, 2, 3)]
    assert masses == [75.0, 81.0, 64.5]


def test_theirs_is_taken_and_undo_brings_mine_back(qtbot: QtBot) -> None:
    first, second = two_windows(qtbot, named("Ilka"))
    mine = second.session.job
    answers(second).choices = [Choice.THEIRS]
    press(second, "save")
    assert second.session.job == first.session.job and not second.session.unsaved
    press(second, "undo")
    assert second.session.job == mine and second.session.unsaved
    press(second, "save")
    assert kept_jobs() == [mine]
    assert len(answers(second).asked) == 1


def test_mine_as_a_new_job_stands_beside_theirs(qtbot: QtBot) -> None:
    first, second = two_windows(qtbot, named("Ilka"))
    answers(second).choices = [Choice.AS_NEW]
    press(second, "save")
    assert kept_jobs() == [second.session.job, first.session.job]
    assert not second.session.unsaved


def test_somebody_faster_again_is_asked_about_again(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = two_windows(qtbot, named("Ilka"))
    ask = answers(second).ask_conflict
    answers(second).choices = [Choice.MINE, Choice.MINE]

    def meanwhile(*told: Any) -> Choice:
        if not answers(second).asked:
            changed(first, ("rider", "mass_kg"), 90.0)
            press(first, "save")
        return ask(*told)

    monkeypatch.setattr(second.dialogs, "ask_conflict", meanwhile)
    press(second, "save")
    assert len(answers(second).asked) == 2
    assert kept_jobs() == [second.session.job]
    with Shop.open() as shop:
        assert shop.find()[0].revision == 4


def test_nothing_of_ones_own_to_save_shows_the_newer_version(qtbot: QtBot) -> None:
    (key,) = add(named("Ilka"))
    first, second = opened(qtbot, key), opened(qtbot, key)
    newer = changed(first, ("note",), "newer")
    press(first, "save")
    press(second, "save")
    assert second.session.job == newer and not second.session.unsaved
    assert answers(second).asked == []


def test_the_conflict_is_shown_in_words_and_no_key_decides_it(qtbot: QtBot) -> None:
    add(named("Ilka"))
    with Shop.open() as shop:
        base = shop.get(shop.find()[0].id)
        mine = base.job.replace(stage=Stage.AGREED)
        shop.erase_rider(str(base.rider_id), "Maud")
        theirs = shop.get(base.id)
    dialog = ConflictDialog(base, mine, theirs, FIGURES)
    qtbot.addWidget(dialog)
    dialog.show()
    assert "Maud saved this job" in dialog.head.text()
    assert "erased" in dialog.more.text()
    rows = dialog.table.texts()
    assert ["Stage", "Asked", "Agreed", "Asked"] in rows
    assert ["Rider: Name", "Ilka", "Ilka", "–"] in rows
    QTest.keyClick(dialog.table, Qt.Key.Key_Return)
    assert dialog.isVisible()
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.choice is Choice.CANCEL and not dialog.isVisible()
    dialog.show()
    dialog.buttons[Choice.MINE].click()
    assert dialog.choice is Choice.MINE


# Words.


def test_differences_are_said_in_the_unit_shown() -> None:
    job = factories.job()
    fork = job.machine.fork
    preload = fork.preload_mm.replace(value=25.4, spread=2.54)
    other = job.replace(
        machine=job.machine.replace(fork=fork.replace(preload_mm=preload)),
        choices=job.choices.replace(fork_limiter_mm=25.4),
    )
    rows = {one.entry: one.values for one in lines(Figures(UnitSystem.INCH), job, other)}
    assert rows["Extension limiter, fork"] == ("left to the planner", "1 in")
    assert rows["Machine: Fork preload"][1] == "1 ± 0.1 in, Measured"


def test_a_figure_whose_note_alone_was_changed_is_told_by_it() -> None:
    job = factories.job()
    fork = job.machine.fork
    other = job.replace(
        machine=job.machine.replace(
            fork=fork.replace(preload_mm=fork.preload_mm.replace(note="read twice"))
        )
    )
    (line,) = lines(FIGURES, job, other)
    assert line.values[0].endswith("(–)") and line.values[1].endswith("(read twice)")


def test_a_long_note_shows_where_it_was_gone_on_with() -> None:
    start = "The rider comes on Fridays only, " * 4
    job = factories.job().replace(note=start + "call first.")
    others = job.replace(note=start + "call first.\nPaid."), job.replace(note="")
    (line,) = lines(FIGURES, job, *others)
    assert [len(value) < 50 for value in line.values] == [True] * 3
    assert line.values[0].startswith("…") and line.values[0].endswith("call first.")
    assert line.values[1].endswith("call first. Paid.") and line.values[2] == "–"


def test_another_machine_is_one_line_and_rows_are_counted() -> None:
    job = factories.job()
    reading = Reading(when=When.AFTER, place=Place.SEAT, state=MeasuredState.RIDER_UP, value=845.0)
    other = job.replace(
        machine=job.machine.replace(id="other", name="Other bike"),
        readings=[reading],
        ticks=[Tick(step="fork-out", noted="left leg")],
    )
    rows = {one.entry: one.values for one in lines(FIGURES, job, other)}
    assert rows["Machine"] == (job.machine.name, "Other bike")
    assert rows["Reading 1"][0] == "–" and "845" in rows["Reading 1"][1]
    assert rows["Step 1"][1] == "fork-out: done, left leg"
    assert len(rows) == 3


# The list.


def test_jobs_are_looked_up_by_word_stage_and_day(qtbot: QtBot) -> None:
    add(
        named("Ilka", title="Trail"),
        named("Greta", title="Twin", stage=Stage.HANDED_OVER, reference="R-7"),
        named("Ärmel", stage=Stage.ORDERED),
    )
    window = open_window(qtbot, wait=False)
    jobs = show_jobs(qtbot, window)
    assert cells(jobs, RIDER) == ["Ärmel", "Greta", "Ilka"]
    assert cells(jobs, STAGE) == ["Parts ordered", "Handed over", "Asked"]
    assert cells(jobs, WHO) == ["Maud"] * 3
    assert jobs.said.text() == "Jobs: 3"
    for words, found in (("arm", ["Ärmel"]), ("r-7 twin", ["Greta"]), ("nobody", [])):
        retype(jobs.filters.words, words)
        looked(qtbot, jobs)
        assert cells(jobs, RIDER) == found
    assert jobs.said.text().startswith("No job fits")
    assert not jobs.empty.isVisible() and not jobs.open_button.isEnabled()
    jobs.filters.words.clear()
    jobs.filters.stage.setCurrentIndex(1)
    looked(qtbot, jobs)
    assert cells(jobs, RIDER) == ["Ärmel", "Ilka"]
    jobs.filters.stage.setCurrentIndex(0)
    jobs.filters.days.setCurrentIndex(1)
    looked(qtbot, jobs)
    assert len(cells(jobs, RIDER)) == 3
    jobs.filters.days.setCurrentIndex(jobs.filters.days.count() - 1)
    assert jobs.filters.since.isVisible()
    jobs.filters.until.setDate(jobs.filters.until.date().addDays(-1))
    looked(qtbot, jobs)
    assert cells(jobs, RIDER) == []


def test_a_job_is_opened_by_keys_alone_and_by_a_double_click(qtbot: QtBot) -> None:
    add(named("Ilka", title="Trail"), named("Greta", title="Twin"))
    window = open_window(qtbot, wait=False)
    jobs = show_jobs(qtbot, window)
    retype(jobs.filters.words, "ilka")
    looked(qtbot, jobs)
    QTest.keyClick(jobs.filters.words, Qt.Key.Key_Down)
    QTest.keyClick(jobs.table, Qt.Key.Key_Return)
    assert window.session.job.title == "Trail" and not jobs.isVisible()
    assert not window.session.unsaved
    jobs = show_jobs(qtbot, window)
    jobs.filters.words.clear()
    looked(qtbot, jobs)
    place = jobs.table.visualRect(jobs.model.index(0, RIDER)).center()
    QTest.mouseClick(jobs.table.viewport(), Qt.MouseButton.LeftButton, pos=place)
    QTest.mouseDClick(jobs.table.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert window.session.job.title == "Twin"


def test_unsaved_work_is_asked_about_before_another_job_is_opened(qtbot: QtBot) -> None:
    add(named("Ilka", title="Trail"))
    window = open_window(qtbot, wait=False)
    job = changed(window, ("note",), "mine")
    jobs = show_jobs(qtbot, window)
    answers(window).unsaved = Unsaved.CANCEL
    jobs.open_button.click()
    assert window.session.job == job and jobs.isVisible()
    jobs.new_button.click()
    assert window.session.job == job and jobs.isVisible()
    answers(window).unsaved = Unsaved.DISCARD
    jobs.new_button.click()
    assert window.session.job != job and not jobs.isVisible()


def test_the_list_follows_what_is_saved_and_keeps_its_choice(qtbot: QtBot) -> None:
    add(named("Ilka", title="Trail"), named("Greta", title="Twin"))
    window = open_window(qtbot, named("Farid", title="New one"), wait=False)
    jobs = show_jobs(qtbot, window)
    jobs.table.selectRow(1)
    press(window, "save")
    looked(qtbot, jobs)
    assert cells(jobs, RIDER) == ["Farid", "Greta", "Ilka"]
    row = jobs.row()
    assert row is not None and row.rider == "Ilka"


@pytest.mark.slow
def test_ten_thousand_jobs_stay_smooth(qtbot: QtBot) -> None:
    many = 10_000
    add(named("Ilka", title="Trail"))
    _multiply(many)
    window = open_window(qtbot, wait=False)
    jobs = show_jobs(qtbot, window)
    assert jobs.model.rowCount() == PART and jobs.model.total == many
    late: list[float] = []
    beat = QTimer()
    last = [time.perf_counter()]

    def tick() -> None:
        now = time.perf_counter()
        late.append(now - last[0])
        last[0] = now

    beat.timeout.connect(tick)
    beat.start(5)
    last[0] = time.perf_counter()
    for text in ("t", "tr", "trail 99", "trail 9", ""):
        jobs.filters.words.setText(text)
        qtbot.wait(150)
    looked(qtbot, jobs)
    bar = jobs.table.verticalScrollBar()
    for _ in range(3):
        before = jobs.model.rowCount()
        bar.setValue(bar.maximum())
        qtbot.waitUntil(lambda before=before: jobs.model.rowCount() > before)
    beat.stop()
    assert jobs.model.rowCount() == 4 * PART
    # Generous, for the machine is shared; a search on the window's thread takes longer by far.
    assert max(late) < 0.4
    assert len({row.id for row in jobs.model.rows}) == 4 * PART


def _multiply(count: int) -> None:
    """Copy the one job of the shop, with titles of its own."""
    with sqlite3.connect(paths.shop_file()) as db:
        job = dict(_rows(db, "job")[0])
        change = dict(_rows(db, "change")[0])
        for number in range(1, count):
            key = f"{number:032x}"
            words = f"{job['words']} {number}"
            _insert(db, "job", {**job, "id": key, "title": f"Trail {number}", "words": words})
            _insert(db, "change", {**change, "job_id": key})
    db.close()


def _rows(db: sqlite3.Connection, table: str) -> list[sqlite3.Row]:
    db.row_factory = sqlite3.Row
    return db.execute(f"SELECT * FROM {table}").fetchall()


def _insert(db: sqlite3.Connection, table: str, row: dict[str, object]) -> None:
    marks = ", ".join("?" * len(row))
    db.execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({marks})", list(row.values()))


def test_rows_that_moved_while_the_list_was_read_stand_once(qtbot: QtBot) -> None:
    add(*(named(f"Rider {n}") for n in range(5)))
    with Shop.open() as shop:
        rows = shop.find()
    model = JobsModel()
    wanted: list[bool] = []
    model.more_wanted.connect(lambda: wanted.append(True))
    model.show(rows[:3], 6)
    root = model.index(-1, -1)
    assert model.canFetchMore(root)
    model.fetchMore(root)
    assert wanted == [True] and not model.canFetchMore(root)
    model.add(rows[2:], 6)
    assert [one.id for one in model.rows] == [one.id for one in rows]
    assert model.canFetchMore(root)
    # One was taken away meanwhile: the list ends where nothing more comes.
    model.add([], 6)
    assert not model.canFetchMore(root)


# History.


def test_an_old_version_is_opened_unsaved_and_goes_on_in_its_job(qtbot: QtBot) -> None:
    (key,) = add(named("Ilka", title="Trail"))
    window = opened(qtbot, key)
    old = window.session.job
    new = changed(window, ("rider", "mass_kg"), 90.0)
    press(window, "save")
    jobs = show_jobs(qtbot, window)
    answers(window).revision = 1
    jobs.history_button.click()
    assert answers(window).asked == ["Trail: [2, 1]"]
    assert window.session.job == old and window.session.unsaved
    press(window, "save")
    with Shop.open() as shop:
        assert shop.version(key, 2) == new
        assert shop.get(key).job == old and shop.get(key).revision == 3


def test_the_history_says_who_changed_what(qtbot: QtBot) -> None:
    (key,) = add(named("Ilka"), who="")
    with Shop.open() as shop:
        first = shop.get(key)
        shop.save(first, first.job.replace(stage=Stage.PLANNED), "Maud")
        versions = [Version(one, shop.version(key, one.revision)) for one in shop.history(key)]
    dialog = HistoryDialog("Ilka", versions, FIGURES)
    qtbot.addWidget(dialog)
    dialog.show()
    assert dialog.table.texts() == [["Stage", "Asked", "Planned"]]
    items = [dialog.changes.topLevelItem(row) for row in range(2)]
    assert [item.text(1) for item in items if item is not None] == ["Maud", "Somebody"]
    assert dialog.revision() == 2
    dialog.changes.setCurrentIndex(dialog.changes.model().index(1, 0))
    assert dialog.table.texts() == [] and "came into the shop" in dialog.said.text()
    assert dialog.revision() == 1


# Erasing.


def test_a_rider_is_erased_from_all_jobs_and_from_the_table(qtbot: QtBot) -> None:
    keys = add(named("Ilka", title="One"), named("Ilka", title="Two"), named("Greta"))
    window = opened(qtbot, keys[0])
    jobs = show_jobs(qtbot, window)
    jobs.table.selectRow(1)
    answers(window).erase = False
    jobs.erase_button.click()
    assert answers(window).asked == ["erase Ilka from 2"]
    assert window.session.job.rider.name == "Ilka"
    answers(window).erase = True
    jobs.erase_button.click()
    looked(qtbot, jobs)
    assert sorted(cells(jobs, RIDER)) == ["Greta", "–", "–"]
    assert window.session.job.rider.name == "" and not window.session.unsaved
    assert jobs.isVisible()
    jobs.table.selectRow(cells(jobs, RIDER).index("–"))
    assert not jobs.erase_button.isEnabled()


def test_unsaved_work_on_an_erased_rider_is_not_lost_but_asked_about(qtbot: QtBot) -> None:
    (key,) = add(named("Ilka", title="One"))
    window = opened(qtbot, key)
    job = changed(window, ("rider", "mass_kg"), 90.0)
    jobs = show_jobs(qtbot, window)
    jobs.erase_button.click()
    assert window.session.job == job
    answers(window).choices = [Choice.CANCEL]
    press(window, "save")
    assert answers(window).asked[-1].startswith("conflict")
    assert "Ilka" not in [one.rider.name for one in kept_jobs()]


# Backup, restoring, and where the jobs are.


def test_a_backup_is_made_and_goes_back_in(qtbot: QtBot, tmp_path: Path) -> None:
    (key,) = add(named("Ilka", title="One"))
    window = opened(qtbot, key)
    answers(window).backup = tmp_path / "all.sqlite"
    press(window, "back_up")
    assert "Jobs in it: 1" in answers(window).told[-1]
    old = window.session.job
    changed(window, ("note",), "after the backup")
    press(window, "save")
    answers(window).restore = False
    press(window, "restore")
    assert kept_jobs() != [old]
    answers(window).restore = True
    press(window, "restore")
    assert answers(window).asked == ["restore 1 over 1"] * 2
    assert kept_jobs() == [old]
    (before,) = paths.shop_backups_dir().iterdir()
    assert str(before) in answers(window).told[-1]


def test_what_is_no_backup_is_told(qtbot: QtBot, tmp_path: Path) -> None:
    bad = tmp_path / "bad.sqlite"
    bad.write_text("no database", encoding="utf-8")
    window = open_window(qtbot, wait=False)
    answers(window).backup = bad
    press(window, "restore")
    assert (
        "choose another file" in answers(window).told[0].lower()
        or "damaged" in (answers(window).told[0])
    )
    assert answers(window).asked == []


def test_another_database_is_tried_before_it_is_taken(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def opener(setting: str | Path) -> Shop:
        if setting == "nowhere/jobs":
            raise StoreError("The jobs cannot be read", "nowhere/jobs", "Look at the cable.")
        return open_shop(tmp_path / "server.sqlite" if setting == "server/jobs" else setting)

    add(named("Ilka"))
    window = open_window(qtbot, wait=False, desk=Desk(opener=opener))
    jobs = show_jobs(qtbot, window)
    answers(window).place = place_module.Place("nowhere/jobs", "Maud")
    press(window, "place")
    assert "Look at the cable." in answers(window).failure
    assert window.settings.preferences.shop_database == ""
    assert window.settings.preferences.user_name == "Maud"
    jobs.refresh()
    looked(qtbot, jobs)
    assert cells(jobs, RIDER) == ["Ilka"]
    answers(window).place = place_module.Place("server/jobs", "Maud")
    press(window, "place")
    assert answers(window).failure == ""
    assert window.settings.preferences.shop_database == "server/jobs"
    looked(qtbot, jobs)
    assert cells(jobs, RIDER) == []


def test_the_dialog_of_the_place_takes_nothing_that_failed(qtbot: QtBot) -> None:
    tried: list[place_module.Place] = []

    def take(place: place_module.Place) -> str:
        tried.append(place)
        return "It does not answer." if place.database else ""

    dialog = PlaceDialog(place_module.Place("", ""), "here.sqlite", "sanne", take)
    qtbot.addWidget(dialog)
    dialog.show()
    assert not dialog.database.isEnabled()
    dialog.server.setChecked(True)
    dialog.take_button.click()
    assert dialog.isVisible() and "address" in dialog.said.text() and tried == []
    dialog.database.setText(" pc/jobs ")
    dialog.user_name.setText("Maud")
    dialog.take_button.click()
    assert dialog.isVisible() and dialog.said.text() == "It does not answer."
    assert dialog.database.text() == " pc/jobs "
    dialog.here.setChecked(True)
    dialog.take_button.click()
    assert not dialog.isVisible()
    assert tried == [place_module.Place("pc/jobs", "Maud"), place_module.Place("", "Maud")]


def test_an_empty_shop_offers_an_invented_one_that_touches_nothing(qtbot: QtBot) -> None:
    window = open_window(qtbot, named("Ilka", title="Own"), wait=False)
    jobs = show_jobs(qtbot, window)
    assert jobs.empty.isVisible() and not jobs.visiting.isVisible()
    jobs.empty.button.click()
    looked(qtbot, jobs)
    assert jobs.model.total == 12 and jobs.visiting.isVisible() and not jobs.empty.isVisible()
    jobs.open_button.click()
    assert window.windowTitle().endswith("– in the invented shop[*]")
    changed(window, ("note",), "tried out")
    press(window, "save")
    jobs = show_jobs(qtbot, window)
    jobs.visiting.button.click()
    looked(qtbot, jobs)
    assert jobs.model.total == 0 and not jobs.visiting.isVisible()
    assert kept_jobs() == []
    # The job on the table is still one of the invented shop, and says so.
    assert window.windowTitle().endswith("– in the invented shop[*]")
    jobs.empty.button.click()
    looked(qtbot, jobs)
    assert jobs.model.total == 12 and jobs.row() is not None
    assert jobs.model.rows[0].revision > 1


# Recovery.


def test_recovered_work_goes_back_to_its_entry(qtbot: QtBot) -> None:
    (key,) = add(named("Ilka", title="One"))
    with Shop.open() as shop:
        base = shop.get(key)
    job = base.job.replace(note="typed before the crash")
    with Autosave() as crashed:
        crashed.keep(job, None, base)
    window = open_window(qtbot, wait=False)
    window.files.start_keeping()
    assert "A job of the shop" in answers(window).asked[0]
    assert window.session.job == job and window.session.unsaved
    press(window, "save")
    assert kept_jobs() == [job]
    with Shop.open() as shop:
        assert shop.get(key).revision == 2
    # Kept is what was made from the new revision.
    changed(window, ("note",), "and on")
    window.files.keeping.keep()
    home = paths.user_data_dir()
    slot = home / "autosave.json"
    qtbot.waitUntil(lambda: "and on" in slot.read_text("utf-8"))
    copy = home / "crash" / "autosave.json"
    copy.parent.mkdir()
    copy.write_bytes(slot.read_bytes())
    with Autosave(copy) as after:
        found = after.recovery()
    assert found is not None and found.kept is not None
    assert (found.kept.id, found.kept.revision, found.kept.job) == (key, 2, job)


def test_recovered_work_meets_what_was_saved_meanwhile(qtbot: QtBot) -> None:
    (key,) = add(named("Ilka"))
    with Shop.open() as shop:
        base = shop.get(key)
        shop.save(base, base.job.replace(note="theirs"), "Maud")
    with Autosave() as crashed:
        crashed.keep(base.job.replace(note="mine"), None, base)
    window = open_window(qtbot, wait=False)
    window.files.start_keeping()
    answers(window).choices = [Choice.CANCEL]
    press(window, "save")
    assert [line.values for line in answers(window).seen] == [("–", "mine", "theirs")]
    assert window.session.unsaved


# Stage and reference.


def choose_stage(qtbot: QtBot, window: MainWindow, stage: Stage) -> None:
    box = window.inputs.stage
    box.setCurrentIndex(list(Stage).index(stage))
    box.activated.emit(box.currentIndex())
    wait_for_plan(qtbot, window)


def test_agreed_fixes_what_the_planner_chose_in_one_step(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    before, plan = window.session.job, window.plan
    assert plan is not None
    choose_stage(qtbot, window, Stage.PLANNED)
    assert answers(window).asked == []
    choose_stage(qtbot, window, Stage.AGREED)
    assert answers(window).asked == ["fix at Agreed"]
    job = window.session.job
    assert job.stage is Stage.AGREED
    fixed = evaluate(job)
    assert fixed.summary == plan.summary and fixed.states == plan.states
    assert all(way.by_hand for way in fixed.ways if way.amount_mm)
    # It stays as agreed, whatever the rider weighs.
    retype(entry(window, "rider", "mass_kg"), "95")
    wait_for_plan(qtbot, window)
    assert window.session.job.choices == job.choices
    press(window, "undo")
    press(window, "undo")
    assert window.session.job == before.replace(stage=Stage.PLANNED)


def test_the_amounts_may_stay_open_and_going_back_is_free(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    choices = window.session.job.choices
    answers(window).fix = Fix.CANCEL
    choose_stage(qtbot, window, Stage.ORDERED)
    assert window.session.job.stage is Stage.ASKED
    assert window.inputs.stage.currentIndex() == 0
    answers(window).fix = Fix.LEAVE
    choose_stage(qtbot, window, Stage.ORDERED)
    assert (window.session.job.stage, window.session.job.choices) == (Stage.ORDERED, choices)
    asked = len(answers(window).asked)
    choose_stage(qtbot, window, Stage.ASKED)
    assert window.session.job.stage is Stage.ASKED
    assert len(answers(window).asked) == asked


def test_a_stage_waits_for_the_plan_that_it_fixes(qtbot: QtBot) -> None:
    go = threading.Event()

    def slow(job: Job) -> Any:
        assert go.wait(20)
        return evaluate(job)

    window = open_window(qtbot, planner=slow, wait=False)
    box = window.inputs.stage
    box.setCurrentIndex(list(Stage).index(Stage.AGREED))
    box.activated.emit(box.currentIndex())
    assert window.session.job.stage is Stage.ASKED and answers(window).asked == []
    go.set()
    qtbot.waitUntil(lambda: window.session.job.stage is Stage.AGREED)
    assert answers(window).asked == ["fix at Agreed"]
    wait_for_plan(qtbot, window)


def test_a_job_without_a_plan_gets_its_stage_all_the_same(qtbot: QtBot) -> None:
    job = factories.job()
    window = open_window(qtbot, job.replace(rider=job.rider.replace(mass_kg=None)))
    choose_stage(qtbot, window, Stage.AGREED)
    assert window.session.job.stage is Stage.AGREED and answers(window).asked == []


def test_the_reference_is_typed_in_the_panel(qtbot: QtBot) -> None:
    window = open_window(qtbot, wait=False)
    retype(window.inputs.reference, "R-104")
    assert window.session.job.reference == "R-104"
    press(window, "save")
    with Shop.open() as shop:
        assert shop.find(Query(words="r-104"))[0].reference == "R-104"


# What stands in the way of the user.


def test_the_questions_say_what_goes_and_what_stays(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    add(named("Ilka"))
    with Shop.open() as shop:
        backup = shop.back_up(tmp_path / "all.sqlite")
    window = open_window(qtbot, wait=False)
    dialogs = Dialogs(window)
    seen: list[str] = []

    def answer(press_yes: bool) -> Callable[[], None]:
        def click() -> None:
            box: Any = QApplication.activeModalWidget()
            seen.append(box.text())
            assert "cancel" in box.defaultButton().text().lower().replace("&", "")
            (box.buttons()[0] if press_yes else box.escapeButton()).click()

        return click

    QTimer.singleShot(0, answer(False))
    assert not dialogs.ask_erase("Ilka <b>", 3)
    QTimer.singleShot(0, answer(False))
    assert not dialogs.ask_restore(backup, 5)
    QTimer.singleShot(0, answer(False))
    assert not dialogs.ask_add_missing()
    erase, restore, _ = seen
    assert "Ilka <b>" in erase and "history: 3" in erase
    assert "name, telephone, title, note and reference" in erase and "Stays" in erase
    assert "safety backup" in restore and "5" in restore
    assert str(paths.shop_backups_dir()) in restore


def test_the_list_has_its_key_and_its_button(qtbot: QtBot) -> None:
    window = open_window(qtbot, wait=False)
    QTest.keyClick(window, Qt.Key.Key_J, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: window.side.jobs is not None and window.side.jobs.isVisible())
    assert not window.commands["jobs"].icon().isNull()
    for theme in (Theme.DARK, Theme.LIGHT):
        window.set_theme(theme)
