"""Everything that could be built: the axes of the search, in the steps that can be bought.

Owns the axes and their numbering. An axis fixed by hand has one value. Refuses to evaluate.
"""

from dataclasses import dataclass
from enum import StrEnum
from itertools import product

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.machine import WayOffer
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.context import Context
from fitplanner.planning.plan import WayId
from fitplanner.planning.setup import built, stock_setup
from fitplanner.planning.targets import Market, targets

STRUCTURE = (WayId.SHORTER_SHOCK, WayId.LONGER_RODS, WayId.SMALLER_TYRES)
"""Ways that make another machine for the solver; taken one combination at a time."""

TRAVEL = (WayId.FORK_LIMITER, WayId.SHOCK_LIMITER, WayId.RAISED_STANCHIONS)
"""Ways along whose amounts the seat only comes down."""

REACH = (WayId.NARROWER_SEAT, WayId.THICKER_SOLE)
"""Ways that change what the footing needs and leave the machine's rest as it is."""

_MOST_RATES = 4
_MOST_STRUCTURE_STEPS = 3


class Preload(StrEnum):
    """How the preload of a spring is set."""

    STOCK = "stock"
    RIDER = "rider"
    LEAST = "least"
    BY_HAND = "by hand"


@dataclass(frozen=True)
class SpringChoice:
    """One spring at one end; `rate_n_mm` of one spring."""

    rate_n_mm: float
    preload: Preload


@dataclass(frozen=True)
class Space:
    """The axes. Index order of a candidate: structure, seat, front, rear, fork, shock, raised."""

    structures: tuple[dict[WayId, float], ...]
    seats_mm: Array
    front: tuple[SpringChoice, ...]
    rear: tuple[SpringChoice, ...]
    fork_mm: Array
    shock_mm: Array
    raised_mm: Array
    reach: tuple[dict[WayId, float], ...]

    @property
    def grid(self) -> tuple[int, int, int]:
        """Sizes of the axes along which the seat only comes down."""
        return len(self.fork_mm), len(self.shock_mm), len(self.raised_mm)

    @property
    def size(self) -> int:
        """How many candidates there are."""
        boxes = len(self.structures) * len(self.seats_mm) * len(self.front) * len(self.rear)
        return boxes * int(np.prod(self.grid)) * len(self.reach)


def steps(offer: WayOffer | None, fixed: float | None, most: int | None = None) -> Array:
    """Amounts of one way: fixed by hand, not offered (0), or its steps from 0 to the most."""
    if fixed is not None:
        return np.array([fixed])
    if offer is None:
        return np.array([0.0])
    count = int(offer.maximum_mm / offer.step_mm + 1e-9)
    values = np.round(np.arange(count + 1) * offer.step_mm, 6)
    if most is not None and len(values) > most:
        values = values[np.unique(np.linspace(0, count, most).round().astype(int))]
    return values


def space(ctx: Context) -> Space:
    """The space of a job."""

    def axis(way: WayId, most: int | None = None) -> Array:
        return steps(ctx.offer(way), ctx.by_hand(way), most)

    structures = _combined({way: axis(way, _MOST_STRUCTURE_STEPS) for way in STRUCTURE})
    travel = {way: axis(way) for way in TRAVEL}
    deepest = {way: float(values[-1]) for way, values in travel.items()}
    return Space(
        structures=structures,
        seats_mm=axis(WayId.LOWER_SEAT),
        front=_springs(ctx, ctx.front_market, 0, deepest),
        rear=_springs(ctx, ctx.rear_market, 1, deepest),
        fork_mm=travel[WayId.FORK_LIMITER],
        shock_mm=travel[WayId.SHOCK_LIMITER],
        raised_mm=travel[WayId.RAISED_STANCHIONS],
        reach=_combined({way: axis(way, _MOST_STRUCTURE_STEPS) for way in REACH}),
    )


def _combined(axes: dict[WayId, Array]) -> tuple[dict[WayId, float], ...]:
    return tuple(
        dict(zip(axes, (float(v) for v in values), strict=True))
        for values in product(*axes.values())
    )


def _springs(
    ctx: Context, market: Market, end: int, deepest: dict[WayId, float]
) -> tuple[SpringChoice, ...]:
    """Stock spring as it is, with its preload set or backed off, and rates around the ideal."""
    if market.rate_by_hand is not None or market.preload_by_hand is not None:
        rate = market.rate_by_hand or market.stock_rate_n_mm
        kept = Preload.RIDER if market.preload_by_hand is None else Preload.BY_HAND
        return (SpringChoice(rate, kept),)
    ideals = _ideal_rates(ctx, end, deepest) / market.legs
    rates = market.rates_n_mm
    near = rates[(rates >= 0.95 * ideals.min()) & (rates <= 1.05 * ideals.max())]
    if len(near) == 0:
        near = rates[[int(np.argmin(np.abs(rates - ideals.mean())))]]
    picked = near[np.unique(np.linspace(0, len(near) - 1, _MOST_RATES).round().astype(int))]
    stock = market.stock_rate_n_mm
    choices = [SpringChoice(stock, each) for each in (Preload.STOCK, Preload.RIDER, Preload.LEAST)]
    choices += [SpringChoice(float(r), Preload.RIDER) for r in picked if abs(r - stock) > 1e-9]
    return tuple(choices)


def _ideal_rates(ctx: Context, end: int, deepest: dict[WayId, float]) -> NDArray[np.float64]:
    """Ideal rates of the unit with nothing and with everything fitted."""
    found = []
    for amounts in ({way: 0.0 for way in deepest}, deepest):
        setup = stock_setup(ctx.profile)
        setup = type(setup)(
            **{**setup.__dict__, **{f"{way.value}_mm": mm for way, mm in amounts.items()}}
        )
        machine = built(ctx.machine, ctx.profile, setup).machine
        aims = targets(
            machine,
            ctx.carried.on_wheels(machine.sprung),
            ctx.carried.rider_up(machine.sprung),
            ctx.windows,
        )
        found.append(max(float(aims[end].ideal()[0]), 0.1))
    return np.array(found)
