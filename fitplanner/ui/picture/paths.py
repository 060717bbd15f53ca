"""Painter paths of forms, built once per form.

Owns the way from NumPy points to Qt paths and the silhouette of a set. Refuses colours.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import hypot
from typing import Any

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QPainterPath, QPainterPathStroker, QPolygonF, QTransform
from shiboken6 import VoidPtr

from fitplanner.outline import Form, Place, Points, Scene, Shape, together

# the parts of before that show over the after
OVER = frozenset({"seat", "sole"})
# a hole smaller than this in a silhouette only clutters it
LEAST_HOLE_MM2 = 25_000.0
LEAST_BEND_MM = 0.8
LONGEST_MM = 60.0
# a picture has some 300 forms, few of them of its own
KEPT_FORMS = 2048


def transform_of(place: Place) -> QTransform:
    """The place for paths, whose y grows downward."""
    return QTransform(place.xu, -place.zu, -place.xv, place.zv, place.x0, -place.z0)


def _polygon_of(points: Points) -> QPolygonF:
    """Polygon of corners (n, 2), written where Qt keeps them: one call a corner is slow."""
    polygon = QPolygonF()
    polygon.resize(len(points))
    _corners(polygon)[:] = points
    return polygon


def _corners(polygon: QPolygonF) -> Points:
    """The corners (n, 2) where Qt keeps them, for as long as the polygon lives."""
    # the stubs know neither the length nor that this is a buffer
    memory: Any = VoidPtr(polygon.data(), 16 * polygon.size(), True)  # type: ignore[call-arg, arg-type]
    return np.frombuffer(memory, dtype=np.float64).reshape(-1, 2)


def _pieces(points: Points) -> list[Points]:
    """Sub-paths, parted by rows of NaN. z is flipped to Qt's downward y."""
    starts = [0, *(np.flatnonzero(np.isnan(points[:, 0])) + 1).tolist(), len(points) + 1]
    flipped = points * (1.0, -1.0)
    return [flipped[start : stop - 1] for start, stop in pairwise(starts) if stop - start > 2]


def _path_of(pieces: Iterable[Points], *, closed: bool = True) -> QPainterPath:
    """Path through the corners of sub-paths."""
    path = QPainterPath()
    for piece in pieces:
        path.addPolygon(_polygon_of(piece))
        if closed:
            path.closeSubpath()
    return path


@lru_cache(maxsize=KEPT_FORMS)
def form_path(form: Form) -> QPainterPath:
    """A form as a path in its own frame."""
    return _path_of(_pieces(form.points), closed=form.kind == "fill")


@dataclass(frozen=True, eq=False)
class Ghost:
    """What a scene shows of before, as paths in world mm."""

    silhouette: QPainterPath
    over: QPainterPath


@lru_cache(maxsize=8)
def ghost_of(scene: Scene) -> Ghost:
    """The silhouette of what was before, and the parts of it that show over the after."""
    over = QPainterPath()
    for form, place in scene.before:
        if form.part in OVER:
            over.addPath(transform_of(place).map(_outline((form,))))
    return Ghost(silhouette(scene.before), over)


def silhouette(shapes: Iterable[Shape]) -> QPainterPath:
    """The outer contour of the shapes that count for it, small holes closed, in world mm."""
    return _silhouette(tuple(together(s for s in shapes if s.form.contour)))


@lru_cache(maxsize=16)
def _silhouette(groups: tuple[tuple[Place, tuple[Form, ...]], ...]) -> QPainterPath:
    """The same; what was before often stays while the work on it changes."""
    union = QPainterPath()
    for place, forms in groups:
        outline = transform_of(place).map(_outline(forms))
        union.addPath(outline.toReversed() if place.mirrors else outline)
    return _path_of(ring for ring in _united(union) if abs(_area(ring)) >= LEAST_HOLE_MM2)


@lru_cache(maxsize=256)
def _outline(forms: tuple[Form, ...]) -> QPainterPath:
    """The contour of forms that keep together, in their own frame, small holes closed.

    Outer contours all run one way round and holes the other.
    """
    rings = [_counted(ring) for form in forms for ring in _rings(form)]
    if len(rings) > 1:
        rings = _united(_path_of(rings))
    areas = [_area(ring) for ring in rings]
    way = max(areas, key=abs, default=1.0)
    return _path_of(
        _thinned(ring if way > 0 else ring[::-1])
        for area, ring in zip(areas, rings, strict=True)
        if area * way > 0 or abs(area) >= LEAST_HOLE_MM2
    )


def _rings(form: Form) -> list[Points]:
    """The outlines of a form; a line's are those of its stroke."""
    if form.kind == "fill":
        return _pieces(form.points)
    pen = QPainterPathStroker()
    pen.setWidth(form.width_mm)
    return _sub_paths(pen.createStroke(form_path(form)))


def _united(path: QPainterPath) -> list[Points]:
    """The outlines of all that the sub-paths enclose."""
    path.setFillRule(Qt.FillRule.WindingFill)
    return _sub_paths(path.simplified())


def _sub_paths(path: QPainterPath) -> list[Points]:
    return [_corners(polygon).copy() for polygon in path.toSubpathPolygons()]


def _counted(ring: Points) -> Points:
    """The ring, run so that its area is above 0."""
    return ring if _area(ring) > 0 else ring[::-1]


def _thinned(ring: Points) -> Points:
    """Without the corners that bend the line by less than LEAST_BEND_MM: dashing them is slow."""
    corners = ring.tolist()
    x, y = corners[0]
    kept = [(x, y)]
    for here, ahead in pairwise(corners[1:]):
        along_x, along_y = ahead[0] - x, ahead[1] - y
        length = hypot(along_x, along_y)
        bend = abs(along_x * (here[1] - y) - along_y * (here[0] - x))
        if bend > LEAST_BEND_MM * length or length > LONGEST_MM:
            x, y = here
            kept.append((x, y))
    return np.array([*kept, corners[-1]])


def _area(ring: Points) -> float:
    """Signed area inside a ring of corners."""
    x, y = ring.T
    return 0.5 * float(x @ np.roll(y, -1) - y @ np.roll(x, -1))
