"""The whole machine in one pose, in world mm.

Owns the assembly: every part is drawn once per machine and carried by the pose; fork, arm, shock,
chain and wheels follow the axles. Refuses to compute a pose.
"""

from dataclasses import replace
from functools import lru_cache

from numpy.typing import ArrayLike

from fitplanner.outline.bodywork import bodywork, seat
from fitplanner.outline.cockpit import cockpit
from fitplanner.outline.curves import circle
from fitplanner.outline.engine import middle
from fitplanner.outline.inputs import MachinePose, MachineShape, Point, StandShape
from fitplanner.outline.landmarks import landmarks
from fitplanner.outline.place import HERE, Place, Points, turned
from fitplanner.outline.running import arm_and_shock, chain, fork, sprocket_radii, stand
from fitplanner.outline.shape import Form, Shape, moved, ordered, placed
from fitplanner.outline.wheel import brake_disc, flattened_to, rim, sprocket, tyre

# 15 mm high and stretched to the machine's length
_SHADOW = Form("shadow", "shadow", "fill", circle((0, 0), 100.0, samples=60) * [1.0, 0.15], order=0)


def _chassis(pose: MachinePose) -> Place:
    """Where the pose puts the chassis frame."""
    return turned(pose.pitch_rad, about=pose.rear_axle, to=(0.0, pose.rear_loaded_radius_mm))


def to_world(pose: MachinePose, points: ArrayLike) -> Points:
    """Chassis points (n, 2) or (2,) in mm as world points of the pose."""
    return _chassis(pose).map(points)


def seat_point(m: MachineShape, pose: MachinePose) -> Point:
    """World point of the seat's surface under the rider, lowered and squashed."""
    low = m.seat[1] - pose.seat_lowering_mm - pose.foam_squash_mm
    return _chassis(pose).at(m.seat[0], low)


@lru_cache(maxsize=32)
def _without_stand(m: MachineShape) -> MachineShape:
    """The machine with no stand to speak of: another stand changes nothing else that is drawn."""
    return replace(m, stand=StandShape(pivot=(0.0, 0.0), length_mm=0.0, angle_rad=0.0))


@lru_cache(maxsize=32)
def _rigid(m: MachineShape) -> tuple[Form, ...]:
    """What is fixed to the chassis and knows no pose."""
    turning = moved(sprocket("sprocket_front", sprocket_radii(m)[0], 15.0), to=m.sprocket)
    return (*bodywork(m), *middle(m), *cockpit(m), *turning)


def _wheels(m: MachineShape, pose: MachinePose, rear: Point, front: Point) -> tuple[Shape, ...]:
    """Both wheels on their axles, what turns with them included."""
    ends = (
        ("rear", m.rear_radius_mm, pose.rear_loaded_radius_mm, m.rear_section_mm, rear),
        ("front", m.front_radius_mm, pose.front_loaded_radius_mm, m.front_section_mm, front),
    )
    shapes: list[Shape] = []
    for end, radius, loaded, section, axle in ends:
        at = HERE.standing(axle)
        shapes += placed(tyre(end, radius, flattened_to(loaded), section), at)
        shapes += placed((*rim(end, radius, section), *brake_disc(end, radius)), at)
    shapes += placed(sprocket("sprocket_rear", sprocket_radii(m)[1], 15.0), HERE.standing(rear))
    return tuple(shapes)


@lru_cache(maxsize=16)
def machine_shapes(machine: MachineShape, pose: MachinePose) -> tuple[Shape, ...]:
    """All shapes of the machine in world mm, the farthest first."""
    m = _without_stand(machine)
    k = landmarks(m).k
    chassis = _chassis(pose)
    rear, front = chassis.at(*pose.rear_axle), chassis.at(*pose.front_axle)
    long = 0.5 * (front[0] - rear[0]) + 250 * k
    shadow = Place(long / 100.0, 0.0, 0.0, k, 0.5 * (rear[0] + front[0]), -6 * k)
    return ordered(
        (
            *placed((_SHADOW,), shadow),
            *placed(_rigid(m), chassis),
            *placed(seat(m, pose.seat_lowering_mm, pose.foam_squash_mm), chassis),
            *fork(m, pose, chassis),
            *arm_and_shock(m, pose, chassis),
            *chain(m, pose, chassis),
            *_wheels(m, pose, rear, front),
            *stand(machine.stand, k, chassis.at(*machine.stand.pivot), pose.parked),
        )
    )
