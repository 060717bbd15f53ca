"""Side-stand: what holds for any machine."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fitplanner.mechanics.stand import (
    Slope,
    lean_on_stand,
    leaned,
    length_for_lean_mm,
    parked_stability,
    stand_load,
)

pivots_y = st.floats(60, 200)
pivots_z = st.floats(200, 450)
splays = st.floats(0.05, 0.8)
crowns = st.floats(0, 90)


@given(
    y=pivots_y,
    z=pivots_z,
    alpha=splays,
    c=crowns,
    lean=st.floats(np.radians(-5), np.radians(20)),
)
def test_length_and_lean_are_inverse(
    y: float, z: float, alpha: float, c: float, lean: float
) -> None:
    place = {"pivot_y_mm": y, "pivot_z_mm": z, "alpha_rad": alpha, "crown_radius_mm": c}
    length = length_for_lean_mm(lean_rad=lean, **place)
    stand = lean_on_stand(length_mm=length, **place)
    # A foot nearer to the crown's centre than its radius, or past the crown, has a second root.
    assume(stand.foot_y_mm > (c - stand.foot_z_mm) * np.tan(lean) + 1)
    assert stand.lean_rad == pytest.approx(lean, abs=1e-9)
    _, height = leaned(
        y_mm=stand.foot_y_mm, z_mm=stand.foot_z_mm, lean_rad=stand.lean_rad, crown_radius_mm=c
    )
    assert height == pytest.approx(0, abs=1e-8)
    assert bool(stand.falls_to_far_side) == bool(stand.lean_rad <= 0)


@given(y=pivots_y, z=pivots_z, alpha=splays, c=crowns, h=st.floats(-80, 80), lean=st.floats(0, 0.3))
def test_restoring_the_lean_is_linear_in_the_height(
    y: float, z: float, alpha: float, c: float, h: float, lean: float
) -> None:
    stock, moved = length_for_lean_mm(
        lean_rad=lean, pivot_y_mm=y, pivot_z_mm=[z, z + h], alpha_rad=alpha, crown_radius_mm=c
    )
    assert moved - stock == pytest.approx(h * np.cos(lean) / np.cos(lean - alpha), abs=1e-9)


@given(lean=st.floats(0.02, 0.3), z=st.floats(400, 700), fy=st.floats(150, 350), c=crowns)
def test_a_higher_mass_leans_harder_on_the_stand(
    lean: float, z: float, fy: float, c: float
) -> None:
    load = stand_load(
        weight_n=1400.0,
        com_z_mm=[z, z + 20],
        foot_y_mm=fy,
        foot_z_mm=fy * np.tan(lean),
        lean_rad=lean,
        crown_radius_mm=c,
    ).load_n
    assert 0 < load[0] < load[1]


@given(
    fx=st.floats(300, 900),
    fy=st.floats(150, 350),
    x=st.floats(500, 900),
    y=st.floats(-50, 300),
    z=st.floats(400, 700),
    slope=st.sampled_from(Slope),
    gradient=st.floats(0, 0.5),
)
def test_stable_means_that_every_contact_pushes(
    fx: float, fy: float, x: float, y: float, z: float, slope: Slope, gradient: float
) -> None:
    # Independent route: solve the three normal loads from force and moment balance.
    w = 1480.0
    parked = parked_stability(
        wheelbase_mm=w,
        foot_x_mm=fx,
        foot_y_mm=fy,
        com_x_mm=x,
        com_y_mm=y,
        com_z_mm=z,
        slope=slope,
        gradient=gradient,
    )
    down = {
        Slope.LEVEL: (0, 0),
        Slope.STAND_SIDE: (0, 1),
        Slope.FAR_SIDE: (0, -1),
        Slope.NOSE_DOWN: (1, 0),
        Slope.NOSE_UP: (-1, 0),
    }[slope]
    tilt = np.arctan(gradient)
    contacts = np.array([[1, 1, 1], [0, w, fx], [0, 0, fy]])
    loads = np.linalg.solve(
        contacts,
        [
            np.cos(tilt),
            x * np.cos(tilt) + z * np.sin(tilt) * down[0],
            y * np.cos(tilt) + z * np.sin(tilt) * down[1],
        ],
    )
    assume(abs(loads.min()) > 1e-9)
    assert bool(parked.stable) == bool(loads.min() > 0)
    # The edge opposite to a contact is the one over which that contact lifts.
    assert np.array_equal(np.sign(parked.edge_margins_rad), np.sign(loads[[2, 0, 1]]))
