"""What one plan costs, by the same account as the options of a search.

Owns the step from a plan back to the sizes that are billed. Refuses to bill by itself: `price`
does.
"""

from dataclasses import dataclass

from fitplanner.documents.job import Job
from fitplanner.documents.machine import WayOffer
from fitplanner.documents.preferences import Rates
from fitplanner.planning.plan import Plan
from fitplanner.planning.price import bill
from fitplanner.planning.setup import Setup
from fitplanner.planning.ways import WAYS


@dataclass(frozen=True)
class Account:
    """Price in the shop's currency, hours, and the share of the hours that can be undone."""

    cost: float
    hours: float
    undo: float


def account(job: Job, plan: Plan, rates: Rates) -> Account:
    """The account of the plan of `job`."""
    front, rear = plan.springs["front"], plan.springs["rear"]
    setup = Setup(
        fork_rate_n_mm=front.rate_n_mm,
        fork_preload_mm=front.preload_mm,
        shock_rate_n_mm=rear.rate_n_mm,
        shock_preload_mm=rear.preload_mm,
        **{f"{way.way.value}_mm": way.amount_mm for way in plan.ways},
    )
    made = bill(job.machine, setup)
    hours = float(made.hours)
    lost = 0.0
    for way in plan.ways:
        offer: WayOffer | None = getattr(job.machine.ways, way.way.value)
        if way.amount_mm > 0 and offer is not None:
            lost += offer.hours * (1.0 - WAYS[way.way].undone)
    undo = max(1.0 - lost / hours, 0.0) if hours else 1.0
    return Account(float(made.price(rates)), hours, undo)
