"""The machine on its side-stand: lean, stand load and pose found together.

Owns the `parked` state. The stand takes a share of the weight that follows from the roll
balance, so the springs rise, so the lean grows; repeated until all agree. In the machine's own
plane gravity counts with the cosine of the lean, and the stand's load acts upward on the
chassis where its foot stands. Refuses soft ground.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.equilibrium import Rest, equilibrium
from fitplanner.mechanics.machine import GRAVITY_M_S2, Body, Machine
from fitplanner.mechanics.stand import StandLean, lean_on_stand, length_for_lean_mm

_MOST_REPEATS = 80
_TOLERANCE = 1e-10
_MOST_SHARE = 0.9
_MOST_LEAN_RAD = np.radians(45.0)


@dataclass(frozen=True)
class Stand:
    """Side-stand in the chassis frame: pivot, leg in the front view (angle outward), foot ahead."""

    pivot_x_mm: Number
    pivot_y_mm: Number
    pivot_z_mm: Number
    length_mm: Number
    angle_rad: Number
    foot_ahead_mm: Number
    crown_radius_mm: Number


@dataclass(frozen=True)
class Parked:
    """The parked state; arrays of lanes.

    `length_mm`: of the stand. `pivot_z_mm`: the pivot's height in the front view through the
    foot. `share`: of the weight on the stand. `com_*`: whole machine, in the machine's plane from
    the rear contact. `holds`: it leans on its stand, the stand reaches the ground and carries
    less than the whole weight.
    """

    rest: Rest
    lean: StandLean
    length_mm: Array
    pivot_z_mm: Array
    share: Array
    com_x_mm: Array
    com_z_mm: Array
    foot_x_mm: Array
    holds: NDArray[np.bool_]


def park(
    machine: Machine,
    on_wheels: Body,
    stand: Stand,
    *,
    hold_lean_rad: Number = np.nan,
    like: Parked | None = None,
) -> Parked:
    """Rest of a machine on its side-stand, level ground.

    Args:
        hold_lean_rad: lanes in which the stand's length follows from a wanted lean; NaN where
            the length is given and the lean follows.
        like: a similar machine parked, to start from; the result does not depend on it.

    The share on the stand is found by the secant rule; lean and length follow along.
    """
    share, lean = _start(machine, on_wheels)
    if like is not None:
        share, lean = like.share + 0.0 * share, like.lean.lean_rad + 0.0 * lean
    held = np.isfinite(hold_lean_rad + 0.0 * lean)
    lean = np.where(held, hold_lean_rad, lean)
    length = stand.length_mm + 0.0 * lean
    before: tuple[Array, ...] | None = None
    start: tuple[Array, Array] | None = None
    for _ in range(_MOST_REPEATS):
        found = _at_share(machine, on_wheels, replace(stand, length_mm=length), share, lean, start)
        followed = np.where(found.lean.touches, found.lean.lean_rad, 0.0)
        new_lean = np.where(held, lean, np.clip(followed, 0.0, _MOST_LEAN_RAD))
        restoring = length_for_lean_mm(
            lean_rad=new_lean,
            pivot_y_mm=stand.pivot_y_mm,
            pivot_z_mm=found.pivot_z_mm,
            alpha_rad=stand.angle_rad,
            crown_radius_mm=stand.crown_radius_mm,
        )
        new_length = np.where(held, restoring, length)
        new_share = np.clip(_share(found, stand, new_lean, new_length), 0.0, _MOST_SHARE)
        error = new_share - share
        moved = np.maximum(np.abs(error), np.abs(new_lean - lean))
        moved = np.maximum(moved, np.abs(new_length - length) * 1e-3)
        now = (share, error, new_lean, new_length)
        share, lean, length = _onward(now, before)
        lean = np.where(held, new_lean, np.clip(lean, 0.0, _MOST_LEAN_RAD))
        share, length = np.clip(share, 0.0, _MOST_SHARE), np.where(held, length, new_length)
        before = now
        start = (found.rest.pose.fork_compression_mm, found.rest.pose.rear_compression_mm)
        # A lane that is no number any more will not settle, and holds up no other.
        if np.all((moved < _TOLERANCE) | ~np.isfinite(moved)):
            break
    holds = found.lean.touches & ~found.lean.falls_to_far_side & (share < _MOST_SHARE)
    return replace(found, length_mm=length, share=share, holds=holds & (length > 0))


def _start(machine: Machine, on_wheels: Body) -> tuple[Array, Array]:
    shape = np.shape(np.asarray(on_wheels.mass_kg) + machine.front_unsprung_kg)
    return np.full(shape, 0.35), np.full(shape, np.radians(11.0))


def _onward(now: tuple[Array, ...], before: tuple[Array, ...] | None) -> tuple[Array, Array, Array]:
    """Share by the secant rule, lean and length carried along by as much; else a plain step."""
    share, error, lean, length = now
    if before is None:
        return share + error, lean, length
    share_old, error_old, lean_old, length_old = before
    with np.errstate(divide="ignore", invalid="ignore"):
        along = -error / (error - error_old)
        far = np.abs(along * (share - share_old)) > 0.3
    bad = ~np.isfinite(along) | far | (np.abs(along) > 3.0)
    along = np.where(bad, 0.0, along)
    return (
        np.where(bad, share + 0.5 * error, share + along * (share - share_old)),
        lean + along * (lean - lean_old),
        length + along * (length - length_old),
    )


def _share(found: Parked, stand: Stand, lean_rad: Array, length_mm: Array) -> Array:
    """Share of the weight on the stand, from the roll balance at a lean."""
    crown = np.asarray(stand.crown_radius_mm, dtype=float)
    foot_y = stand.pivot_y_mm + length_mm * np.sin(stand.angle_rad)
    foot_z = found.pivot_z_mm - length_mm * np.cos(stand.angle_rad)
    sin, cos = np.sin(lean_rad), np.cos(lean_rad)
    world_y = foot_y * cos + (foot_z - crown) * sin
    share: Array = (found.com_z_mm - crown) * sin / np.maximum(world_y, 1.0)
    return share


def _at_share(
    machine: Machine,
    on_wheels: Body,
    stand: Stand,
    share: Array,
    lean_rad: Array,
    start_mm: tuple[Array, Array] | None,
) -> Parked:
    """Rest with a given share of the weight on the stand, at a given lean."""
    front_kg, rear_kg = np.asarray(machine.front_unsprung_kg), np.asarray(machine.rear_unsprung_kg)
    total = np.asarray(on_wheels.mass_kg) + front_kg + rear_kg
    foot_x = np.asarray(stand.pivot_x_mm, dtype=float) + stand.foot_ahead_mm
    drop = np.asarray(stand.length_mm) * np.cos(stand.angle_rad)
    foot_z = stand.pivot_z_mm - drop
    rest = equilibrium(
        machine,
        on_wheels + Body(-share * total, foot_x, foot_z),
        gravity_m_s2=GRAVITY_M_S2 * np.cos(lean_rad),
        start_mm=start_mm,
    )
    at = rest.pose
    pivot_z = at.height(foot_x, foot_z) + drop
    lean = lean_on_stand(
        pivot_y_mm=stand.pivot_y_mm,
        pivot_z_mm=pivot_z,
        length_mm=stand.length_mm,
        alpha_rad=stand.angle_rad,
        crown_radius_mm=stand.crown_radius_mm,
    )
    sprung_x, sprung_z = at.place(on_wheels.x_mm, on_wheels.z_mm)
    hubs = front_kg * at.front_radius_mm + rear_kg * at.rear_radius_mm
    return Parked(
        rest=rest,
        lean=lean,
        length_mm=np.asarray(stand.length_mm, dtype=float),
        pivot_z_mm=pivot_z,
        share=share,
        com_x_mm=(on_wheels.mass_kg * sprung_x + front_kg * at.wheelbase_mm) / total,
        com_z_mm=(on_wheels.mass_kg * sprung_z + hubs) / total,
        foot_x_mm=at.place(foot_x, foot_z)[0],
        holds=np.asarray(lean.touches),
    )
