"""A file is the old or the new one, never a part; and an error says what, where and the mend."""

import errno
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from fitplanner.documents import codec
from fitplanner.documents.errors import DocumentError
from fitplanner.store import files
from fitplanner.store.files import StoreError, open_job, save_job
from tests import factories

OLD = factories.job(title="old")
NEW = factories.job(title="new")


@pytest.fixture
def job_file(tmp_path: Path) -> Path:
    path = tmp_path / "Ärger mit der Höhe.fit.json"
    save_job(OLD, path)
    return path


def test_a_job_reads_back(job_file: Path) -> None:
    assert open_job(job_file) == OLD
    save_job(NEW, job_file)
    assert open_job(job_file) == NEW
    assert [one.name for one in job_file.parent.iterdir()] == [job_file.name]


def test_a_missing_folder_is_made(tmp_path: Path) -> None:
    save_job(NEW, tmp_path / "2031" / "spring" / "a.fit.json")
    assert open_job(tmp_path / "2031" / "spring" / "a.fit.json") == NEW


@pytest.mark.parametrize("step", ["fsync", "replace"])
@pytest.mark.parametrize(
    ("number", "mend"),
    [
        (errno.ENOSPC, "disk is full"),
        (errno.EACCES, "choose another place"),
        (errno.EROFS, "choose another drive"),
        (errno.EIO, "try again"),
    ],
)
def test_a_failed_save_leaves_the_old_file_and_nothing_else(
    job_file: Path, monkeypatch: pytest.MonkeyPatch, step: str, number: int, mend: str
) -> None:
    def fail(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as broken:
        broken.setattr(os, step, fail)
        with pytest.raises(StoreError) as caught:
            save_job(NEW, job_file)
    assert caught.value.where == job_file
    assert mend in caught.value.mend
    assert str(job_file) in str(caught.value)
    assert open_job(job_file) == OLD
    assert list(job_file.parent.iterdir()) == [job_file]


def test_the_data_is_on_the_disk_before_the_name(
    job_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without this order a power cut can leave an empty file under the right name."""
    steps: list[str] = []
    real_fsync, real_replace = os.fsync, os.replace

    def fsync(descriptor: int) -> None:
        steps.append("folder" if stat.S_ISDIR(os.fstat(descriptor).st_mode) else "data")
        real_fsync(descriptor)

    def replace(source: Path, target: Path) -> None:
        steps.append("name")
        real_replace(source, target)

    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(os, "replace", replace)
    save_job(NEW, job_file)
    assert steps[:2] == ["data", "name"]
    if sys.platform != "win32":
        assert steps == ["data", "name", "folder"]


_SAVE_FOR_EVER = """
import sys
from pathlib import Path
from fitplanner.store.files import open_job, save_job
path = Path(sys.argv[1])
job = open_job(path)
count = 0
while True:
    count += 1
    save_job(job.replace(title=f"save {count} " + "x" * (count * 37 % 150)), path)
    print(count, flush=True)
"""

_DIE_AT = """
import os, sys
from pathlib import Path
from fitplanner.store.files import open_job, save_job
path, step, after = Path(sys.argv[1]), sys.argv[2], sys.argv[3] == "after"
real = getattr(os, step)
def die(*arguments):
    if after:
        real(*arguments)
    os.kill(os.getpid(), 9)
setattr(os, step, die)
save_job(open_job(path).replace(title="new"), path)
"""

needs_kill = pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX signals")


@needs_kill
@pytest.mark.slow
@pytest.mark.parametrize("saves", [1, 7, 40])
def test_killed_while_saving_the_file_can_always_be_read(job_file: Path, saves: int) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", _SAVE_FOR_EVER, str(job_file)], stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        for _ in range(saves):
            assert process.stdout.readline()
        process.kill()
        process.wait()
    title = open_job(job_file).title
    assert int(title.split()[1]) >= saves


@needs_kill
@pytest.mark.slow
@pytest.mark.parametrize(
    ("step", "when", "title"),
    [("fsync", "before", "old"), ("replace", "before", "old"), ("replace", "after", "new")],
)
def test_killed_at_one_step_of_a_save(job_file: Path, step: str, when: str, title: str) -> None:
    run = subprocess.run([sys.executable, "-c", _DIE_AT, str(job_file), step, when], check=False)
    assert run.returncode == -9
    assert open_job(job_file).title == title


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_link_stays_a_link(job_file: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.fit.json"
    link.symlink_to(job_file)
    save_job(NEW, link)
    assert link.is_symlink()
    assert open_job(job_file) == NEW


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX permissions")
def test_permissions_stay(job_file: Path) -> None:
    job_file.chmod(0o640)
    save_job(NEW, job_file)
    assert stat.S_IMODE(job_file.stat().st_mode) == 0o640


def test_a_write_protected_file_is_not_replaced(
    job_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(StoreError, match="write-protected"):
        save_job(NEW, job_file)
    assert open_job(job_file) == OLD


def test_reading_says_what_is_wrong(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(StoreError, match="check the name"):
        open_job(tmp_path / "gone.fit.json")
    with pytest.raises(StoreError, match="It is a folder"):
        open_job(tmp_path)
    big = tmp_path / "big.fit.json"
    big.write_bytes(b" " * (codec.MAX_BYTES + 1))
    with pytest.raises(DocumentError, match="larger than 4 MB"):
        open_job(big)

    def forbidden(*_: object) -> None:
        raise PermissionError(errno.EACCES, "no")

    monkeypatch.setattr(Path, "open", forbidden)
    with pytest.raises(StoreError, match="belongs to someone else"):
        open_job(big)


@pytest.mark.parametrize(
    ("typed", "named"),
    [
        ("Anna", "Anna.fit.json"),
        ("Anna.json", "Anna.fit.json"),
        ("Anna.fit.json", "Anna.fit.json"),
        ("Anna.FIT.JSON", "Anna.FIT.JSON"),
        ("v1.2", "v1.2.fit.json"),
    ],
)
def test_a_typed_name_gets_the_extension(typed: str, named: str) -> None:
    assert files.with_job_extension(Path("folder") / typed) == Path("folder") / named


def test_a_path_that_no_text_can_hold_is_left_out() -> None:
    assert files.path_text(Path("/a\udcff")) is None
    assert files.path_text(Path("/" + "a" * 3000)) is None
    assert files.path_text(Path("/jobs/ä.fit.json")) == str(Path("/jobs/ä.fit.json").absolute())
