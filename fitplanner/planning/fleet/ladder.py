"""What is tried on one machine: nothing, seat and sole, and the suspension rung by rung.

Owns the lanes of both rounds. Refuses to judge what they came to.
"""

from enum import IntEnum
from itertools import product

import numpy as np

from fitplanner.documents.machine import WayOffer
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.context import Context
from fitplanner.planning.fleet.crew import Amounts
from fitplanner.planning.plan import WayId

FORK, SHOCK, RAISED = WayId.FORK_LIMITER, WayId.SHOCK_LIMITER, WayId.RAISED_STANCHIONS
SEAT, NARROW, SOLE = WayId.LOWER_SEAT, WayId.NARROWER_SEAT, WayId.THICKER_SOLE
TRIED = (FORK, SHOCK, RAISED, SEAT, NARROW, SOLE)
"""The ways that are tried; those that make another machine are left to a plan of its own."""

_RUNGS = 5
_MOST_BETWEEN = 10


class Stage(IntEnum):
    """How much is done; a later stage is only taken where no earlier one reaches."""

    NOTHING = 0
    SEAT = 1
    SUSPENSION = 2
    BOTH = 3


Lane = dict[WayId, float]


def steps(offer: WayOffer | None) -> Array:
    """From 0 to the most that a machine accepts."""
    if offer is None:
        return np.zeros(1)
    count = int(offer.maximum_mm / offer.step_mm + 1e-9)
    return np.round(np.arange(count + 1) * offer.step_mm, 6)


def ladder(ctx: Context) -> list[Lane]:
    """Amounts inside and around the suspension from nothing to the most, the pitch kept.

    The fork follows the rear axle with its limiter, and with raised stanchions what that cannot
    give; without a shock limiter the fork comes down alone.
    """
    fork, shock, raised = (steps(ctx.offer(way)) for way in (FORK, SHOCK, RAISED))
    machine = ctx.machine
    if len(shock) > 1:
        axle = machine.leverage.rise_at(np.minimum(shock, machine.shock.stroke_mm))
        level = axle / np.cos(float(machine.rake_rad))
    else:
        level = np.union1d(fork, fork[-1] + raised)
        shock = np.zeros(len(level))
    followed = fork[np.argmin(np.abs(fork - level[:, None]), axis=1)]
    left = np.maximum(level - followed, 0.0)
    lifted = raised[np.argmin(np.abs(raised - left[:, None]), axis=1)]
    columns = zip(followed.tolist(), shock.tolist(), lifted.tolist(), strict=True)
    return [dict(zip((FORK, SHOCK, RAISED), rung, strict=True)) for rung in columns]


def first_round(ctx: Context) -> tuple[list[Lane], list[Stage]]:
    """Nothing, every seat with the most of what helps it, and a few rungs of the ladder."""
    rungs, seats = ladder(ctx), steps(ctx.offer(SEAT))
    narrow, sole = (np.unique(steps(ctx.offer(way))[[0, -1]]) for way in (NARROW, SOLE))
    lanes = [
        {**rungs[0], SEAT: float(a), NARROW: float(b), SOLE: float(c)}
        for a, b, c in product(seats, narrow, sole)
    ]
    stages = [Stage.NOTHING, *(Stage.SEAT for _ in lanes[1:])]
    for rung in _some(range(1, len(rungs)), _RUNGS):
        for seat in seats:
            lanes.append({**rungs[rung], SEAT: float(seat), NARROW: 0.0, SOLE: 0.0})
            stages.append(Stage.SUSPENSION)
        if len(narrow) + len(sole) > 2:
            most = {SEAT: float(seats[-1]), NARROW: float(narrow[-1]), SOLE: float(sole[-1])}
            lanes.append({**rungs[rung], **most})
            stages.append(Stage.BOTH)
    return lanes, stages


def second_round(ctx: Context, best: Lane, stage: Stage) -> list[Lane]:
    """What may do with less than `best`, which is the first of them."""
    if stage is Stage.SEAT:
        parts = [
            [float(mm) for mm in steps(ctx.offer(way))[1:]] if best[way] > 0 else [0.0]
            for way in (NARROW, SOLE)
        ]
        return [best, *({**best, NARROW: b, SOLE: c} for b, c in product(*parts))]
    if stage is Stage.NOTHING:
        return [best]
    rungs = ladder(ctx)
    at = next(i for i, rung in enumerate(rungs) if all(rung[way] == best[way] for way in rung))
    coarse = _some(range(1, len(rungs)), _RUNGS)
    below = max((rung for rung in coarse if rung < at), default=0)
    between = _some(range(below + 1, at), _MOST_BETWEEN)
    return [best, *({**best, **rungs[rung]} for rung in between)]


def as_amounts(lanes: list[Lane]) -> Amounts:
    """Lanes as one array for each way."""
    return {way: np.array([lane[way] for lane in lanes]) for way in TRIED}


def _some(values: range, most: int) -> list[int]:
    """Evenly spread members, the last one always among them."""
    if len(values) <= most:
        return list(values)
    picked = np.linspace(0, len(values) - 1, most + 1).round().astype(int)[1:]
    return [values[int(i)] for i in picked]
