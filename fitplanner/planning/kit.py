"""Where the fill that a limiter's maker states counts.

Owns that rule: a fill is stated for one length of limiter. Refuses to work out another fill.
"""

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.machine import Fork
from fitplanner.mechanics.arrays import Number

NEAR_SHARE = 0.25
"""How far a limiter may differ from the one that a fill is stated for: assumption."""


def kit_fill_counts(fork: Fork, limiter_mm: Number) -> NDArray[np.bool_]:
    """Whether the kit maker's fill holds for limiters of these lengths [mm]; lanes.

    A fill without the length that it is for counts for every limiter.
    """
    length = np.asarray(limiter_mm, dtype=float)
    if fork.kit_oil_volume_ml is None:
        return np.zeros(length.shape, dtype=bool)
    if fork.kit_limiter_mm is None:
        return np.asarray(length > 0)
    stated = fork.kit_limiter_mm.value
    return np.asarray(np.abs(length - stated) <= NEAR_SHARE * stated + 1e-6)
