"""Puts a figure of given lengths on the machine, feet on the pegs or on the ground.

Owns the placing of joints by the closed solution of two-bone chains. Refuses reach, legroom and
footing: heel lift and gap are given by the caller, the drawing only shows them.
"""

from dataclasses import dataclass

import numpy as np

from fitplanner.outline.inputs import FrontLeg, FrontRider, Point, RiderJoints, SeatSection
from fitplanner.outline.shape import Points


@dataclass(frozen=True, kw_only=True)
class RiderLengths:
    """Lengths of the drawn figure, mm.

    `trunk` from hip to shoulder, `neck` from shoulder to the middle of the head, `ankle_height`
    over the bare sole, `heel_back`, `ball_ahead` and `toe_ahead` level from the ankle joint,
    `sole` the boot's, `hip_above_seat` from the seat's surface to the hip joint.
    """

    trunk_mm: float
    neck_mm: float
    head_radius_mm: float
    upper_arm_mm: float
    forearm_mm: float
    thigh_mm: float
    shank_mm: float
    ankle_height_mm: float
    heel_back_mm: float
    ball_ahead_mm: float
    toe_ahead_mm: float
    sole_mm: float
    hip_above_seat_mm: float


def lengths_from_stature(*, stature_mm: float, sole_mm: float) -> RiderLengths:
    """Mean lengths as shares of stature.

    Source: Drillis and Contini 1966 (knee 0.285, hip 0.530, ankle 0.039, shoulder 0.818, upper
    arm 0.186, forearm 0.146, foot 0.152 of stature); the foot's parts, the head and the seat to
    hip distance are common proportions, no source.
    """
    h = stature_mm
    return RiderLengths(
        trunk_mm=0.288 * h,
        neck_mm=0.118 * h,
        head_radius_mm=0.064 * h,
        upper_arm_mm=0.186 * h,
        forearm_mm=0.146 * h,
        thigh_mm=0.245 * h,
        shank_mm=0.246 * h,
        ankle_height_mm=0.039 * h,
        heel_back_mm=0.036 * h,
        ball_ahead_mm=0.072 * h,
        toe_ahead_mm=0.116 * h,
        sole_mm=sole_mm,
        hip_above_seat_mm=0.052 * h,
    )


def joint_between(
    start: Points, stop: Points, first: float, second: float, *, bend: float
) -> tuple[Points, Points]:
    """Middle joint and end of a two-bone chain; out of reach it stretches towards the target.

    `bend` above 0 puts the joint to the left of the way from start to stop.
    """
    way = stop - start
    n = float(np.clip(np.hypot(*way), abs(first - second) + 1e-6, 0.9995 * (first + second)))
    unit = way / np.hypot(*way)
    along = (first**2 - second**2 + n**2) / (2 * n)
    side = np.sqrt(max(first**2 - along**2, 0.0)) * np.sign(bend)
    normal = np.array([-unit[1], unit[0]])
    return start + along * unit + side * normal, start + n * unit


def _over(point: Point, up_mm: float) -> Points:
    return np.array([point[0], point[1] + up_mm])


def _point(p: Points) -> Point:
    return float(p[0]), float(p[1])


def _upper_body(lengths: RiderLengths, hip: Points, grip: Points) -> dict[str, Point | float]:
    """Trunk leaned just as far as the arms need, arms to the grip, head level."""
    arm = 0.9 * (lengths.upper_arm_mm + lengths.forearm_mm)
    lean = np.radians(9.0)
    for lean in np.radians(np.arange(9.0, 46.0, 0.5)):
        shoulder = hip + lengths.trunk_mm * np.array([np.sin(lean), np.cos(lean)])
        if np.hypot(*(grip - shoulder)) <= arm:
            break
    elbow, hand = joint_between(shoulder, grip, lengths.upper_arm_mm, lengths.forearm_mm, bend=-1.0)
    nod = 0.55 * lean + np.radians(6)
    way = np.array([np.sin(nod), np.cos(nod)])
    return {
        "shoulder": _point(shoulder),
        "elbow": _point(elbow),
        "hand": _point(hand),
        "neck": _point(shoulder + 0.34 * lengths.neck_mm * way),
        "head": _point(shoulder + lengths.neck_mm * way),
        "head_radius_mm": lengths.head_radius_mm,
    }


def _foot(lengths: RiderLengths, ball: Points, tilt: float) -> tuple[Points, ...]:
    """Ankle, heel, ball and toe for a sole whose heel is turned up about the ball by `tilt`."""
    c, s = np.cos(tilt), np.sin(tilt)
    along, up = np.array([c, -s]), np.array([s, c])
    heel = ball - (lengths.ball_ahead_mm + lengths.heel_back_mm) * along
    ankle = ball - lengths.ball_ahead_mm * along + (lengths.ankle_height_mm + lengths.sole_mm) * up
    flat = min(tilt, 0.0)
    toe_way = np.array([np.cos(flat), -np.sin(flat)])
    toe = ball + (lengths.toe_ahead_mm - lengths.ball_ahead_mm) * toe_way
    return ankle, heel, ball, toe


def riding_joints(lengths: RiderLengths, *, seat: Point, grip: Point, peg: Point) -> RiderJoints:
    """Seated, the balls of the feet on the pegs; world points."""
    hip = _over(seat, lengths.hip_above_seat_mm)
    tilt = np.radians(4.0)
    for _ in range(4):
        ankle, heel, ball, toe = _foot(lengths, _over(peg, 2.0), float(tilt))
        knee, _end = joint_between(hip, ankle, lengths.thigh_mm, lengths.shank_mm, bend=1.0)
        # an ankle bends up by some 22 deg in boots: beyond, the heel rises
        shank = np.arctan2(knee[0] - ankle[0], knee[1] - ankle[1])
        tilt = np.clip(shank - np.radians(22), np.radians(4), np.radians(34))
    return RiderJoints(
        hip=_point(hip), knee=_point(knee), ankle=_point(ankle), heel=_point(heel),
        ball=_point(ball), toe=_point(toe),
        **_upper_body(lengths, hip, np.array(grip)),  # type: ignore[arg-type]
    )  # fmt: skip


def stopped_joints(
    lengths: RiderLengths,
    *,
    seat: Point,
    grip: Point,
    feet_ahead_mm: float,
    heel_lift_mm: float = 0.0,
    gap_mm: float = 0.0,
) -> RiderJoints:
    """Seated, feet down: flat, heels lifted over the balls, or hanging `gap_mm` over the ground.

    The legs reach what the caller says they reach: their drawn lengths give way, for a side view
    cannot show how far the thighs spread over the seat.
    """
    hip = _over(seat, lengths.hip_above_seat_mm)
    sole = lengths.ball_ahead_mm + lengths.heel_back_mm
    tilt = float(np.arcsin(np.clip(heel_lift_mm / sole, 0.0, 0.9)))
    if gap_mm > 0:
        tilt = max(tilt, float(np.radians(32)))
    ball = np.array([seat[0] + feet_ahead_mm, gap_mm])
    ankle, heel, ball, toe = _foot(lengths, ball, tilt)
    reach = float(np.hypot(*(ankle - hip)))
    grow = max(0.5 * (reach / (lengths.thigh_mm + lengths.shank_mm)) * 1.002, 0.5) * 2
    knee, _ = joint_between(hip, ankle, grow * lengths.thigh_mm, grow * lengths.shank_mm, bend=1.0)
    return RiderJoints(
        hip=_point(hip), knee=_point(knee), ankle=_point(ankle), heel=_point(heel),
        ball=_point(ball), toe=_point(toe),
        **_upper_body(lengths, hip, np.array(grip)),  # type: ignore[arg-type]
    )  # fmt: skip


def hanging_legs(
    section: SeatSection,
    *,
    lengths: RiderLengths,
    leg_and_sole_mm: float,
    heel_lift_mm: float = 0.0,
    gap_mm: float = 0.0,
) -> FrontRider:
    """Both legs from the front, hanging from the seat's edges to the ground or above it."""
    half = 0.5 * section.width_mm
    toe = max(gap_mm, 0.0)
    heel = toe + max(heel_lift_mm, 0.0)

    def leg(side: float) -> FrontLeg:
        out = half + 0.05 * (lengths.thigh_mm + lengths.shank_mm)
        hip_z = section.seat_height_mm + lengths.hip_above_seat_mm
        ankle_z = heel + lengths.ankle_height_mm + lengths.sole_mm
        share = lengths.thigh_mm / (lengths.thigh_mm + lengths.shank_mm)
        hip = (side * min(0.19 * lengths.thigh_mm, half + 20.0), hip_z)
        knee = (side * (out + 14.0), hip_z - share * (hip_z - ankle_z))
        return FrontLeg(
            hip=hip, knee=knee, ankle=(side * (out + 4.0), ankle_z), heel_z_mm=heel, toe_z_mm=toe
        )

    return FrontRider(left=leg(1.0), right=leg(-1.0), leg_and_sole_mm=leg_and_sole_mm)
