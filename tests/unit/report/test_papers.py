"""What papers say, before they are laid out."""

import re
from dataclasses import replace
from types import SimpleNamespace

import pytest

from fitplanner.documents.machine import INVENTED
from fitplanner.documents.preferences import Rates
from fitplanner.documents.shop_shares import DeliveredShare, ShopShares
from fitplanner.planning.account import account
from fitplanner.planning.bench import order
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Band, Severity
from fitplanner.quantities import Kind, UnitSystem
from fitplanner.report.papers import (
    Paper,
    Writer,
    bench_sheet,
    fit_sheet,
    parts_list,
    proof_paper,
    specialist_order,
)
from fitplanner.report.papers.paper import Grid, Heading, Picture, Task, Words
from fitplanner.report.papers.proof import missing
from fitplanner.report.papers.write import HABIT, chance_words
from tests import factories

METRIC = Writer(UnitSystem.METRIC, lambda amount: f"€{amount:.2f}")
INCH = Writer(UnitSystem.INCH, lambda amount: f"€{amount:.2f}")
JOB = factories.job(choices={"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0}, reference="26-17")
PLAN = evaluate(JOB)


def words(paper: Paper) -> str:
    return repr(paper).replace("\\xa0", " ")


def grid(paper: Paper) -> Grid:
    return next(block for block in paper.blocks if isinstance(block, Grid))


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (1.0, "very likely (100 of 100)"),
        (0.9999, "very likely (99 of 100)"),
        (0.78, "likely (78 of 100)"),
        (0.5, "as likely as not (50 of 100)"),
        (0.0001, "very unlikely (1 of 100)"),
        (0.0, "very unlikely (0 of 100)"),
    ],
)
def test_a_chance_is_told_in_words_and_cases(chance: float, said: str) -> None:
    assert chance_words(chance) == said


def test_figures_follow_the_units_with_digits_to_work_to() -> None:
    assert METRIC.text(30.0, Kind.LENGTH, 1) == "30.0\N{NO-BREAK SPACE}mm"
    assert INCH.text(30.0, Kind.LENGTH, 1) == "1.181\N{NO-BREAK SPACE}in"
    assert Writer(UnitSystem.METRIC, str, ",").text(1.5, Kind.LENGTH, 1).startswith("1,5")


def test_habits_are_marked_and_the_mark_is_explained_at_the_foot() -> None:
    sheet = bench_sheet(JOB, PLAN, METRIC)
    tasks = [block for block in sheet.blocks if isinstance(block, Task)]
    assert {task.mark for task in tasks} == {HABIT, ""}
    assert sheet.foot.startswith(HABIT) and "no source" in sheet.foot


def test_a_plan_that_must_not_be_built_says_so_first() -> None:
    job = factories.job(choices={"fork_limiter_mm": 300.0})
    plan = evaluate(job)
    assert plan.stopped_by
    first = bench_sheet(job, plan, METRIC).blocks[0]
    assert isinstance(first, Words) and first.text.startswith("Do not build")
    assert "Not to be built" in words(fit_sheet(job, plan, account(job, plan, Rates()), METRIC))


def test_checks_that_do_not_hold_are_named_before_the_first_step() -> None:
    open_ones = [
        check for check in PLAN.checks if not check.holds and check.severity is Severity.CAUTION
    ]
    some = replace(PLAN.checks[0], severity=Severity.CAUTION, holds=False, title="Some check")
    other = replace(some, title="Another check")
    held = replace(some, title="Held check", holds=True)
    plan = replace(PLAN, checks=(some, other, held))
    first = bench_sheet(JOB, plan, METRIC).blocks[0]
    assert isinstance(first, Words) and "to look at first: Some check (" in first.text
    assert "; Another check (" in first.text and "Held check" not in first.text
    assert ("to look at first" in words(bench_sheet(JOB, PLAN, METRIC))) is bool(open_ones)
    quiet = bench_sheet(JOB, replace(PLAN, checks=(held,)), METRIC)
    assert isinstance(quiet.blocks[0], Heading)


def test_an_invented_machine_is_named_so_on_every_paper() -> None:
    job = JOB.replace(machine=JOB.machine.replace(invented=True))
    found = order(job, PLAN)
    assert found is not None
    cost = account(job, PLAN, Rates())
    papers = [
        bench_sheet(job, PLAN, METRIC),
        parts_list(job, PLAN, METRIC),
        fit_sheet(job, PLAN, cost, METRIC),
        specialist_order(found, METRIC),
    ]
    assert [paper.remark for paper in papers] == [INVENTED] * 4
    assert bench_sheet(JOB, PLAN, METRIC).remark == ""


def test_the_order_carries_neither_title_nor_name() -> None:
    found = order(JOB, PLAN)
    assert found is not None
    paper = specialist_order(found, METRIC)
    assert paper.reference == "26-17"
    assert JOB.title not in words(paper) and JOB.rider.name not in words(paper)
    assert all(block.text for block in paper.blocks if isinstance(block, Words))


def test_the_customer_is_told_gain_loss_price_doubt_and_way_back() -> None:
    cost = replace(account(JOB, PLAN, Rates(hourly=60.0)), cost=389.9, hours=4.5, undo=0.8)
    paper = fit_sheet(JOB, PLAN, cost, METRIC)
    text = words(paper)
    assert paper.one_page
    assert any(isinstance(block, Picture) for block in paper.blocks)
    assert chance_words(PLAN.requirement.chance) in text
    rows = {row[0]: row[1:] for row in grid(paper).rows}
    seat = PLAN.states
    assert rows["Seat, on its wheels"] == (
        METRIC.text(seat.stock.on_wheels.seat_height_mm),
        METRIC.text(seat.planned.on_wheels.seat_height_mm),
    )
    assert rows["Travel of the fork"] == (METRIC.text(300.0), METRIC.text(270.0))
    assert "€389.90" in text and "4.5 h" in text and "80 %" in text
    for assumption in PLAN.assumptions:
        told = METRIC.sentence(assumption)[:40]
        assert told in text or told.startswith("Assumed in the machine's profile")
    assert "figures of the machine are assumed" in text and "unsprung" not in text.lower()
    assert "What we do" in text and "Extension limiter, fork" in text
    assert "rake" in rows["Steering, with you on it"][1]


def test_parts_without_a_price_are_marked_and_the_sum_is_of_the_others() -> None:
    paper = parts_list(JOB, PLAN, METRIC)
    table = grid(paper)
    assert table.total and table.rows[-1][3] == "€0.00"
    assert all(row[3] == "–" for row in table.rows[:-1])
    assert "ask before quoting" in words(paper)


def test_the_proof_sets_delivered_beside_predicted() -> None:
    proof = SimpleNamespace(
        tell=("Your seat came down by {length|44}.",),
        drops=(
            SimpleNamespace(
                label="On its wheels",
                planned_mm=43.0,
                predicted=Band(43.0, 41.0, 45.0),
                delivered=Band(44.0, 43.0, 45.0),
                inside=True,
                on_tape=True,
            ),
            SimpleNamespace(
                label="Rider up",
                planned_mm=40.0,
                predicted=Band(40.0, 38.0, 42.0),
                delivered=Band(43.0, 39.0, 47.0),
                inside=True,
                on_tape=False,
            ),
        ),
        readings=(
            SimpleNamespace(
                name="Seat, on its wheels",
                kind=Kind.LENGTH,
                predicted=Band(886.0, 880.0, 892.0),
                delivered=870.0,
                inside=False,
                fits=True,
            ),
            SimpleNamespace(
                name="Front axle",
                kind=Kind.LENGTH,
                predicted=Band(600.0, 597.0, 603.0),
                delivered=580.0,
                inside=False,
                fits=False,
            ),
            SimpleNamespace(
                name="oil",
                kind=Kind.VOLUME,
                predicted=None,
                delivered=450.0,
                inside=None,
                fits=True,
            ),
        ),
        lean=SimpleNamespace(
            before_deg=11.0, after_deg=None, restored=None, before_read=False, wanted=True
        ),
        complete=True,
        checks=PLAN.checks,
        misfits=("The seat is {length|16} off.",),
        look_at="Look at: the limiter, {length|3} short.",
    )
    lacking = missing(proof, 3, 36)
    text = words(proof_paper(JOB, proof, METRIC, lacking))
    assert "Not complete yet: 3 of 36 steps ticked; lean on the side-stand not read" in text
    assert "11.0°, by the profile: not read" in text
    drops = grid(proof_paper(JOB, proof, METRIC)).rows
    assert [row[4] for row in drops] == ["Tape", "Worked out"]
    assert not missing(SimpleNamespace(**{**proof.__dict__, "lean": restored()}), 36, 36)
    assert "came down by 44 mm" in text and "is 16 mm off" in text
    assert "41 to 45 mm" in text and "−16 mm" in text
    assert "43 mm (39 to 47 mm)" in text and "Agrees, as far as the tape tells" in text
    assert "Seat, on its wheels" in text and "after the work" not in text.replace(
        "Readings after the work", ""
    )
    assert "Not as predicted, fits the others" in text and "Nothing to compare" in text
    assert "Does not fit the others" in text
    assert "the limiter, 3 mm short" in text
    assert "450 mL" in text and "not measured" in text


def restored() -> SimpleNamespace:
    return SimpleNamespace(after_deg=11.0, restored=True, wanted=True)


def test_in_inches_a_tape_shows_sixteenths_and_a_caliper_decimals() -> None:
    sheet = bench_sheet(JOB, PLAN, INCH)
    tasks = [block for block in sheet.blocks if isinstance(block, Task)]
    seen = {"tape": 0, "caliper": 0}
    for task in tasks:
        for fact in task.facts:
            if plain(fact.value).endswith(" in") and "tape" in task.tools:
                assert re.fullmatch(r"(\d+)?( ?\d+/(2|4|8|16))? in", plain(fact.value)), fact
                seen["tape"] += 1
            elif plain(fact.value).endswith(" in") and "caliper" in task.tools:
                assert re.fullmatch(r"-?\d+\.\d+ in", plain(fact.value)), fact
                seen["caliper"] += 1
    assert all(seen.values())


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_papers_say_where_the_shop_s_experience_was_planned_with() -> None:
    row = DeliveredShare(way="fork_limiter", share=0.9, low=0.8, high=1.0, count=3)
    for planned_for in (False, True):
        shares = ShopShares(kind=JOB.machine.kind, jobs=3, shares=[row], planned_for=planned_for)
        job = JOB.replace(shop_shares=shares)
        plan = evaluate(job)
        made = account(job, plan, Rates())
        for sheet in (bench_sheet(job, plan, METRIC), parts_list(job, plan, METRIC)):
            assert ("With the shop's experience." in words(sheet)) is planned_for
        assert "3 closed jobs" in words(fit_sheet(job, plan, made, METRIC))
        assert plan.by_shop is not None
        fit, by_shop = words(fit_sheet(job, plan, made, METRIC)), chance_words(plan.by_shop.chance)
        # Asked for, height and footing are both those of the shop's jobs; else both by physics.
        if planned_for:
            assert f"to the ground is {by_shop}." in fit and "by physics alone it would be" in fit
        else:
            assert METRIC.sentence(plan.by_shop.told) in fit
            assert f"{chance_words(plan.requirement.chance)}, by physics alone." in fit
        assert "After, by physics alone" in fit


def test_the_fit_sheet_of_a_closed_job_says_what_was_delivered() -> None:
    told = ("On its wheels the seat is {length|34} lower than before; {length|42} was planned.",)
    text = words(fit_sheet(JOB, PLAN, account(JOB, PLAN, Rates()), METRIC, told))
    assert "the seat is 34 mm lower than before; 42 mm was planned" in text
    assert "will stand" not in text and "After, as it was planned" in text
