"""The equilibrium against the least total potential energy, found by SciPy."""

import numpy as np
import pytest

from fitplanner.mechanics.equilibrium import Rest, equilibrium
from tests.machines import KNOTS_MM, Draw, lane, random_machines
from tests.potential import Potential

COUNT = 500


@pytest.fixture(scope="module")
def draw() -> Draw:
    return random_machines(20240, COUNT)


@pytest.fixture(scope="module")
def rest(draw: Draw) -> Rest:
    return equilibrium(draw.machine, draw.sprung)


def potential(draw: Draw, index: int) -> Potential:
    return Potential(
        lane(draw.machine, index), lane(draw.sprung, index), KNOTS_MM, draw.leverage[index]
    )


@pytest.mark.slow
def test_least_energy(draw: Draw, rest: Rest) -> None:
    # Principle of minimum total potential energy, each machine on its own.
    m = draw.machine
    ours = np.stack(
        [
            rest.pose.fork_compression_mm,
            rest.pose.rear_compression_mm,
            m.front_radius_mm - rest.pose.front_radius_mm,
            m.rear_radius_mm - rest.pose.rear_radius_mm,
        ]
    )
    theirs = np.stack([potential(draw, i).least() for i in range(COUNT)], axis=1)
    assert np.max(np.abs(ours - theirs)) < 1e-8


def test_the_draw_holds_every_kind(draw: Draw, rest: Rest) -> None:
    # What the test above is worth: stops, air, gas, tyres and bent leverage are all in it.
    assert np.all(rest.converged)
    for stop in (rest.topped_front, rest.topped_rear, rest.bottomed_front, rest.bottomed_rear):
        assert np.count_nonzero(stop) > 10
    fork, shock = draw.machine.fork, draw.machine.shock
    drawn_in = fork.top_out_length_mm + fork.cut_mm > rest.pose.fork_compression_mm
    pressed = draw.machine.leverage.evaluate(rest.pose.rear_compression_mm)[0] > (
        shock.stroke_mm - shock.bump_length_mm
    )
    assert np.count_nonzero(drawn_in & (fork.top_out_rate_n_mm > 0)) > 5
    assert np.count_nonzero(pressed & (shock.bump_rate_n_mm > 0)) > 5
    assert np.count_nonzero(rest.front_load_n < 0) > 5
    assert np.count_nonzero(np.isfinite(draw.machine.front_tyre_n_mm)) > 300
    assert np.count_nonzero(fork.air_area_mm2 > 0) > 300


@pytest.mark.parametrize("index", range(0, COUNT, 25))
def test_no_lower_energy_anywhere(draw: Draw, rest: Rest, index: int) -> None:
    # The rest is the least of all, not one of several: no pose of a grid has less energy.
    energy = potential(draw, index)
    squash = [
        draw.machine.front_radius_mm[index] - rest.pose.front_radius_mm[index],
        draw.machine.rear_radius_mm[index] - rest.pose.rear_radius_mm[index],
    ]
    here = energy(
        np.array(
            [rest.pose.fork_compression_mm[index], rest.pose.rear_compression_mm[index], *squash]
        )
    )
    grid = np.meshgrid(
        *(np.linspace(low, high, 41) for low, high in energy.bounds()[:2]), indexing="ij"
    )
    flat = np.stack([g.ravel() for g in grid] + [np.full(grid[0].size, s) for s in squash])
    assert np.all(energy(flat) >= here - 1e-6)
