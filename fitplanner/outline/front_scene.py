"""The scene from the front: the seat in section, the rider's legs over it, the side-stand.

Owns the assembly of one state, before and after, with its dimensions. Refuses shapes: `front`
draws them.
"""

from dataclasses import dataclass, replace
from math import degrees

import numpy as np

from fitplanner.outline.front import (
    beside,
    half_arc_mm,
    leaned,
    leg_line,
    legs_shapes,
    section_shapes,
    stand_shapes,
)
from fitplanner.outline.inputs import FrontRider, FrontStand, Point, SeatSection
from fitplanner.outline.scene import (
    TOUCH_MM,
    Arc,
    Callout,
    Gap,
    Scene,
    Span,
    Time,
    Words,
    change_of,
    gaps_of,
    heights_of,
)
from fitplanner.outline.shape import Bounds, Shape, bounds_of

# the arcs of the leans stand over the seat, one above the other: radii, shares of its height
ARC_AFTER, ARC_BEFORE = 1.12, 1.26


@dataclass(frozen=True, kw_only=True)
class Front:
    """One state from the front, with or without rider, on its wheels or on its side-stand.

    `rider` has the legs of one who sits; `stopped` says that they reach for the ground, so that
    the taut line of the inside leg is shown with its lengths. `seat_height_mm` None writes that
    of the section.
    """

    section: SeatSection
    rider: FrontRider | None = None
    stopped: bool = True
    stand: FrontStand | None = None
    seat_height_mm: float | None = None
    heel_lift_mm: float = 0.0
    foot_gap_mm: float = 0.0

    def shapes(self) -> tuple[Shape, ...]:
        """Machine in section and rider, the seat nearest."""
        found = section_shapes(self.section)
        if self.stand is not None:
            found = (*found, *stand_shapes(self.section, self.stand))
        if self.rider is not None:
            found = (*found, *legs_shapes(beside(self.section, self.rider)))
        return tuple(sorted(found, key=lambda s: s.order))


def _on(section: SeatSection, y: float, drop_mm: float) -> Point:
    """A point `drop_mm` under the seat's height, leaned with the machine; (y, z)."""
    at = leaned(section, np.array([[y, section.seat_height_mm - drop_mm]]))[0]
    return float(at[0]), float(at[1])


def front_scene_from(
    *, after: Front, before: Front | None = None, title: str = "", words: Words | None = None
) -> Scene:
    """The front view; without `before` it shows one state alone."""
    words = words or Words()
    shapes = after.shapes()
    ghost = () if before is None else before.shapes()
    both: list[tuple[Time, Front | None]] = [("before", before), ("after", after)]
    states = [(time, front) for time, front in both if front is not None]
    found: list[tuple[Time, Point, float]] = []
    for time, front in states:
        told = front.seat_height_mm
        value = front.section.seat_height_mm if told is None else told
        found.append((time, _on(front.section, 0.0, 0.0), value))
    heights = heights_of(found, words, loaded=after.rider is not None)
    section, stopped = after.section, after.rider if after.stopped else None
    legs = None if stopped is None else beside(section, stopped)
    half, down = 0.5 * section.width_mm, section.edge_drop_mm
    leaning = [(time, front) for time, front in states if front.stand is not None]
    width = Span(
        start=_on(section, -half, down),
        end=_on(section, half, down),
        below_mm=max(section.foam_mm, down + 24.0) - down + 70.0,
        value_mm=section.width_mm,
        pattern=words.seat_width,
    )
    callouts, arcs = _leans(leaning, words)
    return Scene(
        title=title,
        after=shapes,
        before=ghost,
        bounds=_bounds((*shapes, *ghost), arcs),
        heights=heights,
        change=change_of(heights, words),
        gaps=() if legs is None else _gaps(after, legs, words),
        spans=() if leaning else (width,),
        callouts=callouts if legs is None else _lengths(section, legs, words),
        arcs=arcs,
        leg_line=None if legs is None else leg_line(section, legs.leg_and_sole_mm),
        words=words,
        view="front",
        flat_feet=legs is not None and _flat(after, legs),
    )


def _bounds(shapes: tuple[Shape, ...], arcs: tuple[Arc, ...]) -> Bounds:
    """What has to be seen: not the shadow's ends, which would make all the rest smaller."""
    box = bounds_of(shape for shape in shapes if shape.role != "shadow")
    tops = [arc.apex[1] + arc.radius_mm + 20.0 for arc in arcs]
    ends = [arc.radius_mm * np.sin(abs(arc.angle_rad)) for arc in arcs]
    return replace(box, top=max([box.top, *tops]), right=max([box.right, *ends]))


def _flat(front: Front, legs: FrontRider) -> bool:
    soles = [z for leg in (legs.left, legs.right) for z in (leg.toe_z_mm, leg.heel_z_mm)]
    return max(soles) < TOUCH_MM and front.foot_gap_mm <= 0 and front.heel_lift_mm <= 0


def _gaps(front: Front, legs: FrontRider, words: Words) -> tuple[Gap, ...]:
    side = float(legs.left.ankle[0])
    lowest = min(legs.left.toe_z_mm, legs.left.heel_z_mm)
    return gaps_of(
        toe=(side, legs.left.toe_z_mm),
        heel=(side, legs.left.heel_z_mm),
        foot_gap_mm=front.foot_gap_mm or (lowest if lowest > TOUCH_MM else 0.0),
        heel_lift_mm=front.heel_lift_mm,
        clear_mm=100.0,
        words=words,
    )


def _lengths(section: SeatSection, legs: FrontRider, words: Words) -> tuple[Callout, ...]:
    """Half the inside-leg arc, and the leg that has to follow it."""
    line = leg_line(section, legs.leg_and_sole_mm)
    over, mid = 0.35 * line[0] + 0.65 * line[1], 0.5 * (line[1] + line[2])
    return (
        Callout(
            point=(float(over[0]), float(over[1])),
            value=half_arc_mm(section),
            label=words.half_arc,
        ),
        Callout(
            point=(float(mid[0]), float(mid[1])),
            value=legs.leg_and_sole_mm,
            label=words.inside_leg,
        ),
    )


def _leans(
    leaning: list[tuple[Time, Front]], words: Words
) -> tuple[tuple[Callout, ...], tuple[Arc, ...]]:
    """The lean of each machine on its side-stand, between the vertical and its middle plane."""
    told = {"before": words.lean_before, "after": words.lean_after}
    callouts, arcs = [], []
    for time, front in leaning:
        section, lean = front.section, front.section.lean_rad
        radius = (ARC_AFTER if time == "after" else ARC_BEFORE) * section.seat_height_mm
        arcs.append(Arc(apex=(0.0, section.crown_mm), radius_mm=radius, angle_rad=lean, time=time))
        middle = np.array([np.sin(0.5 * lean), np.cos(0.5 * lean)]) * radius
        callouts.append(
            Callout(
                point=(float(middle[0]), float(middle[1]) + section.crown_mm),
                value=degrees(lean),
                label=told[time] if len(leaning) > 1 else words.lean,
                measure="angle",
            )
        )
    return tuple(callouts), tuple(arcs)
