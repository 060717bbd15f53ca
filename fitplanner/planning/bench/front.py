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


def _apart(bench: Bench) -> Iterator[Step]:
    yield Step(
        "fork-out",
        Section.FORK,
        "Loosen the upper clamp, crack both fork caps loose while the lower clamp still holds the "
        "legs, then take out wheel, caliper and legs.",
        tools=("cap spanner",),
        habit=True,
    )
    yield Step(
        "fork-open",
        Section.FORK,
        "Take the cap off each leg and let the spring relax.",
        tools=("cap spanner", "clamp for the damper rod"),
    )
    yield Step(
        "fork-drain",
        Section.FORK,
        "Drain each leg into a measuring glass, working the rod until no more comes. Drained oil "
        "is measured, not guessed.",
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
            "Pull each leg out to its stop and compare: both must be the same length.",
            (fine("Shorter than before by", limiter),),
            blanks=tuple(Blank(f"Length, {leg}") for leg in (_LEFT, _RIGHT)),
            habit=True,
        )
    through = (
        "A limiter can block the oil's way: pour in stages and work the rod through its stroke "
        "after each, until no air comes."
        if limiter
        else "Work the rod through its stroke until no air comes."
    )
    yield Step(
        "fork-oil",
        Section.FORK,
        f"Fill both legs alike, springs out. {through} Then set the level with the leg pushed "
        "right in.",
        (
            bench.told("Oil to pour, one leg"),
            bench.told("Its level, bottomed", "Level under the tube's rim, pushed in, spring out"),
        ),
        tools=("measuring glass", "level gauge"),
        blanks=tuple(Blank(f"Poured, {leg}", Kind.VOLUME) for leg in (_LEFT, _RIGHT)),
        habit=True,
    )


def _clear(bench: Bench) -> Step:
    how = (
        "Before the springs go in, set legs and wheel in place and push the fork right in by hand"
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
    stack = bench.consequence("Fork spring with its spacer")
    told = [fine("Preload set to", spring.preload_mm)]
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
        f"{kept} Preload counts at the new full length; the spacer's figure is for a spring as "
        "long as stock, so measure both springs.",
        tuple(told),
        tools=("caliper",),
        blanks=(Blank("Free length of the spring"), Blank("Spacer as cut")),
    )
    yield Step(
        "fork-cap",
        Section.FORK,
        "Run the lock nut all the way down before the cap goes on. Turn the cap until it bottoms "
        "on the rod, then bring the nut up against it, or the preload reads wrong.",
        tools=("clamp for the damper rod",),
        torques=bench.torque(Fastener.DAMPER_ROD_NUT, Fastener.FORK_CAP),
        habit=True,
    )


def _clamps(bench: Bench) -> Step:
    raised = bench.amount_mm(WayId.RAISED_STANCHIONS)
    stock = bench.profile.fork.stanchion_showing_mm.value
    told = [fine("Tube above the upper clamp", stock + raised)]
    if raised:
        told.append(fine("Before", stock))
    legs = "Set both legs" if bench.opens_fork else "With the front held up, slide both legs"
    out = (Fastener.FRONT_AXLE, Fastener.AXLE_PINCH, Fastener.CALIPER) if bench.opens_fork else ()
    return Step(
        "clamps",
        Section.FORK,
        f"{legs} in the clamps at one height, measured at both tubes.",
        tuple(told),
        tools=("caliper", "torque wrench"),
        torques=bench.torque(Fastener.UPPER_CLAMP, Fastener.LOWER_CLAMP, *out),
        blanks=tuple(Blank(f"Tube, {leg}") for leg in (_LEFT, _RIGHT)),
    )
