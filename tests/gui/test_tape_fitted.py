"""The machine fitted to its readings: what is set aside, fitting anew, and what is left to do."""

from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import Place, Stage, Tick
from fitplanner.planning.bench.steps import steps as bench_steps
from fitplanner.planning.measured.series import steps
from tests.gui.tape_fixture import (
    AFTER,
    BEFORE,
    bare_job,
    enter,
    open_page,
    read_job,
    settled,
    shown,
    text_of,
)


def test_a_wrong_reading_is_set_aside_with_the_plan_on_the_others(qtbot: QtBot) -> None:
    job = read_job(BEFORE, wrong=30.0)
    window, page = open_page(qtbot, job)
    page.fitted.plan_button.click()
    settled(qtbot, window)
    said = page.fitted.remark_texts()
    assert "rests on the measured machine" in said[0]
    assert "Set aside: rear axle, rider up." in said
    aside = [row[5] for row in page.listing.texts()].count("set aside")
    assert aside == 1 and all(
        row[5] in ("fits the others", "unchecked", "set aside") for row in page.listing.texts()
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
    assert "correct no figure" not in text_of(page)
    for _, before, after in page.fitted.corrections()[1:] + page.fitted.drops()[1:]:
        for text in (before, after):
            low, high = text.split("(")[1].rstrip(")").split(" to ")
            assert low != high
    window.history.undo()
    assert window.session.job == job
    window.close()


def test_a_reading_after_the_fit_asks_to_fit_anew_with_one_button(qtbot: QtBot) -> None:
    window, page = open_page(qtbot, read_job(BEFORE))
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
    assert "fit it anew" not in text_of(page) and not page.fitted.plan_button.isVisibleTo(page)
    anew = window.session.job.machine
    assert anew.catalogue.seat_height_mm.value > machine.catalogue.seat_height_mm.value
    assert window.history.undo_words() == "Fit the machine anew"
    page.fitted.back_button.click()
    assert window.session.job.machine == bare_job().machine
    window.close()


def test_a_drop_outside_says_what_to_look_at(qtbot: QtBot) -> None:
    """Nothing was built in: the tape shows what it had shown before."""
    job = read_job(BEFORE)
    again = [
        each.replace(when=AFTER) for each in job.readings if each.place is not Place.OIL_DRAINED
    ]
    window, page = open_page(qtbot, job.replace(readings=[*job.readings, *again]), AFTER)
    assert "outside" in [row[2] for row in page.proved.bars.texts()]
    assert "complete" in page.proved.stage_text()
    assert "Look at: " in page.proved.look.text() and page.proved.look.isVisibleTo(page)
    window.close()


def test_handing_over_says_what_is_left_and_forbids_nothing(qtbot: QtBot) -> None:
    job = read_job(BEFORE, AFTER).replace(stage=Stage.MEASURED)
    steep = [
        each.replace(value=each.value + 5.0)
        if each.when is AFTER and each.place is Place.STAND_LEAN
        else each
        for each in job.readings
    ]
    window, page = open_page(qtbot, job.replace(readings=steep), AFTER)
    assert window.plan is not None
    every = bench_steps(job, window.plan)
    assert f"the proof is not complete yet: 0 of {len(every)} steps ticked; lean not restored." in (
        page.proved.stage_text()
    )
    assert page.proved.stage_button.isEnabled()
    ticks = [Tick(step=each.key) for each in every]
    window.history.change(window.session.job.replace(ticks=ticks), "Tick")
    assert "not complete yet: lean not restored." in page.proved.stage_text()
    page.proved.stage_button.click()
    assert window.session.job.stage is Stage.HANDED_OVER
    window.close()
