"""The plan as the shop's closed jobs came out: beside the plan, or planned for, only on request."""

from dataclasses import replace

import pytest
from pydantic import ValidationError

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineKind
from fitplanner.documents.shop_shares import DeliveredShare, ShopShares
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.measured.account import Closed, WayResult
from fitplanner.planning.measured.shop import learned, shares_of
from fitplanner.planning.plan import Check, Plan, WayId
from fitplanner.planning.search.engine import search
from fitplanner.session.edits import with_machine
from tests import factories

BY_SHOP = "footing-by-shop"
CHOSEN = ("fork_limiter", "shock_limiter", "raised_stanchions", "lower_seat")


def shares(share: float, *, half: float = 0.0, planned_for: bool = False) -> ShopShares:
    rows = [
        DeliveredShare(way=way, share=share, low=share - half, high=share + half, count=3)
        for way in CHOSEN
    ]
    kind = factories.machine_profile().kind
    return ShopShares(kind=kind, jobs=9, shares=rows, planned_for=planned_for)


def asked(share: float, *, half: float = 0.0, planned_for: bool = False) -> Job:
    return factories.job(shop_shares=shares(share, half=half, planned_for=planned_for))


def by_physics(plan: Plan) -> Plan:
    """The plan without what is said of the shop's jobs, and that the rest is without them."""
    checks = tuple(
        replace(each, reason=each.reason.replace(", by physics alone", ""))
        for each in plan.checks
        if each.key != BY_SHOP
    )
    summary = plan.summary.replace(", by physics alone,", "")
    return replace(plan, by_shop=None, checks=checks, summary=summary)


def shop_check(plan: Plan) -> Check | None:
    return next((each for each in plan.checks if each.key == BY_SHOP), None)


def test_beside_the_plan_the_chance_is_said_to_be_by_physics_alone() -> None:
    plan = evaluate(in_reach(shop_shares=shares(0.85)))
    assert "by physics alone" in plan.summary and shop_check(plan) is None
    assert any("by physics alone" in each.reason for each in plan.checks if each.key == "footing")
    assert "by physics alone" not in PLAIN.summary


@pytest.mark.parametrize("share", [0.85, 1.0])
def test_planned_for_sizes_by_hand_a_check_tells_the_footing_as_those_jobs_came_out(
    share: float,
) -> None:
    chosen = evaluate(in_reach())
    by_hand = Choices(
        **{f"{way.way.value}_mm": way.amount_mm for way in chosen.ways if way.offered}
    )
    job = in_reach(shop_shares=shares(share, half=0.05, planned_for=True), choices=by_hand)
    plan = evaluate(job)
    check = shop_check(plan)
    assert plan.by_shop is not None and plan.by_shop.by_hand and check is not None
    assert "nothing is planned for it" in plan.by_shop.told
    assert plan.delivered.nominal_mm == chosen.delivered.nominal_mm
    assert check.holds is plan.by_shop.reached is (share == 1.0)
    if share < 1.0:
        assert plan.by_shop.chance < 0.5 < plan.requirement.chance
        assert check.margin == pytest.approx(plan.by_shop.spare_mm)
    else:
        assert plan.by_shop.chance == pytest.approx(plan.requirement.chance, abs=0.1)


PLAIN = evaluate(factories.job())


def test_without_asking_a_plan_says_nothing_of_the_shop() -> None:
    assert PLAIN.by_shop is None


@pytest.mark.parametrize("share", [0.6, 0.9, 1.0, 1.2])
def test_beside_the_plan_no_figure_of_the_plan_moves(share: float) -> None:
    plan = evaluate(asked(share))
    assert by_physics(plan) == PLAIN and plan.by_shop is not None
    off = plan.by_shop.on_wheels_mm.value - PLAIN.delivered.on_wheels_mm.value
    assert (off > 0.5) is (share > 1.0) and (off < -0.5) is (share < 1.0)


@pytest.mark.parametrize("planned_for", [False, True])
def test_a_share_of_one_changes_nothing(planned_for: bool) -> None:
    plan = evaluate(asked(1.0, planned_for=planned_for))
    assert by_physics(plan) == PLAIN and plan.by_shop is not None
    assert plan.by_shop.on_wheels_mm.value == pytest.approx(
        PLAIN.delivered.on_wheels_mm.value, abs=1e-4
    )
    assert plan.by_shop.on_wheels_mm.low == pytest.approx(
        PLAIN.delivered.on_wheels_mm.low, abs=1e-4
    )


def in_reach(**changes: object) -> Job:
    """A job that its ways can bring low enough, with something to spare."""
    return factories.job(rider={"inside_leg_mm": 850.0}, **changes)


def test_planned_for_it_the_seat_comes_down_enough_as_those_jobs_came_out() -> None:
    plain = evaluate(in_reach())
    beside = evaluate(in_reach(shop_shares=shares(0.85))).by_shop
    plan = evaluate(in_reach(shop_shares=shares(0.85, planned_for=True)))
    assert plain.requirement.reached and beside is not None
    assert not beside.reached, "else there is nothing to plan for"
    assert plan.by_shop is not None and plan.by_shop.reached and plan.by_shop.planned_for
    assert plan.delivered.nominal_mm > plain.delivered.nominal_mm
    assert plan.requirement.reached
    assert plan.by_shop.on_wheels_mm.value < plan.delivered.on_wheels_mm.value


def test_its_drop_is_that_of_a_job_with_these_amounts_by_hand() -> None:
    share = 0.8
    found = evaluate(asked(share)).by_shop
    springs = {"front": "fork", "rear": "shock"}
    by_hand: dict[str, float] = {f"{w.way.value}_mm": share * w.amount_mm for w in PLAIN.ways}
    for end, unit in springs.items():
        spring = PLAIN.springs[end]  # type: ignore[index]
        by_hand |= {f"{unit}_rate_n_mm": spring.rate_n_mm, f"{unit}_preload_mm": spring.preload_mm}
    exact = evaluate(factories.job(choices=Choices(**by_hand)))
    assert found is not None
    assert found.on_wheels_mm.value == pytest.approx(exact.delivered.on_wheels_mm.value, abs=0.01)


def test_a_wide_share_widens_the_band() -> None:
    narrow, wide = (evaluate(asked(0.9, half=half)).by_shop for half in (0.0, 0.15))
    assert narrow is not None and wide is not None
    bands = [each.on_wheels_mm.high - each.on_wheels_mm.low for each in (narrow, wide)]
    physics = PLAIN.delivered.on_wheels_mm
    assert bands[0] == pytest.approx(physics.high - physics.low)
    assert bands[1] > bands[0] + 2.0


def test_shares_of_another_kind_of_machine_are_not_used() -> None:
    other = shares(0.8, planned_for=True).replace(kind=MachineKind.CHILD)
    assert evaluate(factories.job(shop_shares=other)) == PLAIN


def test_what_is_not_learned_is_named() -> None:
    some = shares(0.9)
    few = some.replace(shares=[each for each in some.shares if each.way != "fork_limiter"])
    found = evaluate(factories.job(shop_shares=few)).by_shop
    assert found is not None and found.unlearned and "Nothing is learned yet of" in found.told


def test_options_reach_as_those_jobs_came_out_too() -> None:
    job = in_reach(shop_shares=shares(0.85, planned_for=True))
    found = search(job).options
    assert found
    for option in found:
        plan = evaluate(job.replace(choices=option.choices))
        assert plan.by_shop is not None and plan.by_shop.reached
    by_physics_alone = search(in_reach()).options
    short = [evaluate(job.replace(choices=option.choices)).by_shop for option in by_physics_alone]
    assert any(each is not None and not each.reached for each in short)


def test_shares_come_from_the_closed_jobs_of_this_kind() -> None:
    kind = factories.machine_profile().kind
    way = WayResult(WayId.LOWER_SEAT, 20.0, 0.8, 0.02)
    jobs = [Closed(str(n), kind, 40.0, 38.0, (way,)) for n in range(4)]
    jobs.append(Closed("x", MachineKind.CHILD, 40.0, 38.0, ()))
    found = shares_of(jobs, learned(jobs), kind)
    assert found is not None and found.jobs == 4 and not found.planned_for
    (share,) = found.shares
    assert (share.way, share.count) == ("lower_seat", 4) and share.share == pytest.approx(0.8)
    assert share.low < share.share < share.high
    assert shares_of(jobs, learned(jobs), MachineKind.CHILD) is None


def test_another_machine_has_to_ask_again() -> None:
    job = asked(0.9)
    assert with_machine(job, factories.machine_profile(id="other-bike")).shop_shares is None
    assert with_machine(job, factories.machine_profile(revision=2)).shop_shares == job.shop_shares


def test_what_is_learned_belongs_to_what_is_planned_on() -> None:
    job = asked(0.9)
    assert job.planned_on().shop_shares == job.shop_shares
    assert factories.job().with_shop_of(job).shop_shares is None


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"way": "magic"}, "no way to lower"),
        ({"share": 0.0}, "greater than or equal"),
        ({"low": 0.95}, "outside its own band"),
    ],
)
def test_a_share_that_makes_no_sense_is_refused(change: dict[str, object], words: str) -> None:
    good = {"way": "lower_seat", "share": 0.9, "low": 0.8, "high": 1.0, "count": 2}
    DeliveredShare.model_validate(good)
    with pytest.raises(ValidationError, match=words):
        DeliveredShare.model_validate({**good, **change})
