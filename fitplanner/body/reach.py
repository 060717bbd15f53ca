"""Feet and ground: owns what reaches the ground at a seat height, and the inverse.

Refuses to find the seat height: that is the `stopped` state with the foam squashed, from the
machine's own equilibrium. The leg is the taut line of `seat.half_arc_mm`; the foot is `foot`'s.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.body.arrays import ROUNDING_MM, Codes, Floats, floats, not_negative, positive
from fitplanner.body.foot import Foot, ball_lift_mm, foot_pose, toe_lift_mm
from fitplanner.body.one_foot import LEAN_LIMIT_RAD, one_foot_seat_height_mm
from fitplanner.body.seat import Seat, half_arc_mm


class Footing(StrEnum):
    """What reaches the ground; from the surest to the least sure."""

    BOTH_FLAT = "both_flat"
    BOTH_BALLS = "both_balls"
    BOTH_TOES = "both_toes"
    ONE_FOOT_FLAT = "one_foot_flat"
    NONE = "none"

    @property
    def rank(self) -> int:
        """0 for none, growing with sureness: the code used in arrays."""
        return len(Footing) - 1 - list(Footing).index(self)


def footing_of(rank: int) -> Footing:
    """The footing of an array's code."""
    return list(Footing)[len(Footing) - 1 - int(rank)]


@dataclass(frozen=True, slots=True)
class Reach:
    """What both legs reach, machine upright. Arrays of one shape.

    `half_arc_mm`: crotch over the edge to the ground. `margin_mm`: inside leg + sole - half arc,
    below 0 what is missing for flat feet. `footing`: `Footing.rank` of both feet (one foot is
    `one_foot`'s affair). `ankle_lift_needed_mm`: what is missing, 0 if nothing.
    `ankle_lift_mm`, `heel_lift_mm`, `foot_angle_rad`, `toe_angle_rad`: how the foot gives it.
    `ground_gap_mm`: toes to ground where out of reach, else 0.
    """

    half_arc_mm: Floats
    margin_mm: Floats
    footing: Codes
    ankle_lift_needed_mm: Floats
    ankle_lift_mm: Floats
    heel_lift_mm: Floats
    foot_angle_rad: Floats
    toe_angle_rad: Floats
    ground_gap_mm: Floats


def reach(
    seat: Seat,
    seat_height_mm: ArrayLike,
    *,
    inside_leg_mm: ArrayLike,
    sole_mm: ArrayLike,
    foot: Foot,
    boot_angle_rad: ArrayLike,
) -> Reach:
    """How both feet meet the ground under an upright machine.

    `boot_angle_rad` is how far the boot lets the foot point down (`foot`). Flat where nothing is
    missing, balls while the foot turns about the ball within the boot's angle, toes until the
    sole is straight on its tip, else none. Errors: ValueError for lengths not above 0, a negative
    sole, or a boot angle out of range. Validity: leg taut and straight down from the seat's edge.
    """
    leg = positive(inside_leg_mm, "inside leg") + not_negative(sole_mm, "boot sole")
    arc = half_arc_mm(seat, positive(seat_height_mm, "seat height"))
    margin = leg - arc
    missing = np.where(margin < -ROUNDING_MM, -margin, 0.0)
    pose = foot_pose(foot, missing, boot_angle_rad=boot_angle_rad)
    on_ball = missing <= ball_lift_mm(foot, boot_angle_rad) + ROUNDING_MM
    footing = np.select(
        [missing <= 0.0, on_ball, pose.short_mm <= ROUNDING_MM],
        [Footing.BOTH_FLAT.rank, Footing.BOTH_BALLS.rank, Footing.BOTH_TOES.rank],
        Footing.NONE.rank,
    )
    arc, margin, needed, gap, lift, heel, angle, toe_angle, codes = np.broadcast_arrays(
        arc,
        margin,
        missing,
        np.where(footing == Footing.NONE.rank, pose.short_mm, 0.0),
        pose.ankle_lift_mm,
        pose.heel_lift_mm,
        pose.foot_angle_rad,
        pose.toe_angle_rad,
        footing,
    )
    return Reach(
        half_arc_mm=arc,
        margin_mm=margin,
        footing=codes.astype(np.int8),
        ankle_lift_needed_mm=needed,
        ankle_lift_mm=lift,
        heel_lift_mm=heel,
        foot_angle_rad=angle,
        toe_angle_rad=toe_angle,
        ground_gap_mm=gap,
    )


def lift_available_mm(footing: Footing, foot: Foot, boot_angle_rad: ArrayLike) -> Floats:
    """How far (mm) the ankle may rise above flat in a two-footed footing.

    Errors: ValueError for one foot or none.
    """
    if footing is Footing.BOTH_FLAT:
        return floats(0.0)
    if footing is Footing.BOTH_BALLS:
        return ball_lift_mm(foot, boot_angle_rad)
    if footing is Footing.BOTH_TOES:
        return toe_lift_mm(foot, boot_angle_rad)
    raise ValueError(f"{footing.value} is not a footing of both feet")


def required_seat_height(
    footing: Footing,
    seat: Seat,
    *,
    inside_leg_mm: ArrayLike,
    sole_mm: ArrayLike,
    foot: Foot,
    boot_angle_rad: ArrayLike,
    hip_limit_mm: ArrayLike | None = None,
    lean_limit_rad: ArrayLike = LEAN_LIMIT_RAD,
) -> Floats:
    """Highest seat (mm, `stopped`, foam squashed) that still gives the footing.

    Exact inverse of `reach`, and of `one_foot` for one foot (the only one to use the hip and lean
    limits). Errors: ValueError for Footing.NONE, which asks for nothing, and as those two.
    """
    if footing is Footing.ONE_FOOT_FLAT:
        return one_foot_seat_height_mm(
            seat,
            inside_leg_mm=inside_leg_mm,
            sole_mm=sole_mm,
            hip_limit_mm=hip_limit_mm,
            lean_limit_rad=lean_limit_rad,
        )
    leg = positive(inside_leg_mm, "inside leg") + not_negative(sole_mm, "boot sole")
    return leg + lift_available_mm(footing, foot, boot_angle_rad) - seat.excess_mm
