"""Owns how a page writes figures: one unit system and one decimal mark for all of them.

Refuses typed text, and any figure that no plan holds.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLocale

from fitplanner.quantities import (
    Kind,
    UnitSystem,
    display_unit,
    fill,
    format_on_tape,
    format_quantity,
    shown_difference,
    shown_rest,
    unit_label,
)

ARROW = "→"
# Spaces that keep a figure and its unit, or both ends of a change, on one line.
_STIFF = str.maketrans({" ": "\N{NO-BREAK SPACE}"})


def decimal_mark(locale: QLocale) -> str:
    """The decimal mark of `locale`: one of the two that are read and written here."""
    return "," if locale.decimalPoint() == "," else "."


@dataclass(frozen=True, slots=True)
class Figures:
    """Writes canonical values; figures never break over two lines."""

    system: UnitSystem = UnitSystem.METRIC
    decimal_mark: str = "."

    @classmethod
    def of(cls, system: UnitSystem, locale: QLocale) -> "Figures":
        """Figures in `system` with the decimal mark of `locale`."""
        return cls(system, decimal_mark(locale))

    def text(
        self,
        value: float,
        kind: Kind = Kind.LENGTH,
        *,
        signed: bool = False,
        decimals: int | None = None,
        with_unit: bool = True,
    ) -> str:
        """One value; `decimals` are those wanted in metric units, carried over to others."""
        text = format_quantity(
            value,
            kind,
            self.system,
            with_unit=with_unit,
            signed=signed,
            metric_decimals=decimals,
            decimal_mark=self.decimal_mark,
        )
        return text.translate(_STIFF)

    def bare(self, value: float, kind: Kind = Kind.LENGTH, *, decimals: int | None = None) -> str:
        """One value without its unit, for a column that names it."""
        return self.text(value, kind, decimals=decimals, with_unit=False)

    def change(
        self,
        stock: float,
        planned: float,
        kind: Kind = Kind.LENGTH,
        *,
        decimals: int | None = None,
        with_unit: bool = True,
    ) -> str:
        """Before and after, for example "905 → 864 mm"."""
        before = self.bare(stock, kind, decimals=decimals)
        after = self.text(planned, kind, decimals=decimals, with_unit=with_unit)
        return f"{before} {ARROW} {after}".translate(_STIFF)

    def difference(
        self,
        stock: float,
        planned: float,
        kind: Kind = Kind.LENGTH,
        *,
        decimals: int | None = None,
    ) -> float:
        """How much more `planned` shows than `stock`: what to write where both stand beside it."""
        return shown_difference(stock, planned, kind, self.system, metric_decimals=decimals)

    def rest(self, whole_mm: float, *parts_mm: float) -> float:
        """What is left of a length as it is shown, less parts as they are shown."""
        return shown_rest(whole_mm, *parts_mm, system=self.system)

    def tape(self, value_mm: float, *, decimals: int | None = None) -> str:
        """A length as it is read off a tape."""
        text = format_on_tape(
            value_mm, self.system, metric_decimals=decimals, decimal_mark=self.decimal_mark
        )
        return text.translate(_STIFF)

    def length(self, value_mm: float, less_mm: float = 0.0, /) -> str:
        """A length as a picture writes it; what `less_mm` shows is taken off."""
        return self.text(self.difference(less_mm, value_mm))

    def unit(self, kind: Kind = Kind.LENGTH) -> str:
        """The unit's label."""
        return unit_label(kind, self.system)

    def headed(self, heading: str, kind: Kind = Kind.LENGTH) -> str:
        """A column's heading with its unit, for example "Seat height, mm"."""
        return f"{heading}, {self.unit(kind)}" if self.unit(kind) else heading

    def sentence(self, text: str) -> str:
        """A sentence of the plan, its figures in the unit shown."""
        return fill(text, self.system, decimal_mark=self.decimal_mark)

    def array(self, values: NDArray[np.float64], kind: Kind) -> NDArray[np.float64]:
        """Canonical values in the unit shown."""
        return values / display_unit(kind, self.system).factor
