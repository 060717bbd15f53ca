"""The pose as a rigid body on two wheels: lengths kept, wheels on the ground."""

import numpy as np
import pytest
from scipy.optimize import brentq

from fitplanner.mechanics.geometry import fork_offset_mm, pose
from tests.machines import lane, plain_machine, random_machines

DRAW = random_machines(11, 40)
X, Y = 60.0, 90.0


def test_wheels_touch_the_ground() -> None:
    at = pose(DRAW.machine, X, Y, DRAW.machine.front_radius_mm - 9.0, None)
    front, rear = at.place(*at.front_axle_mm), at.place(*at.rear_axle_mm)
    assert front[1] == pytest.approx(DRAW.machine.front_radius_mm - 9.0, abs=1e-10)
    assert rear[1] == pytest.approx(DRAW.machine.rear_radius_mm, abs=1e-10)
    assert rear[0] == pytest.approx(0.0, abs=1e-10)
    assert front[0] == pytest.approx(at.wheelbase_mm, abs=1e-10)


def test_chassis_is_rigid() -> None:
    at = pose(DRAW.machine, X, Y)
    (ax, az), (bx, bz) = at.place(500.0, 900.0), at.place(1100.0, 400.0)
    assert np.hypot(ax - bx, az - bz) == pytest.approx(np.hypot(600.0, 500.0), rel=1e-13)


def test_swing_arm_keeps_its_length() -> None:
    m, at = DRAW.machine, pose(DRAW.machine, X, Y)
    span = np.hypot(at.rear_axle_mm[0] - m.pivot_x_mm, at.rear_axle_mm[1] - m.pivot_z_mm)
    assert span == pytest.approx(m.arm_length_mm, rel=1e-13)
    assert at.rear_axle_mm[1] - m.pivot_z_mm == pytest.approx(m.axle_low_mm + Y, abs=1e-10)
    assert np.all(at.rear_axle_mm[0] < m.pivot_x_mm)


@pytest.mark.parametrize("index", range(0, 40, 4))
def test_pitch_by_turning_until_both_wheels_stand(index: int) -> None:
    # Turn the frame about the rear axle until both tyres' lowest points are level.
    m = lane(DRAW.machine, index)
    at = pose(m, X, Y)
    along = X + m.raise_mm
    front = np.array([m.front_axle_x_mm, m.front_axle_z_mm]) + along * np.array(
        [-np.sin(m.rake_rad), np.cos(m.rake_rad)]
    )
    arm = np.arcsin((m.axle_low_mm + Y) / m.arm_length_mm)
    rear = np.array([m.pivot_x_mm, m.pivot_z_mm]) + m.arm_length_mm * np.array(
        [-np.cos(arm), np.sin(arm)]
    )
    a = front - rear

    def gap(pitch: float) -> float:
        lift = np.sin(pitch) * a[0] + np.cos(pitch) * a[1]
        return float(lift - (m.front_radius_mm - m.rear_radius_mm))

    pitch = brentq(gap, -0.7, 0.7, xtol=1e-15)
    assert at.pitch_rad == pytest.approx(pitch, abs=1e-13)
    assert at.rake_rad == pytest.approx(m.rake_rad + pitch, abs=1e-13)
    # Trail: where the steering axis meets the ground, ahead of the front contact.
    down = np.array([np.sin(at.rake_rad), -np.cos(at.rake_rad)])
    across = np.array([np.cos(at.rake_rad), np.sin(at.rake_rad)])
    axle = np.array([at.wheelbase_mm, m.front_radius_mm])
    on_axis = axle - m.fork_offset_mm * across
    meets = on_axis + down * on_axis[1] / np.cos(at.rake_rad)
    assert at.trail_mm == pytest.approx(meets[0] - at.wheelbase_mm, abs=1e-9)


def test_signs() -> None:
    at0, lower_front, lower_rear = (
        pose(plain_machine(), x, y) for x, y in ((0, 0), (30, 0), (0, 30))
    )
    assert lower_front.pitch_rad < at0.pitch_rad < lower_rear.pitch_rad  # nose-up is positive
    assert lower_front.trail_mm < at0.trail_mm < lower_rear.trail_mm
    assert lower_front.height(700, 800) < at0.height(700, 800)
    assert lower_rear.height(700, 800) < at0.height(700, 800)


def test_offset_is_the_inverse_of_trail() -> None:
    trail = np.array([60.0, 105.0, 140.0])
    offset = fork_offset_mm(wheel_radius_mm=345.0, rake_rad=0.47, trail_mm=trail)
    again = (345.0 * np.sin(0.47) - offset) / np.cos(0.47)
    assert again == pytest.approx(trail, rel=1e-14)


def test_shapes_broadcast() -> None:
    at = pose(plain_machine(), np.zeros((4, 1)), np.linspace(0, 100, 3))
    assert at.height(500.0, 900.0).shape == (4, 3)
    assert at.place(np.zeros((2, 1, 1)), 100.0)[0].shape == (2, 4, 3)
