"""What is usual for the places of seat, controls, stand and lamps.

Ranges are for a full-size machine and for a child's; common practice, no source.
"""

from math import cos, hypot, inf, radians

from fitplanner.library.slips.relation import Relation, along, difference, ratio
from fitplanner.library.slips.sign import Plain
from fitplanner.quantities import Kind


def _arc(v: Plain) -> float:
    """Half the stated arc, less that over the seat of this width and edge."""
    edge = v["seat.edge_drop_mm"]
    over = hypot(v["seat.width_mm"] / 2, edge) - edge + v["catalogue.seat_height_mm"]
    return float(v["seat.arc_mm"] / 2 - over)


PLACES: tuple[Relation, ...] = (
    Relation(
        "arc",
        (
            "seat.arc_mm",
            "catalogue.seat_height_mm",
            "seat.width_mm",
            "seat.edge_drop_mm",
        ),
        _arc,
        (-55.0, 60.0),
        (-45.0, 50.0),
        "Half the inside-leg arc of {0} differs by {value} from the way over a seat at {1} that "
        "is {2} wide; {low} to {high} is common.",
        "The arc goes from the ground over the seat to the ground, whole, in the state of the "
        "seat height.",
        Kind.LENGTH,
        linear=True,
        possible=(-150.0, inf),
    ),
    along(
        "seat.x_mm",
        "The seat point lies",
        (0.27, 0.52),
        "Count it from the rear axle forward to where the rider sits when stopped.",
    ),
    Relation(
        "foam",
        ("seat.foam_squash_mm", "seat.foam_mm"),
        ratio("seat.foam_squash_mm", "seat.foam_mm"),
        (0.06, 0.72),
        (0.06, 0.85),
        "Foam of {1} that gives {0} is unusual.",
        "Check both figures of the foam.",
    ),
    Relation(
        "lower seat",
        ("seat.lower_seat_width_mm", "seat.width_mm"),
        ratio("seat.lower_seat_width_mm", "seat.width_mm"),
        (0.78, 1.35),
        (0.78, 1.35),
        "The lower seat is {0} wide, the seat {1}.",
        "Both widths are where the thighs cross, over the whole seat.",
    ),
    along("controls.peg_x_mm", "The pegs lie", (0.29, 0.52)),
    Relation(
        "pegs below the seat",
        ("controls.peg_z_mm", "catalogue.seat_height_mm"),
        difference("catalogue.seat_height_mm", "controls.peg_z_mm"),
        (420.0, 640.0),
        (220.0, 540.0),
        "The pegs at {0} lie {value} below the seat; {low} to {high} is common.",
        "Measure both from the ground in the state that the catalogue names.",
        Kind.LENGTH,
        linear=True,
    ),
    along("controls.bar_x_mm", "The grips lie", (0.54, 0.78)),
    Relation(
        "grips above the seat",
        ("controls.bar_z_mm", "catalogue.seat_height_mm"),
        difference("controls.bar_z_mm", "catalogue.seat_height_mm"),
        (110.0, 440.0),
        (70.0, 360.0),
        "The grips at {0} lie {value} above the seat; {low} to {high} is common.",
        "Measure both from the ground in the state that the catalogue names.",
        Kind.LENGTH,
        linear=True,
    ),
    along("controls.low_point_x_mm", "The lowest point lies", (0.32, 0.64)),
    along("stand.pivot_x_mm", "The stand's pivot lies", (0.26, 0.49)),
    Relation(
        "stand to the ground",
        ("stand.length_mm", "stand.pivot_z_mm", "stand.angle_deg"),
        lambda v: float(
            v["stand.length_mm"] * cos(radians(v["stand.angle_deg"])) / v["stand.pivot_z_mm"]
        ),
        (0.72, 1.25),
        (0.72, 1.25),
        "A stand of {0} at {2} reaches {value} of the way to the ground from a pivot at {1}; "
        "{low} to {high} is common.",
        "Check the stand's length, pivot and angle; all are those of the upright machine.",
    ),
    along("lamps.headlamp_x_mm", "The headlamp lies", (0.72, 1.08)),
    Relation(
        "headlamp height",
        ("lamps.headlamp_z_mm", "catalogue.seat_height_mm"),
        ratio("lamps.headlamp_z_mm", "catalogue.seat_height_mm"),
        (0.82, 1.35),
        (0.8, 1.4),
        "The headlamp lies at {value} of the seat height; {low} to {high} is common.",
        "Measure from the ground to the middle of the lamp.",
    ),
    Relation(
        "clearance below the pegs",
        ("catalogue.ground_clearance_mm", "controls.peg_z_mm"),
        ratio("catalogue.ground_clearance_mm", "controls.peg_z_mm"),
        (0.45, 1.02),
        (0.45, 1.05),
        "The lowest point at {0} and the pegs at {1} do not go together.",
        "Measure both from the ground in the state that the catalogue names.",
    ),
)
