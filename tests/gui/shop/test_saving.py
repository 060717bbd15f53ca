"""Saving into the shop: no question asked, nothing lost, and the mend said where it is refused."""

import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from fitplanner import paths
from fitplanner.store.files import StoreError, open_job, save_job
from fitplanner.store.shop import Query, Shop
from fitplanner.ui.dialogs import Unsaved
from fitplanner.ui.settings import Settings
from fitplanner.ui.shop.model import RIDER
from tests import factories
from tests.gui.shell import answers, open_window, press
from tests.gui.shop.people import (
    add,
    cells,
    changed,
    kept_jobs,
    looked,
    named,
    opened,
    show_jobs,
)

# Saving.


def test_a_new_job_is_saved_in_the_shop_without_a_question(qtbot: QtBot) -> None:
    window = open_window(qtbot, named("Ilka", title="First"), wait=False)
    assert window.windowTitle() == "First (Trail bike of the tests)[*]"
    press(window, "save")
    job = changed(window, ("note",), "wants it soon")
    assert window.isWindowModified()
    press(window, "save")
    assert not window.isWindowModified()
    assert window.windowTitle() == "First – in the shop (Trail bike of the tests)[*]"
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
    assert window.windowTitle() == "Filed – first.fit.json (Trail bike of the tests)[*]"
    press(window, "take_in")
    assert kept_jobs() == [job]
    assert window.windowTitle() == "Filed – in the shop (Trail bike of the tests)[*]"
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
