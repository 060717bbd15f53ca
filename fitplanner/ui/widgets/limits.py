"""Owns what is said of a number that lies beyond what may be typed.

Refuses the reading itself, and any judgement beyond two ends.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication

from fitplanner.quantities import (
    Kind,
    UnitSystem,
    display_unit,
    format_for_entry,
    from_display,
    to_display,
    unit_label,
    units_that_fit,
)

_ROUND_OFF = 0.005
"""Share of a range by which its ends may be told too narrow."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Least and most canonical value; infinite where there is no end."""

    kind: Kind
    low: float = -math.inf
    high: float = math.inf

    def hold(self, value: float) -> bool:
        """Whether `value` lies within; a limit typed in another unit may miss by rounding."""
        slack = 1e-9 * max(1.0, abs(value))
        return self.low - slack <= value <= self.high + slack

    def nearest(self, value: float) -> float:
        """`value`, or the end that it is beyond."""
        return min(max(value, self.low), self.high)

    def text(self, system: UnitSystem, decimal_mark: str) -> str:
        """The ends in the unit shown, rounded inwards so that each may be typed as written."""
        low = self._end(self.low, math.ceil, -1e-6, system, decimal_mark)
        high = self._end(self.high, math.floor, 1e-6, system, decimal_mark)
        if low and high:
            text = _tr("{low} to {high}").format(low=low, high=high)
        elif low:
            text = _tr("at least {low}").format(low=low)
        elif high:
            text = _tr("at most {high}").format(high=high)
        else:
            return ""
        return f"{text} {unit_label(self.kind, system)}".strip()

    def refusal(self, typed: str, system: UnitSystem, decimal_mark: str) -> str:
        """What to write instead of `typed`; a bare number may only lack its unit."""
        meant = self._units(typed, system, decimal_mark)
        either = _tr(" or ").join(f"{typed} {unit}" for unit in meant)
        words = (
            _tr("'{typed}' is out of range: {either}? Write the unit, or {range}")
            if meant
            else _tr("'{typed}' is out of range: write {range}")
        )
        return words.format(typed=typed, either=either, range=self.text(system, decimal_mark))

    def _decimals(self, system: UnitSystem) -> int:
        """As few as cost no more than a small share of the range."""
        most = display_unit(self.kind, system).entry_decimals
        low, high = (to_display(end, self.kind, system) for end in (self.low, self.high))
        if not math.isfinite(high - low):
            return most
        room = _ROUND_OFF * (high - low)
        return next((count for count in range(most) if 10.0**-count <= room), most)

    def meant(self, typed: str, system: UnitSystem, decimal_mark: str) -> str:
        """The bare number `typed` with the one unit with which it lies within; else ""."""
        units = self._units(typed, system, decimal_mark)
        return f"{typed} {units[0]}" if len(units) == 1 else ""

    def _units(self, typed: str, system: UnitSystem, decimal_mark: str) -> tuple[str, ...]:
        return units_that_fit(
            typed, self.kind, system, self.low, self.high, decimal_mark=decimal_mark
        )

    def _end(
        self,
        limit: float,
        inwards: Callable[[float], int],
        grace: float,
        system: UnitSystem,
        decimal_mark: str,
    ) -> str:
        if not math.isfinite(limit):
            return ""
        scale = 10 ** self._decimals(system)
        shown = inwards(to_display(limit, self.kind, system) * scale + grace) / scale
        value = from_display(shown, self.kind, system)
        return format_for_entry(value, self.kind, system, decimal_mark=decimal_mark)


def _tr(text: str) -> str:
    return QCoreApplication.translate("Limits", text)
