"""A job on the page of the tape measure, with readings as its own machine shows them."""

from functools import cache

import numpy as np
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import MeasuredState, Place, Reading, Stage, When
from fitplanner.documents.job import Choices, Job
from fitplanner.library.loader import load_library
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.measured.estimate import figures_at
from fitplanner.planning.measured.series import steps
from fitplanner.planning.measured.tape import bench_of
from fitplanner.planning.measured.unknowns import marks
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.pages.tape import TapePage
from tests.gui.looking import words
from tests.gui.shell import open_window, wait_for_plan

BEFORE, AFTER = When
ON_WHEELS, RIDER_UP = MeasuredState.ON_WHEELS, MeasuredState.RIDER_UP


WRONG = (Place.REAR_AXLE, RIDER_UP)


def bare_job() -> Job:
    found = load_library()
    return Job(
        rider=found.riders["ilka"],
        machine=found.profiles["brackwell-250"],
        choices=Choices(fork_limiter_mm=50.0, shock_limiter_mm=17.0),
        stage=Stage.IN_WORK,
    )


@cache
def shown(when: When) -> list[float]:
    """What a tape shows on the machine of the profile, by step."""
    job = bare_job()
    bench = bench_of(job, evaluate(job))
    at = figures_at(marks(), np.zeros((1, 2)))
    spots = [each.spot(when) for each in steps(when)]
    return [float(value) for value in bench.shown(spots, at)[0]]


def read_job(*whens: When, wrong: float = 0.0) -> Job:
    rows = []
    for when in whens:
        for step, value in zip(steps(when), shown(when), strict=True):
            off = wrong if when is BEFORE and (step.place, step.state) == WRONG else 0.0
            value = round(value + off, 1)
            rows.append(
                Reading(
                    when=when,
                    place=step.place,
                    state=step.state,
                    value=value,
                    spread=step.spread,
                    typed=f"{value:g}",
                )
            )
    return bare_job().replace(readings=rows)


def open_page(qtbot: QtBot, job: Job, when: When = BEFORE) -> tuple[MainWindow, TapePage]:
    window = open_window(qtbot, job, profiles=load_library().profiles)
    page = window.pages.tape
    page.setLocale(QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom))
    window.pages.setCurrentWidget(page)
    page.set_when(when)
    settled(qtbot, window)
    return window, page


def settled(qtbot: QtBot, window: MainWindow) -> None:
    wait_for_plan(qtbot, window)
    page = window.pages.tape
    qtbot.waitUntil(lambda: not page.worker.busy and page.state() == "", timeout=30_000)


def enter(page: TapePage, text: str) -> None:
    field = page.guide.field
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)


def text_of(page: TapePage) -> str:
    return " ".join(words(page))
