"""Owns one plot: stock dashed, planned solid, single points as rings; to read, not to play with.

The plotting library costs a third of a second, so this module is imported when the first plot
is shown. Refuses to know what is drawn.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from fitplanner.planning.plan import Series
from fitplanner.quantities import Kind
from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.plot import Canvas, pg
from fitplanner.ui.widgets.text import Text

_HEIGHT = 250
_POINT = 8


@dataclass(frozen=True)
class _Look:
    """How a series is drawn: colour, line, its width, or points without a line."""

    role: str
    style: Qt.PenStyle = Qt.PenStyle.SolidLine
    width: float = 1.8
    points: bool = False


_LOOKS = {
    "stock": _Look("stock", Qt.PenStyle.DashLine, 2.6),
    "table": _Look("text", Qt.PenStyle.NoPen, points=True),
}
_PLANNED = _Look("accent")


class PlotCard(Card):
    """A plot with a title and a key; curves are told apart by the names of their series.

    The dashes of stock are wider than a solid line, so that both show where they run together.
    """

    def __init__(self, title: str, *, from_zero: bool) -> None:
        super().__init__(title)
        self._from_zero = from_zero
        self._plot = Canvas()
        self._plot.setFixedHeight(_HEIGHT)
        self._plot.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._plot.setAccessibleName(title)
        self._curves: dict[str, Any] = {}
        self._keys: dict[str, _Key] = {}
        self._key_row = QHBoxLayout()
        self._key_row.setSpacing(20)
        self._key_row.addStretch(1)
        self.body.addWidget(self._plot)
        self.body.addLayout(self._key_row)
        self._plot.recoloured.connect(self._colour)
        self._colour()

    def show_series(
        self,
        series: Sequence[tuple[str, Series]],
        x: tuple[str, Kind],
        y: tuple[str, Kind],
        figures: Figures,
    ) -> None:
        """Show series with their words; `x` and `y` name the axes and say what they measure."""
        self._plot.name_axes(figures.headed(*x), figures.headed(*y), figures.decimal_mark)
        for name in self._curves.keys() - {each.name for _, each in series}:
            self._curves[name].setData([], [])
            self._keys[name].hide()
        spans = []
        for words, each in series:
            if each.name not in self._curves:
                self._add_curve(each.name)
            xs, ys = figures.array(each.x, x[1]), figures.array(each.y, y[1])
            self._curves[each.name].setData(xs, ys)
            self._keys[each.name].words.setText(words)
            self._keys[each.name].show()
            spans.append((float(xs.max()), float(ys.min()), float(ys.max())))
        if spans:
            widest, lowest, highest = zip(*spans, strict=True)
            self._plot.setXRange(0.0, max(widest), padding=0.03)
            bottom = min(0.0, *lowest) if self._from_zero else min(lowest)
            self._plot.setYRange(bottom, max(highest), padding=0.05)

    def curve_data(self) -> dict[str, tuple[NDArray[np.float64], NDArray[np.float64]]]:
        """What is drawn, by the name of the series, in the units shown."""
        drawn = {name: curve.getData() for name, curve in self._curves.items()}
        return {name: data for name, data in drawn.items() if data[0] is not None and len(data[0])}

    def key_texts(self) -> list[str]:
        """The words of the key."""
        return [key.words.text() for key in self._keys.values() if not key.isHidden()]

    def axis_texts(self) -> list[str]:
        """The words along both axes."""
        return [axis.labelText for axis in self._plot.axes.values()]

    def _add_curve(self, name: str) -> None:
        look = _LOOKS.get(name, _PLANNED)
        self._curves[name] = self._plot.plot([], [], antialias=True)
        self._keys[name] = _Key(look)
        self._key_row.insertWidget(len(self._keys) - 1, self._keys[name])
        self._colour()

    def _colour(self) -> None:
        colours = colours_of(self.palette())
        for name, curve in self._curves.items():
            look = _LOOKS.get(name, _PLANNED)
            colour = colours.colour(look.role)
            if look.points:
                curve.setPen(None)
                curve.setSymbol("o")
                curve.setSymbolSize(_POINT)
                curve.setSymbolPen(pg.mkPen(colour, width=1.2))
                curve.setSymbolBrush(colours.colour("panel"))
            else:
                curve.setPen(pg.mkPen(colour, width=look.width, style=look.style))


class _Key(QWidget):
    """A short piece of a curve, and its words."""

    def __init__(self, look: _Look) -> None:
        super().__init__()
        self.words = Text(wrap=False)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        row.addWidget(_Sample(look), 0, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.words)


class _Sample(QWidget):
    def __init__(self, look: _Look) -> None:
        super().__init__()
        self._look = look
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(12 if self._look.points else 34, 12)

    def paintEvent(self, event: QPaintEvent) -> None:
        look, middle = self._look, self.height() / 2.0
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pen = QPen(colours_of(self.palette()).colour(look.role), look.width)
        if look.points:
            pen.setWidthF(1.2)
            painter.setPen(pen)
            painter.drawEllipse(QPointF(self.width() / 2.0, middle), _POINT / 2.0, _POINT / 2.0)
        else:
            pen.setStyle(look.style)
            painter.setPen(pen)
            painter.drawLine(QPointF(1.0, middle), QPointF(self.width() - 1.0, middle))
        painter.end()
