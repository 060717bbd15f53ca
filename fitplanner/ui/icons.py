"""Owns the small pictures on the toolbar, drawn in the colour of the text beside them."""

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPalette, QPen, QPixmap

_GRID = 16.0
_SIZES = (16, 20, 24, 32, 48)


def icon(name: str, palette: QPalette) -> QIcon:
    """The picture called `name`, for "new", "open", "save", "undo", "redo", "jobs" and "fleet"."""
    draw = _DRAWINGS[name]
    result = QIcon()
    for mode, group in (
        (QIcon.Mode.Normal, QPalette.ColorGroup.Active),
        (QIcon.Mode.Disabled, QPalette.ColorGroup.Disabled),
    ):
        colour = palette.color(group, QPalette.ColorRole.ButtonText)
        for size in _SIZES:
            result.addPixmap(_drawn(draw, size, colour), mode)
    return result


def _drawn(draw: Callable[[QPainterPath], None], size: int, colour: QColor) -> QPixmap:
    path = QPainterPath()
    draw(path)
    pixmap = QPixmap(size, size)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(size / _GRID, size / _GRID)
    pen = QPen(colour, 1.3)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.drawPath(path)
    painter.end()
    return pixmap


def _polyline(path: QPainterPath, *points: tuple[float, float]) -> None:
    path.moveTo(QPointF(*points[0]))
    for point in points[1:]:
        path.lineTo(QPointF(*point))


def _new(path: QPainterPath) -> None:
    _polyline(path, (9.5, 1.8), (3.2, 1.8), (3.2, 14.2), (12.8, 14.2), (12.8, 5.1), (9.5, 1.8))
    _polyline(path, (9.5, 1.8), (9.5, 5.1), (12.8, 5.1))


def _open(path: QPainterPath) -> None:
    _polyline(path, (1.8, 13.2), (1.8, 3.2), (6.2, 3.2), (7.6, 5.0), (12.6, 5.0), (12.6, 7.2))
    _polyline(path, (1.8, 13.2), (4.0, 7.2), (14.6, 7.2), (12.4, 13.2), (1.8, 13.2))


def _save(path: QPainterPath) -> None:
    _polyline(path, (8.0, 1.8), (8.0, 9.4))
    _polyline(path, (4.8, 6.4), (8.0, 9.6), (11.2, 6.4))
    _polyline(path, (2.2, 10.4), (2.2, 13.8), (13.8, 13.8), (13.8, 10.4))


def _undo(path: QPainterPath) -> None:
    _polyline(path, (5.6, 2.6), (2.4, 5.8), (5.6, 9.0))
    path.moveTo(2.4, 5.8)
    path.lineTo(9.6, 5.8)
    path.arcTo(QRectF(6.0, 5.8, 7.4, 7.4), 90, -180)
    path.lineTo(6.2, 13.2)


def _redo(path: QPainterPath) -> None:
    _polyline(path, (10.4, 2.6), (13.6, 5.8), (10.4, 9.0))
    path.moveTo(13.6, 5.8)
    path.lineTo(6.4, 5.8)
    path.arcTo(QRectF(2.6, 5.8, 7.4, 7.4), 90, 180)
    path.lineTo(9.8, 13.2)


def _fleet(path: QPainterPath) -> None:
    for y in (3.0, 8.0, 13.0):
        _polyline(path, (7.4, y), (14.4, y))
    _polyline(path, (1.6, 3.0), (2.9, 4.4), (5.2, 1.6))
    path.addEllipse(QPointF(3.4, 8.0), 1.6, 1.6)
    path.addEllipse(QPointF(3.4, 13.0), 1.6, 1.6)


def _jobs(path: QPainterPath) -> None:
    _polyline(path, (1.8, 8.6), (1.8, 13.8), (14.2, 13.8), (14.2, 8.6), (1.8, 8.6))
    _polyline(path, (3.2, 6.0), (12.8, 6.0))
    _polyline(path, (4.6, 3.4), (11.4, 3.4))
    _polyline(path, (6.2, 11.2), (9.8, 11.2))


_DRAWINGS: dict[str, Callable[[QPainterPath], None]] = {
    "new": _new,
    "open": _open,
    "save": _save,
    "undo": _undo,
    "redo": _redo,
    "jobs": _jobs,
    "fleet": _fleet,
}
