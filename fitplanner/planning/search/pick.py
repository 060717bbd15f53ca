"""A few options that really differ, out of a front of many.

Owns the ranking by plain priorities and the one-line reasons. Refuses to compute measures.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitplanner.mechanics.arrays import Array
from fitplanner.planning.checks.riding import LEAST_RESERVE_SHARE, MOST_TRAIL_CHANGE_MM
from fitplanner.planning.plan import WayId
from fitplanner.planning.search.options import MOST_FOOTING_MM, Measure, Priorities

MOST_OPTIONS = 6
_BASE = 0.08
_PER_WAY = 0.15
"""What each further kind of work takes off a score: few changes are easier to trust and undo."""

_NEAR = 0.08
"""Share of a measure's range within which a customer would not tell two options apart."""

SUSPENSION = (
    WayId.FORK_LIMITER,
    WayId.SHOCK_LIMITER,
    WayId.RAISED_STANCHIONS,
    WayId.SHORTER_SHOCK,
    WayId.LONGER_RODS,
)
INSIDE_SHOCK = (WayId.SHOCK_LIMITER, WayId.SHORTER_SHOCK)


@dataclass(frozen=True)
class Table:
    """The front as arrays of one length: measures turned so that more is better, and amounts."""

    better: dict[Measure, Array]
    amounts: dict[WayId, Array]
    springs_changed: NDArray[np.bool_]

    def __len__(self) -> int:
        """How many options the front holds."""
        return len(self.springs_changed)

    def uses(self, ways: tuple[WayId, ...]) -> NDArray[np.bool_]:
        """Which options use one of the ways."""
        return np.asarray(np.any([self.amounts[way] > 0 for way in ways], axis=0))


def scores(table: Table, priorities: Priorities) -> Array:
    """Weighted sum of the measures, each scaled to its range, less a little for each way."""
    p = priorities
    weights = {
        Measure.TRAVEL: p.travel,
        Measure.RESERVE: 0.6 * p.travel,
        Measure.CLEARANCE: 0.4 * p.travel,
        Measure.STEERING: p.steering,
        Measure.SAG: 0.6,
        Measure.FOOTING: 0.5 * p.comfort,
        Measure.LEGROOM: p.comfort,
        Measure.COST: p.price,
        Measure.HOURS: 0.5 * p.price,
        Measure.UNDO: 0.3 * p.price,
    }
    total = np.zeros(len(table))
    for measure, values in table.better.items():
        if measure is Measure.FOOTING:
            values = np.minimum(values, MOST_FOOTING_MM)
        low, high = float(values.min()), float(values.max())
        scaled = (values - low) / (high - low) if high > low else np.ones_like(values)
        total += (_BASE + weights[measure]) * scaled
    kinds = np.sum([amounts > 0 for amounts in table.amounts.values()], axis=0)
    return np.asarray(total - _PER_WAY * kinds)


def picked(table: Table, score: Array) -> list[tuple[int, str]]:
    """Index and reason of each option worth showing, the best balance first."""
    if len(table) == 0:
        return []
    better = table.better
    flags = _flags(better)
    sound = flags <= flags.min() + 1
    soundest = flags == flags.min()
    untouched = ~table.uses(SUSPENSION) & ~table.springs_changed
    wishes = [
        ("The best balance of what matters to you", soundest, score),
        ("The cheapest", sound, better[Measure.COST]),
        ("Keeps the most travel", sound, better[Measure.TRAVEL]),
        ("No parts changed in fork and shock", sound & untouched, score),
        ("No work inside the shock", sound & ~table.uses(INSIDE_SHOCK), score),
        ("Keeps the steering closest to stock", sound, _near(better[Measure.STEERING])),
        ("All of it can be undone", sound & (better[Measure.UNDO] >= 1.0 - 1e-9), score),
        ("Keeps the most room for the legs", sound, _near(better[Measure.LEGROOM])),
        ("Keeps the most to take a hard landing", sound, _near(better[Measure.RESERVE])),
    ]
    chosen: list[tuple[int, str]] = []
    for reason, allowed, value in wishes:
        index = _best(allowed, value, score)
        if index is not None and float(value[index]) < float(value.max()) - 1e-9:
            reason = _FEW_CAUTIONS.get(reason, reason)
        if index is not None and all(_differ(table, index, other) for other, _ in chosen):
            chosen.append((index, reason))
        if len(chosen) == MOST_OPTIONS:
            break
    for index in np.argsort(-score):
        if len(chosen) >= 3:
            break
        if all(_differ(table, int(index), other) for other, _ in chosen):
            chosen.append((int(index), "Another mix that scores well"))
    return chosen


# Said instead where an option with more cautions would beat it.
_FEW_CAUTIONS = {
    "The cheapest": "The cheapest that raises few cautions",
    "Keeps the most travel": "Keeps the most travel with few cautions",
}


def _near(values: Array) -> Array:
    """The measure with its best part counted as one, so that the score decides there."""
    best = float(values.max())
    return np.minimum(values, best - _NEAR * (best - float(values.min())))


def _flags(better: dict[Measure, Array]) -> NDArray[np.int64]:
    """How many of the plan's cautions an option would raise: reserve, steering, sags."""
    raised = (
        better[Measure.RESERVE] < LEAST_RESERVE_SHARE,
        better[Measure.STEERING] < -MOST_TRAIL_CHANGE_MM,
        better[Measure.SAG] < -1e-9,
    )
    return np.asarray(np.sum(raised, axis=0, dtype=np.int64))


def _best(allowed: NDArray[np.bool_], value: Array, score: Array) -> int | None:
    """The best by one measure, ties by score."""
    if not np.any(allowed):
        return None
    top = float(value[allowed].max())
    tied = np.flatnonzero(allowed & (value >= top - 1e-9))
    return int(tied[np.argmax(score[tied])])


def _differ(table: Table, one: int, other: int) -> bool:
    """Other ways in use, other springs, or an amount that a rider would notice."""
    if table.springs_changed[one] != table.springs_changed[other]:
        return True
    for values in table.amounts.values():
        a, b = float(values[one]), float(values[other])
        if (a > 0) != (b > 0) or abs(a - b) > max(4.0, 0.35 * max(a, b)):
            return True
    return False
