"""What one step of the bench sheet says: plain data, figures in canonical units.

Owns the shapes. Sentences carry figures as tokens that `quantities.fill` shows. Refuses layout.
"""

from dataclasses import dataclass
from enum import StrEnum

from fitplanner.documents.bench import MeasuredState, Place, When
from fitplanner.documents.torque import Fastener
from fitplanner.planning.plan import Caution
from fitplanner.quantities import (
    Kind,
    UnitSystem,
    display_unit,
    figure_in_text,
    fill,
    split_figures,
    to_display,
)

_TENTH = 0.1
"""Less is no change of a figure, in the unit in which it is shown: assumption."""


class Section(StrEnum):
    """Where in the work a step stands, in working order; the value is its heading."""

    BEFORE = "Before the work"
    WHEELS = "Tyres"
    FORK = "Fork"
    SHOCK = "Shock"
    LINKAGE = "Linkage"
    SEAT = "Seat and boots"
    GROUND = "On its wheels again"
    AFTER = "Measure again"
    HANDOVER = "Before it goes out"


@dataclass(frozen=True)
class Quantity:
    """A figure to work to. `decimals` are those in metric units; None takes the usual ones."""

    label: str
    value: float
    kind: Kind = Kind.LENGTH
    decimals: int | None = None


@dataclass(frozen=True)
class Blank:
    """Room to write a reading; `value` is filled in where the job already has it.

    `place`, `state` and `when` tell which reading of the job it is; a blank without `place` is
    for the sheet alone. `kind` None is for words.
    """

    label: str
    kind: Kind | None = Kind.LENGTH
    place: Place | None = None
    state: MeasuredState | None = None
    when: When | None = None
    value: float | None = None


@dataclass(frozen=True)
class TorqueLine:
    """What is tightened; `words` and `source` are empty where the profile quotes no torque."""

    fastener: Fastener
    label: str
    words: str = ""
    source: str = ""


@dataclass(frozen=True)
class Step:
    """One step. `key` never changes its meaning: `documents.bench.Tick.step` holds it.

    `habit` marks common practice without a source. `done` and `noted` come from the job's ticks;
    `was` is what the step said when it was ticked, where it says something else now.
    """

    key: str
    section: Section
    text: str
    quantities: tuple[Quantity, ...] = ()
    tools: tuple[str, ...] = ()
    torques: tuple[TorqueLine, ...] = ()
    blanks: tuple[Blank, ...] = ()
    cautions: tuple[Caution, ...] = ()
    habit: bool = False
    done: bool = False
    noted: str = ""
    was: str = ""

    @property
    def taped(self) -> bool:
        """Whether its lengths are read off a tape, in inches to a sixteenth."""
        return "tape" in self.tools

    @property
    def said(self) -> str:
        """The step's figures in one line with tokens, exact, to be shown as they are worked to."""
        return "; ".join(f"{each.label} {_token(each)}" for each in self.quantities)

    def differs(self, said: str) -> bool:
        """Whether figures once said are others now, by more than anybody works to."""
        if fill(said, UnitSystem.METRIC) == fill(self.said, UnitSystem.METRIC):
            return False
        (words, before), (words_now, now) = split_figures(said), split_figures(self.said)
        if words != words_now or len(now) != len(self.quantities):
            return True
        return any(
            kind is not kind_now or _apart(value, each)
            for (kind, value), (kind_now, _), each in zip(before, now, self.quantities, strict=True)
        )


def _decimals(quantity: Quantity) -> int:
    if quantity.decimals is not None:
        return quantity.decimals
    unit = display_unit(quantity.kind, UnitSystem.METRIC)
    shown = to_display(quantity.value, quantity.kind, UnitSystem.METRIC)
    return unit.decimals + (abs(shown) < unit.fine_below)


def _token(quantity: Quantity) -> str:
    return figure_in_text(quantity.value, quantity.kind, decimals=_decimals(quantity))


def _apart(was: float, quantity: Quantity) -> bool:
    """Shown otherwise, and by a tenth of a unit or by the last place where that is finer.

    Two figures a hair apart can be rounded to either side.
    """
    decimals = _decimals(quantity)
    before, now = (
        to_display(value, quantity.kind, UnitSystem.METRIC) for value in (was, quantity.value)
    )
    if round(before, decimals) == round(now, decimals):
        return False
    return abs(now - before) > min(_TENTH, 10.0**-decimals) * (1 - 1e-6)
