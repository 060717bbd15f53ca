"""Sentences whose figures follow the unit system.

Owns the one notation for a figure inside a sentence: `{length|12.3}`, the kind's word and the
canonical value; behind it `|+` asks for a sign and `|.1` for so many decimals. Several values, as
in `{length|51;8;3}`, are the first less the others as each is shown. Refuses any other
placeholder: braces that do not read so are left as they are.
"""

import re

from fitplanner.quantities.formatting import format_quantity, shown_rest
from fitplanner.quantities.units import Kind, UnitSystem

_NUMBER = r"-?[0-9.]+(?:e[+-]?[0-9]+)?"
_FIGURE = re.compile(rf"\{{([a-z ]+)\|({_NUMBER}(?:;{_NUMBER})*)(\|\+)?(?:\|\.([0-9]))?\}}")


def figure_in_text(
    value: float, kind: Kind, *, signed: bool = False, decimals: int | None = None
) -> str:
    """The notation of one figure, to be put into a sentence; `decimals` are metric ones."""
    sign, digits = "|+" if signed else "", "" if decimals is None else f"|.{decimals}"
    return f"{{{kind.value}|{float(value):.9g}{sign}{digits}}}"


def mm_in_text(value_mm: float, *, signed: bool = False) -> str:
    """The notation of a length."""
    return figure_in_text(value_mm, Kind.LENGTH, signed=signed)


def rest_in_text(whole_mm: float, *parts_mm: float) -> str:
    """The notation of a length that is the whole less its other parts, each as it is shown."""
    return f"{{{Kind.LENGTH.value}|{';'.join(f'{float(v):.9g}' for v in (whole_mm, *parts_mm))}}}"


def split_figures(text: str) -> tuple[str, list[tuple[Kind, float]]]:
    """The words of a sentence, a brace pair in place of each figure, and its figures in order."""
    found: list[tuple[Kind, float]] = []

    def taken(match: re.Match[str]) -> str:
        try:
            first, *others = map(float, match[2].split(";"))
            found.append((Kind(match[1]), first - sum(others)))
        except ValueError:
            return match.group()
        return "{}"

    words = _FIGURE.sub(taken, text)
    return words, found


def moved_in_text(drop_mm: float) -> str:
    """How far a seat came down, or up where it is negative: the notation of "41 mm lower"."""
    return f"{mm_in_text(abs(drop_mm))} {'lower' if drop_mm >= 0 else 'higher'}"


def fill(text: str, system: UnitSystem, *, decimal_mark: str = ".") -> str:
    """The sentence with its figures shown in `system`."""

    def shown(match: re.Match[str]) -> str:
        word, number, signed, metric = match.groups()
        try:
            kind, (value, *others) = Kind(word), map(float, number.split(";"))
        except ValueError:
            return match.group()
        if others:
            value = shown_rest(value, *others, kind=kind, system=system)
        return format_quantity(
            value,
            kind,
            system,
            signed=bool(signed),
            metric_decimals=None if metric is None else int(metric),
            decimal_mark=decimal_mark,
        )

    return _FIGURE.sub(shown, text)
