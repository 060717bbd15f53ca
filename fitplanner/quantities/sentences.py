"""Sentences whose figures follow the unit system.

Owns the one notation for a figure inside a sentence: `{length|12.3}`, the kind's word and the
canonical value. Refuses any other placeholder: braces that do not read so are left as they are.
"""

import re

from fitplanner.quantities.formatting import format_quantity
from fitplanner.quantities.units import Kind, UnitSystem

_FIGURE = re.compile(r"\{([a-z ]+)\|(-?[0-9.]+(?:e[+-]?[0-9]+)?)(\|\+)?\}")


def figure_in_text(value: float, kind: Kind, *, signed: bool = False) -> str:
    """The notation of one figure, to be put into a sentence."""
    return f"{{{kind.value}|{float(value):.9g}{'|+' if signed else ''}}}"


def fill(text: str, system: UnitSystem, *, decimal_mark: str = ".") -> str:
    """The sentence with its figures shown in `system`."""

    def shown(match: re.Match[str]) -> str:
        kind, value, signed = match.groups()
        return format_quantity(
            float(value), Kind(kind), system, signed=bool(signed), decimal_mark=decimal_mark
        )

    return _FIGURE.sub(shown, text)
