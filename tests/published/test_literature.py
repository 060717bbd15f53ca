"""Machines of the literature, solved end to end and held to what their sources state.

Each set's citation and how it was read stand in `tests/files/literature.json`.
"""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fitplanner.mechanics.equilibrium import Rest, equilibrium, wheel_loads
from fitplanner.mechanics.fourbar import direct_from_drawing, motion_ratio
from fitplanner.mechanics.geometry import fork_offset_mm, pose
from fitplanner.mechanics.leverage import LeverageCurve, hermite_curve
from fitplanner.mechanics.machine import Body, Machine
from fitplanner.mechanics.units import Fork, Shock
from tests.machines import plain_machine

SETS = json.loads((Path(__file__).parents[1] / "files" / "literature.json").read_text("utf-8"))
A, RIGID, RIDER, OLD = (
    SETS[name] for name in ("suspended_2001", "rigid_1994", "with_and_without_rider", "rigid_1971")
)
SAG = 80.0  # mm of travel used up at trim: the source has none, any will do


def linkage(rises: Any) -> Any:
    """Shock travel against axle rise about trim, from the four joints of the table."""
    eye, arm, pivot = (
        np.array(A[k]) for k in ("shock_frame_eye_mm", "shock_arm_eye_mm", "pivot_mm")
    )
    points = direct_from_drawing(
        alpha_rad=0.0, frame_eye_mm=tuple(eye - pivot), arm_point_mm=tuple(arm - pivot)
    )
    return motion_ratio(
        points, arm_length_mm=float(pivot[0]), extended_alpha_rad=0.0, axle_rise_mm=rises
    )


def curve() -> LeverageCurve:
    """Leverage over the axle's rise from full extension, `SAG` below trim."""
    knots = np.linspace(0.0, 200.0, 81)
    solved = linkage(knots - SAG)
    return hermite_curve(knots, solved.ratio, solved.ratio_slope_per_mm)


def machine_of_2001() -> tuple[Machine, Body]:
    """Geometry, rates, tyres and unsprung masses of the table; preloads that give its forces.

    The sprung mass sits where the stated wheel loads put it, 633.1 mm ahead of the rear contact.
    """
    rake, (fx, fz), (_, rz) = A["rake_rad"], A["front_axle_mm"], A["rear_axle_mm"]
    g, w = A["gravity_m_s2"], A["wheelbase_mm"]
    sx, sz = A["steering_axis_point_mm"]
    offset = (fx - sx) * np.cos(rake) - (sz - fz) * np.sin(rake)
    mass = sum(part["kg"] for part in A["sprung"])
    x = (A["stated_front_load_n"] / g - A["front_unsprung_kg"]) * w / mass
    assert x == pytest.approx(633.115, abs=5e-4)
    leverage = curve()
    shock_mm = float(leverage.evaluate(SAG)[0])
    machine = Machine(
        front_axle_x_mm=fx + np.sin(rake) * SAG,
        front_axle_z_mm=fz - np.cos(rake) * SAG,
        rake_rad=rake,
        fork_offset_mm=offset,
        pivot_x_mm=A["pivot_mm"][0],
        pivot_z_mm=A["pivot_mm"][1],
        arm_length_mm=A["pivot_mm"][0],
        axle_low_mm=-SAG,
        front_radius_mm=fz + A["stated_front_load_n"] / A["front_tyre_n_mm"],
        rear_radius_mm=rz + A["stated_rear_load_n"] / A["rear_tyre_n_mm"],
        front_tyre_n_mm=A["front_tyre_n_mm"],
        rear_tyre_n_mm=A["rear_tyre_n_mm"],
        front_unsprung_kg=A["front_unsprung_kg"],
        rear_unsprung_kg=A["rear_unsprung_kg"],
        sprung=Body(mass, x, 658.0),
        fork=Fork(
            rate_n_mm=A["fork_rate_n_mm"],
            preload_mm=A["stated_fork_n"] / A["fork_rate_n_mm"] - SAG,
            stroke_mm=200.0,
        ),
        shock=Shock(
            rate_n_mm=A["shock_rate_n_mm"],
            preload_mm=A["stated_shock_n"] / A["shock_rate_n_mm"] - shock_mm,
            stroke_mm=float(leverage.evaluate(200.0)[0]),
        ),
        leverage=leverage,
    )
    return machine, machine.sprung


@pytest.fixture(scope="module")
def trim() -> Rest:
    machine, body = machine_of_2001()
    return equilibrium(machine, body, gravity_m_s2=A["gravity_m_s2"])


def test_trim_of_2001(trim: Rest) -> None:
    # Stated loads 1250 and 1792 N; the masses weigh 3044 N, 2 N more than both together.
    assert trim.front_load_n == pytest.approx(A["stated_front_load_n"], abs=3)
    assert trim.rear_load_n == pytest.approx(A["stated_rear_load_n"], abs=3)
    # 4 N of rounding in the stated fork force (below) is 0.5 mm of fork, 0.02 deg of rake.
    assert trim.pose.fork_compression_mm == pytest.approx(SAG, abs=0.6)
    assert trim.pose.rear_compression_mm == pytest.approx(SAG, abs=0.2)
    assert np.degrees(trim.pose.rake_rad) == pytest.approx(29.794, abs=0.03)
    assert np.degrees(trim.pose.arm_rad) == pytest.approx(0.0, abs=0.03)
    assert trim.pose.wheelbase_mm == pytest.approx(A["wheelbase_mm"], abs=0.5)
    # Derived from the stated loads and tyre rates.
    squash = np.array([10.870, 10.541])
    machine, _ = machine_of_2001()
    assert machine.front_radius_mm - trim.pose.front_radius_mm == pytest.approx(squash[0], abs=0.03)
    assert machine.rear_radius_mm - trim.pose.rear_radius_mm == pytest.approx(squash[1], abs=0.03)


def test_fork_force_of_2001(trim: Rest) -> None:
    # Stated 940 N along the fork, rounded to 10 N; without the cosine it would be 1078 N, with
    # its inverse 1243 N. 5 N and 0.1 % allowed.
    machine, _ = machine_of_2001()
    force = machine.fork.force(trim.pose.fork_compression_mm)[0]
    assert force == pytest.approx(A["stated_fork_n"], abs=5 + 0.94)


def test_shock_force_of_2001(trim: Rest) -> None:
    # Stated 1540 N; at a leverage of 1 and a level arm it is the load less the wheel's weight.
    # 2 N of rounding, and the 2 N by which the masses outweigh the stated loads.
    machine, _ = machine_of_2001()
    shock_mm = machine.leverage.evaluate(trim.pose.rear_compression_mm)[0]
    assert machine.shock.force(shock_mm)[0] == pytest.approx(A["stated_shock_n"], abs=4)


def test_weight_of_2001() -> None:
    kg = sum(part["kg"] for part in A["sprung"]) + A["front_unsprung_kg"] + A["rear_unsprung_kg"]
    stated = A["stated_front_load_n"] + A["stated_rear_load_n"]
    assert kg * A["gravity_m_s2"] == pytest.approx(stated, abs=3)


def test_masses_of_2001_do_not_close() -> None:
    # The table's own mass places load the front with 1347.7 N, 98 N more than the stated trim;
    # drag at the speed of the file explains about two thirds of it, the rest is unresolved.
    # Kept here so that nobody takes the stated split for a check of mass placement.
    machine, _ = machine_of_2001()
    parts = [Body(p["kg"], *p["at_mm"]) for p in A["sprung"]]
    whole = parts[0] + parts[1] + parts[2]
    assert (whole.x_mm, whole.z_mm) == pytest.approx((690.5, 658.1), abs=0.05)
    at = pose(machine, SAG, SAG, A["front_axle_mm"][1], A["rear_axle_mm"][1])
    front, rear = wheel_loads(at, whole, machine, A["gravity_m_s2"])
    assert front == pytest.approx(1347.7, abs=0.05)
    assert rear == pytest.approx(1696.4, abs=0.05)
    assert front - A["stated_front_load_n"] > 90


def test_linkage_of_2001() -> None:
    # Derived from the four joints by rotating the arm: travel, leverage, wheel rate at trim.
    solved = linkage(np.array([-50.0, -25.0, 0.0, 25.0, 50.0]))
    travel = [-50.0754, -25.0177, 0.0, 24.9798, 49.9010]
    leverage = [0.996692, 0.998571, 1.0, 1.001751, 1.004924]
    assert solved.shock_travel_mm == pytest.approx(travel, abs=5e-5)
    assert 1 / solved.ratio == pytest.approx(leverage, abs=5e-7)
    force, rate = A["stated_shock_n"], A["shock_rate_n_mm"]
    wheel_rate = rate * solved.ratio**2 + force * solved.ratio_slope_per_mm
    assert wheel_rate[2] == pytest.approx(25.611, abs=5e-4)


def test_steering_of_2001() -> None:
    # Derived from the axis point and the front axle: offset 65.571 mm, trail 106.517 mm.
    machine, _ = machine_of_2001()
    at = pose(machine, SAG, SAG, A["front_axle_mm"][1], A["rear_axle_mm"][1])
    assert machine.fork_offset_mm == pytest.approx(65.571, abs=5e-4)
    assert at.trail_mm == pytest.approx(106.517, abs=5e-4)
    assert at.pitch_rad == pytest.approx(0.0, abs=1e-12)


def test_loads_of_1994() -> None:
    # The source's own statics formula, worked out: 1219.85 and 1584.73 N; the front frame stands
    # 49 mm ahead of the axis, whose place follows from the normal trail.
    rake, w = RIGID["rake_rad"], RIGID["wheelbase_mm"]
    trail = RIGID["normal_trail_mm"] / np.cos(rake)
    assert trail == pytest.approx(105.432, abs=5e-4)
    offset = fork_offset_mm(wheel_radius_mm=RIGID["front_radius_mm"], rake_rad=rake, trail_mm=trail)
    assert offset == pytest.approx(58.170, abs=5e-4)
    front, *others = RIGID["masses"]
    ahead = w + trail + (front["ahead_of_axis_mm"] - front["up_mm"] * np.sin(rake)) / np.cos(rake)
    whole = Body(front["kg"], ahead, front["up_mm"])
    for part in others:
        whole = whole + Body(part["kg"], *part["at_mm"])
    assert (whole.mass_kg, whole.x_mm, whole.z_mm) == pytest.approx(
        (285.89, 624.15, 574.46), abs=5e-3
    )
    machine = plain_machine(wheelbase_mm=w, rake_rad=rake, trail_mm=trail, front_radius_mm=336.0)
    loads = wheel_loads(pose(machine, 0.0, 0.0), whole, machine, RIGID["gravity_m_s2"])
    assert loads[0] == pytest.approx(RIGID["derived_front_load_n"], abs=5e-3)
    assert loads[1] == pytest.approx(RIGID["derived_rear_load_n"], abs=5e-3)


def test_rider_moves_the_loads() -> None:
    # The difference of both rows is a rider of 75.0 kg at (599.6, 1050.8) mm; loads derived
    # at g 9.81: 953.8 and 959.1 N empty, 1258.5 and 1390.2 N ridden.
    empty = Body(RIDER["empty"]["kg"], *RIDER["empty"]["at_mm"])
    ridden = empty + Body(75.0, 599.6, 1050.8)
    assert ridden.mass_kg == RIDER["ridden"]["kg"]
    assert (ridden.x_mm, ridden.z_mm) == pytest.approx(RIDER["ridden"]["at_mm"], abs=0.03)
    hard = Fork(rate_n_mm=1e7, preload_mm=0.0, stroke_mm=10.0)
    machine = plain_machine(
        wheelbase_mm=RIDER["wheelbase_mm"],
        fork=hard,
        shock=Shock(rate_n_mm=1e7, preload_mm=0.0, stroke_mm=10.0),
    )
    for body, loads in ((empty, (953.8, 959.1)), (ridden, (1258.5, 1390.2))):
        rest = equilibrium(machine, body, gravity_m_s2=9.81)
        assert (rest.front_load_n, rest.rear_load_n) == pytest.approx(loads, abs=0.06)
        assert rest.front_load_n + rest.rear_load_n == pytest.approx(9.81 * body.mass_kg)


@pytest.mark.parametrize("along_ground", [True, False])
def test_front_load_of_1971(along_ground: bool) -> None:
    # Stated 1005.3 N (226 lbf): 1002.5 N if the trail is the ground's, 1012.5 N if the normal
    # one; 1 % holds either way.
    rake, a = OLD["rake_rad"], OLD["rear_frame_to_axis_mm"]
    ahead = a * np.cos(rake) + OLD["front_frame_along_axis_mm"] * np.sin(rake)
    ahead = ahead + OLD["front_frame_ahead_of_axis_mm"] * np.cos(rake)
    trail = OLD["trail_mm"] / (1.0 if along_ground else np.cos(rake))
    rear_x = OLD["rear_frame_x_mm"]
    w = rear_x + a / np.cos(rake) - trail
    whole = Body(OLD["rear_kg"], rear_x, 615.7) + Body(OLD["front_kg"], rear_x + ahead, 600.0)
    machine = plain_machine(wheelbase_mm=w, rake_rad=rake, trail_mm=trail)
    front, _ = wheel_loads(pose(machine, 0.0, 0.0), whole, machine)
    assert front == pytest.approx(OLD["stated_front_load_n"], rel=0.01)
    assert front == pytest.approx(1002.5 if along_ground else 1012.5, abs=0.7)
