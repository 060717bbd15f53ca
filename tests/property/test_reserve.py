"""Bottoming reserve: what holds for any end."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitplanner.mechanics.reserve import drop_reserve_mm

steps = st.lists(st.floats(1, 60), min_size=2, max_size=12).filter(lambda s: len(s) % 2 == 0)


@given(steps=steps, a=st.floats(0, 900), b=st.floats(0, 12), c=st.floats(-0.01, 0.03))
def test_exact_for_any_quadratic_force(steps: list[float], a: float, b: float, c: float) -> None:
    rise = np.concatenate(([0.0], np.cumsum(steps)))
    reserve = drop_reserve_mm(
        wheel_rise_mm=rise, wheel_force_n=a + b * rise + c * rise**2, sprung_load_n=850.0
    )
    top = rise[-1]
    work = a * top + b * top**2 / 2 + c * top**3 / 3
    assert reserve == pytest.approx(work / 850 - top, abs=1e-7)


@given(load=st.floats(400, 1500), k=st.floats(5, 20), cut=st.floats(1, 120), pre=st.floats(0, 20))
def test_less_travel_or_more_load_leaves_less(
    load: float, k: float, cut: float, pre: float
) -> None:
    # A limiter at unchanged preload and a heavier rider both take reserve away.
    full = np.linspace(0, 300, 9)
    short = np.linspace(0, 300 - cut, 9)

    def reserve(rise: np.ndarray, carried: float) -> float:
        return float(
            drop_reserve_mm(
                wheel_rise_mm=rise, wheel_force_n=k * (rise + pre), sprung_load_n=carried
            )
        )

    assert reserve(full, load * 1.05) < reserve(full, load)
    # Shortening costs reserve as long as the force bottomed exceeds the load.
    if k * (300 - cut + pre) > load:
        assert reserve(short, load) < reserve(full, load)
