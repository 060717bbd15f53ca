"""Clearances: what holds for any machine."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitplanner.mechanics.clearance import break_over_angle_rad, touch_lean_rad

radii = st.floats(250, 360)


@given(
    rear=radii, front=radii, base=st.floats(1250, 1600), z=st.floats(20, 380), k=st.floats(0.3, 3)
)
def test_break_over_is_an_angle(rear: float, front: float, base: float, z: float, k: float) -> None:
    # Same picture at another size, or seen from the other side: same angle.
    x = 0.48 * base

    def angle(scale: float, mirrored: bool) -> float:
        ends = (base - x, front, rear) if mirrored else (x, rear, front)
        return float(
            break_over_angle_rad(
                point_x_mm=ends[0] * scale,
                point_z_mm=z * scale,
                rear_x_mm=0.0,
                rear_radius_mm=ends[1] * scale,
                front_x_mm=base * scale,
                front_radius_mm=ends[2] * scale,
            )
        )

    assert angle(k, False) == pytest.approx(angle(1, False))
    assert angle(1, True) == pytest.approx(angle(1, False))


@given(rear=radii, front=radii, z=st.floats(20, 360), lower=st.floats(1, 15))
def test_lowering_costs_break_over(rear: float, front: float, z: float, lower: float) -> None:
    angles = break_over_angle_rad(
        point_x_mm=700.0,
        point_z_mm=[z, z - lower],
        rear_x_mm=0.0,
        rear_radius_mm=rear,
        front_x_mm=1450.0,
        front_radius_mm=front,
    )
    assert angles[1] < angles[0]


@given(y=st.floats(150, 400), z=st.floats(50, 450), c=st.floats(0, 90))
def test_touching_part_is_on_the_ground_and_was_above_it(y: float, z: float, c: float) -> None:
    lean = touch_lean_rad(lateral_mm=y, height_mm=z, crown_radius_mm=c)
    grid = np.linspace(0, float(lean), 200)
    height = c + (z - c) * np.cos(grid) - y * np.sin(grid)
    assert height[-1] == pytest.approx(0, abs=1e-9)
    assert np.all(height[:-1] > 0)


@given(y=st.floats(150, 400), z=st.floats(50, 450), c=st.floats(1, 90))
def test_a_round_tyre_leans_further(y: float, z: float, c: float) -> None:
    # It rolls towards the part's side and lifts the machine as it does.
    thin, round_tyre = touch_lean_rad(lateral_mm=y, height_mm=z, crown_radius_mm=[0.0, c])
    assert round_tyre > thin
