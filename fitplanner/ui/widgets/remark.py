"""Owns a line of words with the mark of their weight before them.

Refuses rich text: the words may hold what was typed.
"""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from fitplanner.ui.widgets.mark import NOTE, Mark

SIDE = 16


class Remark(QWidget):
    """Hidden while there is nothing to say."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._mark = Mark(NOTE, side=SIDE, parent=self)
        self._words = QLabel(self)
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._words.setWordWrap(True)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 4)
        row.setSpacing(8)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._words, 1)
        self.hide()

    def text(self) -> str:
        """The words as shown."""
        return self._words.text()

    def meaning(self) -> str:
        """What the mark says."""
        return self._mark.meaning()

    def show_text(self, text: str, meaning: str = NOTE) -> None:
        """Show `text` with the mark of its weight, or nothing where it is empty."""
        self._mark.set_meaning(meaning)
        self._words.setText(text)
        self.setVisible(bool(text))
