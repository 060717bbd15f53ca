"""The cells of a comparison: finished words, and how each differs from the first column's.

Owns how a difference is told for figures, money, hours and words. Refuses to know which figures
are compared.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from fitplanner.quantities import (
    Kind,
    UnitSystem,
    format_hours,
    format_quantity,
    shown_difference,
)
from fitplanner.quantities.formatting import MINUS

NOTHING = "\N{EN DASH}"
OTHER = "\N{NOT EQUAL TO}"
"""Stands before words that differ from those of the first column."""

Money = Callable[[float], str]


@dataclass(frozen=True)
class Cell:
    """Finished words; `change` tells how they differ from the first column, "" where they agree."""

    text: str
    change: str = ""

    @property
    def words(self) -> str:
        """Text and difference in one."""
        if self.change in ("", OTHER):
            return f"{self.change} {self.text}".lstrip()
        return f"{self.text} ({self.change})"


@dataclass(frozen=True)
class Row:
    """One matter in all columns."""

    label: str
    cells: tuple[Cell, ...]

    @property
    def differs(self) -> bool:
        """Whether any column differs from the first."""
        return any(cell.change for cell in self.cells)


@dataclass(frozen=True)
class Section:
    """Rows that belong together."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Writer:
    """Writes values and their differences from the first column."""

    system: UnitSystem
    decimal_mark: str
    money: Money

    def text(
        self, value: float, kind: Kind, decimals: int | None = None, *, signed: bool = False
    ) -> str:
        """One value with its unit."""
        return format_quantity(
            value,
            kind,
            self.system,
            signed=signed,
            metric_decimals=decimals,
            decimal_mark=self.decimal_mark,
        )

    def row(
        self,
        label: str,
        values: Sequence[float | None],
        kind: Kind = Kind.LENGTH,
        decimals: int | None = None,
    ) -> Row:
        """A row of figures."""
        return Row(label, tuple(self._cell(value, values[0], kind, decimals) for value in values))

    def _cell(
        self, value: float | None, first: float | None, kind: Kind, decimals: int | None
    ) -> Cell:
        if value is None:
            return Cell(NOTHING, "" if first is None else OTHER)
        text = self.text(value, kind, decimals)
        if first is None:
            return Cell(text, OTHER)
        if text == self.text(first, kind, decimals):
            return Cell(text)
        if kind is Kind.PERCENT:
            points = f"{100 * abs(value - first):.{decimals or 0}f}"
            sign = "+" if value > first else MINUS
            return Cell(text, f"{sign}{points.replace('.', self.decimal_mark)} points")
        change = shown_difference(first, value, kind, self.system, metric_decimals=decimals)
        return Cell(text, self.text(change, kind, decimals, signed=True))

    def prices(self, label: str, values: Sequence[float | None]) -> Row:
        """A row of amounts of money."""
        return Row(label, tuple(self._plain(v, values[0], self.money) for v in values))

    def hours(self, label: str, values: Sequence[float | None]) -> Row:
        """A row of working time."""

        def text(value: float) -> str:
            return format_hours(value, decimal_mark=self.decimal_mark)

        return Row(label, tuple(self._plain(v, values[0], text) for v in values))

    @staticmethod
    def _plain(value: float | None, first: float | None, text: Callable[[float], str]) -> Cell:
        if value is None:
            return Cell(NOTHING, "" if first is None else OTHER)
        shown = text(value)
        if first is None:
            return Cell(shown, OTHER)
        if shown == text(first):
            return Cell(shown)
        return Cell(shown, f"{'+' if value > first else MINUS}{text(abs(value - first))}")


def words_row(label: str, texts: Sequence[str]) -> Row:
    """A row of words."""
    return Row(label, tuple(Cell(text, "" if text == texts[0] else OTHER) for text in texts))
