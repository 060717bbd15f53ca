"""Scenes: what one picture shows, before and after the work, with its dimensions.

Owns the immutable scene and its assembly from machine, pose and rider. Refuses colours, text
layout and units: dimensions carry mm and words, the painter asks its caller how to write a length.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from fitplanner.outline.front import (
    beside,
    half_arc_mm,
    leaned,
    leg_line,
    legs_shapes,
    section_shapes,
)
from fitplanner.outline.inputs import (
    FrontRider,
    MachinePose,
    MachineShape,
    Point,
    RiderJoints,
    SeatSection,
)
from fitplanner.outline.machine import machine_shapes, seat_point
from fitplanner.outline.place import Points
from fitplanner.outline.rider import rider_shapes, shod
from fitplanner.outline.shape import Bounds, Shape, bounds_of

Time = Literal["before", "after"]
# a sole this near to the ground touches it
TOUCH_MM = 1.0


@dataclass(frozen=True, kw_only=True)
class Words:
    """The picture's words; a caller passes translations. `{}` takes a written length."""

    before: str = "Before"
    after: str = "After"
    seat: str = "Seat"
    seat_before: str = "Seat, before"
    seat_after: str = "Seat, after"
    lower: str = "{} lower"
    higher: str = "{} higher"
    same: str = "same height"
    foot_gap: str = "{} off the ground"
    heel_lift: str = "Heel up {}"
    seat_width: str = "Seat width {}"
    half_arc: str = "Over the seat to the ground"
    inside_leg: str = "Inside leg and sole"
    side_view: str = "Side view to scale."
    front_view: str = "Front view to scale."
    said_flat: str = "Feet flat on the ground."


@dataclass(frozen=True, kw_only=True)
class Height:
    """A height over the ground, measured at `point`, written on the rail beside the picture."""

    point: Point
    value_mm: float
    label: str
    time: Time


@dataclass(frozen=True, kw_only=True)
class Change:
    """The step between two heights; `value_mm` is above 0 for lower."""

    start: Point
    end: Point
    value_mm: float
    lower: str
    higher: str
    same: str


@dataclass(frozen=True, kw_only=True)
class Gap:
    """A small height over the ground: `foot` where it is measured, `text_x` clear of the foot."""

    foot: Point
    text_x: float
    value_mm: float
    pattern: str


@dataclass(frozen=True, kw_only=True)
class Span:
    """A distance between two points, drawn `below_mm` to the right of the way between them."""

    start: Point
    end: Point
    below_mm: float
    value_mm: float
    pattern: str


@dataclass(frozen=True, kw_only=True)
class Callout:
    """A length told beside the picture, with a leader to `point`."""

    point: Point
    value_mm: float
    label: str


@dataclass(frozen=True, eq=False, kw_only=True)
class Scene:
    """One picture. Shapes are sorted from far to near; the ground is z = 0."""

    title: str
    after: tuple[Shape, ...]
    before: tuple[Shape, ...]
    bounds: Bounds
    heights: tuple[Height, ...]
    change: Change | None
    gaps: tuple[Gap, ...]
    spans: tuple[Span, ...]
    callouts: tuple[Callout, ...]
    leg_line: Points | None
    words: Words
    view: Literal["side", "front"]
    flat_feet: bool


@dataclass(frozen=True, kw_only=True)
class Side:
    """One state from the side. `seat_height_mm` None writes the height of the drawn seat."""

    machine: MachineShape
    pose: MachinePose
    rider: RiderJoints | None = None
    seat_height_mm: float | None = None
    heel_lift_mm: float = 0.0
    foot_gap_mm: float = 0.0

    def shapes(self) -> tuple[Shape, ...]:
        """Machine, then rider."""
        machine = machine_shapes(self.machine, self.pose)
        return machine if self.rider is None else (*machine, *rider_shapes(shod(self.rider)))


@dataclass(frozen=True, kw_only=True)
class Front:
    """One state from the front."""

    section: SeatSection
    rider: FrontRider
    heel_lift_mm: float = 0.0
    foot_gap_mm: float = 0.0

    def shapes(self) -> tuple[Shape, ...]:
        """Machine in section and rider, the seat nearest."""
        both = (*section_shapes(self.section), *legs_shapes(beside(self.section, self.rider)))
        return tuple(sorted(both, key=lambda s: s.order))


def _heights(found: list[tuple[Time, Point, float]], words: Words) -> tuple[Height, ...]:
    """Heights with their labels; the time is said only where there are two."""
    told = {"before": words.seat_before, "after": words.seat_after}
    return tuple(
        Height(
            point=point,
            value_mm=value,
            time=time,
            label=told[time] if len(found) > 1 else words.seat,
        )
        for time, point, value in found
    )


def _change(heights: tuple[Height, ...], words: Words) -> Change | None:
    if len(heights) < 2:
        return None
    first, last = heights
    return Change(
        start=first.point,
        end=last.point,
        value_mm=first.value_mm - last.value_mm,
        lower=words.lower,
        higher=words.higher,
        same=words.same,
    )


def _gaps(
    *,
    toe: Point,
    heel: Point,
    foot_gap_mm: float,
    heel_lift_mm: float,
    clear_mm: float,
    words: Words,
) -> tuple[Gap, ...]:
    """What keeps the foot from standing flat: the gap, else the heel's lift."""
    text_x = max(toe[0], heel[0]) + clear_mm
    if foot_gap_mm > 0:
        return (Gap(foot=toe, text_x=text_x, value_mm=foot_gap_mm, pattern=words.foot_gap),)
    if heel_lift_mm > 0:
        return (Gap(foot=heel, text_x=text_x, value_mm=heel_lift_mm, pattern=words.heel_lift),)
    return ()


def scene_from(
    *, after: Side, before: Side | None = None, title: str = "", words: Words | None = None
) -> Scene:
    """The side view; without `before` it shows one state alone."""
    words = words or Words()
    shapes = after.shapes()
    ghost = () if before is None else before.shapes()
    found: list[tuple[Time, Point, float]] = []
    states: list[tuple[Time, Side | None]] = [("before", before), ("after", after)]
    for time, side in states:
        if side is not None:
            point = seat_point(side.machine, side.pose)
            value = point[1] if side.seat_height_mm is None else side.seat_height_mm
            found.append((time, point, value))
    heights = _heights(found, words)
    gaps: tuple[Gap, ...] = ()
    rider = None if after.rider is None else shod(after.rider)
    if rider is not None:
        gaps = _gaps(
            toe=min(rider.ball, rider.toe, key=lambda p: p[1]),
            heel=rider.heel,
            foot_gap_mm=after.foot_gap_mm,
            heel_lift_mm=after.heel_lift_mm,
            clear_mm=110.0,
            words=words,
        )
    return Scene(
        title=title,
        after=shapes,
        before=ghost,
        bounds=bounds_of((*shapes, *ghost)),
        heights=heights,
        change=_change(heights, words),
        gaps=gaps,
        spans=(),
        callouts=(),
        leg_line=None,
        words=words,
        view="side",
        flat_feet=rider is not None and not gaps and rider.ball[1] < TOUCH_MM,
    )


def _on(section: SeatSection, y: float, drop_mm: float) -> Point:
    """A point `drop_mm` under the seat's height, leaned with the machine; (y, z)."""
    at = leaned(section, np.array([[y, section.seat_height_mm - drop_mm]]))[0]
    return float(at[0]), float(at[1])


def front_scene_from(
    *, after: Front, before: Front | None = None, title: str = "", words: Words | None = None
) -> Scene:
    """The front view of the legs over the seat; without `before` it shows one state alone."""
    words = words or Words()
    shapes = after.shapes()
    ghost = () if before is None else before.shapes()
    states: list[tuple[Time, Front | None]] = [("before", before), ("after", after)]
    found: list[tuple[Time, Point, float]] = [
        (time, _on(f.section, 0.0, 0.0), f.section.seat_height_mm)
        for time, f in states
        if f is not None
    ]
    heights = _heights(found, words)
    section = after.section
    legs = beside(section, after.rider)
    line = leg_line(section, legs.leg_and_sole_mm)
    half = 0.5 * section.width_mm
    down = section.edge_drop_mm
    side = float(legs.left.ankle[0])
    lowest = min(legs.left.toe_z_mm, legs.left.heel_z_mm)
    gap = after.foot_gap_mm or (lowest if lowest > TOUCH_MM else 0.0)
    soles = [z for leg in (legs.left, legs.right) for z in (leg.toe_z_mm, leg.heel_z_mm)]
    over, mid = 0.35 * line[0] + 0.65 * line[1], 0.5 * (line[1] + line[2])
    return Scene(
        title=title,
        after=shapes,
        before=ghost,
        bounds=bounds_of((*shapes, *ghost)),
        heights=heights,
        change=_change(heights, words),
        gaps=_gaps(
            toe=(side, legs.left.toe_z_mm),
            heel=(side, legs.left.heel_z_mm),
            foot_gap_mm=gap,
            heel_lift_mm=after.heel_lift_mm,
            clear_mm=100.0,
            words=words,
        ),
        spans=(
            Span(
                start=_on(section, -half, down),
                end=_on(section, half, down),
                below_mm=max(section.foam_mm, down + 24.0) - down + 70.0,
                value_mm=section.width_mm,
                pattern=words.seat_width,
            ),
        ),
        callouts=(
            Callout(
                point=(float(over[0]), float(over[1])),
                value_mm=half_arc_mm(section),
                label=words.half_arc,
            ),
            Callout(
                point=(float(mid[0]), float(mid[1])),
                value_mm=legs.leg_and_sole_mm,
                label=words.inside_leg,
            ),
        ),
        leg_line=np.array(line),
        words=words,
        view="front",
        flat_feet=max(soles) < TOUCH_MM and after.foot_gap_mm <= 0 and after.heel_lift_mm <= 0,
    )
