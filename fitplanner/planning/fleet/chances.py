"""How likely each machine of a ranked library gives the wanted footing.

Owns the step from a row to its plan, of which only the chance is kept: it takes longer than the
ranking, so it comes after. Refuses an answer of its own.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from fitplanner.documents.job import Job
from fitplanner.documents.rider import Rider
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.fleet.rank import FleetRow
from fitplanner.planning.resolve import UnsolvableError


def with_chances(
    rows: Sequence[FleetRow], rider: Rider, *, cancelled: Callable[[], bool] = lambda: False
) -> tuple[FleetRow, ...]:
    """The rows with their chances; those of no machine stay without.

    Args:
        cancelled: asked before each row; once it says yes, the rest stay without.
    """
    return tuple(row if cancelled() else _with_chance(row, rider) for row in rows)


def _with_chance(row: FleetRow, rider: Rider) -> FleetRow:
    try:
        plan = evaluate(Job(rider=rider, machine=row.profile, choices=row.choices))
    except UnsolvableError:
        return row
    return replace(row, chance=plan.requirement.chance)
