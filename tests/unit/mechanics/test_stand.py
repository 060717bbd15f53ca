"""Side-stand: lean with a round tyre, load, tipping edges, refusals."""

from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from fitplanner.mechanics.stand import (
    EDGES,
    Edge,
    Slope,
    lean_on_stand,
    leaned,
    length_for_lean_mm,
    parked_stability,
    stand_load,
)


def test_round_tyre_against_a_root_finder() -> None:
    crown, y, z, length, alpha = 60.0, 120.0, 330.0, 306.0, np.radians(25)
    foot_y, foot_z = y + length * np.sin(alpha), z - length * np.cos(alpha)

    def height(lean: float) -> float:
        return float(crown + (foot_z - crown) * np.cos(lean) - foot_y * np.sin(lean))

    stand = lean_on_stand(
        pivot_y_mm=y, pivot_z_mm=z, length_mm=length, alpha_rad=alpha, crown_radius_mm=crown
    )
    assert stand.lean_rad == pytest.approx(brentq(height, 0, 1))
    assert (stand.foot_y_mm, stand.foot_z_mm) == pytest.approx((foot_y, foot_z))


def test_rolling_tyre_moves_the_contact_under_the_crown() -> None:
    # A disc of radius c rolled by phi: its centre stays c over the ground, above the contact.
    y, z = leaned(y_mm=0.0, z_mm=60.0, lean_rad=[0.0, 0.2, 1.0], crown_radius_mm=60.0)
    assert y == pytest.approx([0, 0, 0])
    assert z == pytest.approx([60, 60, 60])


def test_a_stand_that_is_too_long_is_flagged() -> None:
    stand = lean_on_stand(
        pivot_y_mm=120.0, pivot_z_mm=[330.0, 270.0], length_mm=306.0, alpha_rad=np.radians(25)
    )
    assert stand.falls_to_far_side.tolist() == [False, True]
    load = stand_load(
        weight_n=1400.0,
        com_z_mm=560.0,
        foot_y_mm=stand.foot_y_mm,
        foot_z_mm=stand.foot_z_mm,
        lean_rad=stand.lean_rad,
    )
    assert load.falls_to_far_side.tolist() == [False, True]


def test_a_foot_inside_the_crown_never_touches() -> None:
    stand = lean_on_stand(
        pivot_y_mm=20.0, pivot_z_mm=100.0, length_mm=50.0, alpha_rad=0.1, crown_radius_mm=70.0
    )
    assert not stand.touches
    assert np.isposinf(stand.lean_rad)
    assert not stand.falls_to_far_side


def test_load_balances_moments_about_the_contacts() -> None:
    lean, crown = np.radians(11), 55.0
    foot = {"foot_y_mm": 250.0, "foot_z_mm": 48.0}
    load = stand_load(
        weight_n=1400.0,
        com_z_mm=560.0,
        com_y_mm=6.0,
        lean_rad=lean,
        crown_radius_mm=crown,
        **foot,
    )
    # Turn the machine point by point with a rotation matrix about the crown's centre.
    turn = np.array([[np.cos(lean), np.sin(lean)], [-np.sin(lean), np.cos(lean)]])
    com = turn @ [6.0, 560.0 - crown]
    foot_place = turn @ [250.0, 48.0 - crown]
    assert load.load_n * foot_place[0] == pytest.approx(1400.0 * com[0])
    assert load.share == pytest.approx(load.load_n / 1400.0)


PARKED: dict[str, Any] = {
    "wheelbase_mm": 1480.0,
    "foot_x_mm": 620.0,
    "foot_y_mm": 255.0,
    "com_x_mm": 700.0,
    "com_y_mm": 105.0,
    "com_z_mm": 560.0,
}


def test_level_margins_by_plane_geometry() -> None:
    margins = parked_stability(**PARKED).edge_margins_rad
    assert np.tan(margins[EDGES.index(Edge.FAR_SIDE)]) == pytest.approx(105 / 560)
    # Distance to the line from foot to front contact by the cross product.
    edge = np.array([1480 - 620, -255.0])
    to_mass = np.array([700 - 620, 105 - 255.0])
    inside = abs(edge[0] * to_mass[1] - edge[1] * to_mass[0]) / np.hypot(*edge)
    assert np.tan(margins[EDGES.index(Edge.FORWARD)]) == pytest.approx(inside / 560)


def test_which_edge_tips_first() -> None:
    def first(slope: Slope, gradient: float) -> Edge:
        return EDGES[int(parked_stability(**PARKED, slope=slope, gradient=gradient).first_edge)]

    assert first(Slope.FAR_SIDE, 0.19) is Edge.FAR_SIDE
    assert first(Slope.STAND_SIDE, 0.19) in (Edge.FORWARD, Edge.REARWARD)
    assert first(Slope.NOSE_DOWN, 1.0) is Edge.FORWARD
    assert first(Slope.NOSE_UP, 1.5) is Edge.REARWARD


def test_the_slope_that_just_tips_to_the_far_side() -> None:
    limit = 105 / 560
    stable = parked_stability(
        **PARKED, slope=Slope.FAR_SIDE, gradient=limit + np.array([-1e-6, 1e-6])
    )
    assert stable.stable.tolist() == [True, False]
    assert stable.edge_margins_rad.shape == (2, 3)


def test_default_gradients_are_the_parking_slopes() -> None:
    margin = parked_stability(**PARKED, slope=Slope.NOSE_UP).margin_rad
    assert margin == parked_stability(**PARKED, slope=Slope.NOSE_UP, gradient=0.08).margin_rad


def test_impossible_stands_are_refused() -> None:
    with pytest.raises(ValueError, match="never points at the ground"):
        length_for_lean_mm(lean_rad=1.2, pivot_y_mm=120, pivot_z_mm=330, alpha_rad=-0.5)
    with pytest.raises(ValueError, match="beside the wheels"):
        stand_load(weight_n=1400, com_z_mm=560, foot_y_mm=-10, foot_z_mm=0, lean_rad=0.1)
    with pytest.raises(ValueError, match="beside the wheels"):
        parked_stability(**{**PARKED, "foot_y_mm": 0.0})
