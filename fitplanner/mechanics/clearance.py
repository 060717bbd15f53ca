"""Clearances: break-over angle, lean until a part touches, room left at full bump.

Owns plane geometry of points against tyres and ground. Refuses the pose itself: heights and
places come in already taken in the state that is asked for. Lengths in mm, angles in rad; all
functions take floats or arrays that broadcast.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def break_over_angle_rad(
    *,
    point_x_mm: ArrayLike,
    point_z_mm: ArrayLike,
    rear_x_mm: ArrayLike,
    rear_radius_mm: ArrayLike,
    front_x_mm: ArrayLike,
    front_radius_mm: ArrayLike,
) -> Floats:
    """Sharpest crest that clears a low point [rad].

    Two lines leave the point and touch the loaded tyres from below; the result is how far both
    fall below the level line together, that is half a turn less the angle that they enclose.
    Zero for a point on the ground, negative below it. Both tyres stand on z = 0 with their loaded
    radii; `rear_x_mm` and `front_x_mm` are the contacts. Ask for every low point and keep the
    smallest: the lowest one is not always the worst.

    Raises ValueError where the point is not between the contacts or lies inside a tyre.
    Validity: rigid tyres, suspension as in the given state. Source: exact tangents to circles;
    the angle's definition is that of SAE J1100 and 49 CFR 523.2 (static loaded radius arcs).
    """
    x, z = np.asarray(point_x_mm, np.float64), np.asarray(point_z_mm, np.float64)
    rear, front = np.asarray(rear_x_mm, np.float64), np.asarray(front_x_mm, np.float64)
    if not np.all((rear < x) & (x < front)):
        raise ValueError("The low point must lie between the two wheels' contacts.")
    return _fall_rad(x - rear, z, rear_radius_mm) + _fall_rad(front - x, z, front_radius_mm)


def _fall_rad(ahead: Floats, height: Floats, radius_mm: ArrayLike) -> Floats:
    """Fall of the line from a point to the underside of a tyre that stands `ahead` of it."""
    radius = np.asarray(radius_mm, dtype=np.float64)
    distance = np.hypot(ahead, radius - height)
    if not np.all((radius > 0.0) & (distance > radius)):
        raise ValueError("The low point lies inside a tyre.")
    return np.asarray(np.arcsin(radius / distance) - np.arctan2(radius - height, ahead))


def touch_lean_rad(
    *, lateral_mm: ArrayLike, height_mm: ArrayLike, crown_radius_mm: ArrayLike = 0.0
) -> Floats:
    """Lean to its own side at which a part touches the ground [rad].

    `lateral_mm` from the middle plane and `height_mm` over the ground, upright; the tyre rolls on
    a crown of radius c. The part's height is c + (z - c) cos(phi) - y sin(phi), zero first at
    phi = atan2(z - c, y) + asin(c / R) with R the part's distance from the crown's centre; a thin
    tyre leaves atan2(z, y). Negative for a part already below the ground, inf for one inside the
    crown, which never touches.

    Validity: one crown radius at both ends, suspension held as in the given state, static.
    """
    crown = np.asarray(crown_radius_mm, dtype=np.float64)
    lateral = np.asarray(lateral_mm, dtype=np.float64)
    above = np.asarray(height_mm, dtype=np.float64) - crown
    if not np.all((crown >= 0.0) & (lateral > 0.0)):
        raise ValueError("A part that touches needs a place beside the middle plane.")
    reach = np.hypot(lateral, above)
    lean = np.arctan2(above, lateral) + np.arcsin(np.minimum(crown / reach, 1.0))
    return np.where(crown > reach, np.inf, lean)


def tyre_gap_mm(
    *,
    axle_x_mm: ArrayLike,
    axle_z_mm: ArrayLike,
    part_x_mm: ArrayLike,
    part_z_mm: ArrayLike,
    tyre_radius_mm: ArrayLike,
) -> Floats:
    """Room between the tyre and a part in the wheel's plane [mm]; negative where they meet.

    Axle and part in the same frame, at full bump for the full-bump gap; the free tyre radius is
    the careful one.
    """
    return np.asarray(
        np.hypot(
            np.asarray(part_x_mm, np.float64) - np.asarray(axle_x_mm, np.float64),
            np.asarray(part_z_mm, np.float64) - np.asarray(axle_z_mm, np.float64),
        )
        - np.asarray(tyre_radius_mm, np.float64)
    )


def full_bump_gap_mm(
    *, stock_gap_mm: ArrayLike, axle_nearer_mm: ArrayLike, radius_growth_mm: ArrayLike = 0.0
) -> Floats:
    """Full-bump gap where only the stock gap is known [mm]; negative where tyre and part meet.

    `axle_nearer_mm` is how much nearer to the chassis the bottomed axle comes than stock (the
    stanchions' rise in the clamps, or the rear axle's extra rise); all of it is taken off the
    gap, which is exact where the part sits along the axle's path and careful elsewhere. A limiter
    leaves it at zero. `radius_growth_mm` is new less old free tyre radius.
    """
    gap = np.asarray(stock_gap_mm, np.float64) - np.asarray(axle_nearer_mm, np.float64)
    return np.asarray(gap - np.asarray(radius_growth_mm, np.float64))
