"""Candidates evaluated exactly, many at once: figures, and how far each limit is missed.

Owns the step from lanes to measures and limit violations. The limits are those of the checks,
kept in `Bounds`, so that a search and a plan never disagree. Refuses to rank.
"""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from fitplanner.body.posture import legroom
from fitplanner.documents.job import Window
from fitplanner.mechanics.arrays import Array
from fitplanner.mechanics.equilibrium import equilibrium
from fitplanner.planning.by_shop import to_reach
from fitplanner.planning.checks.carrying import LEAST_BUMP_SHARE
from fitplanner.planning.checks.riding import LEAST_BUMP_GAP_MM
from fitplanner.planning.checks.units import LEAST_BIND_ROOM_MM, LEAST_REMAINING_TRAVEL
from fitplanner.planning.context import Context, stand_of
from fitplanner.planning.halt import halt, need_seat_mm, seat_of
from fitplanner.planning.old_stand import OldStand, too_long
from fitplanner.planning.plan import ENDS, End, WayId
from fitplanner.planning.search.space import Preload, Space, SpringChoice
from fitplanner.planning.setup import Setup, built, stacked, stock_setup
from fitplanner.planning.springs_plan import reserve_mm
from fitplanner.planning.targets import EndTarget, Market, targets
from fitplanner.planning.ways import Build
from fitplanner.planning.work import stock_parked

Indices = NDArray[np.int64]


@dataclass(frozen=True)
class Bounds:
    """Limits that exclude; the defaults are those of the plan's checks.

    `sag_miss`: how far a rider sag may lie outside its window, as a share of the remaining
    travel, so that a spring backed off to bring the seat down is told, not hidden.
    """

    front_gap_mm: float = LEAST_BUMP_GAP_MM
    rear_gap_mm: float = LEAST_BUMP_GAP_MM
    front_bump: float = LEAST_BUMP_SHARE
    rear_bump: float = LEAST_BUMP_SHARE
    front_reserve: float = 0.0
    rear_reserve: float = 0.0
    front_travel: float = LEAST_REMAINING_TRAVEL
    rear_travel: float = LEAST_REMAINING_TRAVEL
    front_bind_mm: float = LEAST_BIND_ROOM_MM
    rear_bind_mm: float = LEAST_BIND_ROOM_MM
    front_free_mm: float = 1.0
    rear_free_mm: float = 1.0
    front_sag_miss: float = 0.06
    rear_sag_miss: float = 0.06
    footing_mm: float = 0.0


TITLES = {
    "footing_mm": "the wanted footing",
    "front_gap_mm": "the full-bump gap at the front",
    "rear_gap_mm": "the full-bump gap at the rear",
    "front_bump": "travel left to bump at the front",
    "rear_bump": "travel left to bump at the rear",
    "front_reserve": "the bottoming reserve at the front, as a share of stock",
    "rear_reserve": "the bottoming reserve at the rear, as a share of stock",
    "front_travel": "the travel that a limiter leaves at the front",
    "rear_travel": "the travel that a limiter leaves at the rear",
    "front_bind_mm": "the fork spring's room before it binds",
    "rear_bind_mm": "the shock spring's room before it binds",
    "front_free_mm": "free sag at the front",
    "rear_free_mm": "free sag at the rear",
    "front_sag_miss": "rider sag at the front",
    "rear_sag_miss": "rider sag at the rear",
}
UNITS = {key: "mm" if key.endswith("_mm") else "share" for key in TITLES}
LIMITS = tuple(field.name for field in fields(Bounds))


@dataclass(frozen=True)
class Lanes:
    """Figures of candidates before the footing is asked: one array a figure."""

    seat_mm: Array
    travel: Array
    reserve: Array
    steering_mm: Array
    clearance_mm: Array
    values: dict[str, Array]
    """Each limit's value but the footing's; it fails where value is under (sag: over) its bound."""
    new_stand: NDArray[np.bool_]
    """Where the old side-stand is too long."""
    preload_mm: dict[End, Array]


@dataclass(frozen=True)
class Stock:
    """What candidates are compared with."""

    travel_mm: tuple[float, float]
    reserve_mm: tuple[float, float]
    trail_mm: float
    stand: OldStand


def stock_figures(ctx: Context) -> Stock:
    """Travel, reserve, trail and stand of the stock machine under this rider."""
    machine = ctx.machine
    low_x, high_x, low_y, high_y = (float(v) for v in machine.limits)
    up = ctx.carried.rider_up(machine.sprung)
    rest = equilibrium(machine, up)
    return Stock(
        (high_x - low_x, high_y - low_y),
        (
            float(reserve_mm(machine, "front", rest.front_load_n)),
            float(reserve_mm(machine, "rear", rest.rear_load_n)),
        ),
        float(rest.pose.trail_mm),
        OldStand.of(stand_of(ctx.profile), stock_parked(ctx.profile, ctx.job.choices)),
    )


def setups(
    ctx: Context,
    space: Space,
    structure: int,
    seat: Indices,
    front: Indices,
    rear: Indices,
    cell: Indices,
) -> tuple[Setup, Build]:
    """The setups of lanes, preloads set, and the machines built from them."""
    fork, shock, raised = np.unravel_index(cell, space.grid)
    amounts = {f"{way.value}_mm": mm for way, mm in space.structures[structure].items()}
    setup = Setup(
        **{
            **stock_setup(ctx.profile).__dict__,
            **amounts,
            "lower_seat_mm": space.seats_mm[seat],
            "fork_limiter_mm": space.fork_mm[fork],
            "shock_limiter_mm": space.shock_mm[shock],
            "raised_stanchions_mm": space.raised_mm[raised],
        }
    )
    made = built(ctx.machine, ctx.profile, setup)
    aims = targets(
        made.machine,
        ctx.carried.on_wheels(made.machine.sprung),
        ctx.carried.rider_up(made.machine.sprung, made.seat_drop_mm),
        ctx.windows,
    )
    springs = {}
    for end, choices, index, aim, market in (
        ("fork", space.front, front, aims[0], ctx.front_market),
        ("shock", space.rear, rear, aims[1], ctx.rear_market),
    ):
        stock = getattr(setup, f"{end}_preload_mm")
        rate, preload = _spring(choices, index, aim, market, float(stock))
        springs[f"{end}_rate_n_mm"], springs[f"{end}_preload_mm"] = rate, preload
    setup = Setup(**{**setup.__dict__, **springs})
    return setup, built(ctx.machine, ctx.profile, setup)


def _spring(
    choices: tuple[SpringChoice, ...],
    index: Indices,
    aim: EndTarget,
    market: Market,
    stock_preload_mm: float,
) -> tuple[Array, Array]:
    rate = np.array([choice.rate_n_mm for choice in choices])[index]
    mode = np.array([list(Preload).index(choice.preload) for choice in choices])[index]
    suited = np.broadcast_to(market.preload(aim, rate), rate.shape)
    least = min(market.preload_low_mm, stock_preload_mm)
    kept = np.choose(
        mode, [np.full(rate.shape, stock_preload_mm), suited, np.full(rate.shape, least), suited]
    )
    return rate, kept


def evaluate_lanes(ctx: Context, setup: Setup, made: Build, stock: Stock) -> Lanes:
    """Solve all states of the lanes and take their figures."""
    machine, profile = made.machine, ctx.profile
    on_wheels = ctx.carried.on_wheels(machine.sprung)
    up = ctx.carried.rider_up(machine.sprung, made.seat_drop_mm)
    rest = equilibrium(machine, stacked(machine, (on_wheels, up)))
    at = rest.pose
    standing = at.fork_compression_mm[0], at.rear_compression_mm[0]
    stopped = halt(to_reach(ctx, setup, made), ctx.value, ctx.rider, ctx.carried)
    low_x, high_x, low_y, high_y = machine.limits
    full_x, full_y = high_x - low_x, high_y - low_y
    free_x, sag_x = at.fork_compression_mm - low_x
    free_y, sag_y = at.rear_compression_mm - low_y
    low = (profile.controls.low_point_x_mm.value, profile.catalogue.ground_clearance_mm.value)
    reserve = [
        reserve_mm(machine, end, load[1]) / max(of_stock, 1.0)
        for end, load, of_stock in zip(
            ENDS, (rest.front_load_n, rest.rear_load_n), stock.reserve_mm, strict=True
        )
    ]
    windows = ctx.windows
    squeezed = machine.shock.stroke_mm - machine.shock.cut_mm + setup.shock_preload_mm
    values = {
        "front_gap_mm": profile.fork.bump_gap_mm.value + made.front_gap_mm,
        "rear_gap_mm": profile.rear.bump_gap_mm.value + made.rear_gap_mm,
        "front_bump": 1 - sag_x / full_x,
        "rear_bump": 1 - sag_y / full_y,
        "front_reserve": reserve[0],
        "rear_reserve": reserve[1],
        "front_travel": 1 - setup.fork_limiter_mm / profile.fork.travel_mm.value,
        "rear_travel": 1 - setup.shock_limiter_mm / machine.shock.stroke_mm,
        "front_bind_mm": profile.fork.spring_free_mm.value
        - profile.fork.spring_solid_mm.value
        - full_x
        - setup.fork_preload_mm,
        "rear_bind_mm": profile.rear.spring_free_mm.value
        - profile.rear.spring_solid_mm.value
        - squeezed,
        "front_free_mm": free_x,
        "rear_free_mm": free_y,
        "front_sag_miss": _outside(sag_x / full_x, windows.rider_front),
        "rear_sag_miss": _outside(sag_y / full_y, windows.rider_rear),
    }
    shape = np.shape(stopped.seat_mm)
    return Lanes(
        seat_mm=stopped.seat_mm,
        travel=np.minimum(full_x / stock.travel_mm[0], full_y / stock.travel_mm[1])
        + np.zeros(shape),
        reserve=np.minimum(*reserve) + np.zeros(shape),
        steering_mm=np.abs(at.trail_mm[1] - stock.trail_mm),
        clearance_mm=at.height(*low)[0],
        values={key: value + np.zeros(shape) for key, value in values.items()},
        new_stand=too_long(machine, on_wheels, stock.stand, start_mm=standing)
        & np.ones(shape, dtype=bool),
        preload_mm={
            "front": setup.fork_preload_mm + np.zeros(shape),
            "rear": setup.shock_preload_mm + np.zeros(shape),
        },
    )


def _outside(share: Array, window: Window) -> Array:
    return np.asarray(np.maximum(np.maximum(window.low - share, share - window.high), 0.0))


def needs_mm(ctx: Context, space: Space) -> Array:
    """Needed seat height for each seat (rows) and reach combination (columns)."""
    rows = []
    for lower in space.seats_mm:
        row = []
        for reach in space.reach:
            setup = Setup(
                **{
                    **stock_setup(ctx.profile).__dict__,
                    "lower_seat_mm": float(lower),
                    **{f"{way.value}_mm": mm for way, mm in reach.items()},
                }
            )
            made = built(ctx.machine, ctx.profile, setup)
            seat = seat_of(ctx.value, made.seat_narrower_mm)
            row.append(float(need_seat_mm(ctx.rider, seat, made.sole_mm)))
        rows.append(row)
    return np.array(rows)


def knees_deg(ctx: Context, space: Space) -> Array:
    """Knee angle on the pegs for each seat (rows) and reach combination (columns)."""
    profile = ctx.profile
    pegs = (profile.controls.peg_x_mm.value, profile.controls.peg_z_mm.value)
    height = profile.catalogue.seat_height_mm.value
    return np.array(
        [
            [
                np.degrees(
                    float(
                        legroom(
                            ctx.rider.lengths,
                            seat_point_mm=(profile.seat.x_mm.value, height - float(lower)),
                            peg_point_mm=pegs,
                            sole_mm=ctx.rider.document.boot_sole_mm + reach[WayId.THICKER_SOLE],
                        ).knee_angle_rad
                    )
                )
                for reach in space.reach
            ]
            for lower in space.seats_mm
        ]
    )


def violations(lanes: Lanes, over_need_mm: Array, bounds: Bounds) -> dict[str, Array]:
    """How far each limit is missed (0 or less: it holds); `over_need_mm` is seat less need."""
    found = {"footing_mm": over_need_mm + bounds.footing_mm}
    for key, value in lanes.values.items():
        bound = getattr(bounds, key)
        found[key] = value - bound if key.endswith("sag_miss") else bound - value
    return found
