"""Two versions of a job made into one, where their changes do not overlap.

Owns what belongs together: a figure with its origin, a window, a linkage, and what a measured
machine was fitted from are changed as a whole. Refuses to choose: an overlap has no merged version.
"""

import json
from typing import Any

from pydantic import ValidationError

from fitplanner.documents.job import Job

_WHOLE = ({"value", "source"}, {"low", "high"}, {"layout"})
"""Marks of a group that is changed as one, by the keys that it has."""

_WHOLE_FIELDS = ("fitted", "shop_shares", "quote")


class _OverlapError(Exception):
    """Both changed the same."""


def merged(base: Job, mine: Job, theirs: Job) -> Job | None:
    """`theirs` with what `mine` changed against `base`; None where both changed the same entry.

    Also None where another machine was chosen on one side and the machine changed on the other, or
    where both together make no acceptable job.
    """
    versions = [job.model_dump(mode="json") for job in (base, mine, theirs)]
    machines = [version["machine"] for version in versions]
    if len({machine["id"] for machine in machines}) > 1:
        # Another machine is one change: figures, and amounts by hand, were meant for the old one.
        changed = [version["machine"] != machines[0] for version in versions[1:]]
        by_hand = [version["choices"] != versions[0]["choices"] for version in versions[1:]]
        if all(changed) or (changed[0] and by_hand[1]) or (changed[1] and by_hand[0]):
            return None
    try:
        return Job.model_validate_json(json.dumps(_merged(*versions, key="")))
    except (_OverlapError, ValidationError):
        return None


def _merged(base: Any, mine: Any, theirs: Any, *, key: str) -> Any:
    if mine in (base, theirs):
        return theirs
    if theirs == base:
        return mine
    if all(isinstance(each, dict) for each in (base, mine, theirs)) and _in_parts(base, key):
        return _groups(base, mine, theirs)
    if key == "ticks":
        return _by_step(base, mine, theirs)
    if key == "readings" and base == mine[: len(base)] == theirs[: len(base)]:
        return theirs + mine[len(base) :]
    raise _OverlapError


def _in_parts(group: dict[str, Any], key: str) -> bool:
    return key not in _WHOLE_FIELDS and not any(marks <= group.keys() for marks in _WHOLE)


def _groups(base: dict[str, Any], mine: dict[str, Any], theirs: dict[str, Any]) -> dict[str, Any]:
    absent = object()
    found = {
        key: _merged(*(each.get(key, absent) for each in (base, mine, theirs)), key=key)
        for key in {**base, **theirs, **mine}
    }
    return {key: value for key, value in found.items() if value is not absent}


def _by_step(base: Any, mine: Any, theirs: Any) -> list[Any]:
    """Ticks of different steps do not overlap."""
    by_step = [{tick["step"]: _Tick(tick) for tick in each} for each in (base, mine, theirs)]
    return [dict(tick) for tick in _groups(*by_step).values()]


class _Tick(tuple[tuple[str, Any], ...]):
    """A tick as one whole."""

    def __new__(cls, tick: dict[str, Any]) -> "_Tick":
        return super().__new__(cls, tuple(tick.items()))
