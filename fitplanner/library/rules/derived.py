"""Quantities that a rule may rest on where a coefficient times a figure will not do.

Owns a few named pure functions: geometry of steering and stand, volumes of the fork, spring
rates that hold a common rider at a common sag. Each says which figures and settings it takes; a
setting's number stands in the rule. Refuses to know rules.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import cos, pi, radians, sin, tan
from typing import Protocol

import numpy as np

from fitplanner.documents.machine import CatalogueState, LeverageTable, LinkagePoints
from fitplanner.library.linkage import leverage_curve
from fitplanner.mechanics.leverage import LeverageCurve
from fitplanner.mechanics.machine import weight_n
from fitplanner.mechanics.units import Fork, Shock

Address = tuple[str, str]


class Known(Protocol):
    """The figures of a profile in the making: canonical units, angles in degrees."""

    @property
    def state(self) -> CatalogueState:
        """The state in which heights were taken."""

    @property
    def spring_legs(self) -> int:
        """Fork legs that hold a spring."""

    @property
    def linkage(self) -> LeverageTable | LinkagePoints:
        """Drawn joints or the table."""

    def __call__(self, section: str, key: str) -> float:
        """One figure."""


Settings = Mapping[str, float]


@dataclass(frozen=True)
class Derived:
    """One quantity: what it rests on, the names of its settings, and the function."""

    needs: tuple[Address, ...]
    settings: tuple[str, ...]
    compute: Callable[[Known, Settings], float]


def _needs(*names: str) -> tuple[Address, ...]:
    pairs = (name.partition(".") for name in names)
    return tuple((section, key) for section, _, key in pairs)


def _trail_mm(value: Known, given: Settings) -> float:
    """Trail of a rigid front wheel with the axle `offset_mm` ahead of the steering axis."""
    rake = radians(value("catalogue", "rake_deg"))
    radius = value("wheels", "front_radius_mm")
    return (radius * sin(rake) - given["offset_mm"]) / cos(rake)


def _sunk(value: Known, given: Settings) -> float:
    """Share of the travel that is used up in the catalogue state."""
    shares = {
        CatalogueState.EXTENDED: 0.0,
        CatalogueState.ON_WHEELS: given["on_wheels"],
        CatalogueState.RIDER_UP: given["rider_up"],
    }
    return shares[value.state]


def _rear_sink_mm(value: Known, given: Settings) -> float:
    """How far the rear axle has risen in the catalogue state; settings as shares of travel."""
    return _sunk(value, given) * value("rear", "travel_mm")


def _stanchion_area_mm2(value: Known, given: Settings) -> float:
    return pi / 4 * value("fork", "stanchion_diameter_mm") ** 2


def _air_for_squeeze_ml(value: Known, given: Settings) -> float:
    """Air left in one leg so that a whole stroke squeezes it `squeeze` times."""
    swept = value("fork", "displaced_area_mm2") * value("fork", "travel_mm") * 1e-3
    return swept / max(given["squeeze"] - 1.0, 0.1)


def _oil_level_mm(value: Known, given: Settings) -> float:
    """Room over the oil, spring out: the air left and the `spring_ml` that the spring fills."""
    room = value("fork", "air_volume_bottomed_ml") + given["spring_ml"]
    return room * 1e3 / value("fork", "oil_surface_mm2")


def _front_n(value: Known, rider_kg: float) -> float:
    """Sprung load at the front contact with a rider at the seat point."""
    along = value("seat", "x_mm") / value("catalogue", "wheelbase_mm")
    own = value("masses", "running_order_kg") * value("masses", "front_share")
    return float(weight_n(own + rider_kg * along - value("masses", "front_unsprung_kg")))


def _rear_n(value: Known, rider_kg: float) -> float:
    along = value("seat", "x_mm") / value("catalogue", "wheelbase_mm")
    own = value("masses", "running_order_kg") * (1 - value("masses", "front_share"))
    return float(weight_n(own + rider_kg * (1 - along) - value("masses", "rear_unsprung_kg")))


def _fork_rate_n_mm(value: Known, given: Settings) -> float:
    """Rate of one fork spring that holds `rider_kg` (with gear) at `sag_share` of the travel.

    Frictionless; air at rest beside the spring.
    """
    travel = value("fork", "travel_mm")
    fork = Fork(
        rate_n_mm=0.0,
        preload_mm=0.0,
        stroke_mm=travel,
        air_area_mm2=2 * value("fork", "displaced_area_mm2"),
        air_bottomed_ml=2 * value("fork", "air_volume_bottomed_ml"),
    )
    sag = given["sag_share"] * travel
    along_n = _front_n(value, given["rider_kg"]) * cos(radians(value("catalogue", "rake_deg")))
    spring_n = along_n - float(fork.force(np.array(sag))[0])
    return spring_n / (sag + value("fork", "preload_mm")) / value.spring_legs


def _leverage(value: Known) -> LeverageCurve:
    """The curve; drawn joints are taken with the axle hanging as the pivot's height tells.

    In the catalogue state a tenth of the travel counts as used on its wheels, a third with a
    rider: a few mm more or less do not turn the arm enough to matter here.
    """
    sink = _rear_sink_mm(value, {"on_wheels": 0.1, "rider_up": 1 / 3})
    curve = leverage_curve(
        value.linkage,
        travel_mm=value("rear", "travel_mm"),
        arm_length_mm=value("rear", "arm_length_mm"),
        axle_low_mm=value("wheels", "rear_radius_mm") - value("rear", "pivot_height_mm") - sink,
    )
    return curve.scaled(1 / value("rear", "leverage_factor"))


def _shock_stroke_mm(value: Known, given: Settings) -> float:
    return float(_leverage(value).evaluate(value("rear", "travel_mm"))[0])


def _shock_rate_n_mm(value: Known, given: Settings) -> float:
    """Rate of a shock spring that holds `rider_kg` (with gear) at `sag_share` of the travel."""
    stroke, ratio, _ = _leverage(value).evaluate(given["sag_share"] * value("rear", "travel_mm"))
    rod_mm2 = pi / 4 * value("rear", "rod_diameter_mm") ** 2
    shock = Shock(
        rate_n_mm=0.0,
        preload_mm=0.0,
        stroke_mm=_shock_stroke_mm(value, given),
        gas_force_n=value("rear", "gas_pressure_kpa") * rod_mm2 * 1e-3,
    )
    spring_n = _rear_n(value, given["rider_kg"]) / float(ratio) - float(shock.force(stroke)[0])
    return spring_n / (float(stroke) + value("rear", "preload_mm"))


def _stand_length_mm(value: Known, given: Settings) -> float:
    """Stand on which the machine leans `lean_deg`, with its pivot raised as on its stand.

    Parked, about a third of the weight is off the wheels: the pivot stands higher than on its
    wheels by `rise` as a share of the rear travel. Source: the lean's own equation,
    tan(lean) = (z - L cos a) / (y + L sin a), a thin tyre.
    """
    travel = value("rear", "travel_mm")
    sunk = _sunk(value, {"on_wheels": given["on_wheels"], "rider_up": given["rider_up"]})
    up = (sunk - given["parked"]) * travel
    angle, slope = radians(value("stand", "angle_deg")), tan(radians(given["lean_deg"]))
    height = value("stand", "pivot_z_mm") + up - slope * value("stand", "pivot_y_mm")
    return height / (cos(angle) + slope * sin(angle))


_LOADS = (
    "masses.running_order_kg",
    "masses.front_share",
    "seat.x_mm",
    "catalogue.wheelbase_mm",
)
_LEVERAGE = (
    "rear.travel_mm",
    "rear.leverage_factor",
    "rear.arm_length_mm",
    "rear.pivot_height_mm",
    "wheels.rear_radius_mm",
)
_SINK = ("on_wheels", "rider_up")

DERIVED: dict[str, Derived] = {
    "trail_mm": Derived(
        _needs("catalogue.rake_deg", "wheels.front_radius_mm"), ("offset_mm",), _trail_mm
    ),
    "rear_sink_mm": Derived(_needs("rear.travel_mm"), _SINK, _rear_sink_mm),
    "stanchion_area_mm2": Derived(_needs("fork.stanchion_diameter_mm"), (), _stanchion_area_mm2),
    "air_for_squeeze_ml": Derived(
        _needs("fork.displaced_area_mm2", "fork.travel_mm"), ("squeeze",), _air_for_squeeze_ml
    ),
    "oil_level_mm": Derived(
        _needs("fork.air_volume_bottomed_ml", "fork.oil_surface_mm2"), ("spring_ml",), _oil_level_mm
    ),
    "fork_rate_n_mm": Derived(
        _needs(
            *_LOADS,
            "masses.front_unsprung_kg",
            "catalogue.rake_deg",
            "fork.travel_mm",
            "fork.preload_mm",
            "fork.displaced_area_mm2",
            "fork.air_volume_bottomed_ml",
        ),
        ("sag_share", "rider_kg"),
        _fork_rate_n_mm,
    ),
    "shock_stroke_mm": Derived(_needs(*_LEVERAGE), (), _shock_stroke_mm),
    "shock_rate_n_mm": Derived(
        _needs(
            *_LOADS,
            *_LEVERAGE,
            "masses.rear_unsprung_kg",
            "rear.preload_mm",
            "rear.gas_pressure_kpa",
            "rear.rod_diameter_mm",
        ),
        ("sag_share", "rider_kg"),
        _shock_rate_n_mm,
    ),
    "stand_length_mm": Derived(
        _needs("rear.travel_mm", "stand.angle_deg", "stand.pivot_y_mm", "stand.pivot_z_mm"),
        ("lean_deg", "parked", *_SINK),
        _stand_length_mm,
    ),
}
"""Every quantity by the name under which a rule's term asks for it."""
