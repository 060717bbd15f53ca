"""The page of the tape measure, used as somebody at the bench would."""

import random
from collections.abc import Callable
from dataclasses import replace
from threading import Event

import numpy as np
import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import MeasuredState, Place, Reading, Settled, Stage, Tick, When
from fitplanner.documents.job import Choices, Job
from fitplanner.library.loader import load_library
from fitplanner.planning.bench.steps import steps as bench_steps
from fitplanner.planning.evaluate import UnsolvableError, evaluate
from fitplanner.planning.measured.estimate import figures_at
from fitplanner.planning.measured.series import steps
from fitplanner.planning.measured.tape import bench_of
from fitplanner.planning.measured.unknowns import marks
from fitplanner.quantities import UnitSystem
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.pages.tape import TapePage
from fitplanner.ui.theme import ThemeMode, apply_theme
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


@pytest.fixture(scope="module")
def shown() -> Callable[[When], list[float]]:
    """What a tape shows on the machine of the profile, by step."""
    job = bare_job()
    bench = bench_of(job, evaluate(job))
    at = figures_at(marks(), np.zeros((1, 2)))

    def of(when: When) -> list[float]:
        spots = [each.spot(when) for each in steps(when)]
        return [float(value) for value in bench.shown(spots, at)[0]]

    return of


def read_job(shown: Callable[[When], list[float]], *whens: When, wrong: float = 0.0) -> Job:
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


def words(page: TapePage) -> str:
    return " ".join(
        label.text().replace("\N{NO-BREAK SPACE}", " ")
        for label in page.findChildren(QLabel)
        if label.isVisibleTo(page)
    )


def test_a_whole_series_is_typed_with_enter_alone(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    window, page = open_page(qtbot, bare_job())
    assert "no reading to fit the machine to" in words(page)
    for number, value in enumerate(shown(BEFORE)):
        assert page.guide.step is steps(BEFORE)[number]
        enter(page, f"{value:.0f}")
        assert page.guide.field.text() == "" and page.guide.message() == ""
    readings = window.session.job.readings
    assert [(each.place, each.state) for each in readings] == [
        (each.place, each.state) for each in steps(BEFORE)
    ]
    settled(qtbot, window)
    assert page.fitted.remark_texts() == [
        text for text in page.fitted.remark_texts() if "off what" not in text
    ]
    assert all(row[5] in ("fits", "unchecked") for row in page.listing.texts())
    assert window.history.stack.count() == len(readings)
    window.close()


def test_readings_are_kept_as_typed_and_shown_in_the_unit_wanted(qtbot: QtBot) -> None:
    window, page = open_page(qtbot, bare_job())
    enter(page, "36 1/2")
    enter(page, "59,9 cm")
    first, second = window.session.job.readings
    assert (first.typed, second.typed) == ("36 1/2", "59,9 cm")
    assert (first.value, second.value) == (pytest.approx(927.1), pytest.approx(599.0))
    settled(qtbot, window)
    assert [row[1:3] for row in page.listing.texts()] == [
        ["36 1/2", "927.1\N{NO-BREAK SPACE}mm"],
        ["59,9 cm", "599.0\N{NO-BREAK SPACE}mm"],
    ]
    page.set_system(UnitSystem.INCH)
    assert page.listing.texts()[0][1:3] == ["36 1/2", "36.500\N{NO-BREAK SPACE}in"]
    page.guide.list.setCurrentRow(0)
    enter(page, "20.5")
    assert window.session.job.readings[2].value == pytest.approx(20.5 * 25.4)
    window.close()


def test_text_that_cannot_be_taken_stays_and_undo_puts_it_away_first(qtbot: QtBot) -> None:
    window, page = open_page(qtbot, bare_job())
    enter(page, "927")
    enter(page, "6o1")
    assert page.guide.field.text() == "6o1" and page.guide.message()
    assert page.guide.step is steps(BEFORE)[1]
    assert any("6o1" in line for line in window.history.refusals.lines())
    window.history.undo()
    assert page.guide.field.text() == "" and not page.guide.message()
    assert len(window.session.job.readings) == 1
    window.history.undo()
    assert window.session.job.readings == []
    window.close()


def test_typing_waits_at_its_step(qtbot: QtBot) -> None:
    window, page = open_page(qtbot, bare_job())
    QTest.keyClicks(page.guide.field, "92")
    page.guide.list.setCurrentRow(3)
    assert page.guide.field.text() == ""
    page.set_when(AFTER)
    page.set_when(BEFORE)
    page.guide.list.setCurrentRow(1)
    page.guide.list.setCurrentRow(0)
    assert page.guide.field.text() == "92"
    window.close()


def test_both_sides_of_friction_are_read_one_after_the_other(qtbot: QtBot) -> None:
    window, page = open_page(qtbot, bare_job())
    first = next(row for row, each in enumerate(steps(BEFORE)) if each.rubs)
    page.guide.list.setCurrentRow(first)
    page.guide.rest.setCurrentIndex(1)
    page.guide.rest.activated.emit(1)
    enter(page, "920")
    assert page.guide.step is steps(BEFORE)[first]
    enter(page, "930")
    assert page.guide.step is steps(BEFORE)[first + 1]
    assert [each.settled for each in window.session.job.readings] == [
        Settled.PUSHED_DOWN,
        Settled.LIFTED,
    ]
    window.close()


def test_a_wrong_reading_is_named_corrected_and_the_correction_undone(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    job = read_job(shown, BEFORE, wrong=30.0)
    window, page = open_page(qtbot, job)
    assert any("rear rider-up reading is" in text for text in page.fitted.remark_texts())
    row = next(n for n, each in enumerate(job.readings) if (each.place, each.state) == WRONG)
    assert page.listing.texts()[row][5] == "does not fit"
    page.listing.pick(row)
    page.listing.correct_button.click()
    assert page.guide.field.text() == job.readings[row].typed
    enter(page, f"{job.readings[row].value - 30.0:.1f}")
    settled(qtbot, window)
    assert not any("rear rider-up reading" in text for text in page.fitted.remark_texts())
    assert page.listing.texts()[row][5] == "fits"
    window.history.undo()
    settled(qtbot, window)
    assert window.session.job == job
    assert page.listing.texts()[row][5] == "does not fit"
    window.close()


def test_escape_leaves_a_correction(qtbot: QtBot, shown: Callable[[When], list[float]]) -> None:
    job = read_job(shown, BEFORE)
    window, page = open_page(qtbot, job)
    page.listing.pick(2)
    page.listing.correct_button.click()
    QTest.keyClick(page.guide.field, Qt.Key.Key_Escape)
    enter(page, "12")
    assert window.session.job.readings[2] == job.readings[2]
    assert len(window.session.job.readings) == len(job.readings) + 1
    window.close()


def test_what_to_read_next_leads_to_its_step(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    """Of a sag the reading that comes first in the series, then the other one."""
    job = read_job(shown, BEFORE)
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


def test_set_aside_used_again_and_deleted(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    job = read_job(shown, BEFORE, wrong=30.0)
    window, page = open_page(qtbot, job)
    row = next(n for n, each in enumerate(job.readings) if (each.place, each.state) == WRONG)
    page.listing.pick(row)
    page.listing.aside_button.click()
    settled(qtbot, window)
    assert window.session.job.readings[row].set_aside
    assert not any("off what" in text for text in page.fitted.remark_texts())
    assert page.listing.texts()[row][5] == "set aside"
    assert page.listing.row() == row
    page.listing.aside_button.click()
    assert window.session.job == job
    page.listing.delete_button.click()
    assert len(window.session.job.readings) == len(job.readings) - 1
    window.history.undo()
    assert window.session.job == job
    window.close()


def test_plan_on_the_measured_machine_and_back(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    job = read_job(shown, BEFORE)
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


def test_a_wrong_reading_is_set_aside_with_the_plan_on_the_others(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    job = read_job(shown, BEFORE, wrong=30.0)
    window, page = open_page(qtbot, job)
    page.fitted.plan_button.click()
    settled(qtbot, window)
    said = page.fitted.remark_texts()
    assert "rests on the measured machine" in said[0]
    assert "Set aside: rear axle, rider up." in said
    aside = [row[5] for row in page.listing.texts()].count("set aside")
    assert aside == 1 and all(
        row[5] in ("fits", "unchecked", "set aside") for row in page.listing.texts()
    )
    assert not page.fitted.plan_button.isVisibleTo(page)
    page.set_when(AFTER)
    settled(qtbot, window)
    assert "Set aside: rear axle, rider up." in page.proved.aside.text()
    page.set_when(BEFORE)
    settled(qtbot, window)
    # It asks for nothing that was read, and shows what was corrected.
    asked = [label.split(":")[0] for label, _ in page.fitted.next_texts()]
    assert set(asked) <= {"Rider sag, rear"}
    assert len(page.fitted.corrections()) > 1
    assert "correct no figure" not in words(page)
    for _, before, after in page.fitted.corrections()[1:] + page.fitted.drops()[1:]:
        for text in (before, after):
            low, high = text.split("(")[1].rstrip(")").split(" to ")
            assert low != high
    window.history.undo()
    assert window.session.job == job
    window.close()


def test_a_reading_after_the_fit_asks_to_fit_anew_with_one_button(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    window, page = open_page(qtbot, read_job(shown, BEFORE))
    page.fitted.plan_button.click()
    settled(qtbot, window)
    machine = window.session.job.machine
    seat = next(row for row, each in enumerate(steps(BEFORE)) if each.place is Place.SEAT)
    page.guide.list.setCurrentRow(seat)
    enter(page, f"{shown(BEFORE)[seat] + 4.0:.0f}")
    settled(qtbot, window)
    assert "fit it anew" in page.fitted.remark_texts()[0]
    assert page.fitted.plan_button.isVisibleTo(page) and page.fitted.plan_button.isEnabled()
    assert page.fitted.plan_button.text() == "&Fit the machine anew"
    page.fitted.plan_button.click()
    settled(qtbot, window)
    assert "fit it anew" not in words(page) and not page.fitted.plan_button.isVisibleTo(page)
    anew = window.session.job.machine
    assert anew.catalogue.seat_height_mm.value > machine.catalogue.seat_height_mm.value
    assert window.history.undo_words() == "Fit the machine anew"
    page.fitted.back_button.click()
    assert window.session.job.machine == bare_job().machine
    window.close()


def test_a_drop_outside_says_what_to_look_at(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    """Nothing was built in: the tape shows what it had shown before."""
    job = read_job(shown, BEFORE)
    again = [
        each.replace(when=AFTER) for each in job.readings if each.place is not Place.OIL_DRAINED
    ]
    window, page = open_page(qtbot, job.replace(readings=[*job.readings, *again]), AFTER)
    assert "outside" in [row[2] for row in page.proved.bars.texts()]
    assert "complete" in page.proved.stage_text()
    assert "Look at: " in page.proved.look.text() and page.proved.look.isVisibleTo(page)
    window.close()


def test_handing_over_says_what_is_left_and_forbids_nothing(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    job = read_job(shown, BEFORE, AFTER).replace(stage=Stage.MEASURED)
    steep = [
        each.replace(value=each.value + 5.0)
        if each.when is AFTER and each.place is Place.STAND_LEAN
        else each
        for each in job.readings
    ]
    window, page = open_page(qtbot, job.replace(readings=steep), AFTER)
    assert window.plan is not None
    every = bench_steps(job, window.plan)
    assert f"Not done yet: 0 of {len(every)} steps ticked; lean not restored." in (
        page.proved.stage_text()
    )
    assert page.proved.stage_button.isEnabled()
    ticks = [Tick(step=each.key) for each in every]
    window.history.change(window.session.job.replace(ticks=ticks), "Tick")
    assert "Not done yet: lean not restored." in page.proved.stage_text()
    page.proved.stage_button.click()
    assert window.session.job.stage is Stage.HANDED_OVER
    window.close()


def test_the_proof_tells_what_was_delivered_and_proposes_the_stage(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    job = read_job(shown, BEFORE, AFTER)
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


def test_without_the_seat_after_the_work_no_stage_is_proposed(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    window, page = open_page(qtbot, read_job(shown, BEFORE), AFTER)
    assert not page.proved.stage_button.isVisibleTo(page)
    assert "Nothing was measured after the work yet" in page.proved.tell_text()
    window.close()


def test_a_proof_on_the_measured_machine_is_complete_too(
    qtbot: QtBot, shown: Callable[[When], list[float]]
) -> None:
    window, page = open_page(qtbot, read_job(shown, BEFORE, AFTER))
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


def test_another_job_forgets_what_was_typed(qtbot: QtBot) -> None:
    window, page = open_page(qtbot, bare_job())
    enter(page, "nonsense")
    window.files.new()
    assert page.guide.field.text() == "" and not window.history.refusals.lines()
    window.close()


@pytest.mark.parametrize("seed", range(4))
def test_clicks_at_random_break_nothing(
    qtbot: QtBot, shown: Callable[[When], list[float]], seed: int
) -> None:
    chance = random.Random(seed)
    window, page = open_page(qtbot, read_job(shown, BEFORE, AFTER, wrong=30.0))
    guide, listing = page.guide, page.listing

    def pick() -> None:
        count = listing.tree.topLevelItemCount()
        if count:
            item = listing.tree.topLevelItem(chance.randrange(count))
            assert item is not None
            listing.tree.setCurrentItem(item)

    deeds: list[Callable[[], object]] = [
        lambda: enter(page, chance.choice(["927", "36 1/2", "x", "", "55,5 cm", "12"])),
        lambda: QTest.keyClicks(guide.field, "5"),
        lambda: QTest.keyClick(guide.field, Qt.Key.Key_Escape),
        lambda: guide.list.setCurrentRow(chance.randrange(guide.list.count())),
        lambda: page.set_when(chance.choice(list(When))),
        lambda: guide.skip_button.click(),
        lambda: guide.rest.activated.emit(chance.randrange(3)),
        lambda: page.set_system(chance.choice(list(UnitSystem))),
        pick,
        lambda: listing.correct_button.click(),
        lambda: listing.aside_button.click(),
        lambda: listing.delete_button.click(),
        lambda: page.fitted.plan_button.click(),
        lambda: page.fitted.back_button.click(),
        lambda: page.fitted.more_button.click(),
        lambda: page.proved.stage_button.click(),
        window.history.undo,
        window.history.undo,
        window.history.redo,
        lambda: qtbot.wait(5),
    ]
    for _ in range(80):
        chance.choice(deeds)()
        rows = [each for each in window.session.job.readings if each.when is page.when]
        assert len(page.listing.texts()) == len(rows)
        assert page.guide.when is page.when
    settled(qtbot, window)
    while window.history.undo_words() is not None:
        window.history.undo()
    assert window.session.job == read_job(shown, BEFORE, AFTER, wrong=30.0)
    window.close()


@pytest.mark.parametrize("mode", [ThemeMode.LIGHT, ThemeMode.DARK])
@pytest.mark.parametrize("system", [UnitSystem.METRIC, UnitSystem.INCH])
@pytest.mark.parametrize("when", When)
def test_no_text_is_cut_off(
    qtbot: QtBot,
    qapp: QApplication,
    shown: Callable[[When], list[float]],
    when: When,
    system: UnitSystem,
    mode: ThemeMode,
) -> None:
    apply_theme(qapp, mode)
    window, page = open_page(qtbot, read_job(shown, BEFORE, AFTER, wrong=30.0), when)
    window.resize(1280, 800)
    page.set_system(system)
    qtbot.waitUntil(lambda: cut_off(page) == [])
    inner = page.widget()
    assert inner.minimumSizeHint().width() <= page.viewport().width()
    window.close()


def cut_off(page: TapePage) -> list[str]:
    """Texts with less room than they need, once the layout has come to rest."""
    found = []
    for label in page.findChildren(QLabel):
        if label.isVisibleTo(page) and label.text():
            tall = label.heightForWidth(label.width()) if label.wordWrap() else 0
            wide = 0 if label.wordWrap() else label.sizeHint().width()
            if label.height() < tall or label.width() < wide:
                found.append(label.text())
    return found
