"""Steps at the shock and its linkage.

Owns their words. Opening a gas-charged unit is the specialist's: the bench takes it out, sends it
and looks at it when it comes back. What is marked `habit` is common practice, no source.
"""

from collections.abc import Iterator

from fitplanner.documents.torque import Fastener
from fitplanner.planning.bench.bench import LEAST_MM, Bench, fine
from fitplanner.planning.bench.step import Blank, Quantity, Section, Step
from fitplanner.planning.plan import WayId
from fitplanner.quantities import Kind


def shock_steps(bench: Bench) -> Iterator[Step]:
    """The shock's and the linkage's steps, for what is done there; none where nothing is."""
    out = bench.opens_shock or bench.new_spring("rear")
    if out:
        yield _out(bench)
    if bench.new_spring("rear"):
        yield _spring(bench)
    if bench.opens_shock:
        yield from _sent(bench)
    rods = bench.amount_mm(WayId.LONGER_RODS)
    if out or rods or bench.amount_mm(WayId.SMALLER_TYRES):
        yield _clear(bench, out=out)
    if out and bench.chain_changes:
        yield _tightest(bench)
    if bench.opens_shock:
        yield _preload_found(bench)
    elif out or bench.new_preload("rear"):
        yield _preload(bench)
    if out:
        yield Step(
            "shock-in",
            Section.SHOCK,
            "Put the shock back, hoses and reservoir as they were.",
            tools=("torque wrench",),
            torques=bench.torque(Fastener.SHOCK_TOP, Fastener.SHOCK_BOTTOM),
        )
    if rods:
        yield Step(
            "rods",
            Section.LINKAGE,
            "Fit the longer link rods, both of one length; grease and seals as the book says.",
            (fine("Longer by", rods),),
            tools=("torque wrench",),
            torques=bench.torque(Fastener.LINK),
        )


def _out(bench: Bench) -> Step:
    return Step(
        "shock-out",
        Section.SHOCK,
        "Hold the rear wheel up, take the shock out and measure it between its eyes and the "
        "spring as fitted.",
        tools=("caliper", "stand under the frame"),
        blanks=(Blank("Between the eyes, before"), Blank("Spring as fitted, before")),
        habit=True,
    )


def _spring(bench: Bench) -> Step:
    spring = bench.spring("rear")
    if bench.amount_mm(WayId.SHOCK_LIMITER):
        how = (
            "Send the new spring along, to be changed before the limiter goes in, so that it is "
            "not forgotten."
        )
    elif bench.opens_shock:
        how = "Send the new spring along, to be changed with the unit."
    else:
        how = "Change the spring with a compressor made for it."
    return Step(
        "shock-spring",
        Section.SHOCK,
        f"{how} Its ends can differ: closed or flat end towards the collar, as its maker says.",
        (
            Quantity("New spring", spring.rate_n_mm, Kind.SPRING_RATE),
            Quantity("Old spring", spring.stock_rate_n_mm, Kind.SPRING_RATE),
        ),
        tools=() if bench.opens_shock else ("spring compressor",),
        blanks=(Blank("Free length of the new spring"), Blank("End at the collar", None)),
        habit=True,
    )


def shorter(bench: Bench) -> tuple[Quantity, ...]:
    """What shortens the shock between its eyes, and by how much in all."""
    limiter = bench.amount_mm(WayId.SHOCK_LIMITER)
    body = bench.amount_mm(WayId.SHORTER_SHOCK)
    told = []
    if limiter:
        told.append(fine("Limiter on the shaft, length", limiter))
    if body:
        told.append(fine("Body or shaft shorter by", body))
    told.append(fine("Between the eyes, extended, shorter by", limiter + body))
    return tuple(told)


def spring_set(bench: Bench) -> tuple[Quantity, ...]:
    """How the spring has to sit at the new full length; as fitted only where it stays."""
    spring = bench.spring("rear")
    preload = fine("Preload at the new full length", spring.preload_mm)
    if bench.new_spring("rear"):
        return (Quantity("New spring", spring.rate_n_mm, Kind.SPRING_RATE), preload)
    free = bench.profile.rear.spring_free_mm.value
    return (fine("Spring as fitted", free - spring.preload_mm), preload)


def collar(bench: Bench) -> tuple[Quantity, ...]:
    """How far the collar goes, in turns too where its pitch is known and the spring stays.

    Nothing where another body comes: its thread is not the profile's.
    """
    row = bench.consequence("Collar of the shock spring")
    if bench.amount_mm(WayId.SHORTER_SHOCK) or not row.planned or row.planned <= LEAST_MM:
        return ()
    told = [fine(row.label, row.planned)]
    pitch = bench.profile.rear.collar_pitch_mm
    if pitch is not None and not bench.new_spring("rear"):
        word = row.label.partition(", ")[2].removesuffix(" by")
        turns = row.planned / pitch.value
        told.append(Quantity(f"Turns of the collar, {word}", turns, Kind.RATIO, 1))
    return tuple(told)


def _sent(bench: Bench) -> Iterator[Step]:
    yield Step(
        "shock-send",
        Section.SHOCK,
        "Send the shock to the specialist with the order, which says the same; gas and oil are "
        "the specialist's work, and so are spring and preload.",
        (*shorter(bench), *spring_set(bench)),
    )
    yield Step(
        "shock-back",
        Section.SHOCK,
        "When it comes back: measure between the eyes, look for oil, see that the rod is free of "
        "marks and that the note tells gas pressure and what sits inside.",
        tools=("caliper",),
        blanks=(
            Blank("Between the eyes, after"),
            Blank("Gas, from the note", Kind.PRESSURE),
            *_material(bench),
        ),
        habit=True,
    )


def _material(bench: Bench) -> tuple[Blank, ...]:
    limited = bench.amount_mm(WayId.SHOCK_LIMITER) > 0
    return (Blank("Material of the limiter", None),) if limited else ()


def _clear(bench: Bench, *, out: bool) -> Step:
    how = (
        "While the shock is out, swing the rear wheel up by its whole travel"
        if out
        else "With the shock unbolted at one end, swing the rear wheel up by its whole travel"
    )
    return Step(
        "clear-rear",
        Section.SHOCK,
        f"{how}: the tyre stays clear of mudguard, pipe and frame, the chain of its slider.",
        (
            Quantity("Whole travel at the axle, as before", bench.profile.rear.travel_mm.value),
            bench.told("Gap at full bump, rear"),
        ),
        blanks=(Blank("Gap found, rear"),),
        habit=True,
    )


def _tightest(bench: Bench) -> Step:
    return Step(
        "chain-tightest",
        Section.SHOCK,
        "While the shock is out, with the chain on: swing the wheel through its travel, find where "
        "the chain is tightest and mark that height of the axle; there it must keep its least "
        "play.",
        (Quantity("Least, at the tightest", bench.profile.chain.least_play_mm.value),),
        tools=("tape",),
        blanks=(Blank("Play at the tightest"),),
        habit=True,
    )


def _preload_found(bench: Bench) -> Step:
    how = (
        "Spring as fitted: the new spring's free length less the preload."
        if bench.new_spring("rear")
        else "The stock spring stays."
    )
    return Step(
        "shock-preload",
        Section.SHOCK,
        "Only verify: the specialist has set spring and preload as ordered. Measure the spring as "
        f"fitted and see that the collar is locked; do not turn it. {how} Where it is not as "
        "ordered, ask the specialist.",
        spring_set(bench),
        tools=("caliper",),
        blanks=(Blank("Spring as fitted, found"),),
        habit=True,
    )


def _preload(bench: Bench) -> Step:
    spring, rear = bench.spring("rear"), bench.profile.rear
    told = [
        fine("Preload set to", spring.preload_mm),
        fine("Preload before", spring.stock_preload_mm),
    ]
    kept = not bench.new_spring("rear")
    told += collar(bench)
    if kept:
        told.append(fine("Spring as fitted", rear.spring_free_mm.value - spring.preload_mm))
    words = (
        "The stock spring stays."
        if kept
        else "Spring as fitted: its free length less the preload; the collar's figure is for a "
        "spring as long as stock."
    )
    return Step(
        "shock-preload",
        Section.SHOCK,
        f"Set the preload with the shock at its full length. {words} Clean the thread before the "
        "collar turns, and lock it.",
        tuple(told),
        tools=("collar spanner", "caliper"),
        torques=bench.torque(Fastener.SHOCK_COLLAR),
        blanks=(Blank("Spring as fitted, found"),),
        habit=True,
    )
