"""What the tests of the shop's window do as its people do: press, save, look, open."""

from typing import Any

from pytestqt.qtbot import QtBot

from fitplanner.documents.job import Job
from fitplanner.quantities import UnitSystem
from fitplanner.session.edits import replace_at
from fitplanner.store.shop import Shop
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.shop.window import JobsWindow
from fitplanner.ui.widgets.figures import Figures
from tests import factories
from tests.gui.shell import open_window, press

FIGURES = Figures(UnitSystem.METRIC)


def named(name: str, **changes: Any) -> Job:
    job = factories.job(**changes)
    return job.replace(rider=job.rider.replace(name=name, phone="0100 5551"))


def kept_jobs() -> list[Job]:
    with Shop.open() as shop:
        return [shop.get(row.id).job for row in shop.find()]


def add(*jobs: Job, who: str = "Maud") -> list[str]:
    with Shop.open() as shop:
        return [shop.add(job, who).id for job in jobs]


def changed(window: MainWindow, address: tuple[str | int, ...], value: object) -> Job:
    """The job after an edit through the history, as every field makes it."""
    window.history.change(replace_at(window.session.job, address, value), "an edit")
    return window.session.job


def opened(qtbot: QtBot, key: str) -> MainWindow:
    window = open_window(qtbot, wait=False)
    assert window.counter.open(key)
    return window


def show_jobs(qtbot: QtBot, window: MainWindow) -> JobsWindow:
    press(window, "jobs")
    jobs = window.side.jobs
    assert jobs is not None
    looked(qtbot, jobs)
    return jobs


def looked(qtbot: QtBot, jobs: JobsWindow) -> None:
    """Until the list shows what was asked for last."""
    qtbot.waitUntil(lambda: not jobs.filters._rest.isActive() and not jobs.questions.busy)


def cells(jobs: JobsWindow, column: int) -> list[str]:
    model = jobs.model
    return [model.data(model.index(row, column)) for row in range(model.rowCount())]
