"""What happens to a job in the shop: how far it is, what the tape said, which steps are done.

Owns the shape of these records. A reading keeps the words that were typed beside its value, so
that nobody has to guess later what the tape showed. Refuses to judge a reading.
"""

from enum import StrEnum

from pydantic import Field, model_validator

from fitplanner.documents.base import Document

LONGEST_NOTE = 400


class Stage(StrEnum):
    """How far a job has come through the shop, in order."""

    ASKED = "asked"
    PLANNED = "planned"
    AGREED = "agreed"
    ORDERED = "ordered"
    IN_WORK = "in_work"
    MEASURED = "measured"
    HANDED_OVER = "handed_over"


class When(StrEnum):
    """Before the work or after it."""

    BEFORE = "before"
    AFTER = "after"


class Place(StrEnum):
    """Where the tape, the angle gauge or the measuring glass goes."""

    SEAT = "seat"
    FRONT_AXLE = "front_axle"
    REAR_AXLE = "rear_axle"
    STANCHION = "stanchion"
    STAND_LEAN = "stand_lean"
    OIL_DRAINED = "oil_drained"


class MeasuredState(StrEnum):
    """The state in which a reading was taken."""

    EXTENDED = "extended"
    ON_WHEELS = "on_wheels"
    RIDER_UP = "rider_up"
    PARKED = "parked"


class Settled(StrEnum):
    """How the machine came to rest: friction holds it on the side it came from."""

    ANYHOW = "anyhow"
    PUSHED_DOWN = "pushed_down"
    LIFTED = "lifted"


_STATES: dict[Place, frozenset[MeasuredState]] = {
    # With the wheels hanging the seat's height is the lift's, not the machine's.
    Place.SEAT: frozenset((MeasuredState.ON_WHEELS, MeasuredState.RIDER_UP)),
    Place.FRONT_AXLE: frozenset(
        (MeasuredState.EXTENDED, MeasuredState.ON_WHEELS, MeasuredState.RIDER_UP)
    ),
    Place.REAR_AXLE: frozenset(
        (MeasuredState.EXTENDED, MeasuredState.ON_WHEELS, MeasuredState.RIDER_UP)
    ),
    Place.STANCHION: frozenset((MeasuredState.EXTENDED,)),
    Place.STAND_LEAN: frozenset((MeasuredState.PARKED,)),
    Place.OIL_DRAINED: frozenset((MeasuredState.EXTENDED,)),
}


class Reading(Document):
    """One reading: mm of the tape, degrees of lean or mL of one leg's oil, as `place` has it.

    Seat: from the ground to the seat beside the rider's dent. Front and rear axle: from the axle
    straight up to a fixed mark on fender or tail, the same mark before and after. `spread` is one
    standard deviation of such a reading. `set_aside` keeps a reading without using it.
    """

    when: When
    place: Place
    state: MeasuredState
    settled: Settled = Settled.ANYHOW
    value: float = Field(ge=-90.0, le=3000.0)
    spread: float = Field(default=2.0, gt=0.0, le=100.0)
    typed: str = Field(default="", max_length=60)
    set_aside: bool = False

    @model_validator(mode="after")
    def _can_be_taken(self) -> "Reading":
        if self.state not in _STATES[self.place]:
            raise ValueError(
                f"reading: {self.place.value} is not read in the state {self.state.value}"
            )
        return self


class Quote(Document):
    """The price that was agreed with the rider, as it was then; later rates do not touch it.

    Amounts are of `currency`, an ISO 4217 code; "" is the currency of the system's region.
    """

    price: float = Field(ge=0.0, le=1e9, title="Price agreed")
    hours: float = Field(ge=0.0, le=1e4)
    parts: float = Field(ge=0.0, le=1e9)
    hourly: float = Field(ge=0.0, le=1e6)
    currency: str = Field(default="", pattern=r"^([A-Z]{3})?$")


class Tick(Document):
    """One step of the bench sheet that is done; `noted` is what was written beside it.

    `said`: the figures of the step when it was ticked, a sentence with figure tokens; "" where
    that is not known.
    """

    step: str = Field(min_length=1, max_length=80)
    done: bool = True
    noted: str = Field(default="", max_length=LONGEST_NOTE)
    said: str = ""
