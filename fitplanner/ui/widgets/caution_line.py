"""Owns the line of a caution: the triangle, a head in bold, and the words."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from fitplanner.ui.widgets.mark import CAUTION, Mark
from fitplanner.ui.widgets.text import Text


class CautionLine(QWidget):
    """Triangle, head and words; `scale` is against the program's own font size."""

    def __init__(
        self, meaning: str = CAUTION, *, scale: float = 1.0, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._head = Text(bold=True, scale=scale)
        self._words = Text(scale=scale)
        words = QVBoxLayout()
        words.setSpacing(1)
        words.addWidget(self._head)
        words.addWidget(self._words)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 4, 0, 0)
        row.setSpacing(8)
        row.addWidget(Mark(meaning), 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(words, 1)

    def show_caution(self, head: str, text: str) -> None:
        """Show head, if there is one, and words."""
        self._head.setText(head)
        self._head.setVisible(bool(head))
        self._words.setText(text)

    def text(self) -> str:
        """The words."""
        return self._words.text()
