"""The search against brute force: one plan for each candidate, and dominance pair by pair."""

import itertools
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from fitplanner.body.reach import Footing
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import WayOffer, WayOffers
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan, WayId
from fitplanner.planning.search.engine import search
from fitplanner.planning.search.front import Frontier, undominated
from fitplanner.planning.search.options import Found
from fitplanner.planning.search.score import Bounds
from tests.factories import job

WAYS = (WayId.FORK_LIMITER, WayId.SHOCK_LIMITER, WayId.RAISED_STANCHIONS, WayId.LOWER_SEAT)


def dominated_by_pairs(rows: np.ndarray) -> set[tuple[int, ...]]:
    """Undominated rows, found by comparing every pair."""
    unique = {tuple(int(v) for v in row) for row in rows}
    return {
        row
        for row in unique
        if not any(
            other != row and all(a >= b for a, b in zip(other, row, strict=True))
            for other in unique
        )
    }


@settings(deadline=None, max_examples=150)
@given(hnp.arrays(np.int16, st.tuples(st.integers(0, 60), st.just(4)), elements=st.integers(-4, 4)))
def test_front_is_that_of_all_pairs(rows: np.ndarray) -> None:
    kept = rows[undominated(rows)]
    assert {tuple(int(v) for v in row) for row in kept} == dominated_by_pairs(rows)
    assert len(kept) == len(dominated_by_pairs(rows))


@settings(deadline=None, max_examples=60)
@given(
    hnp.arrays(np.int16, st.tuples(st.integers(1, 80), st.just(3)), elements=st.integers(-6, 6)),
    st.integers(1, 9),
)
def test_front_does_not_depend_on_how_it_was_fed(rows: np.ndarray, chunk: int) -> None:
    front = Frontier.empty(3, 1)
    for start in range(0, len(rows), chunk):
        part = rows[start : start + chunk]
        front.add(part, np.arange(start, start + len(part))[:, None])
    assert {tuple(int(v) for v in row) for row in front.rows} == dominated_by_pairs(rows)
    assert all(
        np.array_equal(rows[tag], row) for row, (tag,) in zip(front.rows, front.tags, strict=True)
    )


def small_job(seed: int) -> Job:
    """A random rider on the trail bike with few steps of some ways and springs fixed by hand."""
    r = random.Random(seed)
    offers = {}
    for way, most in zip(WAYS, (60.0, 22.0, 8.0, 25.0), strict=True):
        if r.random() < 0.7:
            maximum = r.uniform(0.4, 1.0) * most
            offers[way.value] = WayOffer(
                maximum_mm=maximum,
                step_mm=maximum / r.choice((1, 2)),
                hours=r.choice((0.5, 1.0, 3.0)),
                parts=float(r.choice((0, 40, 150))),
            )
    base = job(
        rider={
            "inside_leg_mm": r.uniform(780.0, 900.0),
            "mass_kg": r.uniform(48.0, 90.0),
            "footing": r.choice((Footing.BOTH_BALLS, Footing.BOTH_TOES)),
        },
        machine={
            "fork": {"bump_gap_mm": r.uniform(4.0, 14.0), "kit_oil_volume_ml": None},
            "rear": {"spring_solid_mm": r.uniform(100.0, 128.0)},
        },
    )
    choices = Choices(
        fork_rate_n_mm=r.choice((6.0, 7.0, 8.0, 8.6)),
        fork_preload_mm=r.uniform(4.0, 18.0),
        shock_rate_n_mm=r.choice((44.0, 50.0, 54.0, 60.0)),
        shock_preload_mm=r.uniform(3.0, 14.0),
    )
    machine = base.machine.replace(ways=WayOffers(**offers))
    return base.replace(machine=machine, choices=choices)


def candidates(of: Job) -> list[Choices]:
    axes = []
    for way in WAYS:
        offer: WayOffer | None = getattr(of.machine.ways, way.value)
        count = 0 if offer is None else round(offer.maximum_mm / offer.step_mm)
        step = 0.0 if offer is None else offer.step_mm
        axes.append([round(i * step, 6) for i in range(count + 1)])
    return [
        of.choices.replace(**{f"{w.value}_mm": v for w, v in zip(WAYS, amounts, strict=True)})
        for amounts in itertools.product(*axes)
    ]


def fits(plan: Plan) -> bool:
    """No stop among the limits of the search, and the footing reached, by the plan's own words."""
    checks = {c.key: c for c in plan.checks}
    holds = all(
        checks[key].holds
        for key in (
            "footing", "front-gap", "rear-gap", "fork-carries", "rear-carries", "fork-bind",
            "shock-bind", "fork-free", "rear-free",
        )
    )  # fmt: skip
    for spring in plan.springs.values():
        low, high = (edge / spring.sag.travel_mm for edge in spring.rider_window_mm)
        share = spring.sag.rider_mm / spring.sag.travel_mm
        holds = holds and max(low - share, share - high, 0.0) <= Bounds().front_sag_miss + 1e-9
    return holds


def key(choices: Choices) -> tuple[float, ...]:
    return tuple(round(getattr(choices, f"{way.value}_mm") or 0.0, 6) for way in WAYS)


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, 200, 20))
def test_search_is_brute_force_on_small_spaces(first: int) -> None:
    for seed in range(first, first + 20):
        of = small_job(seed)
        found = search(of)
        plans = {key(c): evaluate(of.replace(choices=c)) for c in candidates(of)}
        good = {name for name, plan in plans.items() if fits(plan)}
        assert found.candidates == len(plans)
        assert found.fitting == len(good), f"seed {seed}"
        assert {key(c) for c in found.front.choices} <= good
        agrees_with_plans(found, of)


def agrees_with_plans(found: Found, of: Job) -> None:
    """Every option's measures are those of its own plan."""
    for option in found.options:
        plan = evaluate(of.replace(choices=option.choices))
        assert not plan.stopped_by
        after, m = plan.requirement.planned, option.measures
        margin = next(c for c in plan.checks if c.key == "footing").margin
        assert m.footing_mm == pytest.approx(margin, abs=1e-6)
        trail = plan.states.planned.rider_up.trail_mm - plan.states.stock.rider_up.trail_mm
        assert m.steering_mm == pytest.approx(abs(trail), abs=1e-6)
        rows = {row.label: row for row in plan.consequences}
        assert m.clearance_mm == pytest.approx(
            rows["Ground clearance on its wheels"].planned, abs=1e-6
        )
        assert m.knee_deg == pytest.approx(rows["Knee angle on the pegs"].planned, abs=1e-6)
        travel = min(
            spring.sag.travel_mm / spring.sag.stock_travel_mm for spring in plan.springs.values()
        )
        assert m.travel == pytest.approx(travel, abs=1e-9)
        reserve = min(
            rows[f"Bottoming reserve, {end}"].planned / rows[f"Bottoming reserve, {end}"].stock
            for end in ("front", "rear")
        )
        assert m.reserve == pytest.approx(reserve, abs=1e-6)
        assert after.seat_mm > 0


@pytest.mark.parametrize("seed", range(12))
def test_pruning_changes_nothing(seed: int) -> None:
    of = small_job(seed).replace(choices=Choices())
    pruned, whole = search(of), search(of, prune=False)
    assert pruned.fitting == whole.fitting
    assert [o.choices for o in pruned.options] == [o.choices for o in whole.options]
    assert {c.model_dump_json() for c in pruned.front.choices} == {
        c.model_dump_json() for c in whole.front.choices
    }
    assert pruned.evaluated + pruned.pruned == whole.evaluated == pruned.candidates


@settings(deadline=None, max_examples=25)
@given(st.integers(0, 10_000))
def test_seat_only_comes_down_along_each_amount(seed: int) -> None:
    """The bound behind the pruning: with springs fixed, more of a way never lifts the seat."""
    r = random.Random(seed)
    of = small_job(seed)
    base = {f"{way.value}_mm": 0.0 for way in WAYS}
    way, most = r.choice(list(zip(WAYS[:3], (120.0, 45.0, 30.0), strict=True)))
    others = {f"{w.value}_mm": r.uniform(0, 10.0) for w in WAYS}
    heights = []
    for amount in np.linspace(0, most, 6):
        amounts = {**base, **others, f"{way.value}_mm": float(amount)}
        plan = evaluate(of.replace(choices=of.choices.replace(**amounts)))
        heights.append(plan.states.planned.stopped.seat_height_mm)
    assert all(b <= a + 1e-9 for a, b in itertools.pairwise(heights))
