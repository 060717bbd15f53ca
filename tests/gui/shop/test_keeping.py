"""Backup, restoring, where the jobs are kept, and unsaved work that finds back."""

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from fitplanner import paths
from fitplanner.store.autosave import Autosave
from fitplanner.store.files import StoreError
from fitplanner.store.shop import Shop
from fitplanner.ui.shop import place as place_module
from fitplanner.ui.shop.conflict import Choice
from fitplanner.ui.shop.desk import Desk, open_shop
from fitplanner.ui.shop.model import RIDER
from fitplanner.ui.shop.place import PlaceDialog
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
    assert jobs.model.total == 19 and jobs.visiting.isVisible() and not jobs.empty.isVisible()
    jobs.open_button.click()
    assert "– in the invented shop" in window.windowTitle()
    changed(window, ("note",), "tried out")
    press(window, "save")
    jobs = show_jobs(qtbot, window)
    jobs.visiting.button.click()
    looked(qtbot, jobs)
    assert jobs.model.total == 0 and not jobs.visiting.isVisible()
    assert kept_jobs() == []
    # The job on the table is still one of the invented shop, and says so.
    assert "– in the invented shop" in window.windowTitle()
    jobs.empty.button.click()
    looked(qtbot, jobs)
    assert jobs.model.total == 19 and jobs.row() is not None
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
