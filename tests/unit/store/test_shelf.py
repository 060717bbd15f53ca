"""The shop's folder of profiles: whole files, no silent loss, and nothing outside the folder."""

import errno
import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from fitplanner.documents import codec
from fitplanner.documents.base import Figure, Source
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import MachineProfile
from fitplanner.store import profile_files
from fitplanner.store import profiles as shelves
from fitplanner.store.files import StoreError
from fitplanner.store.profiles import Shelf, ShelfConflictError
from tests import factories

posix = pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX files")


def machine(id: str = "plover-300", **changes: object) -> MachineProfile:
    return factories.machine_profile(id=id, **changes)


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    folder = tmp_path / "shelf"
    folder.mkdir()
    return Shelf(folder)


def test_a_saved_profile_reads_back_from_a_file_of_its_id(shelf: Shelf) -> None:
    saved = shelf.save(machine(), None)
    assert saved == machine()
    found = shelf.read()
    assert dict(found.profiles) == {"plover-300": saved}
    assert dict(found.places) == {"plover-300": shelf.folder / "plover-300.json"}
    assert found.broken == ()
    assert codec.load_machine(found.places["plover-300"].read_text("utf-8")) == saved


def test_the_users_own_folder_is_made_when_needed_and_another_is_not(tmp_path: Path) -> None:
    own = Shelf(tmp_path / "a" / "own", make=True)
    assert dict(own.read().profiles) == {}
    own.save(machine(), None)
    assert list(own.read().profiles) == ["plover-300"]
    away = Shelf(tmp_path / "drive" / "profiles")
    with pytest.raises(StoreError, match="drive is connected"):
        away.read()
    with pytest.raises(StoreError, match="drive is connected"):
        away.save(machine(), None)
    assert not (tmp_path / "drive").exists()


def test_a_change_raises_the_revision(shelf: Shelf) -> None:
    first = shelf.save(machine(), None)
    second = shelf.save(first.replace(note="new link rods"), first)
    assert (second.revision, second.note) == (2, "new link rods")
    newer_elsewhere = machine(revision=9, note="from the maker's book")
    assert shelf.save(newer_elsewhere, second).revision == 9


def test_the_same_again_is_saved_already(shelf: Shelf) -> None:
    first = shelf.save(machine(), None)
    second = shelf.save(first.replace(note="new"), first)
    before = shelf.path_of(first.id).stat().st_mtime_ns
    assert shelf.save(first.replace(note="new"), first) == second
    assert shelf.save(second, None) == second
    assert shelf.path_of(first.id).stat().st_mtime_ns == before


def test_what_another_counter_saved_meanwhile_is_never_replaced_unseen(shelf: Shelf) -> None:
    here, there = shelf, Shelf(shelf.folder)
    base = here.save(machine(), None)
    theirs = there.save(base.replace(note="theirs"), base)
    mine = base.replace(note="mine")
    with pytest.raises(ShelfConflictError) as caught:
        here.save(mine, base)
    told = caught.value
    assert (told.mine, told.base, told.theirs) == (mine, base, theirs)
    assert told.written is not None
    assert told.written.when.timestamp() == pytest.approx(
        shelf.path_of(base.id).stat().st_mtime, abs=1e-3
    )
    # The disk names this very user, which says nothing of who sat at the other counter.
    assert told.written.who == ""
    assert here.read().profiles[base.id] == theirs
    # Having seen it, the user may decide.
    assert told.theirs is not None
    assert here.save(mine, told.theirs).revision == 3


def test_a_new_profile_does_not_replace_one_of_its_id(shelf: Shelf) -> None:
    theirs = shelf.save(machine(note="theirs"), None)
    with pytest.raises(ShelfConflictError) as caught:
        shelf.save(machine(note="mine"), None)
    assert caught.value.theirs == theirs


def test_one_that_was_removed_meanwhile_is_a_conflict_too(shelf: Shelf) -> None:
    base = shelf.save(machine(), None)
    Shelf(shelf.folder).remove(base.id)
    with pytest.raises(ShelfConflictError) as caught:
        shelf.save(base.replace(note="mine"), base)
    assert caught.value.theirs is None
    assert list(shelf.read().profiles) == []


def test_a_removed_profile_can_be_brought_back(shelf: Shelf) -> None:
    first = shelf.save(machine(), None)
    kept = shelf.remove(first.id)
    assert dict(shelf.read().profiles) == {}
    assert kept.is_file()
    again = shelf.save(machine(note="another"), None)
    other = shelf.remove(again.id)
    assert other != kept
    assert shelf.bring_back(kept) == first
    assert shelf.read().profiles[first.id] == first
    assert not kept.exists()
    with pytest.raises(ShelfConflictError):
        shelf.bring_back(other)
    assert other.is_file()
    with pytest.raises(StoreError, match="check the name"):
        shelf.remove("unknown")


def test_import_keeps_nothing_and_export_writes_what_imports(shelf: Shelf, tmp_path: Path) -> None:
    out = tmp_path / "for a friend.json"
    shelf.export(machine(), out)
    assert shelf.import_(out) == machine()
    assert dict(shelf.read().profiles) == {}
    out.write_text("{", encoding="utf-8")
    with pytest.raises(DocumentError, match="damaged at line 1"):
        shelf.import_(out)
    with pytest.raises(StoreError, match="check the name"):
        shelf.import_(tmp_path / "gone.json")


def test_files_that_cannot_be_used_are_told_beside_the_others(shelf: Shelf) -> None:
    good = shelf.save(machine(), None)
    (shelf.folder / "torn.json").write_text("{", encoding="utf-8")
    (shelf.folder / "twin.json").write_text(codec.dump(machine()), encoding="utf-8")
    (shelf.folder / "folder.json").mkdir()
    (shelf.folder / ".hidden.json").write_text("{", encoding="utf-8")
    (shelf.folder / "notes.txt").write_text("no profile", encoding="utf-8")
    found = shelf.read()
    assert list(found.profiles.values()) == [good]
    said = {one.path.name: one.message for one in found.broken}
    assert sorted(said) == ["folder.json", "torn.json", "twin.json"]
    assert "rename it to plover-300.json" in said["twin.json"]
    assert "damaged" in said["torn.json"]


def test_a_broken_file_of_the_same_name_is_not_replaced(shelf: Shelf) -> None:
    path = shelf.path_of("plover-300")
    path.write_text("{ half", encoding="utf-8")
    with pytest.raises(StoreError, match="remove it first"):
        shelf.save(machine(), None)
    assert path.read_text("utf-8") == "{ half"
    shelf.remove("plover-300")
    assert shelf.save(machine(), None) == machine()


def test_more_than_a_shop_has_is_bounded(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    for n in range(4):
        shelf.save(machine(f"machine-{n}"), None)
    monkeypatch.setattr(shelves, "MAX_FILES", 3)
    found = shelf.read()
    assert sorted(found.profiles) == ["machine-0", "machine-1", "machine-2"]
    assert found.broken[0].path == shelf.folder
    assert "more than 3 profiles" in found.broken[0].message
    monkeypatch.setattr(profile_files, "_MAX_ENTRIES", 2)
    with pytest.raises(StoreError, match="folder for profiles alone"):
        shelf.read()


def test_the_bytes_read_are_bounded(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    for n in range(3):
        shelf.save(machine(f"machine-{n}"), None)
    size = shelf.path_of("machine-0").stat().st_size
    monkeypatch.setattr(shelves, "MAX_TOTAL_BYTES", 2 * size)
    found = shelf.read()
    assert sorted(found.profiles) == ["machine-0", "machine-1"]
    assert [one.path.name for one in found.broken] == ["machine-2.json"]


def test_a_file_that_did_not_change_is_not_read_again(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf.save(machine(), None)
    first = shelf.read().profiles["plover-300"]
    read: list[str] = []
    real = codec.load_machine
    monkeypatch.setattr(codec, "load_machine", lambda text: read.append("") or real(text))
    assert shelf.read().profiles["plover-300"] is first
    assert read == []
    Shelf(shelf.folder).save(first.replace(note="new"), first)
    read.clear()
    assert shelf.read().profiles["plover-300"].note == "new"
    assert read == [""]


@posix
@pytest.mark.parametrize("leads", ["file", "folder", "nowhere", "/dev/zero"])
def test_no_link_is_followed_out_of_the_folder(shelf: Shelf, tmp_path: Path, leads: str) -> None:
    outside = tmp_path / "outside.json"
    outside.write_text(codec.dump(machine()), encoding="utf-8")
    target = {"file": outside, "folder": tmp_path, "nowhere": tmp_path / "nowhere"}
    link = shelf.path_of("plover-300")
    link.symlink_to(target.get(leads, Path(leads)))
    found = shelf.read()
    assert dict(found.profiles) == {}
    assert "it is a link" in found.broken[0].message
    with pytest.raises(StoreError, match="it is a link"):
        shelf.save(machine(note="mine"), None)
    shelf.remove("plover-300")
    assert outside.read_text("utf-8") == codec.dump(machine())
    assert not (tmp_path / "nowhere").exists()


@posix
def test_a_link_in_place_of_the_programs_own_files_is_refused(shelf: Shelf, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    (shelf.folder / ".lock").symlink_to(outside)
    with pytest.raises(StoreError):
        shelf.save(machine(), None)
    assert not outside.exists()
    (shelf.folder / ".lock").unlink()
    shelf.save(machine(), None)
    outside.mkdir()
    (shelf.folder / shelves.REMOVED).symlink_to(outside)
    with pytest.raises(StoreError, match="choose another folder"):
        shelf.remove("plover-300")
    assert list(outside.iterdir()) == []


@posix
def test_a_pipe_is_not_waited_for(shelf: Shelf, tmp_path: Path) -> None:
    os.mkfifo(shelf.path_of("plover-300"))
    assert "no plain file" in shelf.read().broken[0].message
    with pytest.raises(DocumentError, match="no plain file"):
        shelf.import_(shelf.path_of("plover-300"))


def test_the_name_of_a_device_is_refused(shelf: Shelf, tmp_path: Path) -> None:
    with pytest.raises(DocumentError, match="choose another id"):
        shelf.save(machine("com1"), None)
    shelf.export(machine("nul"), tmp_path / "a.json")
    with pytest.raises(DocumentError, match="choose another id"):
        shelf.import_(tmp_path / "a.json")


def test_what_the_disk_refuses_is_told_with_its_mend(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = shelf.save(machine(), None)

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "no space")

    with monkeypatch.context() as broken:
        broken.setattr(os, "replace", full)
        with pytest.raises(StoreError, match="disk is full"):
            shelf.save(old.replace(note="new"), old)
    assert shelf.read().profiles[old.id] == old
    assert sorted(one.name for one in shelf.folder.iterdir()) == [".lock", "plover-300.json"]


@posix
@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="the superuser may write all")
def test_a_folder_that_can_only_be_read_is_read(shelf: Shelf) -> None:
    old = shelf.save(machine(), None)
    shelf.folder.chmod(0o555)
    try:
        assert shelf.read().profiles[old.id] == old
        with pytest.raises(StoreError, match="write-protected"):
            shelf.save(old.replace(note="new"), old)
    finally:
        shelf.folder.chmod(0o755)


@posix
def test_a_folder_that_may_not_be_written_says_so(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As the one above, for whoever tests as the superuser."""
    real = os.open

    def refused(path: object, flags: int, *rest: int) -> int:
        if flags & os.O_CREAT:
            raise PermissionError(errno.EACCES, "no")
        return real(path, flags, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "open", refused)
    with pytest.raises(StoreError, match="write-protected") as caught:
        shelf.save(machine(), None)
    assert caught.value.what == "The profile is not saved"
    with pytest.raises(StoreError, match="write-protected") as caught:
        shelf.remove("plover-300")
    assert caught.value.what == "The profile is not removed"


@posix
def test_a_lock_that_another_user_made_will_do(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    (shelf.folder / ".lock").touch()
    real = os.open

    def refused(path: object, flags: int, *rest: int) -> int:
        if str(path).endswith(".lock") and flags & os.O_RDWR:
            raise PermissionError(errno.EACCES, "no")
        return real(path, flags, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "open", refused)
    assert shelf.save(machine(), None) == machine()


@posix
def test_who_is_saving_is_waited_for(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    import fcntl

    shelf.save(machine(), None)
    with (shelf.folder / ".lock").open("r") as other:
        fcntl.flock(other, fcntl.LOCK_EX)
        monkeypatch.setattr(shelves, "_LOCK_PATIENCE_S", 0.05)
        with pytest.raises(StoreError, match="try again in a moment"):
            shelf.save(machine("plover-301"), None)
    assert shelf.save(machine("plover-301"), None).id == "plover-301"


def test_a_drive_without_locks_is_used_all_the_same(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(_: int) -> None:
        raise OSError(errno.ENOLCK, "no locks")

    monkeypatch.setattr(shelves, "lock", none)
    assert shelf.save(machine(), None) == machine()


def test_many_counters_lose_no_change(shelf: Shelf) -> None:
    """Each adds its mark again and again, made from what it saw: none may get lost."""
    shelf.save(machine(note=""), None)
    counters, rounds = 4, 5

    def work(name: str) -> None:
        mine = Shelf(shelf.folder)
        for _ in range(rounds):
            while True:
                base = mine.read().profiles["plover-300"]
                try:
                    mine.save(base.replace(note=base.note + name), base)
                    break
                except ShelfConflictError:
                    continue

    threads = [threading.Thread(target=work, args=(name,)) for name in "abcd"[:counters]]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    last = shelf.read().profiles["plover-300"]
    assert sorted(last.note) == sorted("abcd" * rounds)
    assert last.revision == 1 + counters * rounds


_SAVE_FOR_EVER = """
import sys
from pathlib import Path
from fitplanner.store.profiles import Shelf
shelf = Shelf(Path(sys.argv[1]))
count = 0
while True:
    count += 1
    now = shelf.read().profiles["plover-300"]
    saved = shelf.save(now.replace(note=f"{count} " + "x" * (count * 37 % 1500)), now)
    print(saved.revision, flush=True)
"""


@posix
@pytest.mark.slow
@pytest.mark.parametrize("saves", [1, 6, 25])
def test_killed_while_saving_nothing_reported_is_lost(shelf: Shelf, saves: int) -> None:
    shelf.save(machine(), None)
    command = [sys.executable, "-c", _SAVE_FOR_EVER, str(shelf.folder)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        reported = [int(process.stdout.readline()) for _ in range(saves)]
        process.kill()
        process.wait()
    found = shelf.read()
    assert found.broken == ()
    last = found.profiles["plover-300"]
    assert last.revision >= reported[-1]
    # The lock went with the program, and what it left behind goes with the next save.
    shelf.save(last.replace(note="after"), last)
    assert sorted(one.name for one in shelf.folder.iterdir()) == [".lock", "plover-300.json"]


@posix
@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_killed_at_one_step_of_a_save(shelf: Shelf, step: str) -> None:
    old = shelf.save(machine(), None)
    script = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from fitplanner.store.profiles import Shelf\n"
        f"os.{step} = lambda *_: os.kill(os.getpid(), 9)\n"
        "shelf = Shelf(Path(sys.argv[1]))\n"
        "now = shelf.read().profiles['plover-300']\n"
        "shelf.save(now.replace(note='new'), now)\n"
    )
    run = subprocess.run([sys.executable, "-c", script, str(shelf.folder)], check=False)
    assert run.returncode == -9
    found = shelf.read()
    assert (dict(found.profiles), found.broken) == ({old.id: old}, ())


def test_a_folder_that_goes_and_comes_back(shelf: Shelf) -> None:
    old = shelf.save(machine(), None)
    away = shelf.folder.with_name("away")
    shelf.folder.rename(away)
    with pytest.raises(StoreError, match="drive is connected"):
        shelf.read()
    away.rename(shelf.folder)
    assert shelf.read().profiles[old.id] == old


def test_a_value_changed_in_the_file_loses_the_text_that_it_was_typed_as(shelf: Shelf) -> None:
    seat = Figure(value=934.72, source=Source.MAKER, typed="36.8 in")
    written = machine(catalogue={"seat_height_mm": seat})
    path = shelf.folder / "plover-300.json"
    path.write_text(codec.dump(written).replace("934.72", "914.0"), "utf-8")
    assert shelf.read().profiles["plover-300"].catalogue.seat_height_mm.typed == ""
    assert shelf.import_(path).catalogue.seat_height_mm.value == 914.0
    assert shelf.import_(path).catalogue.seat_height_mm.typed == ""
    # Kept, it lies there as it was read, so that the next save finds what it expects.
    read = shelf.import_(path)
    kept = shelf.save(read.replace(note="seen"), shelf.read().profiles["plover-300"])
    assert shelf.read().profiles["plover-300"] == kept
