"""The record of a shop: the jobs of the demo, worked through and shown."""

from collections.abc import Iterator
from threading import Event

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import Stage, When
from fitplanner.documents.job import Job
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.measured.fitting import fit
from fitplanner.planning.measured.history import PastJob, counts, past_job
from fitplanner.planning.plan import WayId
from fitplanner.quantities import UnitSystem
from fitplanner.store.files import StoreError
from fitplanner.ui.record.reading import Reader
from fitplanner.ui.record.window import RecordWindow
from tests.demo_readings import MISSES, WRONG, demo_jobs


@pytest.fixture(scope="module")
def jobs() -> list[Job]:
    return demo_jobs()


@pytest.fixture(scope="module")
def worked(jobs: list[Job]) -> dict[str, PastJob]:
    found = {job.reference: past_job(job) for job in jobs if counts(job)}
    return {name: one for name, one in found.items() if one is not None}


def opened(qtbot: QtBot, jobs: list[Job], worked: dict[str, PastJob]) -> RecordWindow:
    reader = Reader(lambda: iter(jobs), lambda job: worked[job.reference])
    window = RecordWindow(lambda: iter(jobs), reader=reader)
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    qtbot.waitUntil(lambda: not reader.busy, timeout=20_000)
    return window


def test_the_demo_has_one_wrong_reading_and_two_misses(
    jobs: list[Job], worked: dict[str, PastJob]
) -> None:
    named = {
        job.reference: fit(job, evaluate(job)).misfits
        for job in jobs
        if any(each.when is When.BEFORE for each in job.readings)
    }
    assert len(named) == 16
    assert {name for name, said in named.items() if said} == {WRONG[0]}
    assert {name for name, one in worked.items() if one.drop.inside is False} == set(MISSES)
    assert set(worked) == {job.reference for job in jobs if job.stage in (
        Stage.MEASURED, Stage.HANDED_OVER
    )}  # fmt: skip


def test_every_closed_job_is_a_point_and_a_picked_one_is_shown(
    qtbot: QtBot, jobs: list[Job], worked: dict[str, PastJob]
) -> None:
    window = opened(qtbot, jobs, worked)
    drawn = window.plot.points()
    assert len(drawn["disc"][0]) + len(drawn["triangle"][0]) == len(worked) == 12
    assert len(drawn["triangle"][0]) == len(MISSES)
    row = next(
        n for n, each in enumerate(window.past().jobs)  # type: ignore[union-attr]
        if each.closed.reference == "F-103"
    )  # fmt: skip
    x, y = window.plot.place_of(row)
    QTest.mouseClick(
        window.plot.canvas(), Qt.MouseButton.LeftButton, pos=QPoint(round(x), round(y))
    )
    assert window.details.text().startswith("F-103 · ")
    assert "outside" in window.details.text()
    assert {window.worst.item(row).text().split(":")[0] for row in range(2)} == set(MISSES)
    window.worst.itemClicked.emit(window.worst.item(2))
    assert window.details.text().split(" ")[0] == window.worst.item(2).text().split(":")[0]
    window.shut()


def test_the_solver_s_share_stands_beside_what_the_shop_learned(
    qtbot: QtBot, jobs: list[Job], worked: dict[str, PastJob]
) -> None:
    window = opened(qtbot, jobs, worked)
    past = window.past()
    assert past is not None
    share = next(each for each in past.ways if each.way is WayId.FORK_LIMITER)
    alone = [one.physics for one in worked.values() if one.closed.kind is share.kind]
    assert share.physics == pytest.approx(sum(alone) / len(alone))
    assert share.shown.value == pytest.approx(share.physics * share.learned.share.value)
    words, figures, count = window.ways.texts()[0]
    assert words.startswith("Extension limiter, fork")
    assert count == f"({share.learned.count})" and "→" in figures
    assert not window.copy_button.isEnabled()
    window.factors.setCurrentRow(0)
    window.copy_button.click()
    assert QGuiApplication.clipboard().text() == window.factors.item(0).text()
    told = window.factors.item(0).text()
    first, rest = told.split("Physics predicts", maxsplit=1)
    row = past.ways[0]
    nominal, predicted, delivered = (
        f"{100 * each:.0f} %" for each in (row.shown.value, row.physics, row.learned.share.value)
    )
    # What is quoted by stands first, and each share says of what it is one.
    assert f"by {nominal} of the nominal amount" in first
    assert f"{predicted} of the nominal amount" in rest
    assert f"{delivered} of what physics predicts was delivered" in rest
    window.shut()


def test_inches(qtbot: QtBot, jobs: list[Job], worked: dict[str, PastJob]) -> None:
    window = opened(qtbot, jobs, worked)
    metric = window.plot.points()["disc"][0]
    window.set_system(UnitSystem.INCH)
    assert window.plot.points()["disc"][0] == pytest.approx(metric / 25.4)
    assert " mm" not in window.summary.text() + window.details.text()
    window.shut()


def test_slow_jobs_show_progress_and_can_be_stopped(
    qtbot: QtBot, jobs: list[Job], worked: dict[str, PastJob]
) -> None:
    go = Event()

    def slowly() -> Iterator[Job]:
        yield jobs[0]
        go.wait(20)
        yield from jobs[1:]

    reader = Reader(slowly, lambda job: worked[job.reference])
    window = RecordWindow(slowly, reader=reader)
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    qtbot.waitUntil(lambda: "Looked through 1 jobs" in window.notice.text())
    assert window.cancel_button.isVisible()
    window.cancel_button.click()
    go.set()
    qtbot.waitUntil(lambda: not reader.busy)
    assert "Stopped after 1" in window.notice.text()
    assert not window.cancel_button.isVisible()
    window.again_button.click()
    qtbot.waitUntil(lambda: not reader.busy)
    assert window.notice.text().startswith("12 closed jobs")
    window.shut()


def test_a_shop_out_of_reach_is_told_in_its_words(qtbot: QtBot) -> None:
    def lost() -> Iterator[Job]:
        raise StoreError("The jobs cannot be read", "the shop", "It is out of reach.")
        yield

    window = opened_plain(qtbot, Reader(lost))
    assert "out of reach" in window.notice.text()
    window.shut()


def test_an_empty_shop_says_when_a_job_counts(qtbot: QtBot) -> None:
    window = opened_plain(qtbot, Reader(lambda: ()))
    assert "No closed job yet" in window.notice.text()
    window.shut()


def test_jobs_that_cannot_be_worked_through_are_named(qtbot: QtBot, jobs: list[Job]) -> None:
    closed = [job for job in jobs if counts(job)][:1]
    window = opened_plain(qtbot, Reader(lambda: closed, lambda job: None))
    assert "F-101: the seat was not read" in window.left_out.text()
    window.shut()


def test_what_was_worked_through_is_not_worked_again(
    qtbot: QtBot, jobs: list[Job], worked: dict[str, PastJob]
) -> None:
    asked = []

    def counted(job: Job) -> PastJob:
        asked.append(job.reference)
        return worked[job.reference]

    window = opened_plain(qtbot, Reader(lambda: iter(jobs), counted))
    window.read()
    qtbot.waitUntil(lambda: not window.reader.busy)
    assert len(asked) == len(worked)
    window.shut()


def opened_plain(qtbot: QtBot, reader: Reader) -> RecordWindow:
    window = RecordWindow(lambda: (), reader=reader)
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    qtbot.waitUntil(lambda: not reader.busy)
    return window
