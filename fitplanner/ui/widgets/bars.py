"""Owns horizontal bars beside words and figures: shares, and steps from one amount to another.

Places are fractions of the bar's width. Refuses axes and numbers of its own.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.text import RIGHT, Text

_HEIGHT = 18
_PICKING = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)


@dataclass(frozen=True, slots=True)
class BarRow:
    """Words, a bar from `start` to `end`, a figure; `band` are whiskers, `role` a colour.

    One that `leads` somewhere is picked by a click, or by Enter on its words.
    """

    words: str
    figure: str
    start: float
    end: float
    role: str = "accent"
    bold: bool = False
    band: tuple[float, float] | None = None
    hint: str = ""
    leads: bool = False


class BarRows(QWidget):
    """Rows of bars that begin at one edge."""

    picked = Signal(int)
    """The place of a row that leads somewhere."""

    def __init__(self, *, name: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(14)
        self._grid.setVerticalSpacing(7)
        self._grid.setColumnStretch(0, 4)
        self._grid.setColumnStretch(1, 5)
        self._rows: list[tuple[Text, _Bar, Text]] = []

    def show_rows(self, rows: Sequence[BarRow]) -> None:
        """Show `rows` from the top."""
        while len(self._rows) > len(rows):
            for old in self._rows.pop():
                self._grid.removeWidget(old)
                old.hide()
                old.deleteLater()
        while len(self._rows) < len(rows):
            number = len(self._rows)
            parts = (Text(parent=self), _Bar(self), Text(wrap=False, align=RIGHT, parent=self))
            for place, part in enumerate(parts):
                self._grid.addWidget(part, number, place)
                part.show()
            parts[0].installEventFilter(self)
            self._rows.append(parts)
        for (words, bar, figure), row in zip(self._rows, rows, strict=True):
            words.setText(row.words)
            words.set_look(bold=row.bold, link=row.leads)
            words.set_hint(row.hint)
            words.setFocusPolicy(Qt.FocusPolicy.TabFocus if row.leads else Qt.FocusPolicy.NoFocus)
            for part in (words, bar, figure):
                shape = Qt.CursorShape
                part.setCursor(shape.PointingHandCursor if row.leads else shape.ArrowCursor)
            figure.setText(row.figure)
            figure.set_look(bold=row.bold)
            bar.show_row(row)

    def texts(self) -> list[tuple[str, str]]:
        """Words and figures shown."""
        return [(words.text(), figure.text()) for words, _, figure in self._rows]

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A row that leads somewhere is picked."""
        at = event.position().toPoint()
        for place, parts in enumerate(self._rows):
            if any(part.geometry().contains(at) for part in parts):
                self._pick(place)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The words with the keys are underlined, and picked by Enter."""
        place = next((n for n, row in enumerate(self._rows) if row[0] is watched), None)
        if place is not None and event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            words = self._rows[place][0]
            font = words.font()
            font.setUnderline(event.type() == QEvent.Type.FocusIn)
            words.setFont(font)
        pressed = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress
        if place is not None and pressed and event.key() in _PICKING:  # type: ignore[attr-defined]
            self._pick(place)
            return True
        return super().eventFilter(watched, event)

    def _pick(self, place: int) -> None:
        if self._rows[place][0].focusPolicy() is not Qt.FocusPolicy.NoFocus:
            self.picked.emit(place)


class _Bar(QWidget):
    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._row = BarRow("", "", 0.0, 0.0)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_row(self, row: BarRow) -> None:
        if row != self._row:
            self._row = row
            self.update()

    def sizeHint(self) -> QSize:
        return QSize(140, _HEIGHT)

    def minimumSizeHint(self) -> QSize:
        return QSize(60, _HEIGHT)

    def paintEvent(self, event: QPaintEvent) -> None:
        colours = colours_of(self.palette())
        row, width = self._row, float(self.width())
        left, right = sorted((row.start * width, row.end * width))
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colours.colour("line"), 1.0))
        painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colours.colour(row.role))
        painter.drawRoundedRect(
            QRectF(left, 2.0, max(right - left, 1.5), self.height() - 6.0), 2.0, 2.0
        )
        if row.band:
            low, high = (edge * width for edge in row.band)
            middle = self.height() / 2.0 - 1.0
            painter.setPen(QPen(colours.colour("text"), 1.5))
            painter.drawLine(int(low), int(middle), int(high), int(middle))
            for edge in (low, high):
                painter.drawLine(int(edge), int(middle) - 4, int(edge), int(middle) + 4)
        painter.end()
