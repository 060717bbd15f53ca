"""The band of a spring's rate against sampling and against SciPy's straight line."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import linregress

from fitplanner.mechanics.spring_readings import (
    MODULUS_SPREAD,
    Across,
    Measured,
    Read,
    rate_from_dimensions,
    rate_from_press,
)
from fitplanner.mechanics.springs import EndType, WireMaterial

SPRING: dict[str, Any] = {
    "wire_mm": Read(11.0, 0.04),
    "diameter_mm": Read(68.0, 0.3),
    "across": Across.OUTSIDE,
    "coils": Read(8.5, 0.2),
    "counted_all": True,
    "ends": EndType.SQUARED_GROUND,
    "material": WireMaterial.CHROME_SILICON,
}


def spring(**changes: Any) -> Measured:
    return rate_from_dimensions(**{**SPRING, **changes})


@pytest.mark.parametrize("across", Across)
@given(
    wire=st.floats(3.5, 14.0),
    index=st.floats(4.5, 11.0),
    coils=st.floats(4.0, 50.0),
    share=st.floats(0.001, 0.004),
)
@settings(deadline=None, max_examples=25)
def test_the_band_is_that_of_many_calliper_readings(
    across: Across, wire: float, index: float, coils: float, share: float
) -> None:
    wires = {Across.OUTSIDE: 1.0, Across.INSIDE: -1.0, Across.MIDDLE: 0.0}[across]
    reads = [Read(x, x * share) for x in (wire, wire * (index + wires), coils)]
    found = spring(
        wire_mm=reads[0], diameter_mm=reads[1], coils=reads[2], counted_all=False, across=across
    )
    # By hand: the exact rate of readings drawn from their spreads, and of the steel's modulus.
    draws = np.random.default_rng(1).normal(size=(4, 4000))
    d, read, n = (each.value + each.spread * draw for each, draw in zip(reads, draws, strict=False))
    rates = (1.0 + MODULUS_SPREAD * draws[3]) * d**4 / ((read - wires * d) ** 3 * n)
    assert found.spread_n_mm / found.rate_n_mm == pytest.approx(
        np.std(rates) / np.mean(rates), rel=0.08
    )
    assert sum(found.shares.values()) == pytest.approx(1.0)


def test_the_largest_share_is_what_betters_the_band_most() -> None:
    whole = spring()
    sharper = {
        "wire": spring(wire_mm=Read(11.0, 0.0)),
        "diameter": spring(diameter_mm=Read(68.0, 0.0)),
        "coils": spring(coils=Read(8.5, 0.0)),
    }
    for name, found in sharper.items():
        left = whole.spread_n_mm * np.sqrt(1.0 - whole.shares[name])
        assert found.spread_n_mm == pytest.approx(left)


def test_a_steel_that_is_not_known_lies_in_its_band() -> None:
    unknown = spring(material=None)
    for steel in WireMaterial:
        known = spring(material=steel)
        assert abs(known.rate_n_mm - unknown.rate_n_mm) < unknown.spread_n_mm
        assert known.spread_n_mm < unknown.spread_n_mm


def test_no_spring() -> None:
    with pytest.raises(ValueError, match="no active coil"):
        spring(coils=Read(2.0, 0.0))
    with pytest.raises(ValueError, match="larger than the wire"):
        spring(diameter_mm=Read(20.0, 0.1))


@given(
    st.floats(2.0, 200.0),
    st.floats(120.0, 480.0),
    st.lists(st.floats(5.0, 100.0), min_size=2, max_size=9, unique=True),
)
@settings(deadline=None, max_examples=50)
def test_a_straight_spring_is_found_exactly(rate: float, free: float, pressed: list[float]) -> None:
    if max(pressed) - min(pressed) < 1.0:
        return
    length = free - np.array(pressed)
    found = rate_from_press(
        length, rate * np.array(pressed), length_spread_mm=0.5, force_spread_n=3, scale_spread=0.01
    )
    assert found.rate_n_mm == pytest.approx(rate, rel=1e-6)
    assert found.free_mm == pytest.approx(free, abs=1e-4)
    assert found.misfits == ()


def test_against_scipys_line() -> None:
    rng = np.random.default_rng(7)
    length = np.linspace(200.0, 160.0, 9)
    force = 60.0 * (230.0 - length) + rng.normal(0.0, 40.0, 9)
    found = rate_from_press(length, force, length_spread_mm=0.1, force_spread_n=1, scale_spread=0)
    theirs = linregress(length, force)
    assert found.rate_n_mm == pytest.approx(-theirs.slope)
    # They scatter more than stated, so that both take the spread from the scatter.
    assert found.spread_n_mm == pytest.approx(theirs.stderr)
    assert found.free_mm == pytest.approx(-theirs.intercept / theirs.slope)


def test_the_band_of_a_press_is_that_of_many_tests() -> None:
    rng, rates, frees = np.random.default_rng(4), [], []
    length = np.array([150.0, 140.0, 130.0, 120.0])
    for _ in range(2000):
        force = (55.0 * (180.0 - length) + rng.normal(0, 15.0, 4)) * (1 + rng.normal(0, 0.01))
        found = rate_from_press(
            length + rng.normal(0.0, 0.3, 4),
            force,
            length_spread_mm=0.3,
            force_spread_n=15.0,
            scale_spread=0.01,
        )
        rates.append((found.rate_n_mm - 55.0) / found.spread_n_mm)
        frees.append((found.free_mm - 180.0) / found.free_spread_mm)
    # Widening where they scatter, and never narrowing, keeps it a little on the safe side.
    assert 0.8 < np.std(rates) < 1.05 and 0.8 < np.std(frees) < 1.05


def test_two_lengths_by_hand() -> None:
    found = rate_from_press(
        [150.0, 130.0], [1000.0, 2000.0], length_spread_mm=0.2, force_spread_n=6, scale_spread=0.0
    )
    assert found.rate_n_mm == pytest.approx(50.0)
    # 50 N/mm over 20 mm: sqrt(2) (6 N and 50 N/mm times 0.2 mm) / 20 mm.
    assert found.spread_n_mm == pytest.approx(np.sqrt(2) * np.hypot(6.0, 10.0) / 20.0)
    assert found.shares["length"] == pytest.approx(100.0 / 136.0)
    assert np.isnan(found.bend) and found.misfits == ()


def test_a_spring_that_stiffens_is_seen_to() -> None:
    length = np.linspace(200.0, 150.0, 6)
    squeezed = 220.0 - length
    found = rate_from_press(
        length,
        40.0 * squeezed + 0.25 * squeezed**2,
        length_spread_mm=0.2,
        force_spread_n=5,
        scale_spread=0.01,
    )
    assert found.bend > 3 * found.bend_spread


@pytest.mark.parametrize("row", range(7))
def test_a_planted_error_is_named(row: int) -> None:
    length = np.linspace(180.0, 140.0, 7)
    force = 60.0 * (200.0 - length)
    force[row] += 130.0
    found = rate_from_press(length, force, length_spread_mm=0.3, force_spread_n=8, scale_spread=0)
    assert found.misfits[0] == row
    assert found.off_n[row] > 0.0


@pytest.mark.parametrize(
    ("length", "force", "words"),
    [
        ([150.0], [1.0], "two lengths"),
        ([150.0, 150.0], [1.0, 2.0], "two lengths"),
        ([150.0, 140.0], [2.0, 1.0], "does not rise"),
    ],
)
def test_readings_without_a_rate(length: list[float], force: list[float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        rate_from_press(length, force, length_spread_mm=0.3, force_spread_n=5, scale_spread=0.01)
