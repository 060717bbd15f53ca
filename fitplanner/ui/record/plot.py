"""Owns the plot of delivered against predicted: the line where both agree, the band about it, bars
for what each was predicted within, a ring for the job picked.

Loads the plotting library, so it is imported when there is something to draw. Refuses to pan, zoom
or scale.
"""

import os
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

os.environ.setdefault("PYQTGRAPH_QT_LIB", "PySide6")

import pyqtgraph as pg

from fitplanner.ui.pages.plots import Axis
from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.point_canvas import PointCanvas

_DISC, _RING = 11, 22
_REACH_PX = 18.0


@dataclass(frozen=True)
class Point:
    """One job in the unit shown; `low` and `high` of the prediction."""

    predicted: float
    low: float
    high: float
    delivered: float
    inside: bool


class RecordPlot(QWidget):
    """Jobs as discs; those outside their band as triangles."""

    picked = Signal(int)
    """The row of the point nearest to a click."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._points: tuple[Point, ...] = ()
        self._row = -1
        self._axes = {side: Axis(side) for side in ("bottom", "left")}
        self._view = PointCanvas(self._axes)
        self._view.clicked.connect(self._click)
        self._low, self._high = pg.PlotDataItem(), pg.PlotDataItem()
        self._band = pg.FillBetweenItem(self._low, self._high)
        self._line = pg.PlotDataItem()
        self._bars = pg.ErrorBarItem(beam=0.0)
        self._inside = pg.ScatterPlotItem(symbol="o", size=_DISC, pxMode=True)
        self._outside = pg.ScatterPlotItem(symbol="t1", size=_DISC + 4, pxMode=True)
        self._ring = pg.ScatterPlotItem(symbol="o", size=_RING, pxMode=True, brush=None)
        for item in (
            self._low, self._high, self._band, self._line, self._bars, self._inside,
            self._outside, self._ring,
        ):  # fmt: skip
            self._view.addItem(item)
        self._view.getPlotItem().vb.setAspectLocked(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._view)
        self.setMinimumSize(300, 260)
        self._colour()

    def show_points(self, points: Sequence[Point], bias: float, half: float, row: int) -> None:
        """Show jobs, the line where both agree, and the band of `half` about the line and bias."""
        self._points = tuple(points)
        x, y = self._across(), self._up()
        low, high = np.array([one.low for one in points]), np.array([one.high for one in points])
        inside = np.array([one.inside for one in points], dtype=bool)
        self._bars.setData(
            x=x, y=y, left=x - low if len(x) else None, right=high - x if len(x) else None
        )
        self._inside.setData(x[inside], y[inside])
        self._outside.setData(x[~inside], y[~inside])
        if len(x):
            least, most = (
                float(min(low.min(), y.min())),
                float(max(high.max(), y.max())),
            )
            spare = 0.08 * (most - least) or 1.0
            ends = np.array([least - 4 * spare, most + 4 * spare])
            self._line.setData(ends, ends)
            self._low.setData(ends, ends + bias - half)
            self._high.setData(ends, ends + bias + half)
            box = self._view.getPlotItem().vb
            box.setRange(
                xRange=(least - spare, most + spare),
                yRange=(least - spare, most + spare),
                padding=0,
            )
        self._colour()
        self.ring(row)

    def name_axes(self, across: str, up: str, decimal_mark: str) -> None:
        """Say what the axes measure."""
        self._axes["bottom"].show_words(across, decimal_mark)
        self._axes["left"].show_words(up, decimal_mark)
        self.setAccessibleName(f"{up} / {across}")

    def ring(self, row: int) -> None:
        """Ring the job picked."""
        self._row = row
        here = slice(row, row + 1) if 0 <= row < len(self._points) else slice(0, 0)
        self._ring.setData(self._across()[here], self._up()[here])

    def points(self) -> dict[str, tuple[NDArray[np.float64], NDArray[np.float64]]]:
        """What is drawn, by shape."""
        shapes = {"disc": self._inside, "triangle": self._outside, "ring": self._ring}
        return {name: item.getData() for name, item in shapes.items()}

    def place_of(self, row: int) -> tuple[float, float]:
        """Where a job stands, in pixels of what takes the mouse."""
        one = self._points[row]
        inside = self._view.place_of(one.predicted, one.delivered)
        return float(inside.x()), float(inside.y())

    def canvas(self) -> QWidget:
        """What takes the mouse."""
        canvas: QWidget = self._view.viewport()
        return canvas

    def changeEvent(self, event: QEvent) -> None:
        """Follow the appearance."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "_ring"):
            self._colour()

    def _across(self) -> NDArray[np.float64]:
        return np.array([one.predicted for one in self._points], dtype=float)

    def _up(self) -> NDArray[np.float64]:
        return np.array([one.delivered for one in self._points], dtype=float)

    def _click(self, x_px: float, y_px: float) -> None:
        if not self._points:
            return
        far = self._view.pixels_from(x_px, y_px, self._across(), self._up())
        nearest = int(np.argmin(far))
        if far[nearest] <= _REACH_PX:
            self.picked.emit(nearest)

    def _colour(self) -> None:
        colours = colours_of(self.palette())
        self._view.colour(colours)
        self._band.setBrush(colours.colour("accent_tint"))
        for edge in (self._low, self._high):
            edge.setPen(pg.mkPen(colours.colour("accent"), style=Qt.PenStyle.DotLine))
        self._line.setPen(pg.mkPen(colours.colour("stock"), width=1, style=Qt.PenStyle.DashLine))
        self._bars.setData(pen=pg.mkPen(colours.colour("stock")))
        for item, role in ((self._inside, "accent"), (self._outside, "caution")):
            item.setPen(pg.mkPen(colours.colour("panel"), width=1))
            item.setBrush(colours.colour(role))
        self._ring.setPen(pg.mkPen(colours.colour("text"), width=2))
        self._ring.setBrush(None)
