"""Owns the table of a comparison: sections, labels at the left, one column for each plan.

A cell that differs from the first column is bold and tells the change or bears a sign. Refuses to
work anything out.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from fitplanner.report.compare import Comparison
from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.text import LEFT, Text

LABEL_WIDTH = 212
COLUMN_GAP = 12
_ROW_GAP = 5


class ComparisonTable(QWidget):
    """Rebuilt for each comparison."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Comparison"))
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(COLUMN_GAP)
        self._grid.setVerticalSpacing(_ROW_GAP)
        self._labels: list[Text] = []
        self._headings: list[Text] = []
        self._columns = 0

    def show_comparison(self, comparison: Comparison | None, *, only_differing: bool) -> None:
        """Show the rows, all or those that differ."""
        for label in (*self._labels, *self._headings):
            self._grid.removeWidget(label)
            label.hide()
            label.deleteLater()
        self._labels, self._headings = [], []
        wanted = 0 if comparison is None else len(comparison.columns)
        for number in range(1, max(wanted, self._columns) + 1):
            self._grid.setColumnStretch(number, 1 if number <= wanted else 0)
        self._columns = wanted
        self._grid.setColumnMinimumWidth(0, LABEL_WIDTH)
        if comparison is not None:
            self._fill(comparison, only_differing)
        self.update()

    def texts(self) -> list[str]:
        """All words shown, row by row."""
        return [label.text() for label in self._labels]

    def bold_texts(self) -> list[str]:
        """The words that stand out."""
        return [label.text() for label in self._labels if label.font().bold()]

    def _fill(self, comparison: Comparison, only_differing: bool) -> None:
        at = 0
        for section in comparison.sections:
            rows = [row for row in section.rows if row.differs or not only_differing]
            if not rows:
                continue
            heading = Text(section.title, bold=True, scale=1.1, parent=self)
            heading.setContentsMargins(0, 8 if at else 0, 0, 0)
            self._put(heading, at, 0, self._columns + 1)
            self._headings.append(heading)
            at += 1
            for row in rows:
                name = Text(row.label, faint=not row.differs, parent=self)
                name.setFixedWidth(LABEL_WIDTH)
                self._put(name, at, 0)
                self._labels.append(name)
                for number, cell in enumerate(row.cells, 1):
                    label = Text(
                        cell.words, bold=bool(cell.change), faint=not row.differs, parent=self
                    )
                    policy = label.sizePolicy()
                    policy.setHorizontalPolicy(QSizePolicy.Policy.Ignored)
                    label.setSizePolicy(policy)
                    self._put(label, at, number)
                    self._labels.append(label)
                at += 1
        self._grid.setRowStretch(at, 1)

    def _put(self, label: Text, row: int, column: int, span: int = 1) -> None:
        self._grid.setRowStretch(row, 0)
        self._grid.addWidget(label, row, column, 1, span, Qt.AlignmentFlag.AlignTop)
        label.setAlignment(LEFT | Qt.AlignmentFlag.AlignTop)
        label.show()

    def paintEvent(self, event: QPaintEvent) -> None:
        """A line over each row."""
        colours = colours_of(self.palette())
        painter = QPainter(self)
        painter.setPen(QPen(colours.colour("line"), 1))
        for label in self._labels[:: self._columns + 1]:
            y = label.geometry().top() - _ROW_GAP // 2 - 1
            painter.drawLine(0, y, self.width(), y)
        painter.end()
