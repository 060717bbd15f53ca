"""Rear linkage: what holds for any points."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fitplanner.mechanics.fourbar import Layout, LinkagePoints, four_bar, motion_ratio

coordinates = st.floats(-250, 250)
lengths = st.floats(20, 250)
angles = st.floats(-0.5, 0.5)
rockers = st.sampled_from([Layout.ROCKER_ON_FRAME, Layout.ROCKER_ON_ARM])


@st.composite
def linkages(draw: st.DrawFn) -> LinkagePoints:
    return LinkagePoints(
        layout=draw(rockers),
        frame_eye_x_mm=draw(coordinates),
        frame_eye_z_mm=draw(st.floats(300, 500)),
        arm_point_u_mm=draw(lengths),
        arm_point_v_mm=draw(st.floats(-80, 80)),
        frame_point_x_mm=draw(coordinates),
        frame_point_z_mm=draw(coordinates),
        rod_length_mm=draw(lengths),
        rocker_rod_mm=draw(lengths),
        rocker_shock_u_mm=draw(st.floats(-100, 100)),
        rocker_shock_v_mm=draw(st.floats(-100, 100)),
        branch=draw(st.sampled_from([-1.0, 1.0])),
    )


def pivot_to_far_end(points: LinkagePoints, alpha: float) -> float:
    back, up = np.array([-np.cos(alpha), np.sin(alpha)]), np.array([np.sin(alpha), np.cos(alpha)])
    arm = np.multiply(points.arm_point_u_mm, back) + np.multiply(points.arm_point_v_mm, up)
    return float(np.hypot(*(arm - np.array([points.frame_point_x_mm, points.frame_point_z_mm]))))


@given(points=linkages(), alpha=angles)
def test_assembled_is_the_triangle_inequality(points: LinkagePoints, alpha: float) -> None:
    # Euclid I.20 and I.22: three lengths make a triangle if each is less than the others' sum.
    apart = pivot_to_far_end(points, alpha)
    rod, rocker = np.asarray([points.rod_length_mm, points.rocker_rod_mm]).tolist()
    slack = min(rod + rocker - apart, apart - abs(rod - rocker))
    assume(abs(slack) > 1e-3)
    shock = four_bar(points, alpha)
    assert bool(shock.assembled) == (slack > 0)
    assert bool(np.isnan(shock.length_mm)) == (slack <= 0)


@given(points=linkages(), alpha=angles)
def test_derivatives_match_differences(points: LinkagePoints, alpha: float) -> None:
    apart = pivot_to_far_end(points, alpha)
    rod, rocker = np.asarray([points.rod_length_mm, points.rocker_rod_mm]).tolist()
    # Away from dead centre, where derivatives grow without bound.
    assume(min(rod + rocker - apart, apart - abs(rod - rocker)) > 5)
    h = 1e-5
    low, mid, high = (four_bar(points, alpha + step) for step in (-h, 0.0, h))
    slope = (high.length_mm - low.length_mm) / (2 * h)
    curvature = (high.slope_mm_per_rad - low.slope_mm_per_rad) / (2 * h)
    assert mid.slope_mm_per_rad == pytest.approx(slope, rel=1e-4, abs=1e-3)
    assert mid.curvature_mm_per_rad2 == pytest.approx(curvature, rel=1e-4, abs=1e-2)


@given(points=linkages(), alpha=st.floats(-0.4, 0.0), scale=st.floats(0.3, 3))
def test_a_larger_machine_has_the_same_ratio(
    points: LinkagePoints, alpha: float, scale: float
) -> None:
    fields = {
        name: value * (scale if name.endswith("_mm") else 1.0)
        for name, value in vars(points).items()
        if name != "layout"
    }
    larger = LinkagePoints(layout=points.layout, **fields)
    rises = np.linspace(0, 200, 5)
    one = motion_ratio(points, arm_length_mm=580.0, extended_alpha_rad=alpha, axle_rise_mm=rises)
    two = motion_ratio(
        larger,
        arm_length_mm=580.0 * scale,
        extended_alpha_rad=alpha,
        axle_rise_mm=rises * scale,
    )
    assume(np.array_equal(one.assembled, two.assembled))
    good = one.assembled & (np.abs(np.nan_to_num(one.ratio_slope_per_mm)) < 1.0)
    assert two.ratio[good] == pytest.approx(one.ratio[good], rel=1e-6, abs=1e-9)
    assert two.ratio_slope_per_mm[good] * scale == pytest.approx(
        one.ratio_slope_per_mm[good], rel=1e-5, abs=1e-9
    )


@given(points=linkages(), alphas=st.lists(angles, min_size=2, max_size=5))
def test_a_batch_equals_one_at_a_time(points: LinkagePoints, alphas: list[float]) -> None:
    batch = four_bar(points, alphas)
    for i, alpha in enumerate(alphas):
        single = four_bar(points, alpha)
        assert single.assembled == batch.assembled[i]
        assert single.length_mm == pytest.approx(batch.length_mm[i], rel=1e-9, nan_ok=True)
