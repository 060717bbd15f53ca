"""Steps at the fork: apart, limiter, spring, oil, cap, and its height in the clamps.

Owns their words. What is marked `habit` is common practice, no source. Refuses torque values.
"""

from collections.abc import Iterator

from fitplanner.documents.bench import MeasuredState, Place, When
from fitplanner.documents.torque import Fastener
from fitplanner.planning.bench.bench import LEAST_MM, Bench, fine
from fitplanner.planning.bench.step import Blank, Quantity, Section, Step
from fitplanner.planning.plan import WayId
from fitplanner.quantities import Kind

_LEFT, _RIGHT = "left leg", "right leg"
_STACK = "Fork spring with its spacer"
_MAKER_SAYS = "The limiter's maker says so"
"""How the plan's note on the oil begins where the fill is the maker's."""

_OIL_HOW = {
    True: "The limiter's maker states the fill: pour just that much. The level, leg pushed right "
    "in, is only to compare with.",
    False: "Then set the level with the leg pushed right in: the level counts, whatever that takes "
    "of the volume.",
}
_LEVEL = {True: "about, to compare", False: "to set"}


def fork_steps(bench: Bench) -> Iterator[Step]:
    """The fork's steps, for what is done there; none where nothing is."""
    if bench.opens_fork:
        yield from _apart(bench)
        yield from _inside(bench)
    moved = bench.amount_mm(WayId.RAISED_STANCHIONS) > 0
    if bench.opens_fork or moved or bench.amount_mm(WayId.SMALLER_TYRES) > 0:
        yield _clear(bench)
    if bench.opens_fork:
        yield from _closed(bench)
    if bench.opens_fork or moved:
        yield _clamps(bench)
        yield Step(
            "lock-to-lock",
            Section.FORK,
            "Wheels hanging, turn the bar lock to lock: hoses and cables stay slack, nothing pulls "
            "or rubs.",
            habit=True,
        )


def _apart(bench: Bench) -> Iterator[Step]:
    wheel = "" if bench.amount_mm(WayId.SMALLER_TYRES) > 0 else "wheel, "
    yield Step(
        "fork-out",
        Section.FORK,
        "Open the rebound adjusters and bleed the air. Loosen the upper clamp, crack both fork "
        f"caps loose while the lower clamp still holds the legs, then take out {wheel}caliper and "
        "legs.",
        tools=("cap spanner",),
        habit=True,
    )
    yield _open(bench)
    yield Step(
        "fork-drain",
        Section.FORK,
        "Drain each leg into a measuring glass, working the rod until no more comes. Drained oil "
        "is measured, not guessed; some clings inside, so less drains than was filled.",
        (Quantity("Fill before, one leg", bench.profile.fork.oil_volume_ml.value, Kind.VOLUME),),
        tools=("measuring glass",),
        blanks=tuple(
            Blank(
                f"Drained, {leg}",
                Kind.VOLUME,
                Place.OIL_DRAINED,
                MeasuredState.EXTENDED,
                When.BEFORE,
            )
            for leg in (_LEFT, _RIGHT)
        ),
        habit=True,
    )


def _open(bench: Bench) -> Step:
    stack = bench.consequence(_STACK)
    less = stack.label.endswith("shorter by") and stack.planned and stack.planned > LEAST_MM
    warning = " If the spacer is shorter than what comes off, a shorter spring is due."
    return Step(
        "fork-open",
        Section.FORK,
        "Pull each leg out to its stop and measure it, axle to the tube's rim. Then take the cap "
        "off, let the spring relax, take it out with its spacer and measure both."
        f"{warning if less else ''}",
        (fine("To come off spring and spacer", stack.planned),) if less and stack.planned else (),
        tools=("cap spanner", "clamp for the damper rod", "tape"),
        blanks=(
            *(Blank(f"Length before, {leg}") for leg in (_LEFT, _RIGHT)),
            Blank("Old spring, free length"),
            Blank("Old spacer"),
        ),
        habit=True,
    )


def _inside(bench: Bench) -> Iterator[Step]:
    spring, limiter = bench.spring("front"), bench.amount_mm(WayId.FORK_LIMITER)
    if bench.new_spring("front"):
        where = "In both legs" if spring.legs == 2 else "In the one leg that holds a spring"
        first = " before the limiter goes in" if limiter else ""
        yield Step(
            "fork-spring",
            Section.FORK,
            f"{where}: change the spring now{first}, so that it is not forgotten; tag the old "
            "one. The ends of a spring can differ: closed or flat end up, as its maker says.",
            (
                Quantity("New spring", spring.rate_n_mm, Kind.SPRING_RATE),
                Quantity("Old spring", spring.stock_rate_n_mm, Kind.SPRING_RATE),
            ),
            blanks=(Blank("End that is up", None),),
            habit=True,
        )
    if limiter:
        alone = (
            " The spring sits in one leg, yet both legs get the limiter."
            if spring.legs == 1
            else ""
        )
        yield Step(
            "fork-limiter",
            Section.FORK,
            "Fit the limiter on the damper rod of each leg where its maker's drawing shows it."
            f"{alone} Lock the nut as the maker of the limiter says.",
            (fine("Limiter, each leg", limiter),),
            tools=("caliper", "heat gun"),
            blanks=(Blank("Material of the limiter", None),),
        )
        yield Step(
            "fork-length",
            Section.FORK,
            "Cap turned on by hand, no spring in: pull each leg out to its stop and compare with "
            "before. Both must be the same length.",
            (fine("Shorter than before by", limiter),),
            blanks=tuple(Blank(f"Length now, {leg}") for leg in (_LEFT, _RIGHT)),
            habit=True,
        )
    through = (
        "A limiter can block the oil's way: pour in stages and work the rod through its stroke "
        "after each, until no air comes."
        if limiter
        else "Work the rod through its stroke until no air comes."
    )
    by_maker = bench.consequence("Oil to pour, one leg").note.startswith(_MAKER_SAYS)
    yield Step(
        "fork-oil",
        Section.FORK,
        f"{_filled(bench)} {through} {_OIL_HOW[by_maker]}",
        (
            bench.told("Oil to pour, one leg", "" if by_maker else "Oil to pour, one leg, about"),
            bench.told("Its level, bottomed", f"Level under the tube's rim, {_LEVEL[by_maker]}"),
        ),
        tools=("measuring glass", "level gauge"),
        blanks=tuple(Blank(f"Poured, {leg}", Kind.VOLUME) for leg in (_LEFT, _RIGHT)),
        habit=True,
    )


def _filled(bench: Bench) -> str:
    """How the legs of a fork get their oil; those with one spring need not be alike."""
    if bench.profile.fork.spring_legs == 2:
        return "Fill both legs alike, springs out."
    return (
        "Spring out. One leg holds the spring and the other may hold the damping: fill each leg as "
        "the maker's book says for that leg; where it names one quantity, both alike."
    )


def _clear(bench: Bench) -> Step:
    how = (
        "Before the springs go in, set both legs loosely in the clamps, caps on by hand, air bled, "
        "wheel in place, and push the fork right in"
        if bench.opens_fork
        else "Pull the fork right in with straps"
    )
    return Step(
        "clear-front",
        Section.FORK,
        f"{how}: the tyre stays clear of mudguard, pipe and radiator.",
        (bench.told("Gap at full bump, front"),),
        blanks=(Blank("Gap found, front"),),
        habit=True,
    )


def _closed(bench: Bench) -> Iterator[Step]:
    spring = bench.spring("front")
    stack = bench.consequence(_STACK)
    told = [fine("Preload set to", spring.preload_mm)]
    if not bench.new_spring("front"):
        free = bench.profile.fork.spring_free_mm.value
        told.append(fine("Spring as fitted", free - spring.preload_mm))
    if stack.planned and stack.planned > LEAST_MM:
        told.append(fine(stack.label, stack.planned))
    kept = (
        "Put the new spring in with its spacer cut to suit."
        if bench.new_spring("front")
        else "The stock spring stays: put it back with its spacer cut to suit."
    )
    yield Step(
        "fork-preload",
        Section.FORK,
        f"The legs stay in the clamps. {kept} Spring as fitted: its free length less the preload, "
        "leg right out, for preload counts at the new full length. The spacer's figure is for a "
        "spring as long as stock, so measure both springs.",
        tuple(told),
        tools=("caliper",),
        blanks=(
            Blank("Free length of the spring"),
            Blank("Spacer as cut"),
            Blank("Spring as fitted, found"),
        ),
    )
    yield Step(
        "fork-cap",
        Section.FORK,
        "Run the lock nut all the way down before the cap goes on. Turn the cap until it bottoms "
        "on the rod, then bring the nut up against it, or the preload reads wrong. "
        "Turn the cap into the tube by hand; it is tightened in the clamps.",
        tools=("clamp for the damper rod",),
        torques=bench.torque(Fastener.DAMPER_ROD_NUT),
        habit=True,
    )


def _clamps(bench: Bench) -> Step:
    raised = bench.amount_mm(WayId.RAISED_STANCHIONS)
    stock = bench.profile.fork.stanchion_showing_mm.value
    told = [fine("Tube above the upper clamp", stock + raised)]
    if raised:
        told.append(fine("Before", stock))
    text = "With the front held up, slide both legs in the clamps to one height, at both tubes."
    tightened: tuple[Fastener, ...] = (Fastener.LOWER_CLAMP, Fastener.UPPER_CLAMP)
    if bench.opens_fork:
        text = (
            "Bring both legs to their final height in the clamps, measured at both tubes. Tighten "
            "the lower clamp; tighten the caps while the upper one is loose; then the upper clamp. "
            "Then axle and caliper; leave the axle pinch bolts loose."
        )
        tightened = (
            Fastener.LOWER_CLAMP,
            Fastener.FORK_CAP,
            Fastener.UPPER_CLAMP,
            Fastener.FRONT_AXLE,
            Fastener.CALIPER,
        )
    return Step(
        "clamps",
        Section.FORK,
        text,
        tuple(told),
        tools=("caliper", "torque wrench"),
        torques=bench.torque(*tightened),
        blanks=tuple(Blank(f"Tube, {leg}") for leg in (_LEFT, _RIGHT)),
        habit=bench.opens_fork,
    )
