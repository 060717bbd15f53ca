"""What the readings say, as pages and papers show it.

Owns the frozen results. Lengths in mm, canonical units throughout; sentences carry their figures
in the notation that `quantities.fill` shows. Refuses behaviour.
"""

from dataclasses import dataclass

from fitplanner.documents.base import Figure
from fitplanner.documents.bench import MeasuredState, Place, Reading
from fitplanner.documents.machine import MachineKind, MachineProfile
from fitplanner.planning.plan import Band, Check, Plan, WayId
from fitplanner.planning.unknown.account import Address
from fitplanner.quantities import Kind

STATES = ("on_wheels", "rider_up", "stopped")
"""The states in which a drop of the seat is told, in this order."""


@dataclass(frozen=True)
class ReadingTold:
    """One reading against the fitted machine and against the other readings.

    Attributes:
        spread: one standard deviation, with the band in which friction may hold the machine.
        predicted: what the fitted machine shows; None where nothing tells where the mark is.
        residual: the reading less that.
        others: what all other used readings say with the band in which this one should lie;
            None where they say nothing of it.
        apart: the reading less the middle of that band.
        standardised: the same in its standard deviations (leave-one-out).
        fits: not named as wrong.
        why: why it is not used; "" where it is.
    """

    reading: Reading
    name: str
    kind: Kind
    spread: float
    predicted: float | None
    residual: float | None
    others: Band | None
    apart: float | None
    standardised: float | None
    used: bool
    fits: bool
    why: str = ""


@dataclass(frozen=True)
class Correction:
    """One figure of the machine before and after the fit, with 90 % bands."""

    address: Address
    label: str
    kind: Kind
    before: Figure
    after: Figure
    before_band: Band
    after_band: Band


@dataclass(frozen=True)
class DropChange:
    """The plan's drop of the seat in one state, its setup held, before and after the fit."""

    state: str
    label: str
    before: Band
    after: Band


@dataclass(frozen=True)
class NextReading:
    """A reading that is worth taking: half the 90 % band of the drop, stopped, without and with.

    `place` and `state` are those of what is read first for it.
    """

    key: str
    label: str
    act: str
    place: Place
    state: MeasuredState
    half_mm: float
    left_mm: float


@dataclass(frozen=True)
class Fit:
    """The machine fitted to its readings.

    Attributes:
        profile: the corrected profile, to plan on: `evaluate(job.replace(machine=fit.profile))`.
            The job keeps its own profile; one that is fitted already is not fitted again.
        misfits: one sentence for each reading that does not fit.
        aside: which readings are set aside; "" where none is.
        told: what else there is to say.
        surprise: chance of readings this far from the profile, were all as its spreads say.
    """

    readings: tuple[ReadingTold, ...]
    corrections: tuple[Correction, ...]
    profile: MachineProfile
    drops: tuple[DropChange, ...]
    misfits: tuple[str, ...]
    aside: str
    told: tuple[str, ...]
    next_readings: tuple[NextReading, ...]
    surprise: float


@dataclass(frozen=True)
class ReadingProof:
    """One reading after the work, by its short name, against what was predicted before it.

    `predicted` is the 90 % band of the reading; None where nothing predicts it. `inside` compares
    with that prediction, `fits` with the other readings: work that came out another way than
    planned is read right, and lies outside.
    """

    reading: Reading
    name: str
    kind: Kind
    predicted: Band | None
    delivered: float
    inside: bool | None
    fits: bool = True


@dataclass(frozen=True)
class DropProof:
    """The seat's drop in one state: as planned, as predicted before the work, as delivered.

    `inside`: None where nothing was read after the work. `on_tape`: taken from seat readings
    before and after; else worked out from all readings. The band of `delivered` is that of what a
    tape shows there: what the readings leave open, and where friction may hold the machine.
    """

    state: str
    label: str
    planned_mm: float
    predicted: Band
    delivered: Band
    inside: bool | None
    on_tape: bool


@dataclass(frozen=True)
class LeanProof:
    """The lean on the side-stand before and after [degrees]; None where it was not read.

    `before_read`: else it is worked out from the profile. `wanted`: the work changes the stand, so
    that the proof is not complete without the lean.
    """

    before_deg: float
    after_deg: float | None
    restored: bool | None
    agree: bool
    before_read: bool = True
    wanted: bool = False


@dataclass(frozen=True)
class AsBuilt:
    """One part or setting: what was planned, and what the readings say is in.

    `free` and `free_spread` are what the readings alone say, whatever was planned; None where
    they say nothing. `way` where it is a way to lower.
    """

    address: Address
    label: str
    kind: Kind
    planned: float
    band: Band
    free: float | None
    free_spread: float | None
    way: WayId | None = None


@dataclass(frozen=True)
class Proof:
    """The work against its plan.

    Attributes:
        complete: the drop was read on its wheels, before and after.
        surprise: chance of readings after the work this far off, were parts and machine as their
            spreads say.
        as_built: the plan of the machine as it was built, with what is in fixed by hand; of its
            checks those that fail by less than the readings can tell are left out.
        tell: what to tell the rider.
        look_at: what to look at before handing over; "" where every drop is inside its band.
        fit: all readings, before and after, on one machine.
    """

    readings: tuple[ReadingProof, ...]
    drops: tuple[DropProof, ...]
    lean: LeanProof
    parts: tuple[AsBuilt, ...]
    as_built: Plan
    misfits: tuple[str, ...]
    tell: tuple[str, ...]
    look_at: str
    complete: bool
    surprise: float
    fit: Fit

    @property
    def checks(self) -> tuple[Check, ...]:
        """Those of the machine as it was built."""
        return self.as_built.checks

    def drop(self, state: str) -> DropProof:
        """The drop in one state."""
        return next(each for each in self.drops if each.state == state)


@dataclass(frozen=True)
class WayResult:
    """One way in one closed job: nominal amount, and the share of it that was delivered."""

    way: WayId
    nominal_mm: float
    share: float
    spread: float


@dataclass(frozen=True)
class Closed:
    """One closed job in plain figures; `reference` is the shop's own word for it.

    The drop is that of the seat on its wheels.
    """

    reference: str
    kind: MachineKind
    predicted_mm: float
    delivered_mm: float
    ways: tuple[WayResult, ...] = ()
