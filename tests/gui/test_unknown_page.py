"""The page of what is not known: what it says, when, and whose answer it shows."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from threading import Event

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from fitplanner.documents.job import Job
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.planning.unknown.account import Unknown
from fitplanner.planning.unknown.engine import unknown
from fitplanner.quantities import UnitSystem
from fitplanner.session.edits import Edit
from fitplanner.ui.pages.unknown import UnknownPage
from fitplanner.ui.theme import ThemeMode, apply_theme
from tests import factories
from tests.gui.looking import words
from tests.gui.shell import open_window, wait_for_plan

METRIC, KGF, INCH = UnitSystem
POINT = QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom)


@pytest.fixture(scope="module")
def job() -> Job:
    return factories.job(rider={"inside_leg_mm": None})


@pytest.fixture(scope="module")
def plan(job: Job) -> Plan:
    return evaluate(job)


@pytest.fixture(scope="module")
def account(job: Job, plan: Plan) -> Unknown:
    return unknown(job, plan)


@contextmanager
def opened(qtbot: QtBot, page: UnknownPage, width: int = 900) -> Iterator[UnknownPage]:
    page.setLocale(POINT)
    page.resize(width, 700)
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()
    try:
        yield page
    finally:
        page.close_work()


def settled(qtbot: QtBot, page: UnknownPage) -> None:
    qtbot.waitUntil(lambda: not page.worker.busy and page.state() == "", timeout=20_000)


def test_it_says_that_it_works_and_then_what_is_not_known(
    qtbot: QtBot, job: Job, plan: Plan, account: Unknown
) -> None:
    with opened(qtbot, UnknownPage()) as page:
        page.show_job(job)
        page.show_plan(plan)
        assert page.state() == "Working it out …"
        settled(qtbot, page)
        shown = words(page)
        assert any(text.startswith("Inside leg: measure the inside leg three") for text in shown)
        assert any("halves the band" in text for text in shown)
        footing = round(100 * (account.chance("footing").chance or 0.0))
        assert f"{footing} of 100" in shown
        drop = account.band("drop_needed").planned
        assert f"{drop.value:.0f} mm ({drop.low:.0f} to {drop.high:.0f})" in shown
        assert "Height of the centre of mass" in shown and "± 25 mm" in shown
        assert "Working it out …" not in shown


def test_inches_and_back_without_working_again(
    qtbot: QtBot, job: Job, plan: Plan, account: Unknown
) -> None:
    asked = []

    def counted(job: Job, plan: Plan) -> Unknown:
        asked.append(plan)
        return account

    with opened(qtbot, UnknownPage(account=counted)) as page:
        page.show_job(job)
        page.show_plan(plan)
        settled(qtbot, page)
        before = words(page)
        page.set_system(INCH)
        after = words(page)
        # 1 in = 25.4 mm exactly.
        assert f"± {account.measure_next[0].left_mm / 25.4:.2f} in" in after
        assert not any(" mm" in text for text in after)
        page.set_system(METRIC)
        assert words(page) == before
        assert len(asked) == 1


def test_machines_that_could_not_stand_are_counted(
    qtbot: QtBot, job: Job, plan: Plan, account: Unknown
) -> None:
    some = replace(account, samples=2000, left_out=7)
    with opened(qtbot, UnknownPage(account=lambda job, plan: some)) as page:
        page.show_job(job)
        page.show_plan(plan)
        settled(qtbot, page)
        note = next(text for text in words(page) if "of 1993 machines" in text)
        assert "7 more were drawn that could not stand" in note


def test_a_late_answer_never_overwrites_a_newer_question(
    qtbot: QtBot, job: Job, plan: Plan, account: Unknown
) -> None:
    go, newer = Event(), replace(plan, summary="newer")
    skipped = replace(plan, summary="skipped")
    asked = []

    def slow(job: Job, wanted: Plan) -> Unknown:
        asked.append(wanted)
        if wanted is plan:
            go.wait(10)
        return replace(account, samples=1234 if wanted is newer else 1111)

    with opened(qtbot, UnknownPage(account=slow)) as page:
        page.show_job(job)
        page.show_plan(plan)
        qtbot.waitUntil(lambda: asked == [plan])
        page.show_plan(skipped)
        page.show_plan(newer)
        assert page.state() == "Working it out …"
        go.set()
        settled(qtbot, page)
        assert any("of 1234 machines" in text for text in words(page))
        assert asked == [plan, newer]


def test_an_older_account_is_faint_while_the_new_one_is_worked_out(
    qtbot: QtBot, job: Job, plan: Plan, account: Unknown
) -> None:
    go, newer = Event(), replace(plan, summary="newer")

    def slow(job: Job, wanted: Plan) -> Unknown:
        if wanted is newer:
            go.wait(10)
        return account

    with opened(qtbot, UnknownPage(account=slow)) as page:
        page.show_job(job)
        page.show_plan(plan)
        settled(qtbot, page)
        label = next(each for each in page.findChildren(QLabel) if each.text() == "Inside leg")
        assert label.isEnabled()
        page.show_plan(newer)
        assert not label.isEnabled()
        go.set()
        settled(qtbot, page)
        assert label.isEnabled()


def test_nothing_is_worked_out_while_nobody_looks(qtbot: QtBot, job: Job, plan: Plan) -> None:
    page = UnknownPage()
    qtbot.addWidget(page)
    page.show_job(job)
    page.show_plan(plan)
    assert not page.worker.busy
    page.close_work()


def test_figures_that_do_not_go_together_are_told(qtbot: QtBot, job: Job, plan: Plan) -> None:
    def refuse(job: Job, plan: Plan) -> Unknown:
        raise UnsolvableError("rear linkage: its joints do not go together")

    with opened(qtbot, UnknownPage(account=refuse)) as page:
        page.show_job(job)
        page.show_plan(plan)
        qtbot.waitUntil(lambda: not page.worker.busy)
        assert "rear linkage" in page.state()
        assert "What to measure next" not in words(page)


@pytest.mark.expects_log
def test_a_fault_is_logged_and_told(qtbot: QtBot, job: Job, plan: Plan) -> None:
    def break_down(job: Job, plan: Plan) -> Unknown:
        raise ZeroDivisionError("no lanes")

    with opened(qtbot, UnknownPage(account=break_down)) as page:
        page.show_job(job)
        page.show_plan(plan)
        qtbot.waitUntil(lambda: not page.worker.busy)
        assert "fault" in page.state() and "no lanes" in page.state()


@pytest.mark.parametrize("mode", [ThemeMode.LIGHT, ThemeMode.DARK])
@pytest.mark.parametrize("system", [METRIC, KGF, INCH])
@pytest.mark.parametrize("width", [880, 1500])
def test_no_text_is_cut_off(
    qtbot: QtBot,
    qapp: QApplication,
    job: Job,
    plan: Plan,
    account: Unknown,
    width: int,
    system: UnitSystem,
    mode: ThemeMode,
) -> None:
    apply_theme(qapp, mode)
    with opened(qtbot, UnknownPage(account=lambda job, plan: account), width) as page:
        page.set_system(system)
        page.show_job(job)
        page.show_plan(plan)
        settled(qtbot, page)
        qapp.processEvents()
        inner = page.widget()
        assert inner.minimumSizeHint().width() <= page.viewport().width()
        for label in page.findChildren(QLabel):
            if label.isVisibleTo(page):
                tall = label.heightForWidth(label.width()) if label.wordWrap() else 0
                assert label.height() >= tall, label.text()
                assert label.wordWrap() or label.width() >= label.sizeHint().width(), label.text()


def test_the_window_s_page_follows_its_job(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    page = window.pages.unknown
    window.pages.setCurrentWidget(page)
    settled(qtbot, page)
    first = words(page)
    assert any(text.endswith("of 100") for text in first)
    window.session.apply(Edit(("rider", "inside_leg_mm"), 840.0))
    wait_for_plan(qtbot, window)
    settled(qtbot, page)
    assert words(page) != first
    # A longer leg by 50 mm leaves 50 mm less to be lowered by.
    before, after = (_drop_needed(each) for each in (first, words(page)))
    assert before - after == pytest.approx(50.0, abs=1.0)
    window.close()
    assert not page.worker.busy


def _drop_needed(shown: list[str]) -> float:
    return float(shown[shown.index("Drop needed, stopped") + 1].split()[0])
