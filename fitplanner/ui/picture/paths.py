"""Painter paths of forms, built once per form.

Owns the way from NumPy points to Qt paths and the silhouette of a set. Refuses colours.
"""

from collections.abc import Iterable
from functools import lru_cache
from itertools import pairwise

import numpy as np
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainterPath, QPainterPathStroker, QPolygonF, QTransform

from fitplanner.outline import Form, Place, Points, Shape, together

# a hole smaller than this in a silhouette only clutters it
LEAST_HOLE_MM2 = 25_000.0
LEAST_BEND_MM = 0.8
LONGEST_MM = 60.0
# a picture has some 300 forms, few of them of its own
KEPT_FORMS = 2048


def transform_of(place: Place) -> QTransform:
    """The place for paths, whose y grows downward."""
    return QTransform(place.xu, -place.zu, -place.xv, place.zv, place.x0, -place.z0)


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


@lru_cache(maxsize=KEPT_FORMS)
def form_path(form: Form) -> QPainterPath:
    """A form as a path in its own frame."""
    return path_of(form.points, closed=form.kind == "fill")


def parts_path(shapes: Iterable[Shape], parts: frozenset[str]) -> QPainterPath:
    """The outlines of some parts as one path, in world mm."""
    path = QPainterPath()
    for form, place in shapes:
        if form.part in parts:
            path.addPath(transform_of(place).map(form_path(form)))
    return path


def silhouette(shapes: Iterable[Shape]) -> QPainterPath:
    """The outer contour of the shapes that count for it, small holes closed, in world mm."""
    union = QPainterPath()
    for place, forms in together(s for s in shapes if s.form.contour):
        union.addPath(transform_of(place).map(_outline(forms)))
    union.setFillRule(Qt.FillRule.WindingFill)
    contour = QPainterPath()
    for polygon in union.simplified().toSubpathPolygons():
        if abs(_area(polygon)) >= LEAST_HOLE_MM2:
            contour.addPolygon(polygon)
            contour.closeSubpath()
    return contour


@lru_cache(maxsize=256)
def _outline(forms: tuple[Form, ...]) -> QPainterPath:
    """The contour of forms that keep together, in their own frame, small holes closed."""
    union = QPainterPath()
    union.setFillRule(Qt.FillRule.WindingFill)
    for form in forms:
        path = form_path(form)
        if form.kind == "line":
            pen = QPainterPathStroker()
            pen.setWidth(form.width_mm)
            path = pen.createStroke(path)
        for polygon in path.toSubpathPolygons():
            if _area(polygon) < 0:
                polygon = _reversed(polygon)
            union.addPolygon(polygon)
            union.closeSubpath()
    pieces = [(_area(p), p) for p in union.simplified().toSubpathPolygons()]
    contour = QPainterPath()
    outer = np.sign(max(pieces, key=lambda piece: abs(piece[0]))[0]) if pieces else 1.0
    for area, polygon in pieces:
        if area * outer > 0 or abs(area) >= LEAST_HOLE_MM2:
            contour.addPolygon(_thinned(polygon if outer > 0 else _reversed(polygon)))
            contour.closeSubpath()
    return contour


def _reversed(polygon: QPolygonF) -> QPolygonF:
    return QPolygonF(list(reversed(polygon.toList())))


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
