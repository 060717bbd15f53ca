"""The seat's heights of a machine as it is, with their bands.

Owns the sampling of possible machines for a job without its plan: nothing is lowered. Pure, with
a fixed seed.
"""

from collections.abc import Mapping

import numpy as np

from fitplanner.documents.job import Job
from fitplanner.planning.context import context
from fitplanner.planning.plan import Band
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.planning.setup import stand
from fitplanner.planning.unknown.bands import rows
from fitplanner.planning.unknown.engine import points_of
from fitplanner.planning.unknown.lanes import stock_case
from fitplanner.planning.ways import Build

STATES = ("on_wheels", "rider_up", "stopped")

_SAMPLES = 600


def seat_heights(job: Job, *, samples: int = _SAMPLES) -> Mapping[str, Band]:
    """Seat height [mm] by state with its 90 % band.

    Raises:
        IncompleteError: the rider is not known well enough.
        UnsolvableError: figures within their spreads do not go together to a machine.
    """
    with np.errstate(all="ignore"):
        _checked(job)
        case = stock_case(job)
        told = {row.key: row.banded() for row in rows(case.lanes(points_of(case, samples)))}
    return {state: told[f"seat_{state}"].planned for state in STATES}


def _checked(job: Job) -> None:
    """Refuse figures with which no machine stands, before many like it are tried in vain."""
    ctx = context(job)
    rest = stand(Build(ctx.profile, ctx.machine), ctx.carried).rest
    if not (np.all(rest.converged) and np.all(np.isfinite(rest.pose.pitch_rad))):
        raise UnsolvableError(
            "no machine stands with these figures; check wheelbase, tyre radii, swing-arm length "
            "and pivot height"
        )
