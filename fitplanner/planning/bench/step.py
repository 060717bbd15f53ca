"""What one step of the bench sheet says: plain data, figures in canonical units.

Owns the shapes. Sentences carry figures as tokens that `quantities.fill` shows. Refuses layout.
"""

from dataclasses import dataclass
from enum import StrEnum

from fitplanner.documents.bench import MeasuredState, Place, When
from fitplanner.documents.torque import Fastener
from fitplanner.planning.plan import Caution
from fitplanner.quantities import Kind


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

    `habit` marks common practice without a source. `done` and `noted` come from the job's ticks.
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
