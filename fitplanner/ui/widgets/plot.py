"""Owns what plots share: axes that name their unit, a canvas that is only read, and one to pick on.

Loads the plotting library, which costs a third of a second, so it is imported with the first plot.
Refuses unit prefixes, rich text in names, and to pan, zoom or scale.
"""

import os
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFont, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

os.environ.setdefault("PYQTGRAPH_QT_LIB", "PySide6")

import pyqtgraph as pg

from fitplanner.ui.theme import colours_of

__all__ = ["Axis", "Canvas", "PointPlot", "pg"]


class Axis(pg.AxisItem):  # type: ignore[misc]
    """An axis that leaves the unit as it is named and knows the decimal mark."""

    def __init__(self, side: str) -> None:
        super().__init__(side)
        self.enableAutoSIPrefix(False)
        self._decimal_mark = "."
        font = QFont()
        font.setPointSizeF(10.0)
        self.setStyle(
            tickFont=font,
            tickTextOffset=6,
            tickLength=-4,
            maxTickLevel=0,
            hideOverlappingLabels=False,
        )
        self.label.setFont(font)
        self.setGrid(40)

    def show_words(self, words: str, decimal_mark: str) -> None:
        """Name the axis."""
        self._decimal_mark = decimal_mark
        self.setLabel(text=words)

    def set_label_colour(self, colour: str) -> None:
        """Colour of the name."""
        self.setLabel(text=self.labelText, **{"color": colour, "font-size": "10pt"})

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """The numbers along the axis."""
        strings: list[str] = super().tickStrings(values, scale, spacing)
        return [text.replace(".", self._decimal_mark) for text in strings]


class Canvas(pg.PlotWidget):  # type: ignore[misc]
    """A plot that is read and not played with; a wheel turn scrolls the page.

    It follows the appearance by itself. Who draws on it colours that with `recoloured`: an owner
    hears of a new palette before the plot has it, so that its own `changeEvent` is too early.
    """

    recoloured = Signal()
    """The plot has taken the colours of another appearance."""

    def __init__(self) -> None:
        self.axes: Mapping[str, Axis] = {side: Axis(side) for side in ("bottom", "left")}
        super().__init__(axisItems=dict(self.axes), enableMenu=False)
        self.hideButtons()
        self.setMouseEnabled(x=False, y=False)
        self.setFrameShape(self.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._built = True
        self._colour()

    def name_axes(self, across: str, up: str, decimal_mark: str) -> None:
        """Say what the axes measure."""
        self.axes["bottom"].show_words(across, decimal_mark)
        self.axes["left"].show_words(up, decimal_mark)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the appearance."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and "_built" in self.__dict__:
            self._colour()
            self.recoloured.emit()

    def _colour(self) -> None:
        colours = colours_of(self.palette())
        self.setBackground(colours.colour("panel"))
        for axis in self.axes.values():
            axis.setPen(pg.mkPen(colours.colour("line")))
            axis.setTextPen(pg.mkPen(colours.colour("faint")))
            axis.set_label_colour(colours.faint)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


class _Clicked(Canvas):
    """A plot that only tells where it was clicked."""

    clicked = Signal(float, float)

    def __init__(self) -> None:
        super().__init__()
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self.clicked.emit(event.position().x(), event.position().y())
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        event.accept()


class PointPlot(QWidget):
    """Points of which one can be picked; subclasses draw them on `view` and colour them."""

    picked = Signal(int)
    """The row of the point nearest to a click."""

    def __init__(self, ring: int, reach: float, parent: QWidget | None = None) -> None:
        """`ring` is the size of the ring round the point picked, `reach` how near a click must be;
        both in pixels."""
        super().__init__(parent)
        self._reach = reach
        self._x = self._y = np.zeros(0)
        self.view = _Clicked()
        self.view.clicked.connect(self._click)
        self.view.recoloured.connect(self.colour)
        self._ring = pg.ScatterPlotItem(symbol="o", size=ring, pxMode=True, brush=None)
        self._ring.setZValue(1)
        self.view.addItem(self._ring)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.view)

    def name_axes(self, across: str, up: str, decimal_mark: str) -> None:
        """Say what the axes measure."""
        self.view.name_axes(across, up, decimal_mark)
        self.setAccessibleName(f"{up} / {across}")

    def ring(self, row: int) -> None:
        """Ring the point picked."""
        here = slice(row, row + 1) if 0 <= row < len(self._x) else slice(0, 0)
        self._ring.setData(self._x[here], self._y[here])

    def place_of(self, row: int) -> tuple[float, float]:
        """Where a point stands, in pixels of what takes the mouse."""
        box = self.view.getPlotItem().vb
        at = box.mapViewToScene(pg.Point(float(self._x[row]), float(self._y[row])))
        inside = self.view.mapFromScene(at)
        return float(inside.x()), float(inside.y())

    def canvas(self) -> QWidget:
        """What takes the mouse."""
        canvas: QWidget = self.view.viewport()
        return canvas

    def colour(self) -> None:
        """Take the colours of the present appearance."""
        self._ring.setPen(pg.mkPen(colours_of(self.palette()).colour("text"), width=2))
        self._ring.setBrush(None)

    def _nearer(self, far: NDArray[np.float64]) -> NDArray[np.float64]:
        """The distances of a click in pixels, less for points that are drawn larger."""
        return far

    def _click(self, x_px: float, y_px: float) -> None:
        if not len(self._x):
            return
        places = np.array([self.place_of(row) for row in range(len(self._x))])
        far = self._nearer(np.hypot(*(places - (x_px, y_px)).T))
        nearest = int(np.argmin(far))
        if far[nearest] <= self._reach:
            self.picked.emit(nearest)
