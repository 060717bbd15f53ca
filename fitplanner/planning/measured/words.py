"""Readings in a mechanic's words.

Owns their names and the sentences about them, figures as tokens. Refuses to compute.
"""

from collections.abc import Sequence

from fitplanner.body.reach import Footing
from fitplanner.documents.bench import MeasuredState, Place, Reading, Settled, When
from fitplanner.planning.measured.account import DropProof, LeanProof
from fitplanner.planning.measured.series import title_of
from fitplanner.planning.measured.tape import Spot, spot_of
from fitplanner.planning.plan import Plan, Severity
from fitplanner.quantities import (
    Kind,
    figure_in_text,
    likelihood,
    mm_in_text,
    moved_in_text,
    of_100,
)

_PLACES = {
    Place.SEAT: "seat",
    Place.FRONT_AXLE: "front",
    Place.REAR_AXLE: "rear",
    Place.STANCHION: "stanchion",
    Place.STAND_LEAN: "side-stand lean",
    Place.OIL_DRAINED: "drained oil",
}
_STATES = {
    MeasuredState.EXTENDED: "wheel-hanging",
    MeasuredState.ON_WHEELS: "on-wheels",
    MeasuredState.RIDER_UP: "rider-up",
}
_SETTLED = {
    Settled.ANYHOW: "",
    Settled.PUSHED_DOWN: " (pushed down)",
    Settled.LIFTED: " (lifted)",
}
_STATELESS = (Place.STANCHION, Place.STAND_LEAN, Place.OIL_DRAINED)
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")

_LOOKS = 5

SET_ASIDE = "Set aside"
LEFT_OUT = "Does not fit the others: left out until it is measured again"
LEAN_AFTER = "Compared with the lean before the work: it hangs on the stand that is on"
OIL_AFTER = "Oil drained says what was in before the work; after it the measuring glass says it"
NOTHING_AFTER = "Nothing was measured after the work yet: read the seat on its wheels first."


def number(count: int) -> str:
    """A count in words up to ten."""
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def spot_name(spot: Spot) -> str:
    """A reading's name, such as "rear rider-up reading (lifted)"."""
    state = "" if spot.place in _STATELESS else f" {_STATES[spot.state]}"
    when = " after the work" if spot.when is When.AFTER else ""
    return f"{_PLACES[spot.place]}{state} reading{_SETTLED[spot.settled]}{when}"


def names(readings: Sequence[Reading]) -> tuple[str, ...]:
    """A name for each reading; those taken more than once are counted."""
    spots = [spot_of(each) for each in readings]
    found = []
    for row, spot in enumerate(spots):
        name = spot_name(spot)
        place = spots[:row].count(spot)
        if spots.count(spot) > 1:
            name = f"{_ordinal(place)} {name}"
        found.append(name)
    return tuple(found)


def titles(readings: Sequence[Reading]) -> tuple[str, ...]:
    """A short name for each reading, as the series has it; those taken more than once counted."""
    found = [title_of(each) for each in readings]
    return tuple(
        f"{each}, {_ordinal(found[:row].count(each))}" if found.count(each) > 1 else each
        for row, each in enumerate(found)
    )


def _ordinal(place: int) -> str:
    return _ORDINALS[place] if place < len(_ORDINALS) else f"{place + 1}th"


def misfit(name: str, apart: float, spot: Spot, others: int, alike: Sequence[str]) -> str:
    """The one reading that does not fit."""
    off = figure_in_text(abs(apart), spot.kind)
    rest = "the profile says"
    if others:
        rest = f"the other {number(others)} say" if others > 1 else "the other one says"
    told = f"The {name} is {off} off what {rest}: measure again."
    if not alike:
        return told
    either = " or the ".join(alike)
    return f"{told} It may as well be the {either}: measure both again."


def set_aside(readings: Sequence[Reading]) -> str:
    """Which of readings are kept and not used; "" where all are used."""
    proof = any(each.when is When.AFTER for each in readings)
    aside = [_with_when(each) if proof else title_of(each) for each in readings if each.set_aside]
    return f"Set aside: {'; '.join(map(_low, aside))}." if aside else ""


def _with_when(reading: Reading) -> str:
    return f"{title_of(reading)}, {reading.when.value} the work"


def look_at(drops: Sequence[DropProof], parts: Sequence[str], readings: Sequence[Reading]) -> str:
    """What to look at where a drop is outside its band; "" where none is."""
    outside = [_low(each.label) for each in drops if each.inside is False]
    if not outside:
        return ""
    # A few can be looked at; the seat's readings are what the drop was worked out from.
    things = [*dict.fromkeys([*parts, *map(_with_when, readings)])][:_LOOKS]
    things = things or ["the seat's readings, before and after the work"]
    return (
        f"The drop of the seat is outside what was predicted: {', '.join(outside)}. "
        f"Look at: {'; '.join(map(_low, things))}."
    )


def _low(words: str) -> str:
    return words[:1].lower() + words[1:]


def unchecked(names_of: Sequence[str]) -> str:
    """Readings that no other one checks."""
    if len(names_of) == 1:
        return f"No other reading checks the {names_of[0]}: measure it twice."
    return f"No other reading checks these: {', '.join(names_of)}; measure each twice."


def _deg(value: float) -> str:
    return figure_in_text(value, Kind.ANGLE)


WORKED_OUT = "worked out from the readings"
"""Behind a figure that nobody read."""


_TOLD_ABOVE = ("footing", "old-stand")


def tell(
    drops: Sequence[DropProof], lean: LeanProof, plan: Plan, as_built: Plan, *, strange: bool
) -> tuple[str, ...]:
    """What to tell the rider after the work."""
    wheels, stopped = drops[0], next(each for each in drops if each.state == "stopped")
    said = [
        f"On its wheels the seat is {moved_in_text(wheels.delivered.value)} than before; "
        f"{moved_in_text(wheels.planned_mm)} was planned."
    ]
    if plan.by_shop is not None:
        expected = plan.by_shop.on_wheels_mm
        said.append(
            f"By physics {mm_in_text(wheels.planned_mm)} was to be expected, with the shop's "
            f"experience {mm_in_text(expected.value)} ({mm_in_text(expected.low)} to "
            f"{mm_in_text(expected.high)}): delivered is {mm_in_text(wheels.delivered.value)}."
        )
    if wheels.inside is False:
        said.append(
            f"That is outside what was to be expected, {mm_in_text(wheels.predicted.low)} to "
            f"{mm_in_text(wheels.predicted.high)}: look at parts and preloads before handing over."
        )
    elif strange:
        said.append(
            "Together the readings lie farther off than spreads allow: look at what was built in."
        )
    need = as_built.requirement
    if need.wanted is not Footing.NONE:
        short = need.drop_mm.value - need.planned_drop_mm.value
        got = "is reached" if need.reached else f"is {mm_in_text(max(short, 0.0))} short"
        chance = f"{likelihood(need.chance)} ({of_100(need.chance)} of 100)"
        moved = moved_in_text(stopped.delivered.value)
        said.append(
            f"Stopped it is {moved}, {WORKED_OUT}: the wanted footing {got}; that it is there is "
            f"{chance}."
        )
    if lean.after_deg is not None:
        if not lean.agree:
            said.append("The readings of the side-stand's lean do not agree: read them again.")
        elif lean.restored:
            said.append(f"It leans on its side-stand as before, {_deg(lean.after_deg)}.")
        else:
            how = "" if lean.before_read else " by the profile"
            said.append(
                f"It leans {_deg(lean.after_deg)} on its side-stand, before it was "
                f"{_deg(lean.before_deg)}{how}: set the stand right before it is parked."
            )
    held = {each.key for each in plan.checks if each.holds}
    said += [
        f"It held as planned and does not as built: {each.title}."
        for each in as_built.checks
        if not each.holds
        and each.key in held
        and each.key not in _TOLD_ABOVE
        and each.severity is not Severity.NOTE
    ]
    return tuple(said)
