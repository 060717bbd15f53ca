"""Identities that hold for every machine at rest, whatever its figures."""

import dataclasses
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from fitplanner.mechanics.equilibrium import Rest, equilibrium
from fitplanner.mechanics.geometry import pose
from fitplanner.mechanics.leverage import LeverageCurve
from fitplanner.mechanics.machine import GRAVITY_M_S2, Body, Machine, weight_n
from tests.machines import KNOTS_MM, Draw, lane, lanes, random_machines
from tests.potential import Potential

COUNT = 60


def no_stops(rest: Rest) -> Any:
    """Lanes well inside their travel, where results follow the load smoothly."""
    return ~(rest.topped_front | rest.topped_rear | rest.bottomed_front | rest.bottomed_rear)


def chosen(draw: Draw, keep: Any) -> Draw:
    index = np.flatnonzero(keep)
    return Draw(lanes(draw.machine, index), lanes(draw.sprung, index), draw.leverage[index])


@pytest.fixture(scope="module")
def smooth() -> Draw:
    """Machines inside their travel and clear of the corners of their springs, +-15 kg."""
    draw = random_machines(77, 400)
    machine = draw.machine.with_fork(top_out_rate_n_mm=0.0).with_shock(bump_rate_n_mm=0.0)
    keep, pieces = np.ones(400, dtype=bool), []
    for more in (-15.0, 15.0):
        rest = equilibrium(machine, draw.sprung + rider(more))
        keep &= no_stops(rest) & (rest.front_load_n > 0)
        pieces.append(np.searchsorted(KNOTS_MM, rest.pose.rear_compression_mm))
    keep &= pieces[0] == pieces[1]  # the leverage's cubics join with a step in curvature
    kept = chosen(Draw(machine, draw.sprung, draw.leverage), keep)
    assert len(kept.leverage) >= 15
    return kept


def rider(mass_kg: Any) -> Body:
    return Body(mass_kg, 560.0, 1050.0)


def derivative(of: Callable[[float], np.ndarray], step: float) -> np.ndarray:
    """Central difference with Richardson's extrapolation, error of sixth order."""
    d = [(of(h) - of(-h)) / (2 * h) for h in (step, step / 2, step / 4)]
    once = [(4 * d[1] - d[0]) / 3, (4 * d[2] - d[1]) / 3]
    return np.asarray((16 * once[1] - once[0]) / 15)


def test_envelope(smooth: Draw) -> None:
    # Envelope theorem: least energy grows with the rider's mass at g times the rider's height.
    # Held to as an integral, since that loses nothing to a difference quotient.
    nodes, weights = np.polynomial.legendre.leggauss(12)

    def solved(mass_kg: float) -> Rest:
        return equilibrium(smooth.machine, smooth.sprung + rider(mass_kg))

    def energy(mass_kg: float) -> np.ndarray:
        rest, m = solved(mass_kg), smooth.machine
        q = [
            rest.pose.fork_compression_mm,
            rest.pose.rear_compression_mm,
            m.front_radius_mm - rest.pose.front_radius_mm,
            m.rear_radius_mm - rest.pose.rear_radius_mm,
        ]
        carried = smooth.sprung + rider(mass_kg)
        return np.array(
            [
                Potential(lane(m, i), lane(carried, i), KNOTS_MM, smooth.leverage[i])(
                    np.array([part[i] for part in q])
                )
                for i in range(len(smooth.leverage))
            ]
        )

    heights = [solved(10.0 * n).pose.height(560.0, 1050.0) for n in nodes]
    work = GRAVITY_M_S2 * 10.0 * np.einsum("n,nl->l", weights, np.array(heights))
    assert energy(10.0) - energy(-10.0) == pytest.approx(work, rel=1e-12, abs=1e-6)


def test_reciprocity(smooth: Draw) -> None:
    # Maxwell and Betti: a load at B moves A as much as the same load at A moves B.
    places = {"a": (200.0, 700.0), "b": (1250.0, 900.0)}

    def moved(loaded: str, seen: str) -> np.ndarray:
        def height(mass_kg: float) -> np.ndarray:
            load = Body(mass_kg, *places[loaded])
            rest = equilibrium(smooth.machine, smooth.sprung + load)
            return rest.pose.height(*places[seen])

        return derivative(height, 0.5)

    one, other = moved("b", "a"), moved("a", "b")
    assert one == pytest.approx(other, rel=1e-6, abs=1e-9)
    assert np.max(np.abs(one)) > 0.05


def test_limiter(smooth: Draw) -> None:
    # A limiter under an untouched spring: preload grows by the cut, and nothing loaded moves.
    machine = smooth.machine.with_fork(air_area_mm2=0.0)
    before = equilibrium(machine, smooth.sprung)
    shock_mm = machine.leverage.evaluate(before.pose.rear_compression_mm)[0]
    fork_room = before.pose.fork_compression_mm - machine.fork.cut_mm
    more_front, more_rear = 0.9 * fork_room, 0.9 * (shock_mm - machine.shock.cut_mm)
    limited = machine.with_fork(
        cut_mm=machine.fork.cut_mm + more_front, preload_mm=machine.fork.preload_mm + more_front
    ).with_shock(
        cut_mm=machine.shock.cut_mm + more_rear, preload_mm=machine.shock.preload_mm + more_rear
    )
    after = equilibrium(limited, smooth.sprung)
    inside = no_stops(before)
    assert np.count_nonzero(inside) > 10
    for name in ("pitch_rad", "rake_rad", "wheelbase_mm", "trail_mm", "rear_compression_mm"):
        same, now = getattr(before.pose, name)[inside], getattr(after.pose, name)[inside]
        assert now == pytest.approx(same, rel=1e-12, abs=1e-11)
    assert after.front_load_n[inside] == pytest.approx(before.front_load_n[inside], abs=1e-9)


def test_clamps() -> None:
    # Stanchions raised by t stand like a fork cut by t at the same preload at its new extension,
    # without air; only the gap at full bump tells them apart.
    draw = random_machines(5, COUNT)
    plain = dataclasses.replace(draw.machine.with_fork(cut_mm=0.0, air_area_mm2=0.0), raise_mm=0.0)
    t = 12.5
    raised = equilibrium(dataclasses.replace(plain, raise_mm=t), draw.sprung)
    cut = equilibrium(plain.with_fork(cut_mm=t), draw.sprung)
    inside = ~(cut.bottomed_front | raised.bottomed_front)
    assert np.count_nonzero(inside) > 40
    assert cut.pose.fork_compression_mm[inside] == pytest.approx(
        raised.pose.fork_compression_mm[inside] + t, abs=1e-9
    )
    for name in ("pitch_rad", "wheelbase_mm", "trail_mm", "rear_compression_mm"):
        assert getattr(cut.pose, name)[inside] == pytest.approx(
            getattr(raised.pose, name)[inside], abs=1e-9
        )
    deepest = pose(plain, plain.fork.stroke_mm, 0.0).front_axle_mm[1]
    nearer = pose(dataclasses.replace(plain, raise_mm=t), plain.fork.stroke_mm, 0.0)
    assert nearer.front_axle_mm[1] - deepest == pytest.approx(t * np.cos(plain.rake_rad))


def test_slopes(smooth: Draw) -> None:
    # Slopes of the pose at fixed tyre loads, derived by hand from the closed form.
    m = smooth.machine
    x, y, seat = 80.0, 100.0, (540.0, 900.0)
    at = pose(m, x, y)
    where, _ = at.place(*seat)
    s, w, rake = where / at.wheelbase_mm, at.wheelbase_mm, at.rake_rad
    step = at.front_radius_mm - at.rear_radius_mm
    lift = np.cos(at.arm_rad - at.pitch_rad) / np.cos(at.arm_rad)

    def slope(what: Callable[[Any], np.ndarray], along_fork: bool) -> np.ndarray:
        return derivative(
            lambda h: what(pose(m, x + h, y) if along_fork else pose(m, x, y + h)), 0.5
        )

    assert slope(lambda p: p.height(*seat), True) == pytest.approx(-s * np.cos(rake), abs=1e-9)
    assert slope(lambda p: p.height(*seat), False) == pytest.approx(-(1 - s) * lift, abs=1e-9)
    assert slope(lambda p: p.pitch_rad, True) == pytest.approx(-np.cos(rake) / w, abs=1e-12)
    assert slope(lambda p: p.wheelbase_mm, True) == pytest.approx(
        -np.sin(rake) + step * np.cos(rake) / w, abs=1e-9
    )


def test_linear_rule(smooth: Draw) -> None:
    # The first guess dz_seat = dz_r (1 - s) + dz_f s, to first order in a drop.
    m = smooth.machine
    at = pose(m, 80.0, 100.0)
    for size, within in ((10.0, 0.25), (1.0, 0.0025)):
        low = pose(m, 80.0 + size / np.cos(at.rake_rad), 100.0 + size)
        where, _ = at.place(540.0, 900.0)
        s = where / at.wheelbase_mm
        rule = -size * (s + (1 - s) * np.cos(at.arm_rad - at.pitch_rad) / np.cos(at.arm_rad))
        moved = low.height(540.0, 900.0) - at.height(540.0, 900.0)
        assert moved == pytest.approx(rule, abs=within)


def scaled(machine: Machine, k: float) -> Machine:
    """Lengths times k, rates over k, masses and forces kept."""
    plain = {
        f.name: np.asarray(getattr(machine, f.name)) * k
        for f in dataclasses.fields(machine)
        if f.name.endswith("_mm") and not f.name.endswith("n_mm")
    }
    tyres = {n: np.asarray(getattr(machine, n)) / k for n in ("front_tyre_n_mm", "rear_tyre_n_mm")}
    units = {}
    for name in ("fork", "shock"):
        unit = getattr(machine, name)
        units[name] = dataclasses.replace(
            unit,
            **{
                f.name: np.asarray(getattr(unit, f.name)) * (1 / k if "n_mm" in f.name else k)
                for f in dataclasses.fields(unit)
                if f.name.endswith("_mm")
            },
        )
    curve = machine.leverage
    powers = (1 / k) ** np.arange(4).reshape(4, 1, 1)
    bent = LeverageCurve(curve.knots_mm * k, curve.cubic * powers, curve.shock_mm * k)
    return dataclasses.replace(machine, **plain, **tyres, **units, leverage=bent)


@pytest.mark.parametrize("k", [0.5, 1.7])
def test_scaling(k: float) -> None:
    # Similarity: the same masses on a machine k times as long with rates over k stand alike.
    draw = random_machines(6, COUNT)
    small = draw.machine.with_fork(air_area_mm2=0.0)
    body = Body(draw.sprung.mass_kg, draw.sprung.x_mm * k, draw.sprung.z_mm * k)
    one, other = equilibrium(small, draw.sprung), equilibrium(scaled(small, k), body)
    for name in ("pitch_rad", "rake_rad", "arm_rad"):
        assert getattr(other.pose, name) == pytest.approx(getattr(one.pose, name), abs=1e-11)
    assert other.pose.wheelbase_mm == pytest.approx(k * one.pose.wheelbase_mm, rel=1e-12)
    assert other.front_load_n == pytest.approx(one.front_load_n, abs=1e-8)


def test_loads_add_up() -> None:
    # Statics: both wheel loads carry the whole weight, and their moment about the rear contact
    # is that of every mass.
    draw = random_machines(8, COUNT)
    rest, m = equilibrium(draw.machine, draw.sprung), draw.machine
    total = draw.sprung.mass_kg + m.front_unsprung_kg + m.rear_unsprung_kg
    assert rest.front_load_n + rest.rear_load_n == pytest.approx(weight_n(total), rel=1e-14)
    x, _ = rest.pose.place(draw.sprung.x_mm, draw.sprung.z_mm)
    moment = weight_n(draw.sprung.mass_kg) * x
    moment = moment + weight_n(m.front_unsprung_kg) * rest.pose.wheelbase_mm
    assert rest.front_load_n * rest.pose.wheelbase_mm == pytest.approx(moment, rel=1e-13)
