"""A plan for each keystroke: alone, and with the picture redrawn. Printed, never asserted."""

import pytest
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QApplication

from fitplanner import paths
from fitplanner.documents.codec import load_job
from fitplanner.planning.evaluate import evaluate
from fitplanner.ui.picture import PictureView


@pytest.fixture
def demo():
    return load_job((paths.resources() / "demo.fit.json").read_text(encoding="utf-8"))


def test_evaluate_and_redraw(demo, benchmark, qapp: QApplication) -> None:
    view = PictureView()
    view.resize(QSize(620, 360))
    masses = iter(range(10_000))

    def keystroke() -> None:
        rider = demo.rider.replace(mass_kg=50.0 + next(masses) % 40)
        plan = evaluate(demo.replace(rider=rider))
        view.set_scene(plan.pictures.side["stopped"])
        view.grab()

    benchmark(keystroke)


def test_evaluate_alone(demo, benchmark) -> None:
    masses = iter(range(10_000))

    def keystroke() -> None:
        evaluate(demo.replace(rider=demo.rider.replace(mass_kg=50.0 + next(masses) % 40)))

    benchmark(keystroke)
