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


def alone(scene: Scene) -> Scene:
    """The scene without what was before: that stands in a column of its own."""
    last = replace(scene.heights[-1], label=scene.words.seat) if scene.heights else None
    return replace(scene, title="", before=(), change=None, heights=() if last is None else (last,))


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
            cell.scene = None if scene is None else alone(scene)
            told = "" if cell.scene is None else describe(cell.scene, format_length)
            cell.setAccessibleDescription(told)
            cell.update()

    def scales(self) -> list[float]:
        """Pixels per mm of each picture shown."""
        found = []
        for cell in self._cells:
            if cell.scene is not None:
                rect, camera = QRectF(cell.rect()), self.camera_of(cell)
                found.append(arrange(rect, cell.scene, self._write, self.font(), camera).scale)
        return found

    def camera_of(self, cell: "_Cell") -> Camera:
        """How a cell looks at its scene."""
        filled = [(each, each.scene) for each in self._cells if each.scene is not None]
        places = [(QRectF(each.rect()), scene) for each, scene in filled]
        found = cameras(places, self._write, self.font())
        return found[[each for each, _ in filled].index(cell)]

    def format_length(self) -> FormatLength:
        """How lengths are written."""
        return self._write


class _Cell(QWidget):
    def __init__(self, row: PictureRow) -> None:
        super().__init__(row)
        self.scene: Scene | None = None
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
        rect = QRectF(self.rect())
        if self.scene is None:
            painter.fillRect(rect, palette(dark).paper)
        else:
            painter.setFont(self.font())
            paint_scene(
                painter,
                rect,
                self.scene,
                format_length=self._in_row.format_length(),
                dark=dark,
                camera=self._in_row.camera_of(self),
            )
        painter.end()
