"""Owns the quiet surfaces on which a page lays its matters out: cards, and rows of cards.

Refuses any knowledge of what lies on them.
"""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.text import Text

GAP = 12
_RADIUS = 6.0
_EDGE_BAR = 4.0


class Card(QWidget):
    """A panel with a title; add to `body`. `tone` is "", "caution" or "stop"."""

    def __init__(self, title: str = "", *, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._tone = ""
        self._title = Text(title, bold=True, scale=1.1, parent=self)
        self._title.setVisible(bool(title))
        self.body = QVBoxLayout()
        self.body.setSpacing(8)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(16, 12, 16, 14)
        whole.setSpacing(8)
        whole.addWidget(self._title)
        whole.addLayout(self.body)
        # A card beside a taller one keeps its matters together at its top.
        whole.addStretch(1)

    def title(self) -> str:
        """The title."""
        return self._title.text()

    def set_title(self, title: str) -> None:
        """Change the title."""
        self._title.setText(title)
        self._title.setVisible(bool(title))

    def set_tone(self, tone: str) -> None:
        """Tint the card, with a bar at its left edge."""
        if tone != self._tone:
            self._tone = tone
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the surface."""
        colours = colours_of(self.palette())
        surface = f"{self._tone}_tint" if self._tone in ("caution", "stop") else "panel"
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colours.colour("line"), 1.0))
        painter.setBrush(colours.colour(surface))
        box = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.drawRoundedRect(box, _RADIUS, _RADIUS)
        if self._tone:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(colours.colour(self._tone))
            painter.setClipRect(QRectF(0, 0, _EDGE_BAR, self.height()))
            painter.drawRoundedRect(box, _RADIUS, _RADIUS)
        painter.end()


class Columns(QWidget):
    """Widgets side by side where there is room, else below each other."""

    def __init__(self, *widgets: QWidget, enough: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._enough = enough
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(GAP)
        for widget in widgets:
            self._row.addWidget(widget, 1)

    def fit(self, width: int) -> None:
        """Choose the arrangement for the width of the page."""
        wide = width >= self._enough
        self._row.setDirection(
            QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        )
