"""One foot down: owns the lean at which one flat foot reaches, and what that foot then carries.

Refuses the tyre's crown, the side-stand and a moving machine. The rider first slides towards the
foot, then lets the machine lean about the tyres' contact line; nothing but the foot holds it
there, so its load follows from the roll balance and can pass the rider's own weight.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.body.arrays import ROUNDING_MM, Flags, Floats, floats, not_negative, positive
from fitplanner.body.seat import Seat, edge_y_mm, half_arc_mm

GRAVITY_M_S2 = 9.80665

LEAN_LIMIT_RAD = math.radians(12.0)
"""Most lean at which a halted machine is still held: assumption."""


@dataclass(frozen=True, slots=True)
class OneFoot:
    """How one flat foot reaches the ground. Arrays of one shape.

    `reached`: False where the foot is still off the ground at the lean limit; all else then
    describes the limit. `short_mm`: the gap left there, 0 where reached. `spare_mm`: leg left
    over, 0 unless the foot is flat without a shift. `hip_shift_mm`: crotch
    from the seat's middle. `foot_y_mm`: foot from the contact line. `foot_load_n`: upward force
    on the foot that balances the roll (where not reached: the force that would be wanted).
    `weight_share`: that load over the weight of the rider with gear.
    """

    reached: Flags
    short_mm: Floats
    spare_mm: Floats
    hip_shift_mm: Floats
    lean_rad: Floats
    foot_y_mm: Floats
    foot_load_n: Floats
    weight_share: Floats


def foot_load_n(
    masses_kg: ArrayLike,
    *,
    y_mm: ArrayLike,
    z_mm: ArrayLike,
    lean_rad: ArrayLike,
    foot_y_mm: ArrayLike,
) -> Floats:
    """Upward force (N) on the foot that balances the roll about the tyres' contact line.

    Masses and their places in the upright machine (y towards the foot) have the masses as last
    axis; lean and foot broadcast against what is left. The contact is a line: a round tyre moves
    it towards the foot and asks a little less. Errors: ValueError for a foot on the line.
    """
    arm = positive(foot_y_mm, "the foot's distance from the tyres")
    lean = floats(lean_rad)[..., np.newaxis]
    offset = floats(y_mm) * np.cos(lean) + floats(z_mm) * np.sin(lean)
    moment = np.sum(floats(masses_kg) * offset, axis=-1)
    return floats(GRAVITY_M_S2 * moment / arm)


def _hip_limit(seat: Seat, hip_limit_mm: ArrayLike | None) -> Floats:
    most = seat.half_width_mm
    if hip_limit_mm is None:
        return most
    return np.minimum(not_negative(hip_limit_mm, "hip shift"), most)


def one_foot(
    seat: Seat,
    seat_height_mm: ArrayLike,
    *,
    inside_leg_mm: ArrayLike,
    sole_mm: ArrayLike,
    machine_mass_kg: ArrayLike,
    machine_com_height_mm: ArrayLike,
    rider_mass_kg: ArrayLike,
    rider_com_height_mm: ArrayLike,
    hip_limit_mm: ArrayLike | None = None,
    lean_limit_rad: ArrayLike = LEAN_LIMIT_RAD,
) -> OneFoot:
    """The least hip shift, and then the least lean, that sets one foot flat on the ground.

    `seat_height_mm` is taken with the load that the machine carries (`stopped`); the foot takes
    `foot_load_n` off it, so that the caller repeats with the new height. Heights of the centres
    of mass are upright; the rider's moves sideways with the hips, the machine's lies in its
    middle plane. `hip_limit_mm` is half the seat's width at most (also where None).
    Errors: ValueError for a mass or length out of range, or a lean limit not in 0 to 45 deg.
    """
    limit = floats(lean_limit_rad)
    if not np.all((limit >= 0.0) & (limit <= math.pi / 4)):
        raise ValueError("the lean limit must lie between 0 and 45 degrees")
    leg = positive(inside_leg_mm, "inside leg") + not_negative(sole_mm, "boot sole")
    rider, machine = positive(rider_mass_kg, "rider's mass"), floats(machine_mass_kg)
    most_shift = _hip_limit(seat, hip_limit_mm)
    half, drop = seat.half_width_mm, seat.edge_drop_mm
    edge_height = positive(floats(seat_height_mm) - drop, "height of the seat's edge")

    downward = leg - np.hypot(half - most_shift, drop)
    radius, tilt = np.hypot(edge_height, half), np.arctan2(half, edge_height)
    wanted = np.arccos(np.clip(downward / radius, -1.0, 1.0)) - tilt
    lean = np.clip(wanted, 0.0, limit)

    spare = leg - edge_height
    level = np.sqrt(np.maximum(spare**2 - drop**2, 0.0)) * (spare > drop)
    shift = np.where(lean > 0.0, most_shift, np.clip(half - level, 0.0, most_shift))

    arc = half_arc_mm(seat, seat_height_mm, hip_shift_mm=shift, lean_rad=lean)
    missing = np.where(wanted > limit, arc - leg, 0.0)
    spare_mm = np.maximum(leg - arc, 0.0) * (shift <= 0.0) * (lean <= 0.0)
    short = np.where(missing > ROUNDING_MM, missing, 0.0)
    foot_y = edge_y_mm(seat, seat_height_mm, lean_rad=lean)
    load = foot_load_n(
        np.stack(np.broadcast_arrays(machine, rider), axis=-1),
        y_mm=np.stack(np.broadcast_arrays(0.0, shift), axis=-1),
        z_mm=np.stack(
            np.broadcast_arrays(floats(machine_com_height_mm), floats(rider_com_height_mm)),
            axis=-1,
        ),
        lean_rad=lean,
        foot_y_mm=foot_y,
    )
    short, spare_mm, shift, lean, foot_y, load, share = np.broadcast_arrays(
        short, spare_mm, shift, lean, foot_y, load, load / (rider * GRAVITY_M_S2)
    )
    return OneFoot(short <= 0.0, short, spare_mm, shift, lean, foot_y, load, share)


def one_foot_seat_height_mm(
    seat: Seat,
    *,
    inside_leg_mm: ArrayLike,
    sole_mm: ArrayLike,
    hip_limit_mm: ArrayLike | None = None,
    lean_limit_rad: ArrayLike = LEAN_LIMIT_RAD,
) -> Floats:
    """Highest seat (mm) at which one foot is flat at the lean limit: exact inverse of `one_foot`.

    Errors: as `one_foot`.
    """
    limit = floats(lean_limit_rad)
    if not np.all((limit >= 0.0) & (limit <= math.pi / 4)):
        raise ValueError("the lean limit must lie between 0 and 45 degrees")
    leg = positive(inside_leg_mm, "inside leg") + not_negative(sole_mm, "boot sole")
    over = np.hypot(seat.half_width_mm - _hip_limit(seat, hip_limit_mm), seat.edge_drop_mm)
    return floats(
        seat.edge_drop_mm + (leg - over + seat.half_width_mm * np.sin(limit)) / np.cos(limit)
    )
