"""Dimensions of the picture: seat heights, the change, gaps, spans and callouts.

Owns lines, arrows and written lengths over the drawing. Refuses the drawing itself.
"""

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from fitplanner.outline import Change, Scene
from fitplanner.ui.picture.layout import CHANGE_TAIL, FormatLength, Layout, told_value, wrapped
from fitplanner.ui.picture.palette import Palette

LEAST_CHANGE_MM = 0.05
DASH = [5.0, 3.5]
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
CENTRE = Qt.AlignmentFlag.AlignCenter


def change_text(change: Change, write: FormatLength) -> str:
    """How far the seat moved, in words: by as much as both heights written beside it differ."""
    if abs(change.value_mm) < LEAST_CHANGE_MM:
        return change.same
    high, low = sorted((change.before_mm, change.after_mm), reverse=True)
    pattern = change.lower if change.value_mm > 0 else change.higher
    return pattern.format(write(high, low))


def paint_dimensions(
    painter: QPainter, layout: Layout, colours: Palette, scene: Scene, write: FormatLength
) -> None:
    """Write everything that a scene measures."""
    _heights(painter, layout, colours, scene)
    _change(painter, layout, colours, scene, write)
    _gaps(painter, layout, colours, scene, write)
    _spans(painter, layout, colours, scene, write)
    _arcs(painter, layout, colours, scene)
    _callouts(painter, layout, colours, scene, write)


def _arrow(painter: QPainter, tip: QPointF, down: bool, colour: QColor, size: float = 4.0) -> None:
    """A filled head whose point touches `tip`."""
    back = -2.2 * size if down else 2.2 * size
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QBrush(colour))
    painter.drawPolygon(QPolygonF([tip, tip + QPointF(size, back), tip + QPointF(-size, back)]))


def _heights(painter: QPainter, layout: Layout, colours: Palette, scene: Scene) -> None:
    """Both seat heights on the left rail, with their lines from the seat."""
    if not scene.heights:
        return
    ground = layout.ground_y
    middles = _middles(layout, [layout.at(*height.point).y() for height in scene.heights])
    for column, height, middle in zip(layout.columns, scene.heights, middles, strict=True):
        seat = layout.at(*height.point)
        style = colours.ghost if column.before else colours.ink
        pen = QPen(style, 1.2)
        if column.before:
            pen.setDashPattern(DASH)
        # opaque, as see-through lines that run down are slow to draw
        halo = QPen(colours.paper, 2.8)
        left = QPointF(column.line_x - 5, seat.y())
        painter.setPen(halo)
        painter.drawLine(left, seat)
        painter.drawLine(QPointF(column.line_x, ground), QPointF(column.line_x, seat.y()))
        painter.setPen(pen)
        painter.drawLine(left, seat)
        painter.drawLine(QPointF(column.line_x, ground), QPointF(column.line_x, seat.y()))
        _arrow(painter, QPointF(column.line_x, seat.y()), False, style)
        _arrow(painter, QPointF(column.line_x, ground), True, style)
        _seat_mark(painter, seat, colours, column.before)
        _told(
            painter, layout, QPointF(column.text_x, middle), column.label, column.value,
            colours, RIGHT, style,
        )  # fmt: skip


def _middles(layout: Layout, seats: list[float]) -> list[float]:
    """How high the text of each height stands; one over the other they keep apart."""
    low = min(layout.ground_y, layout.rect.bottom())
    middles = []
    for column, seat in zip(layout.columns, seats, strict=True):
        high = max(seat, layout.header.bottom() + 20)
        middles.append(high + column.text_share * max(low - high, 0.0))
    if len(middles) == 2 and layout.columns[0].text_x == layout.columns[1].text_x:
        lacking = max(2 * layout.metrics.height() - (middles[1] - middles[0]), 0.0)
        # more of it downward: the text of the change may stand over the upper one
        middles = [middles[0] - 0.2 * lacking, middles[1] + 0.8 * lacking]
    return middles


def _seat_mark(painter: QPainter, at: QPointF, colours: Palette, before: bool) -> None:
    painter.setPen(QPen(colours.halo, 2.4))
    painter.setBrush(colours.paper if before else colours.ink)
    painter.drawEllipse(at, 4.4, 4.4)
    painter.setPen(QPen(colours.ghost if before else colours.ink, 1.4))
    painter.drawEllipse(at, 3.4, 3.4)


def _told(
    painter: QPainter,
    layout: Layout,
    at: QPointF,
    label: str,
    value: str,
    colours: Palette,
    align: Qt.AlignmentFlag,
    colour: QColor,
) -> None:
    """A quiet label of one or more lines over a bold value, about `at`'s height."""
    step = layout.metrics.height()
    lines = [(row, layout.font, colours.quiet) for row in label.split("\n")]
    lines.append((value, layout.bold, colour))
    top = at.y() - 0.5 * step * len(lines)
    for row, (text, font, ink) in enumerate(lines):
        width = QFontMetricsF(font).horizontalAdvance(text) + 2
        x = at.x() - width if align == RIGHT else at.x()
        box = QRectF(x, top + row * step, width, step)
        painter.fillRect(box.adjusted(-2, 0, 2, 0), colours.halo)
        painter.setFont(font)
        painter.setPen(ink)
        painter.drawText(box, align, text)


def _change(
    painter: QPainter, layout: Layout, colours: Palette, scene: Scene, write: FormatLength
) -> None:
    """The drop: an arrow from level to level, its text over it in the free air."""
    change = scene.change
    if change is None:
        return
    x = layout.change_x
    start, end = layout.at(*change.start).y(), layout.at(*change.end).y()
    text = change_text(change, write)
    down = end >= start
    head = 5.0
    tail = min(start, end) - CHANGE_TAIL if down else max(start, end) + CHANGE_TAIL
    if abs(change.value_mm) >= LEAST_CHANGE_MM:
        painter.setPen(QPen(colours.change, 2.4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
        stem_end = end - head * 1.8 if down else end + head * 1.8
        painter.drawLine(QPointF(x, tail), QPointF(x, stem_end))
        _arrow(painter, QPointF(x, end), down, colours.change, head)
    width = QFontMetricsF(layout.bold).horizontalAdvance(text) + 4
    step = layout.metrics.height()
    top = min(tail, start, end) - step - 2
    box = QRectF(max(x + 8 - width, layout.rect.left() + 4), top, width, step)
    painter.fillRect(box, colours.halo)
    painter.setFont(layout.bold)
    painter.setPen(colours.change)
    painter.drawText(box, CENTRE, text)


def _gaps(
    painter: QPainter, layout: Layout, colours: Palette, scene: Scene, write: FormatLength
) -> None:
    """Heel lift or air under the boot; the text stands in the ground, clear of everything."""
    for gap in scene.gaps:
        foot, ground = layout.at(*gap.foot), layout.ground_y
        x = layout.at(gap.text_x, 0.0).x()
        painter.setPen(QPen(colours.halo, 3.2))
        painter.drawLine(foot, QPointF(x + 5, foot.y()))
        painter.setPen(QPen(colours.change, 1.4))
        painter.drawLine(foot, QPointF(x + 5, foot.y()))
        painter.drawLine(QPointF(x, foot.y() - 16), QPointF(x, ground + 8))
        _arrow(painter, QPointF(x, foot.y()), True, colours.change, 3.6)
        _arrow(painter, QPointF(x, ground), False, colours.change, 3.6)
        text = gap.pattern.format(write(gap.value_mm))
        width = QFontMetricsF(layout.bold).horizontalAdvance(text) + 4
        left = min(max(x - 0.5 * width, layout.rect.left() + 4), layout.rect.right() - width - 4)
        painter.setFont(layout.bold)
        painter.setPen(colours.change)
        painter.drawText(QRectF(left, ground + 10, width, layout.metrics.height()), CENTRE, text)


def _spans(
    painter: QPainter, layout: Layout, colours: Palette, scene: Scene, write: FormatLength
) -> None:
    """Distances, each beside what it measures."""
    for span in scene.spans:
        start, end = layout.at(*span.start), layout.at(*span.end)
        long = math.hypot(end.x() - start.x(), end.y() - start.y())
        along = QPointF((end.x() - start.x()) / long, (end.y() - start.y()) / long)
        aside = QPointF(-along.y(), along.x())
        off = aside * (span.below_mm * layout.scale)
        a, b = start + off, end + off
        lines = [(start, a + aside * 4), (end, b + aside * 4), (a, b)]
        for pen in (QPen(colours.halo, 3.0), QPen(colours.ink, 1.2)):
            painter.setPen(pen)
            for first, last in lines:
                painter.drawLine(first, last)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colours.ink)
        for tip, way in ((a, along), (b, along * -1.0)):
            back = tip + way * 8
            painter.drawPolygon(QPolygonF([tip, back + aside * 3.4, back - aside * 3.4]))
        # a figure stays with its unit
        value = write(span.value_mm).replace(" ", "\u00a0", 1)
        _span_text(painter, layout, colours, (a + b) * 0.5, span.pattern.format(value))


def _span_text(
    painter: QPainter, layout: Layout, colours: Palette, middle: QPointF, text: str
) -> None:
    """The written length under its line, between the rails, in more rows where it must be."""
    metrics = QFontMetricsF(layout.bold)
    rail = max((column.line_x for column in layout.columns), default=layout.rect.left()) + 6
    room = 2 * min(middle.x() - rail, layout.right_x - 6 - middle.x())
    painter.setFont(layout.bold)
    for row, line in enumerate(wrapped(text, metrics, room - 8).split("\n")):
        width = metrics.horizontalAdvance(line) + 8
        top = middle.y() + 6 + row * metrics.height()
        box = QRectF(middle.x() - 0.5 * width, top, width, metrics.height())
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colours.halo)
        painter.drawRoundedRect(box, 3, 3)
        painter.setPen(colours.ink)
        painter.drawText(box, CENTRE, line)


def _arcs(painter: QPainter, layout: Layout, colours: Palette, scene: Scene) -> None:
    """Angles from the vertical, before dashed: one vertical, and each leg with its arc."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for arc in scene.arcs:
        ink = colours.ghost if arc.time == "before" else colours.change
        pen = QPen(ink, 1.3 if arc.time == "before" else 1.8)
        if arc.time == "before":
            pen.setDashPattern(DASH)
        (y, z), far = arc.apex, arc.radius_mm
        apex, top = layout.at(y, z), layout.at(y, z + far + 20.0)
        reach = far + 20.0
        end = layout.at(y + reach * math.sin(arc.angle_rad), z + reach * math.cos(arc.angle_rad))
        radius = far * layout.scale
        box = QRectF(apex.x() - radius, apex.y() - radius, 2 * radius, 2 * radius)
        painter.setPen(QPen(colours.ground_line, 1.0))
        painter.drawLine(apex, top)
        painter.setPen(pen)
        painter.drawLine(apex, end)
        # sixteenths of a degree, anticlockwise from three o'clock
        painter.drawArc(box, 90 * 16, -round(math.degrees(arc.angle_rad) * 16))


def _callouts(
    painter: QPainter, layout: Layout, colours: Palette, scene: Scene, write: FormatLength
) -> None:
    """Lengths told on the right, kept apart, each with a leader to its point."""
    free = layout.legend_row.bottom() + 6
    for call, label in zip(scene.callouts, layout.call_labels, strict=True):
        point = layout.at(*call.point)
        half = 0.5 * layout.metrics.height() * (label.count("\n") + 2)
        y = max(point.y(), free + half)
        free = y + half + 8
        start = QPointF(layout.right_x - 4, y)
        for colour, width in ((colours.halo, 3.0), (colours.change, 1.1)):
            painter.setPen(QPen(colour, width))
            painter.drawLine(start, point)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colours.change)
        painter.drawEllipse(point, 3.0, 3.0)
        _told(
            painter, layout, QPointF(layout.right_x, y), label, told_value(call, write),
            colours, LEFT, colours.ink,
        )  # fmt: skip
