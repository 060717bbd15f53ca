"""The rider's centre of mass against sums done by hand."""

import numpy as np
import pytest

from fitplanner.body.mass import seated_com, segment_centres
from fitplanner.body.posture import Joints, Leg, Trunk, riding_posture
from fitplanner.body.segments import segment_lengths
from fitplanner.body.survey import Population


def point(x: float, z: float) -> np.ndarray:
    return np.array([x, 0.0, z])


def simple_rider() -> Joints:
    """All joints on a grid of 100 mm, so that the sums fit on paper."""
    none = np.asarray(0.0)
    leg = Leg(
        hip_mm=point(0, 0),
        knee_mm=point(100, 0),
        ankle_mm=point(100, -100),
        heel_mm=point(100, -100),
        ball_mm=point(170, -100),
        toe_mm=point(200, -100),
        knee_angle_rad=none,
        hip_angle_rad=none,
        clipped=np.asarray(False),
    )
    trunk = Trunk(
        hips_mm=point(0, 0),
        shoulder_mm=point(0, 100),
        elbow_mm=point(0, 0),
        wrist_mm=point(100, 0),
        hand_mm=point(100, 0),
        neck_mm=point(0, 100),
        head_centre_mm=point(0, 150),
        vertex_mm=point(0, 200),
        head_radius_mm=none,
        lean_rad=none,
        elbow_angle_rad=none,
        clipped=np.asarray(False),
    )
    return Joints(leg, leg, trunk)


def test_body_alone():
    """x: thighs 11.597, shanks 8.660, feet 3.950, forearms 1.482, hands 1.220 mm.

    z: head 10.409, trunk 21.130, upper arms 2.292, shanks -3.862, feet -2.740 mm.
    """
    rider = seated_com(
        simple_rider(), seat_point_mm=(0.0, 0.0), body_mass_kg=70.0, population=Population.MEN
    )
    assert rider.dx_mm == pytest.approx(26.909, abs=2e-3)
    assert rider.dz_mm == pytest.approx(27.229, abs=2e-3)
    assert rider.dy_mm == 0.0
    assert rider.mass_kg == 70.0


def test_with_gear():
    """10 kg more: head 2 (z 149.98), trunk 4 (z 48.62), feet 4 (x 144.15, z -100)."""
    rider = seated_com(
        simple_rider(),
        seat_point_mm=(0.0, -50.0),
        body_mass_kg=70.0,
        gear_mass_kg=10.0,
        population=Population.MEN,
    )
    assert rider.mass_kg == 80.0
    assert rider.dx_mm == pytest.approx((70.0 * 26.909 + 4.0 * 144.15) / 80.0, abs=2e-3)
    worn = 2.0 * 149.98 + 4.0 * 48.62 - 4.0 * 100.0
    assert rider.dz_mm == pytest.approx(50.0 + (70.0 * 27.229 + worn) / 80.0, abs=2e-3)


@pytest.mark.parametrize("population", list(Population))
def test_shares_add_up(population):
    shares = [share for _, share, _ in segment_centres(simple_rider(), population)]
    assert sum(shares) == pytest.approx(1.0, abs=1e-12)


def test_seated_rider_balances_over_the_seat():
    """The centre lies above the seat and ahead of the hips (a plausible range, no source), and
    follows the seat exactly when all points move together."""
    lengths = segment_lengths(1628.5, Population.WOMEN)
    shift = np.array([[0.0, 0.0], [30.0, -40.0]])
    rider = seated_com(
        riding_posture(
            lengths,
            seat_point_mm=np.array([450.0, 880.0]) + shift,
            peg_point_mm=np.array([560.0, 400.0]) + shift,
            bar_point_mm=np.array([940.0, 1110.0]) + shift,
            sole_mm=25.0,
        ),
        seat_point_mm=np.array([450.0, 880.0]) + shift,
        body_mass_kg=65.0,
        gear_mass_kg=8.0,
        population=Population.WOMEN,
    )
    assert rider.dx_mm[1] == pytest.approx(rider.dx_mm[0])
    assert rider.dz_mm[1] == pytest.approx(rider.dz_mm[0])
    assert 0.0 < rider.dx_mm[0] < 150.0
    assert 120.0 < rider.dz_mm[0] < 300.0


def test_no_mass_no_centre():
    with pytest.raises(ValueError, match="body mass"):
        seated_com(simple_rider(), seat_point_mm=(0.0, 0.0), body_mass_kg=0.0)
