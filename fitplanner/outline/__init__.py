"""Outlines of machine and rider to scale, from geometry alone."""

from fitplanner.outline.front import (
    half_arc_mm,
    leg_line,
    legs_shapes,
    seat_surface,
    section_shapes,
)
from fitplanner.outline.front_scene import Front, front_scene_from
from fitplanner.outline.inputs import (
    EngineSort,
    FrontLeg,
    FrontRider,
    FrontStand,
    MachineKind,
    MachinePose,
    MachineShape,
    Point,
    RiderJoints,
    SeatSection,
    StandShape,
)
from fitplanner.outline.machine import machine_shapes, seat_point, to_world
from fitplanner.outline.place import Place, Points
from fitplanner.outline.rider import rider_shapes
from fitplanner.outline.scene import (
    Arc,
    Callout,
    Change,
    Gap,
    Height,
    Scene,
    Side,
    Span,
    Words,
    scene_from,
)
from fitplanner.outline.shape import Bounds, Form, Kind, Role, Shape, bounds_of, together

__all__ = [
    "Arc", "Bounds", "Callout", "Change", "EngineSort", "Form", "Front", "FrontLeg", "FrontRider",
    "FrontStand",
    "Gap", "Height", "Kind", "MachineKind", "MachinePose", "MachineShape", "Place", "Point",
    "Points", "RiderJoints", "Role", "Scene", "SeatSection", "Shape", "Side", "Span",
    "StandShape", "Words", "bounds_of", "front_scene_from", "half_arc_mm",
    "leg_line", "legs_shapes", "machine_shapes", "rider_shapes",
    "scene_from", "seat_point", "seat_surface", "section_shapes",
    "to_world", "together",
]  # fmt: skip
