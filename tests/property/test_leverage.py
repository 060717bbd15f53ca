"""The leverage curve against SciPy's monotone cubic, its integral and its inverse."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import PchipInterpolator

from fitplanner.mechanics.leverage import table_curve

steps = st.lists(st.floats(8, 90), min_size=1, max_size=12)
values = st.lists(st.floats(1.2, 4.5), min_size=13, max_size=13)


@given(steps, values)
@settings(deadline=None)
def test_against_scipy(step: list[float], value: list[float]) -> None:
    # Fritsch and Butland's monotone cubic as SciPy's PchipInterpolator has it, through 1/leverage.
    y = np.concatenate([[0.0], np.cumsum(step)])
    leverage = np.array(value[: len(y)])
    theirs, ours = PchipInterpolator(y, 1 / leverage), table_curve(y, leverage)
    at = np.linspace(0.0, y[-1], 101)
    shock, ratio, slope = ours.evaluate(at)
    assert ratio == pytest.approx(theirs(at), abs=1e-12)
    assert slope == pytest.approx(theirs(at, 1), abs=1e-11)
    assert shock == pytest.approx(theirs.antiderivative()(at), abs=1e-9)


@given(steps, values)
@settings(deadline=None)
def test_inverse(step: list[float], value: list[float]) -> None:
    y = np.concatenate([[0.0], np.cumsum(step)])
    curve = table_curve(y, np.array(value[: len(y)]))
    at = np.linspace(0.0, y[-1], 37)
    assert curve.rise_at(curve.evaluate(at)[0]) == pytest.approx(at, abs=1e-9)
    ends = curve.rise_at([-5.0, 1e5])
    assert ends == pytest.approx([0.0, y[-1]])


@given(steps, values)
@settings(deadline=None)
def test_no_bumps_between_points(step: list[float], value: list[float]) -> None:
    y = np.concatenate([[0.0], np.cumsum(step)])
    falling = np.sort(value[: len(y)])[::-1]
    ratio = table_curve(y, falling).evaluate(np.linspace(0, y[-1], 301))[1]
    assert np.all(np.diff(ratio) >= -1e-12)


@pytest.mark.parametrize("upto", [13.0, 150.0, 288.0])
def test_shock_travel_is_the_integral(upto: float) -> None:
    y = [0.0, 50.0, 100.0, 150.0, 200.0, 250.0, 300.0]
    leverage = [3.10, 3.03, 2.94, 2.83, 2.70, 2.56, 2.40]
    theirs = PchipInterpolator(y, 1 / np.array(leverage))
    travel = quad(theirs, 0.0, upto, points=[p for p in y if p < upto], epsabs=1e-12)[0]
    assert table_curve(y, leverage).evaluate(upto)[0] == pytest.approx(travel, abs=1e-9)
