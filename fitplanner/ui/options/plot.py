"""Owns the plot of options: discs, numbered diamonds for those proposed, a ring for the one picked.

Loads the plotting library, so it is imported when there is something to draw. Refuses to pan,
zoom or scale: it shows all points, and a wheel turn scrolls the page.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QWidget

from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.plot import PointPlot, pg

_DISC, _DIAMOND, _RING = 7, 26, 34
_REACH_PX = 16.0
_MARGIN = 0.1


class FrontPlot(PointPlot):
    """Points by two measures."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(_RING, _REACH_PX, parent)
        self._discs = pg.ScatterPlotItem(symbol="o", size=_DISC, pxMode=True)
        self._diamonds = pg.ScatterPlotItem(symbol="d", size=_DIAMOND, pxMode=True)
        for item in (self._discs, self._diamonds):
            self.view.addItem(item)
        self._labels: list[Any] = []
        self._numbers: dict[int, int] = {}
        self.colour()

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
            self.view.addItem(label)
            self._labels.append(label)
        for label in self._labels[len(chosen) :]:
            label.hide()
        for label, point in zip(self._labels, chosen, strict=False):
            label.setText(str(self._numbers[int(point)]))
            label.setPos(float(x[point]), float(y[point]))
            label.show()
        for values, fit in ((x, self.view.setXRange), (y, self.view.setYRange)):
            if len(values):
                low, high = float(values.min()), float(values.max())
                spare = _MARGIN * (high - low) or max(abs(high) * 0.05, 1.0)
                fit(low - spare, high + spare, padding=0)
        self.colour()
        self.ring(row)

    def points(self) -> dict[str, tuple[NDArray[np.float64], NDArray[np.float64]]]:
        """What is drawn, by shape, in the units shown."""
        shapes = {"disc": self._discs, "diamond": self._diamonds, "ring": self._ring}
        return {name: item.getData() for name, item in shapes.items()}

    def _nearer(self, far: NDArray[np.float64]) -> NDArray[np.float64]:
        # The large diamonds lie on top, so they are hit first.
        far[list(self._numbers)] -= (_DIAMOND - _DISC) / 2
        return far

    def colour(self) -> None:
        """Take the colours of the present appearance."""
        super().colour()
        colours = colours_of(self.palette())
        self._discs.setPen(pg.mkPen(colours.colour("panel"), width=1))
        self._discs.setBrush(colours.colour("stock"))
        self._diamonds.setPen(pg.mkPen(colours.colour("panel"), width=1))
        self._diamonds.setBrush(colours.colour("accent"))
        for label in self._labels:
            label.setColor(colours.colour("on_accent"))
