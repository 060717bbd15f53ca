"""Where the rider's mass acts: owns the centre of mass of a posture, gear included.

Refuses a rider standing on the pegs or hanging off in a bend: it takes the joints it is given.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.body.arrays import Floats, floats, not_negative, positive
from fitplanner.body.posture import Joints, Leg, middle
from fitplanner.body.segments import SEGMENT_MASSES, SegmentMass
from fitplanner.body.survey import Population

GEAR_SHARES: Mapping[str, float] = MappingProxyType({"head": 0.2, "trunk": 0.4, "foot": 0.4})
"""Gear on head (helmet), trunk (armour, drink) and both feet (boots): assumption."""


@dataclass(frozen=True, slots=True)
class RiderMass:
    """Rider with gear as one mass: kg, and its place ahead of, left of and above the seat point."""

    mass_kg: Floats
    dx_mm: Floats
    dy_mm: Floats
    dz_mm: Floats


def _between(start: Floats, end: Floats, share: float) -> Floats:
    return start + share * (end - start)


def _leg_centres(leg: Leg, table: Mapping[str, SegmentMass]) -> Iterator[tuple[str, Floats]]:
    yield "thigh", _between(leg.hip_mm, leg.knee_mm, table["thigh"].centre_share)
    yield "shank", _between(leg.knee_mm, leg.ankle_mm, table["shank"].centre_share)
    yield "foot", _between(leg.heel_mm, leg.toe_mm, table["foot"].centre_share)


def segment_centres(joints: Joints, population: Population) -> list[tuple[str, float, Floats]]:
    """Name, share of body mass and centre (..., 3) of each segment; both arms are one entry.

    Shares are divided by their printed sum, so that they add up to 1. The hand's mass is put at
    the grip.
    """
    table = SEGMENT_MASSES[population]
    body = joints.trunk
    arms: list[tuple[str, Floats]] = [
        ("upper_arm", _between(body.shoulder_mm, body.elbow_mm, table["upper_arm"].centre_share)),
        ("forearm", _between(body.elbow_mm, body.wrist_mm, table["forearm"].centre_share)),
        ("hand", body.hand_mm),
    ]
    head = _between(body.vertex_mm, body.neck_mm, table["head"].centre_share)
    trunk = _between(body.neck_mm, body.hips_mm, table["trunk"].centre_share)
    found: list[tuple[str, float, Floats]] = [
        ("head", table["head"].mass_share, head),
        ("trunk", table["trunk"].mass_share, trunk),
        *((name, 2.0 * table[name].mass_share, centre) for name, centre in arms),
    ]
    for leg in (joints.left, joints.right):
        found += [
            (name, table[name].mass_share, centre) for name, centre in _leg_centres(leg, table)
        ]
    total = sum(share for _, share, _ in found)
    return [(name, share / total, centre) for name, share, centre in found]


def seated_com(
    joints: Joints,
    *,
    seat_point_mm: ArrayLike,
    body_mass_kg: ArrayLike,
    gear_mass_kg: ArrayLike = 0.0,
    population: Population = Population.BOTH,
) -> RiderMass:
    """The rider's centre of mass relative to the seat point (x, z) in mm.

    World axes: for a leaned machine too the offset is from the upright seat point given.
    The hip joints stand `Lengths.hip_above_seat_mm` over the seat point. Errors: ValueError for a
    body mass not above 0 or a negative gear mass. Validity: segment shares are of young adults;
    for others the centre may lie some 10 mm away (estimate). Source: de Leva 1996.
    """
    body = positive(body_mass_kg, "body mass")
    gear = not_negative(gear_mass_kg, "gear mass")
    moment = floats(0.0)
    for name, share, centre in segment_centres(joints, population):
        worn = GEAR_SHARES.get(name, 0.0) * (0.5 if name == "foot" else 1.0)
        moment = moment + (share * body + worn * gear)[..., np.newaxis] * centre
    total = body + gear
    offset = moment / total[..., np.newaxis] - middle(seat_point_mm)
    mass, dx, dy, dz = np.broadcast_arrays(total, offset[..., 0], offset[..., 1], offset[..., 2])
    return RiderMass(mass, dx, dy, dz)
