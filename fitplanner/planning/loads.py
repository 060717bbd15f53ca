"""What the springs carry in each state.

Owns the bodies (fuel, luggage, rider, feet on the ground) in the chassis frame. Refuses the
rider's own mechanics: the body room says where the rider's mass acts.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitplanner.body.mass import RiderMass, seated_com
from fitplanner.body.posture import riding_posture
from fitplanner.documents.job import Choices
from fitplanner.documents.machine import MachineProfile
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.machine import Body
from fitplanner.planning.memory import remembered
from fitplanner.planning.resolve import Values, fuel_body
from fitplanner.planning.rider import Fitted, Seated


@dataclass(frozen=True)
class Loads:
    """Bodies beside the machine's own sprung mass; places in the chassis frame, stock seat.

    `rider` is seated with the feet on the pegs; the same place is used `stopped`, where the
    feet carry `feet_share` of the body's weight at `feet`.
    """

    load: Body
    rider: Body
    feet: Body

    def on_wheels(self, sprung: Body) -> Body:
        """Machine, fuel and luggage."""
        return sprung + self.load

    def rider_up(self, sprung: Body, seat_drop_mm: Number = 0.0) -> Body:
        """And the rider, as much lower as the seat is."""
        return self.on_wheels(sprung) + _lower(self.rider, seat_drop_mm)

    def stopped(self, sprung: Body, seat_drop_mm: Number = 0.0) -> Body:
        """And the rider, part of whose weight the ground carries at the feet."""
        return self.rider_up(sprung, seat_drop_mm) + self.feet


def _lower(body: Body, drop_mm: Number) -> Body:
    return Body(body.mass_kg, body.x_mm, np.asarray(body.z_mm) - drop_mm)


def load_body(value: Values, choices: Choices) -> Body:
    """Fuel and luggage as one mass.

    Rear luggage hangs over the rear axle at seat height, front luggage over the tank (assumption).
    """
    body = fuel_body(value, choices.fuel_share)
    if choices.luggage_front_kg > 0:
        tank = value("masses", "tank_x_mm"), value("masses", "tank_z_mm")
        body += Body(choices.luggage_front_kg, *tank)
    if choices.luggage_rear_kg > 0:
        body += Body(choices.luggage_rear_kg, 0.0, value("catalogue", "seat_height_mm"))
    return body


@remembered(16)
def loads(profile: MachineProfile, rider: Fitted, choices: Choices) -> Loads:
    """Bodies for one rider on one machine.

    The ground's share of the rider's weight
    is a force upward on the line through the feet, straight up through the hips.
    """
    return loads_of_all((profile,), rider, choices)[0]


def loads_of_all(
    profiles: Sequence[MachineProfile], rider: Fitted, choices: Choices
) -> tuple[Loads, ...]:
    """As `loads`, for one rider on many machines; the rider is seated on all of them at once."""
    seats = _points(profiles, ("seat", "x_mm"), ("catalogue", "seat_height_mm"))
    com = _seated(rider, seats, profiles)
    places = zip(profiles, seats.tolist(), com.dx_mm, com.dz_mm, strict=True)
    lifted = -choices.feet_share * rider.mass_kg
    return tuple(
        Loads(
            load=load_body(Values(profile, {}), choices),
            rider=Body(rider.total_kg, x + float(dx), z + float(dz)),
            feet=Body(lifted, x + profile.controls.feet_ahead_mm.value, z),
        )
        for profile, (x, z), dx, dz in places
    )


def loads_of_people(profile: MachineProfile, people: Seated, choices: Choices) -> Loads:
    """As `loads`, for lanes of people on one machine."""
    seat = _points((profile,), ("seat", "x_mm"), ("catalogue", "seat_height_mm"))
    com = _seated(people, seat, (profile,))
    x, z = seat[0].tolist()
    return Loads(
        load=load_body(Values(profile, {}), choices),
        rider=Body(people.total_kg, x + com.dx_mm, z + com.dz_mm),
        feet=Body(
            -choices.feet_share * np.asarray(people.mass_kg),
            x + profile.controls.feet_ahead_mm.value,
            z,
        ),
    )


def _seated(rider: Seated, seats: Array, profiles: Sequence[MachineProfile]) -> RiderMass:
    """The rider's mass on the pegs, relative to each seat point; rider and machines in lanes."""
    document = rider.document
    posture = riding_posture(
        rider.lengths,
        seat_point_mm=seats,
        peg_point_mm=_points(profiles, ("controls", "peg_x_mm"), ("controls", "peg_z_mm")),
        bar_point_mm=_points(profiles, ("controls", "bar_x_mm"), ("controls", "bar_z_mm")),
        sole_mm=document.boot_sole_mm,
    )
    return seated_com(
        posture,
        seat_point_mm=seats,
        body_mass_kg=rider.mass_kg,
        gear_mass_kg=document.gear_mass_kg,
        population=document.population,
    )


def _points(profiles: Sequence[MachineProfile], x: tuple[str, str], z: tuple[str, str]) -> Array:
    """Points of the side view, one row for each machine."""
    figures = [
        [getattr(getattr(each, part), key).value for part, key in (x, z)] for each in profiles
    ]
    return np.array(figures)
