"""Any job that the documents accept gives a plan with finite figures, never a traceback."""

import math
from dataclasses import replace

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from fitplanner.body.reach import Footing
from fitplanner.documents.job import Choices
from fitplanner.documents.shop_shares import DeliveredShare, ShopShares
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import STATE_NAMES, Plan
from tests.factories import job, rider


def told_of(plan: Plan) -> Plan:
    """The plan without the words that say whether the shop's jobs were asked."""
    checks = tuple(
        replace(one, reason=one.reason.replace(", by physics alone", ""))
        for one in plan.checks
        if one.key != "footing-by-shop"
    )
    summary = plan.summary.replace(", by physics alone,", "")
    return replace(plan, by_shop=None, checks=checks, summary=summary)


def maybe(low: float, high: float) -> st.SearchStrategy[float | None]:
    return st.none() | st.floats(low, high)


choices = st.builds(
    Choices,
    fork_limiter_mm=maybe(0, 400),
    shock_limiter_mm=maybe(0, 200),
    raised_stanchions_mm=maybe(0, 200),
    lower_seat_mm=maybe(0, 200),
    fork_rate_n_mm=maybe(1, 30),
    fork_preload_mm=maybe(0, 120),
    shock_rate_n_mm=maybe(5, 350),
    shock_preload_mm=maybe(0, 120),
    pitch_wish_deg=st.floats(-3, 3),
    fuel_share=st.floats(0, 1),
    luggage_front_kg=st.floats(0, 60),
    luggage_rear_kg=st.floats(0, 120),
    feet_share=st.floats(0, 0.9),
)
riders = st.builds(
    lambda **kw: rider(**kw),
    stature_mm=st.floats(900, 2200),
    inside_leg_mm=maybe(350, 1100),
    mass_kg=st.floats(15, 200),
    gear_mass_kg=st.floats(0, 60),
    boot_sole_mm=st.floats(0, 90),
    footing=st.sampled_from(list(Footing)),
)


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(choices, riders)
@example(
    Choices(fuel_share=0.0, feet_share=0.0),  # little is left of the shin in the front view
    rider(
        stature_mm=1946.0,
        inside_leg_mm=None,
        mass_kg=179.0,
        gear_mass_kg=38.0,
        boot_sole_mm=90.0,
        footing=Footing.ONE_FOOT_FLAT,
    ),
)
def test_every_accepted_job_gives_a_plan(chosen: Choices, who) -> None:
    plan = evaluate(job(choices=chosen, rider=who))
    for states in (plan.states.stock, plan.states.planned):
        for name in STATE_NAMES:
            state = getattr(states, name)
            assert math.isfinite(state.seat_height_mm)
            assert math.isfinite(state.trail_mm)
    assert all(math.isfinite(c.margin) for c in plan.checks)
    assert plan.pictures.side["stopped"].after
    assert plan.pictures.front["stopped"].after


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(choices, riders, st.floats(0.5, 1.5), st.booleans())
def test_what_the_shop_learned_never_moves_a_figure_beside_the_plan(
    chosen: Choices, who, share: float, planned_for: bool
) -> None:
    plain = job(choices=chosen, rider=who)
    row = DeliveredShare(way="shock_limiter", share=share, low=share, high=share, count=2)
    asked = ShopShares(kind=plain.machine.kind, jobs=2, shares=[row], planned_for=planned_for)
    plan = evaluate(plain.replace(shop_shares=asked))
    assert plan.by_shop is not None and math.isfinite(plan.by_shop.on_wheels_mm.value)
    if not planned_for or share == 1.0:
        assert told_of(plan) == told_of(evaluate(plain))
