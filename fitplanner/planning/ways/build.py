"""What a way works on: the machine under construction, and what it does beside the solver.

Owns the frozen state that every effect takes and returns. Refuses to know any way.
"""

from collections.abc import Callable
from dataclasses import dataclass

from fitplanner.documents.machine import MachineProfile
from fitplanner.mechanics.arrays import Number
from fitplanner.mechanics.machine import Machine
from fitplanner.planning.plan import WayId


@dataclass(frozen=True)
class Build:
    """A machine being built; every number a float or an array of lanes.

    Attributes:
        seat_drop_mm: seat point, foam unloaded.
        seat_narrower_mm: taken off the width where the thighs cross.
        sole_mm: added under the rider's boots.
        front_gap_mm, rear_gap_mm: change of the gap at full bump; negative is nearer.
    """

    profile: MachineProfile
    machine: Machine
    seat_drop_mm: Number = 0.0
    seat_narrower_mm: Number = 0.0
    sole_mm: Number = 0.0
    front_gap_mm: Number = 0.0
    rear_gap_mm: Number = 0.0


@dataclass(frozen=True)
class Way:
    """One way to lower: data, and one pure effect of an amount in mm.

    `effect` is only asked for amounts above 0 somewhere in its lanes. `undone` is the share of
    its work that fitting the old parts takes back. `specialist` marks work that is sent out.
    """

    id: WayId
    label: str
    effect: Callable[[Build, Number], Build]
    undone: float
    specialist: bool = False
    note: str = ""
