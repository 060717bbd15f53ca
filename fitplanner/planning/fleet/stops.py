"""Limits that nobody may build past, for one chosen lane of each machine, and its side-stand.

Owns them for many machines at once, with the limits of the plan's own checks. Refuses the other
cautions: those belong to a full plan.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitplanner.mechanics.arrays import Array
from fitplanner.mechanics.equilibrium import equilibrium
from fitplanner.mechanics.machine import Machine
from fitplanner.mechanics.parked import park
from fitplanner.planning.abreast import abreast
from fitplanner.planning.checks.carrying import LEAST_BUMP_SHARE
from fitplanner.planning.checks.riding import LEAST_BUMP_GAP_MM, LEAST_RESERVE_SHARE
from fitplanner.planning.checks.units import LEAST_BIND_ROOM_MM, LEAST_REMAINING_TRAVEL
from fitplanner.planning.context import Context, stand_of
from fitplanner.planning.fleet.crew import loads_of
from fitplanner.planning.kit import poured_ml
from fitplanner.planning.loads import Loads
from fitplanner.planning.old_stand import OldStand, too_long
from fitplanner.planning.plan import ENDS, End
from fitplanner.planning.setup import Setup, bodies, built
from fitplanner.planning.springs_plan import reserve_mm
from fitplanner.planning.work import RIDER_UP
from fitplanner.quantities import Kind, figure_in_text

_LEAST_AIR_SHARE = 0.3


@dataclass(frozen=True)
class Stop:
    """One limit that is broken: the check's key and why, in a sentence with figures."""

    key: str
    reason: str


@dataclass(frozen=True)
class Verdict:
    """One machine as built: its worst broken limit, and whether its old stand is too long."""

    stop: Stop | None
    new_stand: bool


def verdicts(ctxs: Sequence[Context], setups: Sequence[Setup]) -> list[Verdict]:
    """Each machine as built by its setup, one lane each."""
    ones = [1] * len(ctxs)
    made = [built(c.machine, c.profile, s) for c, s in zip(ctxs, setups, strict=True)]
    machine: Machine = abreast([each.machine for each in made], ones)
    carried = loads_of(ctxs, ones)
    drop = np.array([[float(each.seat_drop_mm)] for each in made])
    rest = equilibrium(machine, bodies(machine, carried, drop))
    low_x, high_x, low_y, high_y = machine.limits
    stock: Machine = abreast([each.machine for each in ctxs], ones)
    before = equilibrium(stock, carried.rider_up(stock.sprung))
    reserves: dict[End, tuple[Array, Array]] = {
        end: (reserve_mm(stock, end, was), reserve_mm(machine, end, load[RIDER_UP]))
        for end, was, load in zip(
            ENDS,
            (before.front_load_n, before.rear_load_n),
            (rest.front_load_n, rest.rear_load_n),
            strict=True,
        )
    }
    front = (high_x - rest.pose.fork_compression_mm[RIDER_UP]) / (high_x - low_x)
    rear = (high_y - rest.pose.rear_compression_mm[RIDER_UP]) / (high_y - low_y)
    solved = np.all(rest.converged, axis=0)
    stands, too_tall = _stands(ctxs, machine, carried)
    return [
        Verdict(
            _worst(
                [
                    *_of_parts(ctx, setup),
                    *_gaps(ctx, float(build.front_gap_mm), float(build.rear_gap_mm)),
                    *_bump(front[lane, 0], rear[lane, 0]),
                    *(
                        _reserve(end, float(was[lane, 0]), float(left[lane, 0]))
                        for end, (was, left) in reserves.items()
                    ),
                    (0.0 if solved[lane, 0] else -1.0, "solved", "Springs and loads have no rest"),
                    (0.0 if stands[lane] else -1.0, "stand", "It does not stand on its side-stand"),
                ]
            ),
            new_stand=bool(too_tall[lane]),
        )
        for lane, (ctx, setup, build) in enumerate(zip(ctxs, setups, made, strict=True))
    ]


_Margin = tuple[float, str, str]
"""Margin over the limit, below 0 where it is broken; key; reason."""


def _worst(found: Sequence[_Margin]) -> Stop | None:
    margin, key, reason = min(found)
    return Stop(key, reason) if margin < -1e-6 else None


def _at_least(value: float, least: float, key: str, reason: str) -> _Margin:
    return (value - least) / max(abs(least), 1.0), key, reason


def _of_parts(ctx: Context, setup: Setup) -> list[_Margin]:
    profile, choices = ctx.profile, ctx.job.choices
    fork, rear = profile.fork, profile.rear
    carried = ctx.rider.total_kg + choices.luggage_front_kg + choices.luggage_rear_kg
    payload = profile.masses.payload_kg.value
    cut, shock_cut = float(setup.fork_limiter_mm), float(setup.shock_limiter_mm)
    travel, stroke = fork.travel_mm.value, float(ctx.machine.shock.stroke_mm)
    more = float(poured_ml(fork, cut)) - fork.oil_volume_ml.value
    air = 1 - more / fork.air_volume_bottomed_ml.value
    fork_room = fork.spring_free_mm.value - fork.spring_solid_mm.value
    shock_room = rear.spring_free_mm.value - rear.spring_solid_mm.value
    seat = profile.catalogue.seat_height_mm.value - float(setup.lower_seat_mm)
    return [
        _at_least(
            -carried,
            -payload,
            "payload",
            f"Rider and luggage come to {figure_in_text(carried, Kind.MASS)}, the machine may "
            f"carry {figure_in_text(payload, Kind.MASS)}",
        ),
        _at_least(
            fork_room - (travel - cut) - float(setup.fork_preload_mm),
            LEAST_BIND_ROOM_MM,
            "fork-bind",
            "The fork spring binds before the fork bottoms",
        ),
        _at_least(
            shock_room - (stroke - shock_cut) - float(setup.shock_preload_mm),
            LEAST_BIND_ROOM_MM,
            "shock-bind",
            "The shock spring binds before the shock bottoms",
        ),
        _at_least(air, _LEAST_AIR_SHARE, "fork-air", "Too little air is left over the fork oil"),
        _at_least(
            seat,
            2 * profile.wheels.rear_radius_mm.value,
            "seat-over-wheel",
            "The seat would be lower than the top of the rear tyre",
        ),
        _at_least(
            1 - cut / travel,
            LEAST_REMAINING_TRAVEL,
            "fork-limiter-travel",
            "The limiter takes more than half the fork's travel",
        ),
        _at_least(
            1 - shock_cut / stroke,
            LEAST_REMAINING_TRAVEL,
            "shock-limiter-travel",
            "The limiter takes more than half the shock's travel",
        ),
    ]


def _gaps(ctx: Context, front_mm: float, rear_mm: float) -> list[_Margin]:
    return [
        _at_least(
            gap, LEAST_BUMP_GAP_MM, f"{end}-gap", f"The {end} tyre comes too near at full bump"
        )
        for end, gap in (
            ("front", ctx.profile.fork.bump_gap_mm.value + front_mm),
            ("rear", ctx.profile.rear.bump_gap_mm.value + rear_mm),
        )
    ]


def _bump(front: float, rear: float) -> list[_Margin]:
    return [
        _at_least(
            share, LEAST_BUMP_SHARE, f"{end}-carries", f"No {word} spring on sale carries the rider"
        )
        for end, word, share in (("fork", "fork", front), ("rear", "shock", rear))
    ]


def _reserve(end: End, stock_mm: float, left_mm: float) -> _Margin:
    key, reason = f"{end}-reserve", f"At the {end} the springs do not take up their own travel"
    if left_mm >= 0.0:
        return 0.0, key, reason
    return _at_least(left_mm, LEAST_RESERVE_SHARE * max(stock_mm, 0.0), key, reason)


def _stands(
    ctxs: Sequence[Context], machine: Machine, carried: Loads
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Whether each machine stands on a stand that restores the stock lean, if it does as stock.

    And whether the stand as it is would be too long.
    """
    ones = [1] * len(ctxs)
    stand = abreast([stand_of(ctx.profile) for ctx in ctxs], ones)
    stock: Machine = abreast([ctx.machine for ctx in ctxs], ones)
    before = park(stock, carried.on_wheels(stock.sprung), stand)
    on_wheels = carried.on_wheels(machine.sprung)
    after = park(machine, on_wheels, stand, hold_lean_rad=before.lean.lean_rad)
    long = too_long(machine, on_wheels, OldStand.of(stand, before))
    return (after.holds | ~before.holds)[:, 0], long[:, 0]
