"""The setups of which a shop wants to know who reaches: stock, one way each, a plan, options.

Owns the list, and how springs are set for the people who sit down. Refuses people and prices.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from fitplanner.documents.job import Choices
from fitplanner.planning.abreast import Markets
from fitplanner.planning.context import Context
from fitplanner.planning.loads import Loads
from fitplanner.planning.plan import Plan, WayId
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.planning.search.space import steps
from fitplanner.planning.setup import Setup, built, stock_setup
from fitplanner.planning.targets import choose, targets


class Springs(StrEnum):
    """What is done at the springs when another person sits down."""

    REAR_SET = "rear_set"
    AS_BUILT = "as_built"
    BOUGHT = "bought"


class Sort(StrEnum):
    """Where a setup comes from."""

    STOCK = "stock"
    PLAN = "plan"
    OPTION = "option"
    WAY = "way"


@dataclass(frozen=True)
class Candidate:
    """One setup, built once for everybody; an option has its `number`, from 1, and a `reason`."""

    sort: Sort
    setup: Setup
    number: int = 0
    reason: str = ""

    @property
    def amounts(self) -> tuple[tuple[WayId, float], ...]:
        """What is fitted, in mm."""
        every = ((way, float(self.setup.amount_mm(way))) for way in WayId)
        return tuple((way, mm) for way, mm in every if mm > 0)

    @property
    def key(self) -> str:
        """Tells setups of one machine apart, also when others come or go."""
        if self.sort is Sort.WAY:
            return f"{self.sort.value}:{self.amounts[0][0].value}"
        return f"{self.sort.value}:{self.number}"


def stock_of(ctx: Context) -> Candidate:
    """The machine as it left the factory."""
    return Candidate(Sort.STOCK, stock_setup(ctx.profile))


def single_ways(ctx: Context) -> tuple[Candidate, ...]:
    """Each way that the machine accepts, alone, at its most; springs and preload as stock."""
    found = []
    for way in WayId:
        most = float(steps(ctx.offer(way), None)[-1])
        if most <= 0:
            continue
        setup = replace(stock_setup(ctx.profile), **{f"{way.value}_mm": most})
        try:
            built(ctx.machine, ctx.profile, setup)
        except UnsolvableError:
            continue
        found.append(Candidate(Sort.WAY, setup))
    return tuple(found)


def of_plan(plan: Plan) -> Candidate:
    """What a plan builds."""
    front, rear = plan.springs["front"], plan.springs["rear"]
    return Candidate(
        Sort.PLAN,
        Setup(
            fork_rate_n_mm=front.rate_n_mm,
            fork_preload_mm=front.preload_mm,
            shock_rate_n_mm=rear.rate_n_mm,
            shock_preload_mm=rear.preload_mm,
            **{f"{each.way.value}_mm": each.amount_mm for each in plan.ways},
        ),
    )


def of_choices(choices: Choices, number: int, reason: str) -> Candidate:
    """What an option builds: choices with everything fixed."""
    amounts = {name: getattr(choices, name) or 0.0 for name in Setup.__dataclass_fields__}
    return Candidate(Sort.OPTION, Setup(**amounts), number, reason)


def for_people(ctx: Context, setup: Setup, carried: Loads, springs: Springs) -> Setup:
    """The setup with its springs as each of the people finds them; `carried` in lanes.

    Set: the shock's preload goes to where it holds the person at the middle of the sag window,
    as far as it can be turned, and the fork stays as built. Bought: rates and preloads as a plan
    for that person has them.
    """
    if springs is Springs.AS_BUILT:
        return setup
    made = built(ctx.machine, ctx.profile, setup)
    machine, windows = made.machine, ctx.windows
    on_wheels = carried.on_wheels(machine.sprung)
    up = carried.rider_up(machine.sprung, made.seat_drop_mm)
    if springs is Springs.REAR_SET:
        _, rear = targets(machine, on_wheels, up, windows)
        preload = ctx.rear_market.preload(rear, setup.shock_rate_n_mm)
        return replace(setup, shock_preload_mm=preload)
    wide = replace(up, **{name: np.asarray(mm)[..., None] for name, mm in up.__dict__.items()})
    count = [len(np.atleast_1d(carried.rider.mass_kg))]
    front, rear = targets(machine, on_wheels, wide, windows)
    forks, shocks = Markets.of([ctx.front_market], count), Markets.of([ctx.rear_market], count)
    fork = choose(front, forks, windows.free_front, windows.rider_front)
    shock = choose(rear, shocks, windows.free_rear, windows.rider_rear)
    return replace(
        setup,
        fork_rate_n_mm=fork[0],
        fork_preload_mm=fork[1],
        shock_rate_n_mm=shock[0],
        shock_preload_mm=shock[1],
    )
