"""Where two heights and their difference stand together, the sum that a customer makes is right."""

import re
from dataclasses import replace

import pytest
from pytestqt.qtbot import QtBot

from fitplanner.documents.preferences import Rates
from fitplanner.planning.account import account
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan
from fitplanner.quantities import UnitSystem, fill
from fitplanner.quantities.formatting import MINUS
from fitplanner.report.papers import Writer, fit_sheet
from fitplanner.ui.pages import Headline, HeightsPage, WhyPage
from fitplanner.ui.pages.wording import limit_text, margin_text, value_text
from fitplanner.ui.picture.dimensions import change_text
from fitplanner.ui.widgets.figures import Figures
from tests import factories
from tests.gui import plan_fixture

BEFORE_MM, AFTER_MM = 808.4, 774.6
"""33.8 mm apart, and shown as 808 and 775."""


def plan() -> Plan:
    made = plan_fixture.plan()
    states = {
        name: replace(
            getattr(made.states, name),
            stopped=replace(getattr(made.states, name).stopped, seat_height_mm=height),
            on_wheels=replace(getattr(made.states, name).on_wheels, seat_height_mm=height),
        )
        for name, height in (("stock", BEFORE_MM), ("planned", AFTER_MM))
    }
    return replace(made, states=replace(made.states, **states))


def test_the_headline_takes_one_height_from_the_other(qtbot: QtBot) -> None:
    line = Headline()
    qtbot.addWidget(line)
    line.show_plan(plan())
    told = [text.replace("\N{NO-BREAK SPACE}", " ") for text in line.texts()]
    assert "808 → 775 mm" in told and "33 mm lower" in told


def test_so_does_the_page_of_heights(qtbot: QtBot) -> None:
    page = HeightsPage()
    qtbot.addWidget(page)
    page.show_plan(plan())
    page.show()
    rows = page.tables()[0].texts()
    changed = [row for row in rows if "808" in row]
    assert len(changed) == 2 and all("775" in row and "−33" in row for row in changed)


@pytest.mark.parametrize("system", UnitSystem)
def test_so_does_the_picture(system: UnitSystem) -> None:
    figures = Figures(system)
    for number in range(8):
        job = factories.job(choices={"lower_seat_mm": 3.3 * number})
        change = evaluate(job).pictures.side["stopped"].change
        assert change is not None
        before, after = (float(figures.bare(mm)) for mm in (change.before_mm, change.after_mm))
        told = re.search(r"[\d.]+", change_text(change, figures.length))
        assert told is not None and float(told[0]) == pytest.approx(before - after)


def test_so_does_the_fit_sheet() -> None:
    job = factories.job()
    made = evaluate(job)
    heights = {"stock": BEFORE_MM, "planned": AFTER_MM}
    for name, height in heights.items():
        at = getattr(made.states, name)
        at = replace(at, on_wheels=replace(at.on_wheels, seat_height_mm=height))
        made = replace(made, states=replace(made.states, **{name: at}))
    write = Writer(UnitSystem.METRIC, lambda amount: f"{amount:.0f}")
    told = str(fit_sheet(job, made, account(job, made, Rates()), write))
    assert "will stand 33\\xa0mm lower" in told


@pytest.mark.parametrize("system", UnitSystem)
def test_the_account_from_nominal_to_delivered_adds_up_as_it_is_shown(
    qtbot: QtBot, system: UnitSystem
) -> None:
    """51 − 2 − 2 − 3 is 44: what rounding leaves over goes to one of the rows."""
    for number in range(6):
        job = factories.job(
            choices={"fork_limiter_mm": 30.0 + 1.7 * number, "shock_limiter_mm": 9.0 + 0.9 * number}
        )
        made = evaluate(job)
        page = WhyPage()
        qtbot.addWidget(page)
        page.set_system(system)
        page.show_plan(made)
        page.show()
        shown = [number_of(each) for _, each in page.waterfall().texts()]
        assert sum(shown[:-1]) == pytest.approx(shown[-1], abs=1e-9)
        said = fill(made.delivered.reason, system)
        nominal, tape, *parts = (
            float(each) for each in re.findall(r"\d+\.?\d*(?= (?:mm|in)\b)", said)
        )
        signs = [-1.0 if word == "takes" else 1.0 for word in re.findall("takes|gives", said)]
        taken = sum(sign * part for sign, part in zip(signs, parts, strict=True))
        assert nominal + taken == pytest.approx(tape, abs=1e-9)


def number_of(text: str) -> float:
    return float(text.replace("\N{NO-BREAK SPACE}", " ").replace(MINUS, "-").split(" ")[0])


@pytest.mark.parametrize("system", UnitSystem)
def test_a_margin_is_the_value_less_its_limit_as_both_are_shown(system: UnitSystem) -> None:
    figures = Figures(system)
    for check in evaluate(factories.job()).checks:
        moved = replace(check, value=check.limit + 2.4, margin=-2.4, holds=False)
        texts = [
            value_text(moved, figures),
            limit_text(moved, figures),
            margin_text(moved, figures),
        ]
        value, limit, margin = (
            float(re.search(r"-?\d+\.?\d*", text.replace(MINUS, "-"))[0])  # type: ignore[index]
            for text in texts
        )
        assert abs(value - limit) == pytest.approx(margin, abs=1e-6)
