"""A unit's energy is the integral of its force: by SciPy's quadrature."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from fitplanner.mechanics.units import Fork, Shock


@settings(deadline=None)
@given(
    rate=st.floats(2, 20),
    preload=st.floats(0, 40),
    cut=st.floats(0, 100),
    area=st.floats(0, 4000),
    air=st.floats(20, 500),
    exponent=st.sampled_from([1.0, 1.0, 1.2, 1.4]),
    top=st.floats(0, 40),
    to=st.floats(0.01, 1.0),
)
def test_fork(
    rate: float, preload: float, cut: float, area: float, air: float, exponent: float, top: float,
    to: float,
) -> None:  # fmt: skip
    fork = Fork(
        rate_n_mm=rate, preload_mm=preload, stroke_mm=300.0, cut_mm=cut, air_area_mm2=area,
        air_bottomed_ml=air, air_exponent=exponent, top_out_length_mm=top,
        top_out_rate_n_mm=3.0,
    )  # fmt: skip
    end = cut + to * (300.0 - cut)
    kink = [cut + top] if cut < cut + top < end else None
    work, _ = quad(lambda x: float(fork.force(x)[0]), cut, end, points=kink, epsabs=1e-6)
    assert float(fork.energy(end)) == pytest.approx(work, rel=1e-7, abs=1e-3)


@settings(deadline=None)
@given(
    rate=st.floats(20, 200),
    cut=st.floats(0, 30),
    gas=st.floats(0, 400),
    bump=st.floats(0, 20),
    to=st.floats(0.01, 1),
)
def test_shock(rate: float, cut: float, gas: float, bump: float, to: float) -> None:
    shock = Shock(
        rate_n_mm=rate, preload_mm=8.0, stroke_mm=110.0, cut_mm=cut, gas_force_n=gas,
        bump_length_mm=bump, bump_rate_n_mm=100.0,
    )  # fmt: skip
    end = cut + to * (110.0 - cut)
    kink = [110.0 - bump] if cut < 110.0 - bump < end else None
    work, _ = quad(lambda x: float(shock.force(x)[0]), cut, end, points=kink, epsabs=1e-6)
    assert float(shock.energy(end)) == pytest.approx(work, rel=1e-7, abs=1e-3)


def test_lanes() -> None:
    fork = Fork(
        rate_n_mm=np.array([5.0, 8.0]), preload_mm=5.0, stroke_mm=300.0, air_area_mm2=2600.0,
        air_bottomed_ml=260.0,
    )  # fmt: skip
    assert fork.energy(np.array([[100.0, 200.0], [150.0, 250.0]])).shape == (2, 2)
