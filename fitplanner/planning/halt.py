"""What reaches the ground, machine against rider, at a halt.

Owns the meeting of the solved `stopped` state with the reach model, both feet or one. Refuses to
choose anything. Vectorised over lanes.
"""

from dataclasses import dataclass, replace

import numpy as np

from fitplanner.body.one_foot import LEAN_LIMIT_RAD, OneFoot, one_foot
from fitplanner.body.reach import Footing, Reach, reach, required_seat_height
from fitplanner.body.seat import Seat, seat_from_arc, seat_from_width
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.equilibrium import Rest, equilibrium
from fitplanner.mechanics.machine import GRAVITY_M_S2, Body
from fitplanner.planning.loads import Loads
from fitplanner.planning.resolve import REFERENCE_FOAM_KG, Values
from fitplanner.planning.rider import Seated
from fitplanner.planning.ways import Build

_LEAST_WIDTH_MM = 40.0


def seat_of(value: Values, narrower_mm: Number = 0.0) -> Seat:
    """The seat where the thighs cross, narrower than stock by an amount (at most to nothing)."""
    drop = value("seat", "edge_drop_mm")
    if value.profile.seat.arc_mm is not None:
        height = value("catalogue", "seat_height_mm")
        # A variant of an arc may fall short of its seat; the profile's own has been checked.
        arc = np.maximum(value("seat", "arc_mm"), 2.0 * np.asarray(height))
        stock = seat_from_arc(arc, seat_height_mm=height, edge_drop_mm=drop)
    else:
        stock = seat_from_width(value("seat", "width_mm"), drop)
    if not np.any(narrower_mm):
        return stock
    return replace(stock, width_mm=np.maximum(stock.width_mm - narrower_mm, _LEAST_WIDTH_MM))


def squash_mm(value: Values, rider_kg: Number, carried_share: Number) -> Array:
    """How far the foam gives, in proportion to what the seat carries."""
    share = np.asarray(rider_kg, dtype=float) * carried_share / REFERENCE_FOAM_KG
    foam = np.asarray(value("seat", "foam_mm"), dtype=float)
    squashed: Array = np.minimum(value("seat", "foam_squash_mm") * np.maximum(share, 0.0), foam)
    return squashed


@dataclass(frozen=True)
class Halt:
    """The `stopped` state with the feet where they reach; arrays of lanes.

    `seat_mm` is the seat's height under the rider, foam squashed, in the machine's own plane;
    `bare_seat_mm` the same without the rider's dent, as a tape would read it; `need_mm` the
    highest seat under the rider that gives the wanted footing.
    """

    rest: Rest
    seat: Seat
    bare_seat_mm: Array
    squash_mm: Array
    seat_mm: Array
    need_mm: Array
    both: Reach
    one: OneFoot | None
    feet_kg: Array


def need_seat_mm(
    rider: Seated,
    seat: Seat,
    sole_mm: Number = 0.0,
    inside_leg_mm: Number | None = None,
    footing: Footing | None = None,
) -> Array:
    """Highest seat, foam squashed, that gives the wanted footing; infinite for none.

    Another inside leg than the rider's, or another footing, may be asked about.
    """
    wanted = rider.document.footing if footing is None else footing
    if wanted is Footing.NONE:
        return np.full(np.shape(seat.width_mm), np.inf)
    return required_seat_height(
        wanted,
        seat,
        inside_leg_mm=rider.inside_leg_mm if inside_leg_mm is None else inside_leg_mm,
        sole_mm=rider.document.boot_sole_mm + np.asarray(sole_mm),
        foot=rider.lengths.foot,
        boot_angle_rad=rider.boot_angle_rad,
    )


@dataclass(frozen=True)
class Stop:
    """The machine at a halt, whatever the feet reach: the first part of a `Halt`."""

    rest: Rest
    seat: Seat
    bare_seat_mm: Array
    squash_mm: Array
    one: OneFoot | None
    feet_kg: Array

    @property
    def seat_mm(self) -> Array:
        """Under the rider, foam squashed."""
        return self.bare_seat_mm - self.squash_mm


def stop(
    made: Build,
    value: Values,
    rider: Seated,
    carried: Loads,
    inside_leg_mm: Number | None = None,
) -> Stop:
    """Solve `stopped` for a built machine.

    Where one foot is wanted the foot's load is not free: it follows from the roll balance, and
    the springs carry what is left, so both are repeated until they agree.
    """
    one = rider.document.footing is Footing.ONE_FOOT_FLAT
    machine, drop = made.machine, np.asarray(made.seat_drop_mm)
    seat_x = np.asarray(value("seat", "x_mm"))
    seat_z = np.asarray(value("catalogue", "seat_height_mm")) - drop
    seat = seat_of(value, made.seat_narrower_mm)
    sole = rider.document.boot_sole_mm + np.asarray(made.sole_mm)
    leg = rider.inside_leg_mm if inside_leg_mm is None else inside_leg_mm
    up = carried.rider_up(machine.sprung, drop)
    feet_kg = -np.asarray(carried.feet.mass_kg, dtype=float)
    alone: OneFoot | None = None
    gravity: Number = GRAVITY_M_S2
    for _ in range(12 if one else 1):
        lifted = Body(-feet_kg, carried.feet.x_mm, carried.feet.z_mm)
        rest = equilibrium(machine, up + lifted, gravity_m_s2=gravity)
        bare = rest.pose.height(seat_x, seat_z)
        share = 1.0 - feet_kg / np.asarray(carried.rider.mass_kg)
        squash = squash_mm(value, rider.total_kg, share)
        if not one:
            break
        alone, feet_next = _balance_one_foot(
            rest, made, carried, rider, seat, bare - squash, sole, leg
        )
        # The lean counts as well: a foot that carries all it can no longer moves by itself.
        leaned = GRAVITY_M_S2 * np.cos(alone.lean_rad)
        moved = np.max(np.abs(feet_next - feet_kg) + np.abs(leaned - gravity), initial=0.0)
        feet_kg, gravity = feet_next, leaned
        if moved < 1e-6:
            break
    return Stop(rest, seat, bare, squash, alone, feet_kg)


def halt(made: Build, value: Values, rider: Seated, carried: Loads) -> Halt:
    """Solve `stopped` and the footing of a built machine."""
    at = stop(made, value, rider, carried)
    both = reach(
        at.seat,
        at.seat_mm,
        inside_leg_mm=rider.inside_leg_mm,
        sole_mm=rider.document.boot_sole_mm + np.asarray(made.sole_mm),
        foot=rider.lengths.foot,
        boot_angle_rad=rider.boot_angle_rad,
    )
    need = need_seat_mm(rider, at.seat, made.sole_mm)
    return Halt(
        rest=at.rest,
        seat=at.seat,
        bare_seat_mm=at.bare_seat_mm,
        squash_mm=at.squash_mm,
        seat_mm=at.seat_mm,
        need_mm=need,
        both=both,
        one=at.one,
        feet_kg=at.feet_kg,
    )


def _balance_one_foot(
    rest: Rest,
    made: Build,
    carried: Loads,
    rider: Seated,
    seat: Seat,
    seat_mm: Array,
    sole_mm: Array,
    inside_leg_mm: Number,
) -> tuple[OneFoot, Array]:
    machine = made.machine
    bare = carried.on_wheels(machine.sprung)
    front, rear = np.asarray(machine.front_unsprung_kg), np.asarray(machine.rear_unsprung_kg)
    hubs = front * rest.pose.front_radius_mm + rear * rest.pose.rear_radius_mm
    sprung_z = rest.pose.height(bare.x_mm, bare.z_mm)
    machine_kg = np.asarray(bare.mass_kg) + front + rear
    rider_z = np.asarray(carried.rider.z_mm) - made.seat_drop_mm
    alone = one_foot(
        seat,
        seat_mm,
        inside_leg_mm=inside_leg_mm,
        sole_mm=sole_mm,
        machine_mass_kg=machine_kg,
        machine_com_height_mm=(bare.mass_kg * sprung_z + hubs) / machine_kg,
        rider_mass_kg=rider.total_kg,
        rider_com_height_mm=rest.pose.height(carried.rider.x_mm, rider_z),
        lean_limit_rad=LEAN_LIMIT_RAD,
    )
    # The springs never feel more than the rider taken off them.
    feet = np.minimum(alone.foot_load_n / GRAVITY_M_S2, 0.95 * rider.total_kg)
    return alone, np.maximum(feet, 0.0)
