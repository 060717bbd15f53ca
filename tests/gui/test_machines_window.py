"""Profiles are made, kept, copied, mended and used: the list of machines and its editor."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fitplanner import paths
from fitplanner.documents.base import Source
from fitplanner.documents.machine import MachineProfile
from fitplanner.session.edits import figure_edit
from fitplanner.store.autosave import Autosave
from fitplanner.store.profiles import Shelf
from fitplanner.ui.dialogs import Unsaved
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.profiles.editor import ProfileEditor
from fitplanner.ui.profiles.replacing import Kept
from tests import factories
from tests.gui.editor_fixture import enter, figure, in_use, new_machine, office
from tests.gui.shell import answers, open_window, retype, wait_for_plan


def shelf() -> Shelf:
    """The shop's folder, read anew."""
    return Shelf.at("")


def named(editor: ProfileEditor, name: str) -> None:
    retype(editor.head.name, name)


def test_a_profile_is_kept_under_an_id_of_its_own(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    named(editor, "Mole & Sons 250 (S)")
    enter(editor, "catalogue", "seat_height_mm", "870")
    assert editor.isWindowModified()
    editor.commands["save"].trigger()
    assert not editor.isWindowModified() and "revision 1" in editor.windowTitle()
    kept = shelf().read().profiles["mole-sons-250-s"]
    assert kept == editor.draft.profile == window.machines["mole-sons-250-s"]
    assert kept.catalogue.seat_height_mm.source is Source.MAKER
    # The id stays, whatever it is called later; the revision counts.
    named(editor, "Another name")
    editor.commands["save"].trigger()
    again = shelf().read().profiles
    assert list(again) == ["mole-sons-250-s"]
    assert (again["mole-sons-250-s"].name, again["mole-sons-250-s"].revision) == (
        "Another name", 2,
    )  # fmt: skip


def test_a_name_that_is_taken_gets_a_number(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    known = factories.machine_profile()
    named(editor, known.id)
    assert editor.draft.profile.id == f"{known.id}-2"
    named(editor, "")
    assert editor.draft.profile.name and editor.head.name.text() == ""


def test_what_cannot_be_seen_in_a_pasted_name_is_left_out(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    QApplication.clipboard().setText("Mu\u202ele 300\u200e")
    editor.head.name.setFocus()
    editor.head.name.paste()
    assert editor.head.name.text() == editor.draft.profile.name == "Mule 300"


def test_undo_goes_on_over_a_save(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    named(editor, "Mule")
    editor.commands["save"].trigger()
    enter(editor, "catalogue", "seat_height_mm", "870")
    editor.commands["undo"].trigger()
    assert not editor.isWindowModified()
    editor.commands["undo"].trigger()
    assert editor.draft.profile.id == "mule" and editor.isWindowModified()
    editor.commands["save"].trigger()
    assert list(shelf().read().profiles) == ["mule"]


def test_unsaved_changes_are_asked_about(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    asked = answers(window)
    editor.close()
    assert not asked.asked and not editor.isVisible()
    editor = new_machine(qtbot, window)
    named(editor, "Mule")
    asked.unsaved = Unsaved.CANCEL
    editor.close()
    assert asked.asked == ["Mule"] and editor.isVisible()
    window.close()
    assert window.isVisible() and asked.asked == ["Mule", "Mule"]
    asked.unsaved = Unsaved.SAVE
    editor.close()
    assert not editor.isVisible() and list(shelf().read().profiles) == ["mule"]


def test_what_was_given_up_does_not_come_back(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    named(editor, "Mule")
    field = enter(editor, "catalogue", "seat_height_mm", "nonsense")
    editor.close()
    assert not shelf().read().profiles
    editor = new_machine(qtbot, window)
    assert editor.head.name.text() == "" and field.text() == "" and not editor.beside.refused.text()
    assert not editor.commands["undo"].isEnabled()


def test_the_profile_is_used_in_the_job_as_one_step(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    before = window.session.job
    editor = new_machine(qtbot, window)
    named(editor, "Mule")
    enter(editor, "catalogue", "seat_height_mm", "870")
    editor.commands["use"].trigger()
    assert window.session.job.machine == editor.draft.profile
    assert not editor.commands["use"].isEnabled()
    assert "is the machine of this job now" in editor.beside.says.text()
    assert window.session.job.rider == before.rider
    wait_for_plan(qtbot, window)
    assert window.plan is not None
    # What is typed afterwards is the profile's, not yet the job's.
    enter(editor, "catalogue", "seat_height_mm", "860")
    assert window.session.job.machine.catalogue.seat_height_mm.value == 870.0
    assert editor.commands["use"].isEnabled()
    window.commands["undo"].trigger()
    assert window.session.job == before


def test_a_machine_of_the_program_is_mended_in_its_place(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    machine = window.session.job.machine
    window.side.edit_machine()
    assert window.side.office is not None
    editor = in_use(qtbot, window.side.office.editor)
    assert not editor.isWindowModified() and editor.draft.profile == machine
    enter(editor, "catalogue", "seat_height_mm", "905")
    editor.commands["save"].trigger()
    kept = shelf().read().profiles[machine.id]
    assert kept.revision == machine.revision + 1 and kept == window.machines[machine.id]
    assert window.session.job.machine == machine
    changed = window.inputs.machine.changed
    assert str(kept.revision) in changed.text()
    # The library's is taken by one press, as one step.
    QTest.mouseClick(changed.button, Qt.MouseButton.LeftButton)
    assert window.session.job.machine == kept
    wait_for_plan(qtbot, window)
    assert window.plan is not None and not changed.button.isVisibleTo(window)
    window.commands["undo"].trigger()
    assert window.session.job.machine == machine


def mended_machine(qtbot: QtBot, window: MainWindow) -> MachineProfile:
    """The shop's next revision of the job's machine, with another seat height."""
    machine = window.session.job.machine
    seat = machine.catalogue.seat_height_mm.replace(value=935.0, typed="", note="")
    catalogue = machine.catalogue.replace(seat_height_mm=seat)
    shelf().save(machine.replace(catalogue=catalogue, revision=machine.revision + 1), None)
    window.shelving.look()
    qtbot.waitUntil(lambda: window.machines[machine.id].revision > machine.revision, timeout=20_000)
    return window.machines[machine.id]


def editing(qtbot: QtBot, window: MainWindow) -> ProfileEditor:
    window.side.edit_machine()
    assert window.side.office is not None
    return in_use(qtbot, window.side.office.editor)


def test_of_an_older_revision_in_the_job_the_librarys_is_edited(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    held = window.session.job.machine
    library = mended_machine(qtbot, window)
    editor = editing(qtbot, window)
    assert editor.draft.profile == library and not editor.isWindowModified()
    assert f"revision {library.revision}" in editor.windowTitle()
    said = editor.beside.says.text()
    assert f"revision {held.revision}" in said and f"revision {library.revision}" in said
    editor.commands["save"].trigger()
    assert shelf().read().profiles[held.id] == library
    assert window.session.job.machine == held and not answers(window).asked


def test_figures_changed_for_the_job_are_shown_beside_the_librarys_first(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    library = mended_machine(qtbot, window)
    edit = figure_edit(
        window.session.job, ("machine", "seat", "width_mm"), 231.0, Source.MEASURED, spread=2.0
    )
    window.history.edit(edit, "Seat width")
    held = window.session.job.machine
    assert held.revision < library.revision
    asked = answers(window)
    asked.profiles = [None, mine_stays, theirs_comes]
    window.side.edit_machine()
    assert window.side.office is not None and not window.side.office.editor.isVisible()
    editor = editing(qtbot, window)
    assert editor.draft.profile == library and not editor.isWindowModified()
    editor.close()
    # Only what somebody saw and took is a change of the library's profile.
    editor = editing(qtbot, window)
    assert editor.draft.profile == held.replace(revision=library.revision)
    assert editor.isWindowModified() and len(asked.asked) == 3


def test_a_machine_that_only_the_job_holds_is_not_unsaved_when_opened(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    lone = window.session.job.machine.replace(id="lone-300", name="Lone 300")
    window.session.set_job(window.session.job.replace(machine=lone))
    editor = editing(qtbot, window)
    assert editor.draft.profile == lone and not editor.isWindowModified()
    editor.commands["save"].trigger()
    assert shelf().read().profiles["lone-300"] == lone


def mine_stays(mine: MachineProfile, *_: object) -> tuple[Kept, MachineProfile]:
    return Kept.MINE, mine


def theirs_comes(_: object, theirs: MachineProfile, __: object) -> tuple[Kept, MachineProfile]:
    return Kept.THEIRS, theirs


def test_a_copy_is_a_machine_of_its_own(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    found = office(qtbot, window)
    machine = factories.machine_profile()
    found.list.pick(machine.id)
    found.list.copy()
    editor = in_use(qtbot, found.editor)
    assert editor.isWindowModified() and editor.draft.profile.id != machine.id
    assert editor.draft.profile.catalogue == machine.catalogue
    named(editor, "Our own")
    editor.commands["save"].trigger()
    assert list(shelf().read().profiles) == ["our-own"]
    assert set(window.machines) == {machine.id, "other-bike", "our-own"}


def test_the_list_says_whose_a_machine_is_and_how_much_is_known(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    named(editor, "Mule")
    enter(editor, "catalogue", "seat_height_mm", "870")
    editor.commands["save"].trigger()
    found = office(qtbot, window)
    found.list.pick("mule")
    item = found.list.tree.currentItem()
    assert item is not None
    texts = [item.text(column) for column in range(item.columnCount())]
    assert texts[0] == "Mule" and texts[2] == "the shop's" and texts[5].startswith("1 of ")
    assert found.list.remove_button.isEnabled()
    found.list.pick(factories.machine_profile().id)
    assert not found.list.remove_button.isEnabled()
    made_up = factories.machine_profile(id="made-up", name="Made up", invented=True)
    window.shelving.save(made_up, None)
    found.list.pick("made-up")
    invented = found.list.tree.currentItem()
    assert invented is not None and invented.text(5).endswith("invented")
    retype(found.list.words, "mul")
    assert found.list.tree.topLevelItemCount() == 1


def test_a_machine_is_removed_once_it_was_agreed_to(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    named(editor, "Mule")
    editor.commands["save"].trigger()
    editor.close()
    found = office(qtbot, window)
    found.list.pick("mule")
    for agreed, left in ((False, ["mule"]), (True, [])):
        monkeypatch.setattr(window.dialogs, "ask_remove_profile", lambda _, yes=agreed: yes)
        QTest.mouseClick(found.list.remove_button, Qt.MouseButton.LeftButton)
        assert list(shelf().read().profiles) == left
    assert "mule" not in window.machines


def test_a_save_that_fails_is_told_and_nothing_is_lost(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    named(editor, "Mule")
    paths.shop_profiles_dir().parent.mkdir(parents=True, exist_ok=True)
    paths.shop_profiles_dir().write_text("no folder")
    editor.commands["save"].trigger()
    assert answers(window).told and editor.isWindowModified()
    assert editor.draft.profile.name == "Mule"


def test_a_profile_of_a_run_that_ended_badly_is_offered_again(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    named(editor, "Mule")
    enter(editor, "catalogue", "seat_height_mm", "870")
    left = editor.session.job
    window.close()
    with Autosave(paths.profile_autosave_file()) as slot:
        slot.keep(left, None)
    second = open_window(qtbot)
    second.side.go_on_with_machine()
    assert second.side.office is not None
    editor = in_use(qtbot, second.side.office.editor)
    assert "Mule" in answers(second).asked[0]
    assert editor.isWindowModified() and editor.head.name.text() == "Mule"
    assert figure(editor, "catalogue", "seat_height_mm").typed == "870 mm"
    named(editor, "Mule two")
    assert editor.draft.profile.id == "mule-two"


def test_without_a_profile_left_over_nothing_is_asked(qtbot: QtBot, tmp_path: Path) -> None:
    window: MainWindow = open_window(qtbot)
    window.side.go_on_with_machine()
    assert window.side.office is None and not answers(window).asked


def whose(window: MainWindow, id: str) -> str:
    """What the list says of a machine."""
    assert window.side.office is not None
    tree = window.side.office.list.tree
    window.side.office.list.pick(id)
    item = tree.currentItem()
    assert item is not None
    return item.text(2)


def test_an_invented_machine_stays_one_through_edit_copy_and_import(
    qtbot: QtBot, tmp_path: Path
) -> None:
    made_up = factories.machine_profile(invented=True)
    window = open_window(qtbot, factories.job(machine=made_up), profiles={made_up.id: made_up})
    window.side.edit_machine()
    assert window.side.office is not None
    editor = in_use(qtbot, window.side.office.editor)
    enter(editor, "catalogue", "seat_height_mm", "905")
    editor.commands["save"].trigger()
    window.side.office.list.pick(made_up.id)
    window.side.office.list.copy()
    named(editor, "Copied")
    editor.commands["save"].trigger()
    coming = tmp_path / "coming.json"
    Shelf.at("").export(made_up.replace(id="coming", name="Coming"), coming)
    window.side.take_in_machine(coming)
    kept = shelf().read().profiles
    assert set(kept) == {made_up.id, "copied", "coming"}
    for id, profile in kept.items():
        assert profile.invented
        assert whose(window, id) == "the shop's, invented"
    # Only on purpose, once the figures are real.
    window.side.office.list.pick("copied")
    window.side.office.list.edit()
    QTest.mouseClick(editor.head.invented, Qt.MouseButton.LeftButton)
    editor.commands["save"].trigger()
    assert not shelf().read().profiles["copied"].invented
    assert whose(window, "copied") == "the shop's"
