"""Looking for options: when the page asks, what it does meanwhile, and what it then says."""

import threading

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.evaluate import IncompleteError, UnsolvableError
from fitplanner.planning.search.options import Found, Priorities
from fitplanner.ui.options.searching import Question, Searcher
from fitplanner.ui.pages.options import OptionsPage
from tests import factories
from tests.gui import found_fixture, plan_fixture
from tests.gui.found_fixture import FakeSearch
from tests.gui.options_fixture import Opened, opened, slow

__all__ = ["opened", "slow"]


def test_opening_the_page_looks_for_options_away_from_the_window(opened: Opened) -> None:
    page = opened.settled()
    assert len(page.cards()) == 3
    assert page.texts()[0] == "3 options out of 3,420 that fit, of 41,200 combinations"
    assert opened.search.asked[0].rates.hourly == 55.0


def test_the_search_runs_on_another_thread(qtbot: QtBot) -> None:
    threads: list[int] = []

    def answer(job: Job) -> Found:
        threads.append(threading.get_ident())
        return found_fixture.found(job)

    page = Opened(qtbot, FakeSearch(answer)).settled()
    assert threads and threads[0] != threading.get_ident()
    page.close_search()


def test_a_page_that_is_not_seen_does_not_look(qtbot: QtBot) -> None:
    search = FakeSearch(found_fixture.found)
    page = OptionsPage(searcher=Searcher(search))
    qtbot.addWidget(page)
    page.rest.setInterval(0)
    page.show_plan(plan_fixture.plan())
    page.show_job(factories.job())
    QCoreApplication.processEvents()
    assert not search.asked and not page.searcher.busy
    page.close_search()


def test_only_what_decides_the_answer_asks_again(opened: Opened) -> None:
    page, job = opened.settled(), opened.job
    rider = job.rider.replace(name="Another name")
    page.show_job(job.replace(title="Another title", note="A note", rider=rider))
    opened.qtbot.waitUntil(lambda: not page.rest.isActive())
    QCoreApplication.processEvents()
    assert len(opened.search.asked) == 1
    page.show_job(job.replace(rider=job.rider.replace(mass_kg=60.0)))
    assert opened.asked(2).job.rider.mass_kg == 60.0
    opened.settled()


def test_options_of_another_job_cannot_be_pressed(opened: Opened) -> None:
    page, job = opened.settled(), opened.job
    assert all(card.isEnabled() for card in page.cards())
    page.rest.setInterval(60_000)
    page.show_job(job.replace(rider=job.rider.replace(mass_kg=60.0)))
    assert not any(card.isEnabled() for card in page.cards())


def test_a_new_question_ends_the_old_one_and_its_answer_is_not_shown(slow: Opened) -> None:
    page, job = slow.page, slow.job
    first = slow.asked(1)
    page.show_job(job.replace(rider=job.rider.replace(mass_kg=60.0)))
    slow.qtbot.waitUntil(first.cancelled)
    first.tell(0.9, found_fixture.found(job, fitting=1))
    first.end(found_fixture.found(job, fitting=1))
    second = slow.asked(2)
    QCoreApplication.processEvents()
    assert not page.cards() and page.searcher.busy
    second.end(found_fixture.found(second.job, fitting=2))
    slow.qtbot.waitUntil(lambda: not page.searcher.busy)
    assert page.texts()[0].startswith("3 options out of 2 that fit")


def test_the_best_so_far_stand_below_while_the_search_goes_on(slow: Opened) -> None:
    page = slow.page
    asked = slow.asked(1)
    assert page.texts()[0] == "Looking for options …"
    asked.tell(0.25, None)
    few = found_fixture.options(asked.job)[:1]
    asked.tell(0.5, found_fixture.found(asked.job, options=few, front=few_front(asked.job, 1)))
    slow.qtbot.waitUntil(lambda: len(page.cards()) >= 1)
    assert page.texts()[0] == "Looking for options; the best so far stand below"
    assert page.cards()[0].use_button.isEnabled()
    asked.end(found_fixture.found(asked.job))
    slow.qtbot.waitUntil(lambda: len(page.cards()) == 3)


def few_front(job: Job, count: int) -> object:
    whole = found_fixture.front(job)
    return type(whole)(
        {m: v[:count] for m, v in whole.measures.items()},
        {m: v[:count] for m, v in whole.shown.items()},
        whole.choices[:count],
    )


def test_stop_keeps_what_was_found(slow: Opened) -> None:
    page = slow.page
    asked = slow.asked(1)
    QTest.mouseClick(page.stop_button, Qt.MouseButton.LeftButton)
    assert asked.cancelled()
    asked.end(found_fixture.found(asked.job, complete=False))
    slow.qtbot.waitUntil(lambda: not page.searcher.busy)
    assert page.texts()[0] == "Stopped: the best options of those looked at so far"
    assert page.find_button.isVisible() and not page.stop_button.isVisible()


@pytest.mark.parametrize(
    ("error", "told"),
    [
        (IncompleteError(("body mass",)), "Still to be entered: body mass"),
        (UnsolvableError("the arm is too short"), "the arm is too short"),
    ],
)
def test_what_stands_in_the_way_is_told(slow: Opened, error: Exception, told: str) -> None:
    slow.asked(1).end(error)
    slow.qtbot.waitUntil(lambda: not slow.page.searcher.busy)
    assert told in slow.page.texts()[1]


@pytest.mark.expects_log
def test_a_fault_of_the_search_is_told_and_logged(slow: Opened) -> None:
    slow.asked(1).end(ZeroDivisionError("by nothing"))
    slow.qtbot.waitUntil(lambda: not slow.page.searcher.busy)
    assert "fault in the program: by nothing" in slow.page.texts()[1]


def test_what_is_set_by_hand_is_left_open_unless_it_is_to_be_kept(qtbot: QtBot) -> None:
    job = factories.job(choices={"fork_limiter_mm": 20.0, "fuel_share": 0.5})
    one = Opened(qtbot, FakeSearch(found_fixture.found), job)
    page = one.settled()
    assert one.search.asked[0].job.choices.fork_limiter_mm is None
    assert one.search.asked[0].job.choices.fuel_share == 0.5
    assert page.keep_box.isVisible()
    QTest.keyClick(page.keep_box, Qt.Key.Key_Space)
    assert one.asked(2).job.choices.fork_limiter_mm == 20.0
    one.settled().close_search()


def test_a_searcher_that_is_forgotten_stays_silent(qtbot: QtBot) -> None:
    search = FakeSearch()
    searcher = Searcher(search)
    answers: list[object] = []
    searcher.answered.connect(answers.append)
    job = factories.job()
    searcher.ask(Question(job, Rates()), Priorities())
    qtbot.waitUntil(lambda: bool(search.asked))
    searcher.forget()
    assert search.asked[0].cancelled() and not searcher.busy
    search.asked[0].end(found_fixture.found(job))
    searcher.close()
    QCoreApplication.processEvents()
    assert answers == []


def test_what_was_found_while_nobody_looked_is_drawn_when_the_page_is_seen_again(
    slow: Opened, qtbot: QtBot
) -> None:
    asked = slow.asked(1)
    slow.page.hide()
    asked.end(found_fixture.found(asked.job))
    qtbot.waitUntil(lambda: not slow.page.searcher.busy)
    assert not slow.page.cards()
    slow.page.show()
    assert len(slow.page.cards()) == 3
