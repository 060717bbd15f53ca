"""The order to the specialist who opens or shortens the shock.

Owns what a specialist needs to know. Refuses personal data: of the rider only the mass is told,
and no title, for titles carry names.
"""

from dataclasses import dataclass

from fitplanner.documents.job import Job
from fitplanner.planning.bench.bench import Bench
from fitplanner.planning.bench.rear import collar, shorter, spring_set
from fitplanner.planning.bench.step import Blank, Quantity
from fitplanner.planning.plan import Plan, WayId
from fitplanner.quantities import Kind, mm_in_text

_COLLAR = "shock-collar"
_LENGTH_WITHIN_MM = 1.0
"""Common practice, no source."""


@dataclass(frozen=True)
class Group:
    """Figures that belong together; `words` says what they are for, blanks are to be filled in."""

    title: str
    words: str
    quantities: tuple[Quantity, ...] = ()
    blanks: tuple[Blank, ...] = ()
    boxes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Order:
    """One shock to be worked on."""

    reference: str
    machine: str
    invented: bool
    groups: tuple[Group, ...]


def order(job: Job, plan: Plan) -> Order | None:
    """The order, or None where the shock is neither opened nor shortened."""
    bench = Bench(job, plan)
    if not bench.opens_shock:
        return None
    return Order(
        reference=job.reference,
        machine=job.machine.name,
        invented=job.machine.invented,
        groups=(
            _sender(),
            _unit(bench),
            _length(bench),
            _spring(bench),
            _rider(bench),
            _gas(bench),
            _back(),
        ),
    )


def _sender() -> Group:
    blanks = ("Sender", "Telephone", "Wanted back on")
    return Group("From", "", blanks=tuple(Blank(each, None) for each in blanks))


def _unit(bench: Bench) -> Group:
    rear = bench.profile.rear
    return Group(
        "Unit",
        "One shock, complete, cleaned on the outside.",
        (Quantity("Rod diameter, from the profile", rear.rod_diameter_mm.value, decimals=1),),
        (Blank("Maker and mark on the unit", None), Blank("Between the eyes, as sent")),
    )


def _length(bench: Bench) -> Group:
    limited = bench.amount_mm(WayId.SHOCK_LIMITER) > 0
    blanks = (Blank("Limiter as fitted"), Blank("Its material", None)) if limited else ()
    how = (
        "Shorten the unit's extension; full compression stays where it is."
        if not bench.amount_mm(WayId.SHORTER_SHOCK)
        else "Shorten the unit between its eyes."
    )
    within = f"within {mm_in_text(_LENGTH_WITHIN_MM)} (common practice, no source)"
    return Group(
        "What to do",
        f"{how} The extended length is wanted {within}.",
        shorter(bench),
        blanks,
    )


def _spring(bench: Bench) -> Group:
    spring, rear = bench.spring("rear"), bench.profile.rear
    free = Quantity("Free length of the stock spring", rear.spring_free_mm.value)
    if bench.new_spring("rear"):
        words = "Another spring, sent along; its ends can differ: fit it as its maker says."
        told = [Quantity("Old spring", spring.stock_rate_n_mm, Kind.SPRING_RATE)]
    else:
        words = "The spring on the unit stays."
        told = [Quantity("Spring", spring.rate_n_mm, Kind.SPRING_RATE)]
    turned = collar(bench)
    if turned and bench.new_spring("rear"):
        words += " The collar's figure is for a spring as long as stock."
    if turned and any(c.key == _COLLAR and not c.holds for c in bench.plan.checks):
        words += (
            " The collar's thread may not reach that far: tell us before you cut or change the "
            "spring."
        )
    new = (Blank("Free length of the new spring"),) if bench.new_spring("rear") else ()
    quantities = (*told, free, *spring_set(bench), *turned)
    return Group("Spring", words, quantities, (*new, Blank("Preload set")))


def _rider(bench: Bench) -> Group:
    rider, spring = bench.job.rider, bench.spring("rear")
    low, high = spring.rider_window_mm
    return Group(
        "What it has to carry",
        "At the rear wheel, from the new full extension.",
        (
            Quantity("Rider with gear", (rider.mass_kg or 0.0) + rider.gear_mass_kg, Kind.MASS),
            Quantity("Wheel travel left", spring.sag.travel_mm),
            Quantity("Free sag wanted", spring.sag.free_mm),
            Quantity("Rider sag wanted", spring.sag.rider_mm),
            Quantity("Rider sag at least", low),
            Quantity("Rider sag at most", high),
        ),
    )


def _gas(bench: Bench) -> Group:
    pressure = bench.profile.rear.gas_pressure_kpa.value
    label = "Gas pressure, as the profile has it"
    known = (Quantity(label, pressure, Kind.PRESSURE),) if pressure > 0 else ()
    return Group(
        "Gas and oil",
        "Yours: letting the gas out, oil, seals, filling, pressure. Damping to suit the spring "
        "as you judge; tell us what was changed.",
        known,
        blanks=(Blank("Gas pressure filled", Kind.PRESSURE), Blank("Damping changed", None)),
    )


def _back() -> Group:
    """Common practice, no source."""
    return Group(
        "Please check before it comes back",
        "And tick; we measure the same again.",
        blanks=(Blank("Between the eyes, as returned"), Blank("By", None), Blank("On", None)),
        boxes=(
            "Extended length measured, and shorter by the figure above",
            "Moves through its whole stroke, tops out softly",
            "No oil at the seal after standing",
            "Spring the right way round, collar locked",
            "Marked on the outside: what now sits inside, with its length and material",
            "Stock parts sent back with it",
        ),
    )
