"""A profile is saved without replacing what nobody has seen; files come in and go out."""

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from fitplanner.documents import codec
from fitplanner.documents.machine import MachineProfile
from fitplanner.store.profiles import Shelf
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.profiles.importing import Importing
from fitplanner.ui.profiles.replacing import Kept
from tests import factories
from tests.gui.shell import answers, open_window


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    """The user's own folder, as the window has it."""
    return Shelf(tmp_path / "home" / "profiles", make=True)


@pytest.fixture
def window(qtbot: QtBot, shelf: Shelf) -> MainWindow:
    return open_window(qtbot)


def machine(**changes: object) -> MachineProfile:
    return factories.machine_profile(id="plover-300", name="Plover 300", **changes)


def mine(mine: MachineProfile, *_: MachineProfile) -> tuple[Kept, MachineProfile]:
    return Kept.MINE, mine


def theirs(_: object, theirs: MachineProfile, __: object) -> tuple[Kept, MachineProfile]:
    return Kept.THEIRS, theirs


def both(_: object, __: object, second: MachineProfile) -> tuple[Kept, MachineProfile]:
    return Kept.BOTH, second.replace(id="plover-300-2", name="Plover 300 (2)", revision=1)


def merged(mine: MachineProfile, theirs: MachineProfile, _: object) -> tuple[Kept, MachineProfile]:
    return Kept.MERGED, mine.replace(note=f"{mine.note}+{theirs.note}")


def two_changes(window: MainWindow, shelf: Shelf) -> tuple[MachineProfile, MachineProfile]:
    """What the own change began with, and what somebody saved meanwhile."""
    base = window.shelving.save(machine(note="base"), None)
    assert base is not None
    return base, shelf.save(base.replace(note="theirs"), base)


def test_a_conflict_is_settled_by_the_user(window: MainWindow, shelf: Shelf) -> None:
    base, saved = two_changes(window, shelf)
    answers(window).profiles = [mine]
    kept = window.shelving.save(base.replace(note="mine"), base)
    assert kept is not None and (kept.note, kept.revision) == ("mine", 3)
    assert shelf.read().profiles[base.id] == kept == window.machines[base.id]
    assert answers(window).asked == ["Two have changed this machine: 1 or 2"]
    assert saved.revision == 2


def test_theirs_stays_where_the_user_takes_it(window: MainWindow, shelf: Shelf) -> None:
    base, saved = two_changes(window, shelf)
    answers(window).profiles = [theirs]
    assert window.shelving.save(base.replace(note="mine"), base) == saved
    assert shelf.read().profiles[base.id] == saved == window.machines[base.id]


def test_both_stay_under_two_ids(window: MainWindow, shelf: Shelf) -> None:
    base, saved = two_changes(window, shelf)
    answers(window).profiles = [both]
    kept = window.shelving.save(base.replace(note="mine"), base)
    assert kept is not None and (kept.id, kept.note) == ("plover-300-2", "mine")
    assert dict(shelf.read().profiles) == {"plover-300": saved, "plover-300-2": kept}
    assert set(shelf.read().profiles) <= set(window.machines)


def test_single_entries_are_taken_over(window: MainWindow, shelf: Shelf) -> None:
    base, _ = two_changes(window, shelf)
    answers(window).profiles = [merged]
    kept = window.shelving.save(base.replace(note="mine"), base)
    assert kept is not None and (kept.note, kept.revision) == ("mine+theirs", 3)


def test_given_up_nothing_is_saved(window: MainWindow, shelf: Shelf) -> None:
    base, saved = two_changes(window, shelf)
    answers(window).profiles = [None]
    assert window.shelving.save(base.replace(note="mine"), base) is None
    assert shelf.read().profiles[base.id] == saved


def test_somebody_faster_again_is_asked_about_again(window: MainWindow, shelf: Shelf) -> None:
    base, _ = two_changes(window, shelf)

    def while_somebody_saves(
        own: MachineProfile, other: MachineProfile, _: object
    ) -> tuple[Kept, MachineProfile]:
        shelf.save(other.replace(note="theirs again"), other)
        return Kept.MINE, own

    answers(window).profiles = [while_somebody_saves, mine]
    kept = window.shelving.save(base.replace(note="mine"), base)
    assert kept is not None and (kept.note, kept.revision) == ("mine", 4)
    assert len(answers(window).asked) == 2


def test_one_removed_meanwhile_is_saved_again_if_wanted(window: MainWindow, shelf: Shelf) -> None:
    base = window.shelving.save(machine(), None)
    assert base is not None
    shelf.remove(base.id)
    answers(window).save_removed = False
    assert window.shelving.save(base.replace(note="mine"), base) is None
    assert dict(shelf.read().profiles) == {}
    answers(window).save_removed = True
    assert window.shelving.save(base.replace(note="mine"), base) is not None
    assert shelf.read().profiles[base.id].note == "mine"


def test_a_profile_in_the_place_of_a_shipped_one_counts_on(
    window: MainWindow, shelf: Shelf
) -> None:
    shipped = window.session.job.machine
    kept = window.shelving.save(shipped.replace(note="ours"), None)
    assert kept is not None and kept.revision == shipped.revision + 1
    assert window.machines.replaces_shipped(shipped.id)


def test_a_refusal_of_the_disk_is_told(window: MainWindow, tmp_path: Path) -> None:
    (tmp_path / "home").mkdir(exist_ok=True)
    (tmp_path / "home" / "profiles").write_text("a file where a folder should be")
    assert window.shelving.save(machine(), None) is None
    assert "A file stands where a folder should be" in answers(window).told[0]


def importing(window: MainWindow) -> Importing:
    return Importing(window.machines, window.shelving, answers(window), window)


def coming(tmp_path: Path, profile: MachineProfile) -> Path:
    path = tmp_path / "from a friend.json"
    path.write_text(codec.dump(profile), encoding="utf-8")
    return path


def test_a_profile_comes_in(window: MainWindow, shelf: Shelf, tmp_path: Path) -> None:
    answers(window).to_open = coming(tmp_path, machine(revision=4))
    importing(window).import_()
    assert dict(shelf.read().profiles) == {"plover-300": machine(revision=4)}
    assert "“Plover 300” is in the library now, revision 4" in answers(window).told[0]
    assert window.inputs.machine.chooser.findData("plover-300") >= 0
    importing(window).import_()
    assert "already, with the same figures" in answers(window).told[1]


def test_slips_in_a_profile_that_comes_in_are_counted(window: MainWindow, tmp_path: Path) -> None:
    odd = machine(masses={"front_unsprung_kg": 38.0})
    importing(window).import_path(coming(tmp_path, odd))
    assert "1 figure looks like a slip" in answers(window).told[0]


def test_one_whose_id_is_there_is_shown_beside_it(
    window: MainWindow, shelf: Shelf, tmp_path: Path
) -> None:
    present = window.shelving.save(machine(note="ours"), None)
    path = coming(tmp_path, machine(note="from a friend", revision=7))
    answers(window).profiles = [None, mine, both, merged, theirs]
    for _ in range(2):
        assert importing(window).import_path(path) is None
        assert shelf.read().profiles["plover-300"] == present
    second = importing(window).import_path(path)
    assert second is not None and (second.id, second.note) == ("plover-300-2", "from a friend")
    one = importing(window).import_path(path)
    assert one is not None and (one.note, one.revision) == ("ours+from a friend", 2)
    whole = importing(window).import_path(path)
    assert whole is not None and (whole.note, whole.revision) == ("from a friend", 7)
    assert answers(window).asked[0] == "Import a machine: 1 or 7"


def test_one_with_the_id_of_a_shipped_machine_is_shown_too(
    window: MainWindow, shelf: Shelf, tmp_path: Path
) -> None:
    shipped = window.session.job.machine
    answers(window).profiles = [theirs]
    kept = importing(window).import_path(coming(tmp_path, shipped.replace(note="better")))
    assert kept is not None and kept.note == "better"
    assert window.machines.replaces_shipped(shipped.id)
    assert "Planned on revision 1" in window.inputs.machine.changed.text()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "damaged at line 1"),
        ("[]", "no group of fields"),
        ('{"format": "fitplanner-job"}', "not a machine profile"),
        ('{"format": "fitplanner-machine", "schema_version": 99}', "newer program"),
    ],
)
def test_a_file_that_is_no_profile_is_refused_in_words(
    window: MainWindow, shelf: Shelf, tmp_path: Path, text: str, said: str
) -> None:
    path = tmp_path / "odd.json"
    path.write_text(text, encoding="utf-8")
    assert importing(window).import_path(path) is None
    assert said in answers(window).told[0] and str(path) in answers(window).told[0]
    assert dict(shelf.read().profiles) == {}


def test_a_file_that_is_not_there_is_told(window: MainWindow, tmp_path: Path) -> None:
    assert importing(window).import_path(tmp_path / "gone.json") is None
    assert "check the name" in answers(window).told[0]


def test_a_machine_goes_out(window: MainWindow, tmp_path: Path) -> None:
    profile = window.session.job.machine
    answers(window).to_export = tmp_path / "given"
    assert importing(window).export(profile) == tmp_path / "given.json"
    assert answers(window).proposed[0].name == "trail-bike.json"
    written = (tmp_path / "given.json").read_text(encoding="utf-8")
    assert codec.load_machine(written) == profile
    answers(window).to_export = tmp_path / "nowhere.txt" / "given.json"
    (tmp_path / "nowhere.txt").write_text("a file")
    assert importing(window).export(profile) is None
    assert len(answers(window).told) == 1


def test_the_list_of_machines_takes_in_and_gives_out(window: MainWindow, tmp_path: Path) -> None:
    window.side.show_machines()
    assert window.side.office is not None
    listed = window.side.office.list
    answers(window).to_open = coming(tmp_path, machine())
    listed.read_button.click()
    assert listed.picked() == machine()
    answers(window).to_export = tmp_path / "given.json"
    listed.export_button.click()
    assert "given.json" in listed.says.text()
    assert codec.load_machine((tmp_path / "given.json").read_text("utf-8")) == machine()
