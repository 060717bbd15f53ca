"""The rear linkage drawn: joints dragged by the mouse, moved by keys, and refused where stuck."""

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.documents.base import Source
from fitplanner.documents.machine import LeverageTable, LinkagePoints
from fitplanner.library.loader import load_library
from fitplanner.planning.linkage import LAYOUTS, linkage_motion
from fitplanner.quantities import Kind, UnitSystem, to_display
from fitplanner.ui.linkage.paint import paint_scale
from fitplanner.ui.linkage.window import LinkageWindow
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.panels.linkage import LinkageTable
from fitplanner.ui.theme import LIGHT
from tests import factories
from tests.gui.figures_fixture import figures
from tests.gui.shell import open_window, wait_for_plan

LEFT = Qt.MouseButton.LeftButton
DRAWN = {"direct": "corrieward-300", "on_frame": "duncarrow-250", "on_arm": "fellstrid-350"}


def window_with(qtbot: QtBot, name: str) -> MainWindow:
    machine = load_library().profiles[name]
    return open_window(qtbot, factories.job(machine=machine), profiles=load_library().profiles)


def table_of(window: MainWindow) -> LinkageTable:
    form = figures(window, "rear")
    return next(one for one in form.findChildren(LinkageTable) if one.parent() is form)


def drawing_of(window: MainWindow) -> LinkageWindow:
    table = table_of(window)
    QTest.mouseClick(table.draw, LEFT)
    drawing = table.drawing()
    assert drawing is not None and drawing.isVisible()
    return drawing


def joint(window: MainWindow, key: str) -> list[float]:
    linkage = window.session.job.machine.rear.linkage
    assert isinstance(linkage, LinkagePoints)
    place: list[float] = getattr(linkage, key)
    return place


def settle(drawing: LinkageWindow) -> None:
    """Work out the newest place wanted."""
    QTest.qWait(1)


def drag(drawing: LinkageWindow, key: str, *moves: tuple[int, int], drop: bool = True) -> None:
    """Take a joint with the mouse and carry it along `moves`, in pixels from where it stood."""
    start = drawing.view.place_of(key).toPoint()
    QTest.mousePress(drawing.view, LEFT, pos=start)
    for x, y in moves:
        QTest.mouseMove(drawing.view, start + QPoint(x, y))
        settle(drawing)
    if drop:
        QTest.mouseRelease(drawing.view, LEFT, pos=start + QPoint(*moves[-1]))


@pytest.mark.parametrize("name", DRAWN.values(), ids=DRAWN)
def test_a_dragged_joint_goes_with_the_mouse_and_is_one_step(qtbot: QtBot, name: str) -> None:
    window = window_with(qtbot, name)
    drawing = drawing_of(window)
    before = window.session.job
    place = drawing.view.place_of("frame_eye_mm")
    # The drawing may be fitted anew once the joint is let go of.
    old, new = (drawing.view.to_mm(place + by) for by in (QPoint(0, 0), QPoint(9, -4)))
    drag(drawing, "frame_eye_mm", (3, 0), (6, -2), (9, -4))
    x, z = joint(window, "frame_eye_mm")
    old_x, old_z = before.machine.rear.linkage.frame_eye_mm  # type: ignore[union-attr]
    # The mouse stands on whole pixels, and places are kept to a tenth of a millimetre.
    assert x - old_x == pytest.approx(new[0] - old[0], abs=0.06)
    assert z - old_z == pytest.approx(new[1] - old[1], abs=0.06)
    motion = drawing.motion()
    assert motion is not None
    assert motion.leverage == pytest.approx(linkage_motion(window.session.job.machine).leverage)
    window.commands["undo"].trigger()
    assert window.session.job == before
    assert joint(window, "frame_eye_mm") == [old_x, old_z]


def test_the_drawing_stands_still_while_a_joint_is_moved(qtbot: QtBot) -> None:
    window = window_with(qtbot, "fellstrid-350")
    drawing = drawing_of(window)
    eye = drawing.view.place_of("frame_eye_mm")
    drag(drawing, "arm_point_mm", (2, 1), (4, 2))
    drawing.view.pick("shock_joint_mm")
    QTest.keyClick(drawing.view, Qt.Key.Key_Left)
    settle(drawing)
    assert drawing.view.place_of("frame_eye_mm") == eye
    # A joint that would leave the drawing makes it larger.
    drawing.view.moved.emit("frame_eye_mm", 13.1, 420.0)
    settle(drawing)
    assert drawing.view.place_of("frame_eye_mm").y() > 0


def test_two_drags_are_two_steps(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    drawing, before = drawing_of(window), window.session.job
    drag(drawing, "frame_eye_mm", (4, 0))
    between = window.session.job
    drag(drawing, "frame_eye_mm", (4, 0))
    window.commands["undo"].trigger()
    assert window.session.job == between != before
    window.commands["undo"].trigger()
    assert window.session.job == before


def test_the_newest_place_wins(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    drawing = drawing_of(window)
    solved: list[object] = []
    drawing.table.layouts.setFocus()
    window.session.subscribe(solved.append)
    for step in range(20):
        drawing.view.moved.emit("frame_eye_mm", 17.0 + step, 260.0)
    settle(drawing)
    assert len(solved) == 1 and joint(window, "frame_eye_mm") == [36.0, 260.0]


def test_the_cell_follows_the_mouse_and_the_drawing_the_cell(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    drawing = drawing_of(window)
    drag(drawing, "shock_joint_mm", (2, -3))
    row = 2
    shown = drawing.table.table.item(row, 0)
    assert shown is not None
    assert shown.text() == f"{joint(window, 'shock_joint_mm')[0]:g}".replace("-", "−")
    outer = table_of(window).table.item(row, 0)
    assert outer is not None and outer.text() == shown.text()
    before = drawing.view.place_of("shock_joint_mm")
    shown.setText("-100")
    assert joint(window, "shock_joint_mm")[0] == -100.0
    assert drawing.view.place_of("shock_joint_mm") != before


def test_joints_that_do_not_go_together_are_refused_by_name(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    drawing = drawing_of(window)
    good = window.session.job
    drag(drawing, "rod_joint_mm", (0, -90), drop=False)
    # Far above, the rocker would work backwards.
    assert "Rod's end on the rocker cannot stand there" in drawing.message.text()
    assert window.session.job == good and drawing.motion() is not None
    held = drawing.view.place_of("rod_joint_mm")
    QTest.mouseMove(drawing.view, (held + QPoint(2, 1)).toPoint())
    settle(drawing)
    assert drawing.message.text() == "" and window.session.job != good
    QTest.mouseRelease(drawing.view, LEFT, pos=held.toPoint())
    window.commands["undo"].trigger()
    assert window.session.job == good


def test_text_of_a_joint_that_cannot_stand_there_is_kept(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    table, good = table_of(window), window.session.job
    pivot = table.table.item(3, 1)
    assert pivot is not None
    pivot.setText("-147.1")
    assert "Rocker's pivot on the frame cannot stand there" in table.message.text()
    assert "“-147.1” is not used; planned with −107.1 mm" in window.headline.refused_text()
    assert window.session.job == good and pivot.text() == "-147.1"
    pivot.setText("-108")
    assert table.message.text() == "" == window.headline.refused_text()
    assert joint(window, "frame_point_mm") == [10.0, -108.0]


def test_undo_puts_a_refused_joint_back(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    table, good = table_of(window), window.session.job
    pivot = table.table.item(3, 1)
    assert pivot is not None
    pivot.setText("-147.1")
    window.commands["undo"].trigger()
    assert pivot.text() == "−107.1" and table.message.text() == ""
    assert window.session.job == good


def test_figures_that_are_good_only_together_are_taken_together(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    table, good = table_of(window), window.session.job
    pivot, rod = table.table.item(3, 1), table.table.item(1, 1)
    assert pivot is not None and rod is not None
    # The rocker sits 40 mm further down. Its pivot alone is stuck, and waits for the rod's end.
    pivot.setText("-147.1")
    assert "Rocker's pivot on the frame cannot stand there" in table.message.text()
    assert window.session.job == good and pivot.text() == "-147.1"
    rod.setText("-200.4")
    assert table.message.text() == "" == window.headline.refused_text()
    assert joint(window, "frame_point_mm") == [10.0, -147.1]
    assert joint(window, "rod_joint_mm") == [-60.0, -200.4]
    window.commands["undo"].trigger()
    assert window.session.job == good


def test_keys_move_the_joint_picked_in_steps(qtbot: QtBot) -> None:
    window = window_with(qtbot, "fellstrid-350")
    drawing, before = drawing_of(window), window.session.job
    drawing.view.setFocus()
    QTest.mouseClick(drawing.view, LEFT, pos=drawing.view.place_of("frame_eye_mm").toPoint())
    assert drawing.view.picked_joint() == "frame_eye_mm"
    x, z = joint(window, "frame_eye_mm")
    for key, modifier, expected in (
        (Qt.Key.Key_Right, Qt.KeyboardModifier.NoModifier, [x + 1, z]),
        (Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier, [x + 1, z + 10]),
        (Qt.Key.Key_Left, Qt.KeyboardModifier.ControlModifier, [x + 0.9, z + 10]),
        (Qt.Key.Key_Down, Qt.KeyboardModifier.NoModifier, [x + 0.9, z + 9]),
    ):
        QTest.keyClick(drawing.view, key, modifier)
        settle(drawing)
        assert joint(window, "frame_eye_mm") == pytest.approx(expected)
    window.commands["undo"].trigger()
    assert window.session.job == before


def test_keys_step_in_inches_where_inches_are_shown(qtbot: QtBot) -> None:
    window = window_with(qtbot, "fellstrid-350")
    window.set_system(UnitSystem.INCH)
    drawing = drawing_of(window)
    x, _ = joint(window, "frame_eye_mm")
    drawing.view.pick("frame_eye_mm")
    QTest.keyClick(drawing.view, Qt.Key.Key_Right)
    settle(drawing)
    assert joint(window, "frame_eye_mm")[0] == pytest.approx(x + 1.27, abs=0.05)


def test_tab_goes_from_joint_to_joint_and_on(qtbot: QtBot) -> None:
    window = window_with(qtbot, "corrieward-300")
    drawing = drawing_of(window)
    drawing.activateWindow()
    qtbot.waitUntil(drawing.isActiveWindow)
    drawing.table.layouts.setFocus()
    drawing.view.setFocus(Qt.FocusReason.TabFocusReason)
    assert drawing.view.picked_joint() == "frame_eye_mm"
    assert drawing.view.accessibleDescription() == "shock's eye on the frame"
    QTest.keyClick(drawing.view, Qt.Key.Key_Tab)
    assert drawing.view.picked_joint() == "arm_point_mm"
    assert drawing.table.table.currentRow() == 1
    QTest.keyClick(drawing.view, Qt.Key.Key_Tab)
    assert not drawing.view.hasFocus()


def test_a_row_of_the_table_picks_its_joint(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    drawing = drawing_of(window)
    drawing.table.table.setCurrentCell(3, 0)
    assert drawing.view.picked_joint() == "frame_point_mm"


def test_the_slider_moves_the_linkage_and_says_its_figures(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    drawing = drawing_of(window)
    motion = drawing.motion()
    assert motion is not None
    drawing.slider.setFocus()
    QTest.keyClick(drawing.slider, Qt.Key.Key_End)
    assert drawing.slider.value() == len(motion.rise_mm) - 1
    words = drawing.readout.text().replace("\N{NO-BREAK SPACE}", " ")
    assert "Wheel 250 mm" in words and f"shock {motion.shock_mm[-1]:.1f} mm" in words
    assert f"leverage {motion.leverage[-1]:.2f}" in words
    moved = drawing.view.grab().toImage()
    drawing.slider.setValue(0)
    assert drawing.view.grab().toImage() != moved


def test_a_joint_is_moved_where_it_hangs(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    drawing = drawing_of(window)
    drawing.slider.setValue(80)
    drag(drawing, "arm_point_mm", (3, 3))
    assert drawing.slider.value() == 0


@pytest.mark.parametrize("system", UnitSystem)
def test_plots_show_the_series_in_the_units_shown(qtbot: QtBot, system: UnitSystem) -> None:
    window = window_with(qtbot, "duncarrow-250")
    window.set_system(system)
    drawing = drawing_of(window)
    motion = linkage_motion(window.session.job.machine)
    for plot, values, kind in (
        (drawing.plots.leverage, motion.leverage, Kind.RATIO),
        (drawing.plots.rate, motion.wheel_rate_n_mm, Kind.SPRING_RATE),
        (drawing.plots.spring, motion.spring_n, Kind.FORCE),
    ):
        x, y = plot.series()
        assert x[-1] == pytest.approx(to_display(250.0, Kind.LENGTH, system))
        assert y == pytest.approx(np.array([to_display(one, kind, system) for one in values]))


def test_a_machine_with_a_table_has_plots_and_words_for_a_drawing(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    drawing = drawing_of(window)
    assert drawing.motion() is not None and len(drawing.plots.leverage.series()[0])
    QTest.keyClick(drawing.view, Qt.Key.Key_Right)
    assert window.session.job == factories.job()


@pytest.mark.parametrize("layout", LAYOUTS[1:])
def test_a_layout_can_be_begun_and_taken_back(qtbot: QtBot, layout: str) -> None:
    window = open_window(qtbot)
    drawing = drawing_of(window)
    box = drawing.table.layouts
    box.setFocus()
    while LAYOUTS[box.currentIndex()] != layout:
        QTest.keyClick(box, Qt.Key.Key_Down)
    assert window.session.job.machine.rear.linkage.layout == layout
    assert drawing.motion() is not None and drawing.message.text() == ""
    wait_for_plan(qtbot, window)
    assert window.plan is not None
    while window.session.job != factories.job():
        window.commands["undo"].trigger()
    assert isinstance(window.session.job.machine.rear.linkage, LeverageTable)
    assert box.currentIndex() == 0


def test_made_up_joints_say_so_until_they_are_said_to_be_the_machines(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    table = table_of(window)
    before = window.session.job.machine.rear
    table.layouts.setCurrentIndex(2)
    table.layouts.activated.emit(2)
    factor = window.session.job.machine.rear.leverage_factor
    assert factor.source is Source.ASSUMED and factor.spread > 3 * before.leverage_factor.spread
    assert "made-up joints" in table.note.text() and not table.note.isHidden()
    table.note.button.click()
    assert table.note.isHidden()
    assert window.session.job.machine.rear.leverage_factor.source is Source.MEASURED
    window.commands["undo"].trigger()
    assert not table.note.isHidden()
    window.commands["undo"].trigger()
    assert window.session.job.machine.rear == before and table.note.isHidden()


def test_giving_up_puts_the_linkage_back(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    before = window.session.job
    drawing = drawing_of(window)
    drawing.table.layouts.activated.emit(1)
    assert window.session.job.machine.rear.linkage.layout == LAYOUTS[1]
    QTest.mouseClick(drawing.give_up, LEFT)
    assert not drawing.isVisible() and window.session.job == before
    window.commands["undo"].trigger()
    assert window.session.job.machine.rear.linkage.layout == LAYOUTS[1]


def test_joints_that_come_stuck_can_be_moved_free(qtbot: QtBot) -> None:
    machine = load_library().profiles["duncarrow-250"]
    linkage = machine.rear.linkage
    stuck = machine.replace(
        rear=machine.rear.replace(linkage=linkage.replace(rod_joint_mm=[10.0, -60.0]))
    )
    window = open_window(qtbot, factories.job(machine=stuck))
    drawing = drawing_of(window)
    assert drawing.motion() is None and drawing.message.text()
    assert drawing.readout.text() == "" and not drawing.slider.isEnabled()
    drawing.view.moved.emit("rod_joint_mm", -20.0, -100.0)
    settle(drawing)
    drawing.view.moved.emit("rod_joint_mm", -60.0, -160.4)
    settle(drawing)
    assert drawing.motion() is not None and drawing.message.text() == ""


def test_the_drawing_follows_the_appearance(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    drawing = drawing_of(window)
    light = drawing.view.grab().toImage().pixelColor(3, 3)
    palette = drawing.palette()
    palette.setColor(palette.ColorRole.Window, QColor("#1c1f22"))
    drawing.setPalette(palette)
    drawing.view.setPalette(palette)
    assert drawing.view.grab().toImage().pixelColor(3, 3).lightness() < light.lightness()


def test_a_leverage_that_no_machine_has_is_told_while_it_is_dragged(qtbot: QtBot) -> None:
    window = window_with(qtbot, "corrieward-300")
    drawing = drawing_of(window)
    assert drawing.message.text() == ""
    x, z = joint(window, "arm_point_mm")
    # The nearer to the pivot, the less the shock moves.
    drawing.view.moved.emit("arm_point_mm", x * 0.3, z * 0.3)
    settle(drawing)
    assert drawing.motion() is not None and "2 to 4 is common" in drawing.message.text()
    drawing.view.moved.emit("arm_point_mm", x, z)
    settle(drawing)
    assert drawing.message.text() == ""


@pytest.mark.parametrize("system", UnitSystem)
def test_the_scale_keeps_clear_of_the_swing_arm(qtbot: QtBot, system: UnitSystem) -> None:
    image = QImage(700, 380, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    paint_scale(painter, QRectF(image.rect()), 0.6, system, LIGHT)
    painter.end()
    inked = [
        x
        for x in range(image.width())
        if any(image.pixelColor(x, y) != QColor("white") for y in range(image.height()))
    ]
    # The swing-arm comes in from the left.
    assert inked and min(inked) > image.width() * 0.7


def test_another_job_is_drawn_anew(qtbot: QtBot) -> None:
    window = window_with(qtbot, "duncarrow-250")
    drawing = drawing_of(window)
    window.history.change(
        factories.job(machine=load_library().profiles["fellstrid-350"]), "another machine"
    )
    assert drawing.table.layouts.currentIndex() == LAYOUTS.index("rocker_on_arm")
    motion = drawing.motion()
    assert motion is not None and motion.rise_mm[-1] == 300.0
