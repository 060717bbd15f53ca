"""Leverage from readings: monotone whatever was read, true to what is known, and sure of itself."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator, UnivariateSpline

from fitplanner.library.loader import load_library
from fitplanner.mechanics.leverage import LeverageCurve, table_curve
from fitplanner.mechanics.leverage_readings import read_leverage
from fitplanner.planning.resolve import reference
from tests.property.test_leverage_linkage import LINKAGES, profile

TRAVEL = 280.0
GRID = np.linspace(0.0, TRAVEL, 141)


def curve(name: str) -> LeverageCurve:
    """The leverage of a drawn linkage; a function of the joints alone."""
    return reference(profile(name)).machine.leverage


def sheet(name: str, rows: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    wheel = np.linspace(0.0, TRAVEL, rows)
    return wheel, curve(name).evaluate(wheel)[0]


@given(
    st.lists(st.floats(5.0, 300.0), min_size=3, max_size=15, unique=True),
    st.lists(st.floats(-40.0, 40.0), min_size=15, max_size=15),
    st.floats(0.15, 2.5),
    st.floats(0.05, 5.0),
)
@settings(deadline=None, max_examples=60)
def test_whatever_was_read_the_shock_never_goes_back(
    wheel: list[float], errors: list[float], ratio: float, spread: float
) -> None:
    shock = [ratio * y + error for y, error in zip(wheel, errors, strict=False)]
    try:
        read = read_leverage(wheel, shock, spread_mm=spread, travel_mm=max(wheel))
    except ValueError as refused:
        assert "does not rise" in str(refused)
        return
    at = np.linspace(0.0, max(wheel), 200)
    assert np.all(read.leverage(at) > 0.0) and np.all(np.isfinite(read.leverage(at)))
    assert np.all(np.diff(read.shock_mm(at)) > 0.0)
    assert np.all(read.spread(at) > 0.0)


@given(st.floats(0.2, 1.5), st.floats(80.0, 320.0), st.integers(3, 20), st.floats(0.05, 2.0))
@settings(deadline=None, max_examples=40)
def test_one_leverage_throughout_is_found_exactly(
    ratio: float, travel: float, rows: int, spread: float
) -> None:
    wheel = np.linspace(0.0, travel, rows)
    read = read_leverage(wheel, ratio * wheel, spread_mm=spread, travel_mm=travel)
    # Order 0 is held, if loosely: a ten-thousandth of a reading's spread is left.
    assert read.leverage(wheel) == pytest.approx(1.0 / ratio, rel=1e-4)
    assert read.misfits == ()


@given(st.permutations(range(11)), st.floats(0.1, 1.0))
@settings(deadline=None, max_examples=30)
def test_the_order_of_the_rows_says_nothing(order: list[int], spread: float) -> None:
    wheel, shock = sheet("rocker_on_frame", 11)
    shock = shock + np.random.default_rng(5).normal(0.0, spread, 11)
    one = read_leverage(wheel, shock, spread_mm=spread, travel_mm=TRAVEL)
    two = read_leverage(wheel[order], shock[order], spread_mm=spread, travel_mm=TRAVEL)
    assert two.leverage(GRID) == pytest.approx(one.leverage(GRID), rel=1e-7)
    assert two.off_mm == pytest.approx(one.off_mm[order], abs=1e-6)


@given(st.floats(0.3, 4.0))
@settings(deadline=None, max_examples=20)
def test_another_unit_of_length_gives_the_same_leverage(scale: float) -> None:
    wheel, shock = sheet("rocker_on_arm", 9)
    shock = shock + np.random.default_rng(2).normal(0.0, 0.5, 9)
    one = read_leverage(wheel, shock, spread_mm=0.5, travel_mm=TRAVEL)
    two = read_leverage(
        scale * wheel, scale * shock, spread_mm=scale * 0.5, travel_mm=scale * TRAVEL
    )
    assert two.leverage(scale * GRID) == pytest.approx(one.leverage(GRID), rel=1e-4)


@pytest.mark.parametrize("name", LINKAGES)
def test_sharp_readings_of_a_linkage_give_its_leverage(name: str) -> None:
    # 0.5 mm asks for smoothness, 0.01 mm does not: what is left is the limited degree.
    wheel, shock = sheet(name, 15)
    read = read_leverage(wheel, shock, spread_mm=0.01, travel_mm=TRAVEL)
    true = 1.0 / curve(name).evaluate(GRID)[1]
    assert read.leverage(GRID) == pytest.approx(true, rel=1e-3)
    assert read.shock_mm(GRID) == pytest.approx(curve(name).evaluate(GRID)[0], abs=0.02)
    assert read.misfits == ()


@pytest.mark.parametrize("name", LINKAGES)
def test_a_readings_spread_stands_for_its_error(name: str) -> None:
    # Over many sheets the error is what the spread says, a little less where the linkage is
    # ordinary: the spread also covers linkages that bend more.
    true = 1.0 / curve(name).evaluate(GRID)[1]
    rng, far, alarms = np.random.default_rng(11), [], 0
    for _ in range(60):
        wheel, shock = sheet(name, 12)
        read = read_leverage(
            wheel + np.append(0.0, rng.normal(0.0, 0.5, 11)),
            shock + rng.normal(0.0, 0.5, 12),
            spread_mm=0.5,
            travel_mm=TRAVEL + 2.0,
        )
        far.append((read.leverage(GRID) / true - 1.0) / read.spread(GRID))
        alarms += bool(read.misfits)
    assert 0.5 < np.sqrt(np.mean(np.square(far))) < 1.15
    # One sheet in twenty is accused wrongly: 3 of 60, less than 10 with a chance of 0.999.
    assert alarms < 10


@pytest.mark.parametrize("row", range(13))
@pytest.mark.parametrize("error", [-4.0, 4.0])
def test_a_planted_error_is_named(row: int, error: float) -> None:
    wheel, shock = sheet("direct", 13)
    shock = shock + np.random.default_rng(row).normal(0.0, 0.3, 13)
    # Of an end the others say less: the curve might bend there.
    shock[row] += error * (2.0 if row in (0, 12) else 1.0)
    read = read_leverage(wheel, shock, spread_mm=0.5, travel_mm=TRAVEL)
    assert read.misfits and row in read.misfits[:2]
    assert np.sign(read.off_mm[row]) == np.sign(error)


def test_closer_to_the_truth_than_a_general_smoother() -> None:
    # SciPy's smoothing spline with the same knowledge of the spread, and its monotone cubic
    # through the readings as they are.
    rng, ours, theirs, raw = np.random.default_rng(3), [], [], []
    for name in LINKAGES:
        true = 1.0 / curve(name).evaluate(GRID)[1]
        for _ in range(10):
            wheel, shock = sheet(name, 15)
            noisy = shock + rng.normal(0.0, 0.5, 15)
            read = read_leverage(wheel, noisy, spread_mm=0.5, travel_mm=TRAVEL)
            spline = UnivariateSpline(wheel, noisy, w=np.full(15, 2.0), k=4, s=15)
            through = PchipInterpolator(wheel, np.maximum.accumulate(noisy))
            ours.append(np.abs(read.leverage(GRID) / true - 1.0))
            theirs.append(np.abs(1.0 / spline.derivative()(GRID) / true - 1.0))
            with np.errstate(divide="ignore"):
                raw.append(np.abs(1.0 / through.derivative()(GRID) / true - 1.0))
    assert np.mean(ours) < 0.02
    assert np.mean(ours) < np.mean(theirs) and np.mean(ours) < np.median(raw)


@pytest.mark.parametrize("name", load_library().profiles)
def test_without_errors_it_is_scipys_monotone_cubic(name: str) -> None:
    # Dense sharp readings: the slope of SciPy's monotone cubic through them.
    machine = load_library().profiles[name]
    travel = machine.rear.travel_mm.value
    wheel = np.linspace(0.0, travel, 41)
    shock = reference(machine).machine.leverage.evaluate(wheel)[0]
    read = read_leverage(wheel, shock, spread_mm=0.01, travel_mm=travel)
    inner = np.linspace(0.05, 0.95, 37) * travel
    slope = PchipInterpolator(wheel, shock).derivative()(inner)
    assert 1.0 / read.leverage(inner) == pytest.approx(slope, rel=2e-3)


def test_the_table_made_of_it_is_the_same_curve() -> None:
    wheel, shock = sheet("rocker_on_frame", 13)
    read = read_leverage(wheel, shock, spread_mm=0.2, travel_mm=TRAVEL)
    rows = np.linspace(0.0, TRAVEL, 12)
    table = table_curve(rows, read.leverage(rows))
    assert table.evaluate(GRID)[0] == pytest.approx(read.shock_mm(GRID), abs=0.03)


def test_an_error_of_the_hanging_position_is_not_taken_for_leverage() -> None:
    wheel, shock = sheet("direct", 12)
    off = np.where(wheel > 0.0, 2.0, 0.0)
    read = read_leverage(wheel[1:], (shock + off)[1:], spread_mm=0.5, travel_mm=TRAVEL)
    true = 1.0 / curve("direct").evaluate(GRID)[1]
    assert abs(read.leverage(GRID[40:]) / true[40:] - 1.0).max() < 0.03


@pytest.mark.parametrize(
    ("wheel", "shock"),
    [([0.0, 100.0], [0.0, 40.0]), ([100.0], [40.0])],
)
def test_too_few_readings(wheel: list[float], shock: list[float]) -> None:
    with pytest.raises(ValueError, match="at least 3"):
        read_leverage(wheel, shock, spread_mm=0.5, travel_mm=100.0)


def test_readings_that_fall() -> None:
    with pytest.raises(ValueError, match="does not rise"):
        read_leverage([0.0, 50.0, 100.0], [60.0, 30.0, 0.0], spread_mm=0.5, travel_mm=100.0)
