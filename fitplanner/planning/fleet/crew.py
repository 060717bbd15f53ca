"""Many machines under one rider, solved in one go.

Owns the step from amounts of each machine to springs, footing and price, all machines' lanes
together. Refuses to choose among them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from fitplanner.body.reach import Footing
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.abreast import Markets, abreast, column
from fitplanner.planning.context import Context
from fitplanner.planning.halt import Halt, halt, seat_of
from fitplanner.planning.loads import Loads
from fitplanner.planning.plan import WayId
from fitplanner.planning.price import Bill, bill
from fitplanner.planning.resolve import Values
from fitplanner.planning.setup import Setup, built, stock_setup
from fitplanner.planning.targets import choose, targets
from fitplanner.planning.ways import Build

_T = TypeVar("_T", bound=np.generic)

Amounts = Mapping[WayId, Array]
"""Amount of each way in mm, one array over the lanes of a machine."""

_SEAT_FIGURES = (
    ("catalogue", "seat_height_mm"),
    ("seat", "x_mm"),
    ("seat", "edge_drop_mm"),
    ("seat", "foam_mm"),
    ("seat", "foam_squash_mm"),
)
_EXACT_MM = 1e-6


@dataclass(frozen=True)
class Tried:
    """What the lanes of one machine came to.

    `bill` is without the side-stand, which only the lane that is taken is asked for. `over_mm`:
    the seat is this far over the height that the wanted footing needs.
    """

    setup: Setup
    made: Build
    bill: Bill
    reached: NDArray[np.bool_]
    over_mm: Array
    footing: tuple[Footing, ...]


def counts_of(amounts: Sequence[Amounts]) -> list[int]:
    """Lanes of each machine."""
    return [len(next(iter(each.values()))) for each in amounts]


def as_stock(ctxs: Sequence[Context]) -> list[Tried]:
    """Every machine as it left the factory, one lane each."""
    made = [Build(ctx.profile, ctx.machine) for ctx in ctxs]
    setups = [stock_setup(ctx.profile) for ctx in ctxs]
    ones = [1] * len(ctxs)
    at = halt(_together(ctxs, made, ones), _values(ctxs, ones), ctxs[0].rider, loads_of(ctxs, ones))
    return _tried(ctxs, setups, made, at, ones)


def with_springs(ctxs: Sequence[Context], amounts: Sequence[Amounts]) -> list[Tried]:
    """Every machine built by its amounts, with the springs and preloads that suit the rider."""
    counts = counts_of(amounts)
    setups = [
        replace(stock_setup(ctx.profile), **{f"{way.value}_mm": mm for way, mm in each.items()})
        for ctx, each in zip(ctxs, amounts, strict=True)
    ]
    made = [built(c.machine, c.profile, s) for c, s in zip(ctxs, setups, strict=True)]
    whole, carried = _together(ctxs, made, counts), loads_of(ctxs, counts)
    machine, windows = whole.machine, ctxs[0].windows
    front, rear = targets(
        machine,
        carried.on_wheels(machine.sprung),
        carried.rider_up(machine.sprung, whole.seat_drop_mm),
        windows,
    )
    forks = Markets.of([ctx.front_market for ctx in ctxs], counts)
    shocks = Markets.of([ctx.rear_market for ctx in ctxs], counts)
    fork_rate, fork_preload = choose(front, forks, windows.free_front, windows.rider_front)
    shock_rate, shock_preload = choose(rear, shocks, windows.free_rear, windows.rider_rear)
    sprung = machine.with_fork(
        rate_n_mm=fork_rate[:, None] * forks.legs, preload_mm=fork_preload[:, None]
    ).with_shock(rate_n_mm=shock_rate[:, None], preload_mm=shock_preload[:, None])
    whole = replace(whole, machine=sprung)
    at = halt(whole, _values(ctxs, counts), ctxs[0].rider, carried)
    springs = zip(
        *(_shares(each, counts) for each in (fork_rate, fork_preload, shock_rate, shock_preload)),
        strict=True,
    )
    setups = [
        replace(
            setup,
            fork_rate_n_mm=rates[0],
            fork_preload_mm=rates[1],
            shock_rate_n_mm=rates[2],
            shock_preload_mm=rates[3],
        )
        for setup, rates in zip(setups, springs, strict=True)
    ]
    return _tried(ctxs, setups, made, at, counts)


def loads_of(ctxs: Sequence[Context], counts: Sequence[int]) -> Loads:
    """What every lane carries."""
    carried: Loads = abreast([ctx.carried for ctx in ctxs], counts)
    return carried


def _together(ctxs: Sequence[Context], made: Sequence[Build], counts: Sequence[int]) -> Build:
    """The lanes of all machines as one; its profile only says what no lane's figure replaces."""
    parts = {
        name: column([getattr(each, name) for each in made], counts)
        for name in ("seat_drop_mm", "seat_narrower_mm", "sole_mm", "front_gap_mm", "rear_gap_mm")
    }
    machine = abreast([each.machine for each in made], counts)
    return Build(profile=ctxs[0].profile, machine=machine, **parts)


def _values(ctxs: Sequence[Context], counts: Sequence[int]) -> Values:
    """The seats' figures as lanes; a seat known by its arc counts by the width that it gives."""
    overrides = {key: column([ctx.value(*key) for ctx in ctxs], counts) for key in _SEAT_FIGURES}
    widths = [float(seat_of(ctx.value).width_mm) for ctx in ctxs]
    overrides["seat", "width_mm"] = column(widths, counts)
    profile = ctxs[0].profile
    bare = profile.model_copy(update={"seat": profile.seat.model_copy(update={"arc_mm": None})})
    return Values(bare, overrides)


def _tried(
    ctxs: Sequence[Context],
    setups: Sequence[Setup],
    made: Sequence[Build],
    at: Halt,
    counts: Sequence[int],
) -> list[Tried]:
    over = at.seat_mm - at.need_mm
    reached, rank = over <= _EXACT_MM, np.asarray(at.both.footing)
    if at.one is not None:
        reached = at.one.reached
        rank = np.where(at.one.reached, np.maximum(rank, Footing.ONE_FOOT_FLAT.rank), rank)
    lanes = zip(
        _shares(reached[:, 0], counts),
        _shares(over[:, 0], counts),
        _shares(np.broadcast_to(rank, over.shape)[:, 0], counts),
        strict=True,
    )
    best = list(Footing)[::-1]
    return [
        Tried(
            setup=setup,
            made=build,
            bill=bill(ctx.profile, setup, new_stand=False),
            reached=lane_reached,
            over_mm=lane_over,
            footing=tuple(best[code] for code in lane_rank),
        )
        for ctx, setup, build, (lane_reached, lane_over, lane_rank) in zip(
            ctxs, setups, made, lanes, strict=True
        )
    ]


def _shares(values: NDArray[_T], counts: Sequence[int]) -> list[NDArray[_T]]:
    return np.split(values, np.cumsum(counts)[:-1])
