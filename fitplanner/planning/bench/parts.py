"""What has to be bought for one plan, with amounts and the profile's prices.

Owns the list. A price of the profile covers a way's parts together. Refuses prices of its own,
part numbers and money's look.
"""

from dataclasses import dataclass

from fitplanner.documents.job import Job
from fitplanner.documents.machine import WayOffer
from fitplanner.planning.bench.bench import Bench, fine
from fitplanner.planning.bench.step import Quantity
from fitplanner.planning.plan import Plan, WayId
from fitplanner.quantities import Kind

_PIECES = {
    WayId.FORK_LIMITER: ("Extension limiter, fork", 2, "Length", "One in each leg, both alike"),
    WayId.SHOCK_LIMITER: (
        "Extension limiter, shock",
        1,
        "Length",
        "Fitted by the specialist, who may bring it",
    ),
    WayId.RAISED_STANCHIONS: None,
    WayId.LOWER_SEAT: ("Lower seat", 1, "Lower by", ""),
    WayId.SHORTER_SHOCK: ("Shorter shock, or shaft", 1, "Shorter by", "From the specialist"),
    WayId.LONGER_RODS: ("Link rods", 2, "Longer by", "Both alike"),
    WayId.NARROWER_SEAT: ("Seat cover", 1, "Narrower by", "The foam is cut"),
    WayId.SMALLER_TYRES: ("Tyre", 2, "Radius smaller by", "Front and rear, as the papers allow"),
    WayId.THICKER_SOLE: ("Pair of boot soles", 1, "Thicker by", ""),
}


@dataclass(frozen=True)
class Part:
    """One thing to buy. `count` None: as much as `size` says. `price` is for all pieces."""

    name: str
    count: int | None
    size: Quantity | None
    price: float | None
    note: str = ""


def parts(job: Job, plan: Plan) -> tuple[Part, ...]:
    """The parts of a plan; `price` is None where the profile states none."""
    bench = Bench(job, plan)
    found = []
    for way, piece in _PIECES.items():
        amount = bench.amount_mm(way)
        if amount <= 0 or piece is None:
            continue
        name, count, word, note = piece
        offer: WayOffer | None = getattr(job.machine.ways, way.value)
        price = offer.parts if offer is not None and offer.parts else None
        found.append(Part(name, count, fine(word, amount), price, note))
    if bench.new_spring("front"):
        spring = bench.spring("front")
        rate = Quantity("Rate of one", spring.rate_n_mm, Kind.SPRING_RATE)
        price = job.machine.springs.fork.parts or None
        note = "" if spring.legs == 2 else "The fork has a spring in one leg"
        found.append(Part("Fork spring", spring.legs, rate, price, note))
    if bench.new_spring("rear"):
        rate = Quantity("Rate", bench.spring("rear").rate_n_mm, Kind.SPRING_RATE)
        found.append(Part("Shock spring", 1, rate, job.machine.springs.shock.parts or None))
    if bench.opens_fork:
        fill = bench.told("Oil to pour, one leg").value
        both = Quantity("Both legs", 2 * fill, Kind.VOLUME)
        found.append(
            Part(
                "Fork oil", None, both, None, "Sort and grade from the maker's book; some to spare"
            )
        )
        # Common practice, no source: a leg that is apart gets new seals where they have run long.
        found.append(Part("Fork seals, set for one leg", 2, None, None, "Where the old have run"))
    if bench.amount_mm(WayId.FORK_LIMITER):
        found.append(Part("Thread lock", None, None, None, "As the limiter's maker says"))
    if bench.new_stand and job.machine.stand_work.parts:
        note = "Foot, tube and what the welder asks"
        found.append(Part("Side-stand", 1, None, job.machine.stand_work.parts, note))
    return tuple(found)
