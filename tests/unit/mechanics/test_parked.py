"""The machine on its side-stand against the statics of three contacts, solved by SciPy."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator
from scipy.optimize import root

from fitplanner.mechanics import parked as parked_module
from fitplanner.mechanics.equilibrium import equilibrium
from fitplanner.mechanics.machine import Body, Machine
from fitplanner.mechanics.parked import Parked, Stand, park
from tests.machines import KNOTS_MM, Draw, lane, lanes, random_machines

G = 9.80665
CROWN = 60.0


def beside(draw: Draw) -> Stand:
    """Stands whose foot hangs 40 to 70 mm over the ground while the machine is held upright."""
    rng = np.random.default_rng(12)
    count = len(draw.leverage)
    at = equilibrium(draw.machine, draw.sprung).pose
    x, z, splay = rng.uniform(450, 600, count), 300.0, np.radians(rng.uniform(18, 30, count))
    length = (at.height(x, z) - rng.uniform(40, 70, count)) / np.cos(splay)
    ahead = rng.uniform(-60, 60, count)
    return Stand(x, rng.uniform(90, 150, count), z, length, splay, ahead, CROWN)


@pytest.fixture(scope="module")
def parking() -> tuple[Draw, Stand]:
    """Machines with their stands, neither topped out nor bottomed when parked."""
    drawn = random_machines(51, 240)
    mass = np.random.default_rng(3).uniform(70, 150, 240)
    heavy = Body(mass, drawn.sprung.x_mm, drawn.sprung.z_mm * 0.7)
    machine = drawn.machine.with_shock(preload_mm=2.0, friction_n=0.0).with_fork(friction_n=0.0)
    drawn = Draw(machine, heavy, drawn.leverage)
    stand = beside(drawn)
    parked = park(drawn.machine, heavy, stand)
    rest = parked.rest
    stops = rest.topped_front | rest.topped_rear | rest.bottomed_front | rest.bottomed_rear
    keep = np.flatnonzero(~stops & parked.holds & (rest.front_load_n > 100))
    assert len(keep) >= 30
    kept = Draw(lanes(drawn.machine, keep), lanes(heavy, keep), drawn.leverage[keep])
    return kept, lanes(stand, keep)


def in_plane(m: Machine, u: np.ndarray) -> Any:
    """Maps chassis points to the leaned machine's own plane: x ahead, z up from the ground."""
    x, y, df, dr = u[:4]
    along = x + m.raise_mm
    front = np.array([m.front_axle_x_mm, m.front_axle_z_mm])
    front = front + along * np.array([-np.sin(m.rake_rad), np.cos(m.rake_rad)])
    arm = np.arcsin((m.axle_low_mm + y) / m.arm_length_mm)
    rear = np.array([m.pivot_x_mm, m.pivot_z_mm])
    rear = rear + m.arm_length_mm * np.array([-np.cos(arm), np.sin(arm)])
    a, rise = front - rear, (m.front_radius_mm - df) - (m.rear_radius_mm - dr)
    run = np.sqrt(a @ a - rise**2)
    ahead = np.array([run * a[0] + rise * a[1], run * a[1] - rise * a[0]]) / (a @ a)
    up = np.array([-ahead[1], ahead[0]])

    def place(px: float, pz: float) -> tuple[float, float]:
        p = np.array([px, pz]) - rear
        return float(p @ ahead), float(p @ up + m.rear_radius_mm - dr)

    return place, front, rear, arm, ahead, run


def three_contacts(
    m: Machine, body: Body, stand: Stand, leverage: np.ndarray, u: np.ndarray
) -> list[float]:
    """Balance of the whole in heave, pitch and roll, of fork and swing-arm, tyres and foot."""
    x, y, df, dr, lean, front_n, rear_n, stand_n = u
    place, front, rear, arm, ahead, wheelbase = in_plane(m, u)
    cos, sin = np.cos(lean), np.sin(lean)

    def world(px: float, py: float, pz: float) -> np.ndarray:
        sx, sz = place(px, pz)
        above = sz - CROWN
        return np.array([sx, py * cos + above * sin, CROWN + above * cos - py * sin])

    foot = world(
        stand.pivot_x_mm + stand.foot_ahead_mm,
        stand.pivot_y_mm + stand.length_mm * np.sin(stand.angle_rad),
        stand.pivot_z_mm - stand.length_mm * np.cos(stand.angle_rad),
    )
    up = np.array([0.0, 0.0, 1.0])
    forces = [
        (world(body.x_mm, 0.0, body.z_mm), -body.mass_kg * G * up),
        (world(*np.insert(front, 1, 0.0)), -m.front_unsprung_kg * G * up),
        (world(*np.insert(rear, 1, 0.0)), -m.rear_unsprung_kg * G * up),
        (np.array([wheelbase, 0.0, 0.0]), front_n * up),
        (np.zeros(3), rear_n * up),
        (foot, stand_n * up),
    ]
    total = sum(f for _, f in forces)
    moment = sum(np.cross(at, f) for at, f in forces)
    slider = np.sin(m.rake_rad) * ahead[1] + np.cos(m.rake_rad) * ahead[0]  # upright part
    fork = m.fork
    air = 1e-3 * fork.air_area_mm2
    full = fork.air_bottomed_ml + air * (fork.stroke_mm - fork.cut_mm)
    column = 101.325 * air * ((full / (full - air * (x - fork.cut_mm))) ** fork.air_exponent - 1)
    top_out = fork.top_out_rate_n_mm * max(fork.top_out_length_mm - x + fork.cut_mm, 0.0)
    fork_n = fork.rate_n_mm * (x - fork.cut_mm + fork.preload_mm) + column - top_out
    ratio = PchipInterpolator(KNOTS_MM, 1 / leverage)
    shock = m.shock
    s = float(ratio.antiderivative()(y))
    rubber = shock.bump_rate_n_mm * max(s - shock.stroke_mm + shock.bump_length_mm, 0.0)
    shock_n = shock.rate_n_mm * (s - shock.cut_mm + shock.preload_mm) + shock.gas_force_n + rubber
    lever = place(m.pivot_x_mm, m.pivot_z_mm)[0]
    arm_moment = (rear_n - m.rear_unsprung_kg * G) * cos * lever
    shock_moment = shock_n * float(ratio(y)) * m.arm_length_mm * np.cos(arm)
    return [
        total[2],
        moment[0] * 1e-3,
        moment[1] * 1e-3,
        fork_n - (front_n - m.front_unsprung_kg * G) * cos * slider,
        (shock_moment - arm_moment) * 1e-3,
        df - front_n * cos / m.front_tyre_n_mm,
        dr - rear_n * cos / m.rear_tyre_n_mm,
        foot[2],
    ]


def solve(m: Machine, body: Body, stand: Stand, leverage: np.ndarray) -> np.ndarray:
    weight = G * (body.mass_kg + m.front_unsprung_kg + m.rear_unsprung_kg)
    start = [60.0, 60.0, 3.0, 3.0, 0.2, 0.3 * weight, 0.4 * weight, 0.3 * weight]
    rest = equilibrium(m, body).pose
    start[:2] = [0.8 * float(rest.fork_compression_mm), 0.8 * float(rest.rear_compression_mm)]
    found = root(lambda u: three_contacts(m, body, stand, leverage, u), start, tol=1e-12)
    assert np.max(np.abs(found.fun)) < 1e-6
    return np.asarray(found.x)


def ours(parked: Parked, m: Machine, body: Body) -> np.ndarray:
    rest, at = parked.rest, parked.rest.pose
    weight = G * (body.mass_kg + m.front_unsprung_kg + m.rear_unsprung_kg)
    cos = np.cos(parked.lean.lean_rad)
    return np.array(
        [
            at.fork_compression_mm,
            at.rear_compression_mm,
            m.front_radius_mm - at.front_radius_mm,
            m.rear_radius_mm - at.rear_radius_mm,
            parked.lean.lean_rad,
            rest.front_load_n / cos,
            rest.rear_load_n / cos,
            parked.share * weight,
        ]
    )


def test_three_contacts(parking: tuple[Draw, Stand]) -> None:
    draw, stand = parking
    together = ours(park(draw.machine, draw.sprung, stand), draw.machine, draw.sprung)
    apart = np.stack(
        [
            solve(lane(draw.machine, i), lane(draw.sprung, i), lane(stand, i), draw.leverage[i])
            for i in range(len(draw.leverage))
        ],
        axis=1,
    )
    assert together[:4] == pytest.approx(apart[:4], abs=1e-6)
    assert together[4] == pytest.approx(apart[4], abs=1e-9)
    assert together[5:] == pytest.approx(apart[5:], abs=1e-5)


def test_loads_add_up(parking: tuple[Draw, Stand]) -> None:
    # Three contacts carry the whole weight, and its moment in roll is the stand's alone.
    draw, stand = parking
    parked = park(draw.machine, draw.sprung, stand)
    values = ours(parked, draw.machine, draw.sprung)
    m = draw.machine
    weight = G * (draw.sprung.mass_kg + m.front_unsprung_kg + m.rear_unsprung_kg)
    assert values[5] + values[6] + values[7] == pytest.approx(weight, rel=1e-9)
    lean = parked.lean.lean_rad
    com_y = (parked.com_z_mm - CROWN) * np.sin(lean)
    foot_y = parked.lean.foot_y_mm * np.cos(lean)
    foot_y = foot_y + (parked.lean.foot_z_mm - CROWN) * np.sin(lean)
    assert values[7] * foot_y == pytest.approx(weight * com_y, rel=1e-9)


def test_parked_stands_higher_than_on_wheels(parking: tuple[Draw, Stand]) -> None:
    draw, stand = parking
    parked = park(draw.machine, draw.sprung, stand).rest.pose
    on_wheels = equilibrium(draw.machine, draw.sprung).pose
    x = stand.pivot_x_mm + stand.foot_ahead_mm
    assert np.all(parked.height(x, 300.0) > on_wheels.height(x, 300.0))


def test_length_for_a_wanted_lean(parking: tuple[Draw, Stand]) -> None:
    draw, stand = parking
    wanted = np.radians(np.linspace(8, 15, len(draw.leverage)))
    parked = park(draw.machine, draw.sprung, stand, hold_lean_rad=wanted)
    length = parked.length_mm
    assert parked.lean.lean_rad == pytest.approx(wanted, abs=1e-9)
    again = park(draw.machine, draw.sprung, replace(stand, length_mm=length))
    assert again.lean.lean_rad == pytest.approx(wanted, abs=1e-9)
    assert again.share == pytest.approx(parked.share, abs=1e-9)


def test_old_stand_under_a_lowered_machine(parking: tuple[Draw, Stand]) -> None:
    # What hurts people: the lower the machine, the more upright it stands, until it falls over.
    draw, stand = parking
    leans, holds = [], []
    for cut in (0.0, 25.0, 200.0):
        m = draw.machine.with_fork(preload_mm=draw.machine.fork.preload_mm - cut)
        m = m.with_shock(preload_mm=draw.machine.shock.preload_mm - cut)
        parked = park(m, draw.sprung, stand)
        leans.append(parked.lean.lean_rad)
        holds.append(parked.holds)
    assert np.all(leans[1] < leans[0])
    assert np.all(holds[0]) and not np.any(holds[2])


def test_lanes_as_if_alone(parking: tuple[Draw, Stand]) -> None:
    draw, stand = parking
    together = park(draw.machine, draw.sprung, stand)
    for i in (0, 7, 19):
        alone = park(lane(draw.machine, i), lane(draw.sprung, i), lane(stand, i))
        assert float(alone.share) == pytest.approx(together.share[i], abs=1e-9)
        assert float(alone.lean.lean_rad) == pytest.approx(together.lean.lean_rad[i], abs=1e-9)
        assert float(alone.foot_x_mm) == pytest.approx(together.foot_x_mm[i], abs=1e-6)


def test_a_lane_that_is_no_number_holds_up_no_other(
    parking: tuple[Draw, Stand], monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn, stand = parking
    count = len(drawn.leverage)
    usual = park(drawn.machine, drawn.sprung, stand)
    repeats: list[str] = []
    real = parked_module._at_share

    def counted(*given: Any) -> Any:
        repeats.append("")
        return real(*given)

    monkeypatch.setattr(parked_module, "_at_share", counted)
    park(drawn.machine, drawn.sprung, stand)
    most = len(repeats)
    height = np.array(drawn.sprung.z_mm) + np.zeros(count)
    height[2] = np.nan
    repeats.clear()
    found = park(drawn.machine, replace(drawn.sprung, z_mm=height), stand)
    assert len(repeats) <= most
    others = np.arange(count) != 2
    assert np.array_equal(found.share[others], usual.share[others])
    assert not np.isfinite(found.share[2])
