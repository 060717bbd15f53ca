"""Limits that the rider sets: footing, the one foot, the inside leg, legroom.

Owns these limits with their reasons and where each comes from. Refuses to compute values.
"""

from collections.abc import Iterator

from fitplanner.body.reach import Footing
from fitplanner.documents.rider import Experience
from fitplanner.planning.checks.limit import ASSUMED, PRACTICE, Limit
from fitplanner.planning.context import CHOSEN_WAYS
from fitplanner.planning.facts import Facts
from fitplanner.planning.halt import need_seat_mm
from fitplanner.planning.plan import Basis, ByShop, Requirement, Severity, WayId
from fitplanner.planning.requirement import spare_mm
from fitplanner.planning.ways import WAYS
from fitplanner.planning.work import PLANNED, Work
from fitplanner.quantities import Kind, figure_in_text, likelihood, of_100

_L = Kind.LENGTH

MOST_FOOT_SHARE = 1.0
MOST_LEG_BAND_MM = 25.0
LEAST_KNEE_DEG = 70.0


def footing(work: Work, need: Requirement, shop: ByShop | None) -> Iterator[Limit]:
    """Footing reached, weight on one foot, how well the inside leg is known."""
    rider = work.ctx.rider
    if need.wanted is not Footing.NONE:
        planned = need.planned
        yield Limit(
            "footing",
            "Wanted footing",
            need.planned_drop_mm.value,
            _L,
            "Drop of the seat, stopped, against the drop that the rider needs on this seat; "
            f"allowing for what is uncertain it is {likelihood(need.chance)} "
            f"({of_100(need.chance)} of 100){', by physics alone' if shop else ''}"
            + _other_ways(work, need),
            Severity.CAUTION,
            Basis.ASSUMPTION,
            "reach model: taut leg over the seat's edge",
            least=need.planned_drop_mm.value - spare_mm(work.halts[PLANNED], need.wanted),
        )
        if shop is not None and shop.planned_for:
            yield Limit(
                "footing-by-shop",
                "Footing as the jobs here came out",
                shop.stopped_mm,
                _L,
                "Drop of the seat, stopped, with parts that deliver what those of the closed jobs "
                f"did; the footing is then {likelihood(shop.chance)} ({of_100(shop.chance)} of "
                "100)",
                Severity.CAUTION,
                Basis.ASSUMPTION,
                "closed jobs of this shop on this kind of machine",
                least=shop.stopped_mm - shop.spare_mm,
            )
        if planned.weight_share > 0:
            yield Limit(
                "one-foot",
                "Weight on the one foot",
                planned.weight_share,
                Kind.PERCENT,
                "Held by one leg at the lean that reaches the ground, as a share of the rider's "
                "own weight with gear",
                Severity.CAUTION,
                Basis.ASSUMPTION,
                ASSUMED,
                most=MOST_FOOT_SHARE,
            )
    half = (need.inside_leg_mm.high - need.inside_leg_mm.low) / 2
    yield Limit(
        "inside-leg",
        "Uncertainty of the inside leg",
        half,
        _L,
        "Half the 90 % band; measured with a book against the crotch it is a few millimetres"
        + ("; this one is only estimated from the stature" if rider.inside_leg_estimated else ""),
        Severity.CAUTION,
        Basis.ASSUMPTION,
        "ANSUR II standard error where estimated (Gordon et al. 2014)",
        most=MOST_LEG_BAND_MM,
    )
    if rider.document.experience is Experience.NEW and need.wanted.rank < Footing.BOTH_BALLS.rank:
        at = work.halts[PLANNED]
        yield Limit(
            "experience",
            "Seat for the balls of both feet",
            float(at.seat_mm),
            _L,
            "Riders new off the road usually want the balls of both feet down; seat under the "
            "rider, stopped",
            Severity.NOTE,
            Basis.PRACTICE,
            PRACTICE,
            most=float(need_seat_mm(rider, at.seat, work.made.sole_mm, footing=Footing.BOTH_BALLS)),
        )


def _other_ways(work: Work, need: Requirement) -> str:
    """What is left to try where the planner's own ways do not reach."""
    ctx = work.ctx
    left = [
        WAYS[way].label.lower()
        for way in WayId
        if way not in CHOSEN_WAYS and ctx.offer(way) and not work.planned.amount_mm(way)
    ]
    if need.reached or not left:
        return ""
    return f". Not used yet: {', '.join(left)}; the search for options tries them all"


def comfort(work: Work, found: Facts) -> Iterator[Limit]:
    """Legroom, and stanchions against the bar."""
    yield Limit(
        "knee",
        "Knee angle on the pegs",
        found.knee_deg[1],
        Kind.ANGLE,
        f"Was {figure_in_text(found.knee_deg[0], Kind.ANGLE)}; a lower seat folds the knee, lower "
        "suspension does not",
        Severity.NOTE,
        Basis.ASSUMPTION,
        "Drillis and Contini 1966 for the lengths; the limit is an assumption",
        least=LEAST_KNEE_DEG,
    )
    raised = float(work.planned.raised_stanchions_mm)
    if raised > 0:
        showing = work.ctx.profile.fork.stanchion_showing_mm.value + raised
        yield Limit(
            f"{WayId.RAISED_STANCHIONS.value}-bar",
            "Stanchions showing above the top clamp",
            showing,
            _L,
            "Showing above the top clamp; check bar, hoses and cables lock to lock",
            Severity.NOTE,
            Basis.ASSUMPTION,
            ASSUMED,
            most=25.0,
        )
