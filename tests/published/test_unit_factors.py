"""Unit factors against published tables and against an independent unit library."""

import math
from decimal import Decimal

import pint
import pytest

from fitplanner.quantities import Kind, UnitSystem, from_display, parse_quantity
from fitplanner.quantities.foreign import FOREIGN_UNITS

# NIST Special Publication 811 (2008), appendix B.8, in its printed digits turned into the
# canonical units (a power of ten only); figures from memory. Exact ones carry a tolerance of zero
# but for the last binary digit, rounded ones half of their last printed digit.
EXACT = 1e-15
PRINTED = [
    ("1 in", Kind.LENGTH, 25.4, EXACT),
    ("1 ft", Kind.LENGTH, 304.8, EXACT),
    ("1 cm", Kind.LENGTH, 10.0, EXACT),
    ("1 in²", Kind.AREA, 645.16, EXACT),
    ("1 lb", Kind.MASS, 0.45359237, EXACT),
    ("1 oz", Kind.MASS, 0.02834952, 2e-7),
    ("1 lbf", Kind.FORCE, 4.448222, 2e-7),
    ("1 kgf", Kind.FORCE, 9.80665, EXACT),
    ("1 kgf/mm", Kind.SPRING_RATE, 9.80665, EXACT),
    ("1 lbf/in", Kind.SPRING_RATE, 0.1751268, 3e-7),
    ("1 psi", Kind.PRESSURE, 6.894757, 1e-7),
    ("1 bar", Kind.PRESSURE, 100.0, EXACT),
    ("1 atm", Kind.PRESSURE, 101.325, EXACT),
    ("1 kgf/cm²", Kind.PRESSURE, 98.0665, EXACT),
    ("1 US fl oz", Kind.VOLUME, 29.57353, 2e-7),
    ("1 imp fl oz", Kind.VOLUME, 28.41306, 2e-7),
    ("1 L", Kind.VOLUME, 1000.0, EXACT),
    ("1 US gal", Kind.CAPACITY, 3.785412, 2e-7),
    ("1 imp gal", Kind.CAPACITY, 4.54609, EXACT),
    ("1 rad", Kind.ANGLE, 57.29578, 3e-7),
]


@pytest.mark.parametrize(("text", "kind", "expected", "tolerance"), PRINTED)
def test_typed_units_match_the_printed_table(
    text: str, kind: Kind, expected: float, tolerance: float
) -> None:
    value = parse_quantity(text, kind, UnitSystem.METRIC)
    assert value == pytest.approx(expected, rel=tolerance, abs=0.0)


def test_the_yard_and_pound_agreement_gives_the_spring_rate_to_nine_digits() -> None:
    # International yard and pound agreement of 1959 with standard gravity (CGPM 1901):
    # 1 lbf/in = 0.45359237 kg x 9.80665 m/s2 / 25.4 mm, worked in decimals.
    exact = Decimal("0.45359237") * Decimal("9.80665") / Decimal("25.4")
    value = from_display(1.0, Kind.SPRING_RATE, UnitSystem.INCH)
    assert value == pytest.approx(float(exact), rel=1e-15)
    assert round(value, 9) == 0.175126835


def test_a_stone_is_fourteen_pounds() -> None:
    # UK Weights and Measures Act 1985, schedule 1: stone = 14 pounds (from memory).
    fourteen_pounds = parse_quantity("14 lb", Kind.MASS, UnitSystem.METRIC)
    assert parse_quantity("1 st", Kind.MASS, UnitSystem.METRIC) == pytest.approx(
        fourteen_pounds, rel=1e-12
    )


# Reference: pint's own default registry, in binary floats.
SHOWN = [
    (Kind.LENGTH, UnitSystem.METRIC, "mm", "mm"),
    (Kind.LENGTH, UnitSystem.INCH, "inch", "mm"),
    (Kind.AREA, UnitSystem.INCH, "inch ** 2", "mm ** 2"),
    (Kind.VOLUME, UnitSystem.INCH, "mL", "mL"),
    (Kind.CAPACITY, UnitSystem.INCH, "US_liquid_gallon", "liter"),
    (Kind.MASS, UnitSystem.INCH, "pound", "kg"),
    (Kind.FORCE, UnitSystem.INCH, "lbf", "N"),
    (Kind.SPRING_RATE, UnitSystem.METRIC, "N / mm", "N / mm"),
    (Kind.SPRING_RATE, UnitSystem.METRIC_KGF, "kgf / mm", "N / mm"),
    (Kind.SPRING_RATE, UnitSystem.INCH, "lbf / inch", "N / mm"),
    (Kind.PRESSURE, UnitSystem.INCH, "psi", "kPa"),
    (Kind.ANGLE, UnitSystem.METRIC, "degree", "degree"),
]


@pytest.fixture(scope="module")
def reference() -> "pint.UnitRegistry[float]":
    return pint.UnitRegistry()


@pytest.mark.parametrize(("kind", "system", "unit", "canonical"), SHOWN)
def test_shown_units_match_the_reference_library(
    reference: "pint.UnitRegistry[float]",
    kind: Kind,
    system: UnitSystem,
    unit: str,
    canonical: str,
) -> None:
    expected = reference.Quantity(1.0, unit).to(canonical).magnitude
    assert from_display(1.0, kind, system) == pytest.approx(expected, rel=1e-14)


def test_every_foreign_unit_is_finite_and_positive() -> None:
    for kind, symbols in FOREIGN_UNITS.items():
        for symbol in symbols:
            value = parse_quantity(f"1 {symbol}", kind, UnitSystem.METRIC)
            assert math.isfinite(value) and value > 0.0, (kind, symbol)
