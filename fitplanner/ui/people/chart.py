"""Owns the chart of stature against inside leg: groups of people, lines of reach, one rider.

It paints the same on screen, clipboard and paper. Groups differ by dashes and the shape of their
middle, lines by the letter that they carry. Refuses to compute: all points are given, in mm.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from fitplanner.quantities import Kind, UnitSystem, display_unit
from fitplanner.ui.theme import Colours
from fitplanner.ui.widgets.figures import Figures

_Points = NDArray[np.float64]
_STEPS = {UnitSystem.INCH: 2.0}
_STEP = 50.0
_BADGE, _APART, _BAR = 17.0, 23.0, 11.0
_DASHES = {"women": Qt.PenStyle.SolidLine, "men": Qt.PenStyle.DashLine}


@dataclass(frozen=True)
class Group:
    """One group: `key` "women" or "men", its middle, and the lines that hold a share of it."""

    key: str
    words: str
    middle: tuple[float, float]
    outlines: Sequence[tuple[_Points, _Points]]


@dataclass(frozen=True)
class Reach:
    """The legs that reach under one setup, a piece for each group; `half_mm` of the picked one."""

    letter: str
    pieces: Sequence[tuple[_Points, _Points]]
    stock: bool = False
    picked: bool = False
    half_mm: float = 0.0


@dataclass(frozen=True)
class Person:
    """The rider of the job, with the band of the inside leg.

    `needed_mm`: the leg that would reach at the rider's own mass, under the setup picked; `needed`
    says so.
    """

    words: str
    stature_mm: float
    leg_mm: float
    low_mm: float
    high_mm: float
    needed_mm: float | None = None
    needed: str = ""

    def needs(self) -> tuple[float, ...]:
        """The needed leg, where there is one."""
        return () if self.needed_mm is None else (self.needed_mm,)


@dataclass(frozen=True)
class Chart:
    """Everything drawn; `x`, `y` name the axes."""

    groups: Sequence[Group]
    lines: Sequence[Reach]
    person: Person | None
    x: str
    y: str
    above: str

    def range_mm(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """What is shown: the widest outlines, and the rider."""
        ends = []
        for axis in (0, 1):
            values = np.concatenate(
                [outline[axis] for group in self.groups for outline in group.outlines]
            )
            low, high = float(values.min()), float(values.max())
            if self.person is not None:
                place = (
                    (self.person.stature_mm,) * 2
                    if axis == 0
                    else (self.person.low_mm, self.person.high_mm, *self.person.needs())
                )
                low, high = min(low, *place), max(high, *place)
            spare = 0.04 * (high - low)
            ends.append((low - spare, high + spare))
        return ends[0], ends[1]


class ChartPainter:
    """Paints one chart within a rectangle; lengths in the painter's units."""

    def __init__(
        self, painter: QPainter, rect: QRectF, chart: Chart, colours: Colours, figures: Figures
    ) -> None:
        self._p = painter
        self._chart = chart
        self._colours = colours
        self._figures = figures
        self._metrics = QFontMetricsF(painter.font())
        line = self._metrics.height()
        wide = self._metrics.horizontalAdvance("0000")
        self._box = rect.adjusted(wide + line + 10, 6, -10, -2 * line - 10)
        self._x, self._y = chart.range_mm()

    def paint(self) -> None:
        """Paint it all."""
        self._p.save()
        self._p.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._axes()
        self._p.setClipRect(self._box)
        for group in self._chart.groups:
            self._group(group)
        for line in self._chart.lines:
            self._band(line)
        for line in self._chart.lines:
            self._line(line)
        for number, line in enumerate(self._chart.lines):
            self._badge(line, number)
        if self._chart.person is not None:
            self._person(self._chart.person)
        for group in self._chart.groups:
            self._middle(group)
        self._p.restore()

    def at(self, stature_mm: float, leg_mm: float) -> QPointF:
        """Where a body stands."""
        (x0, x1), (y0, y1), box = self._x, self._y, self._box
        return QPointF(
            box.left() + (stature_mm - x0) / (x1 - x0) * box.width(),
            box.bottom() - (leg_mm - y0) / (y1 - y0) * box.height(),
        )

    def _path(self, points: tuple[_Points, _Points], *, closed: bool = False) -> QPainterPath:
        known = np.isfinite(points[0]) & np.isfinite(points[1])
        pairs = zip(points[0][known].tolist(), points[1][known].tolist(), strict=True)
        path = QPainterPath()
        for x, y in pairs:
            # The first point begins the path.
            if path.elementCount():
                path.lineTo(self.at(x, y))
            else:
                path.moveTo(self.at(x, y))
        if closed and path.elementCount():
            path.closeSubpath()
        return path

    def _pen(self, role: str, width: float, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
        pen = QPen(self._colours.colour(role), width, style)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        return pen

    def _axes(self) -> None:
        p, box, line = self._p, self._box, self._metrics.height()
        system = self._figures.system
        factor = display_unit(Kind.LENGTH, system).factor
        step = _STEPS.get(system, _STEP)
        p.setBrush(Qt.BrushStyle.NoBrush)
        for low, high, level in ((*self._x, False), (*self._y, True)):
            for count in range(ceil(low / factor / step), floor(high / factor / step) + 1):
                value = count * step
                place = self.at(value * factor, value * factor)
                p.setPen(self._pen("line", 0.7))
                text = f"{value:g}"
                p_text = self._colours.colour("faint")
                if level:
                    p.drawLine(QPointF(box.left(), place.y()), QPointF(box.right(), place.y()))
                    p.setPen(p_text)
                    room = QRectF(box.left() - 90, place.y() - line / 2, 84, line)
                    p.drawText(room, Qt.AlignmentFlag.AlignRight | _MIDDLE, text)
                else:
                    p.drawLine(QPointF(place.x(), box.top()), QPointF(place.x(), box.bottom()))
                    p.setPen(p_text)
                    room = QRectF(place.x() - 40, box.bottom() + 4, 80, line)
                    p.drawText(room, Qt.AlignmentFlag.AlignHCenter | _MIDDLE, text)
        p.setPen(self._colours.colour("text"))
        under = QRectF(box.left(), box.bottom() + line + 6, box.width(), line)
        p.drawText(under, Qt.AlignmentFlag.AlignHCenter | _MIDDLE, self._chart.x)
        p.save()
        p.translate(
            box.left() - self._metrics.horizontalAdvance("0000") - line - 6, box.center().y()
        )
        p.rotate(-90)
        beside = QRectF(-box.height() / 2, -line / 2, box.height(), line)
        p.drawText(beside, Qt.AlignmentFlag.AlignHCenter | _MIDDLE, self._chart.y)
        p.restore()
        p.setPen(self._colours.colour("faint"))
        p.drawText(box.adjusted(8, 6, 0, 0), Qt.AlignmentFlag.AlignLeft, self._chart.above)

    def _group(self, group: Group) -> None:
        self._p.setBrush(Qt.BrushStyle.NoBrush)
        for number, outline in enumerate(group.outlines):
            self._p.setPen(self._pen("stock", 1.9 if number == 0 else 1.1, _DASHES[group.key]))
            self._p.drawPath(self._path(outline, closed=True))

    def _middle(self, group: Group) -> None:
        p, at, side = self._p, self.at(*group.middle), 5.0
        p.setPen(self._pen("panel", 1.0))
        p.setBrush(self._colours.colour("text"))
        if group.key == "women":
            p.drawEllipse(at, side, side)
        else:
            p.drawRect(QRectF(at.x() - side, at.y() - side, 2 * side, 2 * side))
        self._words(group.words, at + QPointF(side + 3, -side - 1))

    def _words(self, text: str, at: QPointF) -> None:
        """Words with a quiet ground, so that lines under them do not cut them."""
        width = self._metrics.horizontalAdvance(text)
        ground = self._colours.colour("panel")
        ground.setAlpha(210)
        high = self._metrics.height()
        self._p.fillRect(
            QRectF(at.x() - 2, at.y() - self._metrics.ascent(), width + 4, high), ground
        )
        self._p.setPen(self._colours.colour("text"))
        self._p.drawText(at, text)

    def _words_beside(self, text: str, at: QPointF, away: float) -> None:
        """Words left of a mark, where the middles of the groups do not name themselves."""
        wide = self._metrics.horizontalAdvance(text)
        left = at.x() - away - wide
        x = left if left >= self._box.left() else at.x() + away
        self._words(text, QPointF(x, at.y() + self._metrics.ascent() / 2 - 1))

    def _band(self, line: Reach) -> None:
        if not line.picked or line.half_mm <= 0.0:
            return
        ground = self._colours.colour("accent_tint")
        ground.setAlpha(190)
        self._p.setPen(Qt.PenStyle.NoPen)
        self._p.setBrush(QBrush(ground))
        for x, y in line.pieces:
            edge = (np.concatenate([x, x[::-1]]), _around(y, line.half_mm))
            self._p.drawPath(self._path(edge, closed=True))

    def _line(self, line: Reach) -> None:
        style = Qt.PenStyle.DashDotLine if line.stock else Qt.PenStyle.SolidLine
        role = "stock" if line.stock and not line.picked else "accent"
        self._p.setPen(self._pen(role, 3.0 if line.picked else 1.6, style))
        self._p.setBrush(Qt.BrushStyle.NoBrush)
        for piece in line.pieces:
            self._p.drawPath(self._path(piece))

    def _badge(self, line: Reach, number: int) -> None:
        """The letter on its line; each a step further in, so that close lines keep theirs apart."""
        x_px = self._box.right() - _BADGE - _APART * number
        share = (x_px - self._box.left()) / self._box.width()
        stature = self._x[0] + share * (self._x[1] - self._x[0])
        leg = _on(line.pieces, stature)
        if leg is None:
            return
        at = self.at(stature, leg)
        box = QRectF(at.x() - _BADGE / 2, at.y() - _BADGE / 2, _BADGE, _BADGE)
        colour = self._colours.colour("stock" if line.stock and not line.picked else "accent")
        self._p.setPen(QPen(colour, 1.4))
        filled = line.picked
        self._p.setBrush(colour if filled else self._colours.colour("panel"))
        self._p.drawRoundedRect(box, 4, 4)
        font = QFont(self._p.font())
        self._p.save()
        font.setBold(True)
        self._p.setFont(font)
        ink = self._colours.colour("on_accent") if filled else self._colours.colour("text")
        self._p.setPen(ink)
        self._p.drawText(box, Qt.AlignmentFlag.AlignCenter, line.letter)
        self._p.restore()

    def _person(self, person: Person) -> None:
        p, at = self._p, self.at(person.stature_mm, person.leg_mm)
        ink: QColor = self._colours.colour("caution")
        for leg_mm in person.needs():
            bar = self.at(person.stature_mm, leg_mm)
            p.setPen(QPen(ink, 1.2, Qt.PenStyle.DotLine))
            p.drawLine(at, bar)
            p.setPen(QPen(ink, 4.0))
            p.drawLine(bar - QPointF(_BAR, 0), bar + QPointF(_BAR, 0))
            self._words_beside(person.needed, bar, _BAR + 5)
        p.setPen(QPen(ink, 2.0))
        for end in (person.low_mm, person.high_mm):
            edge = self.at(person.stature_mm, end)
            p.drawLine(at, edge)
            p.drawLine(edge - QPointF(5, 0), edge + QPointF(5, 0))
        p.setBrush(ink)
        side = 7.0
        corners = [QPointF(0, -side), QPointF(side, 0), QPointF(0, side), QPointF(-side, 0)]
        p.setPen(self._pen("panel", 1.0))
        p.drawPolygon(QPolygonF([at + each for each in corners]))
        self._words_beside(person.words, at, side + 5)


_MIDDLE = Qt.AlignmentFlag.AlignVCenter


def _around(y: _Points, half: float) -> _Points:
    return np.concatenate([y + half, (y - half)[::-1]])


def _on(pieces: Sequence[tuple[_Points, _Points]], stature_mm: float) -> float | None:
    """The line's leg at a stature, on the piece that is known there or nearest to it."""
    nearest: tuple[float, float] | None = None
    for x, y in pieces:
        known = np.isfinite(y)
        if not known.any():
            continue
        away = float(np.maximum(x[known].min() - stature_mm, stature_mm - x[known].max()))
        leg = float(np.interp(stature_mm, x[known], y[known]))
        if nearest is None or away < nearest[0]:
            nearest = (away, leg)
    return None if nearest is None or nearest[0] > 0.0 else nearest[1]
