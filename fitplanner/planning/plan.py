"""The plan: every figure, check and picture that follows from one job.

Owns the frozen result that pages, papers and the command line show; they compute nothing.
Lengths in mm, angles in degrees, loads in N, rates in N/mm, volumes in mL. Sentences carry
their figures in the notation that `quantities.fill` shows in any unit system. Refuses behaviour.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fitplanner.body.reach import Footing
from fitplanner.outline import Scene
from fitplanner.quantities import Kind

End = Literal["front", "rear"]
ENDS: tuple[End, End] = ("front", "rear")


@dataclass(frozen=True)
class Band:
    """A value with its 90 % band."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class StateFigures:
    """One state of one machine; compressions from stock full extension.

    `front_stop`, `rear_stop` are "", "topped out" or "bottomed". `lean_deg` only parked.
    """

    seat_height_mm: float
    fork_compression_mm: float
    rear_compression_mm: float
    pitch_deg: float
    rake_deg: float
    trail_mm: float
    wheelbase_mm: float
    front_load_n: float
    rear_load_n: float
    front_stop: str = ""
    rear_stop: str = ""
    lean_deg: float | None = None


@dataclass(frozen=True)
class States:
    """All six states of one machine."""

    extended: StateFigures
    on_wheels: StateFigures
    rider_up: StateFigures
    stopped: StateFigures
    full_bump: StateFigures
    parked: StateFigures


STATE_LABELS = {
    "extended": "Wheels hanging",
    "on_wheels": "On its wheels",
    "rider_up": "Rider up",
    "stopped": "Stopped",
    "full_bump": "Full bump",
    "parked": "Parked",
}
STATE_NAMES = tuple(STATE_LABELS)


@dataclass(frozen=True)
class StatePair:
    """Stock and planned."""

    stock: States
    planned: States


@dataclass(frozen=True)
class FootingFigures:
    """What reaches the ground on one machine, `stopped`.

    `margin_mm`: spare leg for flat feet, negative where the heels lift. `seat_mm`: seat height
    with the foam squashed. One foot alone: lean, load on that foot and its share of the rider's
    weight; zero where both feet are down.
    """

    footing: Footing
    seat_mm: float
    half_arc_mm: float
    margin_mm: float
    heel_lift_mm: float
    gap_mm: float
    lean_deg: float = 0.0
    foot_load_n: float = 0.0
    weight_share: float = 0.0


@dataclass(frozen=True)
class Requirement:
    """The least drop of the seat, `stopped`, that reaches the wanted footing.

    `chance`: how likely the planned machine gives the wanted footing, from 0 to 1. `spare_mm`: how
    far the stock seat is under the seat that the footing needs, negative where it is above;
    zero where no footing is wanted. `need_here_mm`: the drop needed on the planned seat and sole,
    which is less where a narrower seat or a thicker sole helps.
    """

    wanted: Footing
    drop_mm: Band
    need_here_mm: float
    planned_drop_mm: Band
    reached: bool
    chance: float
    spare_mm: Band
    inside_leg_mm: Band
    inside_leg_estimated: bool
    stock: FootingFigures
    planned: FootingFigures
    widest: tuple[tuple[str, float], ...]
    """What widens the band most: label and share of the variance, largest first."""


@dataclass(frozen=True)
class Split:
    """How the drop divides between both axles; heights of the axles against the chassis."""

    front_drop_mm: float
    rear_drop_mm: float
    seat_drop_mm: float
    seat_share: float
    pitch_change_deg: float
    pitch_wish_deg: float
    reason: str


class WayId(StrEnum):
    """The ways to bring a seat down; values are the keys in jobs and profiles."""

    FORK_LIMITER = "fork_limiter"
    SHOCK_LIMITER = "shock_limiter"
    RAISED_STANCHIONS = "raised_stanchions"
    LOWER_SEAT = "lower_seat"
    SHORTER_SHOCK = "shorter_shock"
    LONGER_RODS = "longer_rods"
    NARROWER_SEAT = "narrower_seat"
    SMALLER_TYRES = "smaller_tyres"
    THICKER_SOLE = "thicker_sole"


@dataclass(frozen=True)
class WayAmount:
    """One way with its amount. `axle_mm` is what it moves the axle, `seat_mm` the seat alone."""

    way: WayId
    label: str
    amount_mm: float
    by_hand: bool
    offered: bool
    maximum_mm: float
    step_mm: float
    axle_mm: float
    seat_mm: float
    note: str


@dataclass(frozen=True)
class SpringOption:
    """One spring that can be bought, with the preload that suits it and what it gives."""

    rate_n_mm: float
    preload_mm: float
    free_sag_mm: float
    rider_sag_mm: float
    free_ok: bool
    rider_ok: bool
    reserve_mm: float
    chosen: bool
    stock: bool


@dataclass(frozen=True)
class SagFigures:
    """Sag at one end, front along the fork, rear at the wheel, from the new full extension."""

    free_mm: float
    rider_mm: float
    free_band_mm: tuple[float, float]
    rider_band_mm: tuple[float, float]
    travel_mm: float
    stock_travel_mm: float


@dataclass(frozen=True)
class SpringPlan:
    """Spring and preload at one end; windows in mm at the remaining travel.

    `ideal`: rate and preload that put both sags in the middle of their windows, as if springs
    came in every rate; None where no preload that can be set does it.
    """

    end: End
    rate_n_mm: float
    preload_mm: float
    rate_by_hand: bool
    preload_by_hand: bool
    ideal: tuple[float, float] | None
    legs: int
    stock_rate_n_mm: float
    stock_preload_mm: float
    stock_sag: SagFigures
    sag: SagFigures
    free_window_mm: tuple[float, float]
    rider_window_mm: tuple[float, float]
    yields: str
    pulls: str
    options: tuple[SpringOption, ...]


@dataclass(frozen=True)
class Delivered:
    """What the tape will show on wheels, against the sizes on the parts.

    nominal = on_wheels + geometry + springs + preload; the last three are what each takes away
    (negative: gives).
    """

    nominal_mm: float
    on_wheels_mm: Band
    stopped_mm: float
    geometry_mm: float
    rate_mm: float
    preload_mm: float
    reason: str


@dataclass(frozen=True)
class ByShop:
    """The planned setup as the shop's closed jobs came out: the drop on wheels with its 90 % band.

    `planned_for`: the amounts are to be chosen for it; `by_hand`: all of them stay as they were
    set, so that nothing is. `reached`: the wanted footing as those jobs came out, with `chance`,
    the drop, stopped, and the spare that this leaves. `unlearned`: ways in the plan of which
    nothing is learned yet, by their labels.
    """

    jobs: int
    planned_for: bool
    on_wheels_mm: Band
    reached: bool
    unlearned: tuple[str, ...]
    told: str
    chance: float
    stopped_mm: float
    spare_mm: float
    by_hand: bool


@dataclass(frozen=True)
class Consequence:
    """One figure that changes with the plan."""

    topic: str
    label: str
    stock: float | None
    planned: float | None
    kind: Kind
    decimals: int | None = None
    note: str = ""


class Severity(StrEnum):
    """How much a check that does not hold weighs."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


class Basis(StrEnum):
    """Where a limit comes from."""

    STANDARD = "standard"
    MAKER = "maker"
    PRACTICE = "common practice"
    ASSUMPTION = "assumption"


@dataclass(frozen=True)
class Check:
    """A value against a limit. `margin` is positive where it holds; same kind as the value."""

    key: str
    title: str
    holds: bool
    severity: Severity
    value: float
    limit: float
    margin: float
    kind: Kind
    reason: str
    basis: Basis
    source: str
    decimals: int | None = None


@dataclass(frozen=True)
class Caution:
    """A hazard of the work, at the step where it stands."""

    step: str
    text: str


@dataclass(frozen=True)
class Series:
    """One curve of a plot: x and y in canonical units."""

    name: str
    x: NDArray[np.float64]
    y: NDArray[np.float64]


@dataclass(frozen=True)
class Plots:
    """Wheel force and leverage through travel, stock and planned."""

    wheel_force: Mapping[End, tuple[Series, ...]]
    leverage: tuple[Series, ...]


@dataclass(frozen=True)
class Pictures:
    """Both views by state; each scene is built when first looked at."""

    side: Mapping[str, Scene]
    front: Mapping[str, Scene]


@dataclass(frozen=True)
class Plan:
    """Everything that follows from a job."""

    requirement: Requirement
    split: Split
    ways: tuple[WayAmount, ...]
    springs: Mapping[End, SpringPlan]
    delivered: Delivered
    states: StatePair
    consequences: tuple[Consequence, ...]
    checks: tuple[Check, ...]
    cautions: tuple[Caution, ...]
    assumptions: tuple[str, ...]
    plots: Plots = field(compare=False)
    pictures: Pictures = field(compare=False)
    summary: str = ""
    by_shop: ByShop | None = None
    """Only where the job asks for it."""

    @property
    def stopped_by(self) -> tuple[Check, ...]:
        """Checks that forbid the plan."""
        return tuple(c for c in self.checks if not c.holds and c.severity is Severity.STOP)
