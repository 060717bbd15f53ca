"""Rear leverage as a curve over the axle's rise.

Owns the curve between axle rise y (mm, chassis frame, from stock full extension) and shock
travel s (mm): motion ratio m = ds/dy (the inverse of the leverage), its slope and its integral,
all three from one piecewise cubic so that energy, force and stiffness agree to rounding.
Refuses to know where the points came from; a linkage's own points are solved in `fourbar`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class LeverageCurve:
    """Motion ratio m(y) as cubics between shared knots.

    Attributes:
        knots_mm: axle rise at the knots, shape (K,), rising.
        cubic: coefficients of m in powers of (y - knot), shape (4, ..., K-1); the middle axes
            are lanes and broadcast with y.
        shock_mm: shock travel at the left knots, shape (..., K-1).
    """

    knots_mm: Array
    cubic: Array
    shock_mm: Array

    def evaluate(self, y_mm: ArrayLike) -> tuple[Array, Array, Array]:
        """Shock travel [mm], motion ratio [-] and its slope [1/mm] at axle rise `y_mm`.

        Valid between the first and the last knot; beyond, the outer cubics go on.
        """
        y = np.asarray(y_mm, dtype=float)
        # Of the inner knots alone, so that the outer cubics take what lies beyond.
        index = np.searchsorted(self.knots_mm[1:-1], y, side="right")
        t = y - self.knots_mm[index]
        if self.cubic.ndim == 2:
            c0, c1, c2, c3 = self.cubic[:, index]
            s0 = self.shock_mm[index]
        else:
            pick = index[..., None]
            c0, c1, c2, c3 = (_take(c, pick) for c in self.cubic)
            s0 = _take(self.shock_mm, pick)
        ratio = c0 + t * (c1 + t * (c2 + t * c3))
        slope = c1 + t * (2 * c2 + t * 3 * c3)
        shock = s0 + t * (c0 + t * (c1 / 2 + t * (c2 / 3 + t * c3 / 4)))
        return shock, ratio, slope

    def rise_at(self, shock_mm: ArrayLike) -> Array:
        """Axle rise [mm] at shock travel `shock_mm`; the inverse of `evaluate`'s first result.

        Clipped to the knots' range. Newton steps on a monotone curve, to rounding.
        """
        low, high = self.knots_mm[0], self.knots_mm[-1]
        target = np.asarray(shock_mm, dtype=float)
        y = self._first_guess(target)
        for _ in range(40):
            shock, ratio, _ = self.evaluate(y)
            step = (target - shock) / ratio
            y_next = np.minimum(np.maximum(y + step, low), high)
            done = np.max(np.abs(y_next - y), initial=0.0) < 1e-12 * (high - low)
            y = y_next
            if done:
                break
        return y

    def _first_guess(self, shock_mm: Array) -> Array:
        """Straight lines between the knots, or from end to end where lanes differ."""
        low, high = self.knots_mm[0], self.knots_mm[-1]
        s_high = self.evaluate(high)[0]
        if self.shock_mm.ndim == 1:
            at = np.interp(shock_mm, np.append(self.shock_mm, s_high), self.knots_mm)
            return np.asarray(at)
        s_low = self.evaluate(low)[0]
        share = np.clip((shock_mm - s_low) / (s_high - s_low), 0.0, 1.0)
        return np.asarray(low + (high - low) * share)

    def extended(self, rise_mm: float) -> "LeverageCurve":
        """The curve with a straight piece of motion ratio added at its upper end.

        For a unit that bottoms later than stock: beyond what was measured, the last slope goes on.
        """
        last = float(self.knots_mm[-1])
        shock, ratio, slope = (np.asarray(v)[..., None] for v in self.evaluate(last))
        piece = np.stack([ratio, slope, np.zeros_like(ratio), np.zeros_like(ratio)])
        return LeverageCurve(
            np.append(self.knots_mm, last + rise_mm),
            np.concatenate([self.cubic, piece], axis=-1),
            np.concatenate([self.shock_mm, shock], axis=-1),
        )

    def mixed(self, weights: Array) -> "LeverageCurve":
        """Lanes as weighted sums of this curve's lanes; `weights` (..., lanes of this curve)."""
        pieces = self.shock_mm.shape[-1]
        side_by_side = np.concatenate([*self.cubic, self.shock_mm], axis=-1)
        mixed = (weights @ side_by_side).reshape(*weights.shape[:-1], 5, pieces)
        lanes = np.moveaxis(mixed, -2, 0)
        return LeverageCurve(self.knots_mm, lanes[:4], lanes[4])

    def scaled(self, factor: ArrayLike) -> "LeverageCurve":
        """The curve with every motion ratio times `factor` (lanes, shape (...,))."""
        f = np.asarray(factor, dtype=float)
        if f.ndim == 0:
            return LeverageCurve(self.knots_mm, self.cubic * f, self.shock_mm * f)
        if self.cubic.ndim == 2:
            lanes = self.cubic.reshape((4, *([1] * f.ndim), -1))
            shock = self.shock_mm.reshape((*([1] * f.ndim), -1))
        else:
            lanes, shock = self.cubic, self.shock_mm
        return LeverageCurve(self.knots_mm, lanes * f[..., None], shock * f[..., None])


def _take(values: Array, pick: NDArray[np.intp]) -> Array:
    shape = np.broadcast_shapes(values.shape[:-1], pick.shape[:-1])
    wide = np.broadcast_to(values, (*shape, values.shape[-1]))
    picked = np.take_along_axis(wide, np.broadcast_to(pick, (*shape, 1)), -1)
    return np.asarray(picked[..., 0], dtype=float)


def hermite_curve(
    knots_mm: ArrayLike, ratio: ArrayLike, slope: ArrayLike, start_mm: ArrayLike = 0.0
) -> LeverageCurve:
    """Curve through motion ratios with given slopes at the knots.

    Args:
        knots_mm: shape (K,), rising.
        ratio: ds/dy, shape (..., K).
        slope: d2s/dy2 [1/mm], shape (..., K).
        start_mm: shock travel at the first knot, shape (...,); below 0 where the shock would
            have to be longer than its full extension.
    """
    y = np.asarray(knots_mm, dtype=float)
    m = np.asarray(ratio, dtype=float)
    d = np.asarray(slope, dtype=float)
    h = np.diff(y)
    rise = np.diff(m, axis=-1) / h
    d0, d1 = d[..., :-1], d[..., 1:]
    c2 = (3 * rise - 2 * d0 - d1) / h
    c3 = (d0 + d1 - 2 * rise) / h**2
    cubic = np.stack([m[..., :-1], d0, c2, c3])
    pieces = h * (cubic[0] + h * (d0 / 2 + h * (c2 / 3 + h * c3 / 4)))
    start = np.asarray(start_mm, dtype=float)[..., None] + np.zeros_like(pieces[..., :1])
    shock = np.concatenate([start, start + np.cumsum(pieces, axis=-1)], axis=-1)
    return LeverageCurve(y, cubic, shock[..., :-1])


def table_curve(wheel_travel_mm: ArrayLike, leverage: ArrayLike) -> LeverageCurve:
    """Curve from a table of leverage over wheel travel, shape (K,) each, K >= 2.

    The motion ratio 1/leverage is carried through the points by a monotone cubic, so that a
    table without bumps gives a curve without bumps.

    Source: F. N. Fritsch, J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300, with the
    three-point end slopes in common use with it.
    """
    y = np.asarray(wheel_travel_mm, dtype=float)
    m = 1.0 / np.asarray(leverage, dtype=float)
    return hermite_curve(y, m, _monotone_slopes(y, m))


def _monotone_slopes(x: Array, f: Array) -> Array:
    h, rise = np.diff(x), np.diff(f) / np.diff(x)
    if len(x) == 2:
        return np.repeat(rise, 2)
    before, after = rise[:-1], rise[1:]
    w1, w2 = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
    same = before * after > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        inner = np.where(same, (w1 + w2) / (w1 / before + w2 / after), 0.0)
    first = _end_slope(h[0], h[1], rise[0], rise[1])
    last = _end_slope(h[-1], h[-2], rise[-1], rise[-2])
    return np.concatenate([[first], inner, [last]])


def _end_slope(h0: float, h1: float, rise0: float, rise1: float) -> float:
    slope = ((2 * h0 + h1) * rise0 - h0 * rise1) / (h0 + h1)
    if np.sign(slope) != np.sign(rise0):
        return 0.0
    if np.sign(rise0) != np.sign(rise1) and abs(slope) > 3 * abs(rise0):
        return float(3 * rise0)
    return float(slope)
