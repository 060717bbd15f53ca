"""What a search finds: options to choose from, and what it left out and why.

Owns the frozen result. Lengths in mm, angles in degrees, money in the shop's own currency.
Refuses behaviour.
"""

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.job import Choices

MOST_FOOTING_MM = 12.0
"""Spare footing beyond this is no better to a rider: assumption."""


class Measure(StrEnum):
    """What an option is judged by; every one is turned so that more is better."""

    FOOTING = "footing"
    TRAVEL = "travel"
    RESERVE = "reserve"
    STEERING = "steering"
    SAG = "sag"
    CLEARANCE = "clearance"
    LEGROOM = "legroom"
    COST = "cost"
    HOURS = "hours"
    UNDO = "undo"


@dataclass(frozen=True)
class Measures:
    """One option's figures.

    `footing_mm`: the seat is this far under the height that the wanted footing needs, `stopped`.
    `travel`: share of the stock wheel travel kept, the lesser end. `reserve`: share of the stock
    bottoming reserve kept, the lesser end. `steering_mm`: change of trail, rider up, absolute.
    `sag_miss`: how far both rider sags lie outside their windows, shares of the travel added.
    `clearance_mm`: ground clearance on its wheels. `knee_deg`: knee angle on the pegs.
    `undo`: share of the work that can be undone by fitting the old parts.
    """

    footing_mm: float
    travel: float
    reserve: float
    steering_mm: float
    sag_miss: float
    clearance_mm: float
    knee_deg: float
    cost: float
    hours: float
    undo: float


@dataclass(frozen=True)
class Option:
    """One choice: what to fit, why it stands in the list, and the choices that reproduce it.

    `new_stand`: the old side-stand would be too long.
    """

    reason: str
    ways: tuple[tuple[str, float], ...]
    measures: Measures
    choices: Choices
    score: float
    new_stand: bool = False


@dataclass(frozen=True)
class Priorities:
    """What matters to the customer, each from 0 (nothing) to 1 (most)."""

    travel: float = 0.5
    steering: float = 0.5
    comfort: float = 0.5
    price: float = 0.5


@dataclass(frozen=True)
class Excluded:
    """How many combinations one limit ruled out (a combination may fall to several)."""

    key: str
    title: str
    count: int


@dataclass(frozen=True)
class Relaxation:
    """The least relaxation of one limit that would let an option through.

    `by` is in the limit's own unit (mm, or a share for travel and load); the option is the one
    that it would let through.
    """

    key: str
    title: str
    by: float
    unit: str
    option: Option


@dataclass(frozen=True)
class Front:
    """Every option that no other beats in all measures: arrays of one length.

    `measures` are turned so that more is better; `new_stand` is empty where it is not known.
    """

    measures: dict[Measure, NDArray[np.float64]]
    shown: dict[Measure, NDArray[np.float64]]
    choices: tuple[Choices, ...] = field(default=(), repr=False)
    new_stand: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(0, dtype=bool))


@dataclass(frozen=True)
class Found:
    """The answer of a search."""

    candidates: int
    evaluated: int
    pruned: int
    fitting: int
    excluded: tuple[Excluded, ...]
    options: tuple[Option, ...]
    front: Front = field(compare=False)
    relaxations: tuple[Relaxation, ...] = ()
    complete: bool = True
