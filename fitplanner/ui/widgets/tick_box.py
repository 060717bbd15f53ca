"""Owns the large box to tick: for a hand that comes from the work, and a screen a step away."""

from PySide6.QtCore import QPoint, QRect, QSize
from PySide6.QtGui import QPaintEvent, QPalette
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
        if self.hasFocus():
            pen = painter.pen()
            pen.setColor(self.palette().color(QPalette.ColorRole.Accent))
            pen.setWidth(2)
            painter.setPen(pen)
            painter.drawRect(QRect(self.rect()).adjusted(1, 1, -1, -1))
