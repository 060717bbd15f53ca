"""The drawn rider: limbs keep their lengths, feet stand where the reach model puts them."""

import math

import numpy as np
import pytest

from fitplanner.body.foot import STIFF_BOOT_ANGLE_RAD
from fitplanner.body.one_foot import one_foot
from fitplanner.body.posture import (
    LEAST_TRUNK_LEAN_RAD,
    MOST_TRUNK_LEAN_RAD,
    front_view,
    legroom,
    riding_posture,
    side_view,
)
from fitplanner.body.reach import Footing, reach, required_seat_height
from fitplanner.body.seat import seat_from_width
from fitplanner.body.segments import segment_lengths
from fitplanner.body.stopped import one_foot_posture, stopped_posture
from fitplanner.body.survey import Population

WOMAN = segment_lengths(1628.5, Population.WOMEN, inside_leg_mm=782.0)
SEAT = seat_from_width(240.0, 50.0)
ON_THE_PEGS = {
    "seat_point_mm": (450.0, 880.0),
    "peg_point_mm": (560.0, 400.0),
    "bar_point_mm": (940.0, 1110.0),
    "sole_mm": 25.0,
}


def distance(first, second):
    return np.linalg.norm(first - second, axis=-1)


def halted(heights, lengths=WOMAN, seat=SEAT, leg=782.0):
    heights = np.asarray(heights)
    reached = reach(
        seat,
        heights,
        inside_leg_mm=leg,
        sole_mm=25.0,
        foot=lengths.foot,
        boot_angle_rad=STIFF_BOOT_ANGLE_RAD,
    )
    where = np.zeros_like(heights)
    halt = stopped_posture(
        lengths,
        reached,
        seat=seat,
        seat_point_mm=np.stack([where + 450.0, heights], axis=-1),
        bar_point_mm=np.stack([where + 940.0, heights + 230.0], axis=-1),
        sole_mm=25.0,
    )
    return reached, halt


def test_limbs_keep_their_lengths_on_the_pegs():
    rider = riding_posture(WOMAN, **ON_THE_PEGS)
    leg, body = rider.left, rider.trunk
    assert not leg.clipped and not body.clipped
    assert distance(leg.hip_mm, leg.knee_mm) == pytest.approx(WOMAN.thigh_mm)
    assert distance(leg.knee_mm, leg.ankle_mm) == pytest.approx(WOMAN.shank_mm)
    assert distance(leg.heel_mm, leg.ball_mm) == pytest.approx(WOMAN.foot.ball_mm)
    assert distance(leg.ball_mm, leg.toe_mm) == pytest.approx(WOMAN.foot.toe_mm)
    assert distance(body.hips_mm, body.shoulder_mm) == pytest.approx(WOMAN.trunk_mm)
    assert distance(body.shoulder_mm, body.elbow_mm) == pytest.approx(WOMAN.upper_arm_mm)
    assert distance(body.elbow_mm, body.wrist_mm) == pytest.approx(WOMAN.forearm_mm)
    assert distance(body.wrist_mm, body.hand_mm) == pytest.approx(WOMAN.grip_mm)
    assert side_view(body.hand_mm) == pytest.approx([940.0, 1110.0])
    assert side_view(leg.ball_mm) == pytest.approx([560.0, 400.0 + 25.0])


def test_knee_points_forward_and_elbow_hangs():
    rider = riding_posture(WOMAN, **ON_THE_PEGS)
    assert rider.left.knee_mm[0] > max(rider.left.hip_mm[0], rider.left.ankle_mm[0])
    chord = 0.5 * (rider.trunk.shoulder_mm + rider.trunk.hand_mm)
    assert rider.trunk.elbow_mm[2] < chord[2]


def test_sides_mirror_each_other():
    rider = riding_posture(WOMAN, **ON_THE_PEGS)
    for name in ("hip_mm", "knee_mm", "ankle_mm", "heel_mm", "ball_mm", "toe_mm"):
        left, right = getattr(rider.left, name), getattr(rider.right, name)
        assert left * [1.0, -1.0, 1.0] == pytest.approx(right)


def test_rider_leans_only_as_far_as_the_grips_ask():
    leans = [
        float(riding_posture(WOMAN, **(ON_THE_PEGS | {"bar_point_mm": (x, 1110.0)})).trunk.lean_rad)
        for x in (850.0, 1000.0, 1150.0, 1300.0, 2500.0)
    ]
    assert leans == sorted(leans)
    assert leans[0] == pytest.approx(LEAST_TRUNK_LEAN_RAD)
    assert leans[-1] <= MOST_TRUNK_LEAN_RAD


def test_easy_elbow_is_kept_while_the_trunk_can_lean():
    reaching = riding_posture(WOMAN, **(ON_THE_PEGS | {"bar_point_mm": (1150.0, 1110.0)})).trunk
    assert reaching.lean_rad > LEAST_TRUNK_LEAN_RAD
    assert reaching.elbow_angle_rad == pytest.approx(math.radians(140.0))


def test_legroom_grows_with_the_seat_and_is_the_posture_s():
    heights = np.linspace(780.0, 1000.0, 23)
    seats = np.stack([np.full(23, 450.0), heights], axis=-1)
    room = legroom(WOMAN, seat_point_mm=seats, peg_point_mm=(560.0, 400.0), sole_mm=25.0)
    assert np.all(np.diff(room.knee_angle_rad) > 0.0)
    assert np.all(np.diff(room.hip_angle_rad) > 0.0)
    rider = riding_posture(WOMAN, **ON_THE_PEGS)
    same = legroom(
        WOMAN,
        seat_point_mm=(450.0, 880.0),
        peg_point_mm=(560.0, 400.0),
        sole_mm=25.0,
        trunk_lean_rad=rider.trunk.lean_rad,
    )
    assert same.knee_angle_rad == pytest.approx(rider.left.knee_angle_rad)
    assert same.hip_angle_rad == pytest.approx(rider.left.hip_angle_rad)


def test_knee_angle_by_the_law_of_cosines():
    foot = WOMAN.foot
    ankle = np.array([560.0 - foot.ball_lever_mm, 400.0 + 25.0 + foot.ankle_height_mm])
    span = distance(np.array([450.0, 880.0 + WOMAN.hip_above_seat_mm]), ankle)
    cosine = (WOMAN.thigh_mm**2 + WOMAN.shank_mm**2 - span**2) / (
        2.0 * WOMAN.thigh_mm * WOMAN.shank_mm
    )
    room = legroom(WOMAN, seat_point_mm=(450.0, 880.0), peg_point_mm=(560.0, 400.0), sole_mm=25.0)
    assert room.knee_angle_rad == pytest.approx(math.acos(cosine))


@pytest.mark.parametrize(("peg", "knee_deg"), [((560.0, -600.0), 180.0), ((530.0, 860.0), 40.0)])
def test_pegs_out_of_reach_are_said_to_be(peg, knee_deg):
    room = legroom(WOMAN, seat_point_mm=(450.0, 880.0), peg_point_mm=peg, sole_mm=25.0)
    assert room.clipped
    assert math.degrees(room.knee_angle_rad) == pytest.approx(knee_deg, abs=1e-4)
    assert np.isfinite(room.hip_angle_rad)


def test_feet_stand_where_the_reach_model_puts_them():
    reached, halt = halted([690.0, 745.0, 775.0, 850.0])
    leg = halt.joints.left
    soles = np.stack([leg.heel_mm, leg.ball_mm, leg.toe_mm])[..., 2] - 25.0
    assert soles.min(axis=0) == pytest.approx(reached.ground_gap_mm, abs=1e-9)
    assert soles[0] - reached.ground_gap_mm == pytest.approx(reached.heel_lift_mm, abs=1e-9)
    assert soles[:, 0] == pytest.approx([0.0] * 3, abs=1e-9)
    assert soles[1:, 1] == pytest.approx([0.0] * 2, abs=1e-9)
    assert soles[2, 2] == pytest.approx(0.0, abs=1e-9) and soles[1, 2] > 1.0
    assert reached.ground_gap_mm[3] > 10.0
    assert not leg.clipped.any()
    assert leg.ankle_mm[:, 1] == pytest.approx([120.0] * 4)


def test_ground_carries_the_rider_under_what_touches_it():
    _, halt = halted([690.0, 745.0, 775.0])
    leg = halt.joints.left
    assert halt.feet_x_mm[0] == pytest.approx(0.5 * (leg.ankle_mm[0, 0] + leg.ball_mm[0, 0]))
    assert halt.feet_x_mm[1] == leg.ball_mm[1, 0]
    assert halt.feet_x_mm[2] == leg.toe_mm[2, 0]


def test_taut_leg_splays_over_the_seat_and_a_slack_one_bends_forward():
    _, halt = halted([600.0, 760.0])
    leg = halt.joints.left
    line = 0.5 * (leg.hip_mm + leg.ankle_mm)
    assert leg.knee_mm[1, 0] == pytest.approx(line[1, 0], abs=1e-6)
    assert leg.knee_mm[1, 1] > 120.0
    assert leg.knee_mm[0, 0] > line[0, 0] + 100.0


@pytest.mark.parametrize("population", list(Population))
@pytest.mark.parametrize("stature", [1450.0, 1600.0, 1750.0, 1950.0])
@pytest.mark.parametrize("width", [160.0, 260.0, 340.0])
def test_drawn_leg_agrees_with_the_reach_model(population, stature, width):
    lengths, seat = segment_lengths(stature, population), seat_from_width(width, 60.0)
    leg = 0.48 * stature
    lengths = segment_lengths(stature, population, inside_leg_mm=leg)
    height = required_seat_height(
        Footing.BOTH_FLAT,
        seat,
        inside_leg_mm=leg,
        sole_mm=25.0,
        foot=lengths.foot,
        boot_angle_rad=STIFF_BOOT_ANGLE_RAD,
    )
    _, halt = halted(float(height), lengths, seat, leg)
    assert not halt.joints.left.clipped
    assert halt.joints.left.ball_mm[2] == pytest.approx(25.0)


def test_one_foot_stands_and_the_other_stays_on_its_peg():
    heights = np.array([760.0, 830.0])
    down = one_foot(
        SEAT,
        heights,
        inside_leg_mm=782.0,
        sole_mm=25.0,
        machine_mass_kg=128.0,
        machine_com_height_mm=545.0,
        rider_mass_kg=68.0,
        rider_com_height_mm=1010.0,
    )
    halt = one_foot_posture(
        WOMAN,
        down,
        seat=SEAT,
        seat_point_mm=np.stack([[450.0, 450.0], heights], axis=-1),
        peg_point_mm=(560.0, 200.0, 390.0),
        bar_point_mm=np.stack([[940.0, 940.0], heights + 230.0], axis=-1),
        sole_mm=25.0,
    )
    near, far = halt.joints.left, halt.joints.right
    assert not near.clipped.any() and not far.clipped.any()
    assert near.ball_mm[:, 2] == pytest.approx([25.0, 25.0])
    assert front_view(near.ankle_mm)[:, 0] == pytest.approx(down.foot_y_mm)
    assert far.ankle_mm[:, 1] == pytest.approx(
        -200.0 * np.cos(down.lean_rad)
        + (390.0 + 25.0 + WOMAN.foot.ankle_height_mm) * np.sin(down.lean_rad)
    )
    assert halt.joints.trunk.hips_mm[1, 1] > halt.joints.trunk.hips_mm[0, 1]


def test_points_of_the_wrong_view_are_refused():
    with pytest.raises(ValueError, match=r"\(x, z\)"):
        riding_posture(WOMAN, **(ON_THE_PEGS | {"peg_point_mm": (560.0, 0.0, 400.0)}))
