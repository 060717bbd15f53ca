"""The pictures in hand: zoomed, dragged, described, and following the appearance."""

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fitplanner.outline import (
    half_arc_mm,
)
from fitplanner.ui.picture import (
    Camera,
    FrontView,
    PictureView,
    describe,
    plain_mm,
)
from fitplanner.ui.picture.layout import arrange
from fitplanner.ui.picture.palette import palette
from tests.gui.picture_scenes import front_scene, inches, side_scene
from tests.gui.shell import turn_wheel
from tests.unit.outline.figures import SECTION


@pytest.fixture
def view(qtbot: QtBot) -> PictureView:
    """A view with a scene, on the screen."""
    widget = PictureView()
    qtbot.addWidget(widget)
    widget.resize(1000, 450)
    widget.set_scene(side_scene())
    widget.show()
    return widget


def shown_at(widget: PictureView, x: float, z: float) -> QPointF:
    scene = widget.scene()
    assert scene is not None
    rect = QRectF(widget.rect())
    return arrange(rect, scene, plain_mm, widget.font(), widget.camera()).at(x, z)


def test_the_wheel_zooms_about_the_pointer(view: PictureView) -> None:
    for at in (QPointF(620, 180), QPointF(400, 300)):
        wheel = shown_at(view, 0, 330)
        scale = view.camera().zoom
        # a world point that lies under the pointer
        origin, one = shown_at(view, 0, 0), shown_at(view, 1000, 1000)
        x = (at.x() - origin.x()) / (one.x() - origin.x()) * 1000
        z = (at.y() - origin.y()) / (one.y() - origin.y()) * 1000
        turn_wheel(view, 120 * (2), at)
        assert view.camera().zoom > 1.4 * scale
        after = shown_at(view, x, z)
        assert (after.x(), after.y()) == pytest.approx((at.x(), at.y()), abs=1e-6)
        assert shown_at(view, 0, 330) != wheel


def test_the_whole_picture_is_the_farthest_view(view: PictureView) -> None:
    turn_wheel(view, 120 * (-5), QPointF(500, 200))
    assert view.camera() == Camera()


def test_dragging_carries_the_picture_and_a_double_click_resets_it(
    view: PictureView, qtbot: QtBot
) -> None:
    view.zoom_in()
    start = shown_at(view, 500, 500)
    qtbot.mousePress(view, Qt.MouseButton.LeftButton, pos=QPoint(400, 200))
    qtbot.mouseMove(view, QPoint(430, 185))
    qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, pos=QPoint(430, 185))
    moved = shown_at(view, 500, 500) - start
    assert (moved.x(), moved.y()) == pytest.approx((30, -15))
    qtbot.mouseDClick(view, Qt.MouseButton.LeftButton, pos=QPoint(400, 200))
    assert view.camera() == Camera()


def test_the_keys_do_what_the_mouse_does(view: PictureView, qtbot: QtBot) -> None:
    qtbot.keyClick(view, Qt.Key.Key_Plus)
    assert view.camera().zoom == pytest.approx(1.25)
    start = shown_at(view, 0, 0)
    qtbot.keyClick(view, Qt.Key.Key_Left)
    qtbot.keyClick(view, Qt.Key.Key_Down)
    shift = shown_at(view, 0, 0) - start
    assert shift.x() > 0 > shift.y()
    qtbot.keyClick(view, Qt.Key.Key_Minus)
    qtbot.keyClick(view, Qt.Key.Key_Home)
    assert view.camera() == Camera()


def test_another_unit_is_written_and_said(view: PictureView) -> None:
    scene = view.scene()
    assert scene is not None
    first = view.grab().toImage()
    assert "930 mm" in view.accessibleDescription()
    view.set_formatter(inches)
    assert "36.61 in" in view.accessibleDescription()
    assert "mm" not in view.accessibleDescription()
    assert view.grab().toImage() != first


def test_the_description_tells_both_heights_and_the_feet(qapp: QApplication) -> None:
    said = describe(side_scene())
    assert "Seat, before: 930 mm." in said
    assert "lower." in said
    assert "Heel up 37 mm." in said
    front = describe(front_scene())
    assert "Seat width 220 mm." in front
    low = replace(SECTION, seat_height_mm=815.0)
    assert f"{half_arc_mm(low):.0f} mm" in front
    assert "50 mm off the ground." in front


def test_the_theme_follows_the_window(view: PictureView) -> None:
    colours = QPalette(view.palette())
    corner = QPoint(4, 100)
    for window, dark in (("#202020", True), ("#eeeeee", False)):
        colours.setColor(QPalette.ColorRole.Window, QColor(window))
        view.setPalette(colours)
        assert view.grab().toImage().pixelColor(corner) == palette(dark).paper


def test_a_new_scene_shows_at_once_and_keeps_the_camera(view: PictureView) -> None:
    first = view.grab().toImage()
    view.zoom_in()
    closer = view.grab().toImage()
    assert closer != first
    view.set_scene(side_scene(drop=70.0))
    assert view.camera().zoom == pytest.approx(1.25)
    assert view.grab().toImage() != closer


def test_a_view_without_a_scene_is_plain_paper(qtbot: QtBot) -> None:
    widget = FrontView()
    qtbot.addWidget(widget)
    widget.resize(300, 200)
    image = widget.grab(QRect(0, 0, 300, 200)).toImage()
    assert image.pixelColor(20, 20) == image.pixelColor(200, 150)
    widget.zoom_in()
    widget.set_scene(front_scene())
    assert "Seat width" in widget.accessibleDescription()
    assert widget.grab().toImage() != image
    widget.set_scene(None)
    assert widget.accessibleDescription() == ""
