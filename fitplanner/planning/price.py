"""What a build costs: hours and parts, from the offers on the profile.

Owns the rule how jobs at one end share their hours. Refuses a currency and an hourly rate of its
own; both are the shop's. Vectorised over lanes.
"""

from dataclasses import dataclass

import numpy as np

from fitplanner.documents.machine import MachineProfile, SpringOffer, WayOffer
from fitplanner.documents.preferences import Rates
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.planning.plan import WayId
from fitplanner.planning.setup import Setup

_FRONT = (WayId.FORK_LIMITER, WayId.RAISED_STANCHIONS)
_REAR = (WayId.SHOCK_LIMITER, WayId.SHORTER_SHOCK)
_SAME_RATE_N_MM = 1e-6
_SAME_PRELOAD_MM = 0.05


@dataclass(frozen=True)
class Bill:
    """Hours of work, and parts in the shop's currency; floats or arrays of lanes."""

    hours: Array
    parts: Array

    def price(self, rates: Rates) -> Array:
        """Labour and parts together."""
        return self.hours * rates.hourly + self.parts


def bill(profile: MachineProfile, setup: Setup) -> Bill:
    """Hours and parts of a build.

    A fork that is out for one job is out for the others, and so is a shock: the longest job at
    an end counts, the shorter ones are done on the way (common practice, no source). All else
    adds. A way without an offer counts nothing.
    """
    springs = profile.springs
    stock_fork, stock_rear = profile.fork, profile.rear
    fork_hours, fork_parts = _spring(
        springs.fork,
        np.asarray(setup.fork_rate_n_mm) - stock_fork.spring_rate_n_mm.value,
        np.asarray(setup.fork_preload_mm) - stock_fork.preload_mm.value,
    )
    shock_hours, shock_parts = _spring(
        springs.shock,
        np.asarray(setup.shock_rate_n_mm) - stock_rear.spring_rate_n_mm.value,
        np.asarray(setup.shock_preload_mm) - stock_rear.preload_mm.value,
    )
    hours, parts = np.asarray(0.0), fork_parts + shock_parts
    front, rear = fork_hours, shock_hours
    for way in WayId:
        offer: WayOffer | None = getattr(profile.ways, way.value)
        if offer is None:
            continue
        done = np.asarray(setup.amount_mm(way)) > 0
        spent = np.where(done, offer.hours, 0.0)
        parts = parts + np.where(done, offer.parts, 0.0)
        if way in _FRONT:
            front = np.maximum(front, spent)
        elif way in _REAR:
            rear = np.maximum(rear, spent)
        else:
            hours = hours + spent
    return Bill(hours + front + rear, parts)


def _spring(offer: SpringOffer, rate: Number, preload: Number) -> tuple[Array, Array]:
    changed = np.abs(rate) > _SAME_RATE_N_MM
    turned = np.abs(preload) > _SAME_PRELOAD_MM
    hours = np.where(changed, offer.hours, np.where(turned, offer.preload_hours, 0.0))
    return hours, np.where(changed, offer.parts, 0.0)
