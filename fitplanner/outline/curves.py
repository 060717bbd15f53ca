"""Curves that outlines are made of, sampled in NumPy.

Owns smooth curves, rings, tubes of changing width, limbs and coils. Refuses to know parts.
"""

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.outline.place import Points

GAP = np.full((1, 2), np.nan)


def joined(*parts: ArrayLike) -> Points:
    """Put sub-paths into one array, parted by rows of NaN."""
    rows: list[Points] = []
    for part in parts:
        rows += [np.asarray(part, dtype=np.float64), GAP]
    return np.concatenate(rows[:-1])


@lru_cache(maxsize=16)
def _hermite(samples: int) -> Points:
    """Weights (samples, 4) of start, start's slope, end and end's slope along a span."""
    t = np.arange(samples) / samples
    return np.column_stack(
        [
            2 * t**3 - 3 * t**2 + 1,
            t**3 - 2 * t**2 + t,
            3 * t**2 - 2 * t**3,
            t**3 - t**2,
        ]
    )


def smooth(points: ArrayLike, *, closed: bool = False, samples: int = 8) -> Points:
    """Centripetal Catmull-Rom curve through points (n, 2), `samples` a span.

    Passes through every point exactly, and the points stand among the samples. Raises ValueError
    for fewer than three points or two equal neighbours. Source: Catmull and Rom 1974; centripetal
    spacing as in Yuksel, Schaefer and Keyser 2011, which keeps spans free of loops.
    """
    p = np.asarray(points, dtype=np.float64)
    if len(p) < 3:
        raise ValueError("smooth: needs three points or more")
    if closed:
        p = np.concatenate([p[-1:], p, p[:2]])
    else:
        p = np.concatenate([2 * p[:1] - p[1:2], p, 2 * p[-1:] - p[-2:-1]])
    way = np.diff(p, axis=0)
    step = np.sqrt(np.hypot(way[:, 0], way[:, 1]))
    if not step.all():
        raise ValueError("smooth: two neighbouring points are equal")
    slope = way / step[:, None]
    d0, d1, d2 = step[:-2, None], step[1:-1, None], step[2:, None]
    s0, s1, s2 = slope[:-2], slope[1:-1], slope[2:]
    m1 = d1 * (d1 * s0 + d0 * s1) / (d0 + d1)
    m2 = d1 * (d2 * s1 + d1 * s2) / (d1 + d2)
    p1, p2 = p[1:-2], p[2:-1]
    spans = np.concatenate([p1, m1, p2, m2], axis=1).reshape(-1, 4, 2)
    curve = _hermite(samples) @ spans
    flat = curve.reshape(-1, 2)
    return flat if closed else np.concatenate([flat, p2[-1:]])


def arc(
    centre: ArrayLike, radius: float, start_rad: float, stop_rad: float, *, samples: int = 24
) -> Points:
    """Arc of a circle, anticlockwise from +x."""
    a = np.linspace(start_rad, stop_rad, samples)
    return np.asarray(centre) + radius * np.column_stack([np.cos(a), np.sin(a)])


def circle(centre: ArrayLike, radius: float, *, samples: int = 64) -> Points:
    """Circle without a repeated last point."""
    return arc(centre, radius, 0.0, 2 * np.pi, samples=samples + 1)[:-1]


def ring(centre: ArrayLike, outer: float, inner: float, *, samples: int = 96) -> Points:
    """Two circles; filled odd-even they leave a ring."""
    return joined(
        circle(centre, outer, samples=samples), circle(centre, inner, samples=samples)[::-1]
    )


def wave_circle(
    radius: float, depth: float, count: int, *, duty: float = 0.5, slope: float = 0.18
) -> Points:
    """Circle about 0 with `count` trapezoid blocks standing `depth` above `radius`."""
    u = np.array([0.0, slope, duty, duty + slope])
    rise = np.array([0.0, depth, depth, 0.0])
    a = 2 * np.pi * (np.arange(count)[:, None] + u[None, :]) / count
    r = np.broadcast_to(radius + rise, a.shape)
    return np.column_stack([(r * np.cos(a)).ravel(), (r * np.sin(a)).ravel()])


def normals(path: Points) -> Points:
    """Unit normals to the left of a path (n, 2)."""
    tangent = np.gradient(path, axis=0)
    tangent /= np.linalg.norm(tangent, axis=1, keepdims=True)
    return np.column_stack([-tangent[:, 1], tangent[:, 0]])


def tube(points: ArrayLike, widths: ArrayLike, *, curved: bool = True, samples: int = 8) -> Points:
    """Closed outline of a tube along points (n, 2) of full `widths` (n,) or one width.

    Ends are cut square. A curved tube follows the Catmull-Rom curve through the points.
    """
    p = np.asarray(points, dtype=np.float64)
    w = np.broadcast_to(np.asarray(widths, dtype=np.float64), (len(p),))
    at = np.arange(len(p), dtype=np.float64)
    if curved and len(p) > 2:
        path = smooth(p, samples=samples)
    else:
        path = p
    half = 0.5 * np.interp(np.linspace(0, len(p) - 1, len(path)), at, w)[:, None]
    n = normals(path)
    return np.concatenate([path + half * n, (path - half * n)[::-1]])


def capsule(start: ArrayLike, stop: ArrayLike, r_start: float, r_stop: float) -> Points:
    """Outline of two discs and their outer tangents; the larger disc where one holds the other."""
    a, b = np.asarray(start, dtype=np.float64), np.asarray(stop, dtype=np.float64)
    length = float(np.hypot(*(b - a)))
    if length <= abs(r_start - r_stop):
        return circle(a, r_start) if r_start >= r_stop else circle(b, r_stop)
    along = float(np.arctan2(b[1] - a[1], b[0] - a[0]))
    lean = float(np.arccos((r_start - r_stop) / length))
    return np.concatenate(
        [
            arc(b, r_stop, along - lean, along + lean, samples=14),
            arc(a, r_start, along + lean, along + 2 * np.pi - lean, samples=14),
        ]
    )


def coil(start: ArrayLike, stop: ArrayLike, width: float, turns: int) -> Points:
    """The near strands of a coil spring from one end to the other, one sub-path a strand."""
    a, b = np.asarray(start, dtype=np.float64), np.asarray(stop, dtype=np.float64)
    side = np.array([-(b - a)[1], (b - a)[0]]) / np.hypot(*(b - a)) * (0.5 * width)
    share = (np.arange(turns)[:, None] + (0.08, 0.92, np.nan)) / turns
    strands = a + (b - a) * share[..., None] + side * np.array([[-1.0], [1.0], [0.0]])
    return np.asarray(strands.reshape(-1, 2)[:-1])


def rounded(points: ArrayLike, radius: ArrayLike, *, samples: int = 5) -> Points:
    """Closed polygon with its corners rounded by quadratic curves that start `radius` away."""
    p = np.asarray(points, dtype=np.float64)
    before, after = np.roll(p, 1, axis=0) - p, np.roll(p, -1, axis=0) - p
    lb = np.linalg.norm(before, axis=1, keepdims=True)
    la = np.linalg.norm(after, axis=1, keepdims=True)
    r = np.broadcast_to(np.asarray(radius, dtype=np.float64), (len(p),))[:, None]
    start = p + before / lb * np.minimum(r, 0.48 * lb)
    stop = p + after / la * np.minimum(r, 0.48 * la)
    t = np.linspace(0, 1, samples)[:, None, None]
    curve = (1 - t) ** 2 * start + 2 * t * (1 - t) * p + t**2 * stop
    return np.asarray(curve.swapaxes(0, 1).reshape(-1, 2), dtype=np.float64)
