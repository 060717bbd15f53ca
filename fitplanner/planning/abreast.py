"""Machines of different profiles side by side, as the lanes of one machine.

Owns the stacking: lanes stand on the first axis, and a last axis of length 1 is left for springs
to be tried. Refuses to know what the lanes are for.
"""

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.leverage import LeverageCurve
from fitplanner.planning.targets import FAR_ABOVE, FAR_BELOW, EndTarget, Market, settable

_APART_MM = 1e5
"""More than any axle rises; curves stand this far apart where a lane looks up its piece."""


def abreast(items: Sequence[Any], counts: Sequence[int]) -> Any:
    """Machines, bodies or other dataclasses of figures as one, shape (sum of counts, 1).

    Args:
        items: of one type; each field a float or an array of that item's lanes.
        counts: lanes of each item.
    """
    first = items[0]
    if isinstance(first, LeverageCurve):
        return Curves.of(items, counts)
    if dataclasses.is_dataclass(first):
        names = [field.name for field in dataclasses.fields(first)]
        parts = {name: abreast([getattr(each, name) for each in items], counts) for name in names}
        return type(first)(**parts)  # type: ignore[misc]
    return column(items, counts)


def column(values: Sequence[Number], counts: Sequence[int]) -> Array:
    """Figures of all items as lanes, shape (sum of counts, 1)."""
    if not any(isinstance(value, np.ndarray) and value.ndim for value in values):
        return np.repeat(np.array(values, dtype=float), counts)[:, None]
    rows = [np.broadcast_to(value, (n,)) for value, n in zip(values, counts, strict=True)]
    return np.concatenate(rows).astype(float)[:, None]


@dataclass(frozen=True)
class Curves(LeverageCurve):
    """Leverage curves of many machines; each lane reads its own.

    Attributes:
        knots_mm, cubic, shock_mm: the pieces of all curves, one after the other.
        places_mm: the pieces' left knots, each curve's moved apart from the last one's.
        apart_mm: how far each lane's curve was moved, shape (N, 1).
        first, last: each lane's pieces.
        low_mm, high_mm: each lane's range of axle rise.
    """

    places_mm: Array
    apart_mm: Array
    first: NDArray[np.intp]
    last: NDArray[np.intp]
    low_mm: Array
    high_mm: Array

    @classmethod
    def of(cls, curves: Sequence[LeverageCurve], counts: Sequence[int]) -> "Curves":
        """The curves of machines with so many lanes each; a curve has no lanes of its own.

        Raises:
            ValueError: a curve differs from lane to lane.
        """
        if any(curve.cubic.ndim != 2 for curve in curves):
            raise ValueError("leverage that differs between the lanes of one machine")
        pieces = [len(curve.knots_mm) - 1 for curve in curves]
        ends = np.cumsum(pieces)
        apart = np.arange(len(curves)) * _APART_MM
        lefts = [curve.knots_mm[:-1] for curve in curves]

        def lanes(values: ArrayLike) -> NDArray[Any]:
            return np.repeat(np.asarray(values), counts)[:, None]

        return cls(
            knots_mm=np.concatenate(lefts),
            cubic=np.concatenate([curve.cubic for curve in curves], axis=-1),
            shock_mm=np.concatenate([curve.shock_mm for curve in curves]),
            places_mm=np.concatenate(
                [left + move for left, move in zip(lefts, apart, strict=True)]
            ),
            apart_mm=lanes(apart),
            first=lanes(ends - pieces),
            last=lanes(ends - 1),
            low_mm=lanes([curve.knots_mm[0] for curve in curves]),
            high_mm=lanes([curve.knots_mm[-1] for curve in curves]),
        )

    def evaluate(self, y_mm: ArrayLike) -> tuple[Array, Array, Array]:
        """Shock travel [mm], motion ratio [-] and its slope [1/mm], lane by lane."""
        y = np.asarray(y_mm, dtype=float)
        found = np.searchsorted(self.places_mm, y + self.apart_mm, side="right") - 1
        index = np.clip(found, self.first, self.last)
        t = y - self.knots_mm[index]
        c0, c1, c2, c3 = self.cubic[:, index]
        ratio = c0 + t * (c1 + t * (c2 + t * c3))
        slope = c1 + t * (2 * c2 + t * 3 * c3)
        shock = self.shock_mm[index] + t * (c0 + t * (c1 / 2 + t * (c2 / 3 + t * c3 / 4)))
        return shock, ratio, slope

    def rise_at(self, shock_mm: ArrayLike) -> Array:
        """Axle rise [mm] at shock travel, lane by lane; Newton steps within each lane's range."""
        target = np.asarray(shock_mm, dtype=float)
        least, most = self.evaluate(self.low_mm)[0], self.evaluate(self.high_mm)[0]
        width = self.high_mm - self.low_mm
        y = self.low_mm + width * np.clip((target - least) / (most - least), 0.0, 1.0)
        for _ in range(40):
            shock, ratio, _ = self.evaluate(y)
            nearer = np.clip(y + (target - shock) / ratio, self.low_mm, self.high_mm)
            done = np.max(np.abs(nearer - y) / width, initial=0.0) < 1e-12
            y = nearer
            if done:
                break
        return np.asarray(y)


@dataclass(frozen=True)
class Markets:
    """What can be had at one end of each lane's machine; shapes (N, 1), rates (N, R)."""

    rates_n_mm: Array
    stock_rate_n_mm: Array
    legs: Array
    preload_low_mm: Array
    preload_high_mm: Array

    @classmethod
    def of(cls, markets: Sequence[Market], counts: Sequence[int]) -> "Markets":
        """The markets of machines with so many lanes each; nothing is fixed by hand."""
        sold = [np.union1d(each.rates_n_mm, [each.stock_rate_n_mm]) for each in markets]
        most = max(len(rates) for rates in sold)
        # A list is filled up with its last rate, which changes nothing.
        filled = np.array([np.pad(rates, (0, most - len(rates)), "edge") for rates in sold])

        def lanes(name: str) -> Array:
            return column([getattr(each, name) for each in markets], counts)

        return cls(
            rates_n_mm=np.repeat(filled, counts, axis=0),
            stock_rate_n_mm=lanes("stock_rate_n_mm"),
            legs=lanes("legs"),
            preload_low_mm=lanes("preload_low_mm"),
            preload_high_mm=lanes("preload_high_mm"),
        )

    def offered(self, ideal_n_mm: Array) -> Array:
        """Each lane's rates worth a look; those far off give way to the first that is not."""
        rates = self.rates_n_mm
        near = (rates > FAR_BELOW * ideal_n_mm) & (rates < FAR_ABOVE * ideal_n_mm)
        near |= ~np.any(near, axis=-1, keepdims=True)
        # Columns that no lane needs are left out.
        order = np.argsort(~near, axis=-1, kind="stable")[:, : int(near.sum(axis=-1).max())]
        kept = np.take_along_axis(rates, order, -1)
        return np.where(np.take_along_axis(near, order, -1), kept, kept[:, :1])

    def preload(self, end: EndTarget, rate_n_mm: Number) -> Array:
        """Preload for each rate: the one that holds the rider, as far as it goes."""
        wanted = end.preload_for_rider(np.asarray(rate_n_mm, dtype=float) * self.legs)
        return settable(wanted, self.preload_low_mm, self.preload_high_mm)
