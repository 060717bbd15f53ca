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
    from_display,
    to_display,
)


class Section(StrEnum):
    """Where in the work a step stands, in working order; the value is its heading."""

    BEFORE = "Before the work"
    FORK = "Fork"
    SHOCK = "Shock"
    LINKAGE = "Linkage"
    WHEELS = "Tyres"
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
    def said(self) -> str:
        """The step's figures in one line with tokens, as finely as they are shown."""
        return "; ".join(f"{each.label} {_token(each)}" for each in self.quantities)


def _token(quantity: Quantity) -> str:
    """The figure rounded as it is shown, so that what nobody could see is no change."""
    unit = display_unit(quantity.kind, UnitSystem.METRIC)
    shown = to_display(quantity.value, quantity.kind, UnitSystem.METRIC)
    decimals = quantity.decimals
    if decimals is None:
        decimals = unit.decimals + (abs(shown) < unit.fine_below)
    value = from_display(round(shown, decimals) + 0.0, quantity.kind, UnitSystem.METRIC)
    return figure_in_text(value, quantity.kind, decimals=decimals)
