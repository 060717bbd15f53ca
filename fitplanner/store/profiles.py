"""The shop's own machine profiles: a folder that several computers may share.

Owns the promise that a profile on the shelf is whole, lies under its own name, and is never
replaced unseen: `Shelf.save` takes what the change was made from, and another content there is
a conflict that shows both. A folder is untrusted: links, other sorts of file and more than a
shop can have are left out with a reason. Refuses to watch the folder and to ask the user.
"""

import contextlib
import errno
import os
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType
from typing import Any

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.errors import DocumentError, refusal
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.ids import DEVICES
from fitplanner.library.loader import BrokenFile
from fitplanner.library.typed import without_stale_text
from fitplanner.store.files import StoreError, store_error, write_text
from fitplanner.store.locks import lock
from fitplanner.store.profile_files import (
    ENDING,
    UNREAD,
    Signature,
    loaded,
    plain_text,
    profile_names,
    read_profile,
    signature_of,
)

MAX_FILES = 500
"""Profiles that a shelf holds; a shop has some dozens."""

MAX_TOTAL_BYTES = 64 * 1024 * 1024
"""Read from one folder altogether; a profile has some 12 kB."""

REMOVED = "removed"
"""The folder beside the profiles where removed ones are kept."""

_LOCK = ".lock"
_LOCK_PATIENCE_S = 5.0
_LOCK_PAUSE_S = 0.02

_UNSAVED = "The profile is not saved"
_UNREMOVED = "The profile is not removed"


def _nothing() -> Mapping[str, Any]:
    return MappingProxyType({})


@dataclass(frozen=True)
class Shelved:
    """What lies on a shelf: profiles by id, where each lies, and what cannot be used.

    `there` says whether the folder exists; the user's own one is made with the first profile.
    """

    profiles: Mapping[str, MachineProfile] = field(default_factory=_nothing)
    places: Mapping[str, Path] = field(default_factory=_nothing)
    broken: tuple[BrokenFile, ...] = ()
    there: bool = True


@dataclass(frozen=True)
class Written:
    """When a file was written, and by whom: "" where the disk does not tell one user from us.

    A drive of the network shows every file as that of the user who looks, so only another name
    says anything.
    """

    when: datetime
    who: str = ""

    @classmethod
    def of(cls, path: Path) -> "Written | None":
        """As the disk knows it; None where the file is gone."""
        try:
            found = path.stat()
        except OSError:
            return None
        who = ""
        if hasattr(os, "getuid") and found.st_uid != os.getuid():
            with contextlib.suppress(KeyError, OSError):
                who = path.owner()
        return cls(datetime.fromtimestamp(found.st_mtime, UTC), who)


class ShelfConflictError(Exception):
    """The profile on the shelf is not what the change was made from; nothing was written.

    `mine` was to be saved, made from `base` (None: as a new one); `theirs` lies there now
    (None: somebody removed it), `written` as its file says.
    """

    def __init__(
        self,
        mine: MachineProfile,
        base: MachineProfile | None,
        theirs: MachineProfile | None,
        written: Written | None = None,
    ) -> None:
        self.mine = mine
        self.base = base
        self.theirs = theirs
        self.written = written
        said = "was removed" if theirs is None else f"is there in revision {theirs.revision}"
        super().__init__(f'the profile "{mine.id}" {said}')


class Shelf:
    """The shop's folder of profiles; every method may block on a disk or a network.

    A `Shelf` may be used from one thread at a time; several on one folder do not harm each other.
    """

    def __init__(self, folder: Path, *, make: bool = False) -> None:
        """`make`: the folder is made when it is first needed, so its absence is no fault."""
        self.folder = folder.absolute()
        self._make = make
        self._known: dict[str, tuple[Signature, MachineProfile]] = {}

    @classmethod
    def at(cls, setting: str) -> "Shelf":
        """The shelf of the preference `profiles_folder`: a folder, or "" for the user's own."""
        return cls(Path(setting)) if setting else cls(paths.shop_profiles_dir(), make=True)

    def path_of(self, id: str) -> Path:
        """Where the profile of `id` lies or would lie; ids hold no separators and no dots."""
        return self.folder / f"{id}{ENDING}"

    def read(self) -> Shelved:
        """Everything on the shelf; a file that did not change is not read again.

        Raises:
            StoreError: the folder is not there or cannot be listed.
        """
        profiles: dict[str, MachineProfile] = {}
        broken: list[BrokenFile] = []
        known: dict[str, tuple[Signature, MachineProfile]] = {}
        left = MAX_TOTAL_BYTES
        names = self._names()
        if names is None:
            return Shelved(there=False)
        if len(names) > MAX_FILES:
            reason = f"it holds more than {MAX_FILES} profiles; those after the first are left out"
            broken.append(BrokenFile(self.folder, reason))
        for name in names[:MAX_FILES]:
            path = self.folder / name
            try:
                signature = signature_of(path)
                left -= signature[1]
                if left < 0:
                    reason = "the folder holds more than a shop's profiles need; move files out"
                    broken.append(BrokenFile(path, reason))
                    continue
                kept = self._known.get(name)
                unchanged = kept is not None and kept[0] == signature
                profile = kept[1] if kept is not None and unchanged else self._read(path)
            except FileNotFoundError:
                # Removed since it was listed.
                continue
            except DocumentError as error:
                broken.append(BrokenFile(path, str(error)))
                continue
            except OSError as error:
                broken.append(BrokenFile(path, f"cannot be read: {error.strerror or error}"))
                continue
            known[name] = (signature, profile)
            profiles[profile.id] = profile
        self._known = known
        places = {id: self.path_of(id) for id in profiles}
        return Shelved(MappingProxyType(profiles), MappingProxyType(places), tuple(broken))

    def save(self, profile: MachineProfile, replaces: MachineProfile | None) -> MachineProfile:
        """Write `profile` to the shelf and return it as it lies there, with its revision.

        Args:
            profile: what to keep. Its revision becomes at least one more than that which it
                replaces; a new one keeps its own.
            replaces: what lay on the shelf when the change began; None for one that was not
                there (a machine that comes with the program counts as not there).

        Raises:
            ShelfConflictError: something else lies there now, and is not the same in content.
            DocumentError: the id cannot be a file's name everywhere.
            StoreError: it could not be written; what lay there is intact.
        """
        _checked_id(profile)
        profile = without_stale_text(profile)
        self._prepare()
        with self._locked(_UNSAVED):
            present = self._present(profile.id)
            if present is not None and same_content(present, profile):
                return present
            base = None if replaces is None or replaces.id != profile.id else replaces
            if present != base:
                raise ShelfConflictError(
                    profile, base, present, Written.of(self.path_of(profile.id))
                )
            if present is not None:
                revision = max(present.revision + 1, profile.revision)
                profile = profile.replace(revision=revision)
            write_text(self.path_of(profile.id), codec.dump(profile))
        return profile

    def remove(self, id: str) -> Path:
        """Take a profile, or a broken file of its name, off the shelf; returns where it is kept.

        Raises:
            StoreError: it is not there or cannot be moved.
        """
        path = self.path_of(id)
        with self._locked(_UNREMOVED):
            try:
                aside = self.folder / REMOVED
                aside.mkdir(exist_ok=True)
                if aside.is_symlink():
                    raise NotADirectoryError(errno.ENOTDIR, "a link", str(aside))
                kept = next(one for one in _numbered(aside, id) if not one.exists())
                # A link itself is moved, never what it leads to.
                os.rename(path, kept)
            except OSError as error:
                raise store_error(_UNREMOVED, path, error) from error
        return kept

    def bring_back(self, kept: Path) -> MachineProfile:
        """Undo a `remove`: put the profile kept at `kept` back in its place.

        Raises:
            ShelfConflictError: another profile of its id lies there now.
            DocumentError, StoreError: it cannot be read or written.
        """
        profile = self.import_(kept)
        self.save(profile, None)
        with contextlib.suppress(OSError):
            kept.unlink()
        return profile

    def import_(self, path: Path) -> MachineProfile:
        """Read a profile from anywhere, without keeping it.

        Raises:
            DocumentError: the file is not an acceptable profile, or its id no file name.
            StoreError: it cannot be read.
        """
        profile = read_profile(path)
        _checked_id(profile)
        return profile

    def export(self, profile: MachineProfile, path: Path) -> None:
        """Write a profile anywhere, as it can be imported; raises `StoreError`."""
        write_text(path, codec.dump(profile))

    def _names(self) -> list[str] | None:
        """The files to read, or None where the folder is still to be made."""
        try:
            return profile_names(self.folder)
        except FileNotFoundError as error:
            if self._make:
                return None
            raise store_error(UNREAD, self.folder, error) from error
        except OSError as error:
            raise store_error(UNREAD, self.folder, error) from error

    def _read(self, path: Path) -> MachineProfile:
        """Read a file of the folder; never through a link, never from anything but a file."""
        profile = loaded(plain_text(path, follow=False))
        if path.name != f"{profile.id}{ENDING}":
            raise refusal(
                f'it holds the profile "{profile.id}" under another name; rename it to '
                f"{profile.id}{ENDING}, or move it away and import it"
            )
        return profile

    def _present(self, id: str) -> MachineProfile | None:
        path = self.path_of(id)
        try:
            return self._read(path)
        except FileNotFoundError:
            return None
        except DocumentError as error:
            mend = f"What lies there cannot be used; remove it first or choose another id. {error}"
            raise StoreError(_UNSAVED, path, mend) from error
        except OSError as error:
            raise store_error(_UNSAVED, path, error) from error

    def _prepare(self) -> None:
        """Make the user's own folder; never one on a drive that may only be away."""
        if not self._make:
            return
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise store_error(_UNSAVED, self.folder, error) from error

    @contextlib.contextmanager
    def _locked(self, refused: str) -> Iterator[None]:
        """Hold off other computers between looking and writing, where the drive knows locks."""
        try:
            descriptor = _opened_lock(self.folder / _LOCK)
        except OSError as error:
            raise store_error(refused, self.folder, error) from error
        try:
            if _lock_patiently(descriptor, refused, self.folder):
                self._clear_up()
            yield
        finally:
            os.close(descriptor)

    def _clear_up(self) -> None:
        """Delete what a save left that was cut off; with the lock, no other save is under way."""
        with contextlib.suppress(OSError):
            for path in self.folder.glob(f".*{ENDING}.*.tmp"):
                path.unlink()


def same_content(one: MachineProfile, other: MachineProfile) -> bool:
    """Whether two profiles differ in nothing but their revision."""
    return one.replace(revision=other.revision) == other


def _checked_id(profile: MachineProfile) -> None:
    if profile.id in DEVICES:
        raise refusal(
            f'"{profile.id}" is the name of a device on some computers, so no file can have it; '
            "choose another id",
            label="Id",
            path=("id",),
        )


def _numbered(folder: Path, id: str) -> Iterator[Path]:
    number = 1
    while True:
        yield folder / f"{id}.{number}{ENDING}"
        number += 1


def _opened_lock(path: Path) -> int:
    no_link = getattr(os, "O_NOFOLLOW", 0)
    try:
        return os.open(path, os.O_RDWR | os.O_CREAT | no_link, 0o666)
    except PermissionError:
        if not path.exists():
            raise
        # Made by another user of the folder; most systems lock what is open for reading too.
        return os.open(path, os.O_RDONLY | no_link)


def _lock_patiently(descriptor: int, refused: str, folder: Path) -> bool:
    """Wait for the lock; False where the drive knows none, and looking must do."""
    until = time.monotonic() + _LOCK_PATIENCE_S
    while True:
        try:
            lock(descriptor)
            return True
        except OSError as error:
            if error.errno not in (errno.EACCES, errno.EAGAIN, errno.EDEADLK):
                return False
            if time.monotonic() > until:
                mend = "Another computer is saving there just now; try again in a moment."
                raise StoreError(refused, folder, mend) from error
        time.sleep(_LOCK_PAUSE_S)
