"""Scenes carry both states and their dimensions."""

from dataclasses import replace

import numpy as np
import pytest

from fitplanner.outline import (
    Front,
    RiderJoints,
    Side,
    Words,
    bounds_of,
    front_scene_from,
    half_arc_mm,
    scene_from,
    seat_point,
    to_world,
)
from tests.drawn_figure import hanging_legs, lengths_from_stature, stopped_joints
from tests.unit.outline.figures import SECTION, TRAIL, catalogue_pose, pose

LENGTHS = lengths_from_stature(stature_mm=1640.0, sole_mm=25.0)
BEFORE = catalogue_pose(TRAIL)
AFTER = pose(TRAIL, front=110.0, rear=145.0, seat=10.0)


def joints(here: object, **foot: float) -> RiderJoints:
    grip = to_world(here, TRAIL.grip)  # type: ignore[arg-type]
    return stopped_joints(
        LENGTHS,
        seat=seat_point(TRAIL, here),  # type: ignore[arg-type]
        grip=(float(grip[0]), float(grip[1])),
        feet_ahead_mm=70,
        **foot,
    )


def test_the_change_is_the_difference_of_both_seats() -> None:
    scene = scene_from(
        before=Side(machine=TRAIL, pose=BEFORE), after=Side(machine=TRAIL, pose=AFTER)
    )
    drop = seat_point(TRAIL, BEFORE)[1] - seat_point(TRAIL, AFTER)[1]
    assert drop > 30
    assert scene.change is not None
    assert scene.change.value_mm == pytest.approx(drop)
    assert [h.time for h in scene.heights] == ["before", "after"]
    assert scene.heights[0].value_mm == pytest.approx(930.0)
    box = bounds_of((*scene.before, *scene.after))
    assert scene.bounds == box


def test_one_state_alone_has_no_change_and_no_time_in_its_label() -> None:
    scene = scene_from(after=Side(machine=TRAIL, pose=BEFORE), words=Words(seat="Sitz"))
    assert scene.change is None
    assert scene.before == ()
    assert [h.label for h in scene.heights] == ["Sitz"]


def test_the_caller_s_figure_is_written_and_the_outline_s_is_drawn() -> None:
    scene = scene_from(after=Side(machine=TRAIL, pose=BEFORE, seat_height_mm=927.5))
    assert scene.heights[0].value_mm == 927.5
    assert scene.heights[0].point[1] == pytest.approx(930.0)


@pytest.mark.parametrize(
    ("lift", "gap", "pattern", "value", "flat"),
    [
        (0.0, 0.0, None, 0.0, True),
        (37.0, 0.0, Words().heel_lift, 37.0, False),
        (0.0, 42.0, Words().foot_gap, 42.0, False),
        (20.0, 42.0, Words().foot_gap, 42.0, False),
    ],
)
def test_what_keeps_the_foot_from_standing_flat_is_measured(
    lift: float, gap: float, pattern: str | None, value: float, flat: bool
) -> None:
    rider = joints(AFTER, heel_lift_mm=lift, gap_mm=gap)
    scene = scene_from(
        after=Side(machine=TRAIL, pose=AFTER, rider=rider, heel_lift_mm=lift, foot_gap_mm=gap)
    )
    assert scene.flat_feet is flat
    assert [g.pattern for g in scene.gaps] == ([] if pattern is None else [pattern])
    for g in scene.gaps:
        assert g.value_mm == value
        assert g.foot[1] == pytest.approx(value, abs=1e-6)


def test_a_rider_on_the_pegs_is_not_said_to_stand() -> None:
    rider = joints(AFTER, gap_mm=300.0)
    assert not scene_from(after=Side(machine=TRAIL, pose=AFTER, rider=rider)).flat_feet


def test_the_front_view_tells_width_arc_and_leg() -> None:
    low = replace(SECTION, seat_height_mm=815.0)
    legs = [
        hanging_legs(s, lengths=LENGTHS, leg_and_sole_mm=790.0, gap_mm=g)
        for s, g in ((SECTION, 80.0), (low, 40.0))
    ]
    scene = front_scene_from(
        before=Front(section=SECTION, rider=legs[0], foot_gap_mm=80.0),
        after=Front(section=low, rider=legs[1], foot_gap_mm=40.0),
    )
    assert scene.spans[0].value_mm == SECTION.width_mm
    assert scene.spans[0].end[0] - scene.spans[0].start[0] == pytest.approx(SECTION.width_mm)
    assert [c.value for c in scene.callouts] == [pytest.approx(half_arc_mm(low)), 790.0]
    assert scene.change is not None
    assert scene.change.value_mm == pytest.approx(45.0)
    assert scene.leg_line is not None
    assert np.array_equal(scene.leg_line[0], [0.0, 815.0])


def test_a_leaned_machine_keeps_the_width_between_its_edges_and_one_foot_is_not_both() -> None:
    lean = replace(SECTION, lean_rad=0.1)
    legs = hanging_legs(lean, lengths=LENGTHS, leg_and_sole_mm=850.0)
    up = replace(legs, right=replace(legs.right, heel_z_mm=380.0, toe_z_mm=380.0))
    scene = front_scene_from(after=Front(section=lean, rider=up))
    span = scene.spans[0]
    assert np.hypot(*np.subtract(span.end, span.start)) == pytest.approx(SECTION.width_mm)
    # the rider's left edge is the lower one
    assert span.end[1] < span.start[1]
    assert not scene.flat_feet
    assert front_scene_from(after=Front(section=lean, rider=legs)).flat_feet
    hanging = replace(up, left=replace(up.left, heel_z_mm=22.0, toe_z_mm=22.0))
    short = front_scene_from(after=Front(section=lean, rider=hanging))
    assert [g.value_mm for g in short.gaps] == [22.0]
