"""Bottoming reserve: the drop that an end takes before it bottoms, damping left out.

Owns the energy count of one end over its travel. Refuses dampers and tyres: the figure compares
stock with planned, it does not predict a landing.
"""

import numpy as np

from fitplanner.mechanics.arrays import Array, Number


def drop_reserve_mm(*, work_n_mm: Number, sprung_load_n: Number, travel_mm: Number) -> Array:
    """Drop height that just bottoms one end [mm]; arrays broadcast.

    The work that the unit takes up from extended to full bump equals the sprung load's fall, drop
    and travel together: h = work / load - travel. `travel_mm` is vertical at the wheel; the work
    along the unit is that at the wheel. Negative where the end bottoms under its own load.

    Raises ValueError where the sprung load is not above zero. Validity: no damping, the wheel
    lands from rest. Source: conservation of energy. Report the smaller end, a sum would flatter.
    """
    load = np.asarray(sprung_load_n, dtype=float)
    if not np.all(load > 0.0):
        raise ValueError("The sprung load must be above zero.")
    return np.asarray(work_n_mm / load - travel_mm)
