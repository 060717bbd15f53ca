"""Four-bar solution against a textbook example and Freudenstein's equation."""

import numpy as np
import pytest

from fitplanner.mechanics.fourbar import Layout, LinkagePoints, four_bar

# The shock joint sits on the rod joint and the frame eye under the rocker's pivot, so that the
# shock's length tells the rocker's angle: l^2 = r^2 + D^2 + 2 r D sin(theta4).
BELOW = 200.0


def crank_rocker(crank: float, coupler: float, rocker: float, ground: float) -> LinkagePoints:
    """Textbook four-bar: both branches, crank = arm, open configuration second."""
    return LinkagePoints(
        layout=Layout.ROCKER_ON_FRAME,
        frame_eye_x_mm=ground,
        frame_eye_z_mm=-BELOW,
        arm_point_u_mm=crank,
        arm_point_v_mm=0.0,
        frame_point_x_mm=ground,
        frame_point_z_mm=0.0,
        rod_length_mm=coupler,
        rocker_rod_mm=rocker,
        rocker_shock_u_mm=rocker,
        rocker_shock_v_mm=0.0,
        branch=np.array([1.0, -1.0]),
    )


def test_norton_example() -> None:
    # Norton, Design of Machinery, Examples 4-1 and 6-7 (from memory): links 40, 120, 80, ground
    # 100, crank at 40 deg: rocker at 57.33 deg open, -98.01 deg crossed; with the crank at
    # 25 rad/s the open rocker turns at 6.998 rad/s.
    theta2 = np.radians(40)
    shock = four_bar(crank_rocker(40, 120, 80, 100), np.pi - theta2)
    crossed, opened = (shock.length_mm**2 - 80**2 - BELOW**2) / (2 * 80 * BELOW)
    assert np.degrees(np.arcsin(opened)) == pytest.approx(57.33, abs=0.006)
    # -98.01 and -81.99 share their sine.
    assert np.degrees(np.arcsin(crossed)) == pytest.approx(-180 + 98.01, abs=0.006)
    # l l' = r D cos(theta4) theta4', and the arm's angle falls as the crank's grows.
    speed = -25 * shock.slope_mm_per_rad[1] * shock.length_mm[1]
    assert speed / (80 * BELOW * np.sqrt(1 - opened**2)) == pytest.approx(6.998, abs=5e-4)


def test_freudenstein_equation() -> None:
    # Freudenstein 1954: K1 cos(theta4) - K2 cos(theta2) + K3 = cos(theta2 - theta4), K1 = d/a,
    # K2 = d/c, K3 = (a^2 - b^2 + c^2 + d^2)/(2 a c), over a whole turn of a crank-rocker.
    a, b, c, d = 40.0, 120.0, 80.0, 100.0
    theta2 = np.radians(np.arange(0.0, 360.0, 7.0))[:, np.newaxis]
    shock = four_bar(crank_rocker(a, b, c, d), np.pi - theta2)
    assert shock.assembled.all()
    sine = (shock.length_mm**2 - c**2 - BELOW**2) / (2 * c * BELOW)
    residuals = [
        d / a * cos4
        - d / c * np.cos(theta2)
        + (a**2 - b**2 + c**2 + d**2) / (2 * a * c)
        - (np.cos(theta2) * cos4 + np.sin(theta2) * sine)
        for cos4 in (np.sqrt(1 - sine**2), -np.sqrt(1 - sine**2))
    ]
    assert np.minimum(*np.abs(residuals)) == pytest.approx(0, abs=1e-7)
