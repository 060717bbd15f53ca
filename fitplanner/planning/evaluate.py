"""From a job to its plan: the one function that everything else calls.

Owns the order of the steps and the few sentences that sum them up. Pure: the same job gives the
same plan, with no file, clock or chance.
"""

import numpy as np

from fitplanner.body.reach import Footing
from fitplanner.documents.base import Figure, Section, Source
from fitplanner.documents.job import Job
from fitplanner.documents.machine import LeverageTable, MachineProfile
from fitplanner.mechanics.equilibrium import hanging
from fitplanner.planning.amounts import plan_setup
from fitplanner.planning.by_shop import by_shop
from fitplanner.planning.cautions import cautions
from fitplanner.planning.checks import checks
from fitplanner.planning.checks.standing import needs_new_stand
from fitplanner.planning.consequences import consequences
from fitplanner.planning.context import Context, context
from fitplanner.planning.delivered import delivered
from fitplanner.planning.facts import facts
from fitplanner.planning.halt import halt
from fitplanner.planning.pictures import pictures
from fitplanner.planning.plan import (
    ENDS,
    Plan,
    Plots,
    Requirement,
    Series,
    Split,
    StatePair,
    WayAmount,
    WayId,
)
from fitplanner.planning.requirement import drop_half_band_mm, machine_spread, requirement
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.planning.rider import IncompleteError
from fitplanner.planning.springs_plan import force_curve, reserves_mm, spring_plan
from fitplanner.planning.states import state_pair
from fitplanner.planning.ways import WAYS, Build
from fitplanner.planning.work import PLANNED, STOCK, Work, work_out
from fitplanner.quantities import (
    Kind,
    figure_in_text,
    likelihood,
    mm_in_text,
    moved_in_text,
    of_100,
)

ASSUMED_FIGURES = "Assumed in the machine's profile"
"""How the assumption begins that names figures of the profile."""

__all__ = ["ASSUMED_FIGURES", "IncompleteError", "UnsolvableError", "evaluate"]


def evaluate(job: Job) -> Plan:
    """Work out a job.

    Raises:
        IncompleteError: the rider is not known well enough; `missing` names the entries.
        UnsolvableError: no machine can be built from the profile's figures.
    """
    ctx = context(job)
    stock = Build(ctx.profile, ctx.machine)
    before = halt(stock, ctx.value, ctx.rider, ctx.carried)
    setup = plan_setup(ctx, before)
    work = work_out(ctx, setup, before)
    states = state_pair(work)
    reserves = reserves_mm(work)
    spread = machine_spread(ctx, setup, work.stock)
    need = requirement(work, spread)
    found = facts(work, reserves)
    springs = {end: spring_plan(work, end, reserves[end]) for end in reserves}
    ways = _ways(work)
    changed = (
        springs["front"].rate_n_mm != springs["front"].stock_rate_n_mm,
        springs["rear"].rate_n_mm != springs["rear"].stock_rate_n_mm,
    )
    half = drop_half_band_mm(spread)
    account = delivered(work, half)
    shop = by_shop(work, spread)
    held = checks(work, found, need, springs, states, ways, shop)
    return Plan(
        requirement=need,
        split=_split(work, states),
        ways=ways,
        springs=springs,
        delivered=account,
        states=states,
        consequences=consequences(work, found),
        checks=held,
        cautions=cautions(ways, changed, new_stand=needs_new_stand(held)),
        assumptions=_assumptions(ctx),
        plots=_plots(work),
        pictures=pictures(work, states),
        summary=_summary(need, account.on_wheels_mm.value, by_shop=shop is not None),
        by_shop=shop,
    )


def _ways(work: Work) -> tuple[WayAmount, ...]:
    ctx, planned = work.ctx, work.planned
    profile = ctx.profile
    before = _bare(Build(profile, ctx.machine), profile)
    rows = []
    for way in WayId:
        amount = float(planned.amount_mm(way))
        offer = ctx.offer(way)
        axle, seat = _alone(ctx, way, amount, before) if amount else (0.0, 0.0)
        rows.append(
            WayAmount(
                way=way,
                label=WAYS[way].label,
                amount_mm=amount,
                by_hand=ctx.by_hand(way) is not None,
                offered=offer is not None,
                maximum_mm=offer.maximum_mm if offer else 0.0,
                step_mm=offer.step_mm if offer else 0.0,
                axle_mm=axle,
                seat_mm=seat,
                note=offer.note if offer else "This machine does not accept it",
            )
        )
    return tuple(rows)


def _bare(made: Build, profile: MachineProfile) -> tuple[float, float, float]:
    """Fork, rear axle and seat with the wheels hanging: a way's effect without springs."""
    low_x, _, low_y, _ = made.machine.limits
    at = hanging(made.machine).pose
    seat = profile.catalogue.seat_height_mm.value - made.seat_drop_mm
    height = at.height(profile.seat.x_mm.value, seat)
    return float(low_x + made.machine.raise_mm), float(low_y), float(height)


def _alone(
    ctx: Context, way: WayId, amount_mm: float, before: tuple[float, float, float]
) -> tuple[float, float]:
    """What one way alone moves its axle and the seat, wheels hanging [mm]."""
    made = WAYS[way].effect(Build(ctx.profile, ctx.machine), amount_mm)
    fork, rear, seat = _bare(made, ctx.profile)
    return max(fork - before[0], rear - before[1]), before[2] - seat


def _split(work: Work, states: StatePair) -> Split:
    """Drops of the axles against the chassis, `stopped`, and why they are as they are."""
    before, after = states.stock.stopped, states.planned.stopped
    profile = work.ctx.profile
    share = profile.seat.x_mm.value / profile.catalogue.wheelbase_mm.value
    rake = np.radians((before.rake_deg + after.rake_deg) / 2)
    raised = float(work.planned.raised_stanchions_mm)
    front = (after.fork_compression_mm - before.fork_compression_mm + raised) * float(np.cos(rake))
    rear = after.rear_compression_mm - before.rear_compression_mm
    pitch = after.pitch_deg - before.pitch_deg
    wish = work.ctx.job.choices.pitch_wish_deg
    return Split(
        front_drop_mm=front,
        rear_drop_mm=rear,
        seat_drop_mm=float(work.made.seat_drop_mm),
        seat_share=share,
        pitch_change_deg=pitch,
        pitch_wish_deg=wish,
        reason=_split_reason(share, front, rear, pitch, wish, by_hand=_by_hand(work.ctx)),
    )


def _by_hand(ctx: Context) -> bool:
    """Whether both ends' amounts were set by hand, so that nothing was chosen."""
    ends = (WayId.FORK_LIMITER, WayId.SHOCK_LIMITER)
    return all(ctx.by_hand(way) is not None for way in ends)


def _split_reason(
    share: float, front: float, rear: float, pitch: float, wish: float, *, by_hand: bool
) -> str:
    ends = (
        f"The seat sits {figure_in_text(share, Kind.PERCENT)} of the wheelbase ahead of the rear "
        f"axle, so the rear axle counts for {figure_in_text(1 - share, Kind.PERCENT)} of its drop "
        f"at the seat and the front axle for the rest. Front {mm_in_text(front)}, rear "
        f"{mm_in_text(rear)}"
    )
    aim = (
        "to keep the steering"
        if wish == 0
        else f"for the wanted pitch of {figure_in_text(wish, Kind.ANGLE, signed=True)}"
    )
    if by_hand:
        return (
            f"{ends}, as set by hand; it changes the pitch by "
            f"{figure_in_text(pitch, Kind.ANGLE, signed=True)} (nose up is positive)."
        )
    if abs(pitch - wish) <= 0.2:
        left = "which it does"
    else:
        left = (
            f"but the sizes that can be had and the new sags leave "
            f"{figure_in_text(pitch, Kind.ANGLE, signed=True)} of pitch (nose up is positive)"
        )
    return f"{ends}: chosen {aim}, {left}."


def _summary(need: Requirement, on_wheels_mm: float, *, by_shop: bool) -> str:
    wanted = (
        f"The seat has to come down by {mm_in_text(need.drop_mm.value)} (stopped)"
        if need.drop_mm.value > 0
        else "The seat need not come down"
    )
    told = (
        f"{wanted}; this plan brings it {moved_in_text(need.planned_drop_mm.value)}, "
        f"{moved_in_text(on_wheels_mm)} on its wheels."
    )
    if need.wanted is Footing.NONE:
        return told
    verdict = "reached" if need.reached else "not reached"
    physics = ", by physics alone," if by_shop else ""
    return (
        f"{told} The wanted footing is {verdict}; allowing for what is uncertain it is{physics} "
        f"{likelihood(need.chance)} ({of_100(need.chance)} of 100)."
    )


def _assumptions(ctx: Context) -> tuple[str, ...]:
    rider, rows = ctx.rider, []
    if rider.inside_leg_estimated:
        rows.append("Inside leg estimated from the stature")
    if rider.stature_estimated:
        rows.append("Stature worked back from the inside leg")
    share = figure_in_text(ctx.job.choices.feet_share, Kind.PERCENT)
    rows.append(f"{share} of the body's weight on the feet when stopped")
    assumed = [
        spec.label
        for section in ("catalogue", "masses", "wheels", "fork", "rear", "seat", "controls")
        for spec in _section(ctx, section).specs()
        if isinstance(figure := getattr(_section(ctx, section), spec.key), Figure)
        and figure.source is Source.ASSUMED
    ]
    if assumed:
        rows.append(f"{ASSUMED_FIGURES}: {', '.join(assumed)}")
    return tuple(rows)


def _section(ctx: Context, name: str) -> Section:
    section: Section = getattr(ctx.profile, name)
    return section


def _plots(work: Work) -> Plots:
    forces = {}
    for end in ENDS:
        curves = []
        for which, name in ((STOCK, "stock"), (PLANNED, "planned")):
            travel, force = force_curve(work.unit(which), end)
            curves.append(Series(name, travel, force))
        forces[end] = tuple(curves)
    low, high = work.limits[STOCK][2], work.limits[STOCK][3]
    rise = np.linspace(low, high, 61)
    leverage = 1 / work.stock_machine.leverage.evaluate(rise)[1]
    curves = [Series("leverage", rise, leverage)]
    linkage = work.ctx.profile.rear.linkage
    if isinstance(linkage, LeverageTable):
        points = np.array(linkage.wheel_travel_mm), np.array(linkage.leverage)
        curves.append(Series("table", *points))
    return Plots(wheel_force=forces, leverage=tuple(curves))
