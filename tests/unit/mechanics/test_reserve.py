"""Bottoming reserve: a simulated fall, shapes, refusals."""

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from fitplanner.mechanics.reserve import drop_reserve_mm


def progressive(rise: float) -> float:
    """Preload, coil, progressive link, bump stop from 250 mm."""
    return 350 + 6.0 * rise + 0.012 * rise**2 + 60.0 * max(rise - 250.0, 0.0)


def test_a_fall_from_the_reserve_just_bottoms() -> None:
    load = 1000.0
    work, _ = quad(progressive, 0, 300, points=[250])
    reserve = float(drop_reserve_mm(work_n_mm=work, sprung_load_n=load, travel_mm=300.0))
    mass, g = load / 9.80665, 9806.65  # kg, mm/s2

    def fall(_: float, state: np.ndarray) -> list[float]:
        return [state[1], g - progressive(state[0]) / mass * 1000]

    def turned(_: float, state: np.ndarray) -> float:
        return float(state[1])

    turned.terminal = True  # type: ignore[attr-defined]
    turned.direction = -1  # type: ignore[attr-defined]
    start = [0.0, np.sqrt(2 * g * reserve)]
    path = solve_ivp(fall, (0, 1), start, events=turned, rtol=1e-9, atol=1e-9)
    assert path.y_events[0][0][0] == pytest.approx(300, abs=0.01)


def test_many_candidates_at_once() -> None:
    travel = np.array([250.0, 300.0])
    reserve = drop_reserve_mm(
        work_n_mm=6 * travel**2, sprung_load_n=np.array([800.0, 900.0]), travel_mm=travel
    )
    assert reserve == pytest.approx([6 * 250**2 / 800 - 250, 6 * 300**2 / 900 - 300])


def test_a_machine_that_cannot_carry_itself_has_negative_reserve() -> None:
    assert drop_reserve_mm(work_n_mm=1e4, sprung_load_n=900.0, travel_mm=100.0) < 0


def test_no_load_is_refused() -> None:
    with pytest.raises(ValueError, match="sprung load"):
        drop_reserve_mm(work_n_mm=1.0, sprung_load_n=0.0, travel_mm=1.0)
