"""Springs: what holds for any figures."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitplanner.mechanics.springs import (
    concentric_pair,
    helical_rate_n_per_mm,
    series_rate_n_per_mm,
    shortened_rate_n_per_mm,
    stacked_pair,
)

rates = st.floats(0.5, 200)
lengths = st.floats(1, 300)


@given(d=st.floats(2, 15), index=st.floats(4, 12), n=st.floats(3, 60), k=st.floats(0.2, 5))
def test_rate_scales_with_size(d: float, index: float, n: float, k: float) -> None:
    # Every length k times larger: rate k times larger (d^4 / D^3), whatever the spring.
    def rate(scale: float) -> float:
        return float(
            helical_rate_n_per_mm(
                wire_mm=d * scale,
                mean_diameter_mm=d * index * scale,
                active_coils=n,
                shear_modulus_mpa=80_000,
            )
        )

    assert rate(k) == pytest.approx(k * rate(1))


@given(a=rates, b=rates)
def test_stack_is_softer_than_either(a: float, b: float) -> None:
    both = series_rate_n_per_mm(a, b)
    assert both < min(a, b)
    assert both == pytest.approx(series_rate_n_per_mm(b, a))


@given(k=rates, n=st.floats(5, 60), share=st.floats(0, 0.9))
def test_the_cut_ends_stack_up_to_the_whole_coil(k: float, n: float, share: float) -> None:
    kept = shortened_rate_n_per_mm(rate_n_per_mm=k, active_coils=n, removed_coils=share * n)
    assert kept * (1 - share) == pytest.approx(k)
    assert kept >= k * (1 - 1e-12)


@given(a=rates, b=rates, gap=lengths)
def test_concentric_force_is_continuous_and_has_its_rate(a: float, b: float, gap: float) -> None:
    pair = concentric_pair(long_n_per_mm=a, short_n_per_mm=b, gap_mm=gap)
    grid = np.linspace(0, 2 * gap, 401)
    force = pair.force_n(grid)
    steps = np.diff(force) / np.diff(grid)
    assert np.all(steps >= a * (1 - 1e-9)) and np.all(steps <= (a + b) * (1 + 1e-9))
    assert pair.force_n(2 * gap) == pytest.approx(2 * gap * a + gap * b)


@given(a=rates, b=rates, room_a=lengths, room_b=lengths)
def test_stack_carries_the_same_force_through_both(
    a: float, b: float, room_a: float, room_b: float
) -> None:
    pair = stacked_pair(
        first_n_per_mm=a, second_n_per_mm=b, first_room_mm=room_a, second_room_mm=room_b
    )
    load = 0.999 * max(a * room_a, b * room_b)
    squeezed = min(load / a, room_a) + min(load / b, room_b)
    assert pair.force_n(squeezed) == pytest.approx(load, rel=1e-6)
