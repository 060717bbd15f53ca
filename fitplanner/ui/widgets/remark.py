"""Owns a line of words with the mark of their weight before them, and what can be done about it.

Refuses rich text: the words may hold what was typed.
"""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from fitplanner.ui.widgets.mark import NOTE, Mark

SIDE = 16


class Remark(QWidget):
    """Hidden while there is nothing to say; the button while there is nothing to be done."""

    acted = Signal()
    """The button was pressed."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._mark = Mark(NOTE, side=SIDE, parent=self)
        self._words = QLabel(self)
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._words.setWordWrap(True)
        self.button = QPushButton(self)
        self.button.setAutoDefault(False)
        self.button.clicked.connect(self.acted)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 4)
        row.setSpacing(8)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._words, 1)
        row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        self.button.hide()
        self.hide()

    def text(self) -> str:
        """The words as shown."""
        return self._words.text()

    def meaning(self) -> str:
        """What the mark says."""
        return self._mark.meaning()

    def show_text(self, text: str, meaning: str = NOTE, action: str = "") -> None:
        """Show `text` with the mark of its weight, or nothing where it is empty.

        `action` is what the button says; it is read out with the words as its description.
        """
        self._mark.set_meaning(meaning)
        self._words.setText(text)
        self.button.setText(action.replace("&", "&&"))
        self.button.setAccessibleName(action)
        self.button.setAccessibleDescription(text)
        self.button.setVisible(bool(action))
        self.button.setEnabled(bool(action))
        self.setVisible(bool(text))

    def hold(self) -> None:
        """Take no action until words are shown anew: what they are about has changed."""
        self.button.setEnabled(False)
