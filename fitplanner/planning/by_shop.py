"""The plan as the shop's closed jobs came out, beside the plan by physics.

Owns what becomes of a setup whose parts deliver what those jobs delivered, and the drop that
follows. Only on request: without `Job.shop_shares` nothing here is used, and with it the figures of
the plan stay those of the sizes on the parts; `planned_for` alone changes which amounts are chosen.
Refuses to learn.
"""

from dataclasses import replace

import numpy as np

from fitplanner.documents.shop_shares import ShopShares
from fitplanner.mechanics.equilibrium import equilibrium
from fitplanner.planning.context import CHOSEN_WAYS, Context
from fitplanner.planning.halt import halt
from fitplanner.planning.plan import Band, ByShop, WayId
from fitplanner.planning.requirement import spare_mm
from fitplanner.planning.rider import NORMAL_90
from fitplanner.planning.setup import Setup, built
from fitplanner.planning.states import seat_point
from fitplanner.planning.ways import WAYS, Build
from fitplanner.planning.work import ON_WHEELS, STOCK, Work
from fitplanner.quantities import mm_in_text


def asked_of(ctx: Context) -> ShopShares | None:
    """What the job keeps of the shop's experience, where it is of this kind of machine."""
    found = ctx.job.shop_shares
    return found if found is not None and found.kind is ctx.profile.kind else None


def shares_planned_for(ctx: Context) -> dict[WayId, float]:
    """The delivered share of each way for which amounts are chosen; empty where not asked for."""
    found = asked_of(ctx)
    if found is None or not found.planned_for:
        return {}
    return {WayId(each.way): each.share for each in found.shares}


def delivering(setup: Setup, shares: dict[WayId, float]) -> Setup:
    """The setup with each part delivering its share of its size; lanes allowed."""
    return replace(
        setup,
        **{f"{way.value}_mm": setup.amount_mm(way) * share for way, share in shares.items()},
    )


def to_reach(ctx: Context, setup: Setup, made: Build) -> Build:
    """The machine on which the footing is asked: as built, or as it is to be expected here."""
    shares = shares_planned_for(ctx)
    return built(ctx.machine, ctx.profile, delivering(setup, shares)) if shares else made


def by_shop(work: Work, half_width_mm: float) -> ByShop | None:
    """The planned setup as the shop's jobs came out; `half_width_mm` as in `delivered`.

    The band has the machine's figures and the learned shares in it, as independent; each share
    is moved by its own standard deviation.
    """
    ctx = work.ctx
    asked = asked_of(ctx)
    if asked is None:
        return None
    used = [each for each in asked.shares if float(work.planned.amount_mm(WayId(each.way)))]
    middle = {WayId(each.way): each.share for each in used}
    lanes = [middle] + [
        {**middle, WayId(each.way): each.share + (each.high - each.low) / (2.0 * NORMAL_90)}
        for each in used
    ]
    drops = np.array([_drop_mm(work, shares) for shares in lanes])
    sd = float(np.hypot(half_width_mm / NORMAL_90, np.linalg.norm(drops[1:] - drops[0])))
    middle_mm, half = float(drops[0]), NORMAL_90 * sd
    drop = Band(middle_mm, middle_mm - half, middle_mm + half)
    at = halt(
        built(ctx.machine, ctx.profile, delivering(work.planned, middle)),
        ctx.value,
        ctx.rider,
        ctx.carried,
    )
    unlearned = tuple(
        WAYS[way].label for way in WayId if float(work.planned.amount_mm(way)) and way not in middle
    )
    reached = bool(spare_mm(at, ctx.rider.document.footing) >= -1e-6)
    return ByShop(
        jobs=asked.jobs,
        planned_for=asked.planned_for,
        on_wheels_mm=drop,
        reached=reached,
        unlearned=unlearned,
        told=f"{_told(asked, drop, unlearned)}{_planned_for(ctx, asked, reached=reached)}",
    )


def _drop_mm(work: Work, shares: dict[WayId, float]) -> float:
    """Drop of the seat on its wheels with parts that deliver these shares."""
    ctx = work.ctx
    made = built(ctx.machine, ctx.profile, delivering(work.planned, shares))
    rest = equilibrium(made.machine, ctx.carried.on_wheels(made.machine.sprung))
    x, z = seat_point(work, STOCK)
    before = float(work.lanes.rest.pose.height(x, z)[ON_WHEELS, STOCK])
    return before - float(rest.pose.height(x, z - float(made.seat_drop_mm)))


def _told(asked: ShopShares, drop: Band, unlearned: tuple[str, ...]) -> str:
    jobs = "the 1 closed job" if asked.jobs == 1 else f"the {asked.jobs} closed jobs"
    told = (
        f"As {jobs} of this shop on this kind of machine came out: {mm_in_text(drop.value)} "
        f"({mm_in_text(drop.low)} to {mm_in_text(drop.high)}) on its wheels."
    )
    if unlearned:
        told += f" Nothing is learned yet of: {', '.join(name.lower() for name in unlearned)}."
    return told


def _planned_for(ctx: Context, asked: ShopShares, *, reached: bool) -> str:
    """What planning for it did; "" where it was not wanted."""
    if not asked.planned_for:
        return ""
    if reached:
        return " The sizes are such that the seat comes down enough in that case too."
    if all(ctx.offer(way) is None or ctx.by_hand(way) is not None for way in CHOSEN_WAYS):
        return " Every size is set by hand, and the wanted footing is not reached in that case."
    return " The sizes are chosen for it, and the wanted footing is not reached even so."
