"""Owns the head of a column: what stands in it, and the buttons that move it or take it away.

Refuses to move anything: it says what was pressed.
"""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from fitplanner.ui.compare.shelf import Item
from fitplanner.ui.widgets.text import Text, tip


class ColumnHead(QWidget):
    """One column's head."""

    moved = Signal(int, int)
    """Key of the column, and by how much."""
    removed = Signal(int)
    """Key of the column."""

    def __init__(self, item: Item, place: int, count: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._key = item.key
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._title = Text(f"{place + 1}  {item.title}", bold=True, scale=1.1)
        self._title.set_hint(item.title)
        self._below = Text(_below(item), faint=True)
        self._below.set_hint(_below(item))
        self.left = self._button(
            Qt.ArrowType.LeftArrow, self.tr("Move to the left: {title}"), item, place > 0
        )
        self.right = self._button(
            Qt.ArrowType.RightArrow, self.tr("Move to the right: {title}"), item, place < count - 1
        )
        self.close_button = self._button(
            Qt.ArrowType.NoArrow, self.tr("Take away: {title}"), item, True
        )
        self.left.clicked.connect(self._to_left)
        self.right.clicked.connect(self._to_right)
        self.close_button.clicked.connect(self._remove)
        buttons = QHBoxLayout()
        buttons.setSpacing(0)
        for button in (self.left, self.right, self.close_button):
            buttons.addWidget(button)
        row = QHBoxLayout()
        row.setSpacing(4)
        row.addWidget(self._title, 1)
        row.addLayout(buttons)
        row.setAlignment(buttons, Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(row)
        column.addWidget(self._below)
        column.addStretch(1)

    def texts(self) -> tuple[str, str]:
        """Title, and what stands below it."""
        return self._title.text(), self._below.text()

    def _button(self, arrow: Qt.ArrowType, words: str, item: Item, possible: bool) -> QToolButton:
        button = QToolButton(self)
        button.setArrowType(arrow)
        if arrow is Qt.ArrowType.NoArrow:
            button.setText("✕")
        name = words.format(title=item.title)
        button.setAccessibleName(name)
        button.setToolTip(tip(name))
        button.setAutoRaise(True)
        button.setEnabled(possible)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    def _to_left(self) -> None:
        self.moved.emit(self._key, -1)

    def _to_right(self) -> None:
        self.moved.emit(self._key, 1)

    def _remove(self) -> None:
        self.removed.emit(self._key)


def _below(item: Item) -> str:
    """The machine, or why there is no plan of it."""
    answer, name = item.answer, item.job.machine.name
    if answer is None:
        return f"{name} …"
    if answer.missing:
        return f"{name}: {', '.join(answer.missing)}"
    if answer.problem:
        return f"{name}: {answer.problem}"
    if answer.fault is not None:
        return f"{name}: {answer.fault}"
    return name
