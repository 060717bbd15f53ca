"""What one plan costs, by the same account as the options of a search.

Owns the step from a plan back to the sizes that are billed. Refuses to bill by itself: `price`
does.
"""

from dataclasses import dataclass

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.checks.standing import needs_new_stand
from fitplanner.planning.plan import Plan
from fitplanner.planning.price import bill
from fitplanner.planning.setup import Setup


@dataclass(frozen=True)
class Line:
    """One job: hours and parts of its own; `shared` where it is done on the way of a longer one.

    `assumed`: nobody entered its hours and parts for this machine.
    """

    label: str
    hours: float
    parts: float
    shared: bool
    assumed: bool = False


@dataclass(frozen=True)
class Account:
    """Price and parts in the shop's currency, hours, and the share of them that can be undone."""

    cost: float
    hours: float
    parts: float
    undo: float
    lines: tuple[Line, ...]

    @property
    def assumed(self) -> tuple[str, ...]:
        """What the jobs are called of which nobody entered hours and parts."""
        return tuple(line.label for line in self.lines if line.assumed)


def new_stand(plan: Plan) -> bool:
    """Whether the side-stand has to be changed: the plan's own check on the old one says so."""
    return needs_new_stand(plan.checks)


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
    made = bill(job.machine, setup, new_stand=new_stand(plan))
    lines: list[Line] = []
    open_ends: set[str] = set()
    for item in sorted(made.items, key=lambda each: -float(each.hours)):
        if item.hours or item.parts:
            lines.append(
                Line(
                    item.label,
                    float(item.hours),
                    float(item.parts),
                    item.end in open_ends,
                    item.assumed,
                )
            )
            if item.end:
                open_ends.add(item.end)
    order = [item.label for item in made.items]
    return Account(
        cost=float(made.price(rates)),
        hours=float(made.hours),
        parts=float(made.parts),
        undo=float(made.undone),
        lines=tuple(sorted(lines, key=lambda line: order.index(line.label))),
    )
