"""Owns the drawing of the rear linkage to scale, on which joints are moved by mouse and keys.

Joints are numbered as in the table and are moved where they stand with the wheel hanging; at
another place of the travel that stands behind, faint. Refuses to change a joint itself: it asks.
"""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from fitplanner.quantities import Kind, UnitSystem, from_display
from fitplanner.ui.linkage.paint import FRAME, HANDLE, Look, paint_pose, paint_scale
from fitplanner.ui.theme import colours_of

_REACH = 16.0
_MARGIN = 46.0
_LEAST_SPAN_MM = 150.0
# Share of the drawing that may be filled before it is fitted anew.
_ROOMY = 0.6
# Of the swing-arm so much is shown behind the rearmost joint; the axle is far off.
_ARM_BEHIND_MM = 60.0
_STEPS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}
_STEP = {UnitSystem.INCH: 0.05}

Place = tuple[float, float]


class LinkageView(QWidget):
    """The linkage in the side view, forward to the right."""

    moved = Signal(str, float, float)
    """A joint is wanted at another place, mm from the swing-arm pivot: its field, x and z."""
    dropped = Signal()
    """The joint was let go of; what follows is another move."""
    picked = Signal(str)
    """A joint was picked; "" for none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Drawing of the rear linkage"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._layout = "direct"
        self._system = UnitSystem.METRIC
        self._names: Mapping[str, str] = {}
        self._joints: dict[str, Place] = {}
        self._paths: Mapping[str, NDArray[np.float64]] = {}
        self._at = 0
        self._picked = ""
        self._words = ""
        self._held = ""
        self._grip = QPointF()
        self._bounds = QRectF(-300, -200, 320, 500)

    def sizeHint(self) -> QSize:
        return QSize(640, 380)

    def minimumSizeHint(self) -> QSize:
        return QSize(380, 260)

    # What it shows.

    def show_joints(
        self,
        layout: str,
        names: Mapping[str, str],
        joints: Mapping[str, Sequence[float]],
        paths: Mapping[str, NDArray[np.float64]],
    ) -> None:
        """Show joints (hanging, by their field) and where the moving ones go, mm from the pivot.

        `paths` has shape (places, 2) for each, and "axle"; empty where nothing moves.
        """
        self._layout, self._names, self._paths = layout, dict(names), dict(paths)
        self._joints = {key: (float(place[0]), float(place[1])) for key, place in joints.items()}
        if self._picked not in self._joints:
            self._pick("")
        self._fit()
        self._tell()
        self.update()

    def show_words(self, words: str) -> None:
        """Say why there is nothing to draw."""
        self._joints, self._paths, self._words = {}, {}, words
        self._pick("")
        self.update()

    def show_place(self, at: int) -> None:
        """Show the place of that number along the paths."""
        self._at = at
        self.update()

    def set_system(self, system: UnitSystem) -> None:
        """Steps and scale in another unit system."""
        self._system = system
        self.update()

    def pick(self, key: str) -> None:
        """Pick a joint by its field, as a row of the table does."""
        self._pick(key)

    def picked_joint(self) -> str:
        """The joint that keys move; "" for none."""
        return self._picked

    def place_of(self, key: str) -> QPointF:
        """Where a joint stands in the widget, wheel hanging."""
        return self._to_screen(self._joints[key])

    def to_mm(self, point: QPointF) -> Place:
        """The place of the machine at a point of the widget."""
        scale, corner = self._frame()
        return (
            self._bounds.left() + (point.x() - corner.x()) / scale,
            self._bounds.bottom() - (point.y() - corner.y()) / scale,
        )

    # Hands.

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton:
            return
        key = self._near(event.position())
        self._pick(key)
        if key:
            self._held = key
            self._grip = self.place_of(key) - event.position()
            self.setCursor(Qt.CursorShape.ClosedHandCursor)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._held:
            self.moved.emit(self._held, *self.to_mm(event.position() + self._grip))
        else:
            near = bool(self._near(event.position()))
            shape = Qt.CursorShape.OpenHandCursor if near else Qt.CursorShape.ArrowCursor
            self.setCursor(shape)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton and self._held:
            self._held = ""
            self.setCursor(Qt.CursorShape.OpenHandCursor)
            self.dropped.emit()
            self._fit()
            self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(Qt.Key(event.key()))
        if step is None or not self._picked:
            super().keyPressEvent(event)
            return
        modifiers = event.modifiers()
        size = from_display(_STEP.get(self._system, 1.0), Kind.LENGTH, self._system)
        if modifiers & Qt.KeyboardModifier.ShiftModifier:
            size *= 10.0
        elif modifiers & Qt.KeyboardModifier.ControlModifier:
            size /= 10.0
        x, z = self._joints[self._picked]
        self.moved.emit(self._picked, x + size * step[0], z + size * step[1])

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Tab goes from joint to joint, and on behind the last."""
        keys = list(self._joints)
        at = keys.index(self._picked) if self._picked in keys else -1 if forward else len(keys)
        at += 1 if forward else -1
        if 0 <= at < len(keys):
            self._pick(keys[at])
            return True
        return super().focusNextPrevChild(forward)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Come with the keyboard, the first joint is picked, or the last from behind."""
        super().focusInEvent(event)
        keys = list(self._joints)
        if keys and event.reason() == Qt.FocusReason.TabFocusReason:
            self._pick(keys[0])
        elif keys and event.reason() == Qt.FocusReason.BacktabFocusReason:
            self._pick(keys[-1])

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.dropped.emit()

    # Painting.

    def paintEvent(self, event: QPaintEvent) -> None:
        colours = colours_of(self.palette())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), colours.colour("panel"))
        painter.setClipRect(self.rect())
        there = {key: self._to_screen(place) for key, place in self._hanging().items()}
        now = {key: self._to_screen(place) for key, place in self._now().items()}
        scale = self._frame()[0]
        if not self._joints:
            painter.setPen(colours.colour("faint"))
            inside = self.rect().adjusted(40, 40, -40, -40)
            wrap = Qt.TextFlag.TextWordWrap.value | Qt.AlignmentFlag.AlignCenter.value
            painter.drawText(inside, wrap, self._words)
        else:
            if self._at and self._paths:
                paint_pose(painter, self._layout, there, Look(colours, faint=True), scale)
            paint_pose(painter, self._layout, now, Look(colours), scale)
            self._paint_handles(painter)
            paint_scale(painter, QRectF(self.rect()), scale, self._system, colours)
        if self.hasFocus():
            painter.setPen(colours.colour("accent"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _paint_handles(self, painter: QPainter) -> None:
        colours = colours_of(self.palette())
        painter.save()
        font = painter.font()
        font.setBold(True)
        painter.setFont(font)
        for number, (key, place) in enumerate(self._joints.items(), 1):
            box = QRectF(0, 0, 2 * HANDLE, 2 * HANDLE)
            box.moveCenter(self._to_screen(place))
            chosen = key == self._picked
            painter.setPen(colours.colour("accent" if chosen else "text"))
            painter.setBrush(colours.colour("accent" if chosen else "field"))
            painter.drawEllipse(box)
            painter.setPen(colours.colour("on_accent" if chosen else "text"))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(number))
        painter.restore()

    # Places.

    def _hanging(self) -> dict[str, Place]:
        axle = self._paths["axle"][0] if "axle" in self._paths else (-590.0, 0.0)
        return {**self._joints, "axle": (float(axle[0]), float(axle[1])), FRAME: (0.0, 0.0)}

    def _now(self) -> dict[str, Place]:
        moved = {
            key: (float(path[self._at][0]), float(path[self._at][1]))
            for key, path in self._paths.items()
            if self._at < len(path)
        }
        return {**self._hanging(), **moved} if self._at else self._hanging()

    def _needed(self) -> QRectF:
        """What has to be seen, mm; z grows upwards, so its bottom is the highest."""
        places = [np.array([place]) for place in [*self._joints.values(), (20.0, 0.0)]]
        places += [path for key, path in self._paths.items() if key != "axle"]
        every = np.concatenate(places)
        low, high = np.nanmin(every, axis=0), np.nanmax(every, axis=0)
        low[0] -= _ARM_BEHIND_MM
        middle, span = (low + high) / 2.0, np.maximum(high - low, _LEAST_SPAN_MM)
        return QRectF(*(middle - span / 2.0), *span)

    def _fit(self) -> None:
        """Show all that has to be seen; a small change does not make the drawing jump."""
        needed = self._needed()
        roomy = self._bounds.width() * self._bounds.height() * _ROOMY
        fits = self._bounds.contains(needed) and needed.width() * needed.height() > roomy
        if not self._held and not fits:
            self._bounds = needed

    def _frame(self) -> tuple[float, QPointF]:
        """Pixels per mm, and where the upper left corner of the bounds lies."""
        width, height = self.width() - 2 * _MARGIN, self.height() - 2 * _MARGIN
        scale = max(min(width / self._bounds.width(), height / self._bounds.height()), 1e-3)
        return scale, QPointF(
            (self.width() - self._bounds.width() * scale) / 2.0,
            (self.height() - self._bounds.height() * scale) / 2.0,
        )

    def _to_screen(self, place: Place) -> QPointF:
        scale, corner = self._frame()
        return QPointF(
            corner.x() + (place[0] - self._bounds.left()) * scale,
            corner.y() + (self._bounds.bottom() - place[1]) * scale,
        )

    def _near(self, point: QPointF) -> str:
        """The joint that a click means."""
        far = {key: (self.place_of(key) - point).manhattanLength() for key in self._joints}
        nearest = min(far, key=lambda key: far[key], default="")
        return nearest if nearest and far[nearest] <= _REACH else ""

    def _pick(self, key: str) -> None:
        if key != self._picked:
            self.dropped.emit()
            self._picked = key
            self._tell()
            self.picked.emit(key)
            self.update()

    def _tell(self) -> None:
        """What a screen reader says of the joint picked."""
        self.setAccessibleDescription(self._names.get(self._picked, ""))
