"""Owns the plots of a linkage through its travel: leverage, wheel rate, spring force.

The plotting library costs a third of a second, so this module is imported with the first window
that draws a linkage. Refuses to know how a series comes about.
"""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from fitplanner.planning.linkage import LinkageMotion
from fitplanner.quantities import Kind
from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.plot import Canvas, pg
from fitplanner.ui.widgets.text import Text

_LEAST_HEIGHT = 150


class TravelPlot(QWidget):
    """One figure over wheel travel: before dashed, now solid, and a ring where the wheel is."""

    def __init__(self, title: str, kind: Kind, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._kind = kind
        self._x = self._y = np.zeros(0)
        self._title = Text(title, bold=True, wrap=False, parent=self)
        self._canvas = Canvas()
        self._canvas.setMinimumHeight(_LEAST_HEIGHT)
        self._canvas.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._canvas.setAccessibleName(title)
        self._before = self._canvas.plot([], [], antialias=True)
        self._now = self._canvas.plot([], [], antialias=True)
        self._ring = pg.ScatterPlotItem(symbol="o", size=10, pxMode=True)
        self._canvas.addItem(self._ring)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self._title)
        column.addWidget(self._canvas, 1)
        self._canvas.recoloured.connect(self._colour)
        self._colour()

    def show_series(
        self,
        now: tuple[NDArray[np.float64], NDArray[np.float64]],
        before: tuple[NDArray[np.float64], NDArray[np.float64]] | None,
        figures: Figures,
        across: str,
    ) -> None:
        """Show canonical series over wheel travel; `across` names that axis."""
        unit = figures.unit(self._kind)
        self._canvas.name_axes(figures.headed(across), unit, figures.decimal_mark)
        self._x, self._y = figures.array(now[0], Kind.LENGTH), figures.array(now[1], self._kind)
        self._now.setData(self._x, self._y)
        every = self._y
        if before is None:
            self._before.setData([], [])
        else:
            old = figures.array(before[1], self._kind)
            self._before.setData(figures.array(before[0], Kind.LENGTH), old)
            every = np.concatenate([every, old])
        self._canvas.setXRange(0.0, float(self._x[-1]), padding=0.02)
        self._canvas.setYRange(float(every.min()), float(every.max()), padding=0.08)

    def show_place(self, at: int) -> None:
        """Ring the place of that number."""
        here = slice(at, at + 1)
        self._ring.setData(self._x[here], self._y[here])

    def clear(self) -> None:
        """Show nothing: the linkage does not move."""
        self._x = self._y = np.zeros(0)
        for each in (self._before, self._now, self._ring):
            each.setData([], [])

    def series(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """What is drawn now, in the units shown."""
        return self._x, self._y

    def _colour(self) -> None:
        colours = colours_of(self.palette())
        self._before.setPen(
            pg.mkPen(colours.colour("stock"), width=1.6, style=Qt.PenStyle.DashLine)
        )
        self._now.setPen(pg.mkPen(colours.colour("accent"), width=1.8))
        self._ring.setPen(pg.mkPen(colours.colour("text"), width=1.6))
        self._ring.setBrush(colours.colour("panel"))


class MotionPlots(QWidget):
    """The three plots side by side."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.leverage = TravelPlot(self.tr("Leverage"), Kind.RATIO, self)
        self.rate = TravelPlot(self.tr("Wheel rate, without bump rubber"), Kind.SPRING_RATE, self)
        self.spring = TravelPlot(self.tr("Spring force, at the shock"), Kind.FORCE, self)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(12)
        for each in self._plots():
            row.addWidget(each, 1)

    def show_motion(
        self, motion: LinkageMotion, before: LinkageMotion | None, figures: Figures
    ) -> None:
        """Show a linkage, and dashed the one that it was."""
        across = self.tr("Wheel travel")
        for plot, key in zip(
            self._plots(), ("leverage", "wheel_rate_n_mm", "spring_n"), strict=True
        ):
            old = None if before is None else (before.rise_mm, getattr(before, key))
            plot.show_series((motion.rise_mm, getattr(motion, key)), old, figures, across)

    def show_place(self, at: int) -> None:
        """Ring the place of that number along the travel."""
        for plot in self._plots():
            plot.show_place(at)

    def clear(self) -> None:
        """Show nothing."""
        for plot in self._plots():
            plot.clear()

    def _plots(self) -> tuple[TravelPlot, TravelPlot, TravelPlot]:
        return self.leverage, self.rate, self.spring
