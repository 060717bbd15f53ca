"""Owns how words and lines look on a paper: fonts, ink, measuring and writing within a width.

Units are points. Refuses to know what is written.
"""

from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen, QPolygonF

from fitplanner.ui.printing.paper import paper_font

TEXT, SMALL, HEADING, TITLE = 9, 8, 11, 16
INK, QUIET, WARN = "#1b2126", "#545b62", "#a15a00"
LINE, RULE = "#c4c4be", "#8a8f94"

_WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
_RIGHT = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop
_HIGH = 1e4


@dataclass(frozen=True)
class Style:
    """A size, a weight and an ink."""

    size: int = TEXT
    bold: bool = False
    ink: str = INK

    @property
    def font(self) -> QFont:
        """The font of the size."""
        return _font(self.size, self.bold)


@lru_cache(maxsize=32)
def _font(size: int, bold: bool) -> QFont:
    return paper_font(size, bold=bold)


PLAIN, STRONG = Style(), Style(bold=True)
FAINT = Style(SMALL, ink=QUIET)
ALERT = Style(SMALL, ink=WARN)


def height(painter: QPainter, style: Style, width: float, text: str) -> float:
    """How high `text` stands within `width`; 0 for none."""
    if not text:
        return 0.0
    painter.setFont(style.font)
    return painter.boundingRect(QRectF(0, 0, width, _HIGH), int(_WRAP), text).height()


def advance(painter: QPainter, style: Style, text: str) -> float:
    """How long `text` is on one line."""
    painter.setFont(style.font)
    return painter.boundingRect(QRectF(0, 0, _HIGH, _HIGH), 0, text).width()


def cut(painter: QPainter, style: Style, width: float, text: str) -> str:
    """`text`, or as much of its beginning as stands on one line of `width` with an ellipsis."""
    if advance(painter, style, text) <= width:
        return text
    fits, too_long = 0, len(text)
    while too_long - fits > 1:
        middle = (fits + too_long) // 2
        if advance(painter, style, f"{text[:middle].rstrip()}…") <= width:
            fits = middle
        else:
            too_long = middle
    return f"{text[:fits].rstrip()}…"


def write(
    painter: QPainter,
    style: Style,
    x: float,
    y: float,
    width: float,
    text: str,
    *,
    right: bool = False,
) -> None:
    """Write within `width` from `y` down."""
    if text:
        painter.setFont(style.font)
        painter.setPen(QColor(style.ink))
        painter.drawText(QRectF(x, y, width, _HIGH), int(_RIGHT if right else _WRAP), text)


def rule(
    painter: QPainter, left: float, right: float, y: float, ink: str = RULE, thick: float = 0.5
) -> None:
    """A level line."""
    painter.setPen(QPen(QColor(ink), thick))
    painter.drawLine(QPointF(left, y), QPointF(right, y))


def box(painter: QPainter, x: float, y: float, side: float, *, ticked: bool) -> None:
    """A box to tick; one that is ticked carries its tick, drawn, for no font is sure to have it."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(INK), 0.8))
    painter.drawRect(QRectF(x, y, side, side))
    if ticked:
        tick = QPen(QColor(INK), 1.6)
        tick.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(tick)
        at = [(0.2, 0.55), (0.43, 0.8), (0.95, 0.0)]
        painter.drawPolyline(QPolygonF([QPointF(x + side * u, y + side * v) for u, v in at]))


def triangle(painter: QPainter, x: float, y: float, side: float) -> None:
    """The sign of a caution, drawn."""
    painter.setPen(QPen(QColor(WARN), 0.9))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    corners = [(0.5, 0.04), (1.0, 0.92), (0.0, 0.92)]
    painter.drawPolygon(QPolygonF([QPointF(x + side * u, y + side * v) for u, v in corners]))
    middle = x + 0.5 * side
    painter.drawLine(QPointF(middle, y + 0.36 * side), QPointF(middle, y + 0.62 * side))
    painter.drawPoint(QPointF(middle, y + 0.78 * side))
