"""Where a form stands in the world: the affine maps that poses are made of.

Owns placing by a turn, by a scale and between two points. Refuses shapes.
"""

from math import cos, hypot, sin
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitplanner.outline.inputs import Point

Points = NDArray[np.float64]


def rotation(angle_rad: float) -> Points:
    """The 2 x 2 matrix that turns row vectors by `angle_rad`, anticlockwise: p @ rotation(a)."""
    c, s = np.cos(angle_rad), np.sin(angle_rad)
    return np.array([[c, s], [-s, c]])


class Place(NamedTuple):
    """Carries a form's own (u, v) to the world: x = xu u + xv v + x0, z = zu u + zv v + z0."""

    xu: float = 1.0
    zu: float = 0.0
    xv: float = 0.0
    zv: float = 1.0
    x0: float = 0.0
    z0: float = 0.0

    def at(self, u: float, v: float) -> Point:
        """One point in the world."""
        return self.xu * u + self.xv * v + self.x0, self.zu * u + self.zv * v + self.z0

    def map(self, points: ArrayLike) -> Points:
        """Points (n, 2) in the world."""
        turn = np.array([[self.xu, self.zu], [self.xv, self.zv]])
        return np.asarray(points @ turn + (self.x0, self.z0), dtype=np.float64)

    @property
    def scale(self) -> float:
        """How much it widens lines that run along u."""
        return hypot(self.xv, self.zv)

    @property
    def mirrors(self) -> bool:
        """Whether it turns left into right, so that outlines run the other way round."""
        return self.xu * self.zv < self.zu * self.xv

    def mirrored(self) -> "Place":
        """The same in a mirror: x becomes -x."""
        return Place(-self.xu, self.zu, -self.xv, self.zv, -self.x0, self.z0)

    def standing(self, at: Point) -> "Place":
        """The same turn and scale with the form's zero at another point."""
        return self._replace(x0=at[0], z0=at[1])


HERE = Place()


def turned(angle_rad: float, *, to: Point, about: Point = (0.0, 0.0), scale: float = 1.0) -> Place:
    """Turn by an angle, anticlockwise, scale, and carry the point `about` to `to`."""
    c, s = scale * cos(angle_rad), scale * sin(angle_rad)
    u, v = about
    return Place(c, s, -s, c, to[0] - c * u + s * v, to[1] - s * u - c * v)


def between(start: Point, stop: Point, *, length: float, across: float = 1.0) -> Place:
    """Lay what was drawn from (0, 0) to (`length`, 0) from one point to the other.

    Lengths along it stretch to fit, lengths across it by the factor `across`. Two equal points
    leave it pointing along x.
    """
    dx, dz = stop[0] - start[0], stop[1] - start[1]
    far = hypot(dx, dz)
    if far == 0.0:
        return Place(0.0, 0.0, 0.0, across, *start)
    turn = across / far
    return Place(dx / length, dz / length, -dz * turn, dx * turn, *start)


# so few points are not worth a choice
FEW = 100
_WAYS = np.array([(cos(a), sin(a)) for a in np.arange(16) * np.pi / 8])


def outermost(points: Points) -> Points:
    """The points (n, 2) that may touch a box around them however they are placed.

    Leaves out rows of NaN and what lies inside the polygon of sixteen extreme points.
    Source: Akl and Toussaint 1978.
    """
    p = points[~np.isnan(points[:, 0])]
    if len(p) < FEW:
        return p
    corners = p[(p @ _WAYS.T).argmax(axis=0)]
    edges = np.roll(corners, -1, axis=0) - corners
    from_corner = p[:, None, :] - corners
    left = edges[:, 0] * from_corner[..., 1] > edges[:, 1] * from_corner[..., 0]
    return np.asarray(p[~np.all(left | ~edges.any(axis=1), axis=1)])


def step(length: float, step_mm: float = 5.0) -> float:
    """The whole number of steps, one or more, that is nearest to a length.

    What is drawn for lengths in steps and stretched to its own keeps its form while it hardly
    changes.
    """
    return step_mm * max(round(length / step_mm), 1)
