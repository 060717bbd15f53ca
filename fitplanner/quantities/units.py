"""Owns the kinds of quantity and the units in which each unit system shows them.

The canonical unit of a kind is the one used everywhere inside the program; a display unit's
factor is the canonical amount in one of it. All factors here are exact by definition (the inch,
the pound and the standard gravity are defined numbers), so that start-up needs no unit library.
Refuses: reading text, and units that are not shown anywhere (`foreign` has those).
"""

import math
from dataclasses import dataclass
from enum import StrEnum

MM_PER_INCH = 25.4
MM_PER_FOOT = 304.8
KG_PER_POUND = 0.45359237
NEWTON_PER_KGF = 9.80665
NEWTON_PER_LBF = 4.4482216152605
N_PER_MM_PER_LBF_PER_IN = NEWTON_PER_LBF / MM_PER_INCH
KPA_PER_PSI = NEWTON_PER_LBF / MM_PER_INCH**2 * 1000.0
L_PER_US_GALLON = 231 * MM_PER_INCH**3 / 1e6
DEGREE_PER_RAD = 180.0 / math.pi


class Kind(StrEnum):
    """What a number measures; the comment gives the canonical unit."""

    LENGTH = "length"  # mm
    AREA = "area"  # mm2
    VOLUME = "volume"  # mL
    CAPACITY = "capacity"  # L, tanks
    MASS = "mass"  # kg
    FORCE = "force"  # N
    SPRING_RATE = "spring rate"  # N/mm, also for tyres and wheel rates
    PRESSURE = "pressure"  # kPa
    ANGLE = "angle"  # degrees, as documents hold them
    PERCENT = "percentage"  # fraction of one
    RATIO = "ratio"  # plain number


class UnitSystem(StrEnum):
    """The shop's choice of units."""

    METRIC = "metric"  # mm, kg, N/mm
    METRIC_KGF = "metric_kgf"  # mm, kg, kgf/mm
    INCH = "inch"  # in, lb, lbf/in


@dataclass(frozen=True, slots=True)
class DisplayUnit:
    """A unit as shown: its label, size in canonical units, digits and step.

    `decimals` is what a reader needs, `entry_decimals` what a typed figure may carry. Values
    smaller than `fine_below` (in this unit) get one decimal more. `step` is in this unit.
    """

    label: str
    factor: float
    decimals: int
    entry_decimals: int
    step: float
    fine_below: float = 0.0


_MM = DisplayUnit("mm", 1.0, 0, 2, 1.0)
_INCH = DisplayUnit("in", MM_PER_INCH, 2, 3, 0.1)
_MM2 = DisplayUnit("mm²", 1.0, 0, 2, 10.0)
_IN2 = DisplayUnit("in²", MM_PER_INCH**2, 2, 4, 0.01)
_ML = DisplayUnit("mL", 1.0, 0, 1, 1.0)
_L = DisplayUnit("L", 1.0, 1, 2, 0.5)
_US_GALLON = DisplayUnit("US gal", L_PER_US_GALLON, 2, 3, 0.1)
_KG = DisplayUnit("kg", 1.0, 1, 2, 0.5)
_LB = DisplayUnit("lb", KG_PER_POUND, 0, 1, 1.0)
_N = DisplayUnit("N", 1.0, 0, 2, 10.0)
_LBF = DisplayUnit("lbf", NEWTON_PER_LBF, 0, 2, 1.0)
_N_MM = DisplayUnit("N/mm", 1.0, 1, 3, 0.1, fine_below=10.0)
_KGF_MM = DisplayUnit("kgf/mm", NEWTON_PER_KGF, 2, 4, 0.01)
_LBF_IN = DisplayUnit("lbf/in", N_PER_MM_PER_LBF_PER_IN, 1, 2, 1.0)
_KPA = DisplayUnit("kPa", 1.0, 0, 2, 5.0)
_PSI = DisplayUnit("psi", KPA_PER_PSI, 1, 2, 1.0)
_DEGREE = DisplayUnit("°", 1.0, 1, 3, 0.1)
_PERCENT = DisplayUnit("%", 0.01, 0, 2, 1.0)
_PLAIN = DisplayUnit("", 1.0, 2, 4, 0.05)

_METRIC: dict[Kind, DisplayUnit] = {
    Kind.LENGTH: _MM,
    Kind.AREA: _MM2,
    Kind.VOLUME: _ML,
    Kind.CAPACITY: _L,
    Kind.MASS: _KG,
    Kind.FORCE: _N,
    Kind.SPRING_RATE: _N_MM,
    Kind.PRESSURE: _KPA,
    Kind.ANGLE: _DEGREE,
    Kind.PERCENT: _PERCENT,
    Kind.RATIO: _PLAIN,
}
# Suspension oil is sold, measured and written in mL (cc) in inch workshops too.
_INCHES: dict[Kind, DisplayUnit] = {
    Kind.LENGTH: _INCH,
    Kind.AREA: _IN2,
    Kind.CAPACITY: _US_GALLON,
    Kind.MASS: _LB,
    Kind.FORCE: _LBF,
    Kind.SPRING_RATE: _LBF_IN,
    Kind.PRESSURE: _PSI,
}
_SYSTEMS: dict[UnitSystem, dict[Kind, DisplayUnit]] = {
    UnitSystem.METRIC: _METRIC,
    UnitSystem.METRIC_KGF: _METRIC | {Kind.SPRING_RATE: _KGF_MM},
    UnitSystem.INCH: _METRIC | _INCHES,
}


def display_unit(kind: Kind, system: UnitSystem) -> DisplayUnit:
    """The unit in which `system` shows `kind`."""
    return _SYSTEMS[system][kind]


def unit_label(kind: Kind, system: UnitSystem) -> str:
    """The unit's label, such as "mm"; empty for a ratio."""
    return display_unit(kind, system).label


def to_display(value: float, kind: Kind, system: UnitSystem) -> float:
    """A canonical value in the unit that `system` shows."""
    return value / display_unit(kind, system).factor


def from_display(value: float, kind: Kind, system: UnitSystem) -> float:
    """The canonical value of a number in the unit that `system` shows."""
    return value * display_unit(kind, system).factor
