"""The question on the shop floor: which of ours could be made to fit her, and at what price?

Owns the order of a library's machines for one rider, by what must be done. A plan of one row's
job gives the same amounts, springs, footing and price. Refuses consequences: a row is a reason
to plan, not a plan.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from fitplanner.body.reach import Footing
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.documents.rider import Rider
from fitplanner.planning.checks.carrying import too_heavy_for_a_child
from fitplanner.planning.context import Context, context
from fitplanner.planning.fleet.crew import Tried, as_stock, with_springs
from fitplanner.planning.fleet.ladder import (
    TRIED,
    Lane,
    Stage,
    as_amounts,
    first_round,
    second_round,
)
from fitplanner.planning.fleet.stops import Verdict, verdicts
from fitplanner.planning.loads import loads_of_all
from fitplanner.planning.plan import WayId
from fitplanner.planning.price import SAME_PRELOAD_MM, bill
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.planning.rider import fitted
from fitplanner.planning.setup import Setup
from fitplanner.quantities import Kind, figure_in_text

_TOGETHER = 256


class Doing(StrEnum):
    """What must be done to a machine for the rider's wish, least first."""

    NOTHING = "nothing"
    SEAT = "seat"
    SUSPENSION = "suspension"
    IMPOSSIBLE = "impossible"


@dataclass(frozen=True)
class FleetRow:
    """One machine for one rider; lengths in mm, `stopped`.

    `amounts` are what is fitted, `choices` what reproduces the row as a job on this machine.
    `springs`: whether fork and shock get other springs; `preloads`: whether a spring that stays is
    set anew there. `new_stand`: whether the side-stand has to be changed. `price` is in the
    shop's currency. `for_a_child`: built for a child, and this rider is none. `chance`: how likely
    the wanted footing is, once known.
    Where it is not possible, `reason` says why and all else is what comes nearest.
    """

    profile: MachineProfile
    doing: Doing
    drop_mm: float
    before: Footing
    after: Footing
    over_before_mm: float
    over_after_mm: float
    amounts: tuple[tuple[WayId, float], ...]
    springs: tuple[bool, bool]
    preloads: tuple[bool, bool]
    new_stand: bool
    hours: float
    parts: float
    price: float
    choices: Choices
    for_a_child: bool = False
    reason: str = ""
    stop: str = ""
    chance: float | None = None


def rank(
    rider: Rider,
    profiles: Iterable[MachineProfile],
    rates: Rates,
    *,
    carried: Choices | None = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> tuple[FleetRow, ...]:
    """Every machine of a library for one rider, least work first, then by price.

    Args:
        rider: known well enough to plan.
        profiles: the library, in any order.
        rates: the shop's figures.
        carried: fuel, luggage and feet; amounts and springs in it do not count.
        cancelled: asked now and then; once it says yes, the answer is empty.

    Raises:
        IncompleteError: the rider is not known well enough.
    """
    load = _load_only(carried or Choices())
    library = tuple(profiles)
    rows: list[FleetRow] = []
    ready: list[Context] = []
    bodies = loads_of_all(library, fitted(rider), load) if library else ()
    for profile, body in zip(library, bodies, strict=True):
        if cancelled():
            return ()
        try:
            ready.append(context(Job(rider=rider, machine=profile, choices=load), body))
        except UnsolvableError as error:
            rows.append(_unsolvable(profile, load, str(error)))
    for start in range(0, len(ready), _TOGETHER):
        if cancelled():
            return ()
        rows += _rows(ready[start : start + _TOGETHER], rates)
    return tuple(sorted(rows, key=_order))


def _order(row: FleetRow) -> tuple[object, ...]:
    profile = row.profile
    place = list(Doing).index(row.doing)
    if row.doing is Doing.IMPOSSIBLE:
        return place, bool(row.stop), row.over_after_mm, profile.name.casefold(), profile.id
    return place, row.for_a_child, row.price, row.drop_mm, profile.name.casefold(), profile.id


def _load_only(choices: Choices) -> Choices:
    keys = ("fuel_share", "luggage_front_kg", "luggage_rear_kg", "feet_share")
    return Choices(**{key: getattr(choices, key) for key in keys})


@dataclass(frozen=True)
class _Best:
    """The lane that is taken on one machine."""

    lane: Lane
    stage: Stage
    tried: Tried
    index: int

    @property
    def reached(self) -> bool:
        return bool(self.tried.reached[self.index])

    @property
    def setup(self) -> Setup:
        """Its setup, plain floats."""
        shape = np.shape(self.tried.over_mm)
        values = self.tried.setup.__dict__.items()
        return Setup(
            **{name: float(np.broadcast_to(each, shape)[self.index]) for name, each in values}
        )


def _rows(ctxs: Sequence[Context], rates: Rates) -> Iterator[FleetRow]:
    before = as_stock(ctxs)
    tries = [first_round(ctx) for ctx in ctxs]
    found = with_springs(ctxs, [as_amounts(lanes) for lanes, _ in tries])
    coarse = [
        _best(lanes, stages, tried, rates)
        for (lanes, stages), tried in zip(tries, found, strict=True)
    ]
    finer = [
        second_round(ctx, best.lane, best.stage) if best.reached else [best.lane]
        for ctx, best in zip(ctxs, coarse, strict=True)
    ]
    found = with_springs(ctxs, [as_amounts(lanes) for lanes in finer])
    taken = [
        _best(lanes, [best.stage] * len(lanes), tried, rates)
        for best, lanes, tried in zip(coarse, finer, found, strict=True)
    ]
    judged = verdicts(ctxs, [best.setup for best in taken])
    for ctx, stock, best, verdict in zip(ctxs, before, taken, judged, strict=True):
        yield _row(ctx, stock, best, verdict, rates)


def _best(lanes: list[Lane], stages: Sequence[Stage], tried: Tried, rates: Rates) -> _Best:
    """Of the lanes that reach, the earliest stage, the least suspension travel lost, the price.

    Where none reaches: the one that comes nearest.
    """
    prices = np.broadcast_to(tried.bill.price(rates), tried.over_mm.shape)

    def less(index: int) -> tuple[float, ...]:
        lane, stage = lanes[index], stages[index]
        if not tried.reached[index]:
            return 1.0, float(tried.over_mm[index]), float(stage), float(index)
        lost = sum(lane[way] for way in (WayId.FORK_LIMITER, WayId.SHOCK_LIMITER))
        lost += lane[WayId.RAISED_STANCHIONS]
        return 0.0, float(stage), lost, float(prices[index]), sum(lane.values()), float(index)

    index = min(range(len(lanes)), key=less)
    return _Best(lanes[index], stages[index], tried, index)


def _row(ctx: Context, stock: Tried, best: _Best, verdict: Verdict, rates: Rates) -> FleetRow:
    setup, at, tried, stop = best.setup, best.index, best.tried, verdict.stop
    profile = ctx.profile
    over = float(tried.over_mm[at])
    doing = {Stage.NOTHING: Doing.NOTHING, Stage.SEAT: Doing.SEAT}.get(best.stage, Doing.SUSPENSION)
    reason = "" if stop is None else stop.reason
    if not best.reached:
        short = figure_in_text(max(over, 0.0), Kind.LENGTH)
        missing = f"The seat stays {short} too high with everything that is tried here"
        reason = f"{reason}. {missing}" if reason else missing
    if reason:
        doing = Doing.IMPOSSIBLE
    over_before = float(stock.over_mm[0])
    springs = (
        setup.fork_rate_n_mm != profile.fork.spring_rate_n_mm.value,
        setup.shock_rate_n_mm != profile.rear.spring_rate_n_mm.value,
    )
    turned = (
        abs(float(setup.fork_preload_mm) - profile.fork.preload_mm.value) > SAME_PRELOAD_MM,
        abs(float(setup.shock_preload_mm) - profile.rear.preload_mm.value) > SAME_PRELOAD_MM,
    )
    made = bill(profile, setup, new_stand=verdict.new_stand)
    return FleetRow(
        profile=profile,
        doing=doing,
        drop_mm=max(over_before, 0.0) if np.isfinite(over_before) else 0.0,
        before=stock.footing[0],
        after=tried.footing[at],
        over_before_mm=over_before,
        over_after_mm=over,
        amounts=tuple((way, best.lane[way]) for way in TRIED if best.lane[way] > 0),
        springs=springs,
        preloads=(turned[0] and not springs[0], turned[1] and not springs[1]),
        new_stand=verdict.new_stand,
        hours=float(made.hours),
        parts=float(made.parts),
        price=float(made.price(rates)),
        choices=ctx.job.choices.replace(
            **{f"{way.value}_mm": best.lane[way] for way in TRIED if ctx.offer(way) is not None}
        ),
        for_a_child=too_heavy_for_a_child(profile.kind, ctx.rider.mass_kg),
        reason=reason,
        stop="" if stop is None else stop.key,
    )


def _unsolvable(profile: MachineProfile, choices: Choices, reason: str) -> FleetRow:
    return FleetRow(
        profile=profile,
        doing=Doing.IMPOSSIBLE,
        drop_mm=0.0,
        before=Footing.NONE,
        after=Footing.NONE,
        over_before_mm=np.inf,
        over_after_mm=np.inf,
        amounts=(),
        springs=(False, False),
        preloads=(False, False),
        new_stand=False,
        hours=0.0,
        parts=0.0,
        price=0.0,
        choices=choices,
        reason=reason,
        stop="profile",
    )
