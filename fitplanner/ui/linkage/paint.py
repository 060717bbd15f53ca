"""Owns how the parts of a linkage are painted, from the places of its joints on the screen.

Refuses places in mm, and to know which joint is picked.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from fitplanner.quantities import Kind, UnitSystem, from_display, unit_label
from fitplanner.ui.theme import Colours

FRAME = "pivot"
"""The key of the swing-arm pivot."""
HANDLE = 9.0
_FAINT = 0.30
_COILS = 7

Places = Mapping[str, QPointF]


@dataclass(frozen=True)
class Look:
    """Colours, full or standing behind."""

    colours: Colours
    faint: bool = False

    def colour(self, role: str, alpha: float = 1.0) -> QColor:
        """The colour of a role, with what is seen through it."""
        colour = self.colours.colour(role)
        colour.setAlphaF(alpha * (_FAINT if self.faint else 1.0))
        return colour


def paint_pose(painter: QPainter, layout: str, at: Places, look: Look, scale: float) -> None:
    """Paint swing-arm, rocker, rod, shock and what stands on the frame; `scale` in px per mm."""
    arm = look.colour("stock", 0.28), look.colour("stock")
    _body(painter, [at[FRAME], at["arm_point_mm"], at["axle"]], *arm)
    if layout != "direct":
        on_frame = layout == "rocker_on_frame"
        pivot, far = (
            (at["frame_point_mm"], at["arm_point_mm"])
            if on_frame
            else (at["arm_point_mm"], at["frame_point_mm"])
        )
        painter.setPen(_round(look.colour("text"), 4.0))
        painter.drawLine(QLineF(at["rod_joint_mm"], far))
        rocker = look.colour("accent", 0.35), look.colour("accent")
        _body(painter, [pivot, at["rod_joint_mm"], at["shock_joint_mm"]], *rocker)
    end = at["arm_point_mm"] if layout == "direct" else at["shock_joint_mm"]
    _shock(painter, at["frame_eye_mm"], end, look, scale)
    if not look.faint:
        for key in (FRAME, "frame_eye_mm", "frame_point_mm"):
            if key in at:
                _ground(painter, at[key], look)
    painter.setPen(QPen(look.colour("text"), 1.6))
    painter.setBrush(look.colour("field"))
    moving = (end, at["rod_joint_mm"]) if layout != "direct" else (end,)
    for each in (at[FRAME], at["axle"], at["arm_point_mm"], *moving):
        painter.drawEllipse(each, 4.5, 4.5)


def paint_scale(
    painter: QPainter, box: QRectF, scale: float, system: UnitSystem, colours: Colours
) -> None:
    """A bar of a round length at the lower right, in the unit shown.

    The swing-arm reaches out of the drawing to the left, so that the axle never comes there.
    """
    sizes = (0.5, 1.0, 2.0, 4.0) if system is UnitSystem.INCH else (10.0, 20.0, 50.0, 100.0)
    widths = [from_display(each, Kind.LENGTH, system) * scale for each in sizes]
    fits = [each for each in zip(sizes, widths, strict=True) if each[1] <= box.width() / 4.0]
    size, width = fits[-1] if fits else (sizes[0], widths[0])
    left, base = box.right() - 14.0 - width, box.bottom() - 14.0
    painter.setPen(QPen(colours.colour("faint"), 1.4))
    painter.drawLine(QLineF(left, base, left + width, base))
    for x in (left, left + width):
        painter.drawLine(QLineF(x, base - 4.0, x, base + 4.0))
    words = f"{size:g} {unit_label(Kind.LENGTH, system)}"
    painter.drawText(QPointF(left + 4.0, base - 7.0), words)


def _round(colour: QColor, width: float) -> QPen:
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return pen


def _body(painter: QPainter, corners: list[QPointF], inside: QColor, edge: QColor) -> None:
    """A rigid part through its joints."""
    painter.setBrush(inside)
    painter.setPen(_round(edge, 3.0))
    painter.drawPolygon(QPolygonF(corners))


def _shock(painter: QPainter, upper: QPointF, lower: QPointF, look: Look, scale: float) -> None:
    """A line between the eyes, with a coil whose turns close up as it gets shorter."""
    axis = QLineF(upper, lower)
    length = axis.length()
    if length < 1.0:
        return
    painter.setPen(QPen(look.colour("text"), 2.2))
    painter.drawLine(axis)
    along = QPointF(axis.dx() / length, axis.dy() / length)
    across = QPointF(-along.y(), along.x()) * max(6.0, min(18.0 * scale, 24.0))
    first, last = length * 0.16, length * 0.84
    coil = QPolygonF()
    for turn in range(2 * _COILS + 1):
        place = upper + along * (first + (last - first) * turn / (2 * _COILS))
        coil.append(place + across * (1 if turn % 2 else -1))
    painter.setPen(_round(look.colour("note"), 2.4))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(coil)


def _ground(painter: QPainter, at: QPointF, look: Look) -> None:
    """The sign for a point of the frame: hatching under the joint."""
    painter.setPen(QPen(look.colour("faint"), 1.4))
    base = at.y() + HANDLE + 5.0
    painter.drawLine(QLineF(at.x() - 11, base, at.x() + 11, base))
    for step in range(-2, 3):
        x = at.x() + step * 5.0
        painter.drawLine(QLineF(x + 2.0, base, x - 2.0, base + 6.0))
