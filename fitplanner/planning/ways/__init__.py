"""Every way to bring a seat down, each as data and one pure effect.

Owns the list and the order in which effects are applied: parts that change the linkage first,
then limiters, then what lies around the suspension. Adding a way is a member here and its field
in the documents.
"""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from fitplanner.documents.machine import MachineProfile
from fitplanner.mechanics.arrays import Number
from fitplanner.mechanics.machine import Machine
from fitplanner.planning.plan import WayId
from fitplanner.planning.ways import around, suspension
from fitplanner.planning.ways.build import Build, Way

__all__ = ["WAYS", "Build", "Way", "build"]

WAYS: Mapping[WayId, Way] = MappingProxyType(
    {way.id: way for way in (*suspension.WAYS, *around.WAYS)}
)


def build(machine: Machine, profile: MachineProfile, amounts: Mapping[WayId, Number]) -> Build:
    """The machine with each way carried out by its amount [mm]; lanes allowed."""
    made = Build(profile, machine)
    for way in WAYS.values():
        amount = amounts.get(way.id, 0.0)
        if np.any(amount):
            made = way.effect(made, amount)
    return made
