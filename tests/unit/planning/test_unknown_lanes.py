"""Many variants of one machine: linkages mixed from a few, own springs, longer travel."""

import numpy as np
import pytest

from fitplanner.library.loader import load_library
from fitplanner.mechanics.reference import resolve
from fitplanner.planning.resolve import Values, catalogue_figures
from fitplanner.planning.setup import Setup, built, stock_setup, with_own_springs
from tests import factories

LINKAGES = ("corrieward-300", "duncarrow-250", "fellstrid-350")


@pytest.mark.parametrize("name", LINKAGES)
def test_a_linkage_in_many_lanes_is_the_linkage_solved_lane_by_lane(name: str) -> None:
    profile = load_library().profiles[name]
    chance = np.random.default_rng(5)
    overrides = {
        ("rear", key): getattr(profile.rear, key).value + sd * chance.standard_normal(400)
        for key, sd in (("arm_length_mm", 4.0), ("pivot_height_mm", 6.0))
    }
    many = resolve(catalogue_figures(profile, overrides)).machine
    rise = np.linspace(0.0, profile.rear.travel_mm.value, 9)
    for lane in range(0, 400, 57):
        alone = resolve(
            catalogue_figures(
                profile, {key: row[lane : lane + 1] for key, row in overrides.items()}
            )
        ).machine
        for mixed, solved, off in zip(
            many.leverage.evaluate(rise[:, None]),
            alone.leverage.evaluate(rise[:, None]),
            (1e-4, 1e-6, 1e-8),
            strict=True,
        ):
            assert mixed[:, lane] == pytest.approx(solved[:, 0], abs=off)


def test_longer_rods_take_a_swing_arm_that_varies() -> None:
    profile = load_library().profiles["duncarrow-250"]
    arms = profile.rear.arm_length_mm.value + np.array([-2.0, 0.0, 2.0])
    many = resolve(catalogue_figures(profile, {("rear", "arm_length_mm"): arms})).machine
    setup = stock_setup(profile)
    setup = Setup(**{**setup.__dict__, "longer_rods_mm": 3.0})
    made = built(many, profile, setup)
    for lane, arm in enumerate(arms):
        one = resolve(
            catalogue_figures(profile, {("rear", "arm_length_mm"): np.array([arm])})
        ).machine
        alone = built(one, profile, setup)
        assert made.rear_gap_mm[lane] == pytest.approx(float(alone.rear_gap_mm[0]), abs=1e-9)


def test_travel_beyond_the_table_is_carried_on() -> None:
    profile = factories.machine_profile()
    travel = np.array([298.0, 300.0, 303.0])
    machine = resolve(catalogue_figures(profile, {("rear", "travel_mm"): travel})).machine
    assert machine.limits[3] == pytest.approx(travel)


def test_a_spring_that_stays_is_as_stiff_as_it_is_and_a_bought_one_as_stamped() -> None:
    profile = factories.machine_profile()
    rates, preloads = np.array([8.4, 8.6, 8.8]), np.array([7.0, 8.0, 9.0])
    value = Values(
        profile,
        {
            ("fork", "spring_rate_n_mm"): rates,
            ("fork", "preload_mm"): preloads,
            ("rear", "spring_rate_n_mm"): rates * 6,
        },
    )
    stock = stock_setup(profile)
    kept = with_own_springs(stock, value)
    assert kept.fork_rate_n_mm is rates and kept.fork_preload_mm is preloads
    shorter = with_own_springs(Setup(**{**stock.__dict__, "fork_limiter_mm": 30.0}), value)
    assert shorter.fork_rate_n_mm is rates and shorter.fork_preload_mm == stock.fork_preload_mm
    bought = with_own_springs(Setup(**{**stock.__dict__, "shock_rate_n_mm": 50.0}), value)
    assert bought.shock_rate_n_mm == 50.0 and bought.shock_preload_mm == stock.shock_preload_mm
