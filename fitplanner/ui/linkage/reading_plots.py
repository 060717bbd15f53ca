"""Owns the plots of a leverage found from readings: the curve in its band, and what is left over.

Refuses to fit.
"""

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from fitplanner.planning.leverage_found import LeverageFound
from fitplanner.planning.linkage import LinkageMotion
from fitplanner.quantities import Kind
from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.plot import Canvas, pg
from fitplanner.ui.widgets.text import Text

_LEAST_HEIGHT = 140
_POINT = 9


class ReadingPlots(QStackedWidget):
    """Leverage over wheel travel above, readings less curve below."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._misfit = -1
        curve, rest = (
            self.tr("Leverage, with its band (± one spread); dashed: the profile now"),
            self.tr("Shock travel read, less that of the curve"),
        )
        self._above, self._below = Canvas(), Canvas()
        words = self.tr("The curve stands here once there are three readings that go together.")
        empty = Text(words, faint=True, parent=self)
        empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        drawn = QWidget(self)
        self.addWidget(empty)
        self.addWidget(drawn)
        column = QVBoxLayout(drawn)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        for words, canvas, share in ((curve, self._above, 3), (rest, self._below, 2)):
            canvas.setMinimumHeight(_LEAST_HEIGHT)
            canvas.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            canvas.setAccessibleName(words)
            column.addWidget(Text(words, bold=True, wrap=False, parent=self))
            column.addWidget(canvas, share)
        self._low, self._high = (self._above.plot([], [], antialias=True) for _ in range(2))
        self._band = pg.FillBetweenItem(self._low, self._high)
        self._above.addItem(self._band)
        self._present = self._above.plot([], [], antialias=True)
        self._curve = self._above.plot([], [], antialias=True)
        self._zero = pg.InfiniteLine(angle=0)
        self._below.addItem(self._zero)
        self._dots = pg.ScatterPlotItem(pxMode=True)
        self._below.addItem(self._dots)
        self._below.recoloured.connect(self._colour)
        self._colour()

    def show_found(
        self,
        found: LeverageFound,
        present: LinkageMotion | None,
        figures: Figures,
    ) -> None:
        """Show what the readings say, and dashed the leverage that the profile has at `present`.

        The reading that may be wrong is a square.
        """
        self.setCurrentIndex(1)
        across = figures.headed(self.tr("Wheel travel"))
        self._above.name_axes(across, "", figures.decimal_mark)
        self._below.name_axes(across, figures.unit(), figures.decimal_mark)
        x = figures.array(found.rise_mm, Kind.LENGTH)
        self._curve.setData(x, found.leverage)
        self._low.setData(x, found.leverage * (1.0 - found.spread))
        self._high.setData(x, found.leverage * (1.0 + found.spread))
        if present is None:
            self._present.setData([], [])
        else:
            self._present.setData(figures.array(present.rise_mm, Kind.LENGTH), present.leverage)
        off = figures.array(np.array(found.off_mm), Kind.LENGTH)
        at = figures.array(np.array(found.table.read_wheel_mm), Kind.LENGTH)
        self._misfit = found.misfits[0] if found.misfits else -1
        self._dots.setData(at, off)
        self._mark()
        for canvas in (self._above, self._below):
            canvas.setXRange(0.0, float(x[-1]), padding=0.02)
        far = max(float(np.max(np.abs(off))), float(figures.array(np.array([1.0]), Kind.LENGTH)[0]))
        self._below.setYRange(-far, far, padding=0.15)
        band = found.leverage * found.spread
        every = [
            found.leverage - band,
            found.leverage + band,
            *([present.leverage] if present else []),
        ]
        self._above.setYRange(
            min(float(each.min()) for each in every),
            max(float(each.max()) for each in every),
            padding=0.08,
        )

    def clear(self) -> None:
        """Show nothing but what is missing."""
        self.setCurrentIndex(0)
        for each in (self._curve, self._present, self._low, self._high, self._dots):
            each.setData([], [])

    def points(self) -> tuple[list[float], list[float]]:
        """The residuals drawn, in the units shown."""
        x, y = self._dots.getData()
        return list(x), list(y)

    def _mark(self) -> None:
        colours = colours_of(self.palette())
        count = len(self._dots.getData()[0])
        odd = [row == self._misfit for row in range(count)]
        self._dots.setSymbol(["s" if each else "o" for each in odd])
        self._dots.setSize([_POINT + 4 if each else _POINT for each in odd])
        pens = {True: colours.colour("caution"), False: colours.colour("accent")}
        self._dots.setPen([pg.mkPen(pens[each], width=1.8) for each in odd])
        self._dots.setBrush(colours.colour("panel"))

    def _colour(self) -> None:
        colours = colours_of(self.palette())
        dashed = Qt.PenStyle.DashLine
        self._present.setPen(pg.mkPen(colours.colour("stock"), width=1.6, style=dashed))
        self._curve.setPen(pg.mkPen(colours.colour("accent"), width=1.8))
        for edge in (self._low, self._high):
            edge.setPen(pg.mkPen(colours.colour("line"), width=1.0))
        self._band.setBrush(colours.colour("accent_tint"))
        self._zero.setPen(pg.mkPen(colours.colour("faint"), width=1.0))
        self._mark()
