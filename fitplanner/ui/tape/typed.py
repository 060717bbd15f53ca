"""Owns how what a tape shows is read from text, in any unit.

A tape is read aloud in its own habit, so two things are taken that other fields refuse: the
other decimal mark where it cannot part thousands, and a fraction without a unit, which only inch
tapes have. What was understood stands beside what was typed. Refuses everything else.
"""

import re

from fitplanner.quantities import Kind, QuantityError, UnitSystem, parse_quantity
from fitplanner.ui.widgets.limits import Limits

_BARE_FRACTION = re.compile(r"\s*\+?[0-9]*[\s-]*([0-9]+\s*[/\u2044]\s*[0-9]+|[½¼¾⅛⅜⅝⅞])\s*")
# One mark and one or two digits behind it: three may be thousands.
_OTHER_MARK = re.compile(r"[^.,]*[0-9][.,][0-9]{1,2}(?![0-9.,])[^.,]*")


def read_typed(text: str, limits: Limits, system: UnitSystem, *, decimal_mark: str) -> float:
    """The canonical value of typed text, within `limits`.

    Raises:
        QuantityError: with a message for the person who typed.
    """
    typed = text.strip()
    meant = typed
    if limits.kind is Kind.LENGTH and _BARE_FRACTION.fullmatch(typed):
        meant = f"{typed} in"
    try:
        value = parse_quantity(meant, limits.kind, system, decimal_mark=decimal_mark)
    except QuantityError:
        other = "," if decimal_mark == "." else "."
        if other not in typed or not _OTHER_MARK.fullmatch(typed):
            raise
        value = parse_quantity(meant, limits.kind, system, decimal_mark=other)
    if not limits.hold(value):
        raise QuantityError(limits.refusal(typed, system, decimal_mark))
    return limits.nearest(value)
