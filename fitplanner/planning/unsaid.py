"""How far a seat height may be off of which the data sheet does not say in which state it is.

Owns that one spread. Refuses every other figure.
"""

from math import hypot

from fitplanner.documents.base import Figure
from fitplanner.documents.machine import MachineProfile

SEAT_HEIGHT = ("catalogue", "seat_height_mm")

UNSAID_SHARE = 0.1
"""Of the mean wheel travel, one standard deviation. On its wheels a machine sinks by some 10 to
15 % of its travel; where hanging wheels are as likely, the root mean square off is 0.7 of that.
Assumption, from memory, no source."""

NOTE = "the sheet does not say in which state; taken as on its wheels"


def unsaid_spread_mm(profile: MachineProfile) -> float:
    """What the unknown state adds to the seat height's spread [mm]; 0 where it is known."""
    if profile.catalogue.state_known:
        return 0.0
    travel_mm = 0.5 * (profile.fork.travel_mm.value + profile.rear.travel_mm.value)
    return UNSAID_SHARE * travel_mm


def seat_height(profile: MachineProfile) -> Figure:
    """The catalogue's seat height with the spread that it really has."""
    figure, more_mm = profile.catalogue.seat_height_mm, unsaid_spread_mm(profile)
    if more_mm == 0.0:
        return figure
    note = "; ".join(each for each in (figure.note, NOTE) if each)
    return figure.replace(spread=hypot(figure.spread, more_mm), note=note)
