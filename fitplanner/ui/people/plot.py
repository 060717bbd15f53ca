"""Owns the widget that shows the chart, and its picture for the clipboard.

Refuses to choose what is drawn.
"""

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from fitplanner.ui.people.chart import Chart, ChartPainter
from fitplanner.ui.theme import LIGHT, Colours, colours_of
from fitplanner.ui.widgets.figures import Figures

_PICTURE = QSize(1200, 900)
_SHARPER = 1.5


class PeoplePlot(QWidget):
    """The chart as large as there is room; to read, not to play with."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._chart: Chart | None = None
        self._figures = Figures()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(320, 300)

    def show_chart(self, chart: Chart | None, figures: Figures) -> None:
        """Show a chart, or nothing yet."""
        self._chart, self._figures = chart, figures
        self.setAccessibleName("" if chart is None else f"{chart.y} / {chart.x}")
        self.update()

    def chart(self) -> Chart | None:
        """What is shown."""
        return self._chart

    def picture(self) -> QPixmap:
        """The chart in light colours, for other programs."""
        pixmap = QPixmap(_PICTURE * _SHARPER)
        pixmap.setDevicePixelRatio(_SHARPER)
        pixmap.fill(LIGHT.colour("panel"))
        painter = QPainter(pixmap)
        painter.setFont(self.font())
        self._paint(painter, QRectF(0, 0, _PICTURE.width(), _PICTURE.height()), LIGHT)
        painter.end()
        return pixmap

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint panel and chart."""
        colours = colours_of(self.palette())
        painter = QPainter(self)
        painter.fillRect(self.rect(), colours.colour("panel"))
        self._paint(painter, QRectF(self.rect()), colours)
        painter.end()

    def _paint(self, painter: QPainter, room: QRectF, colours: Colours) -> None:
        if self._chart is not None:
            ChartPainter(painter, room, self._chart, colours, self._figures).paint()
