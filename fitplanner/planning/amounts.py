"""How much of each way: the least that gives the wanted footing with the wanted spare.

Owns the choice among amounts in the steps that the machine accepts, every one evaluated on the
exact model at once. What is fixed by hand stays. Refuses money and taste.
"""

from dataclasses import dataclass, replace

import numpy as np

from fitplanner.documents.machine import WayOffer
from fitplanner.mechanics.arrays import Array
from fitplanner.mechanics.machine import map_lanes
from fitplanner.planning import ways
from fitplanner.planning.by_shop import shares_planned_for, to_reach
from fitplanner.planning.context import CHOSEN_WAYS, Context
from fitplanner.planning.halt import Halt, halt, need_seat_mm, seat_of
from fitplanner.planning.plan import WayId
from fitplanner.planning.setup import Setup, built, stock_setup
from fitplanner.planning.targets import choose, targets
from fitplanner.planning.ways import Build

# What one millimetre (one degree) costs in the choice: lost wheel travel counts as itself, the
# rest is weighed against it. Common practice, no source: a seat is changed before a shock is
# opened, clamps are for what is left over, and steering is kept.
_SEAT_COST, _SEAT_FIXED = 0.7, 6.0
_RAISE_COST, _RAISE_FIXED = 0.9, 8.0
_PITCH_COST_PER_DEG = 14.0
_SHORT_COST = 1000.0
_SPLIT_REACH_MM = 30.0
_LINEAR_SLACK_MM = 12.0
_MOST_EXACT = 320


@dataclass(frozen=True)
class _Grid:
    """Candidate amounts, one lane each."""

    fork: Array
    shock: Array
    raised: Array
    seat: Array


def _steps(offer: WayOffer | None, fixed: float | None) -> Array:
    if fixed is not None:
        return np.array([fixed])
    if offer is None:
        return np.array([0.0])
    count = int(offer.maximum_mm / offer.step_mm + 1e-9)
    return np.round(np.arange(count + 1) * offer.step_mm, 6)


def _grid(ctx: Context) -> _Grid:
    """Every shock limiter and seat with the fork amounts that keep the wanted pitch nearby."""
    fork, shock, raised, seat = (_steps(ctx.offer(way), ctx.by_hand(way)) for way in CHOSEN_WAYS)
    machine = ctx.machine
    axle = machine.leverage.rise_at(np.minimum(shock, machine.shock.stroke_mm))
    tilt = np.radians(ctx.job.choices.pitch_wish_deg) * ctx.profile.catalogue.wheelbase_mm.value
    level = (axle - tilt) / np.cos(float(machine.rake_rad))
    rows = []
    for shock_mm, wanted in zip(shock, level, strict=True):
        near = _nearest(fork, wanted)
        for fork_mm in near:
            for raise_mm in _nearest(raised, max(wanted - fork_mm, 0.0), reach=0.0):
                rows.append((fork_mm, shock_mm, raise_mm))
    base = np.array(rows)
    lanes = np.repeat(base, len(seat), axis=0)
    return _Grid(lanes[:, 0], lanes[:, 1], lanes[:, 2], np.tile(seat, len(base)))


def _nearest(values: Array, wanted: float, reach: float = _SPLIT_REACH_MM) -> Array:
    """The values within `reach` of the wanted one, at least the nearest."""
    away = np.abs(values - wanted)
    return values[away <= max(reach, float(away.min()))]


def chosen_springs(ctx: Context, made: Build, setup: Setup) -> Setup:
    """The setup with the springs and preloads that suit it; lanes allowed."""

    def widen(array: Array) -> Array:
        return array[..., None]

    wide = map_lanes(made.machine, widen)
    drop = np.asarray(made.seat_drop_mm, dtype=float)
    drop = drop[..., None] if drop.ndim else drop
    front, rear = targets(
        wide,
        ctx.carried.on_wheels(wide.sprung),
        ctx.carried.rider_up(wide.sprung, drop),
        ctx.windows,
    )
    w = ctx.windows
    fork_rate, fork_preload = choose(front, ctx.front_market, w.free_front, w.rider_front)
    shock_rate, shock_preload = choose(rear, ctx.rear_market, w.free_rear, w.rider_rear)
    return replace(
        setup,
        fork_rate_n_mm=fork_rate,
        fork_preload_mm=fork_preload,
        shock_rate_n_mm=shock_rate,
        shock_preload_mm=shock_preload,
    )


def plan_setup(ctx: Context, stock: Halt) -> Setup:
    """The setup that the planner proposes, plain floats.

    Among the candidates that reach the wanted footing the one that costs least; where none
    does, the one that comes nearest. Candidates that the linear rule puts far off are left out.
    """
    grid = _grid(ctx)
    kept, left_out = _promising(ctx, grid, stock)
    setup, reaches = _best(ctx, kept, stock)
    if not reaches and left_out:
        setup, _ = _best(ctx, grid, stock)
    return setup


def _elsewhere(ctx: Context) -> dict[WayId, float]:
    """Amounts fixed by hand of the ways that the planner does not choose by itself."""
    return {way: ctx.by_hand(way) or 0.0 for way in WayId if way not in CHOSEN_WAYS}


def _best(ctx: Context, grid: _Grid, stock: Halt) -> tuple[Setup, bool]:
    bare = replace(
        stock_setup(ctx.profile),
        **{f"{way.value}_mm": amount for way, amount in _elsewhere(ctx).items()},
        fork_limiter_mm=grid.fork,
        shock_limiter_mm=grid.shock,
        raised_stanchions_mm=grid.raised,
        lower_seat_mm=grid.seat,
    )
    setup = chosen_springs(ctx, built(ctx.machine, ctx.profile, bare), bare)
    made = built(ctx.machine, ctx.profile, setup)
    machine = made.machine
    at = halt(made, ctx.value, ctx.rider, ctx.carried)
    reaching = to_reach(ctx, setup, made)
    seat = at if reaching is made else halt(reaching, ctx.value, ctx.rider, ctx.carried)
    need = seat.need_mm - ctx.job.choices.spare_mm
    low_x, _, low_y, _ = machine.limits
    pitch = np.degrees(at.rest.pose.pitch_rad - stock.rest.pose.pitch_rad)
    cost = _cost(ctx, grid, low_x + low_y, pitch)
    short = np.broadcast_to(np.maximum(seat.seat_mm - need, 0.0), cost.shape)
    best = int(np.argmin(cost + np.where(short > 1e-6, _SHORT_COST * (1 + short), 0.0)))
    lane = {
        name: float(np.broadcast_to(values, cost.shape)[best])
        for name, values in setup.__dict__.items()
    }
    return Setup(**lane), bool(short[best] <= 1e-6)


def _promising(ctx: Context, grid: _Grid, stock: Halt) -> tuple[_Grid, bool]:
    """The candidates that the linear rule, with sags on target, does not rule out.

    Also whether one was left out that it would not have ruled out.
    """
    machine, windows = ctx.machine, ctx.windows
    share = float(ctx.value("seat", "x_mm")) / ctx.profile.catalogue.wheelbase_mm.value
    fork_travel = np.asarray(machine.fork.stroke_mm)
    rear_travel = ctx.profile.rear.travel_mm.value
    whole, grid = grid, _delivering(ctx, grid)
    axle = machine.leverage.rise_at(np.minimum(grid.shock, machine.shock.stroke_mm))
    wf, wr = windows.rider_front.middle, windows.rider_rear.middle
    fork = grid.fork + wf * (fork_travel - grid.fork) - stock.rest.pose.fork_compression_mm
    rear = axle + wr * (rear_travel - axle) - stock.rest.pose.rear_compression_mm
    front = np.cos(float(machine.rake_rad)) * (fork + grid.raised)
    seat = stock.seat_mm - (1 - share) * rear - share * front - grid.seat
    pitch = np.degrees((rear - front) / ctx.profile.catalogue.wheelbase_mm.value)
    cost = _cost(ctx, grid, grid.fork + axle, pitch)
    choices = ctx.job.choices
    by_hand = (
        choices.fork_rate_n_mm,
        choices.fork_preload_mm,
        choices.shock_rate_n_mm,
        choices.shock_preload_mm,
    )
    slack = _LINEAR_SLACK_MM if all(v is None for v in by_hand) else 4 * _LINEAR_SLACK_MM
    lower = ways.build(machine, ctx.profile, {**_elsewhere(ctx), WayId.LOWER_SEAT: grid.seat})
    need = need_seat_mm(ctx.rider, seat_of(ctx.value, lower.seat_narrower_mm), lower.sole_mm)
    need = need - choices.spare_mm
    far = np.maximum(seat - need - slack, 0.0)
    order = np.argsort(cost + _SHORT_COST * far, kind="stable")[:_MOST_EXACT]
    kept = _Grid(whole.fork[order], whole.shock[order], whole.raised[order], whole.seat[order])
    return kept, int(np.count_nonzero(far == 0)) > len(order)


def _delivering(ctx: Context, grid: _Grid) -> _Grid:
    """The amounts as they are to be expected to come out."""
    shares = shares_planned_for(ctx)
    if not shares:
        return grid
    columns = zip(CHOSEN_WAYS, (grid.fork, grid.shock, grid.raised, grid.seat), strict=True)
    return _Grid(*(column * shares.get(way, 1.0) for way, column in columns))


def _cost(ctx: Context, grid: _Grid, travel_mm: Array, pitch_deg: Array) -> Array:
    seat = np.where(grid.seat > 0, _SEAT_FIXED + _SEAT_COST * grid.seat, 0.0)
    raised = np.where(grid.raised > 0, _RAISE_FIXED + _RAISE_COST * grid.raised, 0.0)
    steering = _PITCH_COST_PER_DEG * np.abs(pitch_deg - ctx.job.choices.pitch_wish_deg)
    cost: Array = travel_mm + seat + raised + steering
    return cost
