"""The page of the tape measure, used as somebody at the bench would."""

import random
from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import Settled, When
from fitplanner.planning.measured.series import steps
from fitplanner.quantities import UnitSystem
from fitplanner.ui.theme import ThemeMode, apply_theme
from tests.gui.looking import cut_off
from tests.gui.tape_fixture import (
    AFTER,
    BEFORE,
    WRONG,
    bare_job,
    enter,
    open_page,
    read_job,
    settled,
    shown,
    text_of,
)


def test_a_whole_series_is_typed_with_enter_alone(qtbot: QtBot) -> None:
    window, page = open_page(qtbot, bare_job())
    assert "no reading to fit the machine to" in text_of(page)
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
    assert all(row[5] in ("fits the others", "unchecked") for row in page.listing.texts())
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


def test_a_wrong_reading_is_named_corrected_and_the_correction_undone(qtbot: QtBot) -> None:
    job = read_job(BEFORE, wrong=30.0)
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
    assert page.listing.texts()[row][5] == "fits the others"
    window.history.undo()
    settled(qtbot, window)
    assert window.session.job == job
    assert page.listing.texts()[row][5] == "does not fit"
    window.close()


def test_escape_leaves_a_correction(qtbot: QtBot) -> None:
    job = read_job(BEFORE)
    window, page = open_page(qtbot, job)
    page.listing.pick(2)
    page.listing.correct_button.click()
    QTest.keyClick(page.guide.field, Qt.Key.Key_Escape)
    enter(page, "12")
    assert window.session.job.readings[2] == job.readings[2]
    assert len(window.session.job.readings) == len(job.readings) + 1
    window.close()


def test_set_aside_used_again_and_deleted(qtbot: QtBot) -> None:
    job = read_job(BEFORE, wrong=30.0)
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


def test_another_job_forgets_what_was_typed(qtbot: QtBot) -> None:
    window, page = open_page(qtbot, bare_job())
    enter(page, "nonsense")
    window.files.new()
    assert page.guide.field.text() == "" and not window.history.refusals.lines()
    window.close()


@pytest.mark.parametrize("seed", range(4))
def test_clicks_at_random_break_nothing(qtbot: QtBot, seed: int) -> None:
    chance = random.Random(seed)
    window, page = open_page(qtbot, read_job(BEFORE, AFTER, wrong=30.0))
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
    assert window.session.job == read_job(BEFORE, AFTER, wrong=30.0)
    window.close()


@pytest.mark.parametrize("mode", [ThemeMode.LIGHT, ThemeMode.DARK])
@pytest.mark.parametrize("system", [UnitSystem.METRIC, UnitSystem.INCH])
@pytest.mark.parametrize("when", When)
def test_no_text_is_cut_off(
    qtbot: QtBot,
    qapp: QApplication,
    when: When,
    system: UnitSystem,
    mode: ThemeMode,
) -> None:
    apply_theme(qapp, mode)
    window, page = open_page(qtbot, read_job(BEFORE, AFTER, wrong=30.0), when)
    window.resize(1280, 800)
    page.set_system(system)
    qtbot.waitUntil(lambda: cut_off(page) == [])
    inner = page.widget()
    assert inner.minimumSizeHint().width() <= page.viewport().width()
    window.close()
