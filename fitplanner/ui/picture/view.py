"""The widgets that show a scene: zoom with the wheel, drag, double click to see it whole.

Owns the camera and the input. A view changes nothing but what it shows; the scene is replaced
whole by its caller.
"""

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
    QPixmap,
    QWheelEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from fitplanner.outline import Scene
from fitplanner.ui.picture.layout import Camera, FormatLength, arrange
from fitplanner.ui.picture.paint import describe, paint_scene, plain_mm
from fitplanner.ui.picture.palette import palette

STEP = 1.25
MOST = 12.0
SHIFT_PX = 40.0


class PictureView(QWidget):
    """Shows one scene to scale. Keys: + and - zoom, arrows shift, 0 or Home shows it whole."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scene: Scene | None = None
        self._write: FormatLength = plain_mm
        self._camera = Camera()
        self._drag: QPointF | None = None
        self._painted: tuple[object, QPixmap] | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAccessibleName(self.tr("Side view"))

    def sizeHint(self) -> QSize:
        """A comfortable size."""
        return QSize(900, 440)

    def minimumSizeHint(self) -> QSize:
        """Smaller than this the text would crowd the drawing."""
        return QSize(300, 200)

    def scene(self) -> Scene | None:
        """What is shown."""
        return self._scene

    def camera(self) -> Camera:
        """How it is looked at."""
        return self._camera

    def set_scene(self, scene: Scene | None) -> None:
        """Show another scene; the camera stays, so that a change can be watched close up."""
        self._scene = scene
        self._tell()

    def set_formatter(self, format_length: FormatLength) -> None:
        """Write lengths another way, for another system of units."""
        self._write = format_length
        self._tell()

    def _is_dark(self) -> bool:
        """Whether the dark colours are in use."""
        return self.palette().color(QPalette.ColorRole.Window).lightness() < 128

    def zoom_in(self) -> None:
        """Closer, about the middle."""
        self._zoom(STEP, QRectF(self.rect()).center())

    def zoom_out(self) -> None:
        """Farther, about the middle."""
        self._zoom(1 / STEP, QRectF(self.rect()).center())

    def reset_view(self) -> None:
        """Show the scene whole."""
        self._look(Camera())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Show the picture, and a frame while the keys act here."""
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._picture())
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(self.palette().color(QPalette.ColorRole.Highlight), 2))
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        painter.end()

    def _picture(self) -> QPixmap:
        """The painted scene, kept until what it shows or how it is looked at changes."""
        ratio, dark = self.devicePixelRatioF(), self._is_dark()
        key = (
            id(self._scene), self._write, self.size(), ratio, dark,
            self._camera.zoom, self._camera.shift, self.font().toString(),
        )  # fmt: skip
        if self._painted is not None and self._painted[0] == key:
            return self._painted[1]
        pixmap = QPixmap(self.size() * ratio)
        pixmap.setDevicePixelRatio(ratio)
        painter = QPainter(pixmap)
        painter.setFont(self.font())
        rect = QRectF(self.rect())
        if self._scene is None:
            painter.fillRect(rect, palette(dark).paper)
        else:
            paint_scene(
                painter, rect, self._scene,
                format_length=self._write, dark=dark, camera=self._camera,
            )  # fmt: skip
        painter.end()
        self._painted = (key, pixmap)
        return pixmap

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer, smoothly with fine wheels and pads."""
        turn = event.angleDelta().y()
        if turn == 0:
            event.ignore()
            return
        self._zoom(STEP ** (turn / 120.0), event.position())
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of the picture."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._drag = event.position()
            self.setCursor(Qt.CursorShape.ClosedHandCursor)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Carry the picture along."""
        if self._drag is not None:
            moved = event.position() - self._drag
            self._drag = event.position()
            self._look(Camera(self._camera.zoom, self._camera.shift + moved))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._drag = None
            self.unsetCursor()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Show the scene whole."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.reset_view()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Zoom and shift without a mouse."""
        shifts = {
            Qt.Key.Key_Left: QPointF(SHIFT_PX, 0),
            Qt.Key.Key_Right: QPointF(-SHIFT_PX, 0),
            Qt.Key.Key_Up: QPointF(0, SHIFT_PX),
            Qt.Key.Key_Down: QPointF(0, -SHIFT_PX),
        }
        key = Qt.Key(event.key())
        if key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom_in()
        elif key == Qt.Key.Key_Minus:
            self.zoom_out()
        elif key in (Qt.Key.Key_0, Qt.Key.Key_Home):
            self.reset_view()
        elif key in shifts:
            self._look(Camera(self._camera.zoom, self._camera.shift + shifts[key]))
        else:
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Follow a change of palette or font."""
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self.update()
        super().changeEvent(event)

    def _zoom(self, factor: float, about: QPointF) -> None:
        zoom = min(max(self._camera.zoom * factor, 1.0), MOST)
        if zoom == 1.0:
            self.reset_view()
            return
        real = zoom / self._camera.zoom
        # the point under the pointer stays: its way from the middle grows by `real`
        middle = self._middle()
        shift = self._camera.shift * real + (about - middle) * (1 - real)
        self._look(Camera(zoom, shift))

    def _middle(self) -> QPointF:
        """Fixed point of a zoom without shift, in pixels."""
        if self._scene is None:
            return QRectF(self.rect()).center()
        layout = arrange(QRectF(self.rect()), self._scene, self._write, self.font(), Camera())
        return layout.middle

    def _look(self, camera: Camera) -> None:
        self._camera = camera
        self.update()

    def _tell(self) -> None:
        self._painted = None
        text = "" if self._scene is None else describe(self._scene, self._write)
        self.setAccessibleDescription(text)
        self.update()


class FrontView(PictureView):
    """Shows the legs over the seat."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Front view"))

    def sizeHint(self) -> QSize:
        """Narrower than the side view."""
        return QSize(480, 440)

    def minimumSizeHint(self) -> QSize:
        """Wider than the side view needs, for the lengths told on the right."""
        return QSize(340, 200)
