"""Where the tape goes on a drawn machine: from where to where, on one of a scene's two machines.

Owns the two ends of each reading, found on the drawn parts themselves, so that picture and tape
cannot part. Refuses what was read.
"""

from dataclasses import dataclass

import numpy as np

from fitplanner.outline.inputs import Point
from fitplanner.outline.place import Points
from fitplanner.outline.scene import Scene
from fitplanner.outline.shape import Bounds, Shape, bounds_of

# how far wheels hang over the ground on a stand, and how much is seen about a clamp
HANG_MM = 120.0
_CLOSE_MM = 120.0
_WHEEL_PARTS = ("tyre", "rim", "spoke", "hub", "disc", "shadow", "stand", "chain", "swing", "axle")


@dataclass(frozen=True, eq=False, kw_only=True)
class Taping:
    """One machine and the two ends of the tape, world mm.

    `angle_rad`: lean from the vertical through `start` where an angle is read. `stand`: top left
    and top right of what carries a machine whose wheels hang, else None; the ground lies at
    `ground_mm`.
    """

    shapes: tuple[Shape, ...]
    bounds: Bounds
    start: Point
    end: Point
    angle_rad: float | None = None
    stand: tuple[Point, Point] | None = None
    ground_mm: float = 0.0


def seat_taping(scene: Scene, *, after: bool) -> Taping:
    """From the ground up to the seat; `scene` is a side view of both machines."""
    height = next(each for each in scene.heights if each.time == ("after" if after else "before"))
    x, z = height.point
    shapes = _shapes(scene, after)
    return Taping(shapes=shapes, bounds=bounds_of(shapes), start=(x, 0.0), end=(x, z))


def axle_taping(scene: Scene, end: str, *, after: bool, hanging: bool) -> Taping:
    """From the "front" or "rear" axle straight up to its fender."""
    shapes = _shapes(scene, after)
    tyre = next(each for each in shapes if each.part == f"{end}_tyre")
    fender = next(each for each in shapes if each.part == f"{end}_fender")
    axle = tyre.place.x0, tyre.place.z0
    top = _highest_over(fender.points, axle[0])
    return _hung(shapes, axle, (axle[0], top)) if hanging else _stood(shapes, axle, (axle[0], top))


def stanchion_taping(scene: Scene, *, after: bool) -> Taping:
    """Along the fork from the upper clamp's top to the tube's end, seen close by."""
    shapes = _shapes(scene, after)
    clamp = next(each for each in shapes if each.part == "clamp_top").points
    low = next(each for each in shapes if each.part == "clamp_low").points
    tube = max(
        (each.points for each in shapes if each.part in ("stanchion", "fork_upper", "fork_cap")),
        key=lambda points: float(np.nanmax(points[:, 1])),
    )
    along = np.nanmean(clamp, axis=0) - np.nanmean(low, axis=0)
    along /= np.hypot(*along)
    middle = np.nanmean(clamp, axis=0)
    start = float(np.nanmax((clamp - middle) @ along))
    stop = max(float(np.nanmax((tube - middle) @ along)), start + 6.0)
    # beside the tube, where the tape can be seen
    aside = np.array([along[1], -along[0]]) * 48.0
    ends = [middle + along * far + aside for far in (start, stop)]
    x, z = (float(each) for each in middle + along * 0.5 * (start + stop))
    box = Bounds(x - _CLOSE_MM, z - 0.8 * _CLOSE_MM, x + _CLOSE_MM, z + 0.8 * _CLOSE_MM)
    first, last = ((float(each[0]), float(each[1])) for each in ends)
    return Taping(shapes=shapes, bounds=box, start=first, end=last, ground_mm=box.bottom - 1e4)


def lean_taping(scene: Scene, *, after: bool) -> Taping:
    """The lean on the side-stand; `scene` is the front view of the parked machine."""
    arc = next(each for each in scene.arcs if each.time == ("after" if after else "before"))
    shapes = _shapes(scene, after)
    seen = bounds_of([each for each in shapes if each.part != "shadow"])
    (y, z), far = arc.apex, seen.top * 1.05
    end = y + far * np.sin(arc.angle_rad), z + far * np.cos(arc.angle_rad)
    box = Bounds(min(seen.left, y - 60.0), seen.bottom, max(seen.right, end[0] + 60.0), z + far)
    return Taping(
        shapes=shapes,
        bounds=box,
        start=arc.apex,
        end=(float(end[0]), float(end[1])),
        angle_rad=arc.angle_rad,
    )


def _shapes(scene: Scene, after: bool) -> tuple[Shape, ...]:
    return scene.after if after else scene.before


def _stood(shapes: tuple[Shape, ...], start: Point, end: Point) -> Taping:
    return Taping(shapes=shapes, bounds=bounds_of(shapes), start=start, end=end)


def _hung(shapes: tuple[Shape, ...], start: Point, end: Point) -> Taping:
    """The machine carried under its engine, the ground out of the wheels' reach."""
    shapes = tuple(each for each in shapes if each.part != "shadow")
    box = bounds_of(shapes)
    left, right = (
        next(each for each in shapes if each.part == f"{end}_tyre").place.x0
        for end in ("rear", "front")
    )
    low = left + 0.42 * (right - left), left + 0.62 * (right - left)
    under = [
        point[1]
        for each in shapes
        if each.contour and not any(word in each.part for word in _WHEEL_PARTS)
        for point in each.points
        if low[0] <= point[0] <= low[1]
    ]
    top = float(min(under, default=HANG_MM))
    ground = box.bottom - HANG_MM
    return Taping(
        shapes=shapes,
        bounds=Bounds(box.left, ground, box.right, box.top),
        start=start,
        end=end,
        stand=((low[0], top), (low[1], top)),
        ground_mm=ground,
    )


def _highest_over(points: Points, x: float) -> float:
    """Height of an outline's upper edge over x, or of its nearest point."""
    kept = points[~np.isnan(points[:, 0])]
    ahead = np.roll(kept, -1, axis=0)
    crosses = (kept[:, 0] - x) * (ahead[:, 0] - x) < 0
    if not crosses.any():
        return float(kept[np.argmin(np.abs(kept[:, 0] - x)), 1])
    one, two = kept[crosses], ahead[crosses]
    share = (x - one[:, 0]) / (two[:, 0] - one[:, 0])
    return float(np.max(one[:, 1] + share * (two[:, 1] - one[:, 1])))
