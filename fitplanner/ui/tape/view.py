"""Owns the drawing of one reading: the machine with the tape from where to where, the angle gauge
against it, or the measuring glass.

Refuses figures: whoever reads the tape is not to be told what it should show.
"""

import math
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPalette,
    QPen,
    QPixmap,
    QPolygonF,
    QTransform,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from fitplanner.documents.bench import Settled
from fitplanner.outline.taping import Taping
from fitplanner.ui.picture.layout import fonts
from fitplanner.ui.picture.paint import paint_shapes
from fitplanner.ui.picture.palette import Palette, palette

_PAD = 14.0
_TAPE, _TICK, _DIAL = QColor("#f4c430"), QColor("#2b2410"), QColor("#fffdf2")
_TAPE_PX = 9.0
_SIZE = QSize(330, 212)


@dataclass(frozen=True)
class Sight:
    """What is drawn: a machine with the words at both ends of the tape, or without one the glass.

    `words` is the drawing in a sentence, for those who do not see it.
    """

    taping: Taping | None
    start: str = ""
    end: str = ""
    settled: Settled = Settled.ANYHOW
    words: str = ""


class TapeView(QWidget):
    """One drawing, as large as there is room."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sight: Sight | None = None
        self._painted: tuple[object, QPixmap] | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("How the reading is taken"))

    def show_sight(self, sight: Sight | None) -> None:
        """Draw another reading, or nothing yet."""
        self._sight = sight
        self._painted = None
        self.setAccessibleDescription("" if sight is None else sight.words)
        self.update()

    def sight(self) -> Sight | None:
        """What is drawn."""
        return self._sight

    def sizeHint(self) -> QSize:
        """Large enough to see a tape by."""
        return _SIZE

    def minimumSizeHint(self) -> QSize:
        """Still clear."""
        return QSize(220, _SIZE.height())

    def changeEvent(self, event: QEvent) -> None:
        """Follow a change of appearance or font."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._painted = None
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Show the drawing, kept until it changes."""
        ratio = self.devicePixelRatioF()
        key = (self.size(), ratio)
        if self._painted is None or self._painted[0] != key:
            self._painted = (key, self._drawn(ratio))
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._painted[1])
        painter.end()

    def _drawn(self, ratio: float) -> QPixmap:
        dark = self.palette().color(QPalette.ColorRole.Window).lightness() < 128
        colours = palette(dark)
        pixmap = QPixmap(self.size() * ratio)
        pixmap.setDevicePixelRatio(ratio)
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(fonts(self.font(), 12.0)[1])
        box = QRectF(self.rect())
        painter.fillRect(box, colours.paper)
        if self._sight is not None:
            if self._sight.taping is None:
                _glass(painter, box, colours, self._sight)
            else:
                _machine(painter, box, colours, self._sight, self._sight.taping)
        painter.end()
        return pixmap


def _machine(
    painter: QPainter, box: QRectF, colours: Palette, sight: Sight, taping: Taping
) -> None:
    seen = taping.bounds
    room = box.adjusted(_PAD, _PAD, -_PAD, -_PAD)
    scale = min(room.width() / seen.width_mm, room.height() / seen.height_mm)
    world = QTransform()
    world.translate(
        room.center().x() - scale * 0.5 * (seen.left + seen.right),
        room.center().y() + scale * 0.5 * (seen.bottom + seen.top),
    )
    world.scale(scale, scale)

    def at(point: tuple[float, float]) -> QPointF:
        return world.map(QPointF(point[0], -point[1]))

    ground = at((0.0, taping.ground_mm)).y()
    painter.fillRect(QRectF(0, ground, box.width(), box.height()), colours.ground)
    painter.setPen(QPen(colours.ground_line, 1.4))
    painter.drawLine(QPointF(0, ground), QPointF(box.width(), ground))
    if taping.stand is not None:
        left, right = taping.stand
        _carrier(painter, colours, at(left), at(right), ground)
    paint_shapes(painter, world, colours, taping.shapes)
    start, end = at(taping.start), at(taping.end)
    if taping.angle_rad is not None:
        _gauge(painter, colours, start, end, taping.angle_rad, sight, box)
        return
    _tape(painter, start, end)
    # words at the ends of a short tape keep apart
    lacking = max(24.0 - abs(end.y() - start.y()), 0.0)
    apart = QPointF(0.0, 0.5 * lacking)
    _word(painter, colours, start + apart, sight.start, box)
    _word(painter, colours, end - apart, sight.end, box)
    if sight.settled is not Settled.ANYHOW:
        down = sight.settled is Settled.PUSHED_DOWN
        _push(painter, colours, QPointF(end.x() + 34, box.top() + 12), down=down)


def _carrier(
    painter: QPainter, colours: Palette, left: QPointF, right: QPointF, ground: float
) -> None:
    """What carries the machine under its engine."""
    feet = [QPointF(right.x() + 14, ground), QPointF(left.x() - 14, ground)]
    painter.setPen(QPen(colours.ink, 1.2))
    painter.setBrush(colours.fill["frame"])
    painter.drawPolygon(QPolygonF([left, right, *feet]))


def _tape(painter: QPainter, start: QPointF, end: QPointF) -> None:
    """A tape with its marks, and a ring at both ends."""
    long = math.hypot(end.x() - start.x(), end.y() - start.y())
    if long < 1.0:
        return
    painter.save()
    painter.translate(start)
    painter.rotate(math.degrees(math.atan2(end.y() - start.y(), end.x() - start.x())))
    half = 0.5 * _TAPE_PX
    painter.setPen(QPen(_TICK, 1.2))
    painter.setBrush(_TAPE)
    painter.drawRect(QRectF(0, -half, long, _TAPE_PX))
    for number in range(1, int(long / 5.0) + 1):
        deep = 0.62 if number % 5 == 0 else 0.34
        painter.drawLine(QPointF(5.0 * number, half), QPointF(5.0 * number, half - deep * _TAPE_PX))
    painter.restore()
    painter.setPen(QPen(_TICK, 1.6))
    painter.setBrush(_TAPE)
    for point in (start, end):
        painter.drawEllipse(point, 5.0, 5.0)


def _word(painter: QPainter, colours: Palette, at: QPointF, text: str, box: QRectF) -> None:
    """A word beside an end of the tape, inside the drawing."""
    if not text:
        return
    metrics = QFontMetricsF(painter.font())
    size = metrics.horizontalAdvance(text) + 8
    x = at.x() + 12
    if x + size > box.right() - 4:
        x = at.x() - 12 - size
    y = min(
        max(at.y() - 0.5 * metrics.height(), box.top() + 2), box.bottom() - metrics.height() - 2
    )
    place = QRectF(x, y, size, metrics.height())
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colours.halo)
    painter.drawRoundedRect(place, 3, 3)
    painter.setPen(colours.ink)
    painter.drawText(place, Qt.AlignmentFlag.AlignCenter, text)


def _push(painter: QPainter, colours: Palette, top: QPointF, *, down: bool) -> None:
    """An arrow for the hand that pushes down or lifts."""
    long, head = 40.0, 11.0
    tip = QPointF(top.x(), top.y() + long) if down else top
    back = -head * 1.3 if down else head * 1.3
    tail = top if down else QPointF(top.x(), top.y() + long)
    painter.setPen(QPen(colours.change, 4.0))
    painter.drawLine(tail, tip + QPointF(0, back))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colours.change)
    painter.drawPolygon(QPolygonF([tip, tip + QPointF(head, back), tip + QPointF(-head, back)]))


def _gauge(
    painter: QPainter,
    colours: Palette,
    apex: QPointF,
    end: QPointF,
    angle: float,
    sight: Sight,
    box: QRectF,
) -> None:
    """The vertical, the machine's own line, the arc between them, and a gauge laid against it."""
    long = math.hypot(end.x() - apex.x(), end.y() - apex.y())
    dashed = QPen(colours.ink, 1.3)
    dashed.setDashPattern([5.0, 3.5])
    painter.setPen(dashed)
    painter.drawLine(apex, QPointF(apex.x(), apex.y() - long))
    painter.setPen(QPen(colours.change, 2.2))
    painter.drawLine(apex, end)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    radius = 0.9 * long
    frame = QRectF(apex.x() - radius, apex.y() - radius, 2 * radius, 2 * radius)
    painter.drawArc(frame, 90 * 16, -round(math.degrees(angle) * 16))
    painter.save()
    painter.translate(apex)
    painter.rotate(math.degrees(angle))
    painter.setPen(QPen(_TICK, 1.4))
    painter.setBrush(_TAPE)
    body = QRectF(4, -0.24 * long - 20, 26, 40)
    painter.drawRoundedRect(body, 4, 4)
    painter.setBrush(_DIAL)
    painter.drawEllipse(body.center(), 9, 9)
    painter.restore()
    # the needle hangs plumb
    turned = QTransform().translate(apex.x(), apex.y()).rotate(math.degrees(angle))
    middle = turned.map(body.center())
    painter.setPen(QPen(_TICK, 2.0))
    painter.drawLine(middle, middle - QPointF(0, 8))
    _word(painter, colours, end, sight.end, box)
    _word(painter, colours, apex, sight.start, box)


def _glass(painter: QPainter, box: QRectF, colours: Palette, sight: Sight) -> None:
    """A measuring glass, oil in it, the eye's level at its surface."""
    high = box.height() - 56
    glass = QRectF(box.center().x() - 0.38 * high, box.top() + 22, 0.38 * high, high)
    surface = glass.top() + 0.36 * high
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colours.fill["spring"])
    painter.drawRoundedRect(
        QRectF(glass.left() + 3, surface, glass.width() - 6, glass.bottom() - surface - 4), 5, 5
    )
    outline = QPainterPath(glass.topLeft() + QPointF(-9, -4))
    outline.lineTo(glass.topLeft())
    outline.lineTo(glass.bottomLeft())
    outline.lineTo(glass.bottomRight())
    outline.lineTo(glass.topRight())
    painter.setPen(QPen(colours.ink, 2.2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(outline)
    painter.drawLine(glass.bottomLeft() + QPointF(-16, 2), glass.bottomRight() + QPointF(16, 2))
    painter.setPen(QPen(colours.ink, 1.2))
    for number in range(1, 20):
        y = glass.bottom() - number * 0.047 * high
        wide = 0.34 if number % 5 == 0 else 0.18
        painter.drawLine(
            QPointF(glass.right() - wide * glass.width(), y), QPointF(glass.right() - 2, y)
        )
    pen = QPen(colours.change, 1.8)
    pen.setDashPattern([5.0, 3.5])
    painter.setPen(pen)
    painter.drawLine(QPointF(glass.left() - 34, surface), QPointF(glass.right() + 44, surface))
    _word(painter, colours, QPointF(glass.right() + 34, surface), sight.end, box)
