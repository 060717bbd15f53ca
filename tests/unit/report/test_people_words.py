"""Who reaches, in words: sentences, the table for spreadsheets and the page."""

import csv
import io
from dataclasses import replace

import pytest

from fitplanner.body.survey import Population
from fitplanner.documents.customers import Customers
from fitplanner.planning.people.setups import Candidate, Sort, Springs
from fitplanner.planning.people.shares import Found, Own, Row
from fitplanner.planning.plan import Band
from fitplanner.planning.setup import stock_setup
from fitplanner.quantities import UnitSystem
from fitplanner.report import people as say
from fitplanner.report.papers.paper import Grid, Words
from fitplanner.report.papers.write import Writer
from fitplanner.report.people_taken import people_csv, people_paper
from tests.gui.people_fixture import answer

METRIC = Writer(UnitSystem.METRIC, lambda amount: f"{amount:.0f}")
INCH = Writer(UnitSystem.INCH, lambda amount: f"{amount:.0f}")


def made(sort: Sort, number: int = 0, **amounts: float) -> Candidate:
    setup = replace(stock_setup(answer().question.machine), **amounts)
    return Candidate(sort, setup, number)


def row_of(candidate: Candidate, *, women: float, men: float) -> Row:
    shares = {
        Population.WOMEN: Band(women, women, women),
        Population.MEN: Band(men, men - 0.05, men + 0.04),
    }
    return replace(answer().rows[0], candidate=candidate, shares=shares)


def found_with(*rows: Row, **changes: object) -> Found:
    return replace(answer(), rows=rows, **changes)


def test_sentences_name_stock_and_the_row_beside_it() -> None:
    stock = row_of(made(Sort.STOCK), women=0.31, men=0.8)
    lowered = row_of(made(Sort.OPTION, 2, lower_seat_mm=20.0), women=0.64, men=0.9)
    found = found_with(stock, lowered)
    assert say.told(found, lowered) == (
        "Of 100 women 31 reach the ground with the balls of both feet as the machine stands, "
        "64 with option 2. Of 100 men 80 and 90."
    )
    assert say.told(found, stock) == (
        "Of 100 women 31 reach the ground with the balls of both feet as the machine stands. "
        "Of 100 men 80."
    )


def test_nearly_nobody_is_not_nobody() -> None:
    stock = row_of(made(Sort.STOCK), women=0.002, men=0.9999)
    assert "Of 100 women 1 reach" in say.told(found_with(stock), stock)
    assert say.hundred(Band(0.0, 0.0, 0.004)) == "0 (0\N{EN DASH}1)"
    assert say.hundred(Band(1.0, 1.0, 1.0)) == "100"


@pytest.mark.parametrize(
    ("write", "told"),
    [
        (
            METRIC,
            "fork limiter 19.5 mm, lower seat 20 mm, fork springs 4.40 N/mm, shock preload 9 mm",
        ),
        (
            INCH,
            "fork limiter 0.768 in, lower seat 0.79 in, fork springs 25.1 lbf/in, "
            "shock preload 0.35 in",
        ),
    ],
)
def test_what_is_fitted_names_springs_that_differ(write: Writer, told: str) -> None:
    machine = answer().question.machine
    candidate = made(
        Sort.PLAN,
        fork_limiter_mm=19.5,
        lower_seat_mm=20.0,
        fork_rate_n_mm=4.4,
        shock_preload_mm=9.0,
    )
    row = row_of(candidate, women=0.5, men=0.5)
    words = say.fitted(row, machine, write).replace("\N{NO-BREAK SPACE}", " ")
    assert words == told
    stock = row_of(made(Sort.STOCK), women=0.5, men=0.5)
    assert say.fitted(stock, machine, write) == "springs as stock"


def test_a_note_says_for_whom_options_are_and_whether_any_fits() -> None:
    assert "about 50 of 100 women" in say.options_note(answer())
    assert "with springs as built" not in say.options_note(answer())
    asked = replace(answer().question, springs=Springs.REAR_SET)
    assert "with springs as built" in say.options_note(replace(answer(), question=asked))
    assert "Stopped" in say.options_note(replace(answer(), complete=False))
    none = replace(answer(), fitting=False)
    assert say.options_note(none).startswith("No combination")
    assert "Option 1 is the lowest that keeps all limits" in say.options_note(none)
    tall = row_of(made(Sort.STOCK), women=0.8, men=0.9)
    assert "as it stands" in say.options_note(found_with(tall))
    bare = found_with(answer().rows[0], fitting=False)
    assert "Option 1" not in say.options_note(bare)


def test_no_option_is_called_nearest_while_another_row_has_more_women() -> None:
    """A plan that breaks a limit may bring more women than the nearest that keeps them all."""
    stock = row_of(made(Sort.STOCK), women=0.1, men=0.5)
    plan = replace(row_of(made(Sort.PLAN, lower_seat_mm=30.0), women=0.36, men=0.8), stop="Why.")
    option = row_of(made(Sort.OPTION, 1, lower_seat_mm=20.0), women=0.28, men=0.7)
    both = say.options_note(found_with(stock, plan, option, fitting=False))
    assert both.endswith("this job's plan lets more reach, 36 of 100 women, but breaks a limit.")
    alone = say.options_note(found_with(stock, option, fitting=False))
    assert alone.endswith("Option 1 is the lowest that keeps all limits.")


@pytest.mark.parametrize(("spare", "told"), [(-35.0, "35 mm too high"), (12.0, "12 mm to spare")])
def test_the_rider_is_told_at_her_own_mass(spare: float, told: str) -> None:
    row = replace(answer().rows[0], own=Own(spare, 840.0))
    words = say.own_words(row, METRIC).replace("\N{NO-BREAK SPACE}", " ")
    assert told in words
    assert ("inside leg of 840 mm" in words) == (spare < 0)
    assert say.own_words(replace(row, own=None), METRIC) == ""


def test_table_and_page_carry_what_the_shares_rest_on() -> None:
    found = answer()
    text = (
        people_csv(found, UnitSystem.METRIC).decode("utf-8-sig").replace("\N{NO-BREAK SPACE}", " ")
    )
    paper = people_paper(found, found.rows[0], {}, METRIC)
    page = " ".join(b.text for b in paper.blocks if isinstance(b, Words))
    page = page.replace("\N{NO-BREAK SPACE}", " ")
    for words in (
        f"sole {found.question.pattern.boot_sole_mm:.0f} mm, gear 8.0 kg, the same for everybody",
        "1,986 women and 4,082 men",
        "As built for everybody",
        "tank 100 % full",
        "of the body's weight on the feet",
        "Invented",
    ):
        assert words in text
        assert words in page


def test_a_setup_past_a_limit_says_why_in_the_units_shown() -> None:
    row = replace(answer().rows[0], stop="It may carry {mass|65}")
    assert say.stop_note(row, METRIC) == "Breaks a limit: It may carry 65.0 kg."
    assert "lb" in say.stop_note(row, INCH)
    assert say.stop_note(answer().rows[0], METRIC) == ""


@pytest.mark.parametrize("system", [UnitSystem.METRIC, UnitSystem.INCH])
def test_the_table_holds_every_share_with_its_band(system: UnitSystem) -> None:
    found = answer()
    text = people_csv(found, system).decode("utf-8-sig")
    heads, *lines = csv.reader(io.StringIO(text))
    assert len(lines) == len(found.rows) + 2 * len(found.needed) + len(
        say.assumptions(found, METRIC)
    )
    for line, row in zip(lines, found.rows, strict=False):
        cells = dict(zip(heads, line, strict=True))
        unit = "mm" if system is UnitSystem.METRIC else "in"
        factor = 1.0 if system is UnitSystem.METRIC else 25.4
        assert float(cells[f"Seat stopped, {unit}"]) * factor == pytest.approx(
            row.seat_mm, abs=0.13
        )
        for who, band in zip(("Women", "Men", "All"), (*row.shares.values(), row.all), strict=True):
            told = [float(cells[f"{who}, {what} %"]) for what in ("share", "low", "high")]
            assert told == pytest.approx(
                [100 * band.value, 100 * band.low, 100 * band.high], abs=0.06
            )
        assert float(cells["Price"]) == pytest.approx(row.price, abs=0.01)


def test_the_page_has_every_row_and_says_where_the_people_come_from() -> None:
    found = answer()
    letters = {row.candidate.key: "ABCDEFGHIJKLMN"[n] for n, row in enumerate(found.rows)}
    paper = people_paper(found, found.rows[1], letters, METRIC)
    shares, needed = (block for block in paper.blocks if isinstance(block, Grid))
    assert [row[0] for row in shares.rows] == list(letters.values())
    assert len(needed.rows) == len(found.needed)
    said = " ".join(block.text for block in paper.blocks if isinstance(block, Words))
    assert "1,986 women and 4,082 men" in said
    assert "young and fit" in said
    assert "invented" in paper.remark.lower()


def test_the_shop_s_own_mix_is_told() -> None:
    assert say.mix_hint(Customers(women_share=0.25)) == "Customers of whom 25 of 100 are women"
