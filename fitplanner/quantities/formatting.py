"""Owns how a canonical value is written for a reader or into an entry field.

A negative figure carries the true minus sign (U+2212), which `parse_quantity` reads back.
Nothing here groups thousands: a grouped figure could not be read back without a guess.
"""

import math
from fractions import Fraction

from fitplanner.quantities.units import (
    MM_PER_INCH,
    Kind,
    UnitSystem,
    display_unit,
    from_display,
    to_display,
)

MINUS = "\N{MINUS SIGN}"
UNKNOWN = "\N{EN DASH}"


def format_quantity(
    value: float,
    kind: Kind,
    system: UnitSystem,
    *,
    with_unit: bool = True,
    signed: bool = False,
    decimals: int | None = None,
    metric_decimals: int | None = None,
    decimal_mark: str = ".",
) -> str:
    """A canonical value as text in the unit of `system`, for example "870 mm".

    `signed` puts a plus before what is more than zero, for changes. `decimals` replaces the
    digits usual for the unit; `metric_decimals` are those wanted in metric units, carried over to
    others. A value that is not finite is shown as a dash.
    """
    unit = display_unit(kind, system)
    if not math.isfinite(value):
        return UNKNOWN
    shown = to_display(value, kind, system)
    decimals = _decimals(shown, kind, system, decimals, metric_decimals)
    digits = f"{abs(shown):.{decimals}f}"
    sign = ""
    if any(digit in "123456789" for digit in digits):
        sign = MINUS if shown < 0 else "+" if signed else ""
    text = sign + digits.replace(".", decimal_mark)
    return f"{text}{_gap(unit.label)}{unit.label}" if with_unit else text


def shown_difference(
    first: float,
    last: float,
    kind: Kind,
    system: UnitSystem,
    *,
    metric_decimals: int | None = None,
) -> float:
    """`last` less `first` as both are shown, in canonical units.

    Where two figures and their difference stand together, this is the difference to show: one
    rounded by itself makes a wrong sum. NaN where one of them is not finite.
    """
    if not (math.isfinite(first) and math.isfinite(last)):
        return math.nan
    shown = [to_display(value, kind, system) for value in (first, last)]
    before, after = (
        round(value, _decimals(value, kind, system, None, metric_decimals)) for value in shown
    )
    return from_display(after - before, kind, system)


def shown_rest(
    whole: float, *parts: float, kind: Kind = Kind.LENGTH, system: UnitSystem = UnitSystem.METRIC
) -> float:
    """What the last of several parts shows so that all make up the whole, in canonical units.

    The whole less the other parts, each as it is shown. NaN where one of them is not finite.
    """
    if not all(math.isfinite(each) for each in (whole, *parts)):
        return math.nan
    shown = [to_display(each, kind, system) for each in (whole, *parts)]
    first, *others = (round(each, _decimals(each, kind, system, None, None)) for each in shown)
    return from_display(first - sum(others), kind, system)


def _decimals(
    shown: float, kind: Kind, system: UnitSystem, decimals: int | None, metric: int | None
) -> int:
    """Digits behind the mark; `metric` are those wanted in metric units."""
    unit = display_unit(kind, system)
    if metric is not None:
        return max(0, metric + unit.decimals - display_unit(kind, UnitSystem.METRIC).decimals)
    return unit.decimals + (abs(shown) < unit.fine_below) if decimals is None else decimals


def format_hours(hours: float, *, decimal_mark: str = ".") -> str:
    """Working time, for example "8.2 h"."""
    return f"{hours:.1f} h".replace(".", decimal_mark)


def format_for_entry(
    value: float, kind: Kind, system: UnitSystem, *, decimal_mark: str = "."
) -> str:
    """A canonical value as it stands in an entry field: no unit, no needless zeros."""
    text = format_quantity(
        value,
        kind,
        system,
        with_unit=False,
        decimals=display_unit(kind, system).entry_decimals,
        decimal_mark=decimal_mark,
    )
    return text.rstrip("0").rstrip(decimal_mark) if decimal_mark in text else text


def format_inches_fraction(value_mm: float, denominator: int = 16) -> str:
    """A length as a tape shows it, for example "36 1/2 in", to the nearest 1/`denominator`.

    Raises ValueError where `denominator` is not a power of two up to 64.
    """
    if denominator not in (1, 2, 4, 8, 16, 32, 64):
        raise ValueError(f"a tape has no 1/{denominator} in marks")
    if not math.isfinite(value_mm):
        return UNKNOWN
    marks = round(abs(value_mm) / MM_PER_INCH * denominator)
    whole, rest = divmod(marks, denominator)
    part = Fraction(rest, denominator)
    sign = MINUS if value_mm < 0 and marks else ""
    numbers = ([str(whole)] if whole or not rest else []) + ([str(part)] if rest else [])
    return f"{sign}{' '.join(numbers)} in"


def format_on_tape(
    value_mm: float,
    system: UnitSystem,
    *,
    metric_decimals: int | None = None,
    decimal_mark: str = ".",
) -> str:
    """A length as it is read off a tape: in inches to a sixteenth, else as any other.

    A length of less than one mark is written in decimals, for a tape cannot show it.
    """
    if system is UnitSystem.INCH and abs(value_mm) >= MM_PER_INCH / 16:
        return format_inches_fraction(value_mm)
    return format_quantity(
        value_mm,
        Kind.LENGTH,
        system,
        metric_decimals=metric_decimals,
        decimal_mark=decimal_mark,
    )


def _gap(label: str) -> str:
    return "" if label in ("", "°") else " "
