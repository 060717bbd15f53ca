"""What work and parts cost: the shop's own figures, in its own currency.

Owns the sums. Refuses to know a currency or to invent a price: what a profile or the shop does
not state counts as 0.
"""

from dataclasses import dataclass

import numpy as np

from fitplanner.mechanics.arrays import Array
from fitplanner.planning.context import Context
from fitplanner.planning.plan import WayId
from fitplanner.planning.setup import Setup
from fitplanner.planning.ways import WAYS


@dataclass(frozen=True)
class SpringPrice:
    """Parts and hours of changing the springs of one end, and hours of setting its preload."""

    parts: float = 0.0
    hours: float = 0.0
    preload_hours: float = 0.0


@dataclass(frozen=True)
class Prices:
    """The shop's figures."""

    hourly_rate: float = 0.0
    fork: SpringPrice = SpringPrice()
    shock: SpringPrice = SpringPrice()


@dataclass(frozen=True)
class Bill:
    """Cost, hours and the share of the hours that fitting the old parts takes back; lanes."""

    cost: Array
    hours: Array
    undo: Array


def bill(ctx: Context, setup: Setup, prices: Prices) -> Bill:
    """What a setup costs; lanes allowed."""
    parts = hours = undone = np.zeros(())
    for way in WayId:
        offer = ctx.offer(way)
        used = np.asarray(setup.amount_mm(way)) > 0
        if offer is None or not np.any(used):
            continue
        parts = parts + np.where(used, offer.parts, 0.0)
        hours = hours + np.where(used, offer.hours, 0.0)
        undone = undone + np.where(used, offer.hours * WAYS[way].undone, 0.0)
    fork, rear = ctx.profile.fork, ctx.profile.rear
    for price, rate, stock, preload, stock_preload in (
        (prices.fork, setup.fork_rate_n_mm, fork.spring_rate_n_mm.value, setup.fork_preload_mm,
         fork.preload_mm.value),
        (prices.shock, setup.shock_rate_n_mm, rear.spring_rate_n_mm.value,
         setup.shock_preload_mm, rear.preload_mm.value),
    ):  # fmt: skip
        changed = np.abs(np.asarray(rate) - stock) > 1e-9
        set_anew = ~changed & (np.abs(np.asarray(preload) - stock_preload) > 1e-9)
        parts = parts + np.where(changed, price.parts, 0.0)
        own = np.where(changed, price.hours, np.where(set_anew, price.preload_hours, 0.0))
        hours, undone = hours + own, undone + own
    cost = parts + hours * prices.hourly_rate
    share = np.where(hours > 0, undone / np.where(hours > 0, hours, 1.0), 1.0)
    return Bill(np.asarray(cost), np.asarray(hours), np.asarray(share))
