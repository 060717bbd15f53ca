"""The rider: what is asked at the counter, barefoot and honest.

Owns the rider's own figures and wishes. Refuses estimates: what follows from a stature is the
body room's affair.
"""

from enum import StrEnum

from pydantic import Field

from fitplanner.body.inside_leg import Population
from fitplanner.body.reach import Footing
from fitplanner.documents.base import Section, figure
from fitplanner.quantities import Kind


class Boot(StrEnum):
    """What limits how far the heel can rise."""

    STIFF = "stiff"
    WALKING = "walking"


class RidingStyle(StrEnum):
    """Decides the sag windows."""

    TRAIL = "trail"
    ENDURO = "enduro"
    MOTOCROSS = "motocross"
    DUAL_SPORT = "dual_sport"
    TRAVEL = "travel"


class Experience(StrEnum):
    """How much the rider has ridden off the road."""

    NEW = "new"
    SOME = "some"
    SEASONED = "seasoned"


class Rider(Section):
    """One rider. Lengths in mm, masses in kg; None where not yet asked."""

    name: str = Field(default="", max_length=120, title="Name")
    phone: str = Field(default="", max_length=60, title="Telephone")
    population: Population = Field(default=Population.BOTH, title="Body figures of")
    stature_mm: float | None = figure(
        "Stature", Kind.LENGTH, 900, 2200, "Barefoot, heels to the wall", default=None
    )
    inside_leg_mm: float | None = figure(
        "Inside leg",
        Kind.LENGTH,
        350,
        1100,
        "Barefoot, back to a wall, a book pushed up against the crotch, floor to its top edge",
        default=None,
    )
    inside_leg_spread_mm: float = figure(
        "Spread of the inside leg",
        Kind.LENGTH,
        0,
        50,
        "One standard deviation of a careful reading",
        default=5.0,
    )
    mass_kg: float | None = figure("Body mass", Kind.MASS, 15, 200, "Without gear", default=None)
    gear_mass_kg: float = figure(
        "Gear", Kind.MASS, 0, 60, "Helmet, boots, armour, drink", default=8.0
    )
    boot_sole_mm: float = figure(
        "Boot sole", Kind.LENGTH, 0, 90, "Thickness under the heel", default=25.0
    )
    boot: Boot = Field(default=Boot.STIFF, title="Boot")
    riding_style: RidingStyle = Field(default=RidingStyle.TRAIL, title="Riding style")
    experience: Experience = Field(default=Experience.SOME, title="Experience")
    footing: Footing = Field(default=Footing.BOTH_BALLS, title="Wanted footing")
