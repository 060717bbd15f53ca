"""Where things stand on the picture, in pixels.

Owns the split of a rectangle into header, rails, drawing and ground strip, and the transform
from world mm to pixels. Refuses painting.
"""

from dataclasses import dataclass, field
from typing import Protocol

from PySide6.QtCore import QLocale, QPointF, QRectF
from PySide6.QtGui import QFont, QFontMetricsF, QTransform

from fitplanner.outline import Callout, Scene


class FormatLength(Protocol):
    """Writes a length; what `less_mm` shows is taken off what `value_mm` shows."""

    def __call__(self, value_mm: float, less_mm: float = 0.0, /) -> str: ...


PAD = 12.0
CHANGE_TAIL = 16.0


@dataclass(frozen=True)
class Camera:
    """How the user looks at the picture: zoom about the middle, then a shift in pixels."""

    zoom: float = 1.0
    shift: QPointF = field(default_factory=QPointF)


@dataclass(frozen=True, eq=False)
class Column:
    """One height on the left rail: text right-aligned at `text_x`, `text_share` down its line."""

    line_x: float
    text_x: float
    text_share: float
    label: str
    value: str
    before: bool


@dataclass(frozen=True, eq=False)
class Layout:
    """The finished arrangement; `world` carries mm (z already flipped) to pixels."""

    rect: QRectF
    font: QFont
    bold: QFont
    metrics: QFontMetricsF
    header: QRectF
    legend_row: QRectF
    columns: tuple[Column, ...]
    call_labels: tuple[str, ...]
    change_x: float
    right_x: float
    middle: QPointF
    world: QTransform
    scale: float

    def at(self, x: float, z: float) -> QPointF:
        """World point in pixels."""
        return self.world.map(QPointF(x, -z))

    @property
    def ground_y(self) -> float:
        """Pixel height of the ground."""
        return self.world.map(QPointF(0.0, 0.0)).y()


def fonts(base: QFont, size_px: float) -> tuple[QFont, QFont]:
    """Plain and bold font of a pixel size."""
    plain, bold = QFont(base), QFont(base)
    for font in (plain, bold):
        font.setPixelSize(max(round(size_px), 6))
    bold.setBold(True)
    return plain, bold


def text_size(rect: QRectF) -> float:
    """Text height in pixels that a rectangle asks for: readable when small, calm when large."""
    return min(max(min(rect.height() / 27.0, rect.width() / 46.0), 11.0), 16.0)


def told_value(call: Callout, write: FormatLength) -> str:
    """What a callout tells, written out; degrees are the same in every system of units."""
    if call.measure == "angle":
        return f"{call.value:.1f}°".replace(".", QLocale().decimalPoint())
    return write(call.value)


def wrapped(text: str, metrics: QFontMetricsF, width: float) -> str:
    """Text broken at its spaces so that its lines stay within `width` where words allow."""
    rows: list[str] = []
    for word in text.split(" "):
        if rows and metrics.horizontalAdvance(f"{rows[-1]} {word}") <= width:
            rows[-1] = f"{rows[-1]} {word}"
        else:
            rows.append(word)
    return "\n".join(rows)


def _rail(widths: list[float], *, stacked: bool) -> tuple[list[tuple[float, float, float]], float]:
    """Line, text end and text share of each height, and where the rail ends.

    Side by side where there is room, else the texts one over the other before both lines.
    """
    lines: list[tuple[float, float, float]] = []
    x = 0.0
    if stacked and len(widths) > 1:
        text_x = max(widths)
        for i in range(len(widths)):
            lines.append((text_x + 10 + 14 * i, text_x, 0.27 + 0.48 * i))
        return lines, lines[-1][0] + 8
    for width in widths:
        lines.append((x + width + 8, x + width, 0.5))
        x += width + 24
    return lines, x


def arrange(
    rect: QRectF, scene: Scene, format_length: FormatLength, base: QFont, camera: Camera
) -> Layout:
    """Arrange a scene in a rectangle of at least some 200 x 150 pixels."""
    size = text_size(rect)
    plain, bold = fonts(base, size)
    small, strong = QFontMetricsF(plain), QFontMetricsF(bold)
    line = small.height()

    legend = small.horizontalAdvance(scene.words.before + scene.words.after) + 120
    rows = 0
    if scene.title:
        rows += 1
    two_rows = (
        scene.before and strong.horizontalAdvance(scene.title) + legend > rect.width() - 3 * PAD
    )
    if scene.before and (two_rows or not scene.title):
        rows += 1
    header = QRectF(rect.left() + PAD, rect.top() + 8, rect.width() - 2 * PAD, line)
    legend_row = header.translated(0, line + 3 if two_rows and scene.title else 0)
    top = rect.top() + 8 + rows * (line + 3) + 8
    bottom = rect.bottom() - (line + 14)

    texts = [(h.label, format_length(h.value_mm)) for h in scene.heights]
    widths = [max(small.horizontalAdvance(a), strong.horizontalAdvance(b)) for a, b in texts]
    labels = tuple(wrapped(c.label, small, 7.5 * size) for c in scene.callouts)
    told = [small.horizontalAdvance(row) for label in labels for row in label.split("\n")]
    told += [strong.horizontalAdvance(told_value(c, format_length)) for c in scene.callouts]
    right = max(told) + 30 if told else PAD

    box = scene.bounds
    room_h = max(bottom - top, 40.0)
    for stacked in (False, True):
        lines, ends = _rail(widths, stacked=stacked)
        left = ends + (34 if scene.change else 8)
        room_w = max(rect.width() - left - right - 2 * PAD, 40.0)
        if room_w / box.width_mm >= room_h / max(box.top, 1.0):
            break
    scale = min(room_w / box.width_mm, room_h / max(box.top, 1.0))
    if scene.change is not None:
        # the text of the change stands over both heights
        highest = max(scene.change.start[1], scene.change.end[1], 1.0)
        scale = min(scale, max(room_h - CHANGE_TAIL - line - 4, 40.0) / highest)
    group = left + box.width_mm * scale + right
    start = rect.left() + max(0.5 * (rect.width() - group), PAD)
    origin = QPointF(start + left - box.left * scale, bottom)

    world = QTransform()
    middle = QPointF(start + left + 0.5 * box.width_mm * scale, 0.5 * (top + bottom))
    world.translate(middle.x() + camera.shift.x(), middle.y() + camera.shift.y())
    world.scale(camera.zoom, camera.zoom)
    world.translate(origin.x() - middle.x(), origin.y() - middle.y())
    world.scale(scale, scale)
    return Layout(
        rect=rect,
        font=plain,
        bold=bold,
        metrics=small,
        header=header,
        legend_row=legend_row,
        columns=tuple(
            Column(start + x, start + text_x, share, label, value, height.time == "before")
            for (x, text_x, share), (label, value), height in zip(
                lines, texts, scene.heights, strict=True
            )
        ),
        call_labels=labels,
        change_x=start + ends + 8,
        right_x=start + left + box.width_mm * scale + 24,
        middle=middle,
        world=world,
        scale=scale * camera.zoom,
    )
