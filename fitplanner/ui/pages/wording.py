"""Owns the order and the wording of checks, shared by the headline and the page of checks.

Refuses to judge: whether a check holds stands in the plan.
"""

from collections.abc import Iterable

from fitplanner.planning.plan import Check, Severity
from fitplanner.quantities import UnitSystem, display_unit
from fitplanner.ui import texts
from fitplanner.ui.widgets import mark
from fitplanner.ui.widgets.figures import Figures

_RANK = {Severity.STOP: 0, Severity.CAUTION: 1, Severity.NOTE: 2}
MARKS = {Severity.STOP: mark.STOP, Severity.CAUTION: mark.CAUTION, Severity.NOTE: mark.NOTE}
HOLDS = "Holds"
_MOST_MORE = 3


def worst_first(checks: Iterable[Check]) -> list[Check]:
    """Those that do not hold first, the gravest of them at the top; else in the plan's order."""
    return sorted(checks, key=lambda check: (check.holds, _RANK[check.severity]))


def meaning_of(check: Check) -> str:
    """The shape that stands beside the check."""
    return mark.OK if check.holds else MARKS[check.severity]


def word_of(check: Check) -> str:
    """The word that stands beside the shape."""
    return HOLDS if check.holds else texts.label(check.severity)


def title_of(check: Check) -> str:
    """The title; many name what should hold, so one that does not is said to fail."""
    return check.title if check.holds else f"Fails: {check.title}"


def value_text(check: Check, figures: Figures) -> str:
    """The value, with as many decimals as tell it from its limit."""
    return figures.text(check.value, check.kind, decimals=_decimals(check, figures))


def limit_text(check: Check, figures: Figures) -> str:
    """The limit with its direction, read from the sign of the margin."""
    limit = figures.text(check.limit, check.kind, decimals=_decimals(check, figures))
    if _at_limit(check):
        return f"limit {limit}"
    return f"{'at least' if _is_floor(check) else 'at most'} {limit}"


def margin_text(check: Check, figures: Figures) -> str:
    """By how much the check holds or fails."""
    if _at_limit(check):
        return "at its limit"
    decimals = _decimals(check, figures)
    # Value and limit stand beside it: what is shown is the one less the other as they are shown.
    apart = figures.difference(check.limit, check.value, check.kind, decimals=decimals)
    amount = figures.text(abs(apart), check.kind, decimals=decimals)
    if check.holds:
        return f"{amount} to spare"
    return f"{amount} too {'little' if _is_floor(check) else 'much'}"


def _decimals(check: Check, figures: Figures) -> int | None:
    """Those of the check; more where value and limit, or margin and nothing, would read alike."""
    usual = check.decimals
    if usual is None:
        usual = display_unit(check.kind, UnitSystem.METRIC).decimals
    if _at_limit(check):
        return check.decimals
    for more in range(_MOST_MORE + 1):
        value, limit, margin, nothing = (
            figures.text(each, check.kind, decimals=usual + more)
            for each in (check.value, check.limit, abs(check.margin), 0.0)
        )
        if value != limit and margin != nothing:
            break
    return usual + more if more else check.decimals


def _at_limit(check: Check) -> bool:
    """Where value and limit agree, the margin cannot tell on which side to stay."""
    return abs(check.margin) <= 1e-9 * max(1.0, abs(check.limit))


def _is_floor(check: Check) -> bool:
    above = check.value - check.limit
    return abs(above - check.margin) <= abs(above + check.margin)
