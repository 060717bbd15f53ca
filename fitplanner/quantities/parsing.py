"""Owns the strict reading of typed quantities into canonical values.

Accepts a sign, a number in the given decimal mark with an optional fraction, and one unit of the
wanted kind; or two units that are written together by custom (feet and inches, stones and
pounds, degrees and minutes). Refuses everything else rather than guess: the other decimal mark,
grouped thousands, exponents, arithmetic, units of another kind.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from fitplanner.quantities.foreign import FOREIGN_UNITS, foreign_factor
from fitplanner.quantities.units import (
    DEGREE_PER_RAD,
    KG_PER_POUND,
    KPA_PER_PSI,
    L_PER_US_GALLON,
    MM_PER_FOOT,
    MM_PER_INCH,
    N_PER_MM_PER_LBF_PER_IN,
    NEWTON_PER_KGF,
    NEWTON_PER_LBF,
    Kind,
    UnitSystem,
    display_unit,
)

MAX_TEXT = 60
MAX_VALUE = 1e9


class QuantityError(ValueError):
    """Typed text that is not a quantity of the wanted kind; the message says how to mend it."""


# Trade spellings leave the f off a force: a rate in "kg/mm" or "lb/in" always means force.
_TRADE: dict[Kind, dict[str, float]] = {
    Kind.LENGTH: dict.fromkeys(("mm", "millimetre", "millimeter"), 1.0)
    | {"cm": 10.0}
    | dict.fromkeys(("in", "inch", "inches", '"'), MM_PER_INCH)
    | dict.fromkeys(("ft", "foot", "feet", "'"), MM_PER_FOOT),
    Kind.AREA: {"mm2": 1.0} | dict.fromkeys(("in2", "sq in"), MM_PER_INCH**2),
    Kind.VOLUME: dict.fromkeys(("ml", "cc", "cm3"), 1.0),
    Kind.CAPACITY: dict.fromkeys(("l", "litre", "litres", "liter", "liters"), 1.0)
    | dict.fromkeys(("us gal", "us gals", "us gallon", "us gallons"), L_PER_US_GALLON),
    Kind.MASS: dict.fromkeys(("kg", "kgs", "kilo", "kilos"), 1.0)
    | dict.fromkeys(("lb", "lbs", "pound", "pounds"), KG_PER_POUND),
    Kind.FORCE: {"n": 1.0, "lbf": NEWTON_PER_LBF},
    Kind.SPRING_RATE: {"n/mm": 1.0}
    | dict.fromkeys(("kgf/mm", "kg/mm"), NEWTON_PER_KGF)
    | dict.fromkeys(("lbf/in", "lb/in", "lbs/in"), N_PER_MM_PER_LBF_PER_IN)
    | dict.fromkeys(("lbf/inch", "lb/inch", "lbs/inch"), N_PER_MM_PER_LBF_PER_IN),
    Kind.PRESSURE: {"kpa": 1.0} | dict.fromkeys(("psi", "lbf/in2"), KPA_PER_PSI),
    Kind.ANGLE: dict.fromkeys(("°", "deg", "degree", "degrees"), 1.0) | {"rad": DEGREE_PER_RAD},
    Kind.PERCENT: dict.fromkeys(("%", "percent"), 0.01),
    Kind.RATIO: {":1": 1.0},
}
_IMP_GALLONS = ("imp gals", "imp gallon", "imp gallons", "imperial gallon", "imperial gallons")
_FOREIGN_SPELLINGS = {"kg/cm2": "kgf/cm2", "kg/cm": "kgf/cm", "stone": "st", "grams": "g"}
_FOREIGN_SPELLINGS |= dict.fromkeys(_IMP_GALLONS, "imp gal")
_OFFERED: dict[Kind, str] = {
    Kind.LENGTH: "mm, cm, m, in or ft",
    Kind.AREA: "mm², cm² or in²",
    Kind.VOLUME: "mL, cc, L, US fl oz or imp fl oz",
    Kind.CAPACITY: "L, mL, US gal or imp gal",
    Kind.MASS: "kg, g, lb, oz or st",
    Kind.FORCE: "N, kN, kgf or lbf",
    Kind.SPRING_RATE: "N/mm, kgf/mm or lbf/in",
    Kind.PRESSURE: "kPa, bar, psi or kgf/cm²",
    Kind.ANGLE: "° or rad",
    Kind.PERCENT: "%",
    Kind.RATIO: "the bare number",
}
# What a number without a unit may have been meant in; none of these asks for pint's registry.
_MEANT: dict[Kind, tuple[str, ...]] = {
    Kind.LENGTH: ("mm", "cm", "in"),
    Kind.MASS: ("kg", "lb"),
    Kind.FORCE: ("N", "lbf"),
    Kind.SPRING_RATE: ("N/mm", "kgf/mm", "lbf/in"),
    Kind.PRESSURE: ("kPa", "psi"),
}


@dataclass(frozen=True, slots=True)
class _Pair:
    """A large unit followed by a small one, `count` of which make a large one."""

    large: str
    large_name: str
    small: str
    small_name: str
    count: int
    small_symbol_needed: bool = False


_PAIRS: dict[Kind, _Pair] = {
    Kind.LENGTH: _Pair(r"(?:ft|foot|feet|')", "feet", r'(?:in|inch|inches|")', "inches", 12),
    Kind.MASS: _Pair(r"(?:st|stone)", "stones", r"(?:lb|lbs|pounds?)", "pounds", 14),
    Kind.ANGLE: _Pair(r"(?:°|deg|degrees?)", "degrees", r"(?:'|min)", "minutes", 60, True),
}

_SAME = str.maketrans(
    {
        "\N{NO-BREAK SPACE}": " ",
        "\N{NARROW NO-BREAK SPACE}": " ",
        "\N{THIN SPACE}": " ",
        "\N{MINUS SIGN}": "-",
        "\N{FRACTION SLASH}": "/",
        "\N{PRIME}": "'",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{DOUBLE PRIME}": '"',
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{MASCULINE ORDINAL INDICATOR}": "°",
        "²": "2",
        "³": "3",
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
        "⅓": " 1/3",
        "⅔": " 2/3",
    }
)
# A point that marks an abbreviation: "30 in.", "5 ft. 4 in.".
_ABBREVIATED = re.compile(r"(?<=[a-z])\.(?=\s|$)")
_MIXED = re.compile(r"(?:([0-9]+)(?:\s+|-))?([0-9]+)\s*/\s*([0-9]+)")
_NUMBERLIKE = re.compile(r"[0-9.,]*[0-9][0-9.,]*")


def parse_quantity(text: str, kind: Kind, system: UnitSystem, *, decimal_mark: str = ".") -> float:
    """The canonical value of typed text, for example "34 1/2 in", "87.5 cm", "5' 4\"" or "870".

    A number without a unit is in the unit of `system`. `decimal_mark` is "." or ",".
    Raises QuantityError with a message for the person who typed.
    """
    if decimal_mark not in (".", ","):
        raise ValueError(f"decimal mark must be '.' or ',', not {decimal_mark!r}")
    example = f"57{decimal_mark}5 {display_unit(kind, system).label}".strip()
    typed = text.strip()
    if not typed:
        raise QuantityError(f"Nothing is written here: write for example {example}")
    if len(typed) > MAX_TEXT:
        raise QuantityError(f"This is too long for one figure: write for example {example}")
    body = typed.translate(_SAME).replace("''", '"').strip().casefold()
    body = _ABBREVIATED.sub("", body)
    sign = -1.0 if body.startswith("-") else 1.0
    body = body.removeprefix("-" if sign < 0 else "+").strip()

    value = _read_pair(body, kind, decimal_mark)
    if value is None:
        number, rest = _read_number(body, decimal_mark, typed=typed, example=example)
        if re.match(r"\s*[-+]?\s*[0-9.,]", rest):
            raise QuantityError(
                f"'{typed}' holds more than one number: write one, for example {example}"
            )
        value = float(number) * _factor(rest, kind, system, typed=typed)
    if value > MAX_VALUE:
        raise QuantityError(f"'{typed}' is too large: write for example {example}")
    return sign * value if value else 0.0


def units_that_fit(
    text: str, kind: Kind, system: UnitSystem, low: float, high: float, *, decimal_mark: str = "."
) -> tuple[str, ...]:
    """Units with which the bare number `text` would lie from `low` to `high` (canonical).

    Empty where none does, or where `text` names its unit or is no number.
    """
    found = []
    for unit in _MEANT.get(kind, ()):
        try:
            value = parse_quantity(f"{text} {unit}", kind, system, decimal_mark=decimal_mark)
        except QuantityError:
            return ()
        if low <= value <= high:
            found.append(unit)
    return tuple(found)


def _read_number(body: str, mark: str, *, typed: str, example: str) -> tuple[Fraction, str]:
    """The number at the start of `body` and the text after it."""
    if mixed := _MIXED.match(body):
        whole, numerator, denominator = (int(part or 0) for part in mixed.groups())
        if denominator == 0 or (mixed[1] and numerator >= denominator):
            wrong = body[mixed.start(2) : mixed.end()]
            raise QuantityError(f"'{wrong}' is not a fraction: write for example 34 1/2")
        return whole + Fraction(numerator, denominator), body[mixed.end() :]
    found = _NUMBERLIKE.match(body)
    if not found:
        raise QuantityError(f"'{typed}' is not a number: write for example {example}")
    digits, rest = found[0], body[found.end() :]
    other = "," if mark == "." else "."
    if other in digits:
        if digits.count(other) == 1 and mark not in digits:
            name = "point" if mark == "." else "comma"
            mend = digits.replace(other, mark)
            raise QuantityError(f"The decimal mark here is a {name}: write {mend}, not {digits}")
        raise QuantityError(
            f"'{digits}' is not a number: write it without thousands marks, for example {example}"
        )
    if digits.count(mark) > 1:
        raise QuantityError(f"'{digits}' is not a number: write for example {example}")
    return Fraction(digits.replace(mark, ".").rstrip(".")), rest


def _read_pair(body: str, kind: Kind, mark: str) -> float | None:
    """The value of, say, feet and inches written together, or None where it is not that."""
    pair = _PAIRS.get(kind)
    if pair is None:
        return None
    optional = "" if pair.small_symbol_needed else "?"
    pattern = (
        rf"([0-9]+)\s*({pair.large})\s*-?\s*"
        rf"((?:[0-9]+(?:\s+|-))?[0-9]+\s*/\s*[0-9]+|[0-9]+(?:{re.escape(mark)}[0-9]*)?)"
        rf"\s*(?:{pair.small}){optional}"
    )
    found = re.fullmatch(pattern, body)
    if not found:
        return None
    small, _ = _read_number(found[3], mark, typed=found[3], example=f"6 {pair.small_name}")
    if small >= pair.count:
        raise QuantityError(
            f"{found[3]} {pair.small_name} is too many: behind {pair.large_name} "
            f"write fewer than {pair.count}"
        )
    return float(int(found[1]) + small / pair.count) * _unit_factor(kind, found[2])


def _factor(rest: str, kind: Kind, system: UnitSystem, *, typed: str) -> float:
    """Canonical units in the unit that follows the number; none means the system's own."""
    symbol = " ".join(re.sub(r"\s*([/:])\s*", r"\1", rest).split()).replace("^", "")
    if not symbol:
        return display_unit(kind, system).factor
    if kind is Kind.VOLUME and symbol in ("fl oz", "oz"):
        raise QuantityError("A fluid ounce has two sizes: write US fl oz or imp fl oz, or use mL")
    if kind is Kind.CAPACITY and symbol in ("gal", "gals", "gallon", "gallons"):
        number = typed.strip()[: -len(rest.strip())].strip()
        raise QuantityError(
            f"A gallon has two sizes: write {number} US gal or {number} imp gal, or use L"
        )
    try:
        return _unit_factor(kind, symbol)
    except KeyError:
        known = _OFFERED[kind]
        raise QuantityError(
            f"'{rest.strip()}' in '{typed}' is not a unit of {kind}: use {known}"
        ) from None


def _unit_factor(kind: Kind, symbol: str) -> float:
    trade = _TRADE[kind]
    if symbol in trade:
        return trade[symbol]
    symbol = _FOREIGN_SPELLINGS.get(symbol, symbol)
    if symbol not in FOREIGN_UNITS.get(kind, {}):
        raise KeyError(symbol)
    return foreign_factor(kind, symbol)
