"""Bottoming reserve against the handbook's falling weight."""

import numpy as np
import pytest

from fitplanner.mechanics.reserve import drop_reserve_mm


@pytest.mark.parametrize("drop", [0.0, 50.0, 400.0])
def test_weight_falling_on_a_spring(drop: float) -> None:
    # Shigley, shock and impact (from memory): a weight W dropped by h on a spring k deflects it
    # by W/k (1 + sqrt(1 + 2 h k / W)). Give the end just that travel: its reserve is h.
    weight, rate = 900.0, 9.0
    travel = weight / rate * (1 + np.sqrt(1 + 2 * drop * rate / weight))
    work = 0.5 * rate * travel**2
    reserve = drop_reserve_mm(work_n_mm=work, sprung_load_n=weight, travel_mm=travel)
    assert reserve == pytest.approx(drop, abs=1e-9)
