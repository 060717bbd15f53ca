"""Two profiles of one machine, entry by entry: what differs, and taking over a part of the other.

An entry is what a person changes at once: a figure with its spread and source, the linkage, what
a way offers, one torque. Owns the comparison. Refuses words and units: whoever shows it has them.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from fitplanner.documents.base import Document, Figure, FigureSpec, Section, Source, spec_of
from fitplanner.documents.errors import Address, from_validation
from fitplanner.documents.machine import MachineProfile

_NO_ENTRY = ("format", "schema_version", "id", "revision")
_GROUPS = ("ways", "springs")
VALUE = "value"


@dataclass(frozen=True)
class Entry:
    """One entry of both profiles.

    Attributes:
        address: where it stands, such as ``("rear", "travel_mm")``, ``("ways", "lower_seat")`` or
            ``("torques", "rear_axle")``.
        label: what the document calls it.
        spec: kind and range of a figure; None for another sort of entry.
        mine, theirs: what stands there, None where nothing does.
        parts: what of it differs: of two figures the names of their fields, else "value".
    """

    address: Address
    label: str
    spec: FigureSpec | None
    mine: Any
    theirs: Any
    parts: frozenset[str]

    @property
    def differs(self) -> bool:
        """Whether anything of it is not the same."""
        return bool(self.parts)


def entries(mine: MachineProfile, theirs: MachineProfile) -> tuple[Entry, ...]:
    """Every entry that one of two profiles has, in the order of the document."""
    return tuple(_entries(mine, theirs))


def differences(mine: MachineProfile, theirs: MachineProfile) -> tuple[Entry, ...]:
    """Only the entries that are not the same."""
    return tuple(entry for entry in _entries(mine, theirs) if entry.differs)


def is_older(held: MachineProfile, present: MachineProfile) -> bool:
    """Whether `held` is what `present` once was, as far as can be told.

    Its revision is lower, and of the figures that differ none was changed where it is held: such a
    figure says that it was measured, and nothing of when.
    """
    changed = (
        entry.mine
        for entry in differences(held, present)
        if isinstance(entry.mine, Figure) and VALUE in entry.parts
    )
    by_hand = any(
        each.source is Source.MEASURED and not (each.origin or each.typed or each.note)
        for each in changed
    )
    return held.revision < present.revision and not by_hand


def take_over(
    mine: MachineProfile, theirs: MachineProfile, addresses: Collection[Address]
) -> MachineProfile:
    """`mine` with the entries at `addresses` as they stand in `theirs`; id and revision stay.

    Raises:
        DocumentError: the entries do not fit together, such as a travel that goes beyond the
            leverage table of the other profile.
        LookupError: an address is no entry.
    """
    known = {entry.address: entry for entry in _entries(mine, theirs)}
    changes: dict[str, Any] = {}
    inside: dict[str, dict[str, Any]] = {}
    for address in addresses:
        if address not in known:
            raise LookupError(f"{address} is no entry of these profiles")
        key = str(address[0])
        if len(address) == 1:
            changes[key] = known[address].theirs
        else:
            inside.setdefault(key, {})[str(address[1])] = known[address].theirs
    for key, values in inside.items():
        if key == "torques":
            changes[key] = _torques(mine, values)
            continue
        section: Document = getattr(mine, key)
        try:
            changes[key] = section.replace(**values)
        except ValidationError as error:
            raise from_validation(type(section), error, prefix=(key,)) from error
    try:
        return mine.replace(**changes)
    except ValidationError as error:
        raise from_validation(MachineProfile, error) from error


def _entries(mine: MachineProfile, theirs: MachineProfile) -> Iterator[Entry]:
    for key, field in MachineProfile.model_fields.items():
        if key in _NO_ENTRY:
            continue
        one, other = getattr(mine, key), getattr(theirs, key)
        if key == "torques":
            yield from _torque_entries(one, other)
        elif isinstance(one, Section) or key in _GROUPS:
            for inner, declared in type(one).model_fields.items():
                label = declared.title or _plain(inner)
                spec = spec_of(inner, declared)
                values = getattr(one, inner), getattr(other, inner)
                yield _entry((key, inner), label, spec, *values)
        else:
            yield _entry((key,), field.title or _plain(key), None, one, other)


def _torque_entries(one: list[Any], other: list[Any]) -> Iterator[Entry]:
    mine, theirs = ({each.fastener: each for each in torques} for torques in (one, other))
    for fastener in dict.fromkeys((*mine, *theirs)):
        address = ("torques", fastener.value)
        label = _plain(fastener.value)
        yield _entry(address, label, None, mine.get(fastener), theirs.get(fastener))


def _torques(mine: MachineProfile, values: dict[str, Any]) -> list[Any]:
    kept = {each.fastener.value: each for each in mine.torques}
    kept.update(values)
    return [each for each in kept.values() if each is not None]


def _entry(address: Address, label: str, spec: FigureSpec | None, mine: Any, theirs: Any) -> Entry:
    return Entry(address, label, spec, mine, theirs, _parts(mine, theirs))


def _parts(mine: Any, theirs: Any) -> frozenset[str]:
    if isinstance(mine, Figure) and isinstance(theirs, Figure):
        keys = Figure.model_fields
        return frozenset(key for key in keys if getattr(mine, key) != getattr(theirs, key))
    return frozenset() if mine == theirs else frozenset([VALUE])


def _plain(key: str) -> str:
    return key.replace("_", " ").capitalize()
