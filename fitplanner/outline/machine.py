"""The whole machine in one pose, in world mm.

Owns the assembly: the rigid middle is built once per machine and carried by the pose, fork, arm,
shock, chain and wheels follow the axles. Refuses to compute a pose.
"""

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.outline.bodywork import bodywork, seat
from fitplanner.outline.cockpit import cockpit
from fitplanner.outline.curves import circle
from fitplanner.outline.engine import middle
from fitplanner.outline.inputs import MachinePose, MachineShape, Point
from fitplanner.outline.landmarks import landmarks
from fitplanner.outline.running import (
    chain,
    fork,
    shock,
    sprocket_radii,
    stand,
    stand_points,
    swing_arm,
)
from fitplanner.outline.shape import Points, Shape, moved, ordered, rotation
from fitplanner.outline.wheel import brake_disc, sprocket, wheel


def to_world(pose: MachinePose, points: ArrayLike) -> Points:
    """Chassis points (n, 2) or (2,) in mm as world points of the pose."""
    local = np.asarray(points, dtype=np.float64) - pose.rear_axle
    placed = local @ rotation(pose.pitch_rad) + [0.0, pose.rear_loaded_radius_mm]
    return np.asarray(placed, dtype=np.float64)


def seat_point(m: MachineShape, pose: MachinePose) -> Point:
    """World point of the seat's surface under the rider, lowered and squashed."""
    low = m.seat[1] - pose.seat_lowering_mm - pose.foam_squash_mm
    x, z = to_world(pose, (m.seat[0], low))
    return float(x), float(z)


def _shadow(m: MachineShape, rear: Points, front: Points) -> Shape:
    """Soft mark of the machine on the ground."""
    k = landmarks(m).k
    centre = np.array([0.5 * (rear[0] + front[0]), -6 * k])
    flat = circle((0, 0), 1.0, samples=60) * [0.5 * (front[0] - rear[0]) + 250 * k, 15 * k]
    return Shape("shadow", "shadow", "fill", centre + flat, order=0)


def machine_shapes(m: MachineShape, pose: MachinePose) -> tuple[Shape, ...]:
    """All shapes of the machine in world mm, the farthest first."""
    rigid = (
        *bodywork(m),
        *middle(m),
        *cockpit(m),
        *seat(m, pose.seat_lowering_mm, pose.foam_squash_mm),
        *fork(m, pose),
        *swing_arm(m, pose),
        *shock(m, pose),
        *chain(m, pose),
        *moved(sprocket("sprocket_front", sprocket_radii(m)[0], 15.0), to=m.sprocket),
    )
    target = (0.0, pose.rear_loaded_radius_mm)
    chassis = moved(rigid, about=pose.rear_axle, angle_rad=pose.pitch_rad, to=target)
    rear, front = to_world(pose, pose.rear_axle), to_world(pose, pose.front_axle)
    wheels = (
        *moved(
            (
                *wheel("rear", m.rear_radius_mm, pose.rear_loaded_radius_mm, m.rear_section_mm),
                *brake_disc("rear", m.rear_radius_mm),
                *sprocket("sprocket_rear", sprocket_radii(m)[1], 15.0),
            ),
            to=rear,
        ),
        *moved(
            (
                *wheel("front", m.front_radius_mm, pose.front_loaded_radius_mm, m.front_section_mm),
                *brake_disc("front", m.front_radius_mm),
            ),
            to=front,
        ),
    )
    leg = stand_points(m, pose, to_world(pose, m.stand.pivot))
    return ordered((_shadow(m, rear, front), *chassis, *wheels, *stand(m, leg, pose.parked)))
