"""The seat's heights of a machine as it is, with their bands.

Owns the sampling of possible machines for a job without its plan: nothing is lowered. Pure, with
a fixed seed.
"""

from collections.abc import Mapping

import numpy as np

from fitplanner.documents.job import Job
from fitplanner.planning.plan import Band
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.planning.unknown.bands import rows
from fitplanner.planning.unknown.engine import points_of
from fitplanner.planning.unknown.lanes import stock_case

STATES = ("on_wheels", "rider_up", "stopped")

_SAMPLES = 600


def seat_heights(job: Job, *, samples: int = _SAMPLES) -> Mapping[str, Band]:
    """Seat height [mm] by state with its 90 % band.

    Raises:
        IncompleteError: the rider is not known well enough.
        UnsolvableError: figures within their spreads do not go together to a machine.
    """
    with np.errstate(all="ignore"):
        case = stock_case(job)
        told = {row.key: row.banded() for row in rows(case.lanes(points_of(case, samples)))}
    bands = {state: told[f"seat_{state}"].planned for state in STATES}
    ends = [end for band in bands.values() for end in (band.value, band.low, band.high)]
    if not np.all(np.isfinite(ends)):
        raise UnsolvableError(
            "no machine stands with these figures; check wheelbase, tyre radii, swing-arm length "
            "and pivot height"
        )
    return bands
