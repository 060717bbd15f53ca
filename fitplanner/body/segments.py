"""Segments of the body: owns their mass shares, centres and lengths.

Refuses postures. Mass shares and centres: P. de Leva, Adjustments to Zatsiorsky-Seluyanov's
segment inertia parameters, J. Biomechanics 29(9), 1996, Table 4 (young adults). Lengths as shares
of stature: R. Drillis and R. Contini, Body segment parameters, TR 1166.03, 1966, as drawn in
D. A. Winter, Biomechanics and Motor Control of Human Movement.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.body.arrays import Floats, positive
from fitplanner.body.foot import Foot, foot_from_stature
from fitplanner.body.survey import CROTCH_HEIGHT, Population


@dataclass(frozen=True, slots=True)
class SegmentMass:
    """One segment: its share of body mass, and its centre as a share of its length.

    The centre counts from the first named end: head vertex to C7, trunk C7 to mid-hip, upper arm
    shoulder to elbow, forearm elbow to wrist, hand wrist to fingertip, thigh hip to knee, shank
    knee to ankle, foot heel to toe tip.
    """

    mass_share: float
    centre_share: float


_WOMEN = {
    "head": SegmentMass(0.0668, 0.4841),
    "trunk": SegmentMass(0.4257, 0.4964),
    "upper_arm": SegmentMass(0.0255, 0.5754),
    "forearm": SegmentMass(0.0138, 0.4559),
    "hand": SegmentMass(0.0056, 0.3427),
    "thigh": SegmentMass(0.1478, 0.3612),
    "shank": SegmentMass(0.0481, 0.4416),
    "foot": SegmentMass(0.0129, 0.4014),
}
_MEN = {
    "head": SegmentMass(0.0694, 0.5002),
    "trunk": SegmentMass(0.4346, 0.5138),
    "upper_arm": SegmentMass(0.0271, 0.5772),
    "forearm": SegmentMass(0.0162, 0.4574),
    "hand": SegmentMass(0.0061, 0.3624),
    "thigh": SegmentMass(0.1416, 0.4095),
    "shank": SegmentMass(0.0433, 0.4459),
    "foot": SegmentMass(0.0137, 0.4415),
}
_BOTH = {
    name: SegmentMass(
        0.5 * (woman.mass_share + _MEN[name].mass_share),
        0.5 * (woman.centre_share + _MEN[name].centre_share),
    )
    for name, woman in _WOMEN.items()
}

SEGMENT_MASSES: Mapping[Population, Mapping[str, SegmentMass]] = MappingProxyType(
    {
        Population.WOMEN: MappingProxyType(_WOMEN),
        Population.MEN: MappingProxyType(_MEN),
        Population.BOTH: MappingProxyType(_BOTH),
    }
)
"""Arms and legs are one of two. The women's printed shares add up to 0.9999; users divide by the
sum. `BOTH` is the mean of the two tables. Printed copies differ on the end from which the arms'
centres count; the other reading moves the rider's centre by about 3 mm."""

PAIRED = frozenset({"upper_arm", "forearm", "hand", "thigh", "shank", "foot"})

STATURE_SHARES: Mapping[str, float] = MappingProxyType(
    {
        "shoulder_height": 0.818,
        "hip_height": 0.530,
        "knee_height": 0.285,
        "ankle_height": 0.039,
        "upper_arm": 0.186,
        "forearm": 0.146,
        "hand": 0.108,
        "chin_height": 0.870,
    }
)
"""Drillis and Contini, as shares of stature."""

C7_HEIGHT_SHARE = 0.860
"""Stature less de Leva's vertex to C7, 243.7 of 1,735 mm and 242.9 of 1,741 mm (from memory)."""

HIP_ABOVE_SEAT_SHARE = 0.054
"""Hip joint over a firm seat as a share of stature: the survey's mean sitting height over stature,
0.524, less the 0.470 from the hip joint to the vertex."""

HIP_HALF_SPACING_SHARE = 0.052
"""Hip joint from the middle plane as a share of stature: from memory, for drawing only."""

LEG_SHARE_RANGE = (0.36, 0.60)
"""Inside leg over stature past which one of the two was misread (the survey holds 0.42 to 0.54)."""


@dataclass(frozen=True, slots=True)
class Lengths:
    """One rider's segment lengths in mm; arrays broadcast.

    `trunk_mm` runs from the hip joints' middle to the shoulders', `neck_mm` on the same line to
    C7, `head_mm` from there to the vertex, `grip_mm` from the wrist to the middle of the fist.
    """

    thigh_mm: Floats
    shank_mm: Floats
    trunk_mm: Floats
    neck_mm: Floats
    head_mm: Floats
    head_radius_mm: Floats
    upper_arm_mm: Floats
    forearm_mm: Floats
    grip_mm: Floats
    hip_above_seat_mm: Floats
    hip_half_spacing_mm: Floats
    foot: Foot


def segment_lengths(
    stature_mm: ArrayLike,
    population: Population = Population.BOTH,
    *,
    inside_leg_mm: ArrayLike | None = None,
    foot: Foot | None = None,
) -> Lengths:
    """Segment lengths from stature and, where known, the rider's own inside leg and foot.

    Rule: the hip joint lies as far above the rider's own crotch as it does, at that stature, above
    the survey's mean crotch; thigh and shank share the height from ankle to hip as in the source;
    the trunk takes what is left of the stature. Without an inside leg the survey's mean stands in.
    Errors: ValueError for a stature not above 0, or an inside leg outside `LEG_SHARE_RANGE`.
    Validity: adults; the sources' people were mostly young.
    """
    stature = positive(stature_mm, "stature")
    mean_leg = CROTCH_HEIGHT[population].at(stature)
    leg = mean_leg if inside_leg_mm is None else positive(inside_leg_mm, "inside leg")
    low, high = LEG_SHARE_RANGE
    if not np.all((leg >= low * stature) & (leg <= high * stature)):
        raise ValueError("inside leg and stature do not fit each other: measure both again")
    own_foot = foot_from_stature(stature, population) if foot is None else foot
    share = STATURE_SHARES
    hip_height = leg + share["hip_height"] * stature - mean_leg
    leg_bones = hip_height - own_foot.ankle_height_mm
    thigh_part = (share["hip_height"] - share["knee_height"]) / (
        share["hip_height"] - share["ankle_height"]
    )
    return Lengths(
        thigh_mm=thigh_part * leg_bones,
        shank_mm=(1.0 - thigh_part) * leg_bones,
        trunk_mm=share["shoulder_height"] * stature - hip_height,
        neck_mm=C7_HEIGHT_SHARE * stature - hip_height,
        head_mm=(1.0 - C7_HEIGHT_SHARE) * stature,
        head_radius_mm=0.5 * (1.0 - share["chin_height"]) * stature,
        upper_arm_mm=share["upper_arm"] * stature,
        forearm_mm=share["forearm"] * stature,
        grip_mm=0.5 * share["hand"] * stature,
        hip_above_seat_mm=HIP_ABOVE_SEAT_SHARE * stature,
        hip_half_spacing_mm=HIP_HALF_SPACING_SHARE * stature,
        foot=own_foot,
    )
