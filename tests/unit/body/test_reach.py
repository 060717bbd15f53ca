"""Reach: worked cases and refusals."""

import math

import numpy as np
import pytest
from scipy.optimize import root

from fitplanner.body.foot import STIFF_BOOT_ANGLE_RAD, foot_from_stature, foot_pose
from fitplanner.body.one_foot import foot_load_n, one_foot
from fitplanner.body.reach import (
    Footing,
    footing_of,
    lift_available_mm,
    reach,
    required_seat_height,
)
from fitplanner.body.seat import (
    arc_line_mm,
    edge_y_mm,
    half_arc_mm,
    leaned,
    seat_from_arc,
    seat_from_width,
)

SEAT = seat_from_width(240.0, 50.0)
FOOT = foot_from_stature(1628.5, foot_length_mm=246.3, ball_length_mm=182.1, ankle_height_mm=62.7)
RIDER = {
    "inside_leg_mm": 782.0,
    "sole_mm": 25.0,
    "foot": FOOT,
    "boot_angle_rad": STIFF_BOOT_ANGLE_RAD,
}
BALANCE = {
    "inside_leg_mm": 782.0,
    "sole_mm": 25.0,
    "machine_mass_kg": 128.0,
    "machine_com_height_mm": 545.0,
    "rider_mass_kg": 68.0,
    "rider_com_height_mm": 1010.0,
}


def test_half_arc_of_a_seat_with_whole_sides():
    """Half width 120 and drop 50 make a slope of 130 mm (5-12-13 triangle)."""
    assert half_arc_mm(SEAT, 850.0) == pytest.approx(130.0 + 800.0)
    assert SEAT.excess_mm == pytest.approx(80.0)


def test_half_arc_is_the_length_of_the_drawn_line():
    for shift, lean in ((0.0, 0.0), (60.0, 0.0), (120.0, 0.15)):
        line = arc_line_mm(SEAT, 850.0, hip_shift_mm=shift, lean_rad=lean)
        length = np.sum(np.linalg.norm(np.diff(line, axis=0), axis=-1))
        assert length == pytest.approx(
            half_arc_mm(SEAT, 850.0, hip_shift_mm=shift, lean_rad=lean), abs=1e-9
        )


def test_footing_by_seat_height():
    found = reach(SEAT, [700.0, 727.0, 740.0, 770.0, 790.0], **RIDER)
    assert [footing_of(code) for code in found.footing] == [
        Footing.BOTH_FLAT,
        Footing.BOTH_FLAT,
        Footing.BOTH_BALLS,
        Footing.BOTH_TOES,
        Footing.NONE,
    ]
    assert found.margin_mm == pytest.approx([27.0, 0.0, -13.0, -43.0, -63.0])
    assert found.ground_gap_mm[:4] == pytest.approx([0.0] * 4)
    assert found.ground_gap_mm[4] == pytest.approx(
        63.0 - float(lift_available_mm(Footing.BOTH_TOES, FOOT, STIFF_BOOT_ANGLE_RAD))
    )


def test_ranks_name_each_footing_once():
    assert [footing_of(footing.rank) for footing in Footing] == list(Footing)
    assert Footing.NONE.rank == 0
    assert max(Footing, key=lambda footing: footing.rank) is Footing.BOTH_FLAT


def test_required_height_of_flat_feet_by_hand():
    assert required_seat_height(Footing.BOTH_FLAT, SEAT, **RIDER) == pytest.approx(
        782.0 + 25.0 + 50.0 - 130.0
    )


def test_arrays_broadcast_and_agree_with_single_values():
    heights, widths = np.array([[700.0], [760.0], [820.0]]), np.array([180.0, 240.0])
    seat = seat_from_width(widths, 50.0)
    many = reach(seat, heights, **RIDER)
    down = one_foot(seat, heights, **BALANCE)
    assert many.footing.shape == down.reached.shape == (3, 2)
    for (i, j), code in np.ndenumerate(many.footing):
        one = reach(seat_from_width(widths[j], 50.0), heights[i, 0], **RIDER)
        single = one_foot(seat_from_width(widths[j], 50.0), heights[i, 0], **BALANCE)
        assert one.footing == code
        assert one.heel_lift_mm == pytest.approx(many.heel_lift_mm[i, j])
        assert single.foot_load_n == pytest.approx(down.foot_load_n[i, j])


def test_hips_move_before_the_machine_leans():
    down = one_foot(SEAT, [700.0, 760.0, 830.0], **BALANCE)
    assert down.hip_shift_mm[0] == 0.0 and down.spare_mm[0] == pytest.approx(27.0)
    assert 0.0 < down.hip_shift_mm[1] < 120.0 and down.lean_rad[1] == 0.0
    assert down.hip_shift_mm[2] == pytest.approx(120.0) and down.lean_rad[2] > 0.0


def test_one_foot_agrees_with_statics_solved_otherwise():
    """Three unknowns (lean, force on foot and on tyres), three conditions, no formula shared:
    taut leg by rotated points, vertical forces, and moments about the foot."""
    height, leg = 830.0, 782.0 + 25.0

    def turned(y: float, z: float, lean: float) -> np.ndarray:
        matrix = [[math.cos(lean), math.sin(lean)], [-math.sin(lean), math.cos(lean)]]
        return np.array(matrix) @ np.array([y, z])

    def unbalanced(unknown: np.ndarray) -> list[float]:
        lean, on_foot, on_tyres = unknown[0], unknown[1] * 1000.0, unknown[2] * 1000.0
        crotch, edge = turned(0.0, height, lean), turned(120.0, height - 50.0, lean)
        hips = turned(120.0, height, lean)
        machine, rider = turned(0.0, 545.0, lean), turned(120.0, 1010.0, lean)
        assert crotch[1] > 0.0
        taut = np.linalg.norm(hips - edge) + edge[1] - leg
        weights = [(128.0 * 9.80665, machine[0]), (68.0 * 9.80665, rider[0])]
        vertical = on_foot + on_tyres - sum(weight for weight, _ in weights)
        roll = on_tyres * (0.0 - edge[0]) - sum(w * (y - edge[0]) for w, y in weights)
        return [taut, vertical, roll / 1000.0]

    solved = root(unbalanced, [0.05, 0.5, 1.0], tol=1e-13)
    assert solved.success
    down = one_foot(SEAT, height, **BALANCE)
    assert down.reached
    assert down.lean_rad == pytest.approx(solved.x[0], abs=1e-9)
    assert down.foot_load_n == pytest.approx(1000.0 * solved.x[1], rel=1e-7)
    assert down.weight_share == pytest.approx(1000.0 * solved.x[1] / (68.0 * 9.80665), rel=1e-7)
    assert down.weight_share > 1.0


def test_no_smaller_lean_reaches():
    down = one_foot(SEAT, 830.0, **BALANCE)
    leans = np.linspace(0.0, float(down.lean_rad) - 1e-6, 400)
    shifts = np.linspace(0.0, 120.0, 60)[:, np.newaxis]
    assert np.all(half_arc_mm(SEAT, 830.0, hip_shift_mm=shifts, lean_rad=leans) > 807.0)


def test_a_rider_over_the_foot_of_an_upright_machine_stands_on_it():
    """Hips moved to the edge, no lean: the foot carries the rider and no more."""
    load = foot_load_n(
        [130.0, 70.0], y_mm=[0.0, 120.0], z_mm=[550.0, 1000.0], lean_rad=0.0, foot_y_mm=120.0
    )
    assert load == pytest.approx(70.0 * 9.80665)


def test_six_degrees_of_lean_put_more_than_a_body_on_one_leg():
    """Hips at the seat's edge; worked by hand from moments, sin 0.104528, cos 0.994522."""
    lean = math.radians(6.0)
    foot_y = edge_y_mm(SEAT, 850.0, lean_rad=lean)
    load = foot_load_n(
        [130.0, 70.0], y_mm=[0.0, 120.0], z_mm=[550.0, 1000.0], lean_rad=lean, foot_y_mm=foot_y
    )
    by_hand = (130.0 * 550.0 * 0.104528 + 70.0 * (120.0 * 0.994522 + 104.528)) * 9.80665
    assert load == pytest.approx(by_hand / (120.0 * 0.994522 + 800.0 * 0.104528), rel=1e-5)
    assert load > 70.0 * 9.80665


def test_leaning_turns_points_about_the_contact_line():
    assert leaned([5.0, 0.0, 1000.0], math.pi / 2) == pytest.approx([5.0, 1000.0, 0.0], abs=1e-9)


@pytest.mark.parametrize("limit", [-0.1, 1.3])
def test_a_boot_that_bends_too_far_is_refused(limit):
    with pytest.raises(ValueError, match="boot's angle"):
        foot_pose(FOOT, 10.0, boot_angle_rad=limit)


def test_refusals_say_what_to_do():
    with pytest.raises(ValueError, match="inside leg must be above 0"):
        reach(SEAT, 800.0, **(RIDER | {"inside_leg_mm": 0.0}))
    with pytest.raises(ValueError, match="boot sole cannot be below 0"):
        reach(SEAT, 800.0, **(RIDER | {"sole_mm": -1.0}))
    with pytest.raises(ValueError, match="arc less seat height"):
        seat_from_arc(1600.0, seat_height_mm=850.0, edge_drop_mm=50.0)
    with pytest.raises(ValueError, match="lean limit"):
        one_foot(SEAT, 800.0, **BALANCE, lean_limit_rad=1.0)
    with pytest.raises(ValueError, match="not a footing of both feet"):
        required_seat_height(Footing.NONE, SEAT, **RIDER)
    with pytest.raises(ValueError, match="ball of the foot"):
        foot_from_stature(1700.0, foot_length_mm=250.0, ball_length_mm=260.0)
