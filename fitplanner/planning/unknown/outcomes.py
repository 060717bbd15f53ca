"""What of a plan varies with its unsure figures: footing and seat heights, lane by lane.

Owns the results whose variance is shared out, and each figure's part in them to first order.
Refuses to sample.
"""

import numpy as np

from fitplanner.mechanics.arrays import Array
from fitplanner.planning.unknown.lanes import Case

_CHUNK = 2048


def outcomes(case: Case, points: Array, *, rider_up: bool = False) -> Array:
    """Footing and seat on its wheels (lanes, 2), a cacheful of lanes at a time.

    With `rider_up` the seat's height there too (lanes, 3). Not a number where nothing rests.
    """
    parts = []
    for start in range(0, len(points), _CHUNK):
        lanes = case.lanes(points[start : start + _CHUNK])
        at = lanes.planned
        rests = [at.on_wheels, at.rider_up] if rider_up else [at.on_wheels]
        rows = np.stack(
            np.broadcast_arrays(lanes.footing_mm, *(at.seat_mm(rest) for rest in rests)), axis=-1
        )
        found = np.all(np.broadcast_arrays(*(rest.converged for rest in rests)), axis=0)
        parts.append(np.where(lanes.full(found)[:, None] > 0, rows, np.nan))
    return np.concatenate(parts)


def one_at_a_time(case: Case, *, rider_up: bool = False) -> Array:
    """Share of each outcome's variance that each figure has to first order."""
    step = np.eye(len(case.figures))
    points = np.concatenate([step, -step])
    up, down = np.split(outcomes(case, points, rider_up=rider_up), 2)
    effect = np.nan_to_num(((up - down) / 2.0) ** 2)
    total = effect.sum(axis=0)
    shares: Array = effect / np.where(total > 0, total, 1.0)
    return shares
