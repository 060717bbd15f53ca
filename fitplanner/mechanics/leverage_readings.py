"""Leverage from readings of wheel travel against shock travel.

Owns the smoothing: a linkage's motion ratio changes slowly, so its logarithm is a polynomial of
limited degree whose higher orders have to be asked for by the readings. So the ratio is above
zero and the relation monotone whatever was read. Refuses rows of text, and to leave a row out.
"""

from dataclasses import dataclass

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import ArrayLike, NDArray

from fitplanner.mechanics.straying import straying

Floats = NDArray[np.float64]

LEAST_READINGS = 3
# Spread of the Legendre orders of log(ds/dy) over the travel, before anything is read. Order 0
# is left free. Off-road linkages have orders 1 to 4 of about 0.1 (0.27 the steepest), 0.015
# (0.04), 0.003 (0.012) and 0.0005 (0.001): assumption, twice the steepest drawn for the tests.
_ORDERS = np.array([10.0, 0.5, 0.08, 0.025, 0.006, 0.002])
_HANGING_MM = 100.0
_NODES, _NODE_WEIGHTS = legendre.leggauss(24)
_STEPS = 60


@dataclass(frozen=True, eq=False)
class ReadLeverage:
    """The relation that goes with the readings.

    Attributes:
        travel_mm: wheel travel up to which it holds.
        hanging_strays: the hanging position, from which all was counted, is what may be wrong.
        off_mm: shock travel read less that of the fit, shape (readings,).
        misfits: rows of the readings that may be wrong, the likeliest first; else empty.
    """

    travel_mm: float
    hanging_strays: bool
    off_mm: Floats
    misfits: tuple[int, ...]
    _orders: Floats
    _covariance: Floats

    def shock_mm(self, wheel_mm: ArrayLike) -> Floats:
        """Shock travel [mm] at wheel travel [mm], 0 hanging; shape of `wheel_mm`."""
        return _travel(np.asarray(wheel_mm, float), self.travel_mm, self._orders)[0]

    def leverage(self, wheel_mm: ArrayLike) -> Floats:
        """Wheel travel per shock travel, above zero; shape of `wheel_mm` [mm]."""
        basis = _basis(np.asarray(wheel_mm, float), self.travel_mm)
        return np.asarray(np.exp(-(basis @ self._orders)))

    def spread(self, wheel_mm: ArrayLike) -> Floats:
        """One standard deviation of the leverage as a share of itself, shape of `wheel_mm`."""
        basis = _basis(np.asarray(wheel_mm, float), self.travel_mm)
        return np.asarray(np.sqrt(np.sum((basis @ self._covariance) * basis, axis=-1)))


def read_leverage(
    wheel_mm: ArrayLike, shock_mm: ArrayLike, *, spread_mm: float, travel_mm: float
) -> ReadLeverage:
    """Smooth, monotone relation through readings that are each off by about `spread_mm`.

    Args:
        wheel_mm, shock_mm: travel from hanging, shape (n,), n >= 3, in any order; the hanging
            position counts as a reading of 0 and 0 and is added where it is missing.
        spread_mm: one standard deviation of either reading, above zero.
        travel_mm: wheel travel up to which the curve is wanted, not before the last reading.

    Least squares in the spreads of both readings (the wheel's carried over by the motion ratio),
    by damped Gauss-Newton steps. Where readings scatter more than their spread says, the spread
    of the result is widened by as much.

    Raises ValueError where shock travel does not rise with wheel travel on the whole.
    """
    y, s = np.asarray(wheel_mm, float), np.asarray(shock_mm, float)
    count = len(y)
    if not np.any(y == 0.0):
        y, s = np.append(y, 0.0), np.append(s, 0.0)
    if len(y) < LEAST_READINGS:
        raise ValueError(f"give at least {LEAST_READINGS} readings")
    tilt = np.polyfit(y, s, 1)[0] if len(np.unique(y)) > 1 else 0.0
    if tilt <= 0.0:
        raise ValueError("shock travel does not rise with wheel travel")
    prior = np.append(_ORDERS, _HANGING_MM)
    start = np.zeros(len(prior))
    start[0] = np.log(tilt)
    found, sigma = _fit(y, s, spread_mm, travel_mm, start, prior)
    off, slope = _residuals(found, y, s, travel_mm)
    weighted = slope / sigma[:, None]
    covariance = np.asarray(np.linalg.inv(weighted.T @ weighted + np.diag(prior**-2.0)), float)
    pull = np.sum((weighted @ covariance) * weighted, axis=1)
    free = len(y) - float(np.sum(pull))
    scatter = float(np.sum((off / sigma) ** 2)) / free if free > 0.5 else 1.0
    rows = straying(off, sigma, pull)
    return ReadLeverage(
        travel_mm=travel_mm,
        hanging_strays=bool(rows) and rows[0] >= count,
        off_mm=off[:count],
        misfits=tuple(row for row in rows if row < count),
        _orders=found[:-1],
        _covariance=np.asarray(max(scatter, 1.0) * covariance[:-1, :-1], np.float64),
    )


def _fit(
    y: Floats, s: Floats, spread: float, travel: float, start: Floats, prior: Floats
) -> tuple[Floats, Floats]:
    """The best unknowns, and each row's spread in shock travel there."""
    at, shift = start, start * (np.arange(len(start)) == 0)
    sigma = np.full(len(y), spread)
    for _ in range(_STEPS):
        ratio = np.exp(_basis(y, travel) @ at[:-1])
        sigma = spread * np.sqrt(1.0 + ratio**2)
        off, slope = _residuals(at, y, s, travel)
        rows, away = slope / sigma[:, None], (at - shift) / prior
        step = np.linalg.solve(
            rows.T @ rows + np.diag(prior**-2.0), rows.T @ (off / sigma) - away / prior
        )
        cost = np.sum((off / sigma) ** 2) + np.sum(away**2)
        length = 1.0
        while length > 1e-6:
            tried = at + length * step
            new = (_residuals(tried, y, s, travel)[0] / sigma, (tried - shift) / prior)
            if np.sum(new[0] ** 2) + np.sum(new[1] ** 2) <= cost * (1.0 + 1e-12):
                break
            length /= 2.0
        at = at + length * step
        if np.max(np.abs(length * step)) < 1e-13:
            break
    return at, sigma


def _residuals(at: Floats, y: Floats, s: Floats, travel: float) -> tuple[Floats, Floats]:
    """Readings less the relation, and the relation's slope after each unknown."""
    shock, slope = _travel(y, travel, at[:-1])
    return s - at[-1] - shock, np.column_stack([slope, np.ones_like(y)])


def _travel(y: Floats, travel: float, orders: Floats) -> tuple[Floats, Floats]:
    """Integral of the ratio from 0 to `y`, and its slope after each order."""
    inside = y[..., None] * (1.0 + _NODES) / 2.0
    basis = _basis(inside, travel)
    with np.errstate(over="ignore", invalid="ignore"):
        part = y[..., None] / 2.0 * _NODE_WEIGHTS * np.exp(basis @ orders)
    return np.sum(part, axis=-1), np.einsum("...n,...nk->...k", part, basis)


def _basis(y: Floats, travel: float) -> Floats:
    return np.asarray(legendre.legvander(2.0 * y / travel - 1.0, len(_ORDERS) - 1))
