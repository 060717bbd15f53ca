"""The list of jobs as a table for spreadsheets."""

import csv
import io
import threading
from datetime import datetime
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import Stage
from fitplanner.store.files import StoreError
from fitplanner.store.shop import Query, Row, Shop
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.shop import window as jobs_window
from tests.gui.shell import answers, open_window
from tests.gui.shop.people import add, looked, named, show_jobs


def three(qtbot: QtBot) -> MainWindow:
    add(
        named("Ilka", title="Trail", stage=Stage.ORDERED, reference="R-7"),
        named("Greta", title="=HYPERLINK(A1)", stage=Stage.ORDERED),
        named("Ärmel", stage=Stage.HANDED_OVER),
    )
    return open_window(qtbot, wait=False)


def test_the_table_has_all_jobs_that_the_filter_lets_through(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(jobs_window, "PART", 1)
    window = three(qtbot)
    jobs = show_jobs(qtbot, window)
    jobs.filters.stage.setCurrentIndex(2 + list(Stage).index(Stage.ORDERED))
    looked(qtbot, jobs)
    threads: list[threading.Thread] = []
    find = Shop.find

    def seen(shop: Shop, query: Query) -> list[Row]:
        threads.append(threading.current_thread())
        return find(shop, query)

    monkeypatch.setattr(Shop, "find", seen)
    answers(window).to_export = tmp_path / "out" / "list"
    (tmp_path / "out").mkdir()
    jobs.table_action.trigger()
    file = tmp_path / "out" / "list.csv"
    assert threads and threading.main_thread() not in threads
    assert jobs.said.text() == f"Jobs in the table: 2. File: {file}"
    assert answers(window).proposed[0].name == f"jobs-{datetime.now():%Y-%m-%d}.csv"
    assert window.files.folder == str(file.parent)

    heads, *rows = csv.reader(io.StringIO(file.read_bytes().decode("utf-8-sig"), newline=""))
    machine = window.session.job.machine.name
    assert heads == ["Stage", "Rider", "Machine", "Job", "Reference", "Begun", "Changed", "By"]
    assert [row[:5] + row[7:] for row in rows] == [
        ["Parts ordered", "Greta", machine, "'=HYPERLINK(A1)", "", "Maud"],
        ["Parts ordered", "Ilka", machine, "Trail", "R-7", "Maud"],
    ]
    for row in rows:
        assert abs((datetime.now() - datetime.fromisoformat(row[6])).total_seconds()) < 120
        assert row[5] == row[6]


def test_a_list_without_jobs_has_no_table(qtbot: QtBot, tmp_path: Path) -> None:
    window = three(qtbot)
    jobs = show_jobs(qtbot, window)
    assert jobs.table_action.isEnabled()
    # The user gives the question for a file up.
    jobs.table_action.trigger()
    assert jobs.said.text() == "Jobs: 3" and len(answers(window).proposed) == 1
    jobs.filters.words.setText("nobody")
    looked(qtbot, jobs)
    assert not jobs.table_action.isEnabled()


def test_a_table_that_cannot_be_read_or_written_is_told(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = three(qtbot)
    (tmp_path / "file").write_text("in the way")
    answers(window).to_export = tmp_path / "file" / "list.csv"
    assert window.counter.export(Query()) == ""
    (told,) = answers(window).told
    assert "list.csv" in told

    def refuse(shop: Shop, query: Query) -> None:
        raise StoreError("The jobs cannot be read", shop.where, "Wait a moment.")

    monkeypatch.setattr(Shop, "find", refuse)
    assert window.counter.export(Query()) == ""
    assert "Wait a moment." in answers(window).told[1] and len(answers(window).proposed) == 1
