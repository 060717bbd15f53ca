"""The seat's drop as the tape has it, for all who only have to quote it.

Owns the plain difference of the readings. Refuses to fit a machine: that is `measured.proof`, which
also says how well the drop is known.
"""

from fitplanner.documents.bench import MeasuredState, Place, When
from fitplanner.documents.job import Job


def delivered_mm(job: Job) -> float | None:
    """Drop of the seat on its wheels [mm] of a closed job; None where it is open or was not read.

    Readings are compared with those of the same side of the friction alone, as in the proof.
    """
    if not job.closed:
        return None
    heights: dict[tuple[object, When], list[float]] = {}
    for each in job.readings:
        at = each.place, each.state
        if at == (Place.SEAT, MeasuredState.ON_WHEELS) and not each.set_aside:
            heights.setdefault((each.settled, each.when), []).append(each.value)
    drops = []
    for settled in {side for side, _ in heights}:
        before, after = (heights.get((settled, when)) for when in When)
        if before and after:
            drops.append(sum(before) / len(before) - sum(after) / len(after))
    return sum(drops) / len(drops) if drops else None
