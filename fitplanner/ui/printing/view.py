"""Owns the view of pages on the screen: paper on a table, at any size.

Says how finely pages have to be drawn and shows them once they are; until then the former ones
are shown at the new size. Refuses to draw pages.
"""

from collections.abc import Sequence
from enum import Enum, auto

from PySide6.QtCore import QPoint, QRect, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import QImage, QPainter, QPaintEvent, QPalette, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from fitplanner.ui.printing.paper import POINTS_PER_INCH
from fitplanner.ui.theme import colours_of

_GAP = 16
_STEP = 1.25
_LEAST, _MOST = 0.25, 3.0
# Four pages finer than this would take more than 150 MB.
_FINEST_DPI = 300.0


class Fit(Enum):
    """What the size of the pages follows."""

    PAGE = auto()
    WIDTH = auto()
    NOTHING = auto()


class _Table(QWidget):
    """The pages below each other."""

    def __init__(self) -> None:
        super().__init__()
        self.pages: list[QImage] = []
        self.page = QSize(1, 1)

    def place(self, number: int) -> QRect:
        """Where a page lies."""
        left = (self.width() - self.page.width()) // 2
        return QRect(QPoint(left, _GAP + number * (self.page.height() + _GAP)), self.page)

    def fit(self, count: int) -> None:
        """Be as large as the pages need."""
        high = _GAP + count * (self.page.height() + _GAP)
        self.setMinimumSize(self.page.width() + 2 * _GAP, high)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the pages that can be seen."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setPen(colours_of(self.palette()).colour("line"))
        for number, page in enumerate(self.pages):
            place = self.place(number)
            if place.intersects(event.rect()):
                painter.drawImage(place, page)
                painter.drawRect(place.adjusted(-1, -1, 0, 0))
        painter.end()


class PageView(QScrollArea):
    """Pages of one size, as many as there are."""

    wanted = Signal()
    """Pages have to be drawn as finely as `dots_per_inch` says."""
    zoomed = Signal(float)
    """How large the pages are, 1 for as on paper."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._table = _Table()
        self._points = QSizeF(595, 842)
        self._fit = Fit.WIDTH
        self._zoom = 1.0
        self.setWidget(self._table)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setBackgroundRole(QPalette.ColorRole.Mid)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.setAccessibleName(self.tr("Pages"))

    @property
    def zoom(self) -> float:
        """How large the pages are, 1 for as on paper."""
        return self._zoom

    @property
    def dots_per_inch(self) -> float:
        """How finely the pages are to be drawn."""
        return min(self._zoom * self.logicalDpiX() * self.devicePixelRatioF(), _FINEST_DPI)

    def pages(self) -> list[QImage]:
        """The pages shown."""
        return self._table.pages

    def set_paper(self, points: QSizeF) -> None:
        """Take the size of the sheet, in points."""
        if points != self._points:
            self._points = points
            self._arrange()

    def show_pages(self, pages: Sequence[QImage]) -> None:
        """Show these pages; the place looked at stays."""
        self._table.pages = list(pages)
        self._table.fit(len(pages))
        self._table.update()

    def set_fit(self, fit: Fit) -> None:
        """Let the size follow the window."""
        self._fit = fit
        self._arrange()

    def zoom_in(self) -> None:
        """Larger."""
        self._set_zoom(self._zoom * _STEP)

    def zoom_out(self) -> None:
        """Smaller."""
        self._set_zoom(self._zoom / _STEP)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Follow the window."""
        super().resizeEvent(event)
        self._arrange()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """With the control key the wheel makes pages larger and smaller."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            (self.zoom_in if event.angleDelta().y() > 0 else self.zoom_out)()
            event.accept()
        else:
            super().wheelEvent(event)

    def _set_zoom(self, zoom: float) -> None:
        self._fit = Fit.NOTHING
        self._zoom = min(max(zoom, _LEAST), _MOST)
        self._arrange()

    def _arrange(self) -> None:
        per_point = self.logicalDpiX() / POINTS_PER_INCH
        room = self.viewport().size() - QSize(2 * _GAP, 2 * _GAP)
        if self._fit is not Fit.NOTHING:
            zoom = room.width() / (self._points.width() * per_point)
            if self._fit is Fit.PAGE:
                zoom = min(zoom, room.height() / (self._points.height() * per_point))
            self._zoom = min(max(zoom, _LEAST), _MOST)
        page = (self._points * (per_point * self._zoom)).toSize()
        self.zoomed.emit(self._zoom)
        if page != self._table.page:
            bar = self.verticalScrollBar()
            share = bar.value() / max(bar.maximum() + bar.pageStep(), 1)
            self._table.page = page
            self._table.fit(len(self._table.pages))
            self._table.update()
            self._table.adjustSize()
            bar.setValue(round(share * (bar.maximum() + bar.pageStep())))
            self.wanted.emit()
