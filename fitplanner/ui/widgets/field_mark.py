"""Owns the look of an entry field whose text is wrong or doubtful: a tint and a mark in it.

Refuses to judge the text.
"""

from PySide6.QtGui import QAction, QPalette
from PySide6.QtWidgets import QLineEdit, QWidget

from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.mark import CAUTION, mark_icon


class FieldMark:
    """The mark in `line`, which is a part of `field`."""

    def __init__(self, line: QLineEdit, field: QWidget) -> None:
        self._line, self._field = line, field
        self._action: QAction | None = None

    def show(self, *, wrong: bool, doubtful: bool) -> None:
        """Mark the text as wrong, else as doubtful, else not at all."""
        marked = wrong or doubtful
        palette = QPalette()
        if marked:
            tint = "stop_tint" if wrong else "caution_tint"
            colours = colours_of(self._field.palette())
            palette.setColor(QPalette.ColorRole.Base, colours.colour(tint))
            icon = mark_icon(CAUTION, self._field.palette())
            if self._action is None:
                # The field's own, as the editor loses the focus once more when it is taken down.
                self._action = QAction(self._field)
                self._line.addAction(self._action, QLineEdit.ActionPosition.LeadingPosition)
            self._action.setIcon(icon)
        if self._action is not None:
            self._line.setPalette(palette)
            self._action.setVisible(marked)
