"""The foot in its boot: owns its lengths and how far the ankle rises as the heel lifts.

Refuses the leg above the ankle. The foot turns about the ball, the toes flat on the ground, until
the boot allows no more; from there the toes turn as well, about their tip, until the sole is
straight again. Past that the foot is off the ground. The boot's sole is a flat layer under all of
it.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.body.arrays import Floats, floats, positive
from fitplanner.body.survey import ANKLE_HEIGHT, BALL_LENGTH, FOOT_LENGTH, Population

STIFF_BOOT_ANGLE_RAD = math.radians(20.0)
"""How far a stiff off-road boot lets the foot point down: assumption."""

WALKING_BOOT_ANGLE_RAD = math.radians(30.0)
"""The same of a walking boot: assumption."""

ANKLE_SHARE = 0.25
"""Ankle joint ahead of the heel, as a share of the foot's length: assumption."""


@dataclass(frozen=True, slots=True)
class Foot:
    """A bare foot, mm: heel to toe tip, heel to ball, ankle joint above the floor."""

    length_mm: Floats
    ball_mm: Floats
    ankle_height_mm: Floats

    @property
    def ankle_x_mm(self) -> Floats:
        """Ankle joint ahead of the heel."""
        return ANKLE_SHARE * self.length_mm

    @property
    def ball_lever_mm(self) -> Floats:
        """From the ankle forward to the ball."""
        return self.ball_mm - self.ankle_x_mm

    @property
    def toe_mm(self) -> Floats:
        """From the ball forward to the toe tip."""
        return self.length_mm - self.ball_mm


@dataclass(frozen=True, slots=True)
class FootPose:
    """How the foot stands for a wanted rise of the ankle.

    `foot_angle_rad`: sole behind the ball, heel up; `toe_angle_rad`: toes, their root up;
    `ankle_lift_mm` and `heel_lift_mm`: what that gives; `short_mm`: the rise still missing, at
    which the foot hangs over the ground. Arrays of one shape.
    """

    foot_angle_rad: Floats
    toe_angle_rad: Floats
    ankle_lift_mm: Floats
    heel_lift_mm: Floats
    short_mm: Floats


def foot_from_stature(
    stature_mm: ArrayLike,
    population: Population = Population.BOTH,
    *,
    foot_length_mm: ArrayLike | None = None,
    ball_length_mm: ArrayLike | None = None,
    ankle_height_mm: ArrayLike | None = None,
) -> Foot:
    """A foot from what was measured, the rest filled in from stature (all mm).

    The ball follows from the foot's length, given or estimated. Errors: ValueError for a length
    not above 0, or a ball that is not between ankle and toe tip.
    Validity and source: as `survey` (residual standard errors 9 mm length, 4 mm ball, 5 mm
    ankle); outside its statures an extrapolation.
    """
    stature = positive(stature_mm, "stature")
    length = positive(
        FOOT_LENGTH[population].at(stature) if foot_length_mm is None else foot_length_mm,
        "foot length",
    )
    ball = positive(
        BALL_LENGTH[population].at(length) if ball_length_mm is None else ball_length_mm,
        "ball length",
    )
    ankle = positive(
        ANKLE_HEIGHT[population].at(stature) if ankle_height_mm is None else ankle_height_mm,
        "ankle height",
    )
    if not np.all((ball > ANKLE_SHARE * length) & (ball < length)):
        raise ValueError("the ball of the foot must lie between the ankle and the toe tip")
    return Foot(length, ball, ankle)


def ball_lift_mm(foot: Foot, foot_angle_rad: ArrayLike) -> Floats:
    """Rise of the ankle (mm) with the foot turned about the ball by an angle (rad).

    lever sin(angle) - ankle height (1 - cos(angle)), which grows up to an angle of
    atan(lever / ankle height), about 60 deg.
    """
    angle = floats(foot_angle_rad)
    return foot.ball_lever_mm * np.sin(angle) - foot.ankle_height_mm * (1.0 - np.cos(angle))


def toe_lift_mm(foot: Foot, foot_angle_rad: ArrayLike) -> Floats:
    """Rise of the ankle (mm) on the toe tip with the whole sole straight at an angle (rad)."""
    return ball_lift_mm(foot, foot_angle_rad) + foot.toe_mm * np.sin(floats(foot_angle_rad))


def foot_pose(foot: Foot, lift_mm: ArrayLike, *, boot_angle_rad: ArrayLike) -> FootPose:
    """The least turn of the foot that raises the ankle by `lift_mm` (below 0 counts as 0).

    `boot_angle_rad` limits the turn, for foot and toes alike. Exact inverse of `ball_lift_mm` up
    to the limit, then of the toes' share up to `toe_lift_mm`; the rest is `short_mm`.
    Errors: ValueError for a limit that is negative or past the angle where lifting ends.
    """
    limit = floats(boot_angle_rad)
    lever, ankle = foot.ball_lever_mm, foot.ankle_height_mm
    if not np.all((limit >= 0.0) & (limit <= np.arctan2(lever, ankle))):
        raise ValueError("the boot's angle must lie between 0 and about 60 degrees")
    wanted = np.maximum(floats(lift_mm), 0.0)
    on_ball = np.minimum(wanted, ball_lift_mm(foot, limit))
    reach = np.hypot(lever, ankle)
    turned = np.arcsin(np.clip((on_ball + ankle) / reach, -1.0, 1.0)) - np.arctan2(ankle, lever)
    angle = np.clip(turned, 0.0, limit)
    rest = wanted - on_ball
    on_toe = np.minimum(rest, foot.toe_mm * np.sin(limit))
    toe_angle = np.arcsin(np.clip(on_toe / foot.toe_mm, 0.0, 1.0))
    heel = foot.ball_mm * np.sin(angle) + on_toe
    angle, toe_angle, lift, heel, short = np.broadcast_arrays(
        angle, toe_angle, on_ball + on_toe, heel, rest - on_toe
    )
    return FootPose(angle, toe_angle, lift, heel, short)
