"""Clearances against published formulas."""

import numpy as np
import pytest

from fitplanner.mechanics.clearance import break_over_angle_rad, touch_lean_rad


@pytest.mark.parametrize(("clearance", "wheelbase"), [(300.0, 1480.0), (210.0, 1400.0)])
def test_break_over_with_vanishing_wheels(clearance: float, wheelbase: float) -> None:
    # Common approximation for a low point at mid-wheelbase, wheels as points:
    # 2 atan(2 * ground clearance / wheelbase).
    angle = break_over_angle_rad(
        point_x_mm=wheelbase / 2,
        point_z_mm=clearance,
        rear_x_mm=0.0,
        rear_radius_mm=1e-6,
        front_x_mm=wheelbase,
        front_radius_mm=1e-6,
    )
    assert angle == pytest.approx(2 * np.arctan(2 * clearance / wheelbase), abs=1e-8)


def test_thin_tyre_lean() -> None:
    # Cossalter, Motorcycle Dynamics (from memory): a thin tyre leans until tan(phi) = z / y.
    lean = touch_lean_rad(lateral_mm=[280.0, 250.0], height_mm=[280.0, 250.0 * np.sqrt(3)])
    assert np.degrees(lean) == pytest.approx([45, 60])
