"""Equilibrium as a solver: lanes, shapes, chunks, starts, stops; the lift and full bump."""

import dataclasses
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from fitplanner.mechanics import equilibrium as solver
from fitplanner.mechanics.equilibrium import Rest, bottomed, equilibrium, hanging
from fitplanner.mechanics.geometry import pose
from fitplanner.mechanics.machine import Body, weight_n
from tests.machines import Draw, lane, random_machines


@pytest.fixture(scope="module")
def draw() -> Draw:
    return random_machines(31, 300)


@pytest.fixture(scope="module")
def rest(draw: Draw) -> Rest:
    return equilibrium(draw.machine, draw.sprung)


def figures(rest: Rest) -> dict[str, Any]:
    """Every array of a result by name."""
    flat = {f.name: getattr(rest, f.name) for f in dataclasses.fields(rest) if f.name != "pose"}
    for f in dataclasses.fields(rest.pose):
        value = getattr(rest.pose, f.name)
        pairs = value if isinstance(value, tuple) else (value,)
        flat |= {f"{f.name}{i}": v for i, v in enumerate(pairs)}
    return flat


def held_to_balance(rest: Rest) -> None:
    """Below 1e-9 N per N of load inside the travel; at a stop the right way round."""
    load = rest.front_load_n + rest.rear_load_n
    for residual, topped, deep in (
        (rest.front_residual_n, rest.topped_front, rest.bottomed_front),
        (rest.rear_residual_n, rest.topped_rear, rest.bottomed_rear),
    ):
        share = residual / load  # a limiter as long as the stroke is topped and bottomed
        assert np.all(np.abs(share)[~topped & ~deep] < 1e-11)
        assert np.all(share[topped & ~deep] >= -1e-11)
        assert np.all(share[deep & ~topped] <= 1e-11)


def test_residual(rest: Rest) -> None:
    assert np.all(rest.converged)
    held_to_balance(rest)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_start_does_not_matter(draw: Draw, rest: Rest, seed: int) -> None:
    rng = np.random.default_rng(seed)
    start = (rng.uniform(-100, 500, 300), rng.uniform(-100, 500, 300))
    other = equilibrium(draw.machine, draw.sprung, start_mm=start)
    for name in ("fork_compression_mm", "rear_compression_mm"):
        assert np.max(np.abs(getattr(other.pose, name) - getattr(rest.pose, name))) < 1e-9


def test_lanes_are_solved_as_if_alone(draw: Draw, rest: Rest) -> None:
    for i in range(0, 300, 12):
        alone = figures(equilibrium(lane(draw.machine, i), lane(draw.sprung, i)))
        for name, together in figures(rest).items():
            assert np.shape(alone[name]) == ()
            # Loads differ by rounding of a stop's large forces, lengths by that of 1e3 mm.
            assert float(alone[name]) == pytest.approx(float(together[i]), rel=1e-11, abs=1e-9)


def test_more_lanes_than_a_chunk(draw: Draw) -> None:
    many = random_machines(32, 9000)
    whole = equilibrium(many.machine, many.sprung)
    assert np.all(whole.converged)
    for part in (slice(0, 50), slice(8180, 8210), slice(8950, 9000)):
        few = equilibrium(lane(many.machine, part), lane(many.sprung, part))
        for name, array in figures(whole).items():
            assert array.shape == (9000,)
            assert array[part] == pytest.approx(figures(few)[name], rel=1e-11, abs=1e-9)


@pytest.mark.parametrize("count", [7, 300])  # 300 x 31 lanes go past one chunk
def test_machines_across_and_loads_down(draw: Draw, count: int) -> None:
    column = lane(draw.machine, np.arange(count)[:, None])
    loads = np.linspace(20, 140, 31)
    body = Body(loads, 600.0, 800.0)
    grid = equilibrium(column, body)
    for name, array in figures(grid).items():
        assert array.shape == (count, 31), name
    for i, j in ((0, 0), (3, 30), (6, 11)):
        alone = equilibrium(lane(draw.machine, i), Body(loads[j], 600.0, 800.0))
        assert grid.pose.fork_compression_mm[i, j] == pytest.approx(
            float(alone.pose.fork_compression_mm), abs=1e-9
        )
        assert grid.pose.pitch_rad[i, j] == pytest.approx(float(alone.pose.pitch_rad), abs=1e-12)


def test_states_on_a_first_axis(draw: Draw, rest: Rest) -> None:
    stacked = Body(
        np.stack([draw.sprung.mass_kg, draw.sprung.mass_kg + 20.0]),
        np.stack([draw.sprung.x_mm, draw.sprung.x_mm]),
        np.stack([draw.sprung.z_mm, draw.sprung.z_mm]),
    )
    both = equilibrium(draw.machine, stacked)
    assert both.pose.pitch_rad.shape == (2, 300)
    assert both.pose.pitch_rad[0] == pytest.approx(rest.pose.pitch_rad, abs=1e-12)


def test_gravity_by_lane(draw: Draw, rest: Rest) -> None:
    # Weight is mass times gravity: half the gravity on twice the mass is the same load.
    g = np.full(300, 9.80665 / 2)
    machine = dataclasses.replace(
        draw.machine,
        front_unsprung_kg=draw.machine.front_unsprung_kg * 2,
        rear_unsprung_kg=draw.machine.rear_unsprung_kg * 2,
    )
    body = dataclasses.replace(draw.sprung, mass_kg=draw.sprung.mass_kg * 2)
    same = equilibrium(machine, body, gravity_m_s2=g)
    assert same.pose.fork_compression_mm == pytest.approx(rest.pose.fork_compression_mm, abs=1e-9)
    assert same.front_load_n == pytest.approx(rest.front_load_n, abs=1e-8)


@pytest.mark.parametrize("seed", range(4))
def test_past_all_sense(seed: int) -> None:
    # Feather-light riders, 400 mm of preload, forks full of oil, luggage that lifts the front,
    # limiters as long as the stroke: still an answer, and a finite one, in every lane.
    wild = random_machines(900 + seed, 8000, extreme=True)
    rest = equilibrium(wild.machine, wild.sprung)
    assert np.all(rest.converged)
    held_to_balance(rest)
    for state in (rest, hanging(wild.machine), bottomed(wild.machine)):
        for name, array in figures(state).items():
            assert np.all(np.isfinite(array)), name


def test_hanging_on_the_top_out_spring() -> None:
    # Force balance of the hanging wheel, solved by SciPy: preload and air push it out, the
    # top-out spring holds it back, and its own weight pulls along the fork.
    draw = random_machines(33, 200)
    machine = draw.machine.with_fork(top_out_rate_n_mm=35.0, top_out_length_mm=20.0)
    lifted = hanging(machine)
    between = 0
    for i in range(200):
        one = lane(machine, i)
        fork = one.fork

        def force(out: float, one: Any = one, fork: Any = fork) -> float:
            spring = fork.rate_n_mm * (out + fork.preload_mm) + fork.friction_n
            area = fork.air_area_mm2 * 1e-3
            full = fork.air_bottomed_ml + area * (fork.stroke_mm - fork.cut_mm)
            air = 101.325 * area * ((full / (full - area * out)) ** fork.air_exponent - 1)
            wheel = one.front_unsprung_kg * 9.80665 * np.cos(one.rake_rad)
            return float(spring + air - 35.0 * max(20.0 - out, 0.0) + wheel)

        expected = 0.0 if force(0.0) >= 0 else brentq(force, 0.0, 20.0, xtol=1e-12)
        between += expected > 0
        assert lifted.pose.fork_compression_mm[i] - fork.cut_mm == pytest.approx(expected, abs=1e-8)
    assert between > 50
    assert np.all(lifted.topped_rear[machine.shock.friction_n >= 0])
    assert np.all(lifted.front_load_n == 0)


def test_bottomed_loads() -> None:
    # Virtual work on the bottomed machine: the ground's push moves the wheel against the unit's
    # force; both paths are drawn from the pose and differenced.
    draw = random_machines(34, 40)
    deep, m = bottomed(draw.machine), draw.machine
    at, step = deep.pose, 1e-3
    assert np.all(deep.bottomed_front & deep.bottomed_rear)

    def world_z(axle: tuple[Any, Any]) -> Any:
        return np.sin(at.pitch_rad) * axle[0] + np.cos(at.pitch_rad) * axle[1]

    x, y = at.fork_compression_mm, at.rear_compression_mm
    up, down = pose(m, x, y), pose(m, x - step, y - step)
    front_rise = world_z(up.front_axle_mm) - world_z(down.front_axle_mm)
    rear_rise = world_z(up.rear_axle_mm) - world_z(down.rear_axle_mm)
    shock_move = m.leverage.evaluate(y)[0] - m.leverage.evaluate(y - step)[0]
    fork_n, shock_n = m.fork.force(x)[0], m.shock.force(m.shock.stroke_mm)[0]
    push_front = deep.front_load_n - weight_n(m.front_unsprung_kg)
    push_rear = deep.rear_load_n - weight_n(m.rear_unsprung_kg)
    assert push_front * front_rise == pytest.approx(fork_n * step, rel=1e-5)
    assert push_rear * rear_rise == pytest.approx(shock_n * shock_move, rel=1e-5)
    assert at.front_radius_mm == pytest.approx(
        m.front_radius_mm - deep.front_load_n / m.front_tyre_n_mm, abs=1e-9
    )


def test_stiction_is_a_band(draw: Draw, rest: Rest) -> None:
    # Friction that holds the unit up leaves it higher, friction that holds it down lower.
    more = np.asarray(draw.machine.fork.friction_n)
    high = equilibrium(draw.machine.with_fork(friction_n=more + 30.0), draw.sprung)
    low = equilibrium(draw.machine.with_fork(friction_n=more - 30.0), draw.sprung)
    assert np.all(high.pose.fork_compression_mm <= rest.pose.fork_compression_mm + 1e-9)
    assert np.all(low.pose.fork_compression_mm >= rest.pose.fork_compression_mm - 1e-9)


def test_a_lane_that_is_no_number_holds_up_no_other(
    draw: Draw, rest: Rest, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It cannot settle; asking it again until the last step costs every other lane the same."""
    steps: list[str] = []
    real = solver._balance

    def counted(*given: Any) -> Any:
        steps.append("")
        return real(*given)

    monkeypatch.setattr(solver, "_balance", counted)
    equilibrium(draw.machine, draw.sprung)
    usual = len(steps)
    mass = np.array(draw.sprung.mass_kg) + np.zeros(300)
    mass[7] = np.nan
    steps.clear()
    with_hole = equilibrium(draw.machine, dataclasses.replace(draw.sprung, mass_kg=mass))
    assert len(steps) <= usual
    assert not with_hole.converged[7]
    others = np.arange(300) != 7
    assert np.all(with_hole.converged[others])
    for name, values in figures(with_hole).items():
        assert np.array_equal(values[others], figures(rest)[name][others]), name
