"""Owns the large box to tick: for a hand that comes from the work, and a screen a step away."""

from PySide6.QtCore import QPoint, QSize
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import (
    QCheckBox,
    QSizePolicy,
    QStyle,
    QStyleOptionButton,
    QStylePainter,
    QWidget,
)

SIDE = 30
_FRAME = 3


class TickBox(QCheckBox):
    """A check box without words, `SIDE` pixels wide; name it for screen readers."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """A square."""
        return QSize(SIDE, SIDE)

    def hitButton(self, pos: QPoint) -> bool:
        """All of the box takes the click."""
        return self.rect().contains(pos)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The style's own box, as large as there is room."""
        painter = QStylePainter(self)
        option = QStyleOptionButton()
        self.initStyleOption(option)
        painter.save()
        painter.translate(_FRAME, _FRAME)
        painter.scale(1 - 2 * _FRAME / self.width(), 1 - 2 * _FRAME / self.height())
        painter.drawPrimitive(QStyle.PrimitiveElement.PE_IndicatorCheckBox, option)
        painter.restore()
        # An edge of its own: the style's one is lost on a dark screen a step away.
        self._edge(painter, QPalette.ColorRole.PlaceholderText, _FRAME)
        if self.hasFocus():
            self._edge(painter, QPalette.ColorRole.Accent, 1)

    def _edge(self, painter: QPainter, role: QPalette.ColorRole, inset: int) -> None:
        painter.setPen(QPen(self.palette().color(role), 2))
        painter.drawRect(self.rect().adjusted(inset, inset, -inset, -inset))
