"""Owns the picture of a paper: the machine with its rider before and after, at one scale.

Refuses to draw machines and to choose the state.
"""

from dataclasses import replace

from PySide6.QtCore import QCoreApplication, QRectF
from PySide6.QtGui import QPainter

from fitplanner.outline import Scene
from fitplanner.ui.compare.pictures import alone, cameras
from fitplanner.ui.picture import FormatLength, paint_scene
from fitplanner.ui.picture.layout import arrange
from fitplanner.ui.printing import pen
from fitplanner.ui.printing.paper import POINTS_PER_INCH, paper_font

_MM_PER_POINT = 25.4 / POINTS_PER_INCH
# A picture is laid out for a screen; on paper its words are this much smaller.
_PICTURE = 0.7
_CAPTION = 14.0


class BeforeAfter:
    """Paints one scene's before and after side by side."""

    def __init__(self, scene: Scene, format_length: FormatLength) -> None:
        words = scene.words
        self._scenes = (
            replace(alone(_before(scene)), title=words.before),
            replace(alone(scene), title=words.after),
        )
        self._write = format_length

    def __call__(self, painter: QPainter, rect: QRectF, caption: str, size: float) -> None:
        """Paint within `rect` with a caption that tells the scale; `size` as the sheet's text."""
        half = (rect.width() - 10) / 2
        room = QRectF(rect.left(), rect.top() + 2, half, rect.height() - _CAPTION - 4)
        places = [
            (_screen(side), scene)
            for side, scene in zip((room, room.translated(half + 10, 0)), self._scenes, strict=True)
        ]
        font = paper_font(pen.TEXT)
        found = cameras(places, self._write, font)
        painter.save()
        painter.scale(_PICTURE, _PICTURE)
        painter.setFont(font)
        for (place, scene), camera in zip(places, found, strict=True):
            paint_scene(painter, place, scene, format_length=self._write, camera=camera)
        scale = arrange(*places[0], self._write, font, found[0]).scale
        painter.restore()
        ratio = round(1 / (scale * _PICTURE * size * _MM_PER_POINT))
        told = QCoreApplication.translate("Printing", "{caption}, about 1 : {ratio}")
        text = told.format(caption=caption, ratio=ratio)
        pen.write(painter, pen.FAINT, rect.left(), rect.bottom() - _CAPTION, rect.width(), text)


def _screen(side: QRectF) -> QRectF:
    """A picture's rectangle in the units in which it is painted."""
    edges = (side.left(), side.top(), side.width(), side.height())
    return QRectF(*(edge / _PICTURE for edge in edges))


def _before(scene: Scene) -> Scene:
    """What was before, as if it stood alone."""
    return replace(
        scene, after=scene.before, before=(), heights=scene.heights[:1], gaps=(), change=None
    )
