"""Sentences whose figures follow the unit system.

Owns the one notation for a figure inside a sentence: `{length|12.3}`, the kind's word and the
canonical value; behind it `|+` asks for a sign and `|.1` for so many decimals. Refuses any other
placeholder: braces that do not read so are left as they are.
"""

import re

from fitplanner.quantities.formatting import format_quantity
from fitplanner.quantities.units import Kind, UnitSystem, display_unit

_FIGURE = re.compile(r"\{([a-z ]+)\|(-?[0-9.]+(?:e[+-]?[0-9]+)?)(\|\+)?(?:\|\.([0-9]))?\}")


def figure_in_text(
    value: float, kind: Kind, *, signed: bool = False, decimals: int | None = None
) -> str:
    """The notation of one figure, to be put into a sentence; `decimals` are metric ones."""
    sign, digits = "|+" if signed else "", "" if decimals is None else f"|.{decimals}"
    return f"{{{kind.value}|{float(value):.9g}{sign}{digits}}}"


def fill(text: str, system: UnitSystem, *, decimal_mark: str = ".") -> str:
    """The sentence with its figures shown in `system`."""

    def shown(match: re.Match[str]) -> str:
        word, number, signed, metric = match.groups()
        try:
            kind, value = Kind(word), float(number)
        except ValueError:
            return match.group()
        decimals = None
        if metric is not None:
            usual = display_unit(kind, UnitSystem.METRIC).decimals
            decimals = max(0, int(metric) + display_unit(kind, system).decimals - usual)
        return format_quantity(
            value,
            kind,
            system,
            signed=bool(signed),
            decimals=decimals,
            decimal_mark=decimal_mark,
        )

    return _FIGURE.sub(shown, text)
