"""How papers write figures, money and chances: in the shop's units and its decimal mark.

Owns the step from figures to finished words. Refuses to choose which figures are told.
"""

from collections.abc import Callable
from dataclasses import dataclass

from fitplanner.body.reach import Footing
from fitplanner.documents.machine import INVENTED, MachineProfile
from fitplanner.planning.bench import Blank, Quantity
from fitplanner.planning.plan import Plan
from fitplanner.quantities import (
    Kind,
    UnitSystem,
    fill,
    format_hours,
    format_on_tape,
    format_quantity,
    likelihood,
    of_100,
    shown_difference,
    unit_label,
)
from fitplanner.report.papers.paper import Fact, Line, Words

Money = Callable[[float], str]

HABIT = "†"
HABIT_FOOT = f"{HABIT} Common practice, no source: the maker's book for this machine goes first."

FOOTING = {
    Footing.BOTH_FLAT: "both feet flat",
    Footing.BOTH_BALLS: "the balls of both feet",
    Footing.BOTH_TOES: "the toes of both feet",
    Footing.ONE_FOOT_FLAT: "one foot flat",
    Footing.NONE: "no foot safely down",
}


@dataclass(frozen=True)
class Writer:
    """Writes for one shop; `money` writes an amount in its currency."""

    system: UnitSystem
    money: Money
    decimal_mark: str = "."
    no_currency: bool = False
    """The shop set none, and its region has none."""

    def text(
        self,
        value: float,
        kind: Kind = Kind.LENGTH,
        decimals: int | None = None,
        *,
        signed: bool = False,
    ) -> str:
        """A value with its unit; `decimals` are those in metric units."""
        text = format_quantity(
            value,
            kind,
            self.system,
            signed=signed,
            metric_decimals=decimals,
            decimal_mark=self.decimal_mark,
        )
        # A figure keeps its unit at the end of a line.
        return text.replace(" ", "\N{NO-BREAK SPACE}")

    def bare(self, value: float, kind: Kind = Kind.LENGTH) -> str:
        """A value before another one that carries their unit; an angle keeps its sign."""
        return format_quantity(
            value, kind, self.system, with_unit=kind is Kind.ANGLE, decimal_mark=self.decimal_mark
        )

    def band(self, low: float, high: float, kind: Kind = Kind.LENGTH) -> str:
        """From one value to another, the unit behind the second."""
        return f"{self.bare(low, kind)} to {self.text(high, kind)}".replace(
            " ", "\N{NO-BREAK SPACE}"
        )

    def difference(self, first: float, last: float, kind: Kind = Kind.LENGTH) -> float:
        """How much more `last` shows than `first`: what to write where both stand beside it."""
        return shown_difference(first, last, kind, self.system)

    def sentence(self, text: str) -> str:
        """A sentence with its figures filled in."""
        return fill(text, self.system, decimal_mark=self.decimal_mark)

    def tape(self, value_mm: float, decimals: int | None = None) -> str:
        """A length as it is read off a tape."""
        text = format_on_tape(
            value_mm, self.system, metric_decimals=decimals, decimal_mark=self.decimal_mark
        )
        return text.replace(" ", "\N{NO-BREAK SPACE}")

    def fact(self, quantity: Quantity, *, taped: bool = False) -> Fact:
        """A figure with its label; lengths as on a tape where one is used."""
        if taped and quantity.kind is Kind.LENGTH:
            return Fact(quantity.label, self.tape(quantity.value, quantity.decimals))
        return Fact(quantity.label, self.text(quantity.value, quantity.kind, quantity.decimals))

    def line(self, blank: Blank, *, taped: bool = False) -> Line:
        """A line to write on, or what is known already."""
        if taped and blank.kind is Kind.LENGTH and blank.value is not None:
            return Line(blank.label, self.tape(blank.value, 1))
        if blank.kind is None:
            return Line(blank.label)
        if blank.value is not None:
            return Line(blank.label, self.text(blank.value, blank.kind, 1))
        return Line(blank.label, unit=unit_label(blank.kind, self.system))

    def hours(self, hours: float) -> str:
        """Working time."""
        return format_hours(hours, decimal_mark=self.decimal_mark)


def chance_words(chance: float) -> str:
    """A chance from 0 to 1, for example "likely (87 of 100)"."""
    return f"{likelihood(chance)} ({of_100(chance)} of 100)"


def shop_words(plan: Plan, write: Writer) -> list[Words]:
    """That sizes were chosen with the shop's experience, where they were."""
    if plan.by_shop is None or not plan.by_shop.planned_for:
        return []
    start = "" if plan.by_shop.by_hand else "With the shop's experience. "
    return [Words(f"{start}{write.sentence(plan.by_shop.told)}", "quiet")]


def remark(machine: MachineProfile) -> str:
    """What has to stand on every paper of a machine that is made up."""
    return INVENTED if machine.invented else ""
