"""The plan as the shop's closed jobs came out, beside the plan by physics.

Owns what becomes of a setup whose parts deliver what those jobs delivered, and the drop that
follows. Only on request: without `Job.shop_shares` nothing here is used, and with it the figures of
the plan stay those of the sizes on the parts; `planned_for` alone changes which amounts are chosen.
Refuses to learn.
"""

from dataclasses import replace

import numpy as np

from fitplanner.body.reach import Footing
from fitplanner.documents.shop_shares import ShopShares
from fitplanner.mechanics.equilibrium import equilibrium
from fitplanner.planning.context import CHOSEN_WAYS, Context
from fitplanner.planning.halt import Halt, halt
from fitplanner.planning.plan import Band, ByShop, WayId
from fitplanner.planning.requirement import Spread, chance_of, drop_half_band_mm, spare_mm
from fitplanner.planning.rider import NORMAL_90
from fitplanner.planning.setup import Setup, built
from fitplanner.planning.states import seat_point
from fitplanner.planning.ways import WAYS, Build
from fitplanner.planning.work import ON_WHEELS, STOCK, Work
from fitplanner.quantities import mm_in_text

_SEEN_MM = 0.05


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


def by_shop(work: Work, spread: Spread) -> ByShop | None:
    """The planned setup as the shop's jobs came out; `spread` as in `requirement`.

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
    halts = [_halt(work, shares) for shares in lanes]
    wanted = ctx.rider.document.footing
    spares = np.array([spare_mm(at, wanted) for at in halts])
    own = drop_half_band_mm(spread) / NORMAL_90
    half = NORMAL_90 * float(np.hypot(own, np.linalg.norm(drops[1:] - drops[0])))
    drop = Band(float(drops[0]), float(drops[0]) - half, float(drops[0]) + half)
    # Less than a tape shows is nothing.
    spare = 0.0 if abs(spares[0]) < _SEEN_MM else float(spares[0])
    moved = 0.0
    if np.all(np.isfinite(spares)):
        moved = float(np.linalg.norm(spares[1:] - spares[0]))
    leg = ctx.rider.inside_leg_sd_mm if wanted is not Footing.NONE else 0.0
    unlearned = tuple(
        WAYS[way].label for way in WayId if float(work.planned.amount_mm(way)) and way not in middle
    )
    reached = spare >= 0.0
    by_hand = all(ctx.offer(way) is None or ctx.by_hand(way) is not None for way in CHOSEN_WAYS)
    planned_for = _planned_for(reached=reached, by_hand=by_hand) if asked.planned_for else ""
    return ByShop(
        jobs=asked.jobs,
        planned_for=asked.planned_for,
        on_wheels_mm=drop,
        reached=reached,
        unlearned=unlearned,
        told=f"{_told(asked, drop, unlearned)}{planned_for}",
        chance=chance_of(
            spare, float(np.hypot(leg, np.linalg.norm([*spread.effect_mm[:, 1], moved])))
        ),
        stopped_mm=float(work.halts[STOCK].bare_seat_mm - halts[0].bare_seat_mm),
        spare_mm=spare,
        by_hand=by_hand,
    )


def _halt(work: Work, shares: dict[WayId, float]) -> Halt:
    """The machine stopped with parts that deliver these shares."""
    ctx = work.ctx
    made = built(ctx.machine, ctx.profile, delivering(work.planned, shares))
    return halt(made, ctx.value, ctx.rider, ctx.carried)


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


def _planned_for(*, reached: bool, by_hand: bool) -> str:
    """What planning for it did."""
    if by_hand:
        verdict = "is reached" if reached else "is not reached"
        return (
            " Every size is set by hand and stays, so nothing is planned for it; the wanted "
            f"footing {verdict} in that case."
        )
    if reached:
        return " The sizes are such that the seat comes down enough in that case too."
    return " The sizes are chosen for it, and the wanted footing is not reached even so."
