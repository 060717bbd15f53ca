"""Which reading of a fit does not go with the others.

Owns the one criterion. Refuses to leave a reading out: it is measured again by a person.
"""

from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

FALSE_ALARM = 0.05
"""Chance of naming any reading of a sheet on which all are right: assumption."""
_LEAST_FREEDOM = 0.05


def straying(off: Floats, spread: Floats, pull: Floats) -> tuple[int, ...]:
    """Rows of the readings that may be wrong, the likeliest first; empty where all go together.

    Args:
        off: reading less fit, shape (n,).
        spread: one standard deviation of each reading, shape (n,).
        pull: how much of its own reading each fitted value is (diagonal of the hat matrix), (n,).

    A reading is held against what all others say of it. Those whose own likelihood gained by
    being left out is as good within a factor e are named with the worst. One of which the others
    say next to nothing is never named.

    Source: deleted residuals, for example D. A. Belsley, E. Kuh, R. E. Welsch, Regression
    Diagnostics (1980), 2.1, for known spreads; the limit shared out over n readings after Šidák.
    """
    left = 1.0 - pull
    tells = left > _LEAST_FREEDOM
    far = np.where(tells, np.abs(off) / (spread * np.sqrt(np.where(tells, left, 1.0))), 0.0)
    each = 1.0 - (1.0 - FALSE_ALARM) ** (1.0 / max(len(off), 1))
    limit = NormalDist().inv_cdf(1.0 - each / 2.0)
    worst = int(np.argmax(far)) if len(far) else 0
    if not len(far) or far[worst] <= limit:
        return ()
    alike = np.flatnonzero(far**2 > far[worst] ** 2 - 2.0)
    return worst, *(int(row) for row in alike if row != worst)
