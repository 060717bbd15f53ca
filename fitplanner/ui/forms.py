"""Owns the layout of entry fields: rows with labels, and sections that open and close.

Refuses to know which fields there are; the panels do.
"""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QGridLayout,
    QLabel,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.job import Job
from fitplanner.quantities import UnitSystem
from fitplanner.ui.fields import Entry, JobField
from fitplanner.ui.widgets.text import tip as tip

FIELD_WIDTH = 168


def plain_label(text: str, parent: QWidget | None = None, *, wrap: bool = False) -> QLabel:
    """A label that never reads marks in its text."""
    label = QLabel(text, parent)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(wrap)
    return label


def note_label(parent: QWidget | None = None) -> QLabel:
    """A quiet line for a remark; hidden while empty, see `set_note`."""
    label = plain_label("", parent, wrap=True)
    label.setForegroundRole(label.palette().ColorRole.PlaceholderText)
    # It belongs to what stands above it.
    label.setContentsMargins(0, 0, 0, 5)
    label.hide()
    return label


def set_note(label: QLabel, text: str) -> None:
    """Show `text` in a `note_label`, or hide it."""
    label.setText(text)
    label.setVisible(bool(text))


class Form(QWidget):
    """Labels to the left, fields to the right; the label's key leads to its field."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fields: list[JobField] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setColumnStretch(0, 1)
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(5)

    def add_field(self, label: str, field: Entry, help: str = "") -> QLabel:
        """Add a row; `help` is the tooltip of both."""
        words = plain_label(label.replace("&", "&&"), self, wrap=True)
        words.setBuddy(field)
        words.setToolTip(tip(help))
        field.set_help(help)
        field.setFixedWidth(FIELD_WIDTH)
        row = self._grid.rowCount()
        top = Qt.AlignmentFlag.AlignTop
        # The label stands on the line of the field's text, also where it needs two lines.
        words.setMinimumHeight(field.sizeHint().height())
        words.setAlignment(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
        self._grid.addWidget(words, row, 0, top)
        self._grid.addWidget(field, row, 1, top)
        self.fields.append(field)
        return words

    def add_wide(self, widget: QWidget) -> None:
        """Add a widget as wide as the form."""
        self._grid.addWidget(widget, self._grid.rowCount(), 0, 1, 2)

    def add_heading(self, text: str) -> None:
        """Add a line that names the rows below it."""
        heading = plain_label(text, self)
        font = heading.font()
        font.setBold(True)
        heading.setFont(font)
        heading.setContentsMargins(0, 8, 0, 0)
        self.add_wide(heading)

    def show_job(self, job: Job) -> None:
        """Show what `job` holds."""
        for field in self.fields:
            field.show_job(job)

    def discard(self) -> None:
        """Forget typed text that was not taken."""
        for field in self.fields:
            field.discard()

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        for field in self.fields:
            field.set_system(system)


class Fold(QWidget):
    """A section with a heading that opens and closes it."""

    def __init__(self, title: str, content: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._content = content
        self.head = QToolButton(self)
        self.head.setText(title.replace("&", "&&"))
        self.head.setCheckable(True)
        self.head.setChecked(True)
        self.head.setAutoRaise(True)
        self.head.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.head.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.head.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        font = self.head.font()
        font.setBold(True)
        font.setPointSizeF(font.pointSizeF() + 1)
        self.head.setFont(font)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.head)
        column.addWidget(content)
        self.head.toggled.connect(self._show)
        self._show(True)

    def _show(self, is_open: bool) -> None:
        self.head.setArrowType(Qt.ArrowType.DownArrow if is_open else Qt.ArrowType.RightArrow)
        self._content.setVisible(is_open)
