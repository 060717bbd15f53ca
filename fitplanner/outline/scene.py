"""Scenes: what one picture shows, before and after the work, with its dimensions.

Owns the immutable scene and its assembly from machine, pose and rider. Refuses colours, text
layout and units: dimensions carry mm and words, the painter asks its caller how to write a length.
"""

from dataclasses import dataclass
from typing import Literal

from fitplanner.outline.inputs import MachinePose, MachineShape, Point, RiderJoints
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
    loaded: str = "With rider"
    loaded_before: str = "With rider, before"
    loaded_after: str = "With rider, after"
    lean: str = "Lean"
    lean_before: str = "Lean, before"
    lean_after: str = "Lean, after"
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
    """The step between two heights."""

    start: Point
    end: Point
    before_mm: float
    after_mm: float
    lower: str
    higher: str
    same: str

    @property
    def value_mm(self) -> float:
        """Above 0 for lower."""
        return self.before_mm - self.after_mm


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
    """A length (mm) or an angle (deg) told beside the picture, with a leader to `point`."""

    point: Point
    value: float
    label: str
    measure: Literal["length", "angle"] = "length"


@dataclass(frozen=True, kw_only=True)
class Arc:
    """An angle from the vertical through `apex`, towards y: both legs and the arc between them."""

    apex: Point
    radius_mm: float
    angle_rad: float
    time: Time


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
    arcs: tuple[Arc, ...]
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


def heights_of(
    found: list[tuple[Time, Point, float]], words: Words, *, loaded: bool = False
) -> tuple[Height, ...]:
    """Heights with their labels; the time is said only where there are two.

    `loaded`: measured on the foam as it gives under the rider.
    """
    told = {"before": words.seat_before, "after": words.seat_after}
    alone = words.loaded if loaded else words.seat
    if loaded:
        told = {"before": words.loaded_before, "after": words.loaded_after}
    return tuple(
        Height(
            point=point,
            value_mm=value,
            time=time,
            label=told[time] if len(found) > 1 else alone,
        )
        for time, point, value in found
    )


def change_of(heights: tuple[Height, ...], words: Words) -> Change | None:
    """From the first height to the last, where there are two."""
    if len(heights) < 2:
        return None
    first, last = heights
    return Change(
        start=first.point,
        end=last.point,
        before_mm=first.value_mm,
        after_mm=last.value_mm,
        lower=words.lower,
        higher=words.higher,
        same=words.same,
    )


def gaps_of(
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
    heights = heights_of(found, words)
    gaps: tuple[Gap, ...] = ()
    rider = None if after.rider is None else shod(after.rider)
    if rider is not None:
        gaps = gaps_of(
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
        change=change_of(heights, words),
        gaps=gaps,
        spans=(),
        callouts=(),
        arcs=(),
        leg_line=None,
        words=words,
        view="side",
        flat_feet=rider is not None and not gaps and rider.ball[1] < TOUCH_MM,
    )
