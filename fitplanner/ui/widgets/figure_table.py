"""Owns the small table of the pages: headings with units, figures set right, lines between rows.

It is as tall as its rows and wraps words where the page is narrow; labels are kept and only
their texts change. Refuses editing and sorting.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QWidget

from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.text import LEFT, RIGHT, Text

_ROW_GAP = 9


@dataclass(frozen=True, slots=True)
class Column:
    """A heading; figures are set to the right and do not wrap. `stretch` shares spare width.

    `least` is a width in pixels that the column keeps, so that cards below each other line up.
    """

    heading: str = ""
    figures: bool = True
    stretch: int = 0
    hint: str = ""
    least: int = 0


@dataclass(frozen=True, slots=True)
class Cell:
    """One entry."""

    text: str
    bold: bool = False
    faint: bool = False
    hint: str = ""


Row = Sequence[Cell | str]


class FigureTable(QWidget):
    """Rows of figures under headings."""

    def __init__(self, *, name: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(14)
        self._grid.setVerticalSpacing(_ROW_GAP)
        self._columns: tuple[Column, ...] = ()
        self._labels: list[list[Text]] = []
        self._emphasised: frozenset[int] = frozenset()

    def show_rows(
        self, columns: Sequence[Column], rows: Sequence[Row], *, emphasised: Sequence[int] = ()
    ) -> None:
        """Show `rows`; those whose number is in `emphasised` are tinted.

        Where no column has a heading, there is no heading row.
        """
        if list(map(_shape, columns)) != list(map(_shape, self._columns)):
            self._rebuild(columns)
        self._columns = tuple(columns)
        while len(self._labels) > len(rows) + 1:
            for label in self._labels.pop():
                self._grid.removeWidget(label)
                label.deleteLater()
        while len(self._labels) < len(rows) + 1:
            self._add_row()
        headings = [Cell(column.heading, faint=True, hint=column.hint) for column in columns]
        for labels, cells in zip(self._labels, [headings, *rows], strict=True):
            for label, cell in zip(labels, cells, strict=True):
                _fill(label, cell if isinstance(cell, Cell) else Cell(cell))
        headed = any(column.heading for column in columns)
        for label in self._labels[0]:
            label.setVisible(headed)
        self._emphasised = frozenset(emphasised)
        self.update()

    def texts(self) -> list[list[str]]:
        """What the table shows, headings first."""
        return [[label.text() for label in row] for row in self._labels]

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint tints and the lines between rows."""
        colours = colours_of(self.palette())
        painter = QPainter(self)
        last = len(self._labels) - 1
        for number, labels in enumerate(self._labels):
            box = labels[0].geometry()
            bottom = box.bottom() + _ROW_GAP // 2 + 1
            if number == 0 and labels[0].isHidden():
                continue
            if number - 1 in self._emphasised:
                top = box.top() - _ROW_GAP // 2
                painter.fillRect(
                    -6, top, self.width() + 12, bottom - top, colours.colour("accent_tint")
                )
            if number < last:
                painter.setPen(QPen(colours.colour("faint" if number == 0 else "line"), 1))
                painter.drawLine(0, bottom, self.width(), bottom)
        painter.end()

    def _rebuild(self, columns: Sequence[Column]) -> None:
        for row in self._labels:
            for label in row:
                self._grid.removeWidget(label)
                label.deleteLater()
        self._labels = []
        for number in range(max(len(columns), len(self._columns))):
            stretch = columns[number].stretch if number < len(columns) else 0
            self._grid.setColumnStretch(number, stretch)
            least = columns[number].least if number < len(columns) else 0
            self._grid.setColumnMinimumWidth(number, least)
        self._columns = tuple(columns)

    def _add_row(self) -> None:
        number = len(self._labels)
        heading = number == 0
        row = []
        for place, column in enumerate(self._columns):
            label = Text(
                wrap=heading or not column.figures,
                align=RIGHT if column.figures else LEFT,
                parent=self,
            )
            bottom = Qt.AlignmentFlag.AlignBottom if heading else Qt.AlignmentFlag.AlignTop
            label.setAlignment((RIGHT if column.figures else LEFT) | bottom)
            self._grid.addWidget(label, number, place)
            label.show()
            row.append(label)
        self._labels.append(row)


def _shape(column: Column) -> tuple[bool, int, int]:
    return column.figures, column.stretch, column.least


def _fill(label: Text, cell: Cell) -> None:
    if label.text() != cell.text:
        label.setText(cell.text)
    label.set_look(bold=cell.bold, faint=cell.faint)
    label.set_hint(cell.hint)
