"""What may be typed, what may not, and what the refusal says."""

import math
import subprocess
import sys

import pytest

from fitplanner.quantities import Kind, QuantityError, UnitSystem, parse_quantity, units_that_fit

METRIC, KGF, INCH = UnitSystem.METRIC, UnitSystem.METRIC_KGF, UnitSystem.INCH
LENGTH, MASS, RATE, ANGLE = Kind.LENGTH, Kind.MASS, Kind.SPRING_RATE, Kind.ANGLE

# Worked by hand from the defined factors (25.4 mm, 0.45359237 kg, 9.80665 N).
GOOD: list[tuple[str, Kind, UnitSystem, str, float]] = [
    ("870", LENGTH, METRIC, ".", 870.0),
    ("870", LENGTH, INCH, ".", 22098.0),
    ("  870mm ", LENGTH, INCH, ".", 870.0),
    ("+5", LENGTH, METRIC, ".", 5.0),
    ("-5", LENGTH, METRIC, ".", -5.0),
    ("\N{MINUS SIGN}5 mm", LENGTH, METRIC, ".", -5.0),
    (".5", LENGTH, METRIC, ".", 0.5),
    ("5.", LENGTH, METRIC, ".", 5.0),
    ("87.5 cm", LENGTH, METRIC, ".", 875.0),
    ("87,5 cm", LENGTH, METRIC, ",", 875.0),
    ("0,875 m", LENGTH, INCH, ",", 875.0),
    ("34 1/2 in", LENGTH, METRIC, ".", 876.3),
    ("34-1/2 in", LENGTH, METRIC, ".", 876.3),
    ('34½"', LENGTH, METRIC, ".", 876.3),
    ("34 ½", LENGTH, INCH, ",", 876.3),
    ("1/2", LENGTH, INCH, ".", 12.7),
    ("-2 1/4 inches", LENGTH, METRIC, ",", -57.15),
    ("34 1\N{FRACTION SLASH}2 Inch", LENGTH, METRIC, ".", 876.3),
    ("3 ft", LENGTH, METRIC, ".", 914.4),
    ("30in.", LENGTH, METRIC, ".", 762.0),
    ("5 ft. 4 in.", LENGTH, METRIC, ",", 1625.6),
    ("170 lbs.", MASS, METRIC, ".", 170 * 0.45359237),
    ("5 ft 4 in", LENGTH, METRIC, ".", 1625.6),
    ("5' 4\"", LENGTH, METRIC, ".", 1625.6),
    ("5'4 1/2", LENGTH, METRIC, ".", 1638.3),
    ("5\N{PRIME}4½\N{DOUBLE PRIME}", LENGTH, METRIC, ".", 1638.3),
    ("5'-4''", LENGTH, METRIC, ".", 1625.6),
    ("5 ft 4,5 in", LENGTH, METRIC, ",", 1638.3),
    ("57.5\N{NO-BREAK SPACE}kg", MASS, METRIC, ".", 57.5),
    ("57500 g", MASS, METRIC, ".", 57.5),
    ("100 lbs", MASS, METRIC, ".", 45.359237),
    ("9 st 4 lb", MASS, METRIC, ".", 130 * 0.45359237),
    ("4.2", RATE, METRIC, ".", 4.2),
    ("0.42", RATE, KGF, ".", 0.42 * 9.80665),
    ("0.42 kg/mm", RATE, INCH, ".", 0.42 * 9.80665),
    ("0,42 kgf / mm", RATE, METRIC, ",", 0.42 * 9.80665),
    ("4.2 n/MM", RATE, INCH, ".", 4.2),
    ("25.4 lb/in", RATE, METRIC, ".", 4.4482216152605),
    ("27.5 deg", ANGLE, METRIC, ".", 27.5),
    ("27,5°", ANGLE, METRIC, ",", 27.5),
    ("26° 30'", ANGLE, METRIC, ".", 26.5),
    ("0.5 rad", ANGLE, METRIC, ".", math.degrees(0.5)),
    ("340 cc", Kind.VOLUME, INCH, ".", 340.0),
    ("0.34 l", Kind.VOLUME, INCH, ".", 340.0),
    ("9,5 litres", Kind.CAPACITY, INCH, ",", 9.5),
    ("950 ml", Kind.CAPACITY, INCH, ".", 0.95),
    ("33 %", Kind.PERCENT, METRIC, ".", 0.33),
    ("33", Kind.PERCENT, METRIC, ".", 0.33),
    ("2.85:1", Kind.RATIO, METRIC, ".", 2.85),
    ("1.5 bar", Kind.PRESSURE, METRIC, ".", 150.0),
    ("12 cm²", Kind.AREA, METRIC, ".", 1200.0),
    ("12 mm^2", Kind.AREA, METRIC, ".", 12.0),
]


@pytest.mark.parametrize(("text", "kind", "system", "mark", "expected"), GOOD)
def test_good_text(text: str, kind: Kind, system: UnitSystem, mark: str, expected: float) -> None:
    value = parse_quantity(text, kind, system, decimal_mark=mark)
    assert value == pytest.approx(expected, rel=1e-14)


# Each refusal with the words that tell the person what to mend.
BAD: list[tuple[str, Kind, str, str]] = [
    ("", LENGTH, ".", "Nothing is written"),
    ("   ", LENGTH, ".", "Nothing is written"),
    ("57.5.2", LENGTH, ".", "'57.5.2' is not a number: write for example 57.5 mm"),
    ("57,5,2", LENGTH, ",", "'57,5,2' is not a number: write for example 57,5 mm"),
    ("57,5 mm", LENGTH, ".", "decimal mark here is a point: write 57.5, not 57,5"),
    ("57.5 mm", LENGTH, ",", "decimal mark here is a comma: write 57,5, not 57.5"),
    ("1,200", LENGTH, ".", "decimal mark here is a point"),
    ("1,200.5", LENGTH, ".", "without thousands marks"),
    ("1.200,5", LENGTH, ",", "without thousands marks"),
    ("1 200", LENGTH, ".", "more than one number"),
    ("5 - 3", LENGTH, ".", "more than one number"),
    ("5+3", LENGTH, ".", "more than one number"),
    ("5 1/2 1/4", LENGTH, ".", "more than one number"),
    ("5.5 1/2", LENGTH, ".", "more than one number"),
    ("34 1/0", LENGTH, ".", "'1/0' is not a fraction"),
    ("34 3/2", LENGTH, ".", "'3/2' is not a fraction"),
    ("1e3", LENGTH, ".", "'e3'"),
    ("0x10", LENGTH, ".", "'x10'"),
    ("nan", LENGTH, ".", "'nan' is not a number"),
    ("inf", LENGTH, ".", "'inf' is not a number"),
    ("-", LENGTH, ".", "'-' is not a number"),
    (".", LENGTH, ".", "'.' is not a number"),
    ("--5", LENGTH, ".", "'--5' is not a number"),
    ("mm", LENGTH, ".", "'mm' is not a number"),
    ("\N{ARABIC-INDIC DIGIT FIVE}", LENGTH, ".", "is not a number"),
    ("9" * 40, LENGTH, ".", "too large"),
    ("9" * 400, LENGTH, ".", "too long"),
    ("5 kg", LENGTH, ".", "'kg' in '5 kg' is not a unit of length: use mm, cm, m, in or ft"),
    ("5 mm mm", LENGTH, ".", "'mm mm'"),
    ("5 mm 3 in", LENGTH, ".", "'mm 3 in'"),
    ("5 m m", LENGTH, ".", "'m m'"),
    ("5' 14\"", LENGTH, ".", "14 inches is too many: behind feet write fewer than 12"),
    ("5.5 ft 3 in", LENGTH, ".", "not a unit of length"),
    ("9 st 15 lb", MASS, ".", "15 pounds is too many: behind stones write fewer than 14"),
    ("4 N", RATE, ".", "not a unit of spring rate: use N/mm, kgf/mm or lbf/in"),
    ("4 mm", ANGLE, ".", "not a unit of angle"),
    ("26° 30", ANGLE, ".", "not a unit of angle"),
    ("11 fl oz", Kind.VOLUME, ".", "US fl oz or imp fl oz"),
    ("3 gal", Kind.CAPACITY, ".", "3 US gal or 3 imp gal"),
    ("2.85 mm", Kind.RATIO, ".", "use the bare number"),
    ("__import__('os')", LENGTH, ".", "is not a number"),
]


@pytest.mark.parametrize(("text", "kind", "mark", "words"), BAD)
def test_bad_text_is_refused_and_says_why(text: str, kind: Kind, mark: str, words: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, kind, METRIC, decimal_mark=mark)
    assert words in str(caught.value)


def test_minus_nothing_is_plain_nothing() -> None:
    assert math.copysign(1.0, parse_quantity("-0", LENGTH, METRIC)) == 1.0


def test_an_unknown_decimal_mark_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="decimal mark") as caught:
        parse_quantity("5", LENGTH, METRIC, decimal_mark=";")
    assert not isinstance(caught.value, QuantityError)


def test_the_unit_library_is_loaded_only_for_a_unit_seldom_typed() -> None:
    script = (
        "import sys\n"
        "from fitplanner.quantities import *\n"
        "for text in ('870 mm', '87.5 cm', '34 1/2 in', '5 ft 4 in'):\n"
        "    parse_quantity(text, Kind.LENGTH, UnitSystem.INCH)\n"
        "before = 'pint' in sys.modules\n"
        "parse_quantity('0.875 m', Kind.LENGTH, UnitSystem.INCH)\n"
        "print(before, 'pint' in sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.split() == ["False", "True"]


@pytest.mark.parametrize(
    ("text", "kind", "system", "low", "high", "units"),
    [
        ("34", LENGTH, METRIC, 350.0, 1100.0, ("in",)),
        ("40", LENGTH, METRIC, 350.0, 1100.0, ("cm", "in")),
        ("34 1/2", LENGTH, METRIC, 350.0, 1100.0, ("in",)),
        ("87,5", LENGTH, METRIC, 350.0, 1100.0, ()),
        ("780", LENGTH, INCH, 350.0, 1100.0, ("mm",)),
        ("34 mm", LENGTH, METRIC, 350.0, 1100.0, ()),
        ("x", LENGTH, METRIC, 350.0, 1100.0, ()),
        ("-34", LENGTH, METRIC, 350.0, 1100.0, ()),
        ("500", RATE, METRIC, 5.0, 350.0, ("lbf/in",)),
        ("0.48", RATE, METRIC, 1.0, 30.0, ("kgf/mm",)),
        ("400", MASS, METRIC, 15.0, 200.0, ("lb",)),
        ("95", ANGLE, METRIC, -3.0, 3.0, ()),
    ],
)
def test_a_bare_number_may_fit_in_another_unit(
    text: str,
    kind: Kind,
    system: UnitSystem,
    low: float,
    high: float,
    units: tuple[str, ...],
) -> None:
    assert units_that_fit(text, kind, system, low, high) == units
