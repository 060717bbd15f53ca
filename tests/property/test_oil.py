"""Fork oil: what holds for any leg."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from fitplanner.mechanics.oil import (
    fill_for_shortened_stroke,
    level_change_for_oil_mm,
    oil_change_for_level_ml,
)
from fitplanner.mechanics.units import ATMOSPHERE_KPA
from tests.air import AirLeg

air = st.floats(60, 200)
area = st.floats(800, 2500)
travel = st.floats(150, 320)
cut_share = st.floats(0, 0.4)


@given(v=air, a=area, t=travel, n=st.floats(1, 1.4), at=st.floats(0, 0.98))
def test_rate_is_the_slope_of_force(v: float, a: float, t: float, n: float, at: float) -> None:
    column = AirLeg(bottomed_air_ml=v, area_mm2=a, travel_mm=t, exponent=n)
    x, h = at * t, 1e-3
    slope = (column.force_n(x + h) - column.force_n(x - h)) / (2 * h)
    assert column.rate_n_per_mm(x) == pytest.approx(slope, rel=1e-5)


@given(v=air, a=area, t=travel, n=st.floats(1.05, 1.4))
def test_work_is_that_of_a_polytropic_gas(v: float, a: float, t: float, n: float) -> None:
    # Independent route: W = (p1 V1 - p0 V0) / (n - 1) less the atmosphere's help, in N mm = mJ.
    column = AirLeg(bottomed_air_ml=v, area_mm2=a, travel_mm=t, exponent=n)
    work, _ = quad(lambda x: float(column.force_n(x)), 0, t)
    v0 = v + a * t / 1000
    p0 = ATMOSPHERE_KPA
    p1 = p0 * (v0 / v) ** n
    assert work == pytest.approx((p1 * v - p0 * v0) / (n - 1) - p0 * (v0 - v), rel=1e-6)


@given(v=air, a=area, t=travel, share=cut_share, extra=st.floats(0, 20), coil=st.floats(-10, 10))
def test_new_fill_keeps_the_compression_ratio(
    v: float, a: float, t: float, share: float, extra: float, coil: float
) -> None:
    fill = fill_for_shortened_stroke(
        oil_ml=600,
        bottomed_air_ml=v,
        travel_mm=t,
        cut_mm=share * t,
        surface_area_mm2=1200,
        limiter_ml=extra,
        spring_change_ml=coil,
    )
    stock = AirLeg(bottomed_air_ml=v, area_mm2=a, travel_mm=t)
    planned = AirLeg(
        bottomed_air_ml=fill.bottomed_air_ml, area_mm2=a, travel_mm=t, cut_mm=share * t
    )
    assert planned.pressure_kpa(t) == pytest.approx(stock.pressure_kpa(t))
    # What is shut in when bottomed does not change: oil, air and parts fill the same leg.
    assert fill.oil_ml + fill.bottomed_air_ml + extra + coil == pytest.approx(600 + v)


@given(level=st.floats(-60, 60), a=area)
def test_level_and_oil_are_inverse(level: float, a: float) -> None:
    oil = oil_change_for_level_ml(level_change_mm=level, surface_area_mm2=a)
    back = level_change_for_oil_mm(oil_change_ml=oil, surface_area_mm2=a)
    assert back == pytest.approx(level, abs=1e-12)


@given(v=air, a=area, t=travel, n=st.floats(1, 1.4))
def test_a_fast_stroke_is_never_softer(v: float, a: float, t: float, n: float) -> None:
    still = AirLeg(bottomed_air_ml=v, area_mm2=a, travel_mm=t)
    fast = AirLeg(bottomed_air_ml=v, area_mm2=a, travel_mm=t, exponent=n)
    assert fast.force_n(0.8 * t) >= still.force_n(0.8 * t) * (1 - 1e-12)
