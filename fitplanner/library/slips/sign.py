"""One thing looked at in a profile's figures, and whether it is as usual.

Owns the plain view of a profile on which rules work, so that a likely mend can be tried by
changing a few values, and the measure of how far something lies off. Refuses to judge by itself
what is usual: the rules say that, all of it common practice, no source.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import log
from typing import Any

from fitplanner.documents.base import Figure, FigureSpec, Section
from fitplanner.documents.machine import MachineKind, MachineProfile
from fitplanner.library.slips.finding import Severity
from fitplanner.quantities import Kind, figure_in_text

Band = tuple[float, float]
Plain = Mapping[str, Any]
"""Values of a profile by section and field, such as ``"fork.travel_mm"``; `kind` is the machine's.

Figures are plain numbers; what a profile leaves out is not there. With "±" before the key stands
a figure's spread.
"""

_FARTHEST = 12.0
_PART = 0.05
_ALLOWED_SPREADS = 1.5
"""How many spreads of its own, from those of its figures, a sign may lie out of its range."""


@dataclass(frozen=True)
class Sign:
    """What one rule read, and what is usual there.

    Attributes:
        name: of the rule; the same in every profile.
        key: the figure that is doubted first, with the row of a table.
        of: all figures that it hangs on.
        value, low, high: what was read and the range that is usual.
        text, mend: said where nothing explains it; figures as tokens.
        linear: the range is one of differences; else of ratios.
        spread: one standard deviation of the value, from those of its figures.
    """

    name: str
    key: str
    of: tuple[str, ...]
    value: float
    low: float
    high: float
    text: str | Callable[[], str]
    mend: str | Callable[[], str]
    severity: Severity = "caution"
    linear: bool = False
    spread: float = 0.0

    @property
    def outside(self) -> bool:
        """Whether it lies out of the usual range."""
        return not self.low <= self.value <= self.high

    @property
    def off(self) -> bool:
        """Whether it lies farther out than the spreads of its figures explain."""
        room = _ALLOWED_SPREADS * self.spread
        return not self.low - room <= self.value <= self.high + room

    @property
    def unlikely(self) -> float:
        """Square of the distance from the middle, where the range ends at two."""
        if self.linear:
            middle, half = (self.low + self.high) / 2, (self.high - self.low) / 2
            away = (self.value - middle) / half
        elif self.value <= 0:
            away = _FARTHEST
        else:
            middle, half = log(self.low * self.high) / 2, log(self.high / self.low) / 2
            away = (log(self.value) - middle) / half
        return float(min(2 * abs(away), _FARTHEST) ** 2)


Rule = Callable[[Plain], Iterator[Sign]]


def plain(profile: MachineProfile) -> dict[str, Any]:
    """The profile's values by section and field."""
    values: dict[str, Any] = {"kind": profile.kind}
    for name in type(profile).model_fields:
        section = getattr(profile, name)
        if isinstance(section, Section):
            for key in type(section).model_fields:
                value = getattr(section, key)
                if isinstance(value, Figure):
                    values[f"±{name}.{key}"] = value.spread
                    value = value.value
                if value is not None:
                    values[f"{name}.{key}"] = value
    return values


def is_child(v: Plain) -> bool:
    """Whether the machine is a child's, for which other sizes are usual."""
    return v["kind"] is MachineKind.CHILD


def _specs() -> dict[str, FigureSpec]:
    specs: dict[str, FigureSpec] = {}
    for name, field in MachineProfile.model_fields.items():
        model = field.annotation
        if isinstance(model, type) and issubclass(model, Section):
            specs |= {f"{name}.{spec.key}": spec for spec in model.specs()}
    return specs


SPECS: dict[str, FigureSpec] = _specs()
"""Label, kind and range of every figure of a profile."""


def said(key: str, value: float) -> str:
    """A value of the figure at `key` as a token; one that is small keeps digits to be seen."""
    whole = SPECS[key].kind in (Kind.LENGTH, Kind.FORCE, Kind.VOLUME)
    part = 0 < abs(value) < 10 or (abs(value) < 100 and abs(value - round(value)) >= _PART)
    decimals = (2 if abs(value) < 1 else 1) if whole and part else None
    return figure_in_text(value, SPECS[key].kind, decimals=decimals)


def in_words(value: float, kind: Kind) -> str:
    """A value that a rule read; ratios with two decimals."""
    return f"{value:.2f}" if kind is Kind.RATIO else figure_in_text(value, kind)
