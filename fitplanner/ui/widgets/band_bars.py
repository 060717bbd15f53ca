"""Owns bars that set what was predicted against what came out, all rows on one scale.

What was predicted is a frame with a line at its middle, what came out a diamond with a line for
its own band; whether it lies inside stands beside it as a mark with its word. Refuses figures.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from fitplanner.planning.plan import Band
from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.mark import CAUTION, OK, Mark
from fitplanner.ui.widgets.text import RIGHT, Text

_HEIGHT, _MARK = 30, 16


@dataclass(frozen=True, slots=True)
class BandRow:
    """One state; `delivered` and `inside` are None where nothing is known of them."""

    words: str
    predicted: Band
    delivered: Band | None
    inside: bool | None
    figures: str
    verdict: str = ""
    hint: str = ""


class BandBars(QWidget):
    """Rows of frames and diamonds."""

    def __init__(self, *, name: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(6)
        self._grid.setColumnStretch(1, 1)
        self._rows: list[tuple[Text, _Bar, Text, Mark, Text]] = []

    def show_rows(self, rows: Sequence[BandRow]) -> None:
        """Show `rows` from the top, on the scale that holds them all."""
        while len(self._rows) > len(rows):
            for old in self._rows.pop():
                self._grid.removeWidget(old)
                old.deleteLater()
        while len(self._rows) < len(rows):
            parts = (
                Text(wrap=False, parent=self),
                _Bar(self),
                Text(wrap=False, align=RIGHT, parent=self),
                Mark(side=_MARK, parent=self),
                Text(wrap=False, parent=self),
            )
            for place, part in enumerate(parts):
                self._grid.addWidget(
                    part,
                    len(self._rows),
                    place,
                    Qt.AlignmentFlag(0) if place == 1 else Qt.AlignmentFlag.AlignVCenter,
                )
                part.show()
            self._rows.append(parts)
        ends = [
            end
            for row in rows
            for band in (row.predicted, row.delivered)
            if band is not None
            for end in (band.low, band.high)
        ]
        low, high = min(ends, default=0.0), max(ends, default=1.0)
        spare = 0.06 * (high - low) or 1.0
        for (words, bar, figures, mark, verdict), row in zip(self._rows, rows, strict=True):
            words.setText(row.words)
            words.set_hint(row.hint)
            figures.setText(row.figures)
            mark.set_meaning("" if row.inside is None else OK if row.inside else CAUTION)
            verdict.setText(row.verdict)
            bar.show_row(row, low - spare, high + spare)

    def texts(self) -> list[tuple[str, str, str]]:
        """Words, figures and verdicts shown."""
        return [(one.text(), three.text(), five.text()) for one, _, three, _, five in self._rows]


class _Bar(QWidget):
    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._row: BandRow | None = None
        self._low, self._high = 0.0, 1.0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_row(self, row: BandRow, low: float, high: float) -> None:
        self._row, self._low, self._high = row, low, high
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(160, _HEIGHT)

    def minimumSizeHint(self) -> QSize:
        return QSize(70, _HEIGHT)

    def paintEvent(self, event: QPaintEvent) -> None:
        row = self._row
        if row is None:
            return
        colours = colours_of(self.palette())
        per = (self.width() - 16.0) / (self._high - self._low)

        def at(value: float) -> float:
            return 8.0 + (value - self._low) * per

        middle = self.height() / 2.0
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colours.colour("line"), 1.0))
        painter.drawLine(QPointF(0, middle), QPointF(self.width(), middle))
        frame = QRectF(
            at(row.predicted.low), middle - 9.0,
            max(at(row.predicted.high) - at(row.predicted.low), 2.0), 18.0,
        )  # fmt: skip
        painter.setPen(QPen(colours.colour("accent"), 1.6))
        painter.setBrush(colours.colour("accent_tint"))
        painter.drawRoundedRect(frame, 2.0, 2.0)
        x = at(row.predicted.value)
        painter.drawLine(QPointF(x, frame.top()), QPointF(x, frame.bottom()))
        if row.delivered is not None:
            ink = colours.colour("text")
            painter.setPen(QPen(ink, 1.6))
            low, x, high = (
                at(each) for each in (row.delivered.low, row.delivered.value, row.delivered.high)
            )
            painter.drawLine(QPointF(low, middle), QPointF(high, middle))
            for end in (low, high):
                painter.drawLine(QPointF(end, middle - 4), QPointF(end, middle + 4))
            painter.setBrush(ink)
            painter.drawPolygon(
                QPolygonF(
                    [
                        QPointF(x, middle - 6), QPointF(x + 6, middle),
                        QPointF(x, middle + 6), QPointF(x - 6, middle),
                    ]
                )
            )  # fmt: skip
        painter.end()
