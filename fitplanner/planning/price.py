"""What a build costs: hours and parts, from the offers on the profile.

Owns the rule how jobs at one end share their hours, and what fitting the old parts takes back.
Refuses a currency and an hourly rate of its own; both are the shop's. Vectorised over lanes.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.machine import MachineProfile, SpringOffer, StandOffer, WayOffer
from fitplanner.documents.preferences import Rates
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.planning.plan import WayId
from fitplanner.planning.setup import Setup
from fitplanner.planning.ways import WAYS

FRONT, REAR = "front", "rear"
_ENDS = {
    WayId.FORK_LIMITER: FRONT,
    WayId.RAISED_STANCHIONS: FRONT,
    WayId.SHOCK_LIMITER: REAR,
    WayId.SHORTER_SHOCK: REAR,
}
_SAME_RATE_N_MM = 1e-6
SAME_PRELOAD_MM = 0.05
"""A preload that differs by no more is left as it is."""


@dataclass(frozen=True)
class Item:
    """One job of a build; hours and parts are floats or arrays of lanes, 0 where it is not done.

    `end`: the unit that is out for it, "" for none. `undone`: the share of its hours that fitting
    the old parts takes back.
    """

    label: str
    end: str
    hours: Array
    parts: Array
    undone: float = 1.0
    assumed: bool = False
    """Nobody entered its hours and parts for this machine."""


@dataclass(frozen=True)
class Bill:
    """The jobs of a build, with their sums; parts in the shop's currency.

    A fork that is out for one job is out for the others, and so is a shock: the longest job at
    an end counts, the shorter ones are done on the way (common practice, no source). All else
    adds.
    """

    items: tuple[Item, ...]

    @cached_property
    def hours(self) -> Array:
        """Hours of work."""
        total = np.zeros(())
        for end in (FRONT, REAR):
            longest = np.zeros(())
            for item in self.items:
                if item.end == end:
                    longest = np.maximum(longest, item.hours)
            total = total + longest
        for item in self.items:
            if not item.end:
                total = total + item.hours
        return total

    @cached_property
    def parts(self) -> Array:
        """Price of all parts."""
        total = np.zeros(())
        for item in self.items:
            total = total + item.parts
        return total

    @property
    def undone(self) -> Array:
        """Share of the hours that fitting the old parts takes back; 1 where there is no work."""
        lost = np.zeros(())
        for item in self.items:
            if item.undone < 1.0:
                lost = lost + item.hours * (1.0 - item.undone)
        return np.maximum(1.0 - lost / np.where(self.hours > 0, self.hours, 1.0), 0.0)

    def price(self, rates: Rates) -> Array:
        """Labour and parts together."""
        return self.hours * rates.hourly + self.parts


def bill(profile: MachineProfile, setup: Setup, *, new_stand: bool | NDArray[np.bool_]) -> Bill:
    """The jobs of a build; `new_stand` says where the old side-stand is too long.

    A way without an offer counts nothing.
    """
    return Bill(tuple(_items(profile, setup, new_stand)))


def _items(
    profile: MachineProfile, setup: Setup, new_stand: bool | NDArray[np.bool_]
) -> Iterator[Item]:
    for way in WayId:
        offer: WayOffer | None = getattr(profile.ways, way.value)
        if offer is not None:
            done = np.asarray(setup.amount_mm(way)) > 0
            facts = WAYS[way]
            yield _item(facts.label, _ENDS.get(way, ""), done, offer, facts.undone)
    fork, rear = profile.fork, profile.rear
    yield from _springs(
        ("Fork springs", "Fork preload"),
        FRONT,
        profile.springs.fork,
        np.asarray(setup.fork_rate_n_mm) - fork.spring_rate_n_mm.value,
        np.asarray(setup.fork_preload_mm) - fork.preload_mm.value,
    )
    yield from _springs(
        ("Shock spring", "Shock preload"),
        REAR,
        profile.springs.shock,
        np.asarray(setup.shock_rate_n_mm) - rear.spring_rate_n_mm.value,
        np.asarray(setup.shock_preload_mm) - rear.preload_mm.value,
    )
    done = np.asarray(new_stand)
    yield _item("Side-stand shortened", "", done, profile.stand_work, undone=0.0)


def _springs(
    labels: tuple[str, str], end: str, offer: SpringOffer, rate: Number, preload: Number
) -> Iterator[Item]:
    """Other springs, or where they stay another preload alone."""
    changed = np.abs(rate) > _SAME_RATE_N_MM
    turned = (np.abs(preload) > SAME_PRELOAD_MM) & ~changed
    yield _item(labels[0], end, changed, offer)
    hours = np.where(turned, offer.preload_hours, 0.0)
    yield Item(labels[1], end, hours, np.zeros(()), assumed=offer.assumed)


def _item(
    label: str,
    end: str,
    done: NDArray[np.bool_],
    offer: WayOffer | SpringOffer | StandOffer,
    undone: float = 1.0,
) -> Item:
    hours, parts = np.where(done, offer.hours, 0.0), np.where(done, offer.parts, 0.0)
    return Item(label, end, hours, parts, undone, offer.assumed)
