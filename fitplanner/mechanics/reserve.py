"""Bottoming reserve: the drop that an end takes before it bottoms, damping left out.

Owns the energy count of one end over its travel. Refuses dampers and tyres: the figure compares
stock with planned, it does not predict a landing.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def drop_reserve_mm(
    *, wheel_rise_mm: ArrayLike, wheel_force_n: ArrayLike, sprung_load_n: ArrayLike
) -> Floats:
    """Drop height that just bottoms one end [mm], shape of the leading axes.

    The spring's work from extended to full bump equals the sprung load's fall, drop and travel
    together: h = integral(F dy) / N - (y_end - y_start). `wheel_rise_mm` and `wheel_force_n` run
    over a last axis of K samples (K odd, at least 3; rise strictly growing from extended to full
    bump); the force is the vertical force that the springs put on the wheel, without the unsprung
    weight. `sprung_load_n` has the leading shape. Negative where the end bottoms under its own
    load.

    Integrated by Simpson's rule for unequal steps, exact for a force that is quadratic in the
    rise. Validity: no damping, wheel lands from rest, the end's sprung mass taken alone.
    Raises ValueError for an even count, a rise that does not grow, or a load not above zero.
    Source: conservation of energy.
    """
    rise, force = np.broadcast_arrays(
        np.asarray(wheel_rise_mm, np.float64), np.asarray(wheel_force_n, np.float64)
    )
    load = np.asarray(sprung_load_n, np.float64)
    if rise.ndim == 0 or rise.shape[-1] < 3 or rise.shape[-1] % 2 == 0:
        raise ValueError("The travel needs an odd number of samples, three at least.")
    if not np.all(np.diff(rise, axis=-1) > 0.0):
        raise ValueError("The wheel's rise must grow from extended to full bump.")
    if not np.all(load > 0.0):
        raise ValueError("The sprung load must be above zero.")
    return np.asarray(_simpson(rise, force) / load - (rise[..., -1] - rise[..., 0]))


def _simpson(x: Floats, f: Floats) -> Floats:
    step = np.diff(x, axis=-1)
    one, two = step[..., 0::2], step[..., 1::2]
    both = one + two
    panels = (both / 6.0) * (
        (2.0 - two / one) * f[..., 0:-1:2]
        + both**2 / (one * two) * f[..., 1::2]
        + (2.0 - one / two) * f[..., 2::2]
    )
    return np.asarray(panels.sum(axis=-1))


class BottomingReserve(NamedTuple):
    """Both ends' reserve and the smaller one, which is the machine's."""

    front_mm: Floats
    rear_mm: Floats
    smaller_mm: Floats
    front_is_smaller: NDArray[np.bool_]


def smaller_end(*, front_mm: ArrayLike, rear_mm: ArrayLike) -> BottomingReserve:
    """The end with less reserve: a sum of both would flatter a machine with one weak end."""
    front, rear = np.asarray(front_mm, np.float64), np.asarray(rear_mm, np.float64)
    return BottomingReserve(front, rear, np.minimum(front, rear), np.asarray(front < rear))
