"""The shapes that a picture is made of.

Owns the frozen `Form`, an outline in a frame of its own, and the `Shape`, a form in its place, with
their bounds. Refuses to know what is drawn and how: a role names the stuff a form is made of, and
the painter chooses the colour.

Forms compare by identity: parts that only move keep their form from pose to pose, so that whatever
is worked out from its points is worked out once.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from math import dist
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.outline.inputs import Point
from fitplanner.outline.place import HERE, Place, Points, between, outermost, rotation, step

Role = Literal[
    "shadow", "tyre", "tread", "rim", "spoke", "hub", "disc", "metal", "dark_metal", "chrome",
    "frame", "engine", "case", "fin", "exhaust", "spring", "chain", "rubber", "seat",
    "tank", "plastic", "panel", "trim", "lamp", "glass", "plate", "guard", "foam",
    "helmet", "goggle", "peak", "jacket", "jacket_trim", "trousers", "trousers_trim", "boot",
    "boot_trim", "sole", "glove", "shade", "shine",
]  # fmt: skip
Kind = Literal["fill", "line"]


@dataclass(frozen=True, eq=False)
class Form:
    """A filled outline or a line of a given width, in mm.

    `points` is float64 (n, 2) and read-only; a row of NaN parts two sub-paths. Fills close every
    sub-path and follow the odd-even rule, so that a ring is two circles. Forms of higher `order`
    cover those of lower order. `contour` says whether the form counts for the silhouette. The
    scale of a place widens a line as well.
    """

    part: str
    role: Role
    kind: Kind
    points: Points
    width_mm: float = 0.0
    order: int = 0
    contour: bool = False

    def __post_init__(self) -> None:
        """Freeze the points too."""
        points = np.array(self.points, dtype=np.float64)
        if points.ndim != 2 or points.shape[1] != 2:
            raise ValueError(f"{self.part}: points must be (n, 2), not {points.shape}")
        points.setflags(write=False)
        object.__setattr__(self, "points", points)


class Shape(NamedTuple):
    """A form in its place; all figures are those in the world, in mm."""

    form: Form
    place: Place = HERE

    @property
    def part(self) -> str:
        """Which part it is."""
        return self.form.part

    @property
    def role(self) -> Role:
        """What it is made of."""
        return self.form.role

    @property
    def kind(self) -> Kind:
        """Whether it is filled."""
        return self.form.kind

    @property
    def order(self) -> int:
        """How near it is."""
        return self.form.order

    @property
    def contour(self) -> bool:
        """Whether it counts for the silhouette."""
        return self.form.contour

    @property
    def width_mm(self) -> float:
        """Width of a line."""
        return self.form.width_mm * self.place.scale

    @property
    def points(self) -> Points:
        """The form's points where they stand, read-only."""
        points = self.place.map(self.form.points)
        points.setflags(write=False)
        return points


def placed(forms: Iterable[Form], place: Place = HERE) -> tuple[Shape, ...]:
    """Forms that keep together, in a place of their own."""
    own = Place(*place)
    return tuple(Shape(form, own) for form in forms)


def laid_along(
    draw: Callable[[float], Iterable[Form]], start: Point, stop: Point, scale: float
) -> tuple[Shape, ...]:
    """What is drawn for a bone of about that length, from point to point."""
    length = step(dist(start, stop) / scale)
    return placed(draw(length), between(start, stop, length=length, across=scale))


def in_mirror(shapes: Iterable[Shape]) -> tuple[Shape, ...]:
    """The same forms in mirrored places; what was placed together stays so."""
    found: dict[int, Place] = {}
    return tuple(
        Shape(form, found.setdefault(id(place), place.mirrored())) for form, place in shapes
    )


def moved(
    forms: Iterable[Form], *, angle_rad: float = 0.0, to: ArrayLike = (0.0, 0.0)
) -> tuple[Form, ...]:
    """New forms, turned about 0 and carried to `to`."""
    turn, target = rotation(angle_rad), np.asarray(to)
    return tuple(replace(f, points=f.points @ turn + target) for f in forms)


def mirrored(forms: Iterable[Form]) -> tuple[Form, ...]:
    """New forms, mirrored about the vertical through 0."""
    return tuple(replace(f, points=f.points * (-1.0, 1.0)) for f in forms)


def ordered(shapes: Iterable[Shape]) -> tuple[Shape, ...]:
    """Sort shapes from the farthest to the nearest; equal orders keep their sequence."""
    return tuple(sorted(shapes, key=lambda s: s.form.order))


def together(shapes: Iterable[Shape]) -> list[tuple[Place, tuple[Form, ...]]]:
    """What was placed together, each with its place; the forms come again from pose to pose."""
    found: dict[int, tuple[Place, list[Form]]] = {}
    for form, place in shapes:
        found.setdefault(id(place), (place, []))[1].append(form)
    return [(place, tuple(forms)) for place, forms in found.values()]


@dataclass(frozen=True)
class Bounds:
    """A box in mm."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width_mm(self) -> float:
        """Width of the box."""
        return self.right - self.left

    @property
    def height_mm(self) -> float:
        """Height of the box."""
        return self.top - self.bottom


@lru_cache(maxsize=256)
def _extremes(forms: tuple[Form, ...]) -> Points:
    """The points that may touch a box around the forms, each with half the width of its line."""
    found: dict[float, list[Points]] = {}
    for f in forms:
        found.setdefault(0.5 * f.width_mm if f.kind == "line" else 0.0, []).append(f.points)
    rows = []
    for half, points in found.items():
        u, v = outermost(np.concatenate(points)).T
        rows.append(np.array([u, v, np.full(len(u), half)]))
    return np.concatenate(rows, axis=1).T


def bounds_of(shapes: Iterable[Shape]) -> Bounds:
    """The box around shapes, half the width of lines included. Raises ValueError for none."""
    groups = together(shapes)
    if not groups:
        raise ValueError("bounds: no shapes to enclose")
    found = [_extremes(forms) for _, forms in groups]
    u, v, half = np.concatenate(found).T
    places = np.array([place for place, _ in groups])
    xu, zu, xv, zv, x0, z0 = np.repeat(places, [len(f) for f in found], axis=0).T
    x, z, pad = xu * u + xv * v + x0, zu * u + zv * v + z0, half * np.hypot(xv, zv)
    return Bounds(
        left=float((x - pad).min()),
        bottom=float((z - pad).min()),
        right=float((x + pad).max()),
        top=float((z + pad).max()),
    )
