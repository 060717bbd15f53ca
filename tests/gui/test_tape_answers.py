"""What the page of the tape says of the readings: the measured machine, what is next, the proof."""

from dataclasses import replace
from threading import Event

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import MeasuredState, Place, Stage
from fitplanner.documents.job import Job
from fitplanner.library.loader import load_library
from fitplanner.planning.evaluate import UnsolvableError, evaluate
from fitplanner.planning.measured.series import steps
from fitplanner.ui.pages.tape import TapePage
from tests.gui.tape_fixture import (
    AFTER,
    BEFORE,
    ON_WHEELS,
    RIDER_UP,
    bare_job,
    enter,
    open_page,
    read_job,
    settled,
)


def test_what_to_read_next_leads_to_its_step(qtbot: QtBot) -> None:
    """Of a sag the reading that comes first in the series, then the other one."""
    job = read_job(BEFORE)
    kept = [each for each in job.readings if each.place is Place.SEAT]
    kept += [each for each in job.readings if each.state is RIDER_UP and each not in kept]
    _, page = open_page(qtbot, job.replace(readings=kept))
    rows = [label.split(":")[0] for label, _ in page.fitted.next_texts()]
    wanted = {
        "Rider sag, rear": (Place.REAR_AXLE, MeasuredState.EXTENDED),
        "Free sag, rear": (Place.REAR_AXLE, MeasuredState.EXTENDED),
    }
    assert set(wanted) <= set(rows)
    bar = page.verticalScrollBar()
    for label, (place, state) in wanted.items():
        bar.setValue(bar.maximum())
        page.guide.list.setCurrentRow(0)
        page.guide.field.setText("12")
        words = next(
            each for each in page.fitted.next.findChildren(QLabel) if each.text().startswith(label)
        )
        if label.startswith("Free"):
            QTest.mouseClick(words, Qt.MouseButton.LeftButton)
        else:
            words.setFocus(Qt.FocusReason.TabFocusReason)
            assert words.font().underline()
            QTest.keyClick(words, Qt.Key.Key_Return)
        assert (page.guide.step.place, page.guide.step.state) == (place, state)
        assert page.guide.field.hasFocus() and bar.value() == 0
        # What was typed waits at its own step.
        assert page.guide.field.text() == ""


def test_plan_on_the_measured_machine_and_back(qtbot: QtBot) -> None:
    job = read_job(BEFORE)
    seat = (Place.SEAT, ON_WHEELS)
    job = job.replace(
        readings=[
            each.replace(value=each.value + 8.0) if (each.place, each.state) == seat else each
            for each in job.readings
        ]
    )
    window, page = open_page(qtbot, job)
    before = window.plan
    page.fitted.plan_button.click()
    settled(qtbot, window)
    assert window.session.job.fitted is not None
    assert window.session.job.readings == job.readings
    assert window.plan is not None and before is not None
    measured, known = (each.states.stock.on_wheels.seat_height_mm for each in (window.plan, before))
    assert 1.0 < measured - known < 8.0
    assert "rests on the measured machine" in page.fitted.remark_texts()[0]
    assert not page.fitted.plan_button.isVisibleTo(page)
    window.history.undo()
    assert window.session.job == job
    window.history.redo()
    settled(qtbot, window)
    page.fitted.back_button.click()
    assert window.session.job.machine == load_library().profiles[job.machine.id]
    assert window.session.job.choices == job.choices
    window.close()


def test_the_proof_tells_what_was_delivered_and_proposes_the_stage(qtbot: QtBot) -> None:
    job = read_job(BEFORE, AFTER)
    window, page = open_page(qtbot, job, AFTER)
    assert [row[2] for row in page.proved.bars.texts()] == ["inside"] * 3
    assert page.proved.tell_text().startswith("•  On its wheels the seat is")
    assert "restored" in page.proved.lean_text()
    assert page.proved.parts()[1][0] == "Extension limiter, fork"
    assert len(page.proved.readings()) == 1 + len(steps(AFTER))
    assert page.proved.stage_button.isVisibleTo(page)
    page.proved.stage_button.click()
    assert window.session.job.stage is Stage.MEASURED
    settled(qtbot, window)
    page.proved.stage_button.click()
    assert window.session.job.stage is Stage.HANDED_OVER
    settled(qtbot, window)
    assert not page.proved.stage_button.isVisibleTo(page)
    window.history.undo()
    assert window.session.job.stage is Stage.MEASURED
    window.close()


def test_without_the_seat_after_the_work_no_stage_is_proposed(qtbot: QtBot) -> None:
    window, page = open_page(qtbot, read_job(BEFORE), AFTER)
    assert not page.proved.stage_button.isVisibleTo(page)
    assert "Nothing was measured after the work yet" in page.proved.tell_text()
    window.close()


def test_a_proof_on_the_measured_machine_is_complete_too(qtbot: QtBot) -> None:
    window, page = open_page(qtbot, read_job(BEFORE, AFTER))
    page.fitted.plan_button.click()
    settled(qtbot, window)
    page.set_when(AFTER)
    settled(qtbot, window)
    assert page.proved.stage_button.isVisibleTo(page)
    window.close()


def test_the_newest_question_wins_and_typing_never_waits(qtbot: QtBot) -> None:
    from fitplanner.planning.measured.account import Fit
    from fitplanner.planning.measured.fitting import fit
    from fitplanner.planning.plan import Plan
    from fitplanner.session.session import Session
    from fitplanner.ui.undo import History

    go, asked = Event(), []

    def slow(job: Job, plan: Plan) -> Fit:
        asked.append(len(job.readings))
        if len(asked) == 1:
            go.wait(20)
        return fit(job, plan)

    job = bare_job()
    history = History(Session(job))
    page = TapePage(history, fitter=slow)
    qtbot.addWidget(page)
    page.resize(900, 700)
    with qtbot.waitExposed(page):
        page.show()
    plan = evaluate(job)

    def follow() -> None:
        page.show_job(history.job)
        page.show_planned(history.job)
        page.show_plan(replace(plan))

    follow()
    for text in ("927", "560", "12"):
        enter(page, text)
        follow()
    assert len(history.job.readings) == 3 and len(page.listing.texts()) == 3
    go.set()
    qtbot.waitUntil(lambda: not page.worker.busy, timeout=20_000)
    assert asked == [0, 3]
    assert page.state() == ""
    page.close_work()


def test_what_the_model_refuses_is_told_in_words(qtbot: QtBot) -> None:
    from fitplanner.session.session import Session
    from fitplanner.ui.undo import History

    def refuse(job: Job, plan: object) -> None:
        raise UnsolvableError("rear linkage: its joints do not go together")

    job = bare_job()
    page = TapePage(History(Session(job)), fitter=refuse)  # type: ignore[arg-type]
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()
    page.show_planned(job)
    page.show_plan(evaluate(job))
    qtbot.waitUntil(lambda: not page.worker.busy)
    assert "rear linkage" in page.state()
    page.close_work()
