"""Owns the units that may be typed though no unit system shows them, and the one pint registry.

Every name given to pint is a constant of this module: typed text is only looked up here. The
registry takes a third of a second to build, so it is built when the first such unit is typed.
"""

from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING

from fitplanner.quantities.units import Kind

if TYPE_CHECKING:
    from pint import UnitRegistry

_CANONICAL = {
    Kind.LENGTH: "millimeter",
    Kind.AREA: "millimeter ** 2",
    Kind.VOLUME: "milliliter",
    Kind.CAPACITY: "liter",
    Kind.MASS: "kilogram",
    Kind.FORCE: "newton",
    Kind.SPRING_RATE: "newton / millimeter",
    Kind.PRESSURE: "kilopascal",
}

# Keys are folded as `parsing` folds typed symbols: lower case, single spaces, "2" for a square.
FOREIGN_UNITS: dict[Kind, dict[str, str]] = {
    Kind.LENGTH: {"m": "meter"},
    Kind.AREA: {"cm2": "centimeter ** 2"},
    Kind.VOLUME: {
        "l": "liter",
        "dl": "deciliter",
        "cl": "centiliter",
        "us fl oz": "US_fluid_ounce",
        "imp fl oz": "imperial_fluid_ounce",
    },
    Kind.CAPACITY: {"ml": "milliliter", "imp gal": "imperial_gallon"},
    Kind.MASS: {"g": "gram", "oz": "avoirdupois_ounce", "st": "stone"},
    Kind.FORCE: {"kn": "kilonewton", "kgf": "kilogram_force"},
    Kind.SPRING_RATE: {
        "n/m": "newton / meter",
        "n/cm": "newton / centimeter",
        "kn/m": "kilonewton / meter",
        "kgf/cm": "kilogram_force / centimeter",
    },
    Kind.PRESSURE: {
        "bar": "bar",
        "mbar": "millibar",
        "mpa": "megapascal",
        "atm": "standard_atmosphere",
        "kgf/cm2": "kilogram_force / centimeter ** 2",
    },
}


@cache
def _registry() -> "UnitRegistry[Decimal]":
    """The registry, with decimal arithmetic so that factors which are round stay round."""
    import pint  # deferred: see the module's docstring

    return pint.UnitRegistry(non_int_type=Decimal)


@cache
def foreign_factor(kind: Kind, symbol: str) -> float:
    """Canonical units of `kind` in one `symbol`, a key of `FOREIGN_UNITS[kind]`.

    Raises KeyError for any other symbol.
    """
    quantity = _registry().Quantity(Decimal(1), FOREIGN_UNITS[kind][symbol])
    return float(quantity.to(_CANONICAL[kind]).magnitude)
