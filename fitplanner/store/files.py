"""Reading and writing whole files, and job files in particular.

Owns the promise that a file is either the old or the new one, never a part: a save writes a
temporary file in the same folder, flushes it to the disk and puts it in place in one step.
Refuses to know what a document means; `documents.codec` does.
"""

import contextlib
import errno
import os
import shutil
import sys
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from fitplanner.documents import codec
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job

JOB_EXTENSION = ".fit.json"
_LONGEST_PATH = 2000

T = TypeVar("T")


class StoreError(Exception):
    """A file or database could not be read or written: what, where and the mend."""

    def __init__(self, what: str, where: Path | str, mend: str) -> None:
        self.what = what
        self.where = where
        self.mend = mend
        super().__init__(f"{what}: {where}\n{mend}")


def with_job_extension(path: Path) -> Path:
    """Give a typed name the extension of job files, unless it has it already."""
    if path.name.lower().endswith(JOB_EXTENSION):
        return path
    stem = path.name[: -len(".json")] if path.name.lower().endswith(".json") else path.name
    return path.with_name(stem + JOB_EXTENSION)


def save_job(job: Job, path: Path) -> None:
    """Write `job` to `path`, whatever its extension.

    Raises:
        StoreError: it could not be written; a file that stood there before is intact.
    """
    write_text(path, codec.dump(job))


def open_job(path: Path) -> Job:
    """Read a job file.

    Raises:
        StoreError: the file cannot be read.
        DocumentError: the file is not an acceptable job.
    """
    return codec.load_job(read_text(path))


def is_machine_file(path: Path) -> bool:
    """Whether a file can be read and holds a machine profile rather than a job."""
    try:
        return codec.is_machine(read_text(path))
    except (StoreError, DocumentError):
        return False


def read_text(path: Path) -> str:
    """Read a file of bounded size as UTF-8 text.

    Raises:
        StoreError: missing, a folder, not permitted or unreadable.
        DocumentError: too large, or not text.
    """
    try:
        with path.open("rb") as file:
            # One byte more than allowed tells a file that is too large without reading it all.
            return codec.decode(file.read(codec.MAX_BYTES + 1))
    except OSError as error:
        raise store_error("The file cannot be read", path, error) from error


def write_text(path: Path, text: str, *, private: bool = False) -> None:
    """Replace the file at `path` by `text` as UTF-8, see `write_bytes`."""
    write_bytes(path, text.encode("utf-8"), private=private)


def write_bytes(path: Path, data: bytes, *, private: bool = False) -> None:
    """Replace the file at `path` in one step, following a link to the file that it stands for.

    A `private` file can be read by its owner only.

    Raises:
        StoreError: it could not be written; a file that stood there before is intact.
    """
    try:
        target = path.resolve()
        if target.exists() and not os.access(target, os.W_OK):
            raise PermissionError(errno.EACCES, "write-protected", str(target))
        target.parent.mkdir(parents=True, exist_ok=True)
        _replace(target, data, private)
    except OSError as error:
        raise store_error("The file cannot be written", path, error) from error


def read_or_set_aside(path: Path, load: Callable[[str], T], default: T) -> tuple[T, str]:
    """Read one of the program's own files; a damaged one is kept aside, never in the way.

    Returns:
        The document and an empty message; or `default` and what happened, in words. A file
        that does not exist yet is no message.

    Raises:
        StoreError: the file exists but cannot be read.
    """
    if not path.exists():
        return default, ""
    try:
        return load(read_text(path)), ""
    except DocumentError as error:
        aside = path.with_name(path.name + ".bad")
        with contextlib.suppress(OSError):
            path.replace(aside)
        return default, f"{path.name} was not acceptable and is kept as {aside}: {error}"


def path_text(path: Path) -> str | None:
    """The path as text for the program's own lists; None for the rare one that no text holds."""
    text = str(path.absolute())
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return None
    return text if len(text) <= _LONGEST_PATH else None


def _replace(target: Path, data: bytes, private: bool) -> None:
    temporary = target.with_name(f".{target.name}.{uuid.uuid4().hex[:8]}.tmp")
    try:
        with temporary.open("xb") as file:
            if private:
                temporary.chmod(0o600)
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if target.exists() and not private:
            shutil.copymode(target, temporary)
        os.replace(temporary, target)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise
    _flush_folder(target.parent)


def _flush_folder(folder: Path) -> None:
    """Make the new name last through a power cut; the file itself is in place already."""
    if sys.platform == "win32":
        return
    # Some network drives cannot flush a folder; the save has succeeded all the same.
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


_MENDS = {
    errno.ENOENT: "It is not there; check the name, or whether the drive is connected.",
    errno.ENOTDIR: "A part of the folder's path is a file; choose another folder.",
    errno.EEXIST: "A file stands where a folder should be; choose another folder.",
    errno.EISDIR: "It is a folder; choose a file.",
    errno.EACCES: "It is write-protected or belongs to someone else; choose another place.",
    errno.EPERM: "It is write-protected or belongs to someone else; choose another place.",
    errno.EROFS: "The drive can only be read; choose another drive.",
    errno.ENOSPC: "The disk is full; make room or choose another drive.",
    errno.EDQUOT: "Your share of the disk is used up; make room or choose another drive.",
    errno.ENAMETOOLONG: "The name is too long; choose a shorter one.",
    errno.EBUSY: "Another program holds it; close it there and try again.",
}


def store_error(what: str, where: Path | str, error: OSError) -> StoreError:
    """Put the system's error into words with a mend."""
    mend = _MENDS.get(error.errno or 0)
    return StoreError(
        what, where, mend or f"{error.strerror or error}; try again or choose another place."
    )
