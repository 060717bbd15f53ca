"""The program's own files: preferences, recent jobs and unsaved work survive damage and crashes."""

import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fitplanner import paths
from fitplanner.documents.preferences import Preferences, Theme
from fitplanner.store import autosave
from fitplanner.store.autosave import Autosave
from fitplanner.store.files import StoreError, save_job
from fitplanner.store.preferences import load_preferences, save_preferences
from fitplanner.store.recent import LIMIT, add_recent, forget_recent, recent_jobs
from fitplanner.store.shop.records import Kept
from tests import factories

JOB = factories.job(title="saved")
EDITED = factories.job(title="edited")


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FITPLANNER_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def test_preferences_read_back() -> None:
    assert load_preferences() == (Preferences(), "")
    dark = Preferences(theme=Theme.DARK, last_folder="/jobs")
    save_preferences(dark)
    assert load_preferences() == (dark, "")


@pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX rights")
def test_preferences_are_for_their_owner_alone(home: Path) -> None:
    """They may hold the password of the shop's database."""
    for _ in range(2):
        save_preferences(Preferences(shop_database="jo:secret@pc/jobs"))
        (file,) = home.iterdir()
        assert file.stat().st_mode & 0o777 == 0o600
        file.chmod(0o644)


@pytest.mark.parametrize("content", [b"", b"{", b"\xff\xfe", b'{"format": "x"}', b"[" * 9999])
def test_damaged_preferences_fall_back_and_are_kept(home: Path, content: bytes) -> None:
    save_preferences(Preferences(theme=Theme.DARK))
    (file,) = home.iterdir()
    file.write_bytes(content)
    preferences, message = load_preferences()
    assert preferences == Preferences()
    kept = home / (file.name + ".bad")
    assert kept.read_bytes() == content
    assert str(kept) in message
    assert load_preferences() == (Preferences(), "")


def test_recent_jobs_are_newest_first_and_listed_once(tmp_path: Path) -> None:
    jobs = [tmp_path / f"{n}.fit.json" for n in range(LIMIT + 3)]
    for job in [*jobs, jobs[5]]:
        add_recent(job)
    listed = [one.path for one in recent_jobs()]
    assert listed == [jobs[5], *(one for one in reversed(jobs) if one != jobs[5])][:LIMIT]


def test_a_recent_job_that_is_gone_is_shown_as_missing(tmp_path: Path) -> None:
    here, gone = tmp_path / "here.fit.json", tmp_path / "gone.fit.json"
    save_job(JOB, here)
    add_recent(gone)
    add_recent(here)
    assert [(one.path, one.missing) for one in recent_jobs()] == [(here, False), (gone, True)]
    forget_recent(gone)
    assert [one.path for one in recent_jobs()] == [here]


def test_a_damaged_list_of_recent_jobs_starts_anew(tmp_path: Path) -> None:
    add_recent(tmp_path / "a.fit.json")
    paths.recent_file().write_text("{", encoding="utf-8")
    assert recent_jobs() == []
    add_recent(tmp_path / "b.fit.json")
    assert [one.path for one in recent_jobs()] == [tmp_path / "b.fit.json"]


def test_a_name_that_is_no_text_does_not_spoil_the_list(tmp_path: Path) -> None:
    add_recent(tmp_path / "a.fit.json")
    add_recent(tmp_path / "\udcff.fit.json")
    assert [one.path for one in recent_jobs()] == [tmp_path / "a.fit.json"]


def test_unsaved_work_is_offered_again(tmp_path: Path) -> None:
    file = tmp_path / "job.fit.json"
    save_job(JOB, file)
    with Autosave() as first:
        assert first.recovery() is None
        first.keep(EDITED, file)
    with Autosave() as second:
        found = second.recovery()
    assert found is not None
    assert (found.job, found.file, found.file_is_newer) == (EDITED, file, False)


def test_work_never_saved_is_offered_again() -> None:
    with Autosave() as first:
        first.keep(EDITED, None)
    with Autosave() as second:
        found = second.recovery()
    assert found is not None
    assert (found.job, found.file) == (EDITED, None)


def test_work_whose_file_is_gone_is_offered_again(tmp_path: Path) -> None:
    with Autosave() as first:
        first.keep(EDITED, tmp_path / "gone.fit.json")
    with Autosave() as second:
        assert second.recovery() is not None


def test_work_of_the_shop_waits_with_what_it_was_made_from() -> None:
    at = datetime(2026, 3, 1, 12, 30, tzinfo=UTC)
    kept = Kept("a" * 32, 4, JOB, None, at, at, "Maud")
    with Autosave() as first:
        first.keep(EDITED, None, kept)
    with Autosave() as second:
        found = second.recovery()
    assert found is not None
    assert (found.job, found.file, found.kept) == (EDITED, None, kept)


@pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX rights")
def test_unsaved_work_is_for_its_owner_alone() -> None:
    with Autosave() as slot:
        slot.keep(EDITED, None)
        assert slot.slot.stat().st_mode & 0o777 == 0o600


def test_unsaved_work_of_version_1_is_offered() -> None:
    old = Path(__file__).parents[2] / "files" / "autosave-version-1.json"
    with Autosave() as slot:
        slot.slot.write_bytes(old.read_bytes())
        found = slot.recovery()
    assert found is not None
    assert found.job.title == "Kept by version 1"
    assert (found.file, found.kept) == (Path("/shop/jobs/first.fit.json"), None)


def test_work_that_was_cleared_or_saved_is_not_offered(tmp_path: Path) -> None:
    file = tmp_path / "job.fit.json"
    with Autosave() as first:
        first.keep(EDITED, None)
        first.clear()
        first.clear()
    with Autosave() as second:
        assert second.recovery() is None
        second.keep(EDITED, file)
        save_job(EDITED, file)  # and the program dies before it clears the slot
    with Autosave() as third:
        assert third.recovery() is None
        assert not third.slot.exists()


def test_a_file_changed_since_is_named(tmp_path: Path) -> None:
    file = tmp_path / "job.fit.json"
    with Autosave() as first:
        first.keep(EDITED, file)
        save_job(JOB, file)
        later = first.slot.stat().st_mtime + 60
        os.utime(file, (later, later))
    with Autosave() as second:
        found = second.recovery()
    assert found is not None
    assert found.file_is_newer


def test_damaged_unsaved_work_does_not_stop_the_start() -> None:
    with Autosave() as first:
        first.keep(EDITED, None)
        first.slot.write_text("{", encoding="utf-8")
    with Autosave() as second:
        assert second.recovery() is None
        assert second.slot.with_name(second.slot.name + ".bad").exists()


def test_two_windows_do_not_share_a_slot() -> None:
    with Autosave() as first, Autosave() as second:
        assert first.slot != second.slot
        first.keep(JOB, None)
        second.keep(EDITED, None)
        with Autosave() as third:
            assert third.recovery() is None
    titles = set()
    for _ in range(2):
        with Autosave() as again:
            found = again.recovery()
            assert found is not None
            titles.add(found.job.title)
            again.clear()
    assert titles == {"saved", "edited"}


def test_more_windows_than_slots_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(autosave, "SLOTS", 1)
    with Autosave(), pytest.raises(StoreError, match="close one"):
        Autosave()


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(StoreError, match="choose another folder"):
        Autosave(tmp_path / "file" / "autosave.json")


_KEEP_AND_DIE = """
import os, sys
from pathlib import Path
from fitplanner.store.autosave import Autosave
from fitplanner.store.files import open_job
kept = Autosave()
kept.keep(open_job(Path(sys.argv[1])).replace(title="before the crash"), Path(sys.argv[1]))
os.kill(os.getpid(), 9)
"""


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX signals")
def test_a_killed_program_gives_its_slot_back(tmp_path: Path) -> None:
    file = tmp_path / "job.fit.json"
    save_job(JOB, file)
    run = subprocess.run([sys.executable, "-c", _KEEP_AND_DIE, str(file)], check=False)
    assert run.returncode == -9
    with Autosave() as after:
        found = after.recovery()
    assert found is not None
    assert found.job == JOB.replace(title="before the crash")
