"""Pose against the benchmark bicycle and against printed figures."""

import numpy as np
import pytest
from bicycleparameters.bicycle import lambda_from_abc, trail
from bicycleparameters.parameter_dicts import meijaard2007_browser_jason
from uncertainties import ufloat

from fitplanner.mechanics.equilibrium import equilibrium
from fitplanner.mechanics.geometry import fork_offset_mm, pose
from fitplanner.mechanics.machine import Body
from fitplanner.mechanics.units import Fork, Shock
from tests.machines import plain_machine

BENCHMARK = {"w": 1.02, "c": 0.08, "lam": np.pi / 10, "rF": 0.35, "rR": 0.3}
RIDDEN = {k: meijaard2007_browser_jason[k] for k in BENCHMARK}


def bicycle(p: dict[str, float]):
    return plain_machine(
        wheelbase_mm=1e3 * p["w"],
        rake_rad=p["lam"],
        trail_mm=1e3 * p["c"],
        front_radius_mm=1e3 * p["rF"],
        rear_radius_mm=1e3 * p["rR"],
    )


def test_benchmark_offset_and_normal_trail() -> None:
    # Meijaard, Papadopoulos, Ruina and Schwab, Proc. R. Soc. A 463 (2007) 1955, Table 1: w 1.02 m,
    # c 0.08 m, tilt pi/10, rF 0.35 m, rR 0.30 m; offset and normal trail as the PyPI package
    # BicycleParameters works them out: 0.0320714267 m and 0.0760845213 m.
    p = BENCHMARK
    offset = fork_offset_mm(wheel_radius_mm=1e3 * p["rF"], rake_rad=p["lam"], trail_mm=1e3 * p["c"])
    assert offset == pytest.approx(32.0714267, abs=5e-8)
    ground, normal = trail(p["rF"], p["lam"], float(offset) / 1e3)
    at = pose(bicycle(p), 0.0, 0.0)
    assert at.trail_mm == pytest.approx(1e3 * ground, abs=1e-10)
    assert at.trail_mm * np.cos(at.rake_rad) == pytest.approx(76.0845213, abs=5e-8)
    assert at.trail_mm * np.cos(at.rake_rad) == pytest.approx(1e3 * normal, abs=1e-10)


def test_benchmark_with_a_shorter_fork() -> None:
    # The same bicycle, fork shortened by 10, 20 and 30 mm: tilt, wheelbase and trail from the
    # package's own closure of the frame.
    at = pose(bicycle(BENCHMARK), [10.0, 20.0, 30.0], 0.0)
    assert np.degrees(at.rake_rad) == pytest.approx([17.46428, 16.92565, 16.38416], abs=5e-6)
    assert at.wheelbase_mm == pytest.approx([1017.422, 1014.936, 1012.542], abs=5e-4)
    assert at.trail_mm == pytest.approx([76.494, 72.986, 69.477], abs=5e-4)


@pytest.mark.parametrize("p", [BENCHMARK, RIDDEN], ids=["benchmark", "measured"])
@pytest.mark.parametrize("shorter_mm", [-40.0, 0.0, 15.0, 50.0, 110.0])
def test_any_fork_length(p: dict[str, float], shorter_mm: float) -> None:
    # BicycleParameters: tilt from the frame's offsets a and b and the length c along the
    # steering axis (Kooijman's measuring method), found by a root search; then its trail.
    at0, b = pose(bicycle(p), 0.0, 0.0), 1e-3 * bicycle(p).fork_offset_mm
    sin, cos = np.sin(p["lam"]), np.cos(p["lam"])
    along = np.array([p["w"], p["rF"] - p["rR"]])
    a, c = along @ [cos, sin] - b, along @ [sin, -cos] - 1e-3 * shorter_mm
    exact = [ufloat(v, 1e-15) for v in (p["rF"], p["rR"], a, b, c)]
    tilt = lambda_from_abc(*exact).nominal_value
    at = pose(bicycle(p), shorter_mm, 0.0)
    assert at.rake_rad == pytest.approx(tilt, abs=1e-9)
    assert at.wheelbase_mm == pytest.approx(
        1e3 * ((a + b) * np.cos(tilt) + c * np.sin(tilt)), abs=1e-6
    )
    assert at.trail_mm == pytest.approx(1e3 * trail(p["rF"], tilt, b)[0], abs=1e-6)
    assert at0.rake_rad == pytest.approx(p["lam"], abs=1e-15)


def test_tilt_per_fork_length() -> None:
    # Derived from the closure: d(tilt)/d(fork) = -cos(tilt)/w per mm of shortening.
    step = 1e-3
    at = pose(bicycle(BENCHMARK), [-step, step], 0.0)
    slope = (at.rake_rad[1] - at.rake_rad[0]) / (2 * step)
    assert slope == pytest.approx(-np.cos(BENCHMARK["lam"]) / 1020.0, rel=1e-8)


@pytest.mark.parametrize(("rake_deg", "factor"), [(24.0, 1.19823), (27.5, 1.27099)])
def test_fork_in_its_clamps(rake_deg: float, factor: float) -> None:
    # Derived from two right triangles: an inclined slider is 1/cos^2 as stiff upright, which is
    # 1.19823 at 24 deg and 1.27099 at 27.5 deg. A trace of a load over the front wheel of a
    # machine whose rear is locked; more load would turn the fork and add a second-order term.
    locked = Shock(rate_n_mm=1e9, preload_mm=0.0, stroke_mm=300.0)
    machine = plain_machine(
        rake_rad=np.radians(rake_deg),
        fork=Fork(rate_n_mm=9.0, preload_mm=0.0, stroke_mm=300.0),
        shock=locked,
    )
    load = Body([1e-4, 2e-4], 1440.0, 345.0)
    rest = equilibrium(machine, load)
    sunk = -np.diff(rest.pose.height(1440.0, 345.0))  # where the axle was, fixed to the frame
    rate = np.diff(rest.front_load_n) / sunk
    assert rate / 9.0 == pytest.approx(factor, abs=1e-5)
