"""The rider at a halt: owns the joints with both feet, or one, where the reach model puts them.

Refuses to decide what reaches (`reach`, `one_foot`). Same frame as `posture`. The model's leg is
a taut line from the crotch over the seat's edge, the drawn one a hip, a knee and an ankle. They
agree on the foot; what the seat's width takes from the leg splays the knee outward, what is to
spare bends it forward, and a taut leg is drawn a few mm longer where the two models differ.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.body.arrays import Floats, floats, vector
from fitplanner.body.foot import Foot
from fitplanner.body.one_foot import OneFoot
from fitplanner.body.posture import (
    EASY_ELBOW_RAD,
    LEAST_TRUNK_LEAN_RAD,
    Joints,
    Leg,
    leg_to,
    middle,
    trunk_to,
    up,
)
from fitplanner.body.reach import Reach
from fitplanner.body.seat import Seat, edge_y_mm, leaned
from fitplanner.body.segments import Lengths

DRAWN_STRETCH = 0.04
"""Most that a drawn leg is lengthened to stand where the reach model puts it."""


@dataclass(frozen=True, slots=True)
class Halt:
    """The rider at a halt, and where along the machine the ground carries him (x in mm)."""

    joints: Joints
    feet_x_mm: Floats


def _contact_x_mm(leg: Leg, foot_angle_rad: ArrayLike, toe_angle_rad: ArrayLike) -> Floats:
    """Flat: halfway between ankle and ball (assumption); else the ball, or the toe tip."""
    flat = 0.5 * (leg.ankle_mm[..., 0] + leg.ball_mm[..., 0])
    lifted = np.where(floats(toe_angle_rad) > 0.0, leg.toe_mm[..., 0], leg.ball_mm[..., 0])
    return np.where(floats(foot_angle_rad) > 0.0, lifted, flat)


def _standing_ankle(
    foot: Foot, x_mm: ArrayLike, y_mm: ArrayLike, sole_mm: ArrayLike, lift_mm: ArrayLike
) -> Floats:
    return vector(x_mm, y_mm, foot.ankle_height_mm + floats(sole_mm) + floats(lift_mm))


def _splay_rad(taken_mm: ArrayLike, spare_mm: ArrayLike) -> Floats:
    """How far the knee turns outward: all of it when nothing is to spare."""
    taken, spare = np.maximum(taken_mm, 0.0), np.maximum(spare_mm, 0.0)
    return np.arctan2(np.sqrt(taken), np.sqrt(spare))


def stopped_posture(
    lengths: Lengths,
    reached: Reach,
    *,
    seat: Seat,
    seat_point_mm: ArrayLike,
    bar_point_mm: ArrayLike,
    sole_mm: ArrayLike,
    ankle_ahead_mm: ArrayLike = 0.0,
    least_trunk_lean_rad: ArrayLike = LEAST_TRUNK_LEAN_RAD,
    elbow_angle_rad: ArrayLike = EASY_ELBOW_RAD,
) -> Halt:
    """Machine upright, both feet straight down from the seat's edges, ground at z = 0.

    `seat_point_mm` and `bar_point_mm` are (..., 2) as (x, z) in the `stopped` state;
    the seat's z is the height that `reached` was computed at. Heels lift, and feet hang clear, as
    `reached` says. `ankle_ahead_mm`: ankles ahead of the seat point (0: a taut leg hangs straight
    down). Errors: ValueError for points that are not (x, z).
    """
    seat_point = middle(seat_point_mm)
    hips = seat_point + up(lengths.hip_above_seat_mm)
    trunk = trunk_to(
        lengths,
        hips,
        middle(bar_point_mm),
        least_lean_rad=least_trunk_lean_rad,
        elbow_angle_rad=elbow_angle_rad,
    )
    ankle_x = seat_point[..., 0] + floats(ankle_ahead_mm)
    splay = _splay_rad(seat.excess_mm, reached.margin_mm)
    lift = reached.ankle_lift_mm + reached.ground_gap_mm

    def leg(side: float) -> Leg:
        return leg_to(
            lengths,
            hips + vector(0.0, side * lengths.hip_half_spacing_mm, 0.0),
            _standing_ankle(lengths.foot, ankle_x, side * seat.half_width_mm, sole_mm, lift),
            foot_angle_rad=reached.foot_angle_rad,
            toe_angle_rad=reached.toe_angle_rad,
            trunk_lean_rad=trunk.lean_rad,
            splay_rad=side * splay,
            most_stretch=DRAWN_STRETCH,
        )

    left, right = leg(1.0), leg(-1.0)
    feet_x = _contact_x_mm(left, reached.foot_angle_rad, reached.toe_angle_rad)
    return Halt(Joints(left, right, trunk), feet_x)


def one_foot_posture(
    lengths: Lengths,
    down: OneFoot,
    *,
    seat: Seat,
    seat_point_mm: ArrayLike,
    peg_point_mm: ArrayLike,
    bar_point_mm: ArrayLike,
    sole_mm: ArrayLike,
    ankle_ahead_mm: ArrayLike = 0.0,
    least_trunk_lean_rad: ArrayLike = LEAST_TRUNK_LEAN_RAD,
    elbow_angle_rad: ArrayLike = EASY_ELBOW_RAD,
) -> Halt:
    """Machine leaned to the left, left foot flat or short of the ground, right foot on its peg.

    Points are of the upright machine: seat and bar (x, z), peg (x, y, z) with y the distance of
    the right foot's middle from the middle plane, above 0. They are leaned here; the trunk stays
    upright over the moved hips. Errors: ValueError for points of the wrong size.
    """
    peg_given = floats(peg_point_mm)
    if peg_given.shape[-1:] != (3,):
        raise ValueError("the peg's point is (x, y, z)")
    seat_point = middle(seat_point_mm)
    hip_point = seat_point + vector(0.0, down.hip_shift_mm, lengths.hip_above_seat_mm)
    hips = leaned(hip_point, down.lean_rad)
    bar = leaned(middle(bar_point_mm), down.lean_rad)
    trunk = trunk_to(
        lengths, hips, bar, least_lean_rad=least_trunk_lean_rad, elbow_angle_rad=elbow_angle_rad
    )
    spacing = vector(0.0, lengths.hip_half_spacing_mm, 0.0)
    foot_y = edge_y_mm(seat, seat_point[..., 2], lean_rad=down.lean_rad)
    ankle_x = seat_point[..., 0] + floats(ankle_ahead_mm)
    left = leg_to(
        lengths,
        leaned(hip_point + spacing, down.lean_rad),
        _standing_ankle(lengths.foot, ankle_x, foot_y, sole_mm, down.short_mm),
        foot_angle_rad=0.0,
        toe_angle_rad=0.0,
        trunk_lean_rad=trunk.lean_rad,
        splay_rad=_splay_rad(seat.excess_mm, down.spare_mm),
        most_stretch=DRAWN_STRETCH,
    )
    foot_rise = vector(
        -lengths.foot.ball_lever_mm, 0.0, lengths.foot.ankle_height_mm + floats(sole_mm)
    )
    peg = peg_given * np.array([1.0, -1.0, 1.0])
    right = leg_to(
        lengths,
        leaned(hip_point - spacing, down.lean_rad),
        leaned(peg + foot_rise, down.lean_rad),
        foot_angle_rad=0.0,
        toe_angle_rad=0.0,
        trunk_lean_rad=trunk.lean_rad,
    )
    return Halt(Joints(left, right, trunk), _contact_x_mm(left, 0.0, 0.0))
