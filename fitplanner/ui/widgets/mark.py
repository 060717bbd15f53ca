"""Owns the small shapes that stand beside words such as "Stop" or "Holds".

Each meaning has a shape of its own, so that none rests on colour: a tick in a disc, a lower-case
i in a disc, a triangle and a square with a bar. Refuses to stand without its words.
"""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QPainter, QPaintEvent, QPalette, QPen, QPixmap, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from fitplanner.ui.theme import Colours, colours_of

OK = "ok"
NOTE = "note"
CAUTION = "caution"
STOP = "stop"


class Mark(QWidget):
    """One of the shapes above, or an empty place of the same size for ""."""

    def __init__(self, meaning: str = "", *, side: int = 18, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._meaning = meaning
        self._side = side
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def meaning(self) -> str:
        """What the shape says."""
        return self._meaning

    def set_meaning(self, meaning: str) -> None:
        """Show another shape."""
        if meaning != self._meaning:
            self._meaning = meaning
            self.update()

    def sizeHint(self) -> QSize:
        """A small square."""
        return QSize(self._side, self._side)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the shape in the colours of the present appearance."""
        painter = QPainter(self)
        paint_mark(painter, QRectF(self.rect()), self._meaning, colours_of(self.palette()))
        painter.end()


def mark_icon(meaning: str, palette: QPalette, *, side: int = 16) -> QIcon:
    """One of the shapes as an icon in the colours of `palette`."""
    picture = QPixmap(QSize(side, side) * 2)
    picture.setDevicePixelRatio(2)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    paint_mark(painter, QRectF(0, 0, side, side), meaning, colours_of(palette))
    painter.end()
    return QIcon(picture)


def paint_mark(painter: QPainter, box: QRectF, meaning: str, colours: Colours) -> None:
    """Paint the shape of `meaning` into a square `box`; nothing for ""."""
    if not meaning:
        return
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(box.center())
    painter.scale(box.width() / 20.0, box.height() / 20.0)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colours.colour(meaning))
    inside = QPen(colours.colour("panel"), 2.2)
    inside.setCapStyle(Qt.PenCapStyle.RoundCap)
    inside.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if meaning == OK:
        painter.drawEllipse(QPointF(0, 0), 9, 9)
        painter.setPen(inside)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF([QPointF(-4, 0.5), QPointF(-1, 3.5), QPointF(4.5, -3.5)]))
    elif meaning == NOTE:
        painter.drawEllipse(QPointF(0, 0), 9, 9)
        painter.setPen(inside)
        painter.drawLine(QPointF(0, -0.5), QPointF(0, 4.5))
        painter.drawPoint(QPointF(0, -4.5))
    elif meaning == CAUTION:
        painter.drawPolygon(QPolygonF([QPointF(0, -9), QPointF(9.5, 8), QPointF(-9.5, 8)]))
        painter.setPen(inside)
        painter.drawLine(QPointF(0, -2.5), QPointF(0, 2))
        painter.drawPoint(QPointF(0, 5.3))
    else:
        painter.drawRoundedRect(QRectF(-9, -9, 18, 18), 2.5, 2.5)
        inside.setWidthF(3.0)
        painter.setPen(inside)
        painter.drawLine(QPointF(-4.5, 0), QPointF(4.5, 0))
    painter.restore()
