"""Steps around the suspension: measuring before and after, seat, stand, chain, lamp, handing over.

Owns their words. What is marked `habit` is common practice, no source.
"""

from collections.abc import Iterator
from math import cos, radians

from fitplanner.documents.bench import MeasuredState, Place, When
from fitplanner.documents.torque import Fastener
from fitplanner.planning.bench.bench import Bench, fine
from fitplanner.planning.bench.step import Blank, Quantity, Section, Step
from fitplanner.planning.plan import STATE_LABELS, StateFigures, States, WayId
from fitplanner.quantities import Kind, mm_in_text

_READ_IN = (MeasuredState.EXTENDED, MeasuredState.ON_WHEELS, MeasuredState.RIDER_UP)
# Less is not seen on a wall 10 m ahead: an assumption.
_SPOT_MM, _AIM = 5.0, 5e-4
_LONG_FIRST_MM = 10.0
"""A stand is cut this much long at first: common practice, no source."""

_SETTINGS = ("Fork, compression", "Fork, rebound", "Shock, compression", "Shock, rebound")


def before_steps(bench: Bench) -> Iterator[Step]:
    """Measure, note, lay out, lift."""
    yield Step(
        "measure-before",
        Section.BEFORE,
        "Measure as it came in: the seat where the rider sits, and from each axle straight up to "
        "a mark. On its wheels let it down slowly, then lift it slowly, and write the mean: "
        "friction holds it either way. Where this is far from what the plan counts on, enter the "
        "readings and plan again before a part is cut.",
        _expected(bench, bench.plan.states.stock, stock=True),
        tools=("tape", "helper"),
        blanks=_heights(When.BEFORE),
        habit=True,
    )
    yield _stand_lean(bench, "stand-before", When.BEFORE, Section.BEFORE)
    yield Step(
        "settings-before",
        Section.BEFORE,
        "Write down the clicks of every adjuster, and photograph hoses and cables.",
        blanks=(
            *(Blank(label, None) for label in _SETTINGS),
            Blank(
                "Tube above the upper clamp",
                place=Place.STANCHION,
                state=MeasuredState.EXTENDED,
                when=When.BEFORE,
            ),
        ),
        habit=True,
    )
    parts = _to_check(bench)
    if parts:
        yield Step(
            "parts-ready",
            Section.BEFORE,
            "Lay out the parts and measure each against the sheet; read the rate on the spring.",
            parts,
            tools=("caliper",),
            habit=True,
        )
    if _lifted(bench):
        yield Step(
            "lift",
            Section.BEFORE,
            "Set the machine upright on the lift with both wheels free to hang, and strap it.",
            tools=("lift or stand", "straps"),
        )


def _lifted(bench: Bench) -> bool:
    """Whether anything is done that wants the wheels off the ground."""
    ways = (WayId.RAISED_STANCHIONS, WayId.LONGER_RODS, WayId.SMALLER_TYRES)
    return (
        bench.opens_fork
        or bench.opens_shock
        or bench.new_spring("rear")
        or bench.new_preload("rear")
        or any(bench.amount_mm(way) > 0 for way in ways)
    )


def _to_check(bench: Bench) -> tuple[Quantity, ...]:
    told = []
    for way, label in (
        (WayId.FORK_LIMITER, "Limiter, fork, two of"),
        (WayId.SHOCK_LIMITER, "Limiter, shock"),
    ):
        if bench.amount_mm(way):
            told.append(fine(label, bench.amount_mm(way)))
    if bench.new_spring("front"):
        spring = bench.spring("front")
        label = "Fork springs, two of" if spring.legs == 2 else "Fork spring"
        told.append(Quantity(label, spring.rate_n_mm, Kind.SPRING_RATE))
    if bench.new_spring("rear"):
        told.append(Quantity("Shock spring", bench.spring("rear").rate_n_mm, Kind.SPRING_RATE))
    return tuple(told)


def _expected(bench: Bench, states: States, *, stock: bool) -> tuple[Quantity, ...]:
    """What the tape should show, as the plan has it."""
    sags = {
        end: spring.stock_sag if stock else spring.sag for end, spring in bench.plan.springs.items()
    }
    return (
        Quantity("Fuel in the tank", bench.job.choices.fuel_share, Kind.PERCENT),
        Quantity("Seat, on its wheels", states.on_wheels.seat_height_mm),
        Quantity("Seat, rider up", states.rider_up.seat_height_mm),
        _straight_up("Free sag", sags["front"].free_mm, states.on_wheels),
        _straight_up("Rider sag", sags["front"].rider_mm, states.rider_up),
        Quantity("Free sag, rear", sags["rear"].free_mm),
        Quantity("Rider sag, rear", sags["rear"].rider_mm),
    )


def _straight_up(name: str, along_mm: float, state: StateFigures) -> Quantity:
    """A sag along the fork as the tape shows it: the fork leans by its rake in that state."""
    return Quantity(f"{name}, front, straight up", along_mm * cos(radians(state.rake_deg)))


def _heights(when: When) -> tuple[Blank, ...]:
    places = ((Place.SEAT, "Seat"), (Place.FRONT_AXLE, "Front"), (Place.REAR_AXLE, "Rear"))
    return tuple(
        Blank(f"{name}, {STATE_LABELS[state].lower()}", Kind.LENGTH, place, state, when)
        for place, name in places
        for state in _READ_IN
        # With the wheels hanging the seat's height is the lift's.
        if (place, state) != (Place.SEAT, MeasuredState.EXTENDED)
    )


def _stand_lean(bench: Bench, key: str, when: When, section: Section) -> Step:
    row = bench.consequence("Lean on this stand" if bench.new_stand else "Lean if the old stand")
    value = row.stock if when is When.BEFORE else row.planned
    return Step(
        key,
        section,
        "Measure the lean on the side-stand, on level ground, three times; write the mean.",
        (Quantity("Lean on the side-stand", value or 0.0, Kind.ANGLE),),
        tools=("angle gauge",),
        blanks=(Blank("Lean", Kind.ANGLE, Place.STAND_LEAN, MeasuredState.PARKED, when),),
        habit=True,
    )


def tyre_steps(bench: Bench) -> Iterator[Step]:
    """Smaller tyres come first: clearances are looked at with them on."""
    tyres = bench.amount_mm(WayId.SMALLER_TYRES)
    if not tyres:
        return
    # A fork that is opened takes its wheel in once, when its legs are back.
    later = bench.opens_fork
    back = "The rear wheel goes back now, the front one with the fork." if later else ""
    ends = (Fastener.REAR_AXLE,) if later else (Fastener.FRONT_AXLE, Fastener.REAR_AXLE)
    yield Step(
        "tyres",
        Section.WHEELS,
        "Take the wheels out and fit the smaller tyres at both ends; load and speed index as the "
        f"papers say. {back or 'Put the wheels back.'} The speedometer reads more than before.",
        (fine("Radius smaller by", tyres),),
        torques=bench.torque(*ends),
    )


def seat_steps(bench: Bench) -> Iterator[Step]:
    """Seat and boots, for what is done there."""
    lower = bench.amount_mm(WayId.LOWER_SEAT)
    if lower:
        yield Step(
            "seat-lower",
            Section.SEAT,
            "Fit the lower seat; it must latch and not touch what lies under it.",
            (fine("Lower by", lower),),
            torques=bench.torque(Fastener.SEAT),
        )
    narrow = bench.amount_mm(WayId.NARROWER_SEAT)
    if narrow:
        yield Step(
            "seat-narrow",
            Section.SEAT,
            "Mark where the rider's thighs cross, take the foam off both sides alike, then the "
            "cover. Cut foam does not grow back: cut less, sit, cut again.",
            (fine("Narrower by, in all", narrow),),
            habit=True,
        )
    sole = bench.amount_mm(WayId.THICKER_SOLE)
    if sole:
        yield Step(
            "soles",
            Section.SEAT,
            "Thicker soles under the rider's own boots; the foot must still come under the lever.",
            (fine("Thicker by", sole),),
        )


def ground_steps(bench: Bench) -> Iterator[Step]:
    """Let it down, then stand, chain and lamp."""
    wheel_out = bench.opens_fork or bench.amount_mm(WayId.SMALLER_TYRES) > 0
    if _lifted(bench):
        pump = (
            "Pump the front brake until its lever is firm, before it rolls. " if wheel_out else ""
        )
        yield Step(
            "lower",
            Section.GROUND,
            f"{pump}Let it down on its wheels and hold it with straps, not on its side-stand: "
            "lower the machine, then change the stand, or it will not rest.",
            tools=("straps",),
            habit=True,
        )
        yield Step(
            "settings-after",
            Section.GROUND,
            "Set every adjuster to the clicks written down; push both ends down a few times.",
            habit=True,
        )
    if wheel_out:
        yield Step(
            "axle-pinch",
            Section.GROUND,
            "Front brake held, push the fork through a few times, so that the legs find their "
            "place on the axle; only then tighten the axle pinch bolts.",
            tools=("torque wrench",),
            torques=bench.torque(Fastener.AXLE_PINCH),
            habit=True,
        )
    yield _stand(bench)
    if bench.chain_changes:
        found = bench.opens_shock or bench.new_spring("rear")
        tightest = (
            ", so that the tightest point, found while the shock was out, keeps its least"
            if found
            else "; then find the tightest point through the travel and see that it keeps its least"
        )
        yield Step(
            "chain",
            Section.GROUND,
            "On the lift again, wheels hanging, set the chain's play at mid-span, up and down"
            f"{tightest}.",
            (
                bench.told("Free play to set", "Free play, wheels hanging"),
                Quantity("Least, at the tightest", bench.profile.chain.least_play_mm.value),
            ),
            torques=bench.torque(Fastener.REAR_AXLE),
            blanks=(Blank("Play found"),),
        )
    spot, aim = bench.told("Spot on a wall"), bench.told("Change of the beam")
    if abs(spot.value) > _SPOT_MM or abs(aim.value) > _AIM:
        yield Step(
            "headlamp",
            Section.GROUND,
            "Aim the headlamp again with the rider up; the figures say where the old setting "
            "would now shine. The local rule decides.",
            (
                _moved("Spot 10 m ahead, {} by", spot, ("higher", "lower")),
                _moved("Beam {} by", aim, ("raised", "dropped"), 2),
            ),
            tools=("wall or aiming board",),
        )


def _moved(
    label: str, change: Quantity, words: tuple[str, str], decimals: int | None = None
) -> Quantity:
    """A change without its sign, in words for more and less."""
    word = words[change.value < 0]
    return Quantity(label.format(word), abs(change.value), change.kind, decimals)


def _stand(bench: Bench) -> Step:
    if not bench.new_stand:
        return Step(
            "stand",
            Section.GROUND,
            "The side-stand stays: see that the machine rests on it and that it folds fully.",
            (bench.told("Lean if the old stand", "Lean on the side-stand"),),
        )
    change = bench.change("Stand length", "")
    word = "Take off" if change.value < 0 else "Make longer by"
    return Step(
        "stand",
        Section.GROUND,
        f"{_stand_work(change.value)} It must rest on its whole foot.",
        (
            fine(word, abs(change.value)),
            fine("Length then, pivot to foot", bench.told("Stand length").value),
            bench.told("Lean on this stand", "Lean wanted"),
        ),
        tools=("angle gauge", "tape"),
        torques=bench.torque(Fastener.STAND_PIVOT),
        blanks=(Blank("Length as it was, pivot to foot"), Blank("Taken off")),
        habit=True,
    )


def _stand_work(change_mm: float) -> str:
    if change_mm >= 0:
        return "Make the side-stand longer, off the machine, until the machine leans as before."
    first = (
        f"Cut it about {mm_in_text(_LONG_FIRST_MM)} long at first, try it, then cut"
        if -change_mm > _LONG_FIRST_MM
        else "Cut a little at a time and try it,"
    )
    return (
        "Measure the side-stand, then take it off the machine, and the tank away, before it is "
        f"cut and welded; or fit a shorter one. {first} until the machine leans as before."
    )


def after_steps(bench: Bench) -> Iterator[Step]:
    """Measure again and hand over."""
    yield Step(
        "measure-after",
        Section.AFTER,
        "Measure again as before, with the same marks and the same rider and fuel.",
        _expected(bench, bench.plan.states.planned, stock=False),
        tools=("tape", "helper"),
        blanks=_heights(When.AFTER),
        habit=True,
    )
    yield Step(
        "feet-after",
        Section.AFTER,
        "Seat the rider in boots with the feet down, the machine held upright, and write what "
        "reaches the ground: flat, balls, toes.",
        tools=("helper",),
        blanks=(Blank("Left foot", None), Blank("Right foot", None)),
        habit=True,
    )
    yield _stand_lean(bench, "stand-after", When.AFTER, Section.AFTER)
    yield Step(
        "tight",
        Section.HANDOVER,
        "Go over every fastener that was loosened, and mark it.",
        tools=("torque wrench", "paint pen"),
        habit=True,
    )
    if bench.opens_fork or bench.opens_shock or bench.new_spring("rear"):
        yield Step(
            "record",
            Section.HANDOVER,
            "Write into the machine's papers what now sits inside: limiters with length and "
            "material, springs, oil. The next mechanic must know before a flame comes near.",
            habit=True,
        )
        yield Step(
            "old-parts",
            Section.HANDOVER,
            "Old parts, tagged, go to the customer: they undo the work.",
            habit=True,
        )
    yield Step(
        "ride",
        Section.HANDOVER,
        "Try it at walking pace, then on the road; look over, measure the sags again.",
        blanks=(Blank("By", None), Blank("On", None)),
        habit=True,
    )
