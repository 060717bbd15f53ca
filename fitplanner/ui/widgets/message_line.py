"""Owns the red words that say what is wrong, with an icon so that they do not rest on colour alone:
as a line in a layout, and as a bubble that floats at a field and moves nothing.

Refuses rich text: what was typed may be quoted in the message.
"""

from PySide6.QtCore import QEvent, QPoint, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QAbstractScrollArea, QHBoxLayout, QLabel, QWidget

from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.mark import CAUTION, Mark

_BUBBLE_WIDTH = 332
_ICON = 16


class MessageLine(QWidget):
    """Hidden while there is nothing to say."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._icon = Mark(CAUTION, side=_ICON, parent=self)
        self._words = QLabel(self)
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._words.setWordWrap(True)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self._icon, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._words, 1)
        self.hide()

    def text(self) -> str:
        """The words as shown."""
        return self._words.text()

    def show_text(self, text: str) -> None:
        """Show `text`, or nothing where it is empty."""
        self._words.setText(text)
        self._colour()
        self.setVisible(bool(text))

    def changeEvent(self, event: QEvent) -> None:
        """Another appearance has another red."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self.text():
            self._colour()

    def _colour(self) -> None:
        palette = QPalette()
        red = colours_of(self.palette()).colour("stop")
        palette.setColor(QPalette.ColorRole.WindowText, red)
        self._words.setPalette(palette)


class MessageBubble(QWidget):
    """A message below `field`, or above it where there is no room, over whatever stands there.

    It lets the mouse through, so that nothing below it is out of reach.
    """

    def __init__(self, field: QWidget) -> None:
        super().__init__(field)
        self._field = field
        self._line = MessageLine(self)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 6, 8, 6)
        row.addWidget(self._line)
        # It may stand in another widget than the field's own, and must not outlive the field.
        field.destroyed.connect(self.deleteLater)
        self.hide()

    def show_text(self, text: str) -> None:
        """Show `text`, or nothing where it is empty."""
        self._line.show_text(text)
        if not text or not self._field.isVisible():
            self.hide()
            return
        host = _page_of(self._field)
        if self.parentWidget() is not host:
            self.setParent(host)
        corner = self._field.mapTo(host, QPoint(self._field.width(), self._field.height()))
        width = min(_BUBBLE_WIDTH, host.width() - 8)
        size = QSize(width, self.heightForWidth(width))
        left = min(max(corner.x() - width, 4), host.width() - width - 4)
        seen = host.visibleRegion().boundingRect()
        top, above = corner.y() + 3, corner.y() - self._field.height() - size.height() - 3
        if top + size.height() > seen.bottom() and above >= seen.top():
            top = above
        self.setGeometry(left, top, size.width(), size.height())
        self.show()
        self.raise_()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the tint with its frame."""
        colours = colours_of(self.palette())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colours.colour("stop"), 1.0))
        painter.setBrush(colours.colour("stop_tint"))
        painter.drawRoundedRect(self.rect().adjusted(0, 0, -1, -1), 4.0, 4.0)
        painter.end()


def _page_of(widget: QWidget) -> QWidget:
    """What scrolls with `widget`, or its window."""
    while True:
        parent = widget.parentWidget()
        if parent is None or widget.isWindow():
            return widget
        area = parent.parentWidget()
        if isinstance(area, QAbstractScrollArea) and area.viewport() is parent:
            return widget
        widget = parent
