"""The price of the plan on the page of work: each job with its hours and parts."""

from PySide6.QtCore import QLocale
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import Quote
from fitplanner.documents.machine import SpringOffers, StandOffer
from fitplanner.documents.preferences import Rates
from fitplanner.planning.account import account, new_stand
from fitplanner.planning.evaluate import evaluate
from fitplanner.quantities import UnitSystem
from fitplanner.report.papers import Writer, fit_sheet
from fitplanner.ui.pages import WorkPage
from fitplanner.ui.widgets.money import money_text
from tests import factories
from tests.gui.shell import answers, open_window, wait_for_plan

IRISH = QLocale(QLocale.Language.English, QLocale.Country.Ireland)
RATES = Rates(hourly=50.0, currency="EUR")


def test_work_shows_the_price_with_hours_parts_and_rate(qtbot: QtBot) -> None:
    job = factories.job(choices={"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0})
    job = job.replace(machine=job.machine.replace(stand_work=StandOffer(hours=1.5, parts=20.0)))
    plan = evaluate(job)
    assert new_stand(plan)
    page = WorkPage()
    page.setLocale(IRISH)
    page.set_rates(RATES)
    page.show_job(job)
    page.show_plan(plan)
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()
    rows = page.price.table.texts()
    stand = next(row for row in rows if row[0] == "Side-stand shortened")
    assert [text.replace("\N{NO-BREAK SPACE}", " ") for text in stand[1:3]] == ["1.5 h", "€20"]
    of = account(job, plan, RATES)
    assert rows[-1][0] == "Price"
    assert rows[-1][3] == f"{money_text(of.cost, IRISH, 'EUR')} at €50 an hour"
    assert page.ways().texts()[-1][0] == "Side-stand shortened"


def test_a_stand_that_may_stay_costs_nothing(qtbot: QtBot) -> None:
    job = factories.job(choices={"fork_limiter_mm": 0.0, "shock_limiter_mm": 0.0,
                                 "raised_stanchions_mm": 0.0})  # fmt: skip
    plan = evaluate(job)
    assert not new_stand(plan)
    page = WorkPage()
    page.show_job(job)
    page.show_plan(plan)
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()
    named = [row[0] for row in (*page.price.table.texts(), *page.ways().texts())]
    assert "Side-stand shortened" not in named


def test_what_was_agreed_stays_when_the_rate_changes(qtbot: QtBot) -> None:
    job = factories.job(choices={"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0})
    plan = evaluate(job)
    of = account(job, plan, RATES)
    quote = Quote(price=of.cost, hours=of.hours, parts=of.parts, hourly=50.0, currency="EUR")
    page = WorkPage()
    page.setLocale(IRISH)
    page.set_rates(RATES)
    page.show_job(job)
    page.show_plan(plan)
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()
    assert not page.price.agreed.isVisible()
    page.show_quote(quote)
    assert money_text(of.cost, IRISH, "EUR") in page.price.agreed.text()
    assert page.price.differs.text() == ""
    dearer = RATES.replace(hourly=80.0)
    page.set_rates(dearer)
    now = account(job, plan, dearer)
    assert money_text(of.cost, IRISH, "EUR") in page.price.agreed.text()
    assert money_text(now.cost, IRISH, "EUR") in page.price.differs.text()
    write = Writer(UnitSystem.METRIC, lambda amount: f"{amount:.2f}")
    told = str(fit_sheet(job.replace(quote=quote), plan, now, write))
    assert f"{of.cost:.2f}" in told and f"{now.cost:.2f}" not in told


def test_a_price_that_nobody_entered_says_so_on_the_card_and_on_the_fit_sheet(
    qtbot: QtBot,
) -> None:
    job = factories.job(choices={"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0})
    ways = job.machine.ways
    assert ways.fork_limiter is not None
    entered = {
        "springs": SpringOffers(),
        "stand_work": StandOffer(),
        "ways": ways.replace(fork_limiter=ways.fork_limiter.replace(hours=2.0, assumed=True)),
    }
    page = WorkPage()
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()
    page.set_rates(RATES)
    for machine, assumed in (
        (job.machine.replace(**entered), True),
        (job.machine.replace(**entered | {"ways": ways}), False),
    ):
        shown = job.replace(machine=machine)
        plan = evaluate(shown)
        page.show_job(shown)
        page.show_plan(plan)
        of = account(shown, plan, RATES)
        assert bool(of.assumed) is assumed
        assert ("never entered" in page.price.unentered.text()) is assumed
        said = [row[0] for row in page.price.table.texts() if "assumed" in row[3]]
        assert said == (["Extension limiter, fork"] if assumed else [])
        write = Writer(UnitSystem.METRIC, lambda amount: f"{amount:.2f}")
        sheet = str(fit_sheet(shown, plan, of, write))
        assert ("never entered for this machine" in sheet) is assumed


def test_a_price_without_a_currency_says_so_and_leads_to_where_it_is_set(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    window.setLocale(QLocale.c())
    wait_for_plan(qtbot, window)
    page = window.findChild(WorkPage)
    assert page is not None
    window.pages.setCurrentWidget(page)
    card = page.price
    assert card.no_currency.text() == "No currency is set."
    answers(window).rates = RATES
    card.no_currency.button.click()
    assert card.no_currency.text() == "" and "EUR" in card.table.texts()[-1][3]
    plan = window.plan
    assert plan is not None
    job = window.session.job
    for without in (True, False):
        write = Writer(UnitSystem.METRIC, lambda amount: f"{amount:.2f}", no_currency=without)
        sheet = str(fit_sheet(job, plan, account(job, plan, RATES), write))
        assert ("No currency is set" in sheet) is without
