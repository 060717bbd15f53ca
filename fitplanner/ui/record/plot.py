"""Owns the plot of delivered against predicted: the line where both agree, the band about it, bars
for what each was predicted within, a ring for the job picked.

Loads the plotting library, so it is imported when there is something to draw. Refuses to pan, zoom
or scale.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.plot import PointPlot, pg

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


class RecordPlot(PointPlot):
    """Jobs as discs; those outside their band as triangles."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(_RING, _REACH_PX, parent)
        self._low, self._high = pg.PlotDataItem(), pg.PlotDataItem()
        self._band = pg.FillBetweenItem(self._low, self._high)
        self._line = pg.PlotDataItem()
        self._bars = pg.ErrorBarItem(beam=0.0)
        self._inside = pg.ScatterPlotItem(symbol="o", size=_DISC, pxMode=True)
        self._outside = pg.ScatterPlotItem(symbol="t1", size=_DISC + 4, pxMode=True)
        for item in (
            self._low, self._high, self._band, self._line, self._bars, self._inside,
            self._outside,
        ):  # fmt: skip
            self.view.addItem(item)
        self.view.getPlotItem().vb.setAspectLocked(True)
        self.setMinimumSize(300, 260)
        self.colour()

    def show_points(self, points: Sequence[Point], bias: float, half: float, row: int) -> None:
        """Show jobs, the line where both agree, and the band of `half` about the line and bias."""
        x = self._x = np.array([one.predicted for one in points], dtype=float)
        y = self._y = np.array([one.delivered for one in points], dtype=float)
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
            box = self.view.getPlotItem().vb
            box.setRange(
                xRange=(least - spare, most + spare),
                yRange=(least - spare, most + spare),
                padding=0,
            )
        self.colour()
        self.ring(row)

    def points(self) -> dict[str, tuple[NDArray[np.float64], NDArray[np.float64]]]:
        """What is drawn, by shape."""
        shapes = {"disc": self._inside, "triangle": self._outside, "ring": self._ring}
        return {name: item.getData() for name, item in shapes.items()}

    def colour(self) -> None:
        """Take the colours of the present appearance."""
        super().colour()
        colours = colours_of(self.palette())
        self._band.setBrush(colours.colour("accent_tint"))
        for edge in (self._low, self._high):
            edge.setPen(pg.mkPen(colours.colour("accent"), style=Qt.PenStyle.DotLine))
        self._line.setPen(pg.mkPen(colours.colour("stock"), width=1, style=Qt.PenStyle.DashLine))
        self._bars.setData(pen=pg.mkPen(colours.colour("stock")))
        for item, role in ((self._inside, "accent"), (self._outside, "caution")):
            item.setPen(pg.mkPen(colours.colour("panel"), width=1))
            item.setBrush(colours.colour(role))
