"""Owns one plot: stock dashed against planned solid, to read, not to play with.

The plotting library costs a third of a second, so this module is imported when the first plot
is shown. Refuses unit prefixes and rich text in names.
"""

import os
from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QFont, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

os.environ.setdefault("PYQTGRAPH_QT_LIB", "PySide6")

import pyqtgraph as pg

from fitplanner.planning.plan import Series
from fitplanner.quantities import Kind
from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.text import Text

_HEIGHT = 250
_LOOKS = (("stock", Qt.PenStyle.DashLine, 3.0), ("accent", Qt.PenStyle.SolidLine, 1.8))


class PlotCard(Card):
    """A plot with a title and a key; the first series is stock, the second planned.

    The dashes are wider than the solid line, so that both show where they run together.
    """

    def __init__(self, title: str, *, from_zero: bool) -> None:
        super().__init__(title)
        self._from_zero = from_zero
        self._axes = {side: _Axis(side) for side in ("bottom", "left")}
        self._plot = pg.PlotWidget(axisItems=self._axes)
        self._plot.setMenuEnabled(False)
        self._plot.hideButtons()
        self._plot.setMouseEnabled(x=False, y=False)
        self._plot.setFixedHeight(_HEIGHT)
        self._plot.setFrameShape(self._plot.Shape.NoFrame)
        # A wheel turn over the plot scrolls the page.
        self._plot.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._plot.setAccessibleName(title)
        self.curves = [self._plot.plot([], [], antialias=True) for _ in _LOOKS]
        self._key = [Text(wrap=False) for _ in _LOOKS]
        key = QHBoxLayout()
        key.setSpacing(8)
        for words, (role, style, width) in zip(self._key, _LOOKS, strict=True):
            key.addWidget(_Sample(role, style, width), 0, Qt.AlignmentFlag.AlignVCenter)
            key.addWidget(words)
            key.addSpacing(12)
        key.addStretch(1)
        self.body.addWidget(self._plot)
        self.body.addLayout(key)
        self._colour()

    def show_series(
        self,
        series: Sequence[Series],
        x: tuple[str, Kind],
        y: tuple[str, Kind],
        figures: Figures,
    ) -> None:
        """Show stock and planned; `x` and `y` name the axes and say what they measure."""
        for axis, (name, kind) in (("bottom", x), ("left", y)):
            self._axes[axis].show_words(figures.headed(name, kind), figures.decimal_mark)
        highest = lowest = widest = 0.0
        for curve, words, each in zip(self.curves, self._key, series, strict=True):
            xs, ys = figures.array(each.x, x[1]), figures.array(each.y, y[1])
            curve.setData(xs, ys)
            words.setText(each.name[:1].upper() + each.name[1:])
            widest = max(widest, float(xs.max()))
            highest = max(highest, float(ys.max()))
            lowest = min(lowest or highest, float(ys.min()))
        self._plot.setXRange(0.0, widest, padding=0.03)
        self._plot.setYRange(0.0 if self._from_zero else lowest, highest, padding=0.04)

    def key_texts(self) -> list[str]:
        """The words of the key."""
        return [words.text() for words in self._key]

    def axis_texts(self) -> list[str]:
        """The words along both axes."""
        return [axis.labelText for axis in self._axes.values()]

    def changeEvent(self, event: QEvent) -> None:
        """Follow the appearance."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "curves"):
            self._colour()

    def _colour(self) -> None:
        colours = colours_of(self.palette())
        self._plot.setBackground(colours.colour("panel"))
        for axis in self._axes.values():
            axis.setPen(pg.mkPen(colours.colour("line")))
            axis.setTextPen(pg.mkPen(colours.colour("faint")))
            axis.set_label_colour(colours.faint)
        for curve, (role, style, width) in zip(self.curves, _LOOKS, strict=True):
            curve.setPen(pg.mkPen(colours.colour(role), width=width, style=style))


class _Axis(pg.AxisItem):  # type: ignore[misc]
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


class _Sample(QWidget):
    """A short piece of a curve, for the key."""

    def __init__(self, role: str, style: Qt.PenStyle, width: float) -> None:
        super().__init__()
        self._role = role
        self._style = style
        self._width = width
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(34, 12)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = QPen(colours_of(self.palette()).colour(self._role), self._width)
        pen.setStyle(self._style)
        painter.setPen(pen)
        painter.drawLine(1, self.height() // 2, self.width() - 1, self.height() // 2)
        painter.end()
