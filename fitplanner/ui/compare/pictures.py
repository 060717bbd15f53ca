"""Owns pictures side by side at one scale: a millimetre is as long in each of them.

The scale is that of the picture with the least room; the ground lies at one height. Used on the
screen and on paper. Refuses to draw machines.
"""

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from fitplanner.outline import Scene
from fitplanner.ui.picture import Camera, FormatLength, describe, paint_scene, plain_mm
from fitplanner.ui.picture.layout import arrange
from fitplanner.ui.picture.palette import palette

_ROOM_FOR_RAIL = 290


def alone(scene: Scene, *, measured: bool = True) -> Scene:
    """The scene without what was before: that stands in a column of its own.

    `measured` False leaves out the seat height, whose rail takes room from a small picture.
    """
    heights = scene.heights[-1:] if measured else ()
    return replace(
        scene,
        title="",
        before=(),
        change=None,
        heights=tuple(replace(height, label=scene.words.seat) for height in heights),
    )


def cameras(
    places: Sequence[tuple[QRectF, Scene]], format_length: FormatLength, font: QFont
) -> list[Camera]:
    """A camera for each scene in its rectangle, so that all have one scale."""
    layouts = [arrange(rect, scene, format_length, font, Camera()) for rect, scene in places]
    common = min((layout.scale for layout in layouts), default=1.0)
    found = []
    for layout in layouts:
        zoom = common / layout.scale
        down = (1 - zoom) * (layout.ground_y - layout.middle.y())
        found.append(Camera(zoom, QPointF(0.0, down)))
    return found


class PictureRow(QWidget):
    """Scenes in columns of one width."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._cells: list[_Cell] = []
        self._write: FormatLength = plain_mm
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def set_gap(self, gap: int) -> None:
        """The distance of the columns."""
        self._row.setSpacing(gap)

    def show_scenes(self, scenes: Sequence[Scene | None], format_length: FormatLength) -> None:
        """Show scenes from the left; None leaves a column empty."""
        self._write = format_length
        while len(self._cells) > len(scenes):
            cell = self._cells.pop()
            self._row.removeWidget(cell)
            cell.deleteLater()
        while len(self._cells) < len(scenes):
            cell = _Cell(self)
            self._row.addWidget(cell, 1)
            cell.show()
            self._cells.append(cell)
        for cell, scene in zip(self._cells, scenes, strict=True):
            cell.bare = None if scene is None else alone(scene, measured=False)
            cell.scene = None if scene is None else alone(scene)
            told = "" if cell.scene is None else describe(cell.scene, format_length)
            cell.setAccessibleDescription(told)
            cell.update()

    def scales(self) -> list[float]:
        """Pixels per mm of each picture shown."""
        return [
            arrange(rect, scene, self._write, self.font(), camera).scale
            for rect, scene, camera in self._views().values()
        ]

    def view(self, cell: "_Cell") -> tuple[QRectF, Scene, Camera] | None:
        """What a cell shows and how it looks at it; None for an empty one."""
        return self._views().get(cell)

    def _views(self) -> dict["_Cell", tuple[QRectF, Scene, Camera]]:
        """All pictures, at one scale."""
        filled: list[tuple[_Cell, QRectF, Scene]] = []
        measured = all(cell.width() >= _ROOM_FOR_RAIL for cell in self._cells)
        for cell in self._cells:
            scene = cell.scene if measured else cell.bare
            if scene is not None:
                filled.append((cell, QRectF(cell.rect()), scene))
        found = cameras([(rect, scene) for _, rect, scene in filled], self._write, self.font())
        return {
            cell: (rect, scene, camera)
            for (cell, rect, scene), camera in zip(filled, found, strict=True)
        }

    def format_length(self) -> FormatLength:
        """How lengths are written."""
        return self._write


class _Cell(QWidget):
    def __init__(self, row: PictureRow) -> None:
        super().__init__(row)
        self.scene: Scene | None = None
        self.bare: Scene | None = None
        self._in_row = row
        self.setAccessibleName(self.tr("Side view"))
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Expanding)

    def sizeHint(self) -> QSize:
        return QSize(260, 230)

    def minimumSizeHint(self) -> QSize:
        return QSize(180, 150)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        dark = self.palette().color(QPalette.ColorRole.Window).lightness() < 128
        view = self._in_row.view(self)
        if view is None:
            painter.fillRect(self.rect(), palette(dark).paper)
        else:
            rect, scene, camera = view
            painter.setFont(self.font())
            write = self._in_row.format_length()
            paint_scene(painter, rect, scene, format_length=write, dark=dark, camera=camera)
        painter.end()
