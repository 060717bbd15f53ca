"""What is not known of a plan, as pages and papers show it.

Owns the frozen result. Lengths in mm, canonical units throughout; sentences carry their figures
in the notation that `quantities.fill` shows. Refuses behaviour.
"""

from dataclasses import dataclass

from fitplanner.planning.plan import Band, Severity
from fitplanner.quantities import Kind

Address = tuple[str, str]
"""Section and key of a figure; the rider's and readings have sections of their own."""


@dataclass(frozen=True)
class KnownBand:
    """One figure of the plan with its 90 % band; `stock` where the machine has it before, too."""

    key: str
    label: str
    planned: Band
    stock: Band | None = None
    kind: Kind = Kind.LENGTH


@dataclass(frozen=True)
class Chance:
    """How likely a check of the plan holds.

    `chance` is None where the check was not followed; `certain` says that no uncertain figure
    moves it.
    """

    key: str
    title: str
    severity: Severity
    holds: bool
    chance: float | None
    certain: bool = False


@dataclass(frozen=True)
class Share:
    """An uncertain figure's shares of the variance of the footing and of the seat on its wheels.

    `first` alone, `total` with all that it does together with others. The last row of a ranking
    gathers all that is small.
    """

    address: Address | None
    label: str
    footing_first: float
    footing_total: float
    seat_first: float
    seat_total: float


@dataclass(frozen=True)
class Measure:
    """One act of measuring and what it is worth for the footing.

    `half_mm` and `left_mm` are half the 90 % band before and after; `spread` and `careful` one
    standard deviation of the figure now and of a careful reading. `expected` is what the tape
    should show, where the act is a reading of the machine as it stands.
    """

    address: Address
    label: str
    act: str
    kind: Kind
    spread: float
    careful: float
    half_mm: float
    left_mm: float
    worth: str
    expected: Band | None = None


@dataclass(frozen=True)
class Assumed:
    """A figure that nobody read anywhere: filled in by a rule or by habit."""

    address: Address
    label: str
    kind: Kind
    value: float
    spread: float
    rule: str


@dataclass(frozen=True)
class Unknown:
    """Everything that is not known, for one job and its plan.

    `unsure` counts the sampled figures, `left_out` the samples of which no machine stands.
    `footing_half_mm` is half the 90 % band of the spare under the planned seat (of that seat
    itself, stopped, where no footing is wanted), and `half_with_all_mm` what is left of it once
    every figure of `measure_next` is read.
    """

    samples: int
    unsure: int
    bands: tuple[KnownBand, ...]
    chances: tuple[Chance, ...]
    shares: tuple[Share, ...]
    measure_next: tuple[Measure, ...]
    assumed: tuple[Assumed, ...]
    footing_half_mm: float
    half_with_all_mm: float
    left_out: int = 0

    def band(self, key: str) -> KnownBand:
        """The band of one figure."""
        return next(each for each in self.bands if each.key == key)

    def chance(self, key: str) -> Chance:
        """How likely one check holds."""
        return next(each for each in self.chances if each.key == key)
