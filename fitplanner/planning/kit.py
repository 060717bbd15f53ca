"""What to pour into one leg with a limiter in it.

Owns the rule between the fill that keeps the compression ratio and the one that a limiter's maker
states. Refuses levels: `mechanics.oil` has those.
"""

import numpy as np

from fitplanner.documents.machine import Fork
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.oil import fill_for_shortened_stroke

MOST_SHARE = 0.999
"""A limiter as long as the travel counts as a little less, so that some travel is left."""


def worked_out_ml(fork: Fork, limiter_mm: Number) -> Array:
    """Oil of one leg [mL] that keeps the compression ratio; lanes of lengths [mm]."""
    travel = fork.travel_mm.value
    return fill_for_shortened_stroke(
        oil_ml=fork.oil_volume_ml.value,
        bottomed_air_ml=fork.air_volume_bottomed_ml.value,
        travel_mm=travel,
        cut_mm=np.minimum(np.asarray(limiter_mm, dtype=float), MOST_SHARE * travel),
        surface_area_mm2=fork.oil_surface_mm2.value,
    ).oil_ml


def poured_ml(fork: Fork, limiter_mm: Number) -> Array:
    """Oil of one leg [mL] to pour with limiters of these lengths [mm]; lanes.

    A maker's fill wins at the length that it is for. With another length its difference to the
    fill that keeps the compression ratio counts in proportion to the length, as the limiter's own
    volume does (assumption). A fill without a length holds for every limiter.
    """
    length = np.asarray(limiter_mm, dtype=float)
    free = worked_out_ml(fork, length)
    if fork.kit_oil_volume_ml is None:
        return free
    stated = fork.kit_oil_volume_ml.value
    if fork.kit_limiter_mm is None:
        return np.asarray(np.where(length > 0, stated, free))
    own = fork.kit_limiter_mm.value
    return np.asarray(free + (stated - worked_out_ml(fork, own)) * length / own)
