"""The rider's joints and the taut line over the seat."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitplanner.outline import (
    bounds_of,
    half_arc_mm,
    leg_line,
    legs_shapes,
    rider_shapes,
    seat_surface,
    section_shapes,
)
from fitplanner.outline.front import beside
from fitplanner.outline.rider import shod
from tests.drawn_figure import hanging_legs, lengths_from_stature, riding_joints, stopped_joints
from tests.unit.outline.figures import SECTION

LENGTHS = lengths_from_stature(stature_mm=1640.0, sole_mm=25.0)
SEAT, GRIP, PEG = (560.0, 905.0), (985.0, 1130.0), (545.0, 385.0)


def apart(a: tuple[float, float], b: tuple[float, float]) -> float:
    return float(np.hypot(*np.subtract(a, b)))


def test_standing_heights_follow_the_published_shares() -> None:
    # Drillis and Contini 1966: ankle 0.039, knee 0.285, hip 0.530, shoulder 0.818 of stature
    h = 1640.0
    ankle = LENGTHS.ankle_height_mm
    assert ankle == pytest.approx(0.039 * h)
    assert ankle + LENGTHS.shank_mm == pytest.approx(0.285 * h)
    hip = ankle + LENGTHS.shank_mm + LENGTHS.thigh_mm
    assert hip == pytest.approx(0.530 * h)
    assert hip + LENGTHS.trunk_mm == pytest.approx(0.818 * h)


@settings(max_examples=50)
@given(seat_z=st.floats(820, 990), peg_x=st.floats(480, 640), stature=st.floats(1450, 1950))
def test_on_the_pegs_every_bone_keeps_its_length(
    seat_z: float, peg_x: float, stature: float
) -> None:
    lengths = lengths_from_stature(stature_mm=stature, sole_mm=25.0)
    j = riding_joints(lengths, seat=(560.0, seat_z), grip=GRIP, peg=(peg_x, 385.0))
    assert apart(j.hip, j.knee) == pytest.approx(lengths.thigh_mm)
    assert apart(j.knee, j.ankle) == pytest.approx(lengths.shank_mm, rel=1e-3)
    assert apart(j.hip, j.shoulder) == pytest.approx(lengths.trunk_mm)
    assert apart(j.shoulder, j.elbow) == pytest.approx(lengths.upper_arm_mm)
    assert apart(j.elbow, j.hand) == pytest.approx(lengths.forearm_mm, rel=1e-3)
    # knees bend forward, elbows downward
    assert j.knee[0] > 0.5 * (j.hip[0] + j.ankle[0])
    assert j.elbow[1] < max(j.shoulder[1], j.hand[1])


@pytest.mark.parametrize(
    ("lift", "gap", "heel", "ball"),
    [(0.0, 0.0, 0.0, 0.0), (37.0, 0.0, 37.0, 0.0)],
)
def test_the_boot_stands_where_the_caller_says(
    lift: float, gap: float, heel: float, ball: float
) -> None:
    j = stopped_joints(
        LENGTHS, seat=SEAT, grip=GRIP, feet_ahead_mm=70, heel_lift_mm=lift, gap_mm=gap
    )
    assert j.heel[1] == pytest.approx(heel, abs=1e-9)
    assert j.ball[1] == pytest.approx(ball, abs=1e-9)
    assert j.toe[1] == pytest.approx(0.0, abs=1e-9)


def test_a_hanging_boot_shows_its_gap() -> None:
    j = stopped_joints(LENGTHS, seat=SEAT, grip=GRIP, feet_ahead_mm=70, gap_mm=48.0)
    assert min(j.heel[1], j.ball[1], j.toe[1]) == pytest.approx(48.0, abs=1e-9)
    soles = [s for s in rider_shapes(j) if s.part == "sole"]
    assert bounds_of(soles).bottom == pytest.approx(48.0, abs=1e-9)


def test_nothing_of_a_rider_with_flat_feet_sinks_into_the_ground() -> None:
    j = stopped_joints(LENGTHS, seat=SEAT, grip=GRIP, feet_ahead_mm=70)
    box = bounds_of(rider_shapes(j))
    assert box.bottom == pytest.approx(0.0, abs=1.0)
    assert box.top > j.head[1] + j.head_radius_mm


def test_a_child_is_drawn_slighter() -> None:
    small = lengths_from_stature(stature_mm=1250.0, sole_mm=20.0)
    boxes = []
    for lengths in (LENGTHS, small):
        j = riding_joints(lengths, seat=SEAT, grip=GRIP, peg=PEG)
        boxes.append(bounds_of([s for s in rider_shapes(j) if s.part == "jacket_hem"]))
    assert boxes[1].width_mm < 0.9 * boxes[0].width_mm


@given(width=st.floats(100, 400), drop=st.floats(0, 100), height=st.floats(550, 1000))
def test_the_half_arc_is_that_of_the_taut_line(width: float, drop: float, height: float) -> None:
    section = replace(SECTION, width_mm=width, edge_drop_mm=drop, seat_height_mm=height)
    # Pythagoras over the seat, then plumb: sqrt((w/2)^2 + e^2) + (S - e)
    assert half_arc_mm(section) == pytest.approx(
        np.hypot(width / 2, drop) + (height - drop), rel=1e-12
    )


@given(lean=st.floats(0, 0.25), shift=st.floats(0, 110))
def test_a_leaned_machine_shortens_the_arc_on_the_low_side(lean: float, shift: float) -> None:
    w, e, s = SECTION.width_mm, SECTION.edge_drop_mm, SECTION.seat_height_mm
    # hips moved by h: sqrt((w/2 - h)^2 + e^2) + (S - e) cos(lean) - (w/2) sin(lean)
    wanted = np.hypot(w / 2 - shift, e) + (s - e) * np.cos(lean) - (w / 2) * np.sin(lean)
    assert half_arc_mm(replace(SECTION, lean_rad=lean, hip_shift_mm=shift)) == pytest.approx(
        wanted, rel=1e-12
    )


def test_the_section_passes_through_middle_and_both_edges() -> None:
    surface = seat_surface(SECTION)
    for at in ((-110.0, 830.0), (0.0, 860.0), (110.0, 830.0)):
        assert np.hypot(*(surface - at).T).min() < 1e-9
    drawn = next(s for s in section_shapes(SECTION) if s.part == "seat")
    assert np.abs(drawn.points[:, 0]).max() == pytest.approx(110.0)
    assert drawn.points[:, 1].max() == pytest.approx(860.0)


def test_the_leg_s_line_ends_where_the_leg_ends() -> None:
    whole = half_arc_mm(SECTION)
    assert leg_line(SECTION, whole - 40.0)[-1] == pytest.approx([110.0, 40.0])
    assert leg_line(SECTION, whole + 25.0)[-1] == pytest.approx([110.0, 0.0])
    line = leg_line(SECTION, whole - 40.0)
    assert np.hypot(*np.diff(line, axis=0).T).sum() == pytest.approx(whole - 40.0)


@pytest.mark.parametrize(("lift", "gap"), [(0.0, 0.0), (35.0, 0.0), (0.0, 50.0)])
def test_both_boots_stand_or_hang_alike(lift: float, gap: float) -> None:
    rider = hanging_legs(
        SECTION, lengths=LENGTHS, leg_and_sole_mm=800.0, heel_lift_mm=lift, gap_mm=gap
    )
    soles = [s for s in legs_shapes(rider) if s.part == "sole"]
    assert len(soles) == 2
    for sole in soles:
        assert bounds_of([sole]).bottom == pytest.approx(gap, abs=1e-9)
    centres = sorted(float(s.points[:, 0].mean()) for s in soles)
    assert centres[0] == pytest.approx(-centres[1])


@pytest.mark.parametrize("tilt", [0.0, 0.35])
def test_a_sole_lies_square_under_a_bare_foot(tilt: float) -> None:
    j = stopped_joints(
        LENGTHS, seat=SEAT, grip=GRIP, feet_ahead_mm=70, heel_lift_mm=218 * np.sin(tilt)
    )
    boot = shod(replace(j, sole_mm=30.0))
    for name in ("heel", "ball", "toe"):
        assert apart(getattr(j, name), getattr(boot, name)) == pytest.approx(30.0)
    bare, sole = np.subtract(j.ball, j.heel), np.subtract(boot.ball, boot.heel)
    assert sole == pytest.approx(bare)
    assert boot.toe[1] == pytest.approx(j.toe[1] - 30.0)
    assert shod(boot) == boot


def test_drawn_legs_lie_outside_the_line_along_their_inner_side() -> None:
    rider = hanging_legs(SECTION, lengths=LENGTHS, leg_and_sole_mm=800.0, gap_mm=40.0)
    on_line = replace(
        rider,
        left=replace(rider.left, ankle=(110.0, 130.0), knee=(230.0, 480.0), sole_mm=25.0),
    )
    drawn = beside(SECTION, on_line)
    boots = [s for s in legs_shapes(drawn) if s.part in ("boot_shaft", "sole")]
    left = [s for s in boots if np.nanmean(s.points[:, 0]) > 0]
    assert bounds_of(left).left > 100.0
    # the ankle's height is the caller's, the boot stands on its own sole
    assert drawn.left.ankle[1] == 130.0
    assert drawn.left.toe_z_mm == on_line.left.toe_z_mm - 25.0
    # a foot on its peg stays where it is
    on_peg = replace(rider.right, toe_z_mm=385.0, heel_z_mm=385.0, ankle=(-200.0, 470.0))
    assert beside(SECTION, replace(rider, right=on_peg)).right == on_peg
