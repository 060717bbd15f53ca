"""Everything solved once for one plan, so that no part of it solves again.

Owns the batch: stock, planned, stiction, neighbouring springs and the steps between nominal and
delivered share one call of the solver. Refuses words.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.job import Choices
from fitplanner.documents.machine import MachineProfile
from fitplanner.mechanics.equilibrium import Rest, bottomed, equilibrium, hanging
from fitplanner.mechanics.machine import Machine, pick_lane
from fitplanner.mechanics.parked import Parked, Stand, park
from fitplanner.planning.context import Context, stand_of
from fitplanner.planning.halt import Halt, halt
from fitplanner.planning.loads import load_body
from fitplanner.planning.memory import remembered
from fitplanner.planning.plan import ENDS, End
from fitplanner.planning.resolve import Values, reference
from fitplanner.planning.setup import Setup, bodies, built, stock_setup
from fitplanner.planning.targets import EndTarget, targets
from fitplanner.planning.ways import Build

Array = NDArray[np.float64]

STOCK, PLANNED = 0, 1
ON_WHEELS, RIDER_UP, STOPPED = 0, 1, 2
_NEIGHBOURS = 2


@dataclass(frozen=True)
class Lanes:
    """Setups side by side with their solved states: shape (3, lanes), state first."""

    setup: Setup
    machine: Machine
    rest: Rest
    low_x_mm: Array
    low_y_mm: Array

    def sag(self, state: int, lane: int) -> tuple[float, float]:
        """Front (along the fork) and rear (at the wheel) sag from the new full extension [mm]."""
        at = self.rest.pose
        return (
            float(at.fork_compression_mm[state, lane] - self.low_x_mm[lane]),
            float(at.rear_compression_mm[state, lane] - self.low_y_mm[lane]),
        )


@dataclass(frozen=True)
class Work:
    """All solved states of one plan."""

    ctx: Context
    stock: Setup
    planned: Setup
    stock_machine: Machine
    made: Build
    lanes: Lanes
    limits: tuple[tuple[float, ...], ...]
    """Least and most fork compression and axle rise: stock, planned."""
    stiction: tuple[tuple[int, int], tuple[int, int]]
    """Lanes held up and pulled down by stiction: stock, planned."""
    options: dict[End, tuple[tuple[int, float, float], ...]]
    """Lane, rate of one spring and preload of each neighbouring spring."""
    same_springs: int
    """Lane with the planned amounts and new rates at stock preload."""
    aims: tuple[EndTarget, EndTarget]
    halts: tuple[Halt, Halt]
    hanging: tuple[Rest, Rest]
    bottomed: tuple[Rest, Rest]
    stand: Stand
    old_stand: tuple[Parked, Parked]
    """Stock and planned machine on the stand as it is."""
    new_stand: Parked
    """Planned machine on the stand that restores the stock lean."""

    @property
    def machine(self) -> Machine:
        """The planned machine."""
        return self.made.machine

    def unit(self, which: int) -> Machine:
        """The stock or the planned machine."""
        return self.stock_machine if which == STOCK else self.machine


def around(rates: Array, chosen: float, count: int = _NEIGHBOURS) -> Array:
    """The chosen rate with up to `count` rates on sale at either side."""
    below, above = rates[rates < chosen - 1e-9], rates[rates > chosen + 1e-9]
    return np.concatenate([below[-count:], [chosen], above[:count]])


def work_out(ctx: Context, planned: Setup, stock_halt: Halt) -> Work:
    """Solve every state that the plan shows."""
    stock = stock_setup(ctx.profile)
    made = built(ctx.machine, ctx.profile, planned)
    machine = made.machine
    aims = targets(
        machine,
        ctx.carried.on_wheels(machine.sprung),
        ctx.carried.rider_up(machine.sprung, made.seat_drop_mm),
        ctx.windows,
    )
    setups, friction = [stock, planned], [0.0, 0.0]
    setups.append(
        replace(
            planned, fork_preload_mm=stock.fork_preload_mm, shock_preload_mm=stock.shock_preload_mm
        )
    )
    friction.append(0.0)
    stiction = []
    for setup in (stock, planned):
        stiction.append((len(setups), len(setups) + 1))
        setups += [setup, setup]
        friction += [1.0, -1.0]
    options: dict[End, tuple[tuple[int, float, float], ...]] = {}
    for end, aim, market in zip(ENDS, aims, (ctx.front_market, ctx.rear_market), strict=True):
        unit = "fork" if end == "front" else "shock"
        chosen = float(getattr(planned, f"{unit}_rate_n_mm"))
        chosen_preload = float(getattr(planned, f"{unit}_preload_mm"))
        rows = []
        for rate in around(market.rates_n_mm, chosen):
            preload = chosen_preload if rate == chosen else float(market.preload(aim, rate))
            rows.append((len(setups), float(rate), preload))
            setups.append(
                replace(
                    planned, **{f"{unit}_rate_n_mm": float(rate), f"{unit}_preload_mm": preload}
                )
            )
            friction.append(0.0)
        options[end] = tuple(rows)
    many = _side_by_side(setups)
    sign = np.array(friction)
    lanes_made = built(ctx.machine, ctx.profile, many)
    lanes_machine = lanes_made.machine.with_fork(
        friction_n=sign * ctx.value("fork", "stiction_n")
    ).with_shock(friction_n=sign * ctx.value("rear", "stiction_n"))
    rest = equilibrium(lanes_machine, bodies(lanes_machine, ctx.carried, lanes_made.seat_drop_mm))
    stand = stand_of(ctx.profile)
    old = stock_parked(ctx.profile, ctx.job.choices)
    parked = park(
        machine,
        ctx.carried.on_wheels(machine.sprung),
        stand,
        hold_lean_rad=np.array([np.nan, float(old.lean.lean_rad)]),
        like=old if old.holds else None,
    )
    low_x, _, low_y, _ = lanes_machine.limits
    each = np.shape(sign)
    lanes = Lanes(
        many, lanes_machine, rest, np.broadcast_to(low_x, each), np.broadcast_to(low_y, each)
    )
    return Work(
        ctx=ctx,
        stock=stock,
        planned=planned,
        stock_machine=ctx.machine,
        made=made,
        lanes=lanes,
        limits=tuple(tuple(float(v) for v in each.limits) for each in (ctx.machine, machine)),
        stiction=(stiction[0], stiction[1]),
        options=options,
        same_springs=2,
        aims=aims,
        halts=(
            stock_halt,
            halt(made, ctx.value, ctx.rider, ctx.carried),
        ),
        hanging=(hanging(ctx.machine), hanging(machine)),
        bottomed=(bottomed(ctx.machine), bottomed(machine)),
        stand=stand,
        old_stand=(old, pick_lane(parked, (0,))),
        new_stand=pick_lane(parked, (1,)),
    )


def _side_by_side(setups: list[Setup]) -> Setup:
    return Setup(
        **{
            name: np.array([float(getattr(setup, name)) for setup in setups])
            for name in setups[0].__dict__
        }
    )


@remembered(16)
def stock_parked(profile: MachineProfile, choices: Choices) -> Parked:
    """The stock machine with its fuel and luggage on its own side-stand."""
    machine = reference(profile).machine
    return park(
        machine, machine.sprung + load_body(Values(profile, {}), choices), stand_of(profile)
    )
