"""The list of jobs: found, opened, with their history, and a rider erased."""

import sqlite3
import time
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner import paths
from fitplanner.documents.bench import Stage
from fitplanner.store.files import save_job
from fitplanner.store.shop import Shop
from fitplanner.ui.dialogs import Again, Unsaved
from fitplanner.ui.shop.conflict import Choice
from fitplanner.ui.shop.history import HistoryDialog, Version
from fitplanner.ui.shop.model import RIDER, STAGE, WHO, JobsModel
from fitplanner.ui.shop.place import Place, PlaceDialog
from fitplanner.ui.shop.window import PART
from tests.gui.shell import answers, open_window, press, retype
from tests.gui.shop.people import (
    FIGURES,
    add,
    cells,
    changed,
    kept_jobs,
    looked,
    named,
    opened,
    show_jobs,
)

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


def test_heads_sort_and_turn_round(qtbot: QtBot) -> None:
    add(named("Cid"), named("Ann"), named("Bea"))
    window = open_window(qtbot, wait=False)
    jobs = show_jobs(qtbot, window)
    head = jobs.table.horizontalHeader()
    for names in (["Ann", "Bea", "Cid"], ["Cid", "Bea", "Ann"]):
        at = QPoint(head.sectionViewportPosition(RIDER) + 12, head.height() // 2)
        QTest.mouseClick(head.viewport(), Qt.MouseButton.LeftButton, pos=at)
        looked(qtbot, jobs)
        assert cells(jobs, RIDER) == names


def test_words_of_the_last_time_are_gone_and_a_filter_is_said(qtbot: QtBot) -> None:
    add(named("Ann", stage=Stage.HANDED_OVER), named("Bea"))
    window = open_window(qtbot, wait=False)
    jobs = show_jobs(qtbot, window)
    assert not jobs.filters.all_button.isVisible()
    retype(jobs.filters.words, "ann")
    jobs.filters.stage.setCurrentIndex(1)
    looked(qtbot, jobs)
    assert cells(jobs, RIDER) == []
    jobs.close()
    show_jobs(qtbot, window)
    assert jobs.filters.words.text() == "" and cells(jobs, RIDER) == ["Bea"]
    assert jobs.filters.all_button.isVisible()
    QTest.mouseClick(jobs.filters.all_button, Qt.MouseButton.LeftButton)
    looked(qtbot, jobs)
    assert len(cells(jobs, RIDER)) == 2 and not jobs.filters.all_button.isVisible()


def test_a_shop_whose_file_is_gone_offers_a_way(qtbot: QtBot, tmp_path: Path) -> None:
    add(named("Ann"))
    with Shop.open() as shop:
        shop.back_up(tmp_path / "copy.sqlite")
    window = open_window(qtbot, wait=False)
    jobs = show_jobs(qtbot, window)
    assert cells(jobs, RIDER) == ["Ann"]
    jobs.close()
    for file in paths.shop_file().parent.glob("shop.sqlite*"):
        file.unlink()
    show_jobs(qtbot, window)
    assert cells(jobs, RIDER) == [] and "is gone" in jobs.fault.text()
    assert not jobs.empty.isVisible() and not paths.shop_file().exists()
    press(window, "save")
    assert any("is gone" in told for told in answers(window).told)
    assert window.session.kept is None
    answers(window).backup = tmp_path / "copy.sqlite"
    QTest.mouseClick(jobs.restore_button, Qt.MouseButton.LeftButton)
    looked(qtbot, jobs)
    assert cells(jobs, RIDER) == ["Ann"] and not jobs.fault.isVisible()


def test_a_gone_shop_may_be_begun_anew(qtbot: QtBot) -> None:
    add(named("Ann"))
    paths.shop_file().unlink()
    window = open_window(qtbot, wait=False)
    jobs = show_jobs(qtbot, window)
    QTest.mouseClick(jobs.begin_button, Qt.MouseButton.LeftButton)
    looked(qtbot, jobs)
    assert not jobs.fault.isVisible() and jobs.empty.isVisible()


@pytest.mark.parametrize(("again", "count"), [(Again.CANCEL, 1), (Again.OPEN, 1), (Again.ADD, 2)])
def test_the_same_file_taken_in_twice_is_asked_about(
    qtbot: QtBot, tmp_path: Path, again: Again, count: int
) -> None:
    file = tmp_path / "one.fit.json"
    save_job(named("Ann", title="Filed"), file)
    window = open_window(qtbot, wait=False)
    answers(window).to_open, answers(window).again = file, again
    press(window, "take_in")
    first = window.session.kept
    press(window, "new")
    assert answers(window).asked == []
    press(window, "take_in")
    assert answers(window).asked == ["again Filed"]
    assert len(kept_jobs()) == count
    kept = window.session.kept
    assert first is not None
    assert (None if kept is None else kept.id == first.id) == {
        Again.CANCEL: None, Again.OPEN: True, Again.ADD: False
    }[again]  # fmt: skip


def test_a_backup_gets_its_ending(qtbot: QtBot, tmp_path: Path) -> None:
    add(named("Ann"))
    window = open_window(qtbot, wait=False)
    answers(window).backup = tmp_path / "copy"
    press(window, "back_up")
    assert (tmp_path / "copy.sqlite").is_file() and not (tmp_path / "copy").exists()


def test_a_place_out_of_reach_offers_another_one(qtbot: QtBot) -> None:
    window = open_window(qtbot, wait=False)
    window.desk._setting = "nowhere.invalid:1/none"
    jobs = show_jobs(qtbot, window)
    assert jobs.fault.isVisible() and jobs.place_button.isVisible()
    assert not jobs.restore_button.isVisible() and not jobs.begin_button.isVisible()


def test_another_folder_is_tried_and_taken(qtbot: QtBot, tmp_path: Path) -> None:
    window = open_window(qtbot, wait=False)
    place = Place(str(tmp_path / "elsewhere"), "")
    answers(window).place = place
    press(window, "place")
    assert answers(window).failure == ""
    press(window, "save")
    assert (tmp_path / "elsewhere" / paths.shop_file().name).is_file()
    assert window.settings.preferences.shop_database == place.database
    dialog = PlaceDialog(place, "file", "me", lambda _: "")
    qtbot.addWidget(dialog)
    assert dialog.elsewhere.isChecked() and dialog.place() == place
    dialog.here.setChecked(True)
    assert dialog.place().database == "" and not dialog.folder.isEnabled()
    dialog.elsewhere.setChecked(True)
    dialog.folder.setText("not a whole name")
    dialog.take_button.click()
    assert "Choose the folder" in dialog.said.text()
