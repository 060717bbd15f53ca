"""Painter paths of shapes, built once per set of shapes.

Owns the way from NumPy points to Qt paths and the silhouette of a set. Refuses colours.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainterPath, QPainterPathStroker, QPolygonF

from fitplanner.outline import Points, Role, Shape

# stuff that stands out without a drawn edge
PLAIN: frozenset[Role] = frozenset(
    {"tyre", "trousers", "jacket", "jacket_trim", "glove", "sole", "trim", "dark_metal"}
)
# a hole smaller than this in a silhouette only clutters it
LEAST_HOLE_MM2 = 25_000.0
LEAST_BEND_MM = 0.8
LONGEST_MM = 60.0


@dataclass(frozen=True, eq=False)
class Drawn:
    """One shape as a path in world mm, z downward as Qt has it."""

    path: QPainterPath
    role: Role
    line_mm: float
    edged: bool


def path_of(points: Points, *, closed: bool) -> QPainterPath:
    """Path through points; rows of NaN part sub-paths. z is flipped to Qt's downward y."""
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.OddEvenFill)
    for piece in np.split(points, np.flatnonzero(np.isnan(points[:, 0]))):
        rows = piece[~np.isnan(piece[:, 0])]
        if len(rows) < 2:
            continue
        path.addPolygon(QPolygonF([QPointF(x, -z) for x, z in rows.tolist()]))
        if closed:
            path.closeSubpath()
    return path


@lru_cache(maxsize=16)
def drawn(shapes: tuple[Shape, ...]) -> tuple[Drawn, ...]:
    """All shapes as paths, in their order."""
    return tuple(
        Drawn(
            path_of(s.points, closed=s.kind == "fill"),
            s.role,
            s.width_mm if s.kind == "line" else 0.0,
            s.contour and s.role not in PLAIN,
        )
        for s in shapes
    )


@lru_cache(maxsize=16)
def parts_path(shapes: tuple[Shape, ...], parts: frozenset[str]) -> QPainterPath:
    """The outlines of some parts as one path."""
    path = QPainterPath()
    for s in shapes:
        if s.part in parts:
            path.addPath(path_of(s.points, closed=s.kind == "fill"))
    return path


@lru_cache(maxsize=16)
def silhouette(shapes: tuple[Shape, ...]) -> QPainterPath:
    """The outer contour of the shapes that count for it, small holes closed."""
    union = QPainterPath()
    union.setFillRule(Qt.FillRule.WindingFill)
    for s in shapes:
        if not s.contour:
            continue
        path = path_of(s.points, closed=s.kind == "fill")
        if s.kind == "line":
            pen = QPainterPathStroker()
            pen.setWidth(s.width_mm)
            path = pen.createStroke(path)
        for polygon in path.toSubpathPolygons():
            if _area(polygon) < 0:
                polygon = QPolygonF(list(reversed(polygon.toList())))
            union.addPolygon(polygon)
            union.closeSubpath()
    contour = QPainterPath()
    for polygon in union.simplified().toSubpathPolygons():
        if abs(_area(polygon)) >= LEAST_HOLE_MM2:
            contour.addPolygon(_thinned(polygon))
            contour.closeSubpath()
    return contour


def _thinned(polygon: QPolygonF) -> QPolygonF:
    """Without the corners that bend the line by less than LEAST_BEND_MM: dashing them is slow."""
    points = np.array([(q.x(), q.y()) for q in polygon.toList()])
    kept = [points[0]]
    for here, ahead in pairwise(points[1:]):
        along, off = ahead - kept[-1], here - kept[-1]
        length = float(np.hypot(*along))
        bend = abs(along[0] * off[1] - along[1] * off[0])
        if bend > LEAST_BEND_MM * length or length > LONGEST_MM:
            kept.append(here)
    kept.append(points[-1])
    return QPolygonF([QPointF(x, y) for x, y in np.array(kept).tolist()])


def _area(polygon: QPolygonF) -> float:
    """Signed area of a polygon."""
    p = np.array([(q.x(), q.y()) for q in polygon.toList()])
    x, y = p[:, 0], p[:, 1]
    return float(0.5 * np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))
