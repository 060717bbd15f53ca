"""The Pareto front: options that no other beats in every measure.

Owns dominance on measures rounded to what a customer can tell apart. Exact for the rounded
values, whatever the order in which candidates arrive. Refuses to know what a column means.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Rows = NDArray[np.int16]

_BLOCK = 256
_WIDE = 8192
_STRONG = 96


def rounded(values: NDArray[np.float64], step: float) -> Rows:
    """One measure in whole steps, as the front compares it; clipped to what it can hold."""
    limit = np.iinfo(np.int16).max
    return np.clip(np.round(values / step), -limit, limit).astype(np.int16)


def undominated(rows: Rows) -> NDArray[np.intp]:
    """Indices of the rows that no other row dominates (more is better); equals keep the first.

    Args:
        rows: integers, shape (n, m).
    """
    if len(rows) == 0:
        return np.zeros(0, dtype=np.intp)
    _, first = np.unique(rows, axis=0, return_index=True)
    total = rows[first].sum(axis=1, dtype=np.int64)
    order = first[np.argsort(-total, kind="stable")]
    order = order[~_beaten(rows[order], rows[order[:_STRONG]])]
    kept: list[NDArray[np.intp]] = []
    front = rows[:0]
    for start in range(0, len(order), _BLOCK):
        block = order[start : start + _BLOCK]
        block = block[~_beaten(rows[block], front)]
        block = block[~_beaten(rows[block], rows[block])]
        kept.append(block)
        front = np.concatenate([front, rows[block]])
    return np.sort(np.concatenate(kept))


def _beaten(rows: Rows, by: Rows) -> NDArray[np.bool_]:
    """Which rows are dominated by one of `by`: nowhere better and somewhere worse.

    Nowhere better and a smaller sum is the same thing, and one comparison less a column.
    """
    beaten = np.zeros(len(rows), dtype=bool)
    sums, by_sums = rows.sum(axis=1, dtype=np.int64), by.sum(axis=1, dtype=np.int64)
    for start in range(0, len(by), _BLOCK):
        part, part_sums = by[start : start + _BLOCK], by_sums[start : start + _BLOCK]
        left = np.flatnonzero(~beaten)
        for begin in range(0, len(left), _WIDE):
            some = left[begin : begin + _WIDE]
            dominated = part_sums[:, None] > sums[some][None, :]
            for theirs, ours in zip(part.T, rows[some].T, strict=True):
                dominated &= theirs[:, None] >= ours[None, :]
            beaten[some] = dominated.any(axis=0)
    return beaten


@dataclass
class Frontier:
    """The front so far, fed by chunks; `rows` are measures, `tags` say which candidate it was."""

    rows: Rows
    tags: NDArray[np.int64]

    @classmethod
    def empty(cls, measures: int, tags: int) -> "Frontier":
        """A front of nothing."""
        return cls(np.zeros((0, measures), np.int16), np.zeros((0, tags), np.int64))

    def add(self, rows: Rows, tags: NDArray[np.int64]) -> None:
        """Take in candidates and keep what is undominated."""
        if len(rows) == 0:
            return
        fresh = ~_beaten(rows, self.rows)
        rows, tags = rows[fresh], tags[fresh]
        together = np.concatenate([self.rows, rows])
        keep = undominated(together)
        self.rows, self.tags = together[keep], np.concatenate([self.tags, tags])[keep]
