"""Curves against closed forms of plane geometry."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitplanner.outline.curves import capsule, circle, coil, joined, ring, rounded, smooth, tube
from fitplanner.outline.shape import Points


def area(points: Points) -> float:
    """Area inside a polygon by the shoelace formula (Meister 1769)."""
    x, y = points.T
    return float(abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) / 2)


corner = st.tuples(st.floats(-500, 500), st.floats(-500, 500))


@given(st.lists(corner, min_size=3, max_size=8, unique=True), st.booleans())
def test_a_smooth_curve_passes_exactly_through_its_points(
    corners: list[tuple[float, float]], closed: bool
) -> None:
    given_points = np.array(corners)
    step = np.linalg.norm(np.diff([*corners, corners[0]], axis=0), axis=1)
    if step.min() < 1e-3:
        return
    curve = smooth(given_points, closed=closed, samples=6)
    assert np.all(np.isfinite(curve))
    assert np.array_equal(curve[::6][: len(given_points)], given_points)


def test_a_smooth_curve_through_points_of_a_line_stays_on_it() -> None:
    curve = smooth([(0, 0), (10, 20), (15, 30), (40, 80)])
    assert curve[:, 1] == pytest.approx(2 * curve[:, 0], abs=1e-12)


def test_a_smooth_closed_curve_through_a_circle_keeps_its_area() -> None:
    # area of a disc, pi r^2; sixteen points already lie within a tenth of a per cent
    assert area(smooth(circle((3, 4), 50, samples=16), closed=True)) == pytest.approx(
        np.pi * 50**2, rel=1e-3
    )


@pytest.mark.parametrize("points", [[(0, 0), (1, 1)], [(0, 0), (0, 0), (1, 1)]])
def test_a_curve_needs_three_points_apart(points: list[tuple[float, float]]) -> None:
    with pytest.raises(ValueError, match="smooth"):
        smooth(points)


def test_a_capsule_of_two_equal_discs_is_a_stadium() -> None:
    # a stadium's area is pi r^2 + 2 r a
    assert area(capsule((0, 0), (30, 40), 10, 10)) == pytest.approx(
        np.pi * 100 + 2 * 10 * 50, rel=0.01
    )


def test_a_capsule_touches_both_discs_with_their_outer_tangents() -> None:
    outline = capsule((0, 0), (100, 0), 40, 15)
    from_first = np.hypot(*outline.T)
    from_second = np.hypot(*(outline - [100, 0]).T)
    on_first = np.isclose(from_first, 40, atol=1e-9)
    assert np.all(on_first | np.isclose(from_second, 15, atol=1e-9))
    # the tangent's length between circles of radii R and r, a apart: sqrt(a^2 - (R - r)^2)
    ends = outline[14:] if on_first[14] else outline[:14]
    tangent = np.hypot(*(ends[0] - outline[13]))
    assert tangent == pytest.approx(np.sqrt(100**2 - 25**2), rel=1e-9)


def test_a_disc_inside_the_other_leaves_the_larger() -> None:
    assert np.hypot(*capsule((0, 0), (1, 0), 20, 5).T) == pytest.approx(20)


def test_a_straight_tube_has_the_area_of_its_trapezoid() -> None:
    assert area(tube([(0, 0), (0, 100)], [20, 10])) == pytest.approx(100 * 15)


def test_rounding_takes_from_a_square_what_parabolas_take() -> None:
    # a quadratic curve through a right corner leaves r^2 / 6 of the corner outside
    assert area(
        rounded([(0, 0), (100, 0), (100, 100), (0, 100)], 30, samples=200)
    ) == pytest.approx(100**2 - 4 * 30**2 / 6, rel=1e-4)


def test_sub_paths_are_parted_by_one_row_of_nan() -> None:
    both = joined(np.zeros((3, 2)), np.ones((2, 2)))
    assert np.flatnonzero(np.isnan(both[:, 0])).tolist() == [3]
    assert np.isnan(ring((0, 0), 10, 5)[:, 0]).sum() == 1


def test_a_coil_has_a_strand_a_turn_between_its_ends() -> None:
    strands = coil((0, 0), (0, 200), 60, 8)
    assert np.isnan(strands[:, 0]).sum() == 7
    assert np.nanmin(strands[:, 1]) >= 0
    assert np.nanmax(strands[:, 1]) <= 200
    assert np.nanmax(np.abs(strands[:, 0])) == pytest.approx(30)
