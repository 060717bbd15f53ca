"""A redraw for each keystroke: the scene, and its first paint. Printed, never asserted."""

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QApplication
from pytest_benchmark.fixture import BenchmarkFixture

from fitplanner import paths
from fitplanner.documents.codec import load_job
from fitplanner.outline import Scene
from fitplanner.planning.evaluate import evaluate
from fitplanner.ui.picture import PictureView

ROUNDS = 40


@pytest.fixture(params=["stopped", "rider_up", "on_wheels", "front"])
def scenes(request: pytest.FixtureRequest) -> Iterator[Callable[[], Scene]]:
    """Scenes of riders of ever another weight, each still to be drawn up."""
    demo = load_job((paths.resources() / "demo.fit.json").read_text(encoding="utf-8"))

    def plans() -> Iterator[Callable[[], Scene]]:
        for i in range(ROUNDS + 1):
            plan = evaluate(demo.replace(rider=demo.rider.replace(mass_kg=50.0 + i)))
            if request.param == "front":
                yield lambda plan=plan: plan.pictures.front["stopped"]  # type: ignore[misc]
            else:
                yield lambda plan=plan: plan.pictures.side[request.param]  # type: ignore[misc]

    # the first one draws what is drawn once for a machine
    return plans()


def test_scene(scenes: Iterator[Callable[[], Scene]], benchmark: BenchmarkFixture) -> None:
    next(scenes)()
    benchmark.pedantic(
        lambda draw: draw(), setup=lambda: ((next(scenes),), {}), rounds=ROUNDS, iterations=1
    )


def test_first_paint(
    scenes: Iterator[Callable[[], Scene]], benchmark: BenchmarkFixture, qapp: QApplication
) -> None:
    view = PictureView()
    view.resize(QSize(620, 360))
    view.show()

    def show(scene: Scene) -> None:
        view.set_scene(scene)
        view.grab()

    show(next(scenes)())
    benchmark.pedantic(show, setup=lambda: ((next(scenes)(),), {}), rounds=ROUNDS, iterations=1)
