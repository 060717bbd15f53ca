"""What must hold for every rider, seat and boot."""

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from fitplanner.body.foot import ball_lift_mm, foot_from_stature, foot_pose, toe_lift_mm
from fitplanner.body.limbs import two_links
from fitplanner.body.one_foot import one_foot
from fitplanner.body.reach import Footing, reach, required_seat_height
from fitplanner.body.seat import half_arc_mm, seat_from_arc, seat_from_width
from fitplanner.body.survey import Population

unhurried = settings(deadline=None)

statures = st.floats(1300.0, 2000.0)
legs = st.floats(600.0, 1000.0)
soles = st.floats(0.0, 60.0)
widths = st.floats(120.0, 400.0)
drops = st.floats(0.0, 120.0)
angles = st.floats(math.radians(2.0), math.radians(45.0))
populations = st.sampled_from(Population)
two_footed = st.sampled_from([Footing.BOTH_FLAT, Footing.BOTH_BALLS, Footing.BOTH_TOES])


@unhurried
@given(statures, populations, angles, st.floats(0.0, 1.0))
def test_foot_pose_gives_the_lift_asked_for(stature, population, limit, part):
    foot = foot_from_stature(stature, population)
    wanted = part * float(toe_lift_mm(foot, limit))
    pose = foot_pose(foot, wanted, boot_angle_rad=limit)
    rise = ball_lift_mm(foot, pose.foot_angle_rad) + foot.toe_mm * np.sin(pose.toe_angle_rad)
    assert abs(rise - wanted) < 1e-9 * foot.length_mm
    assert abs(pose.short_mm) < 1e-9
    assert pose.toe_angle_rad <= pose.foot_angle_rad + 1e-9
    assert pose.foot_angle_rad <= limit + 1e-12
    assert pose.heel_lift_mm >= pose.ankle_lift_mm - 1e-9


@unhurried
@given(two_footed, statures, legs, soles, widths, drops, angles)
def test_required_height_is_where_the_footing_ends(footing, stature, leg, sole, width, drop, angle):
    seat, foot = seat_from_width(width, drop), foot_from_stature(stature)
    rider = {
        "inside_leg_mm": leg,
        "sole_mm": sole,
        "foot": foot,
        "boot_angle_rad": angle,
    }
    height = required_seat_height(footing, seat, **rider)
    found = reach(seat, [float(height), float(height) + 0.01], **rider)
    assert found.footing[0] == footing.rank
    assert found.footing[1] < footing.rank


@unhurried
@given(statures, legs, soles, widths, drops, angles)
def test_a_higher_seat_never_reaches_better(stature, leg, sole, width, drop, angle):
    found = reach(
        seat_from_width(width, drop),
        np.linspace(500.0, 1100.0, 241),
        inside_leg_mm=leg,
        sole_mm=sole,
        foot=foot_from_stature(stature),
        boot_angle_rad=angle,
    )
    assert np.all(np.diff(found.footing) <= 0)
    assert np.all(np.diff(found.margin_mm) < 0.0)
    for rising in (found.ankle_lift_mm, found.heel_lift_mm, found.ground_gap_mm):
        assert np.all(np.diff(rising) >= -1e-9)
    lift = found.ankle_lift_mm + found.ground_gap_mm
    assert np.allclose(lift, np.maximum(-found.margin_mm, 0.0), atol=1e-6)


@unhurried
@given(legs, soles, drops, st.floats(120.0, 300.0), st.floats(300.0, 400.0))
def test_a_narrower_seat_fits_a_shorter_leg(leg, sole, drop, narrow, wide):
    foot = foot_from_stature(1650.0)
    rider = {"inside_leg_mm": leg, "sole_mm": sole, "foot": foot, "boot_angle_rad": 0.3}
    heights = [
        required_seat_height(Footing.BOTH_FLAT, seat_from_width(width, drop), **rider)
        for width in (narrow, wide)
    ]
    assert heights[0] >= heights[1]


@unhurried
@given(st.floats(600.0, 1000.0), drops, st.floats(0.0, 160.0), st.floats(600.0, 1000.0))
def test_a_catalogue_arc_replaces_the_width(stated_height, drop, excess, height):
    seat = seat_from_arc(
        2.0 * (stated_height + excess), seat_height_mm=stated_height, edge_drop_mm=drop
    )
    assert abs(half_arc_mm(seat, height) - (height + excess)) < 1e-6


@unhurried
@given(
    legs,
    soles,
    widths,
    drops,
    st.floats(math.radians(1.0), math.radians(15.0)),
    st.none() | st.floats(0.0, 200.0),
)
def test_one_foot_height_and_lean_are_inverse(leg, sole, width, drop, limit, hips):
    seat = seat_from_width(width, drop)
    height = required_seat_height(
        Footing.ONE_FOOT_FLAT,
        seat,
        inside_leg_mm=leg,
        sole_mm=sole,
        foot=foot_from_stature(1650.0),
        boot_angle_rad=0.3,
        hip_limit_mm=hips,
        lean_limit_rad=limit,
    )
    down = one_foot(
        seat,
        [float(height), float(height) + 0.01],
        inside_leg_mm=leg,
        sole_mm=sole,
        machine_mass_kg=130.0,
        machine_com_height_mm=550.0,
        rider_mass_kg=70.0,
        rider_com_height_mm=1000.0,
        hip_limit_mm=hips,
        lean_limit_rad=limit,
    )
    assert list(down.reached) == [True, False]
    assert abs(down.lean_rad[0] - limit) < 1e-6


@unhurried
@given(legs, soles, widths, drops)
def test_one_foot_asks_more_as_the_seat_rises(leg, sole, width, drop):
    seat, heights = seat_from_width(width, drop), np.linspace(550.0, 1100.0, 221)
    down = one_foot(
        seat,
        heights,
        inside_leg_mm=leg,
        sole_mm=sole,
        machine_mass_kg=130.0,
        machine_com_height_mm=550.0,
        rider_mass_kg=70.0,
        rider_com_height_mm=1000.0,
    )
    for rising in (down.hip_shift_mm, down.lean_rad, down.short_mm):
        assert np.all(np.diff(rising) >= -1e-9)
    assert np.all(down.hip_shift_mm <= 0.5 * width)
    assert np.all((down.lean_rad == 0.0) | (down.hip_shift_mm >= 0.5 * width - 1e-9))
    arc = half_arc_mm(seat, heights, hip_shift_mm=down.hip_shift_mm, lean_rad=down.lean_rad)
    taut = down.reached & ((down.hip_shift_mm > 0.0) | (down.lean_rad > 0.0))
    assert np.allclose(arc[taut], leg + sole, atol=1e-6)
    assert np.all(down.foot_load_n >= 0.0)


points = st.tuples(*[st.floats(-2000.0, 2000.0)] * 3)


@unhurried
@given(points, points, st.floats(100.0, 600.0), st.floats(100.0, 600.0), st.booleans(), angles)
def test_links_keep_their_length_and_are_never_lost(root, tip, first, second, forward, least):
    limb = two_links(
        root,
        tip,
        first_mm=first,
        second_mm=second,
        least_angle_rad=least,
        forward=forward,
        splay_rad=0.4,
    )
    assert np.all(np.isfinite(limb.joint_mm)) and np.all(np.isfinite(limb.tip_mm))
    assert abs(np.linalg.norm(limb.joint_mm - np.array(root)) - first) < 1e-6
    assert abs(np.linalg.norm(limb.tip_mm - limb.joint_mm) - second) < 1e-5
    if not (limb.stretched or limb.folded):
        assert np.allclose(limb.tip_mm, tip, atol=1e-6)
    assert not (limb.stretched and limb.folded)
