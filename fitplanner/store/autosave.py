"""The job at hand, kept against a crash.

Owns where unsaved work waits and when it is offered again: only if it differs from the file
that it belongs to. A job of the shop waits with what it was made from, so that it goes back to
its entry and a change made there meanwhile is noticed. Each running program holds its own slot,
so that two windows never write over each other's work. Refuses to decide how often to keep; the
window does.
"""

import os
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal, Self

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.base import Document
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.store.files import (
    StoreError,
    open_job,
    path_text,
    read_or_set_aside,
    store_error,
    write_text,
)
from fitplanner.store.locks import lock
from fitplanner.store.shop.records import Kept

SLOTS = 16


class _Entry(Document):
    """Of a job of the shop all but the job itself, see `Kept`."""

    id: str
    revision: int
    rider_id: str | None
    created: datetime
    changed: datetime
    who: str


class _Slot(Document):
    """`entry` and `base` are what the job was made from, where that stands in the shop."""

    format: Literal["fitplanner-autosave"] = "fitplanner-autosave"
    schema_version: Literal[2] = 2
    file: str | None = None
    entry: _Entry | None = None
    base: Job | None = None
    job: Job


_SLOT = codec.Format("fitplanner-autosave", "autosave", _Slot, version=2)


@dataclass(frozen=True)
class Recovery:
    """Unsaved work of a program that did not end well.

    `file` is where the job was last saved, if ever; `file_is_newer` says that this file was
    written after the unsaved work, perhaps on another computer. `kept` is what the work was
    made from, where that stands in the shop.
    """

    job: Job
    file: Path | None
    file_is_newer: bool
    kept: Kept | None = None


class Autosave:
    """One slot, held by this program until `release` or its end."""

    def __init__(self, path: Path | None = None) -> None:
        """Take a free slot, one with work to recover first.

        Args:
            path: the first slot; the others stand beside it. Left out: in the user's folder.

        Raises:
            StoreError: the folder cannot be written, or every slot is taken.
        """
        first = path or paths.autosave_file()
        slots = [first] + [
            first.with_name(f"{first.stem}-{n}{first.suffix}") for n in range(2, SLOTS + 1)
        ]
        try:
            first.parent.mkdir(parents=True, exist_ok=True)
            taken = next(_lock_first(sorted(slots, key=lambda slot: not slot.exists())), None)
        except OSError as error:
            raise store_error("Unsaved work cannot be kept", first.parent, error) from error
        if taken is None:
            raise StoreError(
                "Unsaved work cannot be kept",
                first.parent,
                f"The program runs {SLOTS} times already; close one of its windows.",
            )
        self.slot, self._lock = taken

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.release()

    def recovery(self) -> Recovery | None:
        """What waits in the slot; ask before the first `keep`.

        Raises:
            StoreError: the slot exists but cannot be read.
        """
        slot, _ = read_or_set_aside(self.slot, lambda text: codec.load(_SLOT, text), None)
        if slot is None:
            return None
        file = Path(slot.file) if slot.file is not None else None
        if file is not None and _holds(file, slot.job):
            self.clear()
            return None
        newer = _is_newer(file, self.slot)
        return Recovery(slot.job, file, file_is_newer=newer, kept=_entry_of(slot))

    def keep(self, job: Job, file: Path | None, kept: Kept | None = None) -> None:
        """Write `job` into the slot, last saved in `file` or made from `kept` of the shop.

        Raises:
            StoreError: it cannot be written.
        """
        name = None if file is None else path_text(file)
        entry = None if kept is None else _Entry(**{key: getattr(kept, key) for key in _ENTRY})
        base = None if kept is None else kept.job
        slot = _Slot(file=name, entry=entry, base=base, job=job)
        # It holds a name, as the shop's database does.
        write_text(self.slot, codec.dump(slot), private=True)

    def clear(self) -> None:
        """Forget the work: it was saved, or given up on purpose; raises `StoreError`."""
        try:
            self.slot.unlink(missing_ok=True)
        except OSError as error:
            raise store_error("Kept work cannot be removed", self.slot, error) from error

    def release(self) -> None:
        """Give the slot back, with what it holds."""
        if self._lock is not None:
            os.close(self._lock)
            self._lock = None


_ENTRY = tuple(_Entry.model_fields)


def _entry_of(slot: _Slot) -> Kept | None:
    if slot.entry is None or slot.base is None:
        return None
    return Kept(job=slot.base, **{key: getattr(slot.entry, key) for key in _ENTRY})


def _holds(file: Path, job: Job) -> bool:
    try:
        return open_job(file) == job
    except (StoreError, DocumentError):
        return False


def _is_newer(file: Path | None, slot: Path) -> bool:
    try:
        return file is not None and file.stat().st_mtime > slot.stat().st_mtime
    except OSError:
        return False


def _lock_first(slots: list[Path]) -> Iterator[tuple[Path, int | None]]:
    for slot in slots:
        descriptor = os.open(slot.with_name(slot.name + ".lock"), os.O_RDWR | os.O_CREAT, 0o600)
        try:
            lock(descriptor)
        except OSError:
            os.close(descriptor)
            continue
        yield slot, descriptor
