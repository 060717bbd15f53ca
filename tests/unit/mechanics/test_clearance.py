"""Clearances: tangents drawn another way, round tyres, gaps, refusals."""

import numpy as np
import pytest
from scipy.optimize import brentq

from fitplanner.mechanics.clearance import (
    break_over_angle_rad,
    full_bump_gap_mm,
    touch_lean_rad,
    tyre_gap_mm,
)

WHEELS = {
    "rear_x_mm": 0.0,
    "rear_radius_mm": 318.0,
    "front_x_mm": 1475.0,
    "front_radius_mm": 339.0,
}


def test_break_over_touches_both_tyres() -> None:
    # Turn a line about the point until it is one radius away from each wheel's centre.
    x, z = 640.0, 265.0

    def miss(fall: float, ahead: float, radius: float) -> float:
        # Distance of the centre, at (ahead, radius), from a line that falls by `fall`, less r.
        return float((radius - z) * np.cos(fall) + ahead * np.sin(fall) - radius)

    expected = brentq(miss, 0, 1.2, (x, 318.0)) + brentq(miss, 0, 1.2, (1475 - x, 339.0))
    angle = break_over_angle_rad(point_x_mm=x, point_z_mm=z, **WHEELS)
    assert angle == pytest.approx(expected)


def test_a_point_on_the_ground_clears_nothing() -> None:
    angle = break_over_angle_rad(point_x_mm=700.0, point_z_mm=[-5.0, 0.0, 5.0], **WHEELS)
    assert angle[1] == pytest.approx(0, abs=1e-12)
    assert angle[0] < 0 < angle[2]


def test_the_lowest_point_is_not_always_the_worst() -> None:
    angle = break_over_angle_rad(
        point_x_mm=np.array([420.0, 740.0]), point_z_mm=np.array([255.0, 262.0]), **WHEELS
    )
    assert angle[1] < angle[0]


def test_round_tyre_lean_against_a_root_finder() -> None:
    for y, z, c in ((270.0, 310.0, 60.0), (250.0, 40.0, 70.0), (300.0, 380.0, 0.0)):
        root = brentq(lambda p, y, z, c: c + (z - c) * np.cos(p) - y * np.sin(p), 0, 2, (y, z, c))
        lean = touch_lean_rad(lateral_mm=y, height_mm=z, crown_radius_mm=c)
        assert lean == pytest.approx(root)


def test_a_part_inside_the_crown_never_touches() -> None:
    assert np.isposinf(touch_lean_rad(lateral_mm=30.0, height_mm=60.0, crown_radius_mm=65.0))


def test_tyre_gap() -> None:
    gap = tyre_gap_mm(
        axle_x_mm=0.0,
        axle_z_mm=[0.0, 30.0],
        part_x_mm=0.0,
        part_z_mm=360.0,
        tyre_radius_mm=340.0,
    )
    assert gap.tolist() == [20, -10]


def test_full_bump_gap_of_each_way() -> None:
    # Limiter: unchanged; stanchions up 10 mm: 10 less; tyre 8 mm smaller: 8 more.
    gap = full_bump_gap_mm(
        stock_gap_mm=22.0,
        axle_nearer_mm=[0.0, 10.0, 0.0, 30.0],
        radius_growth_mm=[0.0, 0.0, -8.0, 0.0],
    )
    assert gap.tolist() == [22, 12, 30, -8]


def test_impossible_points_are_refused() -> None:
    with pytest.raises(ValueError, match="between the two wheels"):
        break_over_angle_rad(point_x_mm=[700.0, -20.0], point_z_mm=250.0, **WHEELS)
    with pytest.raises(ValueError, match="inside a tyre"):
        break_over_angle_rad(point_x_mm=200.0, point_z_mm=300.0, **WHEELS)
    with pytest.raises(ValueError, match="beside the middle plane"):
        touch_lean_rad(lateral_mm=0.0, height_mm=300.0)
