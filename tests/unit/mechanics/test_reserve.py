"""Bottoming reserve: a simulated fall, shapes, refusals."""

import numpy as np
import pytest
from scipy.integrate import simpson, solve_ivp

from fitplanner.mechanics.reserve import drop_reserve_mm, smaller_end


def progressive(rise: np.ndarray) -> np.ndarray:
    """Preload, coil, progressive link, bump stop from 250 mm."""
    return 350 + 6.0 * rise + 0.012 * rise**2 + 60.0 * np.maximum(rise - 250.0, 0.0)


def test_a_fall_from_the_reserve_just_bottoms() -> None:
    rise = np.linspace(0, 300, 301)
    load = 1000.0
    reserve = float(
        drop_reserve_mm(wheel_rise_mm=rise, wheel_force_n=progressive(rise), sprung_load_n=load)
    )
    mass, g = load / 9.80665, 9806.65  # N s2/m, mm/s2

    def fall(_: float, state: np.ndarray) -> list[float]:
        return [state[1], g - float(progressive(state[0])) / mass * 1000]

    def turned(_: float, state: np.ndarray) -> float:
        return float(state[1])

    turned.terminal = True  # type: ignore[attr-defined]
    turned.direction = -1  # type: ignore[attr-defined]
    start = [0.0, np.sqrt(2 * g * reserve)]
    path = solve_ivp(fall, (0, 1), start, events=turned, rtol=1e-9, atol=1e-9)
    assert path.y_events[0][0][0] == pytest.approx(300, abs=0.01)


def test_uneven_samples_integrate_as_scipy_does() -> None:
    rise = np.array([0.0, 30.0, 75.0, 100.0, 180.0, 240.0, 300.0])
    force = progressive(rise)
    reserve = drop_reserve_mm(wheel_rise_mm=rise, wheel_force_n=force, sprung_load_n=1000.0)
    assert reserve == pytest.approx(simpson(force, x=rise) / 1000 - 300)


def test_many_candidates_at_once() -> None:
    rise = np.linspace(0, 1, 5) * np.array([[250.0], [300.0]])
    reserve = drop_reserve_mm(
        wheel_rise_mm=rise, wheel_force_n=12.0 * rise, sprung_load_n=np.array([800.0, 900.0])
    )
    assert reserve == pytest.approx([6 * 250**2 / 800 - 250, 6 * 300**2 / 900 - 300])


def test_a_machine_that_cannot_carry_itself_has_negative_reserve() -> None:
    rise = np.linspace(0, 100, 3)
    assert drop_reserve_mm(wheel_rise_mm=rise, wheel_force_n=2 * rise, sprung_load_n=900.0) < 0


def test_the_smaller_end_is_reported() -> None:
    both = smaller_end(front_mm=[300.0, 500.0], rear_mm=[400.0, 420.0])
    assert both.smaller_mm.tolist() == [300, 420]
    assert both.front_is_smaller.tolist() == [True, False]


def test_bad_samples_are_refused() -> None:
    with pytest.raises(ValueError, match="odd number"):
        drop_reserve_mm(wheel_rise_mm=[0, 1, 2, 3], wheel_force_n=1.0, sprung_load_n=1.0)
    with pytest.raises(ValueError, match="must grow"):
        drop_reserve_mm(wheel_rise_mm=[0, 2, 1], wheel_force_n=1.0, sprung_load_n=1.0)
    with pytest.raises(ValueError, match="sprung load"):
        drop_reserve_mm(wheel_rise_mm=[0, 1, 2], wheel_force_n=1.0, sprung_load_n=0.0)
