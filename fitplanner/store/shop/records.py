"""What the shop's store hands out and takes in.

What tells of a rider is left out of every `repr`, so that a record may stand in a log.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path
from typing import Any

from fitplanner.documents.bench import Stage
from fitplanner.documents.errors import Address
from fitplanner.documents.job import Job
from fitplanner.store.files import StoreError


@dataclass(frozen=True)
class Kept:
    """A job as it stands in the database.

    `revision` counts its changes from 1. `rider_id` is None where the rider was erased, or
    never had a name. `who` made the last change, at `changed`.
    """

    id: str
    revision: int
    job: Job = field(repr=False)
    rider_id: str | None
    created: datetime
    changed: datetime
    who: str


@dataclass(frozen=True)
class Row:
    """One line of the list of jobs; `who` made the last change."""

    id: str
    revision: int
    rider_id: str | None
    rider: str = field(repr=False)
    machine: str = field(repr=False)
    kind: str
    stage: Stage
    title: str = field(repr=False)
    reference: str = field(repr=False)
    created: datetime
    changed: datetime
    who: str


class Sort(StrEnum):
    """By what jobs are listed; the values are columns."""

    STAGE = "stage"
    RIDER = "rider"
    MACHINE = "machine"
    TITLE = "title"
    REFERENCE = "reference"
    CHANGED = "changed"
    WHO = "who"


@dataclass(frozen=True)
class Query:
    """Which jobs to list, those changed last first where `sort` says nothing else.

    Each of `words` stands somewhere in rider, telephone, machine, title or reference, as a part of
    a word and without regard to capitals and accents; a telephone is found however it is spaced.
    No `stages` means all. `since` and `until` are days of this computer's calendar, both counted
    in, and mean the last change.
    """

    words: str = field(default="", repr=False)
    stages: tuple[Stage, ...] = ()
    since: date | None = None
    until: date | None = None
    limit: int = 200
    offset: int = 0
    sort: Sort = Sort.CHANGED
    ascending: bool = False


@dataclass(frozen=True)
class RiderRow:
    """A rider whom the shop knows, under the name given last, with the number of jobs."""

    id: str
    name: str = field(repr=False)
    phone: str = field(repr=False)
    jobs: int


class Deed(StrEnum):
    """What a change was."""

    ADDED = "added"
    SAVED = "saved"
    ERASED = "erased"
    RESTORED = "restored"


@dataclass(frozen=True)
class Difference:
    """One place of a job that changed; None where there was, or is, nothing."""

    address: Address
    old: Any = field(repr=False)
    new: Any = field(repr=False)


@dataclass(frozen=True)
class Change:
    """One change of a job; the first one, which added it, has no differences."""

    revision: int
    who: str
    at: datetime
    deed: Deed
    differences: tuple[Difference, ...]


@dataclass(frozen=True)
class Backup:
    """What a backup holds, by opening it; `newest` is its last change, None where it is empty."""

    path: Path
    jobs: int
    riders: int
    changes: int
    newest: datetime | None


class MissingError(StoreError):
    """The job is not kept in this database: another one is in use, or a backup took its place."""


class GoneError(StoreError):
    """The file of a shop that was kept on this computer is not there any more."""


class ConflictError(StoreError):
    """Somebody saved the job meanwhile: nothing was written, and `theirs` is what stands there.

    To put `mine` in its place all the same, save it over `theirs`.
    """

    def __init__(self, where: str, mine: Job, theirs: Kept) -> None:
        self.mine = mine
        self.theirs = theirs
        super().__init__(
            f"{theirs.who or 'Somebody'} changed this job meanwhile "
            f"({theirs.changed.astimezone():%Y-%m-%d %H:%M})",
            where,
            "Compare both and choose which one stays; yours is not saved yet.",
        )


def differences(old: Job, new: Job) -> tuple[Difference, ...]:
    """Every place where two versions of a job differ, in the order of the document."""
    return tuple(_differences((), old.model_dump(mode="json"), new.model_dump(mode="json")))


def _differences(place: Address, old: Any, new: Any) -> Iterator[Difference]:
    if isinstance(old, dict) and isinstance(new, dict):
        for key in {**old, **new}:
            yield from _differences((*place, key), old.get(key), new.get(key))
    elif isinstance(old, list) and isinstance(new, list):
        for row in range(max(len(old), len(new))):
            before, after = (rows[row] if row < len(rows) else None for rows in (old, new))
            yield from _differences((*place, row), before, after)
    elif old != new:
        yield Difference(place, old, new)
