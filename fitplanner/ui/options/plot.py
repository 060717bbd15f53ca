"""Owns the plot of options: discs, numbered diamonds for those proposed, a ring for the one picked.

Loads the plotting library, so it is imported when there is something to draw. Refuses to pan,
zoom or scale: it shows all points, and a wheel turn scrolls the page.
"""

import os
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QVBoxLayout, QWidget

os.environ.setdefault("PYQTGRAPH_QT_LIB", "PySide6")

import pyqtgraph as pg

from fitplanner.ui.pages.plots import Axis
from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.point_canvas import PointCanvas

_DISC, _DIAMOND, _RING = 7, 26, 34
_REACH_PX = 16.0
_MARGIN = 0.1


class FrontPlot(QWidget):
    """Points by two measures."""

    picked = Signal(int)
    """The row of the point nearest to a click."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._axes = {side: Axis(side) for side in ("bottom", "left")}
        self._view = PointCanvas(self._axes)
        self._view.clicked.connect(self._click)
        self._discs = pg.ScatterPlotItem(symbol="o", size=_DISC, pxMode=True)
        self._diamonds = pg.ScatterPlotItem(symbol="d", size=_DIAMOND, pxMode=True)
        self._ring = pg.ScatterPlotItem(symbol="o", size=_RING, pxMode=True, brush=None)
        for item in (self._discs, self._diamonds, self._ring):
            self._view.addItem(item)
        self._labels: list[Any] = []
        self._x = np.zeros(0)
        self._y = np.zeros(0)
        self._numbers: dict[int, int] = {}
        self._row = -1
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._view)
        self._colour()

    def show_points(
        self,
        x: NDArray[np.float64],
        y: NDArray[np.float64],
        numbers: Mapping[int, int],
        row: int,
    ) -> None:
        """Show points; `numbers` gives those proposed by row, `row` the one picked."""
        self._x, self._y, self._numbers = x, y, dict(numbers)
        others = np.array([n for n in range(len(x)) if n not in self._numbers], dtype=np.intp)
        chosen = np.array(sorted(self._numbers), dtype=np.intp)
        self._discs.setData(x[others], y[others])
        self._diamonds.setData(x[chosen], y[chosen])
        while len(self._labels) < len(chosen):
            label = pg.TextItem(anchor=(0.5, 0.5))
            font = QFont()
            font.setPixelSize(11)
            font.setBold(True)
            label.setFont(font)
            label.setZValue(10)
            self._view.addItem(label)
            self._labels.append(label)
        for label in self._labels[len(chosen) :]:
            label.hide()
        for label, point in zip(self._labels, chosen, strict=False):
            label.setText(str(self._numbers[int(point)]))
            label.setPos(float(x[point]), float(y[point]))
            label.show()
        for values, fit in ((x, self._view.setXRange), (y, self._view.setYRange)):
            if len(values):
                low, high = float(values.min()), float(values.max())
                spare = _MARGIN * (high - low) or max(abs(high) * 0.05, 1.0)
                fit(low - spare, high + spare, padding=0)
        self._colour()
        self.ring(row)

    def name_axes(self, across: str, up: str, decimal_mark: str) -> None:
        """Say what the axes measure."""
        self._axes["bottom"].show_words(across, decimal_mark)
        self._axes["left"].show_words(up, decimal_mark)
        self.setAccessibleName(f"{up} / {across}")

    def ring(self, row: int) -> None:
        """Ring the point picked."""
        self._row = row
        here = slice(row, row + 1) if 0 <= row < len(self._x) else slice(0, 0)
        self._ring.setData(self._x[here], self._y[here])

    def points(self) -> dict[str, tuple[NDArray[np.float64], NDArray[np.float64]]]:
        """What is drawn, by shape, in the units shown."""
        shapes = {"disc": self._discs, "diamond": self._diamonds, "ring": self._ring}
        return {name: item.getData() for name, item in shapes.items()}

    def place_of(self, row: int) -> tuple[float, float]:
        """Where a point stands, in pixels of this widget."""
        inside = self._view.mapTo(self, self._view.place_of(self._x[row], self._y[row]))
        return float(inside.x()), float(inside.y())

    def canvas(self) -> QWidget:
        """What takes the mouse."""
        canvas: QWidget = self._view.viewport()
        return canvas

    def changeEvent(self, event: QEvent) -> None:
        """Follow the appearance."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "_discs"):
            self._colour()

    def _click(self, x_px: float, y_px: float) -> None:
        """Pick the point nearest to a click, where one is near."""
        if not len(self._x):
            return
        far = self._view.pixels_from(x_px, y_px, self._x, self._y)
        # The large diamonds lie on top, so they are hit first.
        far[list(self._numbers)] -= (_DIAMOND - _DISC) / 2
        nearest = int(np.argmin(far))
        if far[nearest] <= _REACH_PX:
            self.picked.emit(nearest)

    def _colour(self) -> None:
        colours = colours_of(self.palette())
        self._view.colour(colours)
        self._discs.setPen(pg.mkPen(colours.colour("panel"), width=1))
        self._discs.setBrush(colours.colour("stock"))
        self._diamonds.setPen(pg.mkPen(colours.colour("panel"), width=1))
        self._diamonds.setBrush(colours.colour("accent"))
        self._ring.setPen(pg.mkPen(colours.colour("text"), width=2))
        self._ring.setBrush(None)
        for label in self._labels:
            label.setColor(colours.colour("on_accent"))
