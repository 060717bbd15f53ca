"""Weighted least squares about one point, with a prior: what each reading says of the others.

Owns the algebra in standard units: unknowns in prior standard deviations, readings in their own.
Refuses to know what either means.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitplanner.mechanics.arrays import Array

Flags = NDArray[np.bool_]

_NOTHING_NEW = 0.95
_OUT_OF_REASON = 8.0


@dataclass(frozen=True)
class Linear:
    """A model linearised at `at`.

    Attributes:
        slope: change of each reading per unknown, shape (readings, unknowns).
        off: readings less what the model shows at `at`.
        at: the unknowns, 0 at the prior.
    """

    slope: Array
    off: Array
    at: Array

    def precision(self, used: Flags) -> Array:
        """Inverse covariance of the unknowns, given the used readings."""
        rows = self.slope[used]
        return np.asarray(rows.T @ rows + np.eye(len(self.at)), dtype=np.float64)

    def covariance(self, used: Flags) -> Array:
        """Covariance of the unknowns, given the used readings."""
        return np.asarray(np.linalg.inv(self.precision(used)), dtype=np.float64)

    def best(self, used: Flags) -> Array:
        """The unknowns of greatest posterior density."""
        pull = self.slope[used].T @ self.off[used] - self.at
        return np.asarray(self.at + np.linalg.solve(self.precision(used), pull), dtype=np.float64)

    def left_out(self, used: Flags) -> tuple[Array, Array]:
        """How far each reading is off what all other used ones say, and that figure's spread."""
        count = len(self.off)
        apart, spread = np.empty(count), np.empty(count)
        for row in range(count):
            others = used & (np.arange(count) != row)
            covariance = self.covariance(others)
            pull = self.slope[others].T @ self.off[others] - self.at
            apart[row] = self.off[row] - self.slope[row] @ covariance @ pull
            spread[row] = np.sqrt(1.0 + self.slope[row] @ covariance @ self.slope[row])
        return apart, spread

    def alone(self) -> Array:
        """Spread in which each reading was to be expected before any was taken."""
        return np.asarray(np.sqrt(1.0 + np.sum(self.slope**2, axis=1)), dtype=np.float64)

    def misfits(self, usable: Flags, limit: float, most: int) -> list[tuple[int, ...]]:
        """The readings that do not fit, worst first, each with those that may be meant as well.

        One after the other the reading farthest off what the others say, in its spreads, is
        taken out while it is beyond `limit`: with one wrong reading the most likely one to be it,
        for the likelihood gained by letting it be anything is that figure's square over two.
        Readings whose own gain is as good within a factor e are named with it. Where the others
        say nothing that was not known before, a reading is news, and only out of all reason wrong.
        """
        used = usable.copy()
        found: list[tuple[int, ...]] = []
        expected = self.alone()
        while len(found) < most and np.any(used):
            apart, spread = self.left_out(used)
            beyond = np.where(spread > _NOTHING_NEW * expected, _OUT_OF_REASON, limit)
            far = np.where(used, np.abs(apart / spread), 0.0)
            order = np.argsort(np.where(far > beyond, -far, 0.0), kind="stable")
            worst = int(order[0])
            if far[worst] <= beyond[worst]:
                break
            alike = np.flatnonzero(far**2 > far[worst] ** 2 - 2.0)
            used[worst] = False
            found.append((worst, *(int(row) for row in alike if row != worst)))
        return found
