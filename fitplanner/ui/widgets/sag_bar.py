"""Owns the picture of one sag against its window: a scale, the wanted part, what comes out.

The band shows where friction may leave it. Refuses to say whether it lies inside in any other
way than by drawing it: the words stand beside it.
"""

from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from fitplanner.ui.theme import colours_of

_HEIGHT = 40
_TRACK = QRectF(0.0, 14.0, 0.0, 10.0)


@dataclass(frozen=True, slots=True)
class SagPicture:
    """All in mm, drawn from 0 to `full_mm`."""

    planned_mm: float
    band_mm: tuple[float, float]
    window_mm: tuple[float, float]
    stock_mm: float
    full_mm: float


class SagBar(QWidget):
    """A pointer over a scale with a window."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sag: SagPicture | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_sag(self, sag: SagPicture) -> None:
        """Show another sag."""
        if sag != self._sag:
            self._sag = sag
            self.update()

    def sizeHint(self) -> QSize:
        """As wide as there is room."""
        return QSize(200, _HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """Still readable."""
        return QSize(120, _HEIGHT)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint scale, window, band, pointer, and a hollow pointer for stock."""
        if self._sag is None:
            return
        sag, colours = self._sag, colours_of(self.palette())
        margin = 8.0
        per_mm = (self.width() - 2 * margin) / max(sag.full_mm, 1.0)

        def place(value_mm: float) -> float:
            return margin + min(max(value_mm, 0.0), sag.full_mm) * per_mm

        track = QRectF(margin, _TRACK.y(), self.width() - 2 * margin, _TRACK.height())
        low, high = (place(edge) for edge in sag.window_mm)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colours.colour("line"))
        painter.drawRoundedRect(track, 3.0, 3.0)
        window = QRectF(low, track.y() - 3.0, high - low, track.height() + 6.0)
        painter.setPen(QPen(colours.colour("ok"), 1.5))
        painter.setBrush(colours.colour("field"))
        painter.drawRoundedRect(window, 2.0, 2.0)

        ink = QPen(colours.colour("accent"), 3.0)
        ink.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(ink)
        middle = track.center().y()
        least, most = (place(edge) for edge in sorted(sag.band_mm))
        painter.drawLine(QLineF(least, middle, most, middle))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colours.colour("accent"))
        painter.drawPolygon(_pointer(place(sag.planned_mm), track.y() - 1.0, 7.0))
        painter.drawRect(QRectF(place(sag.planned_mm) - 1.0, track.y() - 3.0, 2.0, 16.0))
        painter.setPen(QPen(colours.colour("stock"), 1.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolygon(_pointer(place(sag.stock_mm), track.bottom() + 2.0, -6.0))
        painter.end()


def _pointer(x: float, tip: float, size: float) -> QPolygonF:
    """A triangle whose tip points down for a positive size, up for a negative one."""
    half = abs(size) * 0.7
    return QPolygonF(
        [QPointF(x, tip), QPointF(x - half, tip - size * 1.6), QPointF(x + half, tip - size * 1.6)]
    )
