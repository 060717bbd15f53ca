"""A library ranked for one rider says what a plan of each machine says.

The reference for every figure of a row is the plan of the row's own job, solved by itself; the
reference for the stacked lanes is each machine alone.
"""

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest

from fitplanner.body.reach import Footing
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import LeverageTable, MachineKind, MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.documents.rider import Rider
from fitplanner.library.loader import load_library
from fitplanner.planning.abreast import Curves
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.fleet import Doing, FleetRow, rank
from fitplanner.planning.plan import Plan, WayId
from fitplanner.planning.resolve import reference
from fitplanner.planning.rider import IncompleteError
from tests import factories

PROFILES: Mapping[str, MachineProfile] = load_library().profiles
RIDERS: Mapping[str, Rider] = load_library().riders
RATES = Rates(hourly=70.0, currency="EUR")
WISHES = (Footing.BOTH_BALLS, Footing.ONE_FOOT_FLAT)


@cache
def rows(wish: Footing) -> tuple[FleetRow, ...]:
    return rank(RIDERS["ilka"].replace(footing=wish), PROFILES.values(), RATES)


@cache
def planned(wish: Footing, machine: str) -> tuple[FleetRow, Plan]:
    row = next(row for row in rows(wish) if row.profile.id == machine)
    rider = RIDERS["ilka"].replace(footing=wish)
    return row, evaluate(Job(rider=rider, machine=row.profile, choices=row.choices))


every_row = pytest.mark.parametrize("machine", PROFILES)
every_wish = pytest.mark.parametrize("wish", WISHES)


@every_row
@every_wish
def test_a_plan_of_the_row_says_the_same(wish: Footing, machine: str) -> None:
    row, plan = planned(wish, machine)
    need = plan.requirement
    assert row.drop_mm == pytest.approx(need.drop_mm.value, abs=1e-4)
    assert (row.before, row.after) == (need.stock.footing, need.planned.footing)
    assert {way.way: way.amount_mm for way in plan.ways if way.amount_mm > 0} == dict(row.amounts)
    changed = tuple(each.rate_n_mm != each.stock_rate_n_mm for each in plan.springs.values())
    assert changed == row.springs
    assert (row.doing is not Doing.IMPOSSIBLE) == (need.reached and not plan.stopped_by)
    assert row.stop == (plan.stopped_by[0].key if plan.stopped_by else "")


@every_row
def test_the_price_is_work_by_the_hour_and_parts(machine: str) -> None:
    row, plan = planned(Footing.BOTH_BALLS, machine)
    assert row.price == pytest.approx(row.hours * 70.0 + row.parts)
    # By hand: parts of every way fitted, and of every spring that is not the stock one.
    parts = 0.0
    for way, _ in row.amounts:
        offer = getattr(row.profile.ways, way.value)
        parts += offer.parts
    for spring, offer in zip(
        (plan.springs["front"], plan.springs["rear"]),
        (row.profile.springs.fork, row.profile.springs.shock),
        strict=True,
    ):
        if spring.rate_n_mm != spring.stock_rate_n_mm:
            parts += offer.parts
    assert row.parts == pytest.approx(parts + row.new_stand * row.profile.stand_work.parts)


def test_what_reaches_the_wish_needs_no_more_than_it_does() -> None:
    for row in rows(Footing.BOTH_BALLS):
        ways = {way for way, _ in row.amounts}
        inside = {WayId.FORK_LIMITER, WayId.SHOCK_LIMITER, WayId.RAISED_STANCHIONS}
        if row.doing is Doing.NOTHING:
            assert not ways
        elif row.doing is Doing.SEAT:
            assert ways and not ways & inside
        elif row.doing is Doing.SUSPENSION:
            assert ways & inside
            # Without the suspension it would not reach: seat, width and sole at their most.
            around = {
                f"{way.value}_mm": offer.maximum_mm if offer else 0.0
                for way in (WayId.LOWER_SEAT, WayId.NARROWER_SEAT, WayId.THICKER_SOLE)
                if (offer := getattr(row.profile.ways, way.value)) or True
            }
            none = {f"{way.value}_mm": 0.0 for way in inside}
            choices = row.choices.replace(**around, **none)
            job = Job(rider=RIDERS["ilka"], machine=row.profile, choices=choices)
            assert not evaluate(job).requirement.reached


def test_the_least_work_comes_first_then_the_least_money() -> None:
    ranked = rows(Footing.BOTH_BALLS)
    places = [list(Doing).index(row.doing) for row in ranked]
    assert places == sorted(places)
    assert {Doing.NOTHING, Doing.SEAT, Doing.SUSPENSION, Doing.IMPOSSIBLE} <= {
        row.doing for row in ranked
    }
    for doing in (Doing.NOTHING, Doing.SEAT, Doing.SUSPENSION):
        prices = [row.price for row in ranked if row.doing is doing]
        assert prices == sorted(prices)


def test_the_order_in_which_the_library_is_read_does_not_matter() -> None:
    backwards = rank(RIDERS["ilka"], list(PROFILES.values())[::-1], RATES)
    assert [row.profile.id for row in backwards] == [
        row.profile.id for row in rank(RIDERS["ilka"], PROFILES.values(), RATES)
    ]


def test_a_machine_among_others_is_as_it_is_alone() -> None:
    # A seat known by its arc, a linkage and a plain table: each branch of the stacked lanes.
    for machine in ("hallowmoor-900", "fellstrid-350", "brackwell-250"):
        (alone,) = rank(RIDERS["ilka"], [PROFILES[machine]], RATES)
        among = next(row for row in rows(Footing.BOTH_BALLS) if row.profile.id == machine)
        assert alone.choices == among.choices
        assert alone.over_after_mm == pytest.approx(among.over_after_mm, abs=1e-6)


def test_a_rider_too_heavy_for_the_plate_is_told_so() -> None:
    row = next(r for r in rows(Footing.BOTH_BALLS) if r.profile.id == "thimble-65")
    assert row.doing is Doing.IMPOSSIBLE
    assert row.stop == "payload"
    assert "{mass|" in row.reason


def test_luggage_counts_and_amounts_of_the_job_do_not() -> None:
    carried = Choices(luggage_rear_kg=30.0, fork_limiter_mm=20.0, shock_rate_n_mm=60.0)
    loaded = rank(RIDERS["ilka"], PROFILES.values(), RATES, carried=carried)
    by_id = {row.profile.id: row for row in rows(Footing.BOTH_BALLS)}
    for row in loaded:
        assert row.choices.luggage_rear_kg == 30.0
        assert row.choices.shock_rate_n_mm is None
        # More weight on the springs, less to lower.
        assert row.over_before_mm < by_id[row.profile.id].over_before_mm


def test_a_profile_that_gives_no_machine_stands_last_with_its_reason() -> None:
    good = next(p for p in PROFILES.values() if p.rear.linkage.layout == "rocker_on_frame")
    broken = good.rear.linkage.replace(arm_point_mm=[-600.0, -400.0])
    profile = good.replace(id="broken", rear=good.rear.replace(linkage=broken))
    ranked = rank(RIDERS["ilka"], [profile, *PROFILES.values()], RATES)
    assert ranked[-1].profile.id == "broken"
    assert "rear linkage" in ranked[-1].reason


def test_a_rider_of_whom_nothing_is_known_is_refused() -> None:
    with pytest.raises(IncompleteError):
        rank(factories.rider(mass_kg=None), PROFILES.values(), RATES)


def test_it_stops_when_told() -> None:
    asked = iter([False, False, True])
    assert rank(RIDERS["ilka"], PROFILES.values(), RATES, cancelled=lambda: next(asked)) == ()


def test_curves_abreast_are_the_curves_alone() -> None:
    curves = [reference(profile).machine.leverage for profile in PROFILES.values()]
    together = Curves.of(curves, [2] * len(curves))
    y = np.linspace(-5.0, 260.0, 2 * len(curves))
    for mine, each in zip(together.evaluate(y[:, None]), range(3), strict=True):
        alone = [curves[i // 2].evaluate(y[i])[each] for i in range(len(y))]
        np.testing.assert_allclose(mine[:, 0], alone, rtol=0, atol=1e-12)
    shock = np.linspace(1.0, 60.0, len(y))
    rise = [float(curves[i // 2].rise_at(shock[i])) for i in range(len(y))]
    np.testing.assert_allclose(together.rise_at(shock[:, None])[:, 0], rise, atol=1e-9)
    assert any(isinstance(p.rear.linkage, LeverageTable) for p in PROFILES.values())


def test_a_child_s_machine_comes_last_in_its_group_for_a_grown_rider() -> None:
    rider = RIDERS["ilka"].replace(inside_leg_mm=735.0, stature_mm=1580.0, mass_kg=55.0)
    rows = rank(rider, PROFILES.values(), Rates())
    child = next(row for row in rows if row.profile.kind is MachineKind.CHILD)
    assert child.for_a_child and child.doing is Doing.NOTHING
    group = [row for row in rows if row.doing is child.doing]
    assert group[-1] is child
    light = rank(rider.replace(mass_kg=35.0), [child.profile], Rates())
    assert not light[0].for_a_child


def test_a_way_that_a_machine_does_not_accept_is_left_open() -> None:
    for row in rank(RIDERS["ilka"], PROFILES.values(), Rates()):
        for way in WayId:
            if getattr(row.profile.ways, way.value) is None:
                assert getattr(row.choices, f"{way.value}_mm") is None
