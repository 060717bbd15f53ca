"""Spring rate and preload that put both sags where they belong.

Owns the closed solution (two unknowns, two targets an end) and the step to rates that can be
bought. Works on many setups at once. Refuses exact equilibrium: `setup.stand` has the last word,
so the sags predicted here only choose, they are never shown.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from fitplanner.documents.job import SagWindows, Window
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.equilibrium import wheel_loads
from fitplanner.mechanics.geometry import pose
from fitplanner.mechanics.machine import Body, Machine, weight_n
from fitplanner.mechanics.units import Unit


@dataclass(frozen=True)
class Aim:
    """A compression along the unit [mm] and the force [N] that it has to carry there."""

    x_mm: Array
    force_n: Array


_SHARE_TOLERANCE_MM = 1e-3


@dataclass(frozen=True)
class EndTarget:
    """What one unit has to carry on wheels (`free`) and with the rider up (`rider`).

    `travel_mm` turns a compression along the unit into travel from full extension, front along
    the fork, rear at the wheel; `full_mm` is all of it.
    """

    unit: Unit
    free: Aim
    rider: Aim
    low_mm: Array
    high_mm: Array
    full_mm: Array
    travel_mm: Callable[[Array], Array]

    def ideal(self) -> tuple[Array, Array]:
        """Rate and preload that meet both targets; a rate below zero has no answer."""
        rate = self.unit.rate_for(
            self.free.x_mm, self.free.force_n, self.rider.x_mm, self.rider.force_n
        )
        return rate, self.preload_for_rider(rate)

    def preload_for_rider(self, rate_n_mm: Number) -> Array:
        """Preload with which a spring of this rate holds the rider at the target."""
        return self.unit.preload_for(self.rider.x_mm, self.rider.force_n, rate_n_mm)

    def share(self, aim: Aim, rate_n_mm: Number, preload_mm: Number) -> Array:
        """Predicted sag as a share of the remaining travel, the load held at its target."""
        x, cut = aim.x_mm, self.unit.cut_mm
        for _ in range(8):
            rest, stiffness = self.unit.rest(x)
            residual = rate_n_mm * (x - cut + preload_mm) + rest - aim.force_n
            new = np.clip(x - residual / (rate_n_mm + stiffness), self.low_mm, self.high_mm)
            moved, x = np.abs(new - x).max(initial=0.0), new
            if moved < _SHARE_TOLERANCE_MM:
                break
        return self.travel_mm(x) / self.full_mm


def targets(
    machine: Machine, on_wheels: Body, rider_up: Body, windows: SagWindows
) -> tuple[EndTarget, EndTarget]:
    """Front and rear targets at the middle of each window.

    The pose is the one that the targets themselves define, so nothing is iterated but the
    tyres. Of `machine` the springs do not count; lanes allowed.
    """
    low_x, high_x, low_y, high_y = machine.limits
    front_aims: list[Aim] = []
    rear_aims: list[Aim] = []
    for front_window, rear_window, sprung in (
        (windows.free_front, windows.free_rear, on_wheels),
        (windows.rider_front, windows.rider_rear, rider_up),
    ):
        fork_mm = low_x + front_window.middle * (high_x - low_x)
        rise_mm = low_y + rear_window.middle * (high_y - low_y)
        front, rear = _aims(machine, fork_mm, rise_mm, sprung)
        front_aims.append(front)
        rear_aims.append(rear)
    low_s, high_s = machine.leverage.evaluate(low_y)[0], machine.leverage.evaluate(high_y)[0]
    front_free, front_rider = front_aims
    rear_free, rear_rider = rear_aims
    return (
        EndTarget(
            unit=machine.fork,
            free=front_free,
            rider=front_rider,
            low_mm=low_x,
            high_mm=high_x,
            full_mm=high_x - low_x,
            travel_mm=lambda x: x - low_x,
        ),
        EndTarget(
            unit=machine.shock,
            free=rear_free,
            rider=rear_rider,
            low_mm=low_s,
            high_mm=high_s,
            full_mm=high_y - low_y,
            travel_mm=lambda s: machine.leverage.rise_at(s) - low_y,
        ),
    )


def _aims(machine: Machine, fork_mm: Array, rise_mm: Array, sprung: Body) -> tuple[Aim, Aim]:
    front_r, rear_r = machine.front_radius_mm, machine.rear_radius_mm
    for _ in range(3):
        at = pose(machine, fork_mm, rise_mm, front_r, rear_r)
        front, rear = wheel_loads(at, sprung, machine)
        front_r = machine.front_radius_mm - front / np.asarray(machine.front_tyre_n_mm)
        rear_r = machine.rear_radius_mm - rear / np.asarray(machine.rear_tyre_n_mm)
    fork_n = (front - weight_n(machine.front_unsprung_kg)) * at.rake[1]
    shock_mm, ratio, _ = machine.leverage.evaluate(rise_mm)
    shock_n = (rear - weight_n(machine.rear_unsprung_kg)) * at.arm_share / ratio
    return Aim(fork_mm, fork_n), Aim(shock_mm, shock_n)


class Sold(Protocol):
    """What can be had at one end, of one machine or of many in lanes."""

    @property
    def legs(self) -> Number:
        """Legs that hold a spring."""

    @property
    def stock_rate_n_mm(self) -> Number:
        """Rate of one spring as it left the factory."""

    def offered(self, ideal_n_mm: Array) -> Array:
        """Rates worth a look, along the last axis."""

    def preload(self, end: EndTarget, rate_n_mm: Number) -> Array:
        """Preload for each rate."""


@dataclass(frozen=True)
class Market:
    """What can be had at one end; rates in N/mm of one spring, preloads in mm."""

    rates_n_mm: Array
    stock_rate_n_mm: float
    legs: int
    preload_low_mm: float
    preload_high_mm: float
    rate_by_hand: float | None = None
    preload_by_hand: float | None = None

    def offered(self, ideal_n_mm: Array) -> Array:
        """Rates worth a look: by hand only that one, else the stock and those on sale.

        Left out are rates far below the least and far above the most ideal rate of all lanes.
        """
        if self.rate_by_hand is not None:
            return np.array([self.rate_by_hand])
        rates = np.union1d(self.rates_n_mm, [self.stock_rate_n_mm])
        near = rates[
            (rates > FAR_BELOW * ideal_n_mm.min()) & (rates < FAR_ABOVE * ideal_n_mm.max())
        ]
        return near if len(near) else rates

    def preload(self, end: EndTarget, rate_n_mm: Number) -> Array:
        """Preload for each rate: by hand, or the one that holds the rider, as far as it goes."""
        total = np.asarray(rate_n_mm, dtype=float) * self.legs
        wanted = end.preload_for_rider(total)
        if self.preload_by_hand is not None:
            return np.full(wanted.shape, self.preload_by_hand)
        return settable(wanted, self.preload_low_mm, self.preload_high_mm)


FAR_BELOW, FAR_ABOVE = 0.6, 1.7
"""Rates outside these shares of the ideal one are not looked at."""

_PRELOAD_STEP_MM = 0.5


def settable(wanted_mm: Array, low_mm: Number, high_mm: Number) -> Array:
    """The preload nearest to the wanted one that can be set."""
    stepped = np.round(wanted_mm / _PRELOAD_STEP_MM) * _PRELOAD_STEP_MM
    preload: Array = np.clip(stepped, low_mm, high_mm)
    return preload


_RIDER_WEIGHT, _FREE_WEIGHT = 3.0, 1.0
_INSIDE_WEIGHT = 0.1

_SURE_SHARE = 0.003
"""How far inside its window a predicted sag has to lie to be inside on the exact model too."""


def choose(end: EndTarget, market: Sold, free: Window, rider: Window) -> tuple[Array, Array]:
    """Rate of one spring and preload for each lane; `end` has a trailing axis of length 1.

    Each rate gets the preload that holds the rider at the middle of the window, within what
    the unit accepts; what both windows still miss is weighed, rider sag counting three times
    free sag (common practice, no source: rider sag is set first). A stock spring that puts both
    sags inside their windows is kept: nobody buys another.
    """
    ideal = np.maximum(end.ideal()[0], 0.0) / market.legs
    rates = market.offered(ideal)
    total = rates * market.legs
    preload = market.preload(end, rates)
    sags = ((rider, end.rider, _RIDER_WEIGHT), (free, end.free, _FREE_WEIGHT))
    shares = [end.share(aim, total, preload) for _, aim, _ in sags]
    cost, serves = np.zeros(np.shape(preload)), rates == market.stock_rate_n_mm
    for share, (window, _, weight) in zip(shares, sags, strict=True):
        over = np.maximum(window.low - share, share - window.high)
        off = np.abs(share - window.middle)
        cost = cost + weight * (np.maximum(over, 0.0) + _INSIDE_WEIGHT * off)
        serves = serves & (over <= -_SURE_SHARE)
    cost = np.where(serves, -1.0, cost)
    best = np.argmin(cost, axis=-1)[..., None]

    def taken(values: Array) -> Array:
        found: Array = np.take_along_axis(np.broadcast_to(values, cost.shape), best, -1)[..., 0]
        return found

    return taken(rates), taken(preload)
