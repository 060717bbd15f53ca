"""Rear linkage against loop closure, velocity loops, finite differences and virtual work."""

from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from fitplanner.mechanics.fourbar import (
    Layout,
    LinkagePoints,
    MotionRatio,
    four_bar,
    joints,
    motion_ratio,
    rocker_from_drawing,
)

ARM = 590.0
EXTENDED = np.radians(-16.0)
RISES = np.linspace(0.0, 300.0, 61)
GRID = np.arcsin(np.sin(EXTENDED) + RISES / ARM)

DIRECT = LinkagePoints(
    layout=Layout.DIRECT,
    frame_eye_x_mm=-20.0,
    frame_eye_z_mm=310.0,
    arm_point_u_mm=220.0,
    arm_point_v_mm=35.0,
)
ON_FRAME: dict[str, Any] = {
    "layout": Layout.ROCKER_ON_FRAME,
    "alpha_rad": EXTENDED,
    "frame_eye_mm": (-60.0, 290.0),
    "frame_point_mm": (-65.0, -70.0),
    "arm_point_mm": (-225.0, -90.0),
    "rod_joint_mm": (-100.0, -145.0),
    "shock_joint_mm": (-160.0, -135.0),
}
ON_ARM: dict[str, Any] = {
    "layout": Layout.ROCKER_ON_ARM,
    "alpha_rad": EXTENDED,
    "frame_eye_mm": (-60.0, 290.0),
    "frame_point_mm": (-65.0, -110.0),
    "arm_point_mm": (-230.0, -120.0),
    "rod_joint_mm": (-200.0, -200.0),
    "shock_joint_mm": (-120.0, -85.0),
}
ROCKERS = [ON_FRAME, ON_ARM]
NAMES = ["on_frame", "on_arm"]
ALL = [DIRECT, rocker_from_drawing(**ON_FRAME), rocker_from_drawing(**ON_ARM)]


def turn(angle: float) -> np.ndarray:
    return np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])


def follow(drawing: dict[str, Any]) -> list[dict[str, np.ndarray]]:
    """Joints over `GRID` from the drawing: root of the loop's closure, followed step by step."""
    places = {k: np.array(v) for k, v in drawing.items() if k.endswith("_mm")}
    arm0, frame, eye = places["arm_point_mm"], places["frame_point_mm"], places["frame_eye_mm"]
    on_frame = drawing["layout"] is Layout.ROCKER_ON_FRAME
    pivot0, far0 = (frame, arm0) if on_frame else (arm0, frame)
    rod0, shock0 = places["rod_joint_mm"] - pivot0, places["shock_joint_mm"] - pivot0
    length = np.linalg.norm(places["rod_joint_mm"] - far0)
    spin, steps = 0.0, []
    for alpha in GRID:
        # The arm turns clockwise as its axle, which lies behind the pivot, rises.
        arm = turn(-(alpha - EXTENDED)) @ arm0
        pivot, far = (frame, arm) if on_frame else (arm, frame)

        def closure(angle: float, pivot: np.ndarray = pivot, far: np.ndarray = far) -> float:
            return float(np.linalg.norm(pivot + turn(angle) @ rod0 - far) - length)

        spin = brentq(closure, spin - 0.1, spin + 0.1, xtol=1e-14)
        steps.append(
            {
                "arm": arm,
                "pivot": pivot,
                "far": far,
                "rod": pivot + turn(spin) @ rod0,
                "shock": pivot + turn(spin) @ shock0,
                "eye": eye,
            }
        )
    return steps


@pytest.mark.parametrize("drawing", ROCKERS, ids=NAMES)
def test_length_closes_the_loop(drawing: dict[str, Any]) -> None:
    shock = four_bar(rocker_from_drawing(**drawing), GRID)
    expected = [np.linalg.norm(step["shock"] - step["eye"]) for step in follow(drawing)]
    assert shock.assembled.all()
    assert shock.length_mm == pytest.approx(expected, abs=1e-8)


@pytest.mark.parametrize("drawing", ROCKERS, ids=NAMES)
def test_slope_solves_the_velocity_loop(drawing: dict[str, Any]) -> None:
    # Rigid rod and rocker: both keep their length, two linear equations in the rod joint's
    # velocity; the rocker's spin then carries it to the shock joint.
    shock = four_bar(rocker_from_drawing(**drawing), GRID)
    for step, slope in zip(follow(drawing), shock.slope_mm_per_rad, strict=True):
        arm_speed = np.array([step["arm"][1], -step["arm"][0]])
        still = np.zeros(2)
        on_frame = drawing["layout"] is Layout.ROCKER_ON_FRAME
        pivot_speed, far_speed = (still, arm_speed) if on_frame else (arm_speed, still)
        rocker, rod = step["rod"] - step["pivot"], step["rod"] - step["far"]
        rod_speed = np.linalg.solve([rocker, rod], [rocker @ pivot_speed, rod @ far_speed])
        relative = rod_speed - pivot_speed
        spin = (rocker[0] * relative[1] - rocker[1] * relative[0]) / (rocker @ rocker)
        lever = step["shock"] - step["pivot"]
        speed = pivot_speed + spin * np.array([-lever[1], lever[0]])
        along = (step["shock"] - step["eye"]) / np.linalg.norm(step["shock"] - step["eye"])
        assert slope == pytest.approx(along @ speed, rel=1e-9)


@pytest.mark.parametrize("drawing", ROCKERS, ids=NAMES)
def test_ratio_is_that_of_the_forces(drawing: dict[str, Any]) -> None:
    # Virtual work turned round: statics of rocker and arm under a unit shock force.
    ratio = motion_ratio(
        rocker_from_drawing(**drawing),
        arm_length_mm=ARM,
        extended_alpha_rad=EXTENDED,
        axle_rise_mm=RISES,
    ).ratio
    for step, alpha, m in zip(follow(drawing), GRID, ratio, strict=True):
        push = (step["shock"] - step["eye"]) / np.linalg.norm(step["shock"] - step["eye"])
        pull = (step["far"] - step["rod"]) / np.linalg.norm(step["far"] - step["rod"])
        tension = -cross(step["shock"] - step["pivot"], push) / cross(
            step["rod"] - step["pivot"], pull
        )
        # What the rocker hands to the arm: the rod's pull, or the load on the pivot.
        on_frame = drawing["layout"] is Layout.ROCKER_ON_FRAME
        force = -tension * pull if on_frame else push + tension * pull
        wheel = -cross(step["arm"], force) / (-ARM * np.cos(alpha))
        assert m == pytest.approx(wheel, rel=1e-9)


def cross(a: np.ndarray, b: np.ndarray) -> float:
    return float(a[0] * b[1] - a[1] * b[0])


def test_direct_shock_by_the_law_of_cosines() -> None:
    eye, foot = np.hypot(20, 310), np.hypot(220, 35)
    # Angle between the eye's and the arm point's directions, seen from the swing-arm pivot.
    opening = (np.pi - GRID - np.arctan2(35, 220)) - np.arctan2(310, -20)
    expected = np.sqrt(eye**2 + foot**2 - 2 * eye * foot * np.cos(opening))
    assert four_bar(DIRECT, GRID).length_mm == pytest.approx(expected)


@pytest.mark.parametrize("points", ALL, ids=["direct", *NAMES])
def test_derivatives_after_the_angle(points: LinkagePoints) -> None:
    h = 1e-5
    low, mid, high = (four_bar(points, GRID + step) for step in (-h, 0.0, h))
    assert mid.slope_mm_per_rad == pytest.approx(
        (high.length_mm - low.length_mm) / (2 * h), rel=1e-6, abs=1e-5
    )
    assert mid.curvature_mm_per_rad2 == pytest.approx(
        (high.slope_mm_per_rad - low.slope_mm_per_rad) / (2 * h), rel=1e-6, abs=1e-4
    )


@pytest.mark.parametrize("points", ALL, ids=["direct", *NAMES])
def test_derivatives_after_the_rise(points: LinkagePoints) -> None:
    h = 1e-2

    def at(rise: np.ndarray) -> MotionRatio:
        return motion_ratio(
            points, arm_length_mm=ARM, extended_alpha_rad=EXTENDED, axle_rise_mm=rise
        )

    low, mid, high = at(RISES - h), at(RISES), at(RISES + h)
    assert mid.shock_travel_mm[0] == pytest.approx(0, abs=1e-12)
    assert mid.ratio == pytest.approx(
        (high.shock_travel_mm - low.shock_travel_mm) / (2 * h), rel=1e-7
    )
    assert mid.ratio_slope_per_mm == pytest.approx(
        (high.ratio - low.ratio) / (2 * h), rel=1e-6, abs=1e-9
    )
    assert np.all(mid.ratio > 0)


@pytest.mark.parametrize("drawing", ROCKERS, ids=NAMES)
def test_drawing_gives_back_its_shock_length(drawing: dict[str, Any]) -> None:
    shock = four_bar(rocker_from_drawing(**drawing), EXTENDED)
    drawn = np.hypot(*np.subtract(drawing["shock_joint_mm"], drawing["frame_eye_mm"]))
    assert shock.length_mm == pytest.approx(drawn)


def test_what_cannot_be_assembled_is_masked() -> None:
    points = rocker_from_drawing(**ON_ARM)
    rods = np.array([[points.rod_length_mm], [400.0], [1.0]])
    odd = LinkagePoints(**{**vars(points), "rod_length_mm": rods})
    shock = four_bar(odd, GRID)
    assert shock.assembled.shape == shock.length_mm.shape == (3, GRID.size)
    assert shock.assembled.all(axis=1).tolist() == [True, False, False]
    assert np.array_equal(np.isnan(shock.length_mm), ~shock.assembled)
    assert np.array_equal(np.isnan(shock.curvature_mm_per_rad2), ~shock.assembled)


def test_a_rise_out_of_reach_is_masked() -> None:
    result = motion_ratio(
        DIRECT, arm_length_mm=ARM, extended_alpha_rad=EXTENDED, axle_rise_mm=[0.0, 300.0, 800.0]
    )
    assert result.assembled.tolist() == [True, True, False]
    assert np.isnan(result.ratio[2])


def test_a_linkage_broken_at_extension_is_masked_throughout() -> None:
    # Rod just too short at extension, long enough later: travel from extension means nothing.
    points = rocker_from_drawing(**ON_FRAME)
    lengths = np.linspace(20, 300, 281)[:, np.newaxis]
    odd = LinkagePoints(**{**vars(points), "rod_length_mm": lengths})
    at_extension, later = four_bar(odd, EXTENDED).assembled, four_bar(odd, GRID).assembled
    broken = ~at_extension[:, 0]
    assert np.any(later[broken])
    result = motion_ratio(odd, arm_length_mm=ARM, extended_alpha_rad=EXTENDED, axle_rise_mm=RISES)
    assert not result.assembled[broken].any()


def test_dead_centre_is_masked() -> None:
    # Rod 80 and rocker 60 in one line over a centre distance of 140, and a hair longer.
    points = LinkagePoints(
        layout=Layout.ROCKER_ON_FRAME,
        frame_eye_x_mm=0.0,
        frame_eye_z_mm=300.0,
        arm_point_u_mm=200.0,
        arm_point_v_mm=0.0,
        frame_point_x_mm=-60.0,
        frame_point_z_mm=0.0,
        rod_length_mm=np.array([80.0, 80.0 + 1e-11, 81.0]),
        rocker_rod_mm=60.0,
        rocker_shock_u_mm=40.0,
        rocker_shock_v_mm=20.0,
    )
    assert four_bar(points, 0.0).assembled.tolist() == [False, False, True]


def test_longer_link_rods_let_the_machine_down() -> None:
    # Common practice: same shock length, longer rods, and the axle stands higher in the frame.
    points = rocker_from_drawing(**ON_ARM)
    stock = float(four_bar(points, EXTENDED).length_mm)
    longer = LinkagePoints(**{**vars(points), "rod_length_mm": np.add(points.rod_length_mm, 4.0)})
    alpha = brentq(lambda a: float(four_bar(longer, a).length_mm) - stock, EXTENDED - 0.1, 0.2)
    assert 3 < ARM * (np.sin(alpha) - np.sin(EXTENDED)) < 60
    assert four_bar(longer, alpha).length_mm == pytest.approx(stock)


def test_impossible_linkages_are_refused() -> None:
    with pytest.raises(ValueError, match="rod_length_mm"):
        LinkagePoints(**{**vars(ALL[1]), "rod_length_mm": 0.0})
    with pytest.raises(ValueError, match="branch"):
        LinkagePoints(**{**vars(ALL[1]), "branch": 0.5})
    with pytest.raises(ValueError, match="no rocker"):
        rocker_from_drawing(**{**ON_ARM, "layout": Layout.DIRECT})
    with pytest.raises(ValueError, match="undecided"):
        rocker_from_drawing(
            **{
                **ON_ARM,
                "arm_point_mm": (0.0, 0.0),
                "frame_point_mm": (-100.0, 0.0),
                "rod_joint_mm": (-50.0, 0.0),
            }
        )
    with pytest.raises(ValueError, match="point backward"):
        motion_ratio(DIRECT, arm_length_mm=ARM, extended_alpha_rad=-1.6, axle_rise_mm=0.0)


@pytest.mark.parametrize("points", ALL, ids=["direct", *NAMES])
def test_places_of_the_joints_keep_every_length(points: LinkagePoints) -> None:
    at = joints(points, GRID)
    eye = np.array([points.frame_eye_x_mm, points.frame_eye_z_mm])
    length = np.linalg.norm(at.shock_joint_mm - eye, axis=-1)
    assert length == pytest.approx(four_bar(points, GRID).length_mm, abs=1e-9)
    from_pivot = np.linalg.norm(at.arm_point_mm, axis=-1)
    assert from_pivot == pytest.approx(np.hypot(points.arm_point_u_mm, points.arm_point_v_mm))
    if points.layout is Layout.DIRECT:
        assert np.all(np.isnan(at.rod_joint_mm))
        return
    frame = np.array([points.frame_point_x_mm, points.frame_point_z_mm]) + np.zeros((len(GRID), 2))
    on_frame = points.layout is Layout.ROCKER_ON_FRAME
    pivot, far = (frame, at.arm_point_mm) if on_frame else (at.arm_point_mm, frame)
    for one, two, kept in (
        (at.rod_joint_mm, far, points.rod_length_mm),
        (at.rod_joint_mm, pivot, points.rocker_rod_mm),
        (at.shock_joint_mm, pivot, np.hypot(points.rocker_shock_u_mm, points.rocker_shock_v_mm)),
    ):
        assert np.linalg.norm(one - two, axis=-1) == pytest.approx(kept, abs=1e-9)


@pytest.mark.parametrize("drawing", ROCKERS, ids=NAMES)
def test_joints_stand_hanging_where_they_were_drawn(drawing: dict[str, Any]) -> None:
    at = joints(rocker_from_drawing(**drawing), EXTENDED)
    for key in ("arm_point_mm", "rod_joint_mm", "shock_joint_mm"):
        assert getattr(at, key) == pytest.approx(np.array(drawing[key]), abs=1e-9)
