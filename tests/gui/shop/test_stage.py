"""Stage and reference, and what stands in the way of the user."""

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fitplanner import paths
from fitplanner.documents.bench import Stage
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.preferences import Rates, Theme
from fitplanner.planning.evaluate import evaluate
from fitplanner.store.shop import Query, Shop
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.shop.stage import Fix
from tests import factories
from tests.gui.shell import answers, entry, open_window, press, retype, wait_for_plan
from tests.gui.shop.people import add, named

# Stage and reference.


def choose_stage(qtbot: QtBot, window: MainWindow, stage: Stage) -> None:
    box = window.inputs.stage
    box.setCurrentIndex(list(Stage).index(stage))
    box.activated.emit(box.currentIndex())
    wait_for_plan(qtbot, window)


def test_agreed_fixes_what_the_planner_chose_in_one_step(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    before, plan = window.session.job, window.plan
    assert plan is not None
    choose_stage(qtbot, window, Stage.PLANNED)
    assert answers(window).asked == []
    choose_stage(qtbot, window, Stage.AGREED)
    assert answers(window).asked == ["fix at Agreed"]
    job = window.session.job
    assert job.stage is Stage.AGREED
    fixed = evaluate(job)
    assert fixed.summary == plan.summary and fixed.states == plan.states
    assert all(way.by_hand for way in fixed.ways if way.amount_mm)
    # It stays as agreed, whatever the rider weighs.
    retype(entry(window, "rider", "mass_kg"), "95")
    wait_for_plan(qtbot, window)
    assert window.session.job.choices == job.choices
    press(window, "undo")
    press(window, "undo")
    assert window.session.job == before.replace(stage=Stage.PLANNED)


def test_agreed_keeps_the_price_of_that_day(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    window.settings.change(rates=Rates(hourly=50.0, currency="EUR"))
    assert window.session.job.quote is None
    choose_stage(qtbot, window, Stage.AGREED)
    quote = window.session.job.quote
    assert quote is not None and (quote.hourly, quote.currency) == (50.0, "EUR")
    assert quote.price == pytest.approx(50.0 * quote.hours + quote.parts)
    window.settings.change(rates=Rates(hourly=80.0, currency="EUR"))
    choose_stage(qtbot, window, Stage.ORDERED)
    assert window.session.job.quote == quote
    choose_stage(qtbot, window, Stage.PLANNED)
    assert window.session.job.quote is None


def test_the_amounts_may_stay_open_and_going_back_is_free(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    choices = window.session.job.choices
    answers(window).fix = Fix.CANCEL
    choose_stage(qtbot, window, Stage.ORDERED)
    assert window.session.job.stage is Stage.ASKED
    assert window.inputs.stage.currentIndex() == 0
    answers(window).fix = Fix.LEAVE
    choose_stage(qtbot, window, Stage.ORDERED)
    assert (window.session.job.stage, window.session.job.choices) == (Stage.ORDERED, choices)
    asked = len(answers(window).asked)
    choose_stage(qtbot, window, Stage.ASKED)
    assert window.session.job.stage is Stage.ASKED
    assert len(answers(window).asked) == asked


def test_a_stage_waits_for_the_plan_that_it_fixes(qtbot: QtBot) -> None:
    go = threading.Event()

    def slow(job: Job) -> Any:
        assert go.wait(20)
        return evaluate(job)

    window = open_window(qtbot, planner=slow, wait=False)
    box = window.inputs.stage
    box.setCurrentIndex(list(Stage).index(Stage.AGREED))
    box.activated.emit(box.currentIndex())
    assert window.session.job.stage is Stage.ASKED and answers(window).asked == []
    go.set()
    qtbot.waitUntil(lambda: window.session.job.stage is Stage.AGREED)
    assert answers(window).asked == ["fix at Agreed"]
    wait_for_plan(qtbot, window)


def test_a_job_without_a_plan_gets_its_stage_all_the_same(qtbot: QtBot) -> None:
    job = factories.job()
    window = open_window(qtbot, job.replace(rider=job.rider.replace(mass_kg=None)))
    choose_stage(qtbot, window, Stage.AGREED)
    assert window.session.job.stage is Stage.AGREED and answers(window).asked == []


def test_the_reference_is_typed_in_the_panel(qtbot: QtBot) -> None:
    window = open_window(qtbot, wait=False)
    retype(window.inputs.reference, "R-104")
    assert window.session.job.reference == "R-104"
    press(window, "save")
    with Shop.open() as shop:
        assert shop.find(Query(words="r-104"))[0].reference == "R-104"


# What stands in the way of the user.


def test_the_questions_say_what_goes_and_what_stays(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    add(named("Ilka"))
    with Shop.open() as shop:
        backup = shop.back_up(tmp_path / "all.sqlite")
    window = open_window(qtbot, wait=False)
    dialogs = Dialogs(window)
    seen: list[str] = []

    def answer(press_yes: bool) -> Callable[[], None]:
        def click() -> None:
            box: Any = QApplication.activeModalWidget()
            seen.append(box.text())
            assert "cancel" in box.defaultButton().text().lower().replace("&", "")
            (box.buttons()[0] if press_yes else box.escapeButton()).click()

        return click

    QTimer.singleShot(0, answer(False))
    assert not dialogs.ask_erase("Ilka <b>", 3, 0)
    QTimer.singleShot(0, answer(False))
    assert not dialogs.ask_restore(backup, 5)
    QTimer.singleShot(0, answer(False))
    assert not dialogs.ask_add_missing()
    erase, restore, _ = seen
    assert "Ilka <b>" in erase and "history: 3" in erase
    assert "name, telephone, title, note and reference" in erase and "Stays" in erase
    assert "safety backup" in restore and "5" in restore
    assert str(paths.shop_backups_dir()) in restore


def test_the_list_has_its_key_and_its_button(qtbot: QtBot) -> None:
    window = open_window(qtbot, wait=False)
    QTest.keyClick(window, Qt.Key.Key_J, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: window.side.jobs is not None and window.side.jobs.isVisible())
    assert not window.commands["jobs"].icon().isNull()
    for theme in (Theme.DARK, Theme.LIGHT):
        window.set_theme(theme)


def test_what_was_agreed_is_not_replaced_by_an_option_unasked(qtbot: QtBot) -> None:
    window = open_window(qtbot, factories.job(stage=Stage.AGREED))
    agreed, other = window.session.job, Choices(lower_seat_mm=20.0)
    answers(window).replace_agreed = False
    window.pages.use_wanted.emit(other)
    assert window.session.job is agreed
    assert answers(window).asked[-1] == "replace at Agreed"
    answers(window).replace_agreed = True
    window.pages.use_wanted.emit(other)
    assert window.session.job.choices.lower_seat_mm == 20.0
    choose_stage(qtbot, window, Stage.ASKED)
    asked = len(answers(window).asked)
    window.pages.use_wanted.emit(Choices(lower_seat_mm=10.0))
    assert len(answers(window).asked) == asked
