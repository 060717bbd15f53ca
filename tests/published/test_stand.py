"""Side-stand against figures worked out apart from the program, and the parking slopes."""

import numpy as np
import pytest

from fitplanner.mechanics.stand import (
    PARKING_GRADIENTS,
    Slope,
    lean_on_stand,
    length_for_lean_mm,
)

PIVOT_Y, PIVOT_Z, SPLAY, LEAN = 120.0, 330.0, np.radians(25), np.radians(12)


def test_length_for_twelve_degrees() -> None:
    # Trigonometry by hand, thin tyre: 305.674 mm.
    length = length_for_lean_mm(
        lean_rad=LEAN, pivot_y_mm=PIVOT_Y, pivot_z_mm=PIVOT_Z, alpha_rad=SPLAY
    )
    assert length == pytest.approx(305.674, abs=5e-4)


def test_forty_millimetres_lower() -> None:
    # By hand: the old stand leaves 2.979 deg of lean; 40.155 mm shorter restores it.
    old, new = length_for_lean_mm(
        lean_rad=LEAN, pivot_y_mm=PIVOT_Y, pivot_z_mm=[PIVOT_Z, PIVOT_Z - 40], alpha_rad=SPLAY
    )
    left = lean_on_stand(
        pivot_y_mm=PIVOT_Y, pivot_z_mm=PIVOT_Z - 40, length_mm=old, alpha_rad=SPLAY
    )
    assert np.degrees(left.lean_rad) == pytest.approx(2.979, abs=5e-4)
    assert not left.falls_to_far_side
    assert old - new == pytest.approx(40.155, abs=5e-4)


def test_parking_slopes() -> None:
    # Directive 93/31/EEC, 6.2.2, carried on by 2009/78/EC (from memory).
    assert PARKING_GRADIENTS[Slope.STAND_SIDE] == PARKING_GRADIENTS[Slope.FAR_SIDE] == 0.06
    assert PARKING_GRADIENTS[Slope.NOSE_DOWN] == 0.06
    assert PARKING_GRADIENTS[Slope.NOSE_UP] == 0.08
