"""Equilibria per second, all candidates at once, against SciPy one candidate at a time.

Run apart: ``pytest tests/bench/test_solver.py -s``. It prints and asserts no time, for a busy
machine must not fail it. All solve the same candidates in the same run, from the same start, and
SciPy's answers are held against ours, so that the comparison is fair. Two ways with SciPy: on
this program's own force laws for one candidate, as a planner without lanes would do it, and on
equations written out in plain numbers, the least that one candidate can cost in Python.
"""

import time
from bisect import bisect_right
from collections.abc import Callable
from math import asin, atan2, cos, hypot, sin, sqrt, tan

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.optimize import root

from fitplanner.mechanics.equilibrium import Rest, equilibrium, wheel_loads
from fitplanner.mechanics.geometry import pose
from fitplanner.mechanics.machine import Body, Machine, weight_n
from fitplanner.planning.resolve import reference
from tests.factories import machine_profile
from tests.machines import lane, lanes

CANDIDATES, SAMPLE, G = 10_000, 200, 9.80665

Slope = Callable[[np.ndarray], list[float]]


@pytest.fixture(scope="module")
def candidates() -> tuple[Machine, Body]:
    """Springs, preloads and limiters of a search on one machine, all within their travel."""
    rng = np.random.default_rng(1)
    count = 2 * CANDIDATES
    machine = reference(machine_profile()).machine
    machine = machine.with_fork(
        rate_n_mm=rng.uniform(6, 11, count),
        preload_mm=rng.uniform(3, 20, count),
        cut_mm=rng.uniform(0, 60, count),
    ).with_shock(
        rate_n_mm=rng.uniform(40, 75, count),
        preload_mm=rng.uniform(3, 18, count),
        cut_mm=rng.uniform(0, 25, count),
    )
    body = machine.sprung + Body(rng.uniform(50, 95, count), 560.0, 1120.0)
    rest = equilibrium(machine, body)
    stops = rest.topped_front | rest.topped_rear | rest.bottomed_front | rest.bottomed_rear
    keep = np.flatnonzero(~stops)[:CANDIDATES]
    assert len(keep) == CANDIDATES
    return lanes(machine, keep), lanes(body, keep)


def by_own_laws(m: Machine, body: Body) -> Slope:
    """Balance of one candidate by this program's laws: fork, swing-arm, both tyres."""

    def balance(q: np.ndarray) -> list[float]:
        x, y, front_r, rear_r = q
        at = pose(m, x, y, front_r, rear_r)
        front, rear = wheel_loads(at, body, m)
        shock_mm, ratio, _ = m.leverage.evaluate(y)
        share = np.cos(at.arm_rad - at.pitch_rad) / np.cos(at.arm_rad)
        fork_load = (front - weight_n(m.front_unsprung_kg)) * np.cos(at.rake_rad)
        wheel_load = (rear - weight_n(m.rear_unsprung_kg)) * share
        return [
            float(m.fork.force(x)[0] - fork_load),
            float(m.shock.force(shock_mm)[0] * ratio - wheel_load),
            float(m.front_radius_mm - front / m.front_tyre_n_mm - front_r),
            float(m.rear_radius_mm - rear / m.rear_tyre_n_mm - rear_r),
        ]

    return balance


def in_plain_numbers(m: Machine, body: Body) -> Slope:
    """The same balance in Python's own numbers."""
    fork, shock, curve = m.fork, m.shock, m.leverage
    knots, cubic, left = curve.knots_mm.tolist(), curve.cubic.T.tolist(), curve.shock_mm.tolist()
    fx, fz, rake0, arm_mm = m.front_axle_x_mm, m.front_axle_z_mm, m.rake_rad, m.arm_length_mm
    fx, fz, rake0, arm_mm = float(fx), float(fz), float(rake0), float(arm_mm)
    px, pz, low = float(m.pivot_x_mm), float(m.pivot_z_mm), float(m.axle_low_mm)
    mass, bx, bz = float(body.mass_kg), float(body.x_mm), float(body.z_mm)
    free_f, free_r = float(m.front_radius_mm), float(m.rear_radius_mm)
    tyre_f, tyre_r = float(m.front_tyre_n_mm), float(m.rear_tyre_n_mm)
    hub_f, hub_r = float(m.front_unsprung_kg), float(m.rear_unsprung_kg)
    area = float(fork.air_area_mm2) * 1e-3
    full = float(fork.air_bottomed_ml) + area * (float(fork.stroke_mm) - float(fork.cut_mm))
    k, p, cut, n = (
        float(v) for v in (fork.rate_n_mm, fork.preload_mm, fork.cut_mm, fork.air_exponent)
    )
    top_k, top_l = float(fork.top_out_rate_n_mm), float(fork.top_out_length_mm)
    sk, sp, sc = float(shock.rate_n_mm), float(shock.preload_mm), float(shock.cut_mm)
    gas, bump_k = float(shock.gas_force_n), float(shock.bump_rate_n_mm)
    bump_at = float(shock.stroke_mm) - float(shock.bump_length_mm)

    def balance(q: np.ndarray) -> list[float]:
        x, y, rf, rr = q.tolist()
        arm = asin((low + y) / arm_mm)
        rx, rz = px - arm_mm * cos(arm), pz + low + y
        ax, az = fx - sin(rake0) * x - rx, fz + cos(rake0) * x - rz
        span = hypot(ax, az)
        pitch = asin((rf - rr) / span) - atan2(az, ax)
        w = sqrt(span * span - (rf - rr) ** 2)
        front = G * (mass * (cos(pitch) * (bx - rx) - sin(pitch) * (bz - rz)) / w + hub_f)
        rear = G * (mass + hub_f + hub_r) - front
        i = min(max(bisect_right(knots, y) - 1, 0), len(cubic) - 1)
        (c0, c1, c2, c3), t = cubic[i], y - knots[i]
        ratio = c0 + t * (c1 + t * (c2 + t * c3))
        s = left[i] + t * (c0 + t * (c1 / 2 + t * (c2 / 3 + t * c3 / 4)))
        air = 101.325 * area * ((full / (full - area * (x - cut))) ** n - 1)
        fork_n = k * (x - cut + p) + air - top_k * max(top_l - (x - cut), 0.0)
        shock_n = sk * (s - sc + sp) + gas + bump_k * max(s - bump_at, 0.0)
        share = cos(pitch) + tan(arm) * sin(pitch)
        return [
            fork_n - (front - G * hub_f) * cos(rake0 + pitch),
            shock_n * ratio - (rear - G * hub_r) * share,
            free_f - front / tyre_f - rf,
            free_r - rear / tyre_r - rr,
        ]

    return balance


@pytest.mark.parametrize("laws", [by_own_laws, in_plain_numbers])
def test_against_one_at_a_time(
    benchmark: BenchmarkFixture,
    candidates: tuple[Machine, Body],
    laws: Callable[[Machine, Body], Slope],
    capsys: pytest.CaptureFixture[str],
) -> None:
    machine, body = candidates

    def at_once() -> Rest:
        return equilibrium(machine, body)

    rest = benchmark.pedantic(at_once, rounds=15, warmup_rounds=2)
    ours_s = benchmark.stats.stats.median / CANDIDATES if benchmark.stats else float("nan")
    picked = np.linspace(0, CANDIDATES - 1, SAMPLE).astype(int)
    balances = [laws(lane(machine, i), lane(body, i)) for i in picked]
    start = [np.array([90.0, 100.0, 340.0, 334.0])] * SAMPLE
    began = time.perf_counter()
    found = [root(f, s, tol=1e-11).x for f, s in zip(balances, start, strict=True)]
    theirs_s = (time.perf_counter() - began) / SAMPLE
    ours = np.stack([rest.pose.fork_compression_mm, rest.pose.rear_compression_mm], 1)[picked]
    assert np.max(np.abs(np.array(found)[:, :2] - ours)) < 1e-6
    with capsys.disabled():
        print(
            f"\n{laws.__name__}: {1 / ours_s:,.0f} equilibria/s at once, {1 / theirs_s:,.0f} one"
            f" at a time with scipy.optimize.root; ratio {theirs_s / ours_s:,.0f}"
        )
