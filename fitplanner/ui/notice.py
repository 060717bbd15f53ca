"""Owns the strip that says why there is no plan at the moment: an icon and words."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QStyle, QWidget

from fitplanner.ui.forms import plain_label
from fitplanner.ui.theme import colours_of

_ICON = 20


class Notice(QFrame):
    """Hidden while there is nothing to say."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAutoFillBackground(True)
        self._icon = QLabel(self)
        self._words = plain_label("", self, wrap=True)
        font = self._words.font()
        font.setPointSizeF(font.pointSizeF() + 1)
        self._words.setFont(font)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 10, 12, 10)
        row.setSpacing(10)
        row.addWidget(self._icon, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._words, 1)
        self.hide()

    def text(self) -> str:
        """The words as shown."""
        return self._words.text()

    def show_text(self, text: str, fault: bool = False) -> None:
        """Show `text`, or nothing where it is empty; `fault` where something is wrong."""
        self._words.setText(text)
        self.setVisible(bool(text))
        pixels = QStyle.StandardPixmap
        sign = pixels.SP_MessageBoxWarning if fault else pixels.SP_MessageBoxInformation
        self._icon.setPixmap(self.style().standardIcon(sign).pixmap(QSize(_ICON, _ICON)))
        self._fault = fault
        self._tint()

    def _tint(self) -> None:
        colours = colours_of(self.window().palette())
        palette = QPalette(self.window().palette())
        role = "stop_tint" if self._fault else "accent_tint"
        palette.setColor(QPalette.ColorRole.Window, colours.colour(role))
        self.setPalette(palette)

    _fault = False
