"""The picture on the screen, in an image and on paper."""

from collections.abc import Callable
from dataclasses import replace
from math import degrees

import pytest
from PySide6.QtCore import QBuffer, QIODevice, QPoint, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QImage, QPainter, QPdfWriter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fitplanner.outline import (
    Scene,
)
from fitplanner.planning.plan import STATE_NAMES
from fitplanner.ui.picture import (
    Camera,
    FrontView,
    PictureView,
    describe,
    paint_scene,
    plain_mm,
    render_to_image,
)
from fitplanner.ui.picture.layout import arrange
from fitplanner.ui.picture.palette import palette
from tests.gui.picture_scenes import (
    Recorder,
    a_plan,
    bare_front_scene,
    front_scene,
    inches,
    parked_scene,
    side_scene,
)
from tests.unit.outline.figures import MACHINES

SIZES = [(600, 320), (1000, 450), (1300, 600)]


OTHERS: dict[str, Callable[[], Scene]] = {
    "front": front_scene,
    "front without rider": bare_front_scene,
    "parked": parked_scene,
    "side without rider": lambda: side_scene(riders=False),
}


@pytest.mark.parametrize("size", [*SIZES, (420, 300), (520, 900)])
@pytest.mark.parametrize(
    "write", [plain_mm, inches, lambda mm, less=0.0: f"{mm - less:,.1f} mm (±12 mm)"]
)
@pytest.mark.parametrize("which", [*MACHINES, *OTHERS])
def test_no_text_is_clipped_or_covers_another(
    qapp: QApplication,
    size: tuple[int, int],
    write: Callable[[float], str],
    which: str,
) -> None:
    scene = OTHERS[which]() if which in OTHERS else side_scene(MACHINES[which])
    # legend, two labels and values, the change
    assert len(texts_apart(scene, size, write)) >= 7


def texts_apart(
    scene: Scene, size: tuple[int, int], write: Callable[[float], str]
) -> list[tuple[QRectF, str]]:
    """All texts of a scene, once it is seen that each is whole and covers no other."""
    painter = Recorder(QImage(*size, QImage.Format.Format_RGB32))
    whole = QRectF(0, 0, *size)
    paint_scene(painter, whole, scene, format_length=write)
    painter.end()
    texts = painter.texts
    for box, text in texts:
        assert whole.contains(box), text
    for i, (box, text) in enumerate(texts):
        for other, said in texts[i + 1 :]:
            shared = box.adjusted(1, 1, -1, -1) & other.adjusted(1, 1, -1, -1)
            assert shared.isEmpty(), f"{text!r} covers {said!r}"
    return texts


@pytest.mark.parametrize("write", [plain_mm, inches])
@pytest.mark.parametrize("state", STATE_NAMES)
def test_both_views_of_a_plan_have_room_at_their_least_size(
    qapp: QApplication, qtbot: QtBot, state: str, write: Callable[[float], str]
) -> None:
    pictures = a_plan().pictures
    for view, scenes in ((PictureView(), pictures.side), (FrontView(), pictures.front)):
        qtbot.addWidget(view)
        least = view.minimumSizeHint()
        texts_apart(scenes[state], (least.width(), least.height()), write)


def test_the_front_view_follows_the_state_and_says_where_the_seat_is_pressed() -> None:
    front, side = a_plan().pictures.front, a_plan().pictures.side
    for state in STATE_NAMES:
        with_rider = state in ("rider_up", "stopped", "full_bump")
        for seen, whole in zip(front[state].heights, side[state].heights, strict=True):
            assert ("With rider" in seen.label) == with_rider
            # the foam gives under the rider; without one both views tell the same height
            pressed = whole.value_mm - seen.value_mm
            assert 3.0 < pressed < 60.0 if with_rider else abs(pressed) < 1e-6
        assert (front[state].leg_line is not None) == (state == "stopped")
        assert bool(front[state].arcs) == (state == "parked")


def test_the_parked_machine_shows_its_lean_before_and_after(qapp: QApplication) -> None:
    scene, states = a_plan().pictures.front["parked"], a_plan().states
    leans = [states.stock.parked.lean_deg, states.planned.parked.lean_deg]
    assert [call.value for call in scene.callouts] == pytest.approx(leans)
    assert [degrees(arc.angle_rad) for arc in scene.arcs] == pytest.approx(leans)
    said = describe(scene)
    assert f"Lean, before: {leans[0]:.1f}°." in said and f"Lean, after: {leans[1]:.1f}°." in said
    # The stand's foot stands on the ground beside the tyre.
    foot = next(shape for shape in scene.after if shape.part == "stand_foot")
    assert foot.points[:, 1].min() == pytest.approx(0.0, abs=1.0)
    assert foot.points[:, 0].min() > 50.0


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", MACHINES)
def test_the_drawing_is_to_scale_and_whole(
    qapp: QApplication, size: tuple[int, int], name: str
) -> None:
    scene = side_scene(MACHINES[name])
    layout = arrange(QRectF(0, 0, *size), scene, plain_mm, QFont(), Camera())
    box = scene.bounds
    low, high = layout.at(box.left, box.bottom), layout.at(box.right, box.top)
    # one scale for both axes
    assert (high.x() - low.x()) / box.width_mm == pytest.approx(layout.scale)
    assert (low.y() - high.y()) / box.height_mm == pytest.approx(layout.scale)
    assert layout.ground_y < size[1]
    assert high.y() >= layout.header.bottom()
    assert high.x() <= size[0]
    assert low.x() > max(c.line_x for c in layout.columns)
    # and it makes good use of the height
    assert (layout.ground_y - high.y()) > 0.68 * size[1]


@pytest.mark.parametrize("dark", [False, True])
def test_before_is_an_outline_and_after_is_filled(qapp: QApplication, dark: bool) -> None:
    scene = side_scene(riders=False)
    size = QSize(1300, 600)
    image = render_to_image(scene, size, dark)
    layout = arrange(QRectF(0, 0, 1300, 600), scene, plain_mm, QFont(), Camera())
    before, after = (h.point for h in scene.heights)
    # between both surfaces, clear of the lines at the seat point: paper under the dashes
    x = after[0] - 90.0
    air = layout.at(x, 0.35 * before[1] + 0.65 * after[1] + 8)
    foam = layout.at(x, after[1] - 22)
    assert image.pixelColor(air.toPoint()) == palette(dark).paper
    assert image.pixelColor(foam.toPoint()) != palette(dark).paper
    # the before state leaves its mark although it has no fill
    alone = render_to_image(replace(scene, before=()), size, dark)
    assert image != alone


def test_themes_differ_and_text_keeps_its_contrast(qapp: QApplication) -> None:
    # WCAG 2.2, 1.4.3: 4.5 to 1 for text, 1.4.11: 3 to 1 for graphics; formula of its glossary
    def luminance(colour: QColor) -> float:
        def channel(value: float) -> float:
            return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4

        r, g, b = (channel(v) for v in (colour.redF(), colour.greenF(), colour.blueF()))
        return 0.2126 * r + 0.7152 * g + 0.0722 * b

    def contrast(a: QColor, b: QColor) -> float:
        high, low = sorted((luminance(a), luminance(b)), reverse=True)
        return (high + 0.05) / (low + 0.05)

    assert palette(False).paper != palette(True).paper
    for dark in (False, True):
        colours = palette(dark)
        for ground in (colours.paper, colours.ground):
            assert contrast(colours.ink, ground) > 7
            assert contrast(colours.change, ground) > 4.5
            assert contrast(colours.ghost, ground) > 4.5
        assert contrast(colours.quiet, colours.paper) > 4.5
        for role in ("plastic", "jacket", "tank", "metal", "boot_trim"):
            minimum = 2.0 if role == "metal" else 2.5
            assert contrast(colours.fill[role], colours.paper) > minimum, (role, dark)


def test_every_role_has_a_colour_in_both_themes(qapp: QApplication) -> None:
    roles = {s.role for m in MACHINES.values() for s in side_scene(m).after}
    roles |= {s.role for s in front_scene().after}
    for dark in (False, True):
        assert roles <= set(palette(dark).fill)


def test_high_density_images_have_more_pixels_and_the_same_layout(qapp: QApplication) -> None:
    scene = side_scene()
    plain = render_to_image(scene, QSize(600, 320))
    fine = render_to_image(scene, QSize(600, 320), device_pixel_ratio=2.0)
    assert fine.size() == QSize(1200, 640)
    small = fine.scaled(600, 320, mode=Qt.TransformationMode.SmoothTransformation)
    # where the coarse picture shows plain paper or ground, the fine one does as well
    for at in (QPoint(10, 200), QPoint(590, 150), QPoint(300, 318)):
        assert small.pixelColor(at) == plain.pixelColor(at)


def test_it_prints(qapp: QApplication) -> None:
    target = QBuffer()
    target.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(target)
    writer.setResolution(300)
    painter = QPainter(writer)
    painter.scale(300 / 96, 300 / 96)
    paint_scene(painter, QRectF(0, 0, 640, 360), side_scene())
    assert painter.end()
    data = bytes(target.data().data())
    assert data.startswith(b"%PDF-")
    assert len(data) > 20_000
