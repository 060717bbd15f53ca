"""The demo job shows the pattern that workshops know: a kit's two inches are not two inches.

Common practice, no source: a trail machine that stands on its wheels at just over 927 mm
(36.5 in) comes to just under 889 mm (35 in) with a nominal 50.8 mm (2 in) limiter at both ends
and springs for the rider's weight; oil goes from 500 to 450 mL a leg; the side-stand has to be
shorter; that fork's spring sits in one leg and both legs take the same oil.
"""

import pytest

from fitplanner import paths
from fitplanner.documents.codec import load_job
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan, WayId


@pytest.fixture(scope="module")
def plan() -> Plan:
    text = (paths.resources() / "demo.fit.json").read_text(encoding="utf-8")
    return evaluate(load_job(text))


def test_two_inch_kit_delivers_less_on_the_tape(plan: Plan) -> None:
    before = plan.states.stock.on_wheels.seat_height_mm
    after = plan.states.planned.on_wheels.seat_height_mm
    assert 927.0 < before < 932.0
    assert 878.0 < after < 889.0
    assert plan.delivered.nominal_mm == pytest.approx(50.8, abs=0.4)
    assert 36.0 <= plan.delivered.on_wheels_mm.value <= 46.0


def test_the_missing_millimetres_are_named(plan: Plan) -> None:
    account = plan.delivered
    missing = account.geometry_mm + account.rate_mm + account.preload_mm
    assert missing == pytest.approx(account.nominal_mm - account.on_wheels_mm.value, abs=1e-9)
    # Published rule of the fork's lean: a cut along a fork counts with the cosine of its rake,
    # so that geometry alone takes between one and three millimetres of two inches.
    assert 1.0 < account.geometry_mm < 3.0


def test_both_ends_carry_the_nominal_kit(plan: Plan) -> None:
    amounts = {way.way: way for way in plan.ways}
    assert amounts[WayId.FORK_LIMITER].axle_mm == pytest.approx(50.8, abs=0.05)
    assert amounts[WayId.SHOCK_LIMITER].axle_mm == pytest.approx(50.8, abs=1.0)


def test_oil_and_stand_follow_practice(plan: Plan) -> None:
    rows = {row.label: row for row in plan.consequences}
    kit = rows["Oil to pour, one leg"]
    assert (kit.stock, kit.planned) == (500.0, 450.0)
    stand = rows["Stand length, pivot to foot"]
    assert stand.planned is not None
    assert stand.stock is not None
    assert stand.planned < stand.stock - 20.0
    old = rows["Lean if the old stand stays"]
    assert old.planned is not None
    assert old.stock is not None
    assert old.planned < old.stock - 5.0


def test_spring_sits_in_one_leg(plan: Plan) -> None:
    assert plan.springs["front"].legs == 1


def test_footing_wanted_is_reached(plan: Plan) -> None:
    assert plan.requirement.reached
    assert not plan.stopped_by
