"""What is measured next: figures of the machine, the rider's inside leg, and readings.

Owns which acts are weighed against each other. Refuses to rank: what a reading is worth depends
on the plan.
"""

from fitplanner.library.acts import ACTS as MACHINE_ACTS
from fitplanner.library.acts import Act
from fitplanner.planning.unknown.account import Address
from fitplanner.planning.unknown.figures import INSIDE_LEG

ACTS: dict[Address, Act] = {
    INSIDE_LEG: Act(
        "Measure the inside leg three times: barefoot, back to a wall, a book pushed up against "
        "the crotch, floor to its top edge; take the middle",
        3.0,
    ),
    **MACHINE_ACTS,
}
"""How each figure is measured; one without an act is left to its source."""

_MIDDLE = "push it down and read, lift it and read, take the middle"

READINGS: dict[str, tuple[str, Act]] = {
    "seat_on_wheels": (
        "Seat on its wheels",
        Act("Lay a tape from floor to seat, machine upright on its wheels, three times", 2.0),
    ),
    "free_sag_front": (
        "Free sag, fork",
        Act(f"Measure the free sag of the fork: hanging, then on its wheels; {_MIDDLE}", 2.0),
    ),
    "free_sag_rear": (
        "Free sag, rear",
        Act(f"Measure the free sag at the rear: hanging, then on its wheels; {_MIDDLE}", 2.0),
    ),
    "rider_sag_front": (
        "Rider sag, fork",
        Act(f"Measure the rider sag of the fork, feet on the pegs; {_MIDDLE}", 3.0),
    ),
    "rider_sag_rear": (
        "Rider sag, rear",
        Act(f"Measure the rider sag at the rear, feet on the pegs; {_MIDDLE}", 3.0),
    ),
}
"""Readings of the machine as it stands before the work: label and act, by the band's key."""
