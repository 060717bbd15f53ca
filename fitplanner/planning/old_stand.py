"""Whether a lowered machine can keep its side-stand: the rule behind the price of a new one.

Owns that question for many lanes at once. It is that of the check on the old stand, asked without
parking every lane: at the least lean that may be left the roll balance gives the stand's load, so
one rest tells on which side of that lean the old stand leaves the machine. Refuses money.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitplanner.mechanics.arrays import Number
from fitplanner.mechanics.equilibrium import equilibrium
from fitplanner.mechanics.machine import GRAVITY_M_S2, Body, Machine
from fitplanner.mechanics.parked import Parked, Stand
from fitplanner.planning.checks.standing import MOST_LEAN_LOST_DEG


@dataclass(frozen=True)
class OldStand:
    """A machine's own stand at the least lean; floats or arrays of lanes.

    `lean_rad`: that lean. `share`: of the weight, on the stand. `foot_x_mm`, `foot_z_mm`: its foot
    in the chassis frame. `ground_mm`: how high over the contacts the foot may be at most for the
    machine to lean at least so far. `known`: the stock machine stands on it.
    """

    lean_rad: Number
    share: Number
    foot_x_mm: Number
    foot_z_mm: Number
    ground_mm: Number
    known: NDArray[np.bool_]

    @classmethod
    def of(cls, stand: Stand, stock: Parked) -> "OldStand":
        """The stand of a machine that parks as `stock`."""
        crown = np.asarray(stand.crown_radius_mm, dtype=float)
        known = np.asarray(stock.holds)
        stock_lean = np.where(known, stock.lean.lean_rad, 0.0)
        lean = np.maximum(stock_lean - np.radians(MOST_LEAN_LOST_DEG), 0.0)
        sin, cos = np.sin(lean), np.cos(lean)
        foot_y = np.asarray(stand.pivot_y_mm + stand.length_mm * np.sin(stand.angle_rad))
        ground = crown + (foot_y * sin - crown) / cos
        # The mass comes down with the foot; what a pitch adds is too little to count here.
        com = stock.com_z_mm - (stock.lean.foot_z_mm - ground)
        world_y = foot_y * cos + (ground - crown) * sin
        return cls(
            lean_rad=lean,
            share=np.where(known, (com - crown) * sin / np.maximum(world_y, 1.0), 0.0),
            foot_x_mm=stand.pivot_x_mm + stand.foot_ahead_mm,
            foot_z_mm=stand.pivot_z_mm - stand.length_mm * np.cos(stand.angle_rad),
            ground_mm=ground,
            known=known,
        )


def too_long(
    machine: Machine,
    on_wheels: Body,
    old: OldStand,
    *,
    start_mm: tuple[Number, Number] | None = None,
) -> NDArray[np.bool_]:
    """Whether the old stand is too long for each lane: it would lean less than it must.

    Args:
        on_wheels: the sprung body without a rider.
        start_mm: fork compression and axle rise to start from; they change no answer.
    """
    total = np.asarray(on_wheels.mass_kg) + machine.front_unsprung_kg + machine.rear_unsprung_kg
    rest = equilibrium(
        machine,
        on_wheels + Body(-old.share * total, old.foot_x_mm, old.foot_z_mm),
        gravity_m_s2=GRAVITY_M_S2 * np.cos(old.lean_rad),
        start_mm=start_mm,
    )
    foot = rest.pose.height(old.foot_x_mm, old.foot_z_mm)
    found: NDArray[np.bool_] = old.known & (foot < old.ground_mm)
    return found
