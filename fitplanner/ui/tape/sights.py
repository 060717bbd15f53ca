"""Owns which drawing belongs to a step, with the words at the ends of the tape.

Refuses painting.
"""

from PySide6.QtCore import QCoreApplication

from fitplanner.documents.bench import MeasuredState, Place, Settled, When
from fitplanner.outline.taping import (
    axle_taping,
    lean_taping,
    seat_taping,
    stanchion_taping,
)
from fitplanner.planning.measured.series import Step
from fitplanner.planning.plan import Plan
from fitplanner.ui.tape.view import Sight

_AXLES = {Place.FRONT_AXLE: "front", Place.REAR_AXLE: "rear"}


def sight_of(plan: Plan, step: Step, when: When, settled: Settled) -> Sight:
    """The drawing of a step: the machine of `plan` before or after the work, in its state."""
    after, state = when is When.AFTER, step.state.value
    side = plan.pictures.side
    how = step.told(when)
    axle, mark = _tr("axle"), _tr("mark")
    if step.place is Place.OIL_DRAINED:
        return Sight(None, end=_tr("read here"), words=how)
    if step.place is Place.STAND_LEAN:
        taping = lean_taping(plan.pictures.front["parked"], after=after)
        return Sight(taping, end=_tr("lean"), words=how)
    if step.place is Place.STANCHION:
        taping = stanchion_taping(side[state], after=after)
        return Sight(taping, _tr("clamp"), _tr("tube end"), words=how)
    if step.place is Place.SEAT:
        taping = seat_taping(side[state], after=after)
        return Sight(taping, _tr("ground"), _tr("seat"), settled, how)
    hanging = step.state is MeasuredState.EXTENDED
    taping = axle_taping(side[state], _AXLES[step.place], after=after, hanging=hanging)
    return Sight(taping, axle, mark, settled, how)


def _tr(text: str) -> str:
    return QCoreApplication.translate("TapeView", text)
