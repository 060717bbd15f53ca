"""The seated rider on the pegs: owns the joints that the drawing and the masses need.

Refuses the reach to the ground (`stopped`). World frame: x forward, y to the left, z up, mm;
every point is (..., 3), so that the side view is (x, z) and the front view (y, z) of the same
rider. Points of the foot are those of the bare foot; the boot's sole lies under them. Arms are
drawn in the middle plane: they have a side view only.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.body.arrays import Flags, Floats, floats, vector
from fitplanner.body.foot import Foot
from fitplanner.body.limbs import Limb, chord_mm, two_links
from fitplanner.body.segments import Lengths

LEAST_KNEE_RAD = math.radians(40.0)
"""Sharpest inner angle of a knee (140 deg of flexion): from memory, common clinical norm."""

LEAST_ELBOW_RAD = math.radians(40.0)
"""Sharpest inner angle of an elbow: from memory, common clinical norm."""

EASY_ELBOW_RAD = math.radians(140.0)
"""Inner angle of the elbow that a rider leans forward to keep: assumption."""

LEAST_TRUNK_LEAN_RAD = math.radians(5.0)
MOST_TRUNK_LEAN_RAD = math.radians(60.0)
"""Trunk from the vertical, forward positive, seated: assumptions."""


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg's points (..., 3) in mm, and how it got there."""

    hip_mm: Floats
    knee_mm: Floats
    ankle_mm: Floats
    heel_mm: Floats
    ball_mm: Floats
    toe_mm: Floats
    knee_angle_rad: Floats
    hip_angle_rad: Floats
    clipped: Flags
    """True where the leg is too short or too long for the wanted ankle and stopped short of it."""


@dataclass(frozen=True, slots=True)
class Trunk:
    """Trunk, head and the arms (both alike), points (..., 3) in mm; lean in rad."""

    hips_mm: Floats
    shoulder_mm: Floats
    elbow_mm: Floats
    wrist_mm: Floats
    hand_mm: Floats
    neck_mm: Floats
    head_centre_mm: Floats
    vertex_mm: Floats
    head_radius_mm: Floats
    lean_rad: Floats
    elbow_angle_rad: Floats
    clipped: Flags
    """True where the hands do not meet the grips."""


@dataclass(frozen=True, slots=True)
class Joints:
    """A whole rider."""

    left: Leg
    right: Leg
    trunk: Trunk


@dataclass(frozen=True, slots=True)
class Legroom:
    """Inner angles of knee and hip in rad (pi is straight); `clipped` as in `Leg`."""

    knee_angle_rad: Floats
    hip_angle_rad: Floats
    clipped: Flags


def side_view(points_mm: ArrayLike) -> Floats:
    """(x, z) of points (..., 3)."""
    return floats(points_mm)[..., [0, 2]]


def front_view(points_mm: ArrayLike) -> Floats:
    """(y, z) of points (..., 3); y to the rider's left."""
    return floats(points_mm)[..., [1, 2]]


def up(lengths_mm: ArrayLike, angle_rad: ArrayLike = 0.0) -> Floats:
    """A vector (..., 3) of a length (mm), leaned forward from the vertical (rad)."""
    length, angle = floats(lengths_mm), floats(angle_rad)
    return vector(length * np.sin(angle), 0.0, length * np.cos(angle))


def _inner_angle(first: Floats, second: Floats) -> Floats:
    sizes = np.linalg.norm(first, axis=-1) * np.linalg.norm(second, axis=-1)
    cosine = np.sum(first * second, axis=-1) / np.maximum(sizes, 1e-12)
    return floats(np.arccos(np.clip(cosine, -1.0, 1.0)))


def foot_points(
    foot: Foot, ankle_mm: ArrayLike, *, foot_angle_rad: ArrayLike, toe_angle_rad: ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """Heel, ball and toe tip (..., 3) under an ankle; angles in rad, heel up positive."""
    ankle, angle = floats(ankle_mm), floats(foot_angle_rad)
    toes = floats(toe_angle_rad)
    along = vector(np.cos(angle), 0.0, -np.sin(angle))
    sole = ankle - up(foot.ankle_height_mm, angle)
    heel = sole - foot.ankle_x_mm[..., np.newaxis] * along
    ball = sole + foot.ball_lever_mm[..., np.newaxis] * along
    toe = ball + vector(foot.toe_mm * np.cos(toes), 0.0, -foot.toe_mm * np.sin(toes))
    return heel, ball, toe


def leg_to(
    lengths: Lengths,
    hip_mm: ArrayLike,
    ankle_mm: ArrayLike,
    *,
    foot_angle_rad: ArrayLike,
    toe_angle_rad: ArrayLike,
    trunk_lean_rad: ArrayLike,
    splay_rad: ArrayLike = 0.0,
    most_stretch: float = 0.0,
) -> Leg:
    """A leg from a hip joint to a wanted ankle, points (..., 3).

    `splay_rad` turns the knee from forward towards +y. `most_stretch` lets a leg that is short by
    up to that share of its length be drawn longer instead of stopping short.
    """
    wanted = np.linalg.norm(floats(ankle_mm) - floats(hip_mm), axis=-1)
    pull = wanted / (lengths.thigh_mm + lengths.shank_mm)
    stretch = np.where(pull <= 1.0 + most_stretch, np.maximum(pull, 1.0), 1.0)
    limb = _leg(lengths, hip_mm, ankle_mm, stretch=stretch, splay_rad=splay_rad)
    heel, ball, toe = foot_points(
        lengths.foot, limb.tip_mm, foot_angle_rad=foot_angle_rad, toe_angle_rad=toe_angle_rad
    )
    hip = np.broadcast_to(floats(hip_mm), limb.joint_mm.shape)
    return Leg(
        hip_mm=hip,
        knee_mm=limb.joint_mm,
        ankle_mm=limb.tip_mm,
        heel_mm=heel,
        ball_mm=ball,
        toe_mm=toe,
        knee_angle_rad=limb.angle_rad,
        hip_angle_rad=_inner_angle(limb.joint_mm - hip, up(1.0, trunk_lean_rad)),
        clipped=limb.stretched | limb.folded,
    )


def _leg(
    lengths: Lengths,
    hip_mm: ArrayLike,
    ankle_mm: ArrayLike,
    *,
    stretch: ArrayLike = 1.0,
    splay_rad: ArrayLike = 0.0,
) -> Limb:
    return two_links(
        hip_mm,
        ankle_mm,
        first_mm=lengths.thigh_mm * floats(stretch),
        second_mm=lengths.shank_mm * floats(stretch),
        least_angle_rad=LEAST_KNEE_RAD,
        forward=True,
        splay_rad=splay_rad,
    )


def trunk_to(
    lengths: Lengths,
    hips_mm: ArrayLike,
    bar_mm: ArrayLike,
    *,
    least_lean_rad: ArrayLike = LEAST_TRUNK_LEAN_RAD,
    elbow_angle_rad: ArrayLike = EASY_ELBOW_RAD,
) -> Trunk:
    """Trunk and arms from the hips' middle to the grips, points (..., 3).

    The trunk leans just so far that the arms reach with the wanted elbow angle, at least
    `least_lean_rad` and at most 60 deg; what is left, the elbows take. The head leans half as far.
    """
    hips, bar = floats(hips_mm), floats(bar_mm)
    arm = lengths.forearm_mm + lengths.grip_mm
    chord = chord_mm(lengths.upper_arm_mm, arm, elbow_angle_rad)
    ahead, above = bar[..., 0] - hips[..., 0], bar[..., 2] - hips[..., 2]
    far = np.maximum(np.hypot(ahead, above), 1e-9)
    cosine = (lengths.trunk_mm**2 + far**2 - chord**2) / (2.0 * lengths.trunk_mm * far)
    free_lean = np.arctan2(ahead, above) - np.arccos(np.clip(cosine, -1.0, 1.0))
    lean = np.clip(free_lean, least_lean_rad, MOST_TRUNK_LEAN_RAD)
    shoulder = hips + up(lengths.trunk_mm, lean)
    limb = two_links(
        shoulder,
        bar,
        first_mm=lengths.upper_arm_mm,
        second_mm=arm,
        least_angle_rad=LEAST_ELBOW_RAD,
        forward=False,
    )
    wrist_part = (lengths.forearm_mm / arm)[..., np.newaxis]
    neck = hips + up(lengths.neck_mm, lean)
    vertex = neck + up(lengths.head_mm, 0.5 * lean)
    return Trunk(
        hips_mm=np.broadcast_to(hips, shoulder.shape),
        shoulder_mm=shoulder,
        elbow_mm=limb.joint_mm,
        wrist_mm=limb.joint_mm + wrist_part * (limb.tip_mm - limb.joint_mm),
        hand_mm=limb.tip_mm,
        neck_mm=neck,
        head_centre_mm=vertex - up(lengths.head_radius_mm, 0.5 * lean),
        vertex_mm=vertex,
        head_radius_mm=lengths.head_radius_mm,
        lean_rad=lean,
        elbow_angle_rad=limb.angle_rad,
        clipped=limb.stretched | limb.folded,
    )


def middle(points_mm: ArrayLike) -> Floats:
    """Side-view points (..., 2) as points (..., 3) in the machine's middle plane."""
    points = floats(points_mm)
    if points.shape[-1:] != (2,):
        raise ValueError("a point of the side view is (x, z)")
    return vector(points[..., 0], 0.0, points[..., 1])


def _ankle_over_peg(
    foot: Foot, peg: Floats, sole_mm: ArrayLike, foot_angle_rad: ArrayLike
) -> Floats:
    angle = floats(foot_angle_rad)
    back = vector(-foot.ball_lever_mm * np.cos(angle), 0.0, foot.ball_lever_mm * np.sin(angle))
    return peg + back + up(foot.ankle_height_mm + floats(sole_mm), angle)


def riding_posture(
    lengths: Lengths,
    *,
    seat_point_mm: ArrayLike,
    peg_point_mm: ArrayLike,
    bar_point_mm: ArrayLike,
    sole_mm: ArrayLike,
    foot_angle_rad: ArrayLike = 0.0,
    least_trunk_lean_rad: ArrayLike = LEAST_TRUNK_LEAN_RAD,
    elbow_angle_rad: ArrayLike = EASY_ELBOW_RAD,
) -> Joints:
    """The rider seated, balls of the feet on the pegs, hands on the grips.

    Points are of the side view, (..., 2) as (x, z) in mm: the loaded seat's surface under the
    hips, the top of the peg, the middle of the grip. `foot_angle_rad`: soles, heel up positive.
    Never NaN: a peg or grip out of reach leaves a straight (or fully bent) limb and `clipped`.
    Errors: ValueError for points that are not (x, z).
    """
    seat, peg = middle(seat_point_mm), middle(peg_point_mm)
    hips = seat + up(lengths.hip_above_seat_mm)
    trunk = trunk_to(
        lengths,
        hips,
        middle(bar_point_mm),
        least_lean_rad=least_trunk_lean_rad,
        elbow_angle_rad=elbow_angle_rad,
    )
    ankle = _ankle_over_peg(lengths.foot, peg, sole_mm, foot_angle_rad)
    outward = vector(0.0, lengths.hip_half_spacing_mm, 0.0)
    left, right = (
        leg_to(
            lengths,
            hips + side,
            ankle + side,
            foot_angle_rad=foot_angle_rad,
            toe_angle_rad=foot_angle_rad,
            trunk_lean_rad=trunk.lean_rad,
        )
        for side in (outward, -outward)
    )
    return Joints(left, right, trunk)


def legroom(
    lengths: Lengths,
    *,
    seat_point_mm: ArrayLike,
    peg_point_mm: ArrayLike,
    sole_mm: ArrayLike,
    foot_angle_rad: ArrayLike = 0.0,
    trunk_lean_rad: ArrayLike = LEAST_TRUNK_LEAN_RAD,
) -> Legroom:
    """Knee and hip angle on the pegs, points (x, z) in mm as in `riding_posture`.

    The hip's angle lies between thigh and trunk. Only seat to peg counts: lower foam shortens it,
    lower suspension does not.
    """
    hips = middle(seat_point_mm) + up(lengths.hip_above_seat_mm)
    ankle = _ankle_over_peg(lengths.foot, middle(peg_point_mm), sole_mm, foot_angle_rad)
    limb = _leg(lengths, hips, ankle)
    return Legroom(
        knee_angle_rad=limb.angle_rad,
        hip_angle_rad=_inner_angle(limb.joint_mm - hips, up(1.0, trunk_lean_rad)),
        clipped=limb.stretched | limb.folded,
    )
