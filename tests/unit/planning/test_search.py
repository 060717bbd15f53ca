"""The search: limits bind, hands stay, it can be stopped, and it says what comes nearest."""

import dataclasses

import numpy as np
import pytest

from fitplanner.documents.job import Job
from fitplanner.documents.machine import WayOffer, WayOffers
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import WayId
from fitplanner.planning.search.engine import search
from fitplanner.planning.search.options import Found, Measure, Priorities
from fitplanner.planning.search.score import Bounds
from tests.factories import job

OFFERS = WayOffers(
    fork_limiter=WayOffer(maximum_mm=60.0, step_mm=15.0, hours=3.0, parts=60.0),
    shock_limiter=WayOffer(maximum_mm=24.0, step_mm=6.0, hours=2.5, parts=40.0),
    raised_stanchions=WayOffer(maximum_mm=9.0, step_mm=3.0, hours=0.5),
    lower_seat=WayOffer(maximum_mm=25.0, step_mm=25.0, hours=0.2, parts=180.0),
)


@pytest.fixture
def of() -> Job:
    base = job(rider={"inside_leg_mm": 850.0})
    return base.replace(machine=base.machine.replace(ways=OFFERS))


def counts(found: Found) -> dict[str, int]:
    return {each.key: each.count for each in found.excluded}


@pytest.mark.parametrize(
    ("key", "tight"),
    [
        ("front_gap_mm", 34.0),
        ("rear_gap_mm", 36.0),
        ("front_bump", 0.78),
        ("rear_bump", 0.68),
        ("front_bind_mm", 40.0),
        ("rear_bind_mm", 45.0),
        ("front_free_mm", 28.0),
        ("rear_free_mm", 30.0),
        ("front_sag_miss", 0.0),
        ("rear_sag_miss", 0.0),
        ("footing_mm", 20.0),
    ],
)
def test_every_limit_binds_when_it_is_tightened(of: Job, key: str, tight: float) -> None:
    free, bound = search(of), search(of, bounds=dataclasses.replace(Bounds(), **{key: tight}))
    assert counts(bound)[key] > counts(free).get(key, 0)
    assert bound.fitting < free.fitting


def test_options_differ_and_each_has_its_reason(of: Job) -> None:
    found = search(of)
    assert 3 <= len(found.options) <= 6
    assert len({option.reason for option in found.options}) == len(found.options)
    setups = [(option.ways, option.choices.fork_rate_n_mm, option.choices.shock_rate_n_mm)
              for option in found.options]  # fmt: skip
    assert len({str(each) for each in setups}) == len(setups)
    for option in found.options:
        plan = evaluate(of.replace(choices=option.choices))
        assert plan.requirement.reached
        assert not plan.stopped_by


def test_cheapest_and_most_travel_are_among_the_options(of: Job) -> None:
    found = search(of)
    shown = found.front.shown
    sound = (shown[Measure.SAG] <= 0) & (shown[Measure.RESERVE] >= 0.6)
    sound &= shown[Measure.STEERING] <= 12
    assert min(o.measures.cost for o in found.options) <= shown[Measure.COST][sound].min()
    top = shown[Measure.TRAVEL][sound].max()
    assert max(o.measures.travel for o in found.options) >= top - 1e-9


def test_priorities_rank_and_never_change_the_front(of: Job) -> None:
    travel = search(of, Priorities(travel=1.0, steering=0.0, comfort=0.0, price=0.0))
    price = search(of, Priorities(travel=0.0, steering=0.0, comfort=0.0, price=1.0))
    assert len(travel.front.choices) == len(price.front.choices)
    assert travel.options[0].measures.travel >= price.options[0].measures.travel
    assert price.options[0].measures.cost <= travel.options[0].measures.cost


def test_what_is_fixed_by_hand_is_kept(of: Job) -> None:
    choices = of.choices.replace(lower_seat_mm=25.0, shock_rate_n_mm=56.0, shock_preload_mm=7.0)
    found = search(of.replace(choices=choices))
    for option in found.options:
        assert option.choices.lower_seat_mm == 25.0
        assert (option.choices.shock_rate_n_mm, option.choices.shock_preload_mm) == (56.0, 7.0)


def test_candidates_are_the_product_of_the_axes(of: Job) -> None:
    found = search(of)
    assert found.candidates == found.evaluated + found.pruned
    assert found.candidates % (5 * 5 * 4 * 2) == 0


def test_nothing_fits_names_the_least_relaxation(of: Job) -> None:
    short = of.replace(rider=of.rider.replace(inside_leg_mm=700.0, stature_mm=1580.0))
    found = search(short)
    assert found.fitting == 0
    assert not found.options
    assert found.relaxations
    footing = next(each for each in found.relaxations if each.key == "footing_mm")
    plan = evaluate(short.replace(choices=footing.option.choices))
    margin = next(c for c in plan.checks if c.key == "footing").margin
    assert footing.by == pytest.approx(-margin, abs=1e-6)
    # Relaxed by that much and no less, the same candidate fits.
    for slack, fits in ((1e-6, True), (-0.01, False)):
        bounds = Bounds(footing_mm=-(footing.by + slack))
        assert (search(short, bounds=bounds).fitting > 0) is fits


def test_machine_that_offers_nothing_still_answers(of: Job) -> None:
    bare = of.replace(machine=of.machine.replace(ways=WayOffers()))
    found = search(bare)
    assert found.candidates > 0
    assert all(not option.ways for option in found.options)


def test_progress_grows_and_a_cancelled_search_says_so(of: Job) -> None:
    shares: list[float] = []
    found = search(of, progress=lambda share, _: shares.append(share))
    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(1.0)
    assert found.complete
    stopped = search(of, cancelled=lambda: True)
    assert not stopped.complete
    assert stopped.evaluated == 0


def test_same_job_gives_the_same_answer(of: Job) -> None:
    assert search(of) == search(of)


def test_softer_ways_are_told_by_their_cost(of: Job) -> None:
    """Backing preload off lowers the seat for nothing and shows in the reserve."""
    found = search(of)
    table = found.front.measures
    free = table[Measure.COST] >= -1e-9
    if np.any(free):
        assert table[Measure.RESERVE][free].max() <= table[Measure.RESERVE].max()


def test_every_way_is_named_in_the_order_of_work(of: Job) -> None:
    for option in search(of).options:
        names = [name for name, _ in option.ways]
        order = [way.value for way in WayId]
        assert names == sorted(names, key=order.index)
