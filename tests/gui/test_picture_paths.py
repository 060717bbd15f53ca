"""Paths and silhouettes of forms in their places, against what a painter fills."""

from collections.abc import Callable, Iterable

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPainter, QPainterPath, QPen, QTransform
from PySide6.QtWidgets import QApplication

from fitplanner.outline import Points, Scene, Shape
from fitplanner.ui.picture.paths import form_path, ghost_of, silhouette, transform_of
from tests.gui.test_picture import front_scene, side_scene
from tests.unit.outline.figures import MACHINES

# pixels are squares of 6 mm
STEP_MM = 6.0
SIZE = 420


Mask = NDArray[np.bool_]


def pixels(draw: Callable[[QPainter], None]) -> Mask:
    """Which pixels a drawing in world mm covers."""
    image = QImage(SIZE, SIZE, QImage.Format.Format_Grayscale8)
    image.fill(0)
    painter = QPainter(image)
    painter.setTransform(QTransform(1 / STEP_MM, 0, 0, 1 / STEP_MM, 100, 0.9 * SIZE))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(Qt.GlobalColor.white)
    draw(painter)
    painter.end()
    return np.frombuffer(image.constBits(), np.uint8).reshape(SIZE, -1) > 127


def parts(shapes: Iterable[Shape]) -> Mask:
    """What counts for the silhouette, each shape painted by itself."""

    def draw(painter: QPainter) -> None:
        for s in shapes:
            if s.contour:
                path = transform_of(s.place).map(form_path(s.form))
                if s.kind == "line":
                    painter.strokePath(path, QPen(Qt.GlobalColor.white, s.width_mm))
                else:
                    painter.drawPath(path)

    return pixels(draw)


def outside(covered: Mask) -> Mask:
    """What can be reached from the edge of the picture without crossing what is covered."""
    found = np.zeros_like(covered)
    found[0, :] = True
    while True:
        wider = found.copy()
        wider[1:] |= found[:-1]
        wider[:-1] |= found[1:]
        wider[:, 1:] |= found[:, :-1]
        wider[:, :-1] |= found[:, 1:]
        wider &= ~covered
        if np.array_equal(wider, found):
            return found
        found = wider


def corners(path: QPainterPath) -> Points:
    return np.array([(p.x(), p.y()) for ring in path.toSubpathPolygons() for p in ring.toList()])


@pytest.mark.parametrize("name", MACHINES)
def test_a_path_runs_through_the_shape_s_points(qapp: QApplication, name: str) -> None:
    for shape in side_scene(MACHINES[name]).after:
        wanted = shape.points[~np.isnan(shape.points[:, 0])] * (1.0, -1.0)
        # a polygon that Qt closes repeats its first corner
        found = {tuple(c) for c in corners(transform_of(shape.place).map(form_path(shape.form)))}
        gap = np.array([np.hypot(*(np.array(list(found)) - w).T).min() for w in wanted[::7]])
        assert gap.max() < 1e-6, shape.part


@pytest.mark.parametrize("drop", [0.0, 25.0, 60.0])
@pytest.mark.parametrize("which", [*MACHINES, "front"])
def test_a_silhouette_covers_every_part_and_closes_small_holes_only(
    qapp: QApplication, which: str, drop: float
) -> None:
    scene: Scene = front_scene() if which == "front" else side_scene(MACHINES[which], drop=drop)
    for shapes in (scene.before, scene.after):
        path = silhouette(shapes)
        whole, single = pixels(lambda painter, path=path: painter.drawPath(path)), parts(shapes)
        # nothing is lost but crumbs: what stands alone and is smaller than the least hole
        assert (single & ~whole).sum() * STEP_MM**2 < 10_000.0
        # and nothing is added but holes that the parts enclose, and what thinning takes along edges
        assert (whole & outside(single)).sum() < 0.01 * single.sum()


@pytest.mark.parametrize("name", MACHINES)
def test_a_silhouette_has_no_small_inner_lines(qapp: QApplication, name: str) -> None:
    for ring in ghost_of(side_scene(MACHINES[name])).silhouette.toSubpathPolygons():
        x, y = np.array([(p.x(), p.y()) for p in ring.toList()]).T
        # area inside a polygon by the shoelace formula (Meister 1769)
        area = abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) / 2
        assert area >= 25_000.0


def test_what_stays_is_worked_out_once(qapp: QApplication) -> None:
    first, second = side_scene(riders=False, drop=30.0), side_scene(riders=False, drop=50.0)
    assert first.before == second.before
    assert first.after != second.after
    assert ghost_of(first).silhouette is ghost_of(second).silhouette
