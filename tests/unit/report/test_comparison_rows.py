"""Plans side by side: the rows and how differences are told."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QLocale

from fitplanner.documents.machine import INVENTED
from fitplanner.documents.preferences import Rates
from fitplanner.planning.account import account
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import STATE_NAMES, Caution, Plan
from fitplanner.quantities import Kind, UnitSystem, figure_in_text
from fitplanner.report.cells import OTHER, Cell, Row
from fitplanner.report.compare import (
    MOST_COLUMNS,
    Comparison,
    Entry,
    compare,
    stock_choices,
)
from fitplanner.ui.texts import chance_words
from tests import factories
from tests.gui import plan_fixture

BRITISH = QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom)
METRIC, INCH = UnitSystem.METRIC, UnitSystem.INCH


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def money(amount: float) -> str:
    return f"£{amount:.2f}"


def compared(*plans: Plan, system: UnitSystem = METRIC, mark: str = ".") -> Comparison:
    entries = [Entry(f"Plan {n}", factories.job(), plan) for n, plan in enumerate(plans)]
    return compare(entries, system, money=money, chance=chance_words, decimal_mark=mark)


def row(comparison: Comparison, label: str) -> Row:
    rows = [each for section in comparison.sections for each in section.rows]
    return next(each for each in rows if each.label == label)


def test_the_stock_column_is_the_stock_machine() -> None:
    job = factories.job()
    plan = evaluate(job.replace(choices=stock_choices(job)))
    for name in STATE_NAMES:
        before, after = getattr(plan.states.stock, name), getattr(plan.states.planned, name)
        assert after.seat_height_mm == pytest.approx(before.seat_height_mm, abs=1e-6)
    assert all(way.amount_mm == 0.0 for way in plan.ways)
    of = account(job, plan, Rates(hourly=60.0))
    assert (of.cost, of.hours, of.undo) == (0.0, 0.0, 1.0)


def test_a_difference_is_that_of_the_figures_beside_it() -> None:
    first = plan_fixture.plan()
    second = replace(
        first, delivered=replace(first.delivered, on_wheels_mm=replace_band(first, 43.6))
    )
    cells = row(compared(first, second), "Lower than its stock, by the tape").cells
    # 41 and 43.6 are read as 41 and 44, so the difference reads 3, not 2.6.
    assert cells == (Cell("41 mm"), Cell("44 mm", "+3 mm"))
    assert cells[1].words == "44 mm (+3 mm)"
    inches = row(compared(first, second, system=INCH), "Lower than its stock, by the tape").cells
    assert inches[1].text == f"{43.6 / 25.4:.2f} in"


def replace_band(plan: Plan, value: float) -> object:
    return replace(plan.delivered.on_wheels_mm, value=value)


def test_words_that_differ_bear_a_sign_and_those_that_agree_do_not() -> None:
    plan = plan_fixture.plan()
    need = plan.requirement
    other = replace(plan, requirement=replace(need, planned=need.stock, reached=False, chance=0.01))
    comparison = compared(plan, other)
    assert row(comparison, "Feet on the ground").cells[1].words == f"{OTHER} Toes of both feet"
    cells = row(comparison, "As wanted").cells
    assert cells == (Cell("Likely (80 of 100)"), Cell("Very unlikely (1 of 100)", OTHER))
    assert not row(comparison, "Shock preload").differs


def test_what_only_one_fits_is_a_dash_elsewhere() -> None:
    plan = plan_fixture.plan()
    bare = replace(plan, ways=tuple(replace(way, amount_mm=0.0) for way in plan.ways))
    comparison = compared(bare, plan)
    assert row(comparison, "Extension limiter, fork").cells == (Cell("–"), Cell("50.8 mm", OTHER))
    labels = [each.label for section in comparison.sections for each in section.rows]
    assert "Lower seat" not in labels, "fitted by neither"


def test_prices_hours_and_shares_tell_their_differences() -> None:
    plan, job = plan_fixture.plan(), factories.job()
    entries = [
        Entry("Stock machine", job, plan, 0.0, 0.0, None),
        Entry("One", job, plan, 180.5, 3.0, 0.9),
        Entry("Two", job, plan, None, None, 0.75),
    ]
    comparison = compare(entries, METRIC, money=money, chance=chance_words, decimal_mark=",")
    assert [cell.words for cell in row(comparison, "Price").cells] == [
        "£0.00", "£180.50 (+£180.50)", "≠ –",
    ]  # fmt: skip
    assert [cell.text for cell in row(comparison, "Working time").cells] == ["0,0 h", "3,0 h", "–"]
    shares = compare(entries[1:], METRIC, money=money, chance=chance_words)
    assert row(shares, "Can be undone with the old parts").cells[1] == Cell("75 %", "−15 points")


def test_cautions_of_all_plans_stand_once_and_in_the_order_of_the_work() -> None:
    first, mid, last = Caution("A", "first"), Caution("B", "second"), Caution("Z", "last")
    plans = [
        replace(plan_fixture.plan(), cautions=found)
        for found in ((first, last), (first, mid, last), (mid, last))
    ]
    assert compared(*plans).cautions == (("A", "first"), ("B", "second"), ("Z", "last"))


def test_what_was_not_known_names_the_columns_and_follows_the_units() -> None:
    plan = plan_fixture.plan()
    reach = f"Reach taken as {figure_in_text(254.0, Kind.LENGTH)}"
    plans = [replace(plan, assumptions=found) for found in (("A",), ("A", reach), ("A", reach))]
    assert compared(*plans, system=INCH).unknown == (
        "A",
        "Columns 2 and 3: Reach taken as 10.00 in",
    )


def test_columns_for_different_riders_say_so() -> None:
    job, plan = factories.job(), plan_fixture.plan()
    heavier = job.replace(rider=job.rider.replace(mass_kg=90.0))
    same = compare(
        [Entry("a", job, plan), Entry("b", job, plan)], METRIC, money=money, chance=chance_words
    )
    assert same.rider.startswith("Test rider, inside leg 790 mm, 75.0 kg")
    apart = compare(
        [Entry("a", job, plan), Entry("b", heavier, plan)], METRIC, money=money, chance=chance_words
    )
    assert "different figures of the rider" in apart.rider


@given(st.integers(min_value=0, max_value=7))
def test_one_to_four_columns_and_no_more(count: int) -> None:
    entries = [Entry("a", factories.job(), plan_fixture.plan())] * count
    if 1 <= count <= MOST_COLUMNS:
        made = compare(entries, METRIC, money=money, chance=chance_words)
        rows = [each for section in made.sections for each in section.rows]
        assert {len(each.cells) for each in rows} == {count}
        assert not any(each.differs for each in rows)
    else:
        with pytest.raises(ValueError, match="side by side"):
            compare(entries, METRIC, money=money, chance=chance_words)


def test_every_figure_of_a_column_comes_from_its_plan() -> None:
    job = factories.job()
    plan = evaluate(job)
    comparison = compare([Entry("a", job, plan)], METRIC, money=money, chance=chance_words)
    at = plan.states.planned
    for label, value in (
        ("Seat height, rider stopped", at.stopped.seat_height_mm),
        ("Trail, rider up", at.rider_up.trail_mm),
        ("Rider sag, rear", plan.springs["rear"].sag.rider_mm),
    ):
        assert row(comparison, label).cells[0].text == f"{value:.0f} mm"
    for section in comparison.sections:
        if section.title != "Price and work":
            assert all(cell.text for each in section.rows for cell in each.cells)


def test_the_head_says_what_changes_are_told_against_and_what_is_invented() -> None:
    job, plan = factories.job(), plan_fixture.plan()
    made_up = job.replace(machine=job.machine.replace(invented=True))
    real, invented = Entry("Stock machine", job, plan), Entry("Plan", made_up, plan)

    def notes(*entries: Entry) -> tuple[str, ...]:
        return compare(entries, METRIC, money=money, chance=chance_words).notes

    assert notes(real) == ()
    against = "Changes are against column 1, Stock machine."
    assert notes(real, real) == (against,)
    assert notes(real, invented) == (against, f"Column 2: {INVENTED}")
    assert notes(invented) == (INVENTED,)


def test_a_side_stand_that_has_to_change_is_among_what_to_fit() -> None:
    job = factories.job(choices={"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0})
    plans = [evaluate(job.replace(choices=stock_choices(job))), evaluate(job)]
    assert row(compared(*plans), "Side-stand").cells == (
        Cell("As it is"),
        Cell("Shortened", OTHER),
    )
