"""Paints a scene on any painter: window, image, PDF.

Owns how a scene looks. Before is a dashed outline without fill, after is filled: the picture
reads the same in grey. Refuses to compute a figure: it writes what the scene carries.
"""

from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QBrush,
    QFont,
    QFontMetricsF,
    QImage,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QTransform,
)

from fitplanner.outline import Form, Place, Role, Scene, Shape
from fitplanner.ui.picture.dimensions import DASH, LEFT, change_text, paint_dimensions
from fitplanner.ui.picture.layout import Camera, FormatLength, Layout, arrange, told_value
from fitplanner.ui.picture.palette import Palette, palette
from fitplanner.ui.picture.paths import KEPT_FORMS, form_path, ghost_of, transform_of

# pixels of dash and gap, and how far two lines of a pixel part to look like one of 1.3
GHOST_DASH = [7.8, 3.3]
GHOST_ASIDE = 0.15
# stuff that stands out without a drawn edge
PLAIN: frozenset[Role] = frozenset(
    {"tyre", "trousers", "jacket", "jacket_trim", "glove", "sole", "trim", "dark_metal"}
)


def plain_mm(value_mm: float, less_mm: float = 0.0) -> str:
    """Whole millimetres."""
    return f"{round(value_mm) - round(less_mm)} mm"


def paint_scene(
    painter: QPainter,
    rect: QRectF,
    scene: Scene,
    *,
    format_length: FormatLength = plain_mm,
    dark: bool = False,
    camera: Camera | None = None,
) -> None:
    """Paint a scene into `rect`, whose unit is one screen pixel: scale the painter for print."""
    colours = palette(dark)
    layout = arrange(rect, scene, format_length, painter.font(), camera or Camera())
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setClipRect(rect, Qt.ClipOperation.IntersectClip)
    painter.fillRect(rect, colours.paper)
    _ground(painter, layout, colours)
    # the silhouette stands behind, where it shows what moved; seat and soles also over the after
    if scene.before:
        _ghost(painter, layout, colours, ghost_of(scene).silhouette, halo=False)
    paint_shapes(painter, layout.world, colours, scene.after)
    if scene.before:
        _ghost(painter, layout, colours, ghost_of(scene).over, halo=True)
    if scene.leg_line is not None:
        _leg_line(painter, layout, colours, scene)
    paint_dimensions(painter, layout, colours, scene, format_length)
    _header(painter, layout, colours, scene)
    painter.restore()


def render_to_image(
    scene: Scene,
    size: QSize,
    dark: bool = False,
    *,
    format_length: FormatLength = plain_mm,
    device_pixel_ratio: float = 1.0,
    font: QFont | None = None,
) -> QImage:
    """The scene as an image of `size` logical pixels."""
    image = QImage(size * device_pixel_ratio, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(device_pixel_ratio)
    painter = QPainter(image)
    if font is not None:
        painter.setFont(font)
    rect = QRectF(0, 0, size.width(), size.height())
    paint_scene(painter, rect, scene, format_length=format_length, dark=dark)
    painter.end()
    return image


def _ground(painter: QPainter, layout: Layout, colours: Palette) -> None:
    y = layout.ground_y
    below = QRectF(layout.rect.left(), y, layout.rect.width(), max(layout.rect.bottom() - y, 0.0))
    painter.fillRect(below, colours.ground)
    painter.setPen(QPen(colours.ground_line, 1.4))
    painter.drawLine(QPointF(layout.rect.left(), y), QPointF(layout.rect.right(), y))


@lru_cache(maxsize=2 * KEPT_FORMS)
def _dressed(form: Form, colours: Palette) -> tuple[QPainterPath, QPen, QBrush]:
    """A form's path with the pen and the brush that it is drawn with."""
    path, colour = form_path(form), colours.fill[form.role]
    if form.kind == "line":
        cap, join = Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.BevelJoin
        pen = QPen(colour, form.width_mm, Qt.PenStyle.SolidLine, cap, join)
        return path, pen, QBrush(Qt.BrushStyle.NoBrush)
    if not form.contour or form.role in PLAIN:
        return path, QPen(Qt.PenStyle.NoPen), QBrush(colour)
    edge = QPen(colours.edge, 0.8)
    edge.setCosmetic(True)
    return path, edge, QBrush(colour)


def paint_shapes(
    painter: QPainter, to_pixels: QTransform, colours: Palette, shapes: tuple[Shape, ...]
) -> None:
    """Paint shapes where `to_pixels` carries mm, z already flipped."""
    painter.save()
    world = to_pixels * painter.transform()
    here: Place | None = None
    for form, place in shapes:
        if place is not here:
            painter.setTransform(transform_of(place) * world)
            here = place
        path, pen, brush = _dressed(form, colours)
        painter.setPen(pen)
        painter.setBrush(brush)
        painter.drawPath(path)
    painter.restore()


def _ghost(
    painter: QPainter, layout: Layout, colours: Palette, path: QPainterPath, *, halo: bool
) -> None:
    """A dashed outline without fill, for what was before."""
    painter.save()
    world = layout.world * painter.transform()
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if halo:
        pen = QPen(colours.paper, 2.8)
        pen.setCosmetic(True)
        painter.setPen(pen)
        painter.setTransform(world)
        painter.drawPath(path)
    # a line of one pixel is drawn many times faster than a wider one: two, a little apart
    pen = QPen(colours.ghost, 1.0)
    pen.setCosmetic(True)
    pen.setDashPattern(GHOST_DASH)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.setPen(pen)
    for aside in (-GHOST_ASIDE, GHOST_ASIDE):
        painter.setTransform(world * QTransform.fromTranslate(aside, aside))
        painter.drawPath(path)
    painter.restore()


def _leg_line(painter: QPainter, layout: Layout, colours: Palette, scene: Scene) -> None:
    line = scene.leg_line
    if line is None:
        return
    points = QPolygonF([layout.at(float(y), float(z)) for y, z in line])
    for colour, width in ((colours.halo, 6.0), (colours.change, 2.6)):
        painter.setPen(
            QPen(
                colour,
                width,
                Qt.PenStyle.SolidLine,
                Qt.PenCapStyle.FlatCap,
                Qt.PenJoinStyle.RoundJoin,
            )
        )
        painter.drawPolyline(points)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colours.change)
    for point in points.toList()[:2]:
        painter.drawEllipse(point, 3.6, 3.6)
    end = points.toList()[-1]
    painter.setPen(QPen(colours.change, 2.6))
    painter.drawLine(end + QPointF(-7, 0), end + QPointF(7, 0))


def _header(painter: QPainter, layout: Layout, colours: Palette, scene: Scene) -> None:
    """Title on the left, legend on the right or a line lower."""
    own_row = layout.legend_row.top() > layout.header.top()
    words = scene.words
    advance = layout.metrics.horizontalAdvance
    width = advance(words.before) + advance(words.after) + 104 if scene.before else 0.0
    room = layout.header.width() - (0.0 if own_row else width + 12)
    title = QFontMetricsF(layout.bold).elidedText(scene.title, Qt.TextElideMode.ElideRight, room)
    painter.setFont(layout.bold)
    painter.setPen(colours.ink)
    painter.drawText(layout.header, LEFT, title)
    if not scene.before:
        return
    row = layout.legend_row
    x = row.left() if own_row else row.right() - width
    middle = row.center().y()
    pen = QPen(colours.ghost, 1.5)
    pen.setDashPattern(DASH)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(QRectF(x, middle - 5, 30, 10), 3, 3)
    painter.setFont(layout.font)
    painter.setPen(colours.ink)
    painter.drawText(
        QRectF(x + 37, row.top(), advance(words.before) + 2, row.height()), LEFT, words.before
    )
    x += 37 + advance(words.before) + 20
    painter.setPen(QPen(colours.edge, 0.8))
    painter.setBrush(colours.fill["plastic"])
    painter.drawRoundedRect(QRectF(x, middle - 5, 30, 10), 3, 3)
    painter.setPen(colours.ink)
    painter.drawText(
        QRectF(x + 37, row.top(), advance(words.after) + 2, row.height()), LEFT, words.after
    )


def describe(scene: Scene, format_length: FormatLength = plain_mm) -> str:
    """The picture in words, for those who do not see it."""
    words = scene.words
    said = [scene.title + "." if scene.title else ""]
    said.append(words.side_view if scene.view == "side" else words.front_view)
    said += [f"{h.label}: {format_length(h.value_mm)}." for h in scene.heights]
    if scene.change is not None:
        said.append(change_text(scene.change, format_length) + ".")
    said += [g.pattern.format(format_length(g.value_mm)) + "." for g in scene.gaps]
    said += [s.pattern.format(format_length(s.value_mm)) + "." for s in scene.spans]
    said += [f"{c.label}: {told_value(c, format_length)}." for c in scene.callouts]
    if scene.flat_feet:
        said.append(words.said_flat)
    return " ".join(s for s in said if s)
