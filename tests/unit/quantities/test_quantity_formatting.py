"""How canonical values are written."""

import math

import pytest

from fitplanner.quantities import (
    Kind,
    UnitSystem,
    format_for_entry,
    format_inches_fraction,
    format_quantity,
    unit_label,
)

METRIC, KGF, INCH = UnitSystem.METRIC, UnitSystem.METRIC_KGF, UnitSystem.INCH
MINUS = "\N{MINUS SIGN}"

# Digits: common practice, no source. Conversions worked by hand from the defined factors.
SHOWN = [
    (870.4, Kind.LENGTH, METRIC, "870 mm"),
    (870.4, Kind.LENGTH, INCH, "34.27 in"),
    (57.5, Kind.MASS, KGF, "57.5 kg"),
    (57.5, Kind.MASS, INCH, "127 lb"),
    (4.2, Kind.SPRING_RATE, METRIC, "4.20 N/mm"),
    (52.04, Kind.SPRING_RATE, METRIC, "52.0 N/mm"),
    (4.2, Kind.SPRING_RATE, KGF, "0.43 kgf/mm"),
    (4.2, Kind.SPRING_RATE, INCH, "24.0 lbf/in"),
    (27.5, Kind.ANGLE, INCH, "27.5°"),
    (340.2, Kind.VOLUME, INCH, "340 mL"),
    (9.5, Kind.CAPACITY, METRIC, "9.5 L"),
    (9.5, Kind.CAPACITY, INCH, "2.51 US gal"),
    (0.334, Kind.PERCENT, METRIC, "33 %"),
    (2.85, Kind.RATIO, METRIC, "2.85"),
    (200.0, Kind.FORCE, METRIC, "200 N"),
    (200.0, Kind.FORCE, INCH, "45 lbf"),
    (101.325, Kind.PRESSURE, METRIC, "101 kPa"),
    (101.325, Kind.PRESSURE, INCH, "14.7 psi"),
    (645.16, Kind.AREA, INCH, "1.00 in²"),
]


@pytest.mark.parametrize(("value", "kind", "system", "expected"), SHOWN)
def test_usual_digits(value: float, kind: Kind, system: UnitSystem, expected: str) -> None:
    assert format_quantity(value, kind, system) == expected


def test_options() -> None:
    length = Kind.LENGTH
    assert format_quantity(-50.8, length, METRIC) == f"{MINUS}51 mm"
    assert format_quantity(50.8, length, METRIC, signed=True) == "+51 mm"
    assert format_quantity(0.2, length, METRIC, signed=True) == "0 mm"
    assert format_quantity(-0.2, length, METRIC) == "0 mm"
    assert format_quantity(50.84, length, METRIC, decimals=1, decimal_mark=",") == "50,8 mm"
    assert format_quantity(50.84, length, METRIC, with_unit=False) == "51"
    assert format_quantity(1234567.0, length, METRIC) == "1234567 mm"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_value_that_is_not_known_is_a_dash(value: float) -> None:
    assert format_quantity(value, Kind.LENGTH, METRIC) == "\N{EN DASH}"
    assert format_inches_fraction(value) == "\N{EN DASH}"


def test_entry_text_has_no_needless_zeros() -> None:
    assert format_for_entry(870.0, Kind.LENGTH, METRIC) == "870"
    assert format_for_entry(57.1499, Kind.LENGTH, METRIC) == "57.15"
    assert format_for_entry(12.5, Kind.LENGTH, METRIC, decimal_mark=",") == "12,5"
    assert format_for_entry(-1.5875, Kind.LENGTH, INCH) == f"{MINUS}0.062"
    assert format_for_entry(100.0, Kind.MASS, METRIC) == "100"


@pytest.mark.parametrize(
    ("value_mm", "denominator", "expected"),
    [
        (927.1, 16, "36 1/2 in"),
        (914.4, 16, "36 in"),
        (0.0, 16, "0 in"),
        (12.7, 16, "1/2 in"),
        (-57.15, 16, f"{MINUS}2 1/4 in"),
        (0.5, 16, "0 in"),
        (-0.5, 16, "0 in"),
        (25.3, 16, "1 in"),
        (25.4 * 3 / 32, 32, "3/32 in"),
        (927.1, 1, "36 in"),
    ],
)
def test_tape_fractions(value_mm: float, denominator: int, expected: str) -> None:
    assert format_inches_fraction(value_mm, denominator) == expected


def test_a_tape_has_only_halved_marks() -> None:
    with pytest.raises(ValueError, match="1/10"):
        format_inches_fraction(10.0, 10)


def test_only_a_ratio_has_no_label() -> None:
    for system in UnitSystem:
        for kind in Kind:
            assert bool(unit_label(kind, system)) == (kind is not Kind.RATIO)
