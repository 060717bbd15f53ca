"""Many people as riders of one machine: lanes where `Fitted` is one.

Owns the step from bodies to lanes, and the people that stand for a crowd. Refuses machines.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import radians

import numpy as np

from fitplanner.body.foot import foot_from_stature
from fitplanner.body.population import SURVEY, Bodies
from fitplanner.body.segments import LEG_SHARE_RANGE, Lengths, segment_lengths
from fitplanner.body.survey import CROTCH_HEIGHT, Population
from fitplanner.documents.customers import Customers
from fitplanner.documents.rider import Rider
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.rider import BOOT_ANGLE_DEG
from fitplanner.planning.unknown.sampling import normal, sobol

GROUPS = (Population.WOMEN, Population.MEN)
_BITS = 12
PEOPLE = 2**_BITS
"""How many people stand for each group."""

_SEED = 2012


@dataclass(frozen=True)
class People:
    """Lanes of people with one set of gear, boots and wishes; lengths in mm, masses in kg."""

    document: Rider
    stature_mm: Array
    inside_leg_mm: Array
    mass_kg: Array
    lengths: Lengths
    boot_angle_rad: float

    @property
    def total_kg(self) -> Array:
        """With gear."""
        return self.mass_kg + self.document.gear_mass_kg


def people(
    pattern: Rider,
    population: Population,
    *,
    stature_mm: Array,
    inside_leg_mm: Array,
    mass_kg: Array,
) -> People:
    """People with these bodies and the gear, boots and wishes of `pattern`.

    Each is seated as `planning.rider.fitted` seats one rider of that population.
    """
    low, high = LEG_SHARE_RANGE
    share = inside_leg_mm / stature_mm
    odd = (share <= low) | (share >= high)
    usual = CROTCH_HEIGHT[population].at(stature_mm)
    return People(
        document=pattern.replace(population=population),
        stature_mm=stature_mm,
        inside_leg_mm=inside_leg_mm,
        mass_kg=mass_kg,
        lengths=segment_lengths(
            stature_mm,
            population,
            inside_leg_mm=np.where(odd, usual, inside_leg_mm),
            foot=foot_from_stature(stature_mm, population),
        ),
        boot_angle_rad=radians(BOOT_ANGLE_DEG[pattern.boot]),
    )


@cache
def _normal() -> Array:
    points = normal(sobol(_BITS, 3, seed=_SEED))
    points.flags.writeable = False
    return points


def bodies_of(customers: Customers, group: Population) -> Bodies:
    """Women or men as they are in the shop; legs and masses follow their statures."""
    women = group is Population.WOMEN
    middle = customers.women_stature_mm if women else customers.men_stature_mm
    spread = customers.women_spread_mm if women else customers.men_spread_mm
    return SURVEY[group].with_stature(middle, spread)


def share_of(customers: Customers, group: Population) -> float:
    """The group's share of all customers."""
    women = customers.women_share
    return women if group is Population.WOMEN else 1.0 - women


def crowd(pattern: Rider, customers: Customers) -> Mapping[Population, People]:
    """`PEOPLE` women and as many men, spread as the shop's customers are; always the same ones."""
    found = {}
    for group in GROUPS:
        stature, leg, mass = bodies_of(customers, group).people(_normal())
        found[group] = people(pattern, group, stature_mm=stature, inside_leg_mm=leg, mass_kg=mass)
    return found


def middle(pattern: Rider, customers: Customers) -> Rider:
    """Nobody, but the middle women and men as one rider, mixed as the customers are."""
    each = [(share_of(customers, group), bodies_of(customers, group).middle) for group in GROUPS]
    stature, leg, mass = (sum(share * middle[at] for share, middle in each) for at in range(3))
    return pattern.replace(
        population=Population.BOTH, stature_mm=stature, inside_leg_mm=leg, mass_kg=mass
    )


def short_of(pattern: Rider, customers: Customers, share: float) -> Rider:
    """The woman than whom this share of women have longer legs; else as such a woman usually is."""
    stature, leg, mass = bodies_of(customers, Population.WOMEN).quantile(1.0 - share)
    return pattern.replace(
        population=Population.WOMEN, stature_mm=stature, inside_leg_mm=leg, mass_kg=mass
    )
