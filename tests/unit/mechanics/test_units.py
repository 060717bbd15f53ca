"""Force laws: stiffness is the force's slope, preload and limiter count as a workshop does."""

import dataclasses

import numpy as np
import pytest
from scipy.integrate import quad

from fitplanner.mechanics.units import ATMOSPHERE_KPA, Fork, Shock, Unit

FORK = Fork(
    rate_n_mm=8.6,
    preload_mm=8.0,
    stroke_mm=300.0,
    cut_mm=25.0,
    friction_n=12.0,
    air_area_mm2=2600.0,
    air_bottomed_ml=260.0,
    air_exponent=1.2,
    top_out_length_mm=10.0,
    top_out_rate_n_mm=24.0,
)
SHOCK = Shock(
    rate_n_mm=54.0,
    preload_mm=7.0,
    stroke_mm=110.0,
    cut_mm=6.0,
    gas_force_n=201.0,
    bump_length_mm=12.0,
    bump_rate_n_mm=120.0,
)


@pytest.mark.parametrize("unit", [FORK, SHOCK], ids=["fork", "shock"])
def test_stiffness_is_the_slope_of_force(unit: Unit) -> None:
    x = np.linspace(26, float(unit.stroke_mm) - 0.5, 157)
    step = 1e-4
    slope = (unit.force(x + step)[0] - unit.force(x - step)[0]) / (2 * step)
    assert unit.force(x)[1] == pytest.approx(slope, rel=1e-6)


def test_preload_counts_at_the_new_extension() -> None:
    bare = Fork(rate_n_mm=8.6, preload_mm=8.0, stroke_mm=300.0, cut_mm=25.0)
    assert bare.force(25.0)[0] == pytest.approx(8.6 * 8.0)
    assert bare.force(125.0)[0] == pytest.approx(8.6 * 108.0)


@pytest.mark.parametrize("exponent", [1.0, 1.2])
def test_air_by_the_gas_law(exponent: float) -> None:
    # p V^n = const, bled at the new full extension (polytropic law, any handbook).
    fork = dataclasses.replace(
        FORK, rate_n_mm=0.0, friction_n=0.0, top_out_rate_n_mm=0.0, air_exponent=exponent
    )
    x = np.array([25.0, 100.0, 200.0, 300.0])
    volume = 260.0 + 2.6 * (300.0 - x)
    pressure = ATMOSPHERE_KPA * (volume[0] / volume) ** exponent
    assert fork.force(x)[0] == pytest.approx((pressure - ATMOSPHERE_KPA) * 2.6, abs=1e-9)


def test_top_out_spring_pulls_in_over_its_length() -> None:
    free = dataclasses.replace(FORK, top_out_rate_n_mm=0.0)
    for past, pull in ((0.0, 240.0), (4.0, 144.0), (10.0, 0.0), (50.0, 0.0)):
        x = 25.0 + past
        assert free.force(x)[0] - FORK.force(x)[0] == pytest.approx(pull, abs=1e-9)


def test_bump_rubber_and_gas() -> None:
    assert SHOCK.force(98.0)[0] == pytest.approx(54.0 * (98 - 6 + 7) + 201.0)
    assert SHOCK.force(110.0)[0] == pytest.approx(54.0 * (110 - 6 + 7) + 201.0 + 12 * 120.0)


@pytest.mark.parametrize("bottomed_ml", [5.0, 0.0, -100.0, -2000.0])
def test_overfilled_fork_locks(bottomed_ml: float) -> None:
    # No air left: the force stays finite and rising, and its stiffness its slope.
    fork = dataclasses.replace(FORK, air_bottomed_ml=bottomed_ml, top_out_rate_n_mm=0.0)
    x = np.linspace(25, 300, 2000)
    force, stiffness = fork.force(x)
    assert np.all(np.isfinite(force))
    assert np.all(np.diff(force) > 0)
    inner = x[1:-1]
    slope = (fork.force(inner + 1e-5)[0] - fork.force(inner - 1e-5)[0]) / 2e-5
    assert stiffness[1:-1] == pytest.approx(slope, rel=1e-4)
    assert force[0] == pytest.approx(8.6 * 8.0 + 12.0)


def test_work_of_the_air_column() -> None:
    # Isothermal work p V ln(V1/V2), less the atmosphere's own; thermodynamics handbook.
    fork = dataclasses.replace(
        FORK, rate_n_mm=0.0, friction_n=0.0, top_out_rate_n_mm=0.0, air_exponent=1.0
    )
    work = quad(lambda x: float(fork.force(x)[0]), 25.0, 300.0)[0]
    full, left = 260.0 + 2.6 * 275.0, 260.0
    expected = ATMOSPHERE_KPA * (full * np.log(full / left) - (full - left))
    assert work == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("unit", [FORK, SHOCK], ids=["fork", "shock"])
def test_spring_for_a_load(unit: Unit) -> None:
    preload = unit.preload_for(90.0, 900.0, 7.3)
    chosen = dataclasses.replace(unit, rate_n_mm=7.3, preload_mm=preload)
    assert chosen.force(90.0)[0] == pytest.approx(900.0)


@pytest.mark.parametrize("unit", [FORK, SHOCK], ids=["fork", "shock"])
def test_spring_for_two_loads(unit: Unit) -> None:
    rate = unit.rate_for(40.0, 500.0, 95.0, 1400.0)
    preload = unit.preload_for(40.0, 500.0, rate)
    chosen = dataclasses.replace(unit, rate_n_mm=rate, preload_mm=preload)
    assert chosen.force([40.0, 95.0])[0] == pytest.approx([500.0, 1400.0])


def test_lanes_of_figures() -> None:
    fork = dataclasses.replace(
        FORK, rate_n_mm=np.array([7.0, 8.0, 9.0]), air_area_mm2=[0, 1e3, 2e3]
    )
    force, stiffness = fork.force(np.array([[50.0], [150.0]]))
    assert force.shape == stiffness.shape == (2, 3)
    alone = dataclasses.replace(fork, rate_n_mm=8.0, air_area_mm2=1e3)
    assert force[:, 1] == pytest.approx(alone.force([50.0, 150.0])[0], rel=1e-15)
