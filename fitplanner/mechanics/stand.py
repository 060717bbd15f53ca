"""Side-stand: lean, load, length that restores the lean, stability when parked on a slope.

Owns the front view and the ground triangle. Refuses the suspension: heights come in already
solved in `parked`. Front view: y positive towards the stand's side, z up from the ground, lean
positive towards the stand. The tyres roll on a crown of radius c (0: thin tyre), so a point
(y, z) of the upright machine stands, seen from the contact, at
y_world = y cos(phi) + (z - c) sin(phi), z_world = c + (z - c) cos(phi) - y sin(phi).
The stand's angle alpha is its splay from the vertical, upright machine, front-view projection;
its length is the projected one. Lengths in mm, angles in rad; everything broadcasts.
"""

from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitplanner.mechanics.clearance import touch_lean_rad

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


def leaned(
    *, y_mm: ArrayLike, z_mm: ArrayLike, lean_rad: ArrayLike, crown_radius_mm: ArrayLike = 0.0
) -> tuple[Floats, Floats]:
    """Place (y, z) [mm] over the ground, seen from the contact, of a point of the leaned machine.

    Source: rotation about the crown's centre, which stays over the contact as the tyre rolls.
    """
    crown = np.asarray(crown_radius_mm, np.float64)
    y, above = np.asarray(y_mm, np.float64), np.asarray(z_mm, np.float64) - crown
    sin, cos = np.sin(lean_rad), np.cos(lean_rad)
    return np.asarray(y * cos + above * sin), np.asarray(crown + above * cos - y * sin)


class StandLean(NamedTuple):
    """How the machine stands on its side-stand."""

    lean_rad: Floats
    foot_y_mm: Floats
    foot_z_mm: Floats
    touches: Flags
    falls_to_far_side: Flags


def lean_on_stand(
    *,
    pivot_y_mm: ArrayLike,
    pivot_z_mm: ArrayLike,
    length_mm: ArrayLike,
    alpha_rad: ArrayLike,
    crown_radius_mm: ArrayLike = 0.0,
) -> StandLean:
    """Lean at which the stand's foot reaches the ground.

    Foot upright at (y_p + L sin(alpha), z_p - L cos(alpha)), returned as `foot_y_mm` and
    `foot_z_mm`. `touches` is False where the foot lies inside the tyre's crown and never reaches
    the ground (`lean_rad` is inf there). `falls_to_far_side`: the stand holds the machine upright
    or past it (lean <= 0): it will fall to the far side.

    Validity: rigid ground and stand, one crown radius at both ends.
    Source: exact root of the foot's height.
    """
    length, alpha = np.asarray(length_mm, np.float64), np.asarray(alpha_rad, np.float64)
    foot_y = np.asarray(np.asarray(pivot_y_mm, np.float64) + length * np.sin(alpha))
    foot_z = np.asarray(np.asarray(pivot_z_mm, np.float64) - length * np.cos(alpha))
    lean = touch_lean_rad(lateral_mm=foot_y, height_mm=foot_z, crown_radius_mm=crown_radius_mm)
    return StandLean(lean, foot_y, foot_z, np.isfinite(lean), np.asarray(lean <= 0.0))


def length_for_lean_mm(
    *,
    lean_rad: ArrayLike,
    pivot_y_mm: ArrayLike,
    pivot_z_mm: ArrayLike,
    alpha_rad: ArrayLike,
    crown_radius_mm: ArrayLike = 0.0,
) -> Floats:
    """Stand length that gives a wanted lean [mm].

    L = (c + (z_p - c) cos(phi) - y_p sin(phi)) / cos(phi - alpha), so that a pivot lower by h
    wants h cos(phi) / cos(phi - alpha) less. Zero or less where the pivot is already down.

    Raises ValueError where lean and splay are a quarter turn apart or more.
    """
    lean, alpha = np.asarray(lean_rad, np.float64), np.asarray(alpha_rad, np.float64)
    along = np.cos(lean - alpha)
    if not np.all(along > 1e-9):
        raise ValueError("A stand splayed like this never points at the ground.")
    _, drop = leaned(
        y_mm=pivot_y_mm, z_mm=pivot_z_mm, lean_rad=lean, crown_radius_mm=crown_radius_mm
    )
    return np.asarray(drop / along)


class StandLoad(NamedTuple):
    """What the stand carries."""

    load_n: Floats
    share: Floats
    falls_to_far_side: Flags


def stand_load(
    *,
    weight_n: ArrayLike,
    com_z_mm: ArrayLike,
    foot_y_mm: ArrayLike,
    foot_z_mm: ArrayLike,
    lean_rad: ArrayLike,
    com_y_mm: ArrayLike = 0.0,
    crown_radius_mm: ArrayLike = 0.0,
) -> StandLoad:
    """Stand load on level ground [N] and its share of the weight, from the roll balance.

    Moments about the line of both contacts: share = y_com / y_foot, both over the ground. Places
    are those of the upright machine. A share that is not above zero would pull on the stand: the
    machine falls to the far side. A share above one cannot be held by the tyres, which only push.

    Raises ValueError where the leaned foot is not on the stand's side of the contacts.
    """
    lean = np.asarray(lean_rad, np.float64)
    com_y, _ = leaned(y_mm=com_y_mm, z_mm=com_z_mm, lean_rad=lean, crown_radius_mm=crown_radius_mm)
    foot_y, _ = leaned(
        y_mm=foot_y_mm, z_mm=foot_z_mm, lean_rad=lean, crown_radius_mm=crown_radius_mm
    )
    if not np.all(foot_y > 0.0):
        raise ValueError("The stand's foot does not come down beside the wheels.")
    share = np.asarray(com_y / foot_y)
    return StandLoad(np.asarray(np.asarray(weight_n) * share), share, share <= 0.0)


class Edge(StrEnum):
    """An edge of the ground triangle, by the way the machine would fall over it."""

    FAR_SIDE = "far_side"
    FORWARD = "forward"
    REARWARD = "rearward"


EDGES = (Edge.FAR_SIDE, Edge.FORWARD, Edge.REARWARD)


class Slope(StrEnum):
    """A slope to park on, by what points downhill."""

    LEVEL = "level"
    STAND_SIDE = "stand_side_down"
    FAR_SIDE = "far_side_down"
    NOSE_DOWN = "nose_down"
    NOSE_UP = "nose_up"


# Gradients for a side-stand: Directive 93/31/EEC, 6.2.2, carried on by 2009/78/EC (from memory).
PARKING_GRADIENTS = {
    Slope.LEVEL: 0.0,
    Slope.STAND_SIDE: 0.06,
    Slope.FAR_SIDE: 0.06,
    Slope.NOSE_DOWN: 0.06,
    Slope.NOSE_UP: 0.08,
}
_DOWNHILL = {
    Slope.LEVEL: (0.0, 0.0),
    Slope.STAND_SIDE: (0.0, 1.0),
    Slope.FAR_SIDE: (0.0, -1.0),
    Slope.NOSE_DOWN: (1.0, 0.0),
    Slope.NOSE_UP: (-1.0, 0.0),
}


class Stability(NamedTuple):
    """Margins of a parked machine; margins and edges run over a last axis in `EDGES` order."""

    edge_margins_rad: Floats
    margin_rad: Floats
    first_edge: NDArray[np.intp]
    stable: Flags


def parked_stability(
    *,
    wheelbase_mm: ArrayLike,
    foot_x_mm: ArrayLike,
    foot_y_mm: ArrayLike,
    com_x_mm: ArrayLike,
    com_y_mm: ArrayLike,
    com_z_mm: ArrayLike,
    slope: Slope = Slope.LEVEL,
    gradient: ArrayLike | None = None,
) -> Stability:
    """Tilt left before the parked machine tips over each edge of its ground triangle [rad].

    Corners: rear contact (0, 0), front contact (wheelbase, 0), stand foot (x, y); the centre of
    mass (x, y, z) of the leaned machine, all seen from the rear contact, in the ground's own
    plane. Per edge the margin is atan2(distance inside, z) less the tilt of gravity towards that
    edge, so it is an angle about that very edge, exact for any slope. `gradient` is rise over run
    (0.06 for 6 %), by default that of `PARKING_GRADIENTS`. Results have the broadcast shape, with
    one more axis of 3 for the edges; `first_edge` indexes `EDGES`, the edge that tips first.

    Validity: rigid, lean as on level ground, wheels held by gear or brake, foot not sinking.
    Raises ValueError where the foot is not beside the wheels or the centre of mass not above the
    ground. Source: statics of three contacts that only push.
    """
    w, fx, fy, x, y, z = np.broadcast_arrays(
        *(
            np.asarray(v, np.float64)
            for v in (wheelbase_mm, foot_x_mm, foot_y_mm, com_x_mm, com_y_mm, com_z_mm)
        )
    )
    if not np.all((w > 0.0) & (fy > 0.0) & (z > 0.0)):
        raise ValueError("The stand's foot must be beside the wheels, the mass above the ground.")
    steep = np.asarray(PARKING_GRADIENTS[Slope(slope)] if gradient is None else gradient)
    down_x, down_y = _DOWNHILL[Slope(slope)]
    zero = np.zeros_like(w)
    # Start corner and outward normal of each edge, in EDGES order.
    front = np.hypot(fy, w - fx)
    rear = np.hypot(fy, fx)
    edges = (
        (zero, zero, zero, -np.ones_like(w)),
        (w, zero, fy / front, (w - fx) / front),
        (zero, zero, -fy / rear, fx / rear),
    )
    margins = np.stack(
        np.broadcast_arrays(
            *(
                np.arctan2((x0 - x) * nx + (y0 - y) * ny, z)
                - np.arctan(steep * (down_x * nx + down_y * ny))
                for x0, y0, nx, ny in edges
            )
        ),
        axis=-1,
    )
    margin = margins.min(axis=-1)
    return Stability(margins, margin, margins.argmin(axis=-1), margin > 0.0)
