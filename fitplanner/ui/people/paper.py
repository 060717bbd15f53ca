"""Owns the way of the answer to paper: one page with the chart on it.

Refuses to know what stands on the page.
"""

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from fitplanner.report.papers.paper import Paper
from fitplanner.ui.people.chart import Chart, ChartPainter
from fitplanner.ui.printing import pen
from fitplanner.ui.printing.pages import preview
from fitplanner.ui.printing.paper import paper_font, paper_of
from fitplanner.ui.printing.sheet import PaperSheet
from fitplanner.ui.theme import LIGHT
from fitplanner.ui.widgets.figures import Figures

_GAP = 6.0


class ChartPicture:
    """Paints the chart into the room that a paper leaves for its picture."""

    def __init__(self, chart: Chart, figures: Figures) -> None:
        self._chart, self._figures = chart, figures

    def __call__(self, painter: QPainter, rect: QRectF, caption: str, size: float) -> None:
        """Paint within `rect`, the caption below."""
        below = pen.height(painter, pen.FAINT, rect.width(), caption) + _GAP
        room = rect.adjusted(0, 2, 0, -below - 2)
        painter.save()
        painter.setFont(paper_font(pen.SMALL))
        ChartPainter(painter, room, self._chart, LIGHT, self._figures).paint()
        painter.restore()
        pen.write(painter, pen.FAINT, rect.left(), rect.bottom() - below, rect.width(), caption)


def sheet_of(parent: QWidget, paper: Paper, chart: Chart, figures: Figures) -> PaperSheet:
    """The page, ready for any device."""
    return PaperSheet(paper, ChartPicture(chart, figures), parent.locale())


def print_people(parent: QWidget, paper: Paper, chart: Chart, figures: Figures) -> None:
    """Show the page as it will be printed; the printer may be a file."""
    sheet = sheet_of(parent, paper, chart, figures)
    preview(parent, sheet, paper_of(parent.locale()), sheet.title)
