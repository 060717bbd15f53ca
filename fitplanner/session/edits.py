"""Changes of documents as values: an address in the document and what to put there.

Owns the generic replacement through nested documents, and the edits that touch more than one
field. Every result is validated again; a refused change leaves everything as it was.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from pydantic import ValidationError

from fitplanner.documents.base import Document, Figure, Source
from fitplanner.documents.bench import Tick
from fitplanner.documents.errors import Address, dotted, from_validation
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile

D = TypeVar("D", bound=Document)


@dataclass(frozen=True)
class Edit:
    """Put `value` at `address`, such as ``("rider", "mass_kg")``; rows of a list by number."""

    address: Address
    value: object


def value_at(document: Document, address: Address) -> Any:
    """What stands at `address`.

    Raises:
        LookupError: there is no such place in this document.
    """
    place: Any = document
    for part in address:
        place = _child(place, part, address)
    return place


def replace_at(document: D, address: Address, value: object) -> D:
    """Return a copy of `document` with `value` at `address`, validated on every level.

    Raises:
        DocumentError: the value, or the document with it, is not acceptable.
        LookupError: there is no such place in this document.
    """
    if not address:
        raise LookupError("an edit needs the address of a field")
    changed: D = _replaced(document, address, value, ())
    return changed


def figure_edit(
    job: Job, address: Address, value: float | None, source: Source, *, spread: float = 0.0
) -> Edit:
    """An edit of one figure of the machine for this job only.

    Args:
        job: the job as it stands.
        address: a `Figure` of the embedded profile, such as ``("machine", "fork", "preload_mm")``.
        value: the new value; None empties an optional figure.
        source: where the new value comes from; the old one's origin and note no longer hold.
        spread: one standard deviation of the new value.

    Raises:
        DocumentError: the figure itself is not acceptable (not finite, negative spread).
        LookupError: there is no figure at `address`.
    """
    present = value_at(job, address)
    if address[:1] != ("machine",) or not isinstance(present, Figure | None):
        raise LookupError(f"{dotted(address)} is not a figure of the machine")
    if value is None:
        return Edit(address, None)
    return Edit(
        address,
        _validated(
            Figure,
            address,
            lambda: Figure.model_validate({"value": value, "spread": spread, "source": source}),
        ),
    )


def tick_edit(job: Job, tick: Tick) -> Edit:
    """The edit that puts `tick` in the place of what the job has of its step.

    A tick that is neither done nor noted is taken away.
    """
    kept = [each for each in job.ticks if each.step != tick.step]
    row = next((row for row, each in enumerate(job.ticks) if each.step == tick.step), len(kept))
    if tick.done or tick.noted:
        kept.insert(row, tick)
    return Edit(("ticks",), kept)


def with_machine(job: Job, profile: MachineProfile) -> Job:
    """Put the job on another machine; rider, wishes, load and windows stay.

    Amounts, springs and preloads chosen by hand were meant for the old machine: all of them are
    left to the planner again, and what the shop learned has to be asked for again. Another
    revision of the same machine takes all along.
    """
    if profile.id == job.machine.id:
        return job.replace(machine=profile, fitted=None)
    by_hand: dict[str, object] = {spec.key: None for spec in Choices.specs() if spec.optional}
    return job.replace(
        machine=profile, fitted=None, shop_shares=None, choices=job.choices.replace(**by_hand)
    )


def _replaced(place: Any, address: Address, value: object, above: Address) -> Any:
    if not address:
        return value
    head, rest = address[0], address[1:]
    child = _child(place, head, (*above, head)) if rest else None
    new = _replaced(child, rest, value, (*above, head))
    if isinstance(place, list):
        _child(place, head, (*above, head))
        return [new if row == head else one for row, one in enumerate(place)]
    if not isinstance(place, Document) or head not in type(place).model_fields:
        raise LookupError(f"{dotted((*above, head))} is not a field")
    return _validated(type(place), above, lambda: place.replace(**{str(head): new}))


def _child(place: Any, part: str | int, address: Address) -> Any:
    if isinstance(place, list) and isinstance(part, int) and 0 <= part < len(place):
        return place[part]
    if isinstance(place, Document) and part in type(place).model_fields:
        return getattr(place, str(part))
    raise LookupError(f"{dotted(address)} is not a place in the document")


def _validated(model: type[Document], above: Address, build: Callable[[], D]) -> D:
    try:
        return build()
    except ValidationError as error:
        raise from_validation(model, error, prefix=above) from error
