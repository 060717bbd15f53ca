"""Properties of display, writing and reading of quantities."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitplanner.quantities import (
    Kind,
    QuantityError,
    UnitSystem,
    display_unit,
    format_for_entry,
    format_inches_fraction,
    format_quantity,
    from_display,
    parse_quantity,
    shown_difference,
    to_display,
)

KINDS = st.sampled_from(Kind)
SYSTEMS = st.sampled_from(UnitSystem)
MARKS = st.sampled_from([".", ","])
VALUES = st.floats(-1e6, 1e6)


@given(VALUES, KINDS, SYSTEMS)
def test_display_and_back_is_the_same_value(value: float, kind: Kind, system: UnitSystem) -> None:
    back = from_display(to_display(value, kind, system), kind, system)
    assert back == pytest.approx(value, rel=1e-12, abs=1e-300)


@given(VALUES, KINDS, SYSTEMS, MARKS, st.integers(0, 6), st.booleans())
def test_written_text_reads_back_within_its_last_digit(
    value: float, kind: Kind, system: UnitSystem, mark: str, decimals: int, signed: bool
) -> None:
    text = format_quantity(value, kind, system, decimals=decimals, signed=signed, decimal_mark=mark)
    half_a_digit = 0.5 * 10.0**-decimals * display_unit(kind, system).factor
    back = parse_quantity(text, kind, system, decimal_mark=mark)
    assert abs(back - value) <= half_a_digit * (1 + 1e-9) + 1e-12 * abs(value)


@given(VALUES, KINDS, SYSTEMS, SYSTEMS, MARKS)
def test_text_with_its_unit_reads_the_same_in_every_system(
    value: float, kind: Kind, written_in: UnitSystem, read_in: UnitSystem, mark: str
) -> None:
    text = format_quantity(value, kind, written_in, decimal_mark=mark)
    at_home = parse_quantity(text, kind, written_in, decimal_mark=mark)
    assert parse_quantity(text, kind, read_in, decimal_mark=mark) == at_home


@given(VALUES, KINDS, SYSTEMS, MARKS)
def test_entry_text_is_stable(value: float, kind: Kind, system: UnitSystem, mark: str) -> None:
    text = format_for_entry(value, kind, system, decimal_mark=mark)
    once = parse_quantity(text, kind, system, decimal_mark=mark)
    assert format_for_entry(once, kind, system, decimal_mark=mark) == text


@given(st.floats(-1e5, 1e5), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_tape_text_reads_back_within_half_a_mark(value_mm: float, denominator: int) -> None:
    back = parse_quantity(
        format_inches_fraction(value_mm, denominator), Kind.LENGTH, UnitSystem.METRIC
    )
    assert abs(back - value_mm) <= 12.7 / denominator + 1e-9


@given(st.integers(0, 9), st.integers(0, 11), st.integers(0, 15))
def test_feet_and_inches_are_their_sum(feet: int, inches: int, sixteenths: int) -> None:
    value = parse_quantity(f"{feet} ft {inches} {sixteenths}/16 in", Kind.LENGTH, UnitSystem.METRIC)
    assert value == pytest.approx((12 * feet + inches + sixteenths / 16) * 25.4, rel=1e-14)


@given(st.text(max_size=12) | st.text("0123456789.,-+/ '\"°%inftmkgls½", max_size=12))
def test_any_text_gives_a_bounded_number_or_a_refusal_with_words(text: str) -> None:
    for kind in (Kind.LENGTH, Kind.MASS, Kind.ANGLE):
        try:
            value = parse_quantity(text, kind, UnitSystem.METRIC)
        except QuantityError as refusal:
            assert str(refusal)
        else:
            assert abs(value) <= 1e9


@given(VALUES, VALUES, KINDS, SYSTEMS)
def test_a_difference_shown_is_that_of_the_figures_shown_beside_it(
    first: float, last: float, kind: Kind, system: UnitSystem
) -> None:
    difference = shown_difference(first, last, kind, system, metric_decimals=1)
    shown = [
        Decimal(
            format_quantity(each, kind, system, with_unit=False, metric_decimals=1).replace(
                "−", "-"
            )
        )
        for each in (first, last, difference)
    ]
    assert shown[1] - shown[0] == shown[2]
