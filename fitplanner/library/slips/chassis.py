"""What is usual between the figures of masses, wheels, steering and swing-arm.

Ranges are for a full-size machine and for a child's; common practice, no source.
"""

from math import cos, inf, radians, sin

from fitplanner.library.slips.relation import WHEELBASE, Relation, along, ratio
from fitplanner.library.slips.sign import Plain
from fitplanner.mechanics.geometry import fork_offset_mm
from fitplanner.quantities import Kind

_FUEL_KG_PER_L = 0.75


def _offset(v: Plain) -> float:
    return float(
        fork_offset_mm(
            wheel_radius_mm=v["wheels.front_radius_mm"],
            rake_rad=radians(v["catalogue.rake_deg"]),
            trail_mm=v["catalogue.trail_mm"],
        )
    )


def trail_of_offset_mm(v: Plain, offset_mm: float) -> float:
    """The trail with which the front axle lies `offset_mm` ahead of the steering axis."""
    rake = radians(v["catalogue.rake_deg"])
    return float((v["wheels.front_radius_mm"] * sin(rake) - offset_mm) / cos(rake))


def _left(v: Plain) -> float:
    """Share of the mass that is neither wheels nor fuel."""
    fuel = v["masses.tank_l"] * v["masses.running_order_fuel_share"] * _FUEL_KG_PER_L
    parts = v["masses.front_unsprung_kg"] + v["masses.rear_unsprung_kg"] + fuel
    return float(1 - parts / v["masses.running_order_kg"])


def _arm(v: Plain) -> float:
    """How far the pivot lies above the rear axle, as a share of the swing-arm."""
    rise = v["rear.pivot_height_mm"] - v["wheels.rear_radius_mm"]
    return float(rise / v["rear.arm_length_mm"])


CHASSIS: tuple[Relation, ...] = (
    Relation(
        "mass left",
        (
            "masses.running_order_kg",
            "masses.front_unsprung_kg",
            "masses.rear_unsprung_kg",
            "masses.tank_l",
            "masses.running_order_fuel_share",
        ),
        _left,
        (0.5, 0.86),
        (0.5, 0.86),
        "Wheels and fuel leave {value} of the machine's {0} for the rest; {low} to {high} is "
        "common.",
        "Check the mass in running order, both unsprung masses and the tank.",
        linear=True,
        possible=(0.0, inf),
    ),
    Relation(
        "unsprung ends",
        ("masses.front_unsprung_kg", "masses.rear_unsprung_kg"),
        ratio("masses.front_unsprung_kg", "masses.rear_unsprung_kg"),
        (0.6, 1.2),
        (0.6, 1.2),
        "Unsprung masses of {0} in front and {1} behind do not go together.",
        "The rear wheel with half the swing-arm is mostly a little heavier than the front.",
    ),
    Relation(
        "unsprung share",
        ("masses.front_unsprung_kg", "masses.running_order_kg"),
        ratio("masses.front_unsprung_kg", "masses.running_order_kg"),
        (0.06, 0.165),
        (0.09, 0.2),
        "Front unsprung mass is {value} of the machine's; {low} to {high} is common.",
        "Check both masses and their units.",
    ),
    Relation(
        "fuel for its mass",
        ("masses.tank_l", "masses.running_order_kg"),
        ratio("masses.tank_l", "masses.running_order_kg"),
        (0.035, 0.17),
        (0.025, 0.11),
        "A tank of {0} is {value} L for each kg of the machine; {low} to {high} is common.",
        "Check the tank's unit; US and imperial gallons differ.",
    ),
    Relation(
        "payload for its mass",
        ("masses.payload_kg", "masses.running_order_kg"),
        ratio("masses.payload_kg", "masses.running_order_kg"),
        (0.5, 1.75),
        (0.5, 1.7),
        "A payload of {0} is {value} of the machine's mass; {low} to {high} is common.",
        "Payload is permitted total mass less mass in running order; take both from the plate.",
    ),
    Relation(
        "mass height",
        ("masses.mass_height_mm", "catalogue.seat_height_mm"),
        ratio("masses.mass_height_mm", "catalogue.seat_height_mm"),
        (0.5, 0.82),
        (0.5, 0.82),
        "The centre of mass lies at {value} of the seat height; {low} to {high} is common.",
        "It is above the ground, running order, no rider.",
    ),
    along("masses.tank_x_mm", "The tank lies", (0.4, 0.72)),
    Relation(
        "tank height",
        ("masses.tank_z_mm", "catalogue.seat_height_mm"),
        ratio("masses.tank_z_mm", "catalogue.seat_height_mm"),
        (0.7, 1.15),
        (0.7, 1.15),
        "The tank lies at {value} of the seat height; {low} to {high} is common.",
        "Measure from the ground to the middle of the tank.",
    ),
    Relation(
        "wheel radii",
        ("wheels.front_radius_mm", "wheels.rear_radius_mm"),
        ratio("wheels.front_radius_mm", "wheels.rear_radius_mm"),
        (0.975, 1.17),
        (0.975, 1.22),
        "Tyre radii of {0} in front and {1} behind do not go together.",
        "The front wheel is mostly the larger one; check whether the ends were exchanged.",
    ),
    Relation(
        "tyre widths",
        ("wheels.front_section_mm", "wheels.rear_section_mm"),
        ratio("wheels.rear_section_mm", "wheels.front_section_mm"),
        (1.08, 2.2),
        (1.08, 2.0),
        "Tyres {0} wide in front and {1} behind do not go together.",
        "The rear tyre is the wider one; check whether the ends were exchanged.",
    ),
    Relation(
        "steering offset",
        ("catalogue.trail_mm", "catalogue.rake_deg", "wheels.front_radius_mm"),
        _offset,
        (26.0, 88.0),
        (12.0, 60.0),
        "Rake {1} and trail {0} put the front axle {value} ahead of the steering axis; {low} to "
        "{high} is common.",
        "Check rake, which is measured from the vertical, trail and the front tyre's radius.",
        Kind.LENGTH,
        linear=True,
        possible=(0.0, inf),
    ),
    Relation(
        "swing-arm angle",
        ("rear.pivot_height_mm", "wheels.rear_radius_mm", "rear.arm_length_mm"),
        _arm,
        (-0.1, 0.42),
        (-0.1, 0.42),
        "The pivot at {0} over a wheel of {1} radius is much for a swing-arm of {2}.",
        "Measure the pivot from the ground in the state that the catalogue names.",
        linear=True,
        possible=(-1.0, 1.0),
    ),
    Relation(
        "swing-arm length",
        ("rear.arm_length_mm", WHEELBASE),
        ratio("rear.arm_length_mm", WHEELBASE),
        (0.33, 0.48),
        (0.33, 0.48),
        "A swing-arm of {0} is {value} of the wheelbase; {low} to {high} is common.",
        "Measure from the middle of the pivot to the middle of the axle.",
    ),
    Relation(
        "travels",
        ("rear.travel_mm", "fork.travel_mm"),
        ratio("fork.travel_mm", "rear.travel_mm"),
        (0.72, 1.38),
        (0.68, 1.38),
        "Travel is {1} at the fork but {0} at the rear wheel.",
        "One of them may be incomplete: the rear travel is the wheel's, not the shock's.",
    ),
)
