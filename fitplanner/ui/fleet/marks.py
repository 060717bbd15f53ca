"""Owns the small pictures of what must be done to a machine: a tick, a seat, a coil, a bar.

Each meaning has a shape of its own, so that none rests on colour. Refuses to stand without words.
"""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QIcon, QPainter, QPainterPath, QPalette, QPen, QPixmap, QPolygonF

from fitplanner.planning.fleet import Doing
from fitplanner.ui.theme import Colours, colours_of
from fitplanner.ui.widgets.mark import OK, STOP, paint_mark

_SIZES = (16, 20, 24, 32, 40)


def doing_icon(doing: Doing, palette: QPalette) -> QIcon:
    """The picture in the colours of `palette`."""
    colours = colours_of(palette)
    result = QIcon()
    for size in _SIZES:
        pixmap = QPixmap(size, size)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        _paint(painter, QRectF(0, 0, size, size), doing, colours)
        painter.end()
        for mode in (QIcon.Mode.Normal, QIcon.Mode.Selected, QIcon.Mode.Disabled):
            result.addPixmap(pixmap, mode)
    return result


def _paint(painter: QPainter, box: QRectF, doing: Doing, colours: Colours) -> None:
    if doing in (Doing.NOTHING, Doing.IMPOSSIBLE):
        paint_mark(painter, box, OK if doing is Doing.NOTHING else STOP, colours)
        return
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(box.center())
    painter.scale(box.width() / 20.0, box.height() / 20.0)
    pen = QPen(colours.colour("accent" if doing is Doing.SEAT else "caution"), 2.0)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    if doing is Doing.SEAT:
        painter.drawPath(_seat())
    else:
        painter.drawPolyline(_coil())
        for y in (-8.5, 8.5):
            painter.drawLine(QPointF(-5.0, y), QPointF(5.0, y))


def _seat() -> QPainterPath:
    """A dished seat from the side, with an arrow down on to it."""
    path = QPainterPath(QPointF(-8.5, 1.0))
    path.cubicTo(QPointF(-3.0, 6.0), QPointF(3.0, 5.5), QPointF(8.5, 3.0))
    path.lineTo(QPointF(7.0, 8.0))
    path.lineTo(QPointF(-6.0, 8.0))
    path.closeSubpath()
    path.moveTo(QPointF(0.0, -9.0))
    path.lineTo(QPointF(0.0, 0.0))
    path.moveTo(QPointF(-3.2, -3.2))
    path.lineTo(QPointF(0.0, 0.2))
    path.lineTo(QPointF(3.2, -3.2))
    return path


def _coil() -> QPolygonF:
    """A spring between two plates."""
    turns = [QPointF(5.0 if i % 2 else -5.0, -8.5 + 17.0 * i / 6) for i in range(1, 6)]
    return QPolygonF([QPointF(-5.0, -8.5), *turns, QPointF(5.0, 8.5)])
