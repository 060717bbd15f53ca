"""The files of machine profiles: which there are in a folder, and their text.

Owns what is a profile's file at all. A folder and a file from elsewhere are untrusted: sizes and
counts are bounded, and nothing but a plain file is opened. Refuses to write.
"""

import errno
import os
import stat
from pathlib import Path

from fitplanner.documents import codec
from fitplanner.documents.errors import refusal
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.typed import without_stale_text
from fitplanner.store.files import StoreError, store_error

ENDING = ".json"

_MAX_ENTRIES = 5000
UNREAD = "The shop's profiles cannot be read"

Signature = tuple[int, int, int]
"""Tells whether a file changed: time, size, and which file it is on its disk."""


def profile_files(path: Path) -> list[Path]:
    """`path` itself, or where it is a folder the profiles in it, by name.

    Raises:
        StoreError: there is nothing, or a folder cannot be listed or holds no profile.
    """
    try:
        if not path.is_dir():
            return [path]
        names = profile_names(path)
    except OSError as error:
        raise store_error("The folder cannot be read", path, error) from error
    if not names:
        mend = f"Name a folder of profiles; their names end in {ENDING}."
        raise StoreError("The folder holds no profile", path, mend)
    return [path / name for name in names]


def loaded(text: str) -> MachineProfile:
    """The profile that `text` is, without what it says was typed where that tells another value.

    Raises:
        DocumentError: the text is not an acceptable profile.
    """
    return without_stale_text(codec.load_machine(text))


def read_profile(path: Path) -> MachineProfile:
    """Read a profile from anywhere.

    Raises:
        DocumentError: the file is not an acceptable profile.
        StoreError: it cannot be read.
    """
    try:
        return loaded(plain_text(path))
    except OSError as error:
        raise store_error("The file cannot be read", path, error) from error


def profile_names(folder: Path) -> list[str]:
    """Names of the profiles in a folder, by name; hidden ones belong to nobody.

    Raises:
        StoreError: the folder holds far more than profiles.
        OSError: it cannot be listed.
    """
    names = []
    with os.scandir(folder) as entries:
        for count, entry in enumerate(entries):
            if count == _MAX_ENTRIES:
                mend = (
                    f"It holds more than {_MAX_ENTRIES} files; choose a folder for profiles alone."
                )
                raise StoreError(UNREAD, folder, mend)
            if entry.name.lower().endswith(ENDING) and not entry.name.startswith("."):
                names.append(entry.name)
    return sorted(names)


def signature_of(path: Path) -> Signature:
    """Tells a changed file without reading it; raises `OSError`."""
    found = path.lstat()
    return found.st_mtime_ns, found.st_size, found.st_ino


def plain_text(path: Path, *, follow: bool = True) -> str:
    """Read a plain file of bounded size; a pipe or device would never end, or never begin.

    Raises:
        DocumentError: a link where none is followed, no plain file, too large, or not text.
        OSError: it cannot be opened or read.
    """
    flags = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0)
    if not follow:
        flags |= getattr(os, "O_NOFOLLOW", 0)
        if path.is_symlink():
            raise refusal("it is a link; put the file itself here")
    try:
        descriptor = os.open(path, flags)
    except OSError as error:
        if error.errno == errno.ELOOP:
            raise refusal("it is a link; put the file itself here") from error
        raise
    with os.fdopen(descriptor, "rb") as file:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise refusal("it is no plain file; choose another file")
        # One byte more than allowed tells a file that is too large without reading it all.
        return codec.decode(file.read(codec.MAX_BYTES + 1))
