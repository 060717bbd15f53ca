"""Owns the small line below a field that says what is wrong: an icon and red words.

The icon is there so that the fault does not rest on colour alone. Refuses rich text: what was
typed may be quoted in the message.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QHBoxLayout, QLabel, QStyle, QWidget

RED_ON_LIGHT = "#b3261e"
RED_ON_DARK = "#ff9a8f"


class MessageLine(QWidget):
    """Hidden while there is nothing to say."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._icon = QLabel(self)
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
        if text:
            dark = self.palette().color(QPalette.ColorRole.Window).lightnessF() < 0.5
            palette = QPalette(self.palette())
            red = QColor(RED_ON_DARK if dark else RED_ON_LIGHT)
            palette.setColor(QPalette.ColorRole.WindowText, red)
            self._words.setPalette(palette)
            icon = self.style().standardIcon(QStyle.StandardPixmap.SP_MessageBoxWarning)
            side = self.style().pixelMetric(QStyle.PixelMetric.PM_SmallIconSize)
            self._icon.setPixmap(icon.pixmap(side, side))
        self._words.setText(text)
        self.setVisible(bool(text))
