"""Limits of standing on the side-stand.

Owns these limits with their reasons and where each comes from. Refuses to compute values.
"""

from collections.abc import Iterable, Iterator
from math import atan, degrees

from fitplanner.planning.checks.limit import PRACTICE, Limit
from fitplanner.planning.facts import Facts
from fitplanner.planning.plan import (
    Basis,
    Check,
    Severity,
)
from fitplanner.quantities import Kind, figure_in_text

_L = Kind.LENGTH

LEAST_STAND_LENGTH_MM = 60.0

OLD_STAND = "old-stand"
"""Key of the check on the side-stand as it is."""
MOST_LEAN_LOST_DEG = 2.0
"""More upright than that against stock, the stand has to be changed: common practice, no source."""


_SLOPE_DEG = degrees(atan(0.06))
"""The slope to either side on which a stand must hold: Directive 93/31/EEC, 6.2.2 (from memory)."""


def needs_new_stand(checks: Iterable[Check]) -> bool:
    """Whether the old side-stand does not do, by the check on it."""
    return any(check.key == OLD_STAND and not check.holds for check in checks)


def standing(found: Facts) -> Iterator[Limit]:
    """Slopes on the new stand, lean on the old one, length that can be built."""
    yield Limit(
        "stand",
        "Tilt left on the new side-stand, worst slope",
        found.stand_margin_deg[1],
        Kind.ANGLE,
        "Tilt left before it tips on the worst of the slopes that a stand must hold on: 6 % to "
        "either side, 6 % nose down, 8 % nose up",
        Severity.STOP if not found.new_stand_holds else Severity.CAUTION,
        Basis.STANDARD,
        "Directive 93/31/EEC, 6.2.2 (from memory)",
        least=min(1.0, max(found.stand_margin_deg[0], 0.0)),
    )
    stock = found.stand_lean_deg[0]
    yield Limit(
        OLD_STAND,
        "Lean if the old side-stand stays",
        found.old_stand_lean_deg,
        Kind.ANGLE,
        f"Was {figure_in_text(stock, Kind.ANGLE)}; {_how_it_stands(found)}: lower the machine, "
        "then change the side-stand, as this plan counts on",
        # The new stand is in the plan; until it is on, this machine falls over.
        Severity.CAUTION if _falls_over(found) else Severity.NOTE,
        Basis.PRACTICE,
        PRACTICE,
        least=stock - MOST_LEAN_LOST_DEG,
    )
    yield Limit(
        "stand-length",
        "Length of the new side-stand",
        found.stand_length_mm[1],
        _L,
        "Length that restores the stock lean; it must still fold rearward and upward",
        Severity.CAUTION,
        Basis.STANDARD,
        "49 CFR 571.123 S5.2.4 for the folding; the length is an assumption",
        least=LEAST_STAND_LENGTH_MM,
    )


def _how_it_stands(found: Facts) -> str:
    if not _falls_over(found):
        return "too upright it falls to the far side"
    return (
        "on its old side-stand it falls over, at the latest on a slope of 6 %, so never leave it "
        "on that one"
    )


def _falls_over(found: Facts) -> bool:
    """Whether the old stand lets it fall, upright as it is, on a slope that it must hold on."""
    return not found.old_stand_holds or found.old_stand_lean_deg < _SLOPE_DEG
