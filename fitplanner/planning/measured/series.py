"""The series of readings: in which order they are taken, how, and within which limits.

Owns one step for each place and state that a reading can have. Refuses readings themselves. Limits
are where a slip of the pen is likelier than such a machine, spreads one standard deviation of a
reading taken with some care; both are assumptions.
"""

from dataclasses import dataclass

from fitplanner.documents.bench import MeasuredState, Place, Reading, Settled, When
from fitplanner.planning.measured.tape import Spot
from fitplanner.quantities import Kind


@dataclass(frozen=True)
class Step:
    """One reading to take; `low`, `high` and `spread` in the canonical unit of its kind.

    `how` is said before the work, `how_after` after it where that differs.
    """

    place: Place
    state: MeasuredState
    title: str
    how: str
    low: float
    high: float
    spread: float
    how_after: str = ""

    def told(self, when: When) -> str:
        """How it is taken."""
        return self.how_after if when is When.AFTER and self.how_after else self.how

    @property
    def kind(self) -> Kind:
        """What is read."""
        return self.spot(When.BEFORE).kind

    @property
    def rubs(self) -> bool:
        """Whether it matters how the machine came to rest."""
        return self.state in (MeasuredState.ON_WHEELS, MeasuredState.RIDER_UP)

    def spot(self, when: When, settled: Settled = Settled.ANYHOW) -> Spot:
        """The step as something that can be read."""
        return Spot(when, self.place, self.state, settled)

    def takes(self, reading: Reading) -> bool:
        """Whether `reading` is one of this step."""
        return (reading.place, reading.state) == (self.place, self.state)


SETTLING = {
    Settled.ANYHOW: "",
    Settled.PUSHED_DOWN: "Before reading, push that end down and let it come up slowly.",
    Settled.LIFTED: "Before reading, lift that end and let it come down slowly.",
}
"""What to do so that friction holds the machine on a known side."""

_HUNG, _WHEELS = MeasuredState.EXTENDED, MeasuredState.ON_WHEELS
_UP, _PARKED = MeasuredState.RIDER_UP, MeasuredState.PARKED
_HANGING = "Machine on a stand, both wheels hanging free"
_STANDING = "Machine upright on its wheels, nobody on it"
_SITTING = "Rider up in full gear, feet on the pegs, a helper holding it upright"


def _axle(end: str, panel: str, place: Place, state: MeasuredState, words: str) -> Step:
    where = {_HUNG: _HANGING, _WHEELS: _STANDING, _UP: _SITTING}[state]
    same = f"{where}: tape from the {end} axle straight up to the same mark on the {panel}."
    first = (
        f"{where}: choose a point on the {panel} straight above the {end} axle, mark it, and tape "
        "from the axle to the mark. Keep that mark for all further readings. Read it twice, the "
        "tape taken off in between: of all readings this one is checked least by the others."
    )
    how = first if state is _HUNG else same
    return Step(place, state, f"{end.title()} axle, {words}", how, 100.0, 1500.0, 2.0, same)


def _seat(state: MeasuredState, words: str, where: str) -> Step:
    how = f"{where}: tape from the ground straight up to the seat, beside the rider's dent."
    return Step(Place.SEAT, state, f"Seat, {words}", how, 250.0, 1500.0, 2.0)


def _ends(state: MeasuredState, words: str) -> tuple[Step, Step]:
    return (
        _axle("front", "front fender", Place.FRONT_AXLE, state, words),
        _axle("rear", "tail", Place.REAR_AXLE, state, words),
    )


STEPS: tuple[Step, ...] = (
    *_ends(_HUNG, "wheels hanging"),
    Step(
        Place.STANCHION,
        _HUNG,
        "Stanchion over the clamp",
        "Measure along the tube from the top face of the upper clamp to the tube's upper end.",
        0.0,
        200.0,
        0.5,
    ),
    _seat(_WHEELS, "on its wheels", _STANDING),
    *_ends(_WHEELS, "on its wheels"),
    _seat(_UP, "rider up", _SITTING),
    *_ends(_UP, "rider up"),
    Step(
        Place.STAND_LEAN,
        _PARKED,
        "Lean on the side-stand",
        "Parked on its side-stand on level ground: hold an angle gauge upright against the rear "
        "wheel and read the angle from the vertical, three times.",
        0.0,
        45.0,
        0.5,
    ),
    Step(
        Place.OIL_DRAINED,
        _HUNG,
        "Oil drained from one leg",
        "Let one fork leg drain into a measuring glass until it only drips, and read at the eye's "
        "level. Some oil clings inside and stays there: an assumed amount is added for it.",
        50.0,
        2000.0,
        5.0,
    ),
)
"""All steps by state, so that the machine is moved seldom; the marks are chosen first."""


def steps(when: When) -> tuple[Step, ...]:
    """The steps before or after the work; the oil is drained once."""
    return tuple(
        each for each in STEPS if when is When.BEFORE or each.place is not Place.OIL_DRAINED
    )


def step_of(reading: Reading) -> Step:
    """The step that a reading belongs to."""
    return next(each for each in STEPS if each.takes(reading))


_SIDES = {Settled.ANYHOW: "", Settled.PUSHED_DOWN: ", pushed down", Settled.LIFTED: ", lifted"}


def title_of(reading: Reading) -> str:
    """What was read, such as "Rear axle, rider up, lifted"."""
    return f"{step_of(reading).title}{_SIDES[reading.settled]}"


def following(step: Step, settled: Settled, when: When) -> tuple[Step, Settled] | None:
    """What is read next: where friction's sides are taken, both of them, then the next step.

    None after the last step.
    """
    if step.rubs and settled is Settled.PUSHED_DOWN:
        return step, Settled.LIFTED
    row = steps(when).index(step) + 1
    if row == len(steps(when)):
        return None
    return steps(when)[row], Settled.ANYHOW if settled is Settled.ANYHOW else Settled.PUSHED_DOWN
