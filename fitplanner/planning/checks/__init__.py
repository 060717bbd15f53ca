"""Every limit that the plan is held to, worst first.

Owns the order. Refuses to compute: values come from the solved states and from `facts`.
"""

from collections.abc import Mapping

from fitplanner.planning.checks.carrying import carrying, sags
from fitplanner.planning.checks.rider import comfort, footing
from fitplanner.planning.checks.riding import room, steering
from fitplanner.planning.checks.standing import standing
from fitplanner.planning.checks.units import units
from fitplanner.planning.facts import Facts
from fitplanner.planning.plan import (
    ByShop,
    Check,
    End,
    Requirement,
    Severity,
    SpringPlan,
    StatePair,
    WayAmount,
)
from fitplanner.planning.work import Work

_ORDER = {Severity.STOP: 0, Severity.CAUTION: 1, Severity.NOTE: 2}


def checks(
    work: Work,
    found: Facts,
    need: Requirement,
    springs: Mapping[End, SpringPlan],
    states: StatePair,
    ways: tuple[WayAmount, ...],
    shop: ByShop | None = None,
) -> tuple[Check, ...]:
    """All checks, those that do not hold first, by severity and then by margin.

    Among equals the footing comes first: it is what the rider came for.
    """
    limits = [
        *footing(work, need, shop),
        *units(work, found, ways),
        *carrying(work, states),
        *sags(springs),
        *room(work, found),
        *steering(states, found),
        *standing(found),
        *comfort(work, found),
    ]
    return tuple(
        sorted(
            (limit.check() for limit in limits),
            key=lambda c: (
                c.holds,
                _ORDER[c.severity],
                not c.key.startswith("footing"),
                c.margin / max(abs(c.limit), 1.0),
            ),
        )
    )
