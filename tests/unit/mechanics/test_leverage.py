"""Leverage as a curve: constant, linear, scaled, with lanes, at and past its ends."""

import numpy as np
import pytest

from fitplanner.mechanics.leverage import LeverageCurve, hermite_curve, table_curve

Y = np.array([0.0, 60.0, 140.0, 230.0, 300.0])
LEVERAGE = np.array([3.0, 2.9, 2.75, 2.5, 2.3])


def test_constant_leverage() -> None:
    shock, ratio, slope = table_curve([0.0, 300.0], [2.5, 2.5]).evaluate([0.0, 100.0, 300.0])
    assert shock == pytest.approx([0.0, 40.0, 120.0])
    assert ratio == pytest.approx(0.4)
    assert slope == pytest.approx(0.0)


def test_points_are_met() -> None:
    assert table_curve(Y, LEVERAGE).evaluate(Y)[1] == pytest.approx(1 / LEVERAGE, rel=1e-14)


def test_cubic_is_carried_exactly() -> None:
    # A cubic given by values and slopes at its knots is that cubic, and its integral a quartic.
    c = np.polynomial.Polynomial([0.33, 2e-4, -1e-6, 3e-9])
    curve = hermite_curve(Y, c(Y), c.deriv()(Y))
    at = np.linspace(0, 300, 77)
    shock, ratio, slope = curve.evaluate(at)
    assert ratio == pytest.approx(c(at), rel=1e-13)
    assert slope == pytest.approx(c.deriv()(at), abs=1e-15)
    assert shock == pytest.approx(c.integ()(at), rel=1e-13)


def test_smooth_over_the_knots() -> None:
    curve = table_curve(Y, LEVERAGE)
    for before, after in zip(curve.evaluate(Y[1:-1] - 1e-9), curve.evaluate(Y[1:-1]), strict=True):
        assert after == pytest.approx(before, abs=1e-8)


def stacked() -> LeverageCurve:
    curves = [table_curve(Y, LEVERAGE * k) for k in (0.9, 1.0, 1.1)]
    return LeverageCurve(
        Y, np.stack([c.cubic for c in curves], 1), np.stack([c.shock_mm for c in curves])
    )


def test_lanes_of_curves() -> None:
    at = np.array([[10.0, 70.0, 250.0], [0.0, 140.0, 300.0]])
    together = stacked().evaluate(at)
    for i, k in enumerate((0.9, 1.0, 1.1)):
        alone = table_curve(Y, LEVERAGE * k).evaluate(at[:, i])
        for mine, theirs in zip(together, alone, strict=True):
            assert mine[:, i] == pytest.approx(theirs, rel=1e-14)
    rise = stacked().rise_at([20.0, 20.0, 20.0])
    assert stacked().evaluate(rise)[0] == pytest.approx(20.0, abs=1e-12)
    assert np.all(np.diff(rise) > 0)


@pytest.mark.parametrize("factor", [1.07, np.array([0.9, 1.0, 1.1])], ids=["one", "lanes"])
@pytest.mark.parametrize("curve", [table_curve(Y, LEVERAGE), stacked()], ids=["shared", "own"])
def test_scaled(curve: LeverageCurve, factor: float | np.ndarray) -> None:
    at = np.array([0.0, 111.0, 300.0])
    plain, more = curve.evaluate(at), curve.scaled(factor).evaluate(at)
    for before, after in zip(plain, more, strict=True):
        assert after == pytest.approx(before * factor, rel=1e-14)


def test_limits_of_travel_follow_the_shock() -> None:
    curve = table_curve(Y, LEVERAGE)
    full = float(curve.evaluate(280.0)[0])
    assert curve.rise_at(full) == pytest.approx(280.0, abs=1e-11)
    assert curve.rise_at(0.0) == 0.0
