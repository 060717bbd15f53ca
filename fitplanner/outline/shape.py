"""The shapes that a picture is made of.

Owns the frozen `Shape`, the transforms of shapes and their bounds. Refuses to know what is drawn
and how: a role names the stuff a shape is made of, and the painter chooses the colour.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Points = NDArray[np.float64]
Role = Literal[
    "shadow", "tyre", "tread", "rim", "spoke", "hub", "disc", "metal", "dark_metal", "chrome",
    "frame", "engine", "case", "fin", "exhaust", "spring", "chain", "rubber", "seat",
    "tank", "plastic", "panel", "trim", "lamp", "glass", "plate", "guard", "foam",
    "helmet", "goggle", "peak", "jacket", "jacket_trim", "trousers", "trousers_trim", "boot",
    "boot_trim", "sole", "glove", "shade", "shine",
]  # fmt: skip
Kind = Literal["fill", "line"]


@dataclass(frozen=True, eq=False)
class Shape:
    """A filled outline or a line of a given width, in mm.

    `points` is float64 (n, 2) and read-only; a row of NaN parts two sub-paths. Fills close every
    sub-path and follow the odd-even rule, so that a ring is two circles. Shapes of higher `order`
    cover those of lower order. `contour` says whether the shape counts for the silhouette.
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


def rotation(angle_rad: float) -> Points:
    """The 2 x 2 matrix that turns row vectors by `angle_rad`, anticlockwise: p @ rotation(a)."""
    c, s = np.cos(angle_rad), np.sin(angle_rad)
    return np.array([[c, s], [-s, c]])


def moved(
    shapes: Iterable[Shape],
    *,
    about: ArrayLike = (0.0, 0.0),
    angle_rad: float = 0.0,
    to: ArrayLike = (0.0, 0.0),
) -> tuple[Shape, ...]:
    """Turn shapes about a point by an angle and carry that point to `to`."""
    turn, centre, target = rotation(angle_rad), np.asarray(about), np.asarray(to)
    return tuple(replace(s, points=(s.points - centre) @ turn + target) for s in shapes)


def mirrored(shapes: Iterable[Shape]) -> tuple[Shape, ...]:
    """Mirror shapes about the vertical through 0."""
    return tuple(replace(s, points=s.points * (-1.0, 1.0)) for s in shapes)


def ordered(shapes: Iterable[Shape]) -> tuple[Shape, ...]:
    """Sort shapes from the farthest to the nearest; equal orders keep their sequence."""
    return tuple(sorted(shapes, key=lambda s: s.order))


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


def bounds_of(shapes: Iterable[Shape]) -> Bounds:
    """The box around shapes, half the width of lines included. Raises ValueError for none."""
    boxes = []
    for s in shapes:
        pad = 0.5 * s.width_mm if s.kind == "line" else 0.0
        low, high = np.nanmin(s.points, axis=0) - pad, np.nanmax(s.points, axis=0) + pad
        boxes.append((*low, *high))
    if not boxes:
        raise ValueError("bounds: no shapes to enclose")
    box = np.array(boxes)
    left, bottom = box[:, :2].min(axis=0)
    right, top = box[:, 2:].max(axis=0)
    return Bounds(float(left), float(bottom), float(right), float(top))
