"""Random machines for the solver's tests: invented numbers, drawn from a seed.

A draw holds a leverage table per machine, so that a test can build its own curve from it.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from fitplanner.mechanics.leverage import LeverageCurve, table_curve
from fitplanner.mechanics.machine import Body, Machine, map_lanes
from fitplanner.mechanics.units import Fork, Shock

KNOTS_MM = np.linspace(0.0, 340.0, 8)


@dataclass(frozen=True)
class Draw:
    """Machines as lanes, what their springs carry, and the leverage over `KNOTS_MM`."""

    machine: Machine
    sprung: Body
    leverage: NDArray[np.float64]


def stacked_curve(leverage: NDArray[np.float64]) -> LeverageCurve:
    """One curve with a lane per row of a table over `KNOTS_MM`."""
    curves = [table_curve(KNOTS_MM, row) for row in leverage]
    return LeverageCurve(
        KNOTS_MM,
        np.stack([c.cubic for c in curves], axis=1),
        np.stack([c.shock_mm for c in curves]),
    )


def lane(item: Any, index: int) -> Any:
    """One lane of a machine or a body, as plain numbers."""
    return map_lanes(item, lambda a: a[index])


def lanes(item: Any, index: Any) -> Any:
    """Some lanes of a machine or a body."""
    return map_lanes(item, lambda a: a[index])


def random_machines(seed: int, count: int, *, extreme: bool = False) -> Draw:
    """Machines from a light child's to a loaded tourer; `extreme` goes far past sense.

    A few carry so far back that the front hangs, some to the wheel's being lifted.
    """
    rng = np.random.default_rng(seed)

    def between(low: Any, high: Any) -> NDArray[np.float64]:
        return rng.uniform(low, high, count)

    def some(share: float, first: Any, second: Any) -> NDArray[np.float64]:
        return np.where(rng.random(count) < share, first, second)

    wheelbase, rake = between(1150, 1550), np.radians(between(22, 31))
    front_radius, rear_radius = between(250, 360), between(240, 360)
    fork_travel, rear_travel = between(120, 320), between(120, 330)
    arm, low = between(430, 640), -between(0.2, 0.6) * rear_travel - between(0, 40)
    level = low + 0.33 * rear_travel  # the axle's height over the pivot at a third of travel
    share = KNOTS_MM / KNOTS_MM[-1]
    progression, bend = between(-0.1, 0.35)[:, None], between(-0.05, 0.05)[:, None]
    leverage = between(1.9, 3.4)[:, None] * (1 - progression * share + bend * share**2)
    table = PchipInterpolator(KNOTS_MM, 1 / leverage, axis=1).antiderivative()
    stroke = np.array([table(travel)[i] for i, travel in enumerate(rear_travel)])

    air_bottomed, air_area = between(60, 400), some(0.7, between(1000, 3500), 0.0)
    fork = {
        "rate_n_mm": between(3, 12),
        "preload_mm": between(0, 30),
        "stroke_mm": fork_travel,
        "cut_mm": some(0.5, between(0, 0.4) * fork_travel, 0.0),
        "friction_n": some(0.3, between(-60, 60), 0.0),
        "air_area_mm2": air_area,
        "air_bottomed_ml": air_bottomed,
        "air_exponent": some(0.5, 1.0, between(1.01, 1.35)),
        "top_out_length_mm": between(0, 25),
        "top_out_rate_n_mm": some(0.7, between(0, 40), 0.0),
    }
    shock = {
        "rate_n_mm": between(25, 150),
        "preload_mm": between(0, 25),
        "stroke_mm": stroke,
        "cut_mm": some(0.5, between(0, 0.4) * stroke, 0.0),
        "friction_n": some(0.3, between(-150, 150), 0.0),
        "gas_force_n": some(0.7, between(0, 400), 0.0),
        "bump_length_mm": between(0, 20),
        "bump_rate_n_mm": some(0.7, between(0, 400), 0.0),
    }
    front_tyre = some(0.8, between(60, 250), np.inf)
    rear_tyre = some(0.8, between(60, 250), np.inf)
    mass = between(55, 220) + some(0.7, between(0, 130), 0.0)
    x = some(0.94, between(0.3, 0.62), between(-0.15, 0.10)) * wheelbase
    z = between(450, 1000)
    if extreme:
        fork["rate_n_mm"] = some(0.2, between(1, 3), fork["rate_n_mm"])
        fork["preload_mm"] = some(0.3, between(-50, 400), fork["preload_mm"])
        fork["air_bottomed_ml"] = some(0.3, between(-400, 20), air_bottomed)
        fork["cut_mm"] = some(0.2, some(0.5, 1.0, 0.999) * fork_travel, fork["cut_mm"])
        fork["top_out_rate_n_mm"] = some(0.2, between(0, 500), fork["top_out_rate_n_mm"])
        shock["preload_mm"] = some(0.3, between(-20, 200), shock["preload_mm"])
        shock["cut_mm"] = some(0.2, some(0.5, 1.0, 0.999) * stroke, shock["cut_mm"])
        shock["bump_rate_n_mm"] = some(0.2, between(0, 5000), shock["bump_rate_n_mm"])
        mass = some(0.2, between(1, 20), mass)
        x = some(0.3, between(-0.5, 1.5) * wheelbase, x)
        z = some(0.2, between(0, 1300), z)
        front_tyre = some(0.1, between(8, 40), front_tyre)
        rear_tyre = some(0.1, between(8, 40), rear_tyre)
    machine = Machine(
        front_axle_x_mm=wheelbase + np.sin(rake) * 0.33 * fork_travel,
        front_axle_z_mm=front_radius - np.cos(rake) * 0.33 * fork_travel,
        rake_rad=rake,
        fork_offset_mm=between(20, 60),
        pivot_x_mm=np.sqrt(arm**2 - level**2),
        pivot_z_mm=rear_radius - level,
        arm_length_mm=arm,
        axle_low_mm=low,
        front_radius_mm=front_radius,
        rear_radius_mm=rear_radius,
        front_tyre_n_mm=front_tyre,
        rear_tyre_n_mm=rear_tyre,
        front_unsprung_kg=between(6, 22),
        rear_unsprung_kg=between(7, 28),
        sprung=Body(mass, x, z),
        fork=Fork(**fork),
        shock=Shock(**shock),
        leverage=stacked_curve(leverage),
        raise_mm=some(0.3, between(0, 15), 0.0),
    )
    return Draw(machine, Body(mass, x, z), leverage)


def plain_machine(
    *,
    wheelbase_mm: float = 1440.0,
    rake_rad: float = 0.47,
    trail_mm: float = 105.0,
    front_radius_mm: float = 345.0,
    rear_radius_mm: float = 340.0,
    **changes: Any,
) -> Machine:
    """A machine that stands as given with both ends fully out, on rigid tyres.

    The swing-arm is level there and the leverage is 1 throughout.
    """
    curve = table_curve([0.0, 400.0], [1.0, 1.0])
    figures: dict[str, Any] = {
        "front_axle_x_mm": wheelbase_mm,
        "front_axle_z_mm": front_radius_mm,
        "rake_rad": rake_rad,
        "fork_offset_mm": front_radius_mm * np.sin(rake_rad) - trail_mm * np.cos(rake_rad),
        "pivot_x_mm": 590.0,
        "pivot_z_mm": rear_radius_mm,
        "arm_length_mm": 590.0,
        "axle_low_mm": 0.0,
        "front_radius_mm": front_radius_mm,
        "rear_radius_mm": rear_radius_mm,
        "front_tyre_n_mm": np.inf,
        "rear_tyre_n_mm": np.inf,
        "front_unsprung_kg": 0.0,
        "rear_unsprung_kg": 0.0,
        "sprung": Body(100.0, 0.5 * wheelbase_mm, 700.0),
        "fork": Fork(rate_n_mm=9.0, preload_mm=0.0, stroke_mm=300.0),
        "shock": Shock(rate_n_mm=9.0, preload_mm=0.0, stroke_mm=300.0),
        "leverage": curve,
    }
    return Machine(**(figures | changes))
