"""What a common rider meets on the stock machine of a profile, to tell two profiles apart.

Owns a handful of figures of one plan. Refuses to choose any way to lower.
"""

from dataclasses import dataclass

import numpy as np

from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.evaluate import IncompleteError, UnsolvableError, evaluate
from fitplanner.planning.profile_check import common_job


@dataclass(frozen=True)
class CommonFigures:
    """Heights, sags and the drop in mm; compressions from full extension along fork and wheel.

    `drop_mm` is how far the seat has to come down for the common rider's footing.
    """

    seat_on_wheels_mm: float
    seat_stopped_mm: float
    fork_rider_sag_mm: float
    rear_rider_sag_mm: float
    drop_mm: float


def common_figures(profile: MachineProfile) -> CommonFigures | None:
    """The figures, or None where no machine can be built from the profile."""
    # Figures far off, each believable by itself, divide by zero on the way to that answer.
    with np.errstate(all="ignore"):
        try:
            plan = evaluate(common_job(profile))
        except (UnsolvableError, IncompleteError, ValueError):
            return None
    stock = plan.states.stock
    return CommonFigures(
        seat_on_wheels_mm=stock.on_wheels.seat_height_mm,
        seat_stopped_mm=stock.stopped.seat_height_mm,
        fork_rider_sag_mm=stock.rider_up.fork_compression_mm,
        rear_rider_sag_mm=stock.rider_up.rear_compression_mm,
        drop_mm=max(plan.requirement.drop_mm.value, 0.0),
    )
