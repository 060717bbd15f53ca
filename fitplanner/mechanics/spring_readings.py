"""Spring rate from a spring in the hand: its dimensions, or lengths under known forces.

Owns the rate with its spread from the spread of each reading, to first order. Refuses the unit
round the spring, and to leave a reading out.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TypedDict

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitplanner.mechanics.springs import (
    EndType,
    WireMaterial,
    end_coils,
    helical_rate_n_per_mm,
    shear_modulus_mpa,
    solid_length_mm,
)
from fitplanner.mechanics.straying import straying

Floats = NDArray[np.float64]

MODULUS_SPREAD = 0.015
"""Spread of a table's shear modulus as a share of itself: handbooks differ by up to 3 % for the
same wire (Shigley, Table 10-5: 77.2 GPa for chrome-silicon; EN 13906-1 has 79.5 GPa for oil
hardened and tempered wire, from memory)."""

SPRING_INDEX = (4.0, 12.0)
"""Mean diameter over wire within which the formula is good to about 1 %. Shigley, 10-4."""


class Across(StrEnum):
    """Where the coil's diameter was read."""

    OUTSIDE = "outside"
    INSIDE = "inside"
    MIDDLE = "middle"


_WIRES = {Across.OUTSIDE: -1.0, Across.INSIDE: 1.0, Across.MIDDLE: 0.0}
"""Wire diameters from the reading to the mean diameter."""


@dataclass(frozen=True)
class Read:
    """A reading and its spread, one standard deviation, in the same unit."""

    value: float
    spread: float


@dataclass(frozen=True)
class RateRead:
    """A rate with its spread.

    Attributes:
        rate_n_mm, spread_n_mm: rate and its standard deviation.
        shares: of the rate's variance, by what was read; they add up to one.
    """

    rate_n_mm: float
    spread_n_mm: float
    shares: Mapping[str, float]


@dataclass(frozen=True)
class Measured(RateRead):
    """From dimensions; `solid_mm` with all coils touching, `index` mean diameter over wire."""

    mean_diameter_mm: float
    active_coils: float
    solid_mm: float
    solid_spread_mm: float
    index: float


def rate_from_dimensions(
    *,
    wire_mm: Read,
    diameter_mm: Read,
    across: Across,
    coils: Read,
    counted_all: bool,
    ends: EndType,
    material: WireMaterial | None,
) -> Measured:
    """Rate of a round-wire helical spring from what a calliper shows.

    `coils` are all turns from tip to tip where `counted_all`, else the active ones; `material`
    None where the steel is not known. The spread is first order in wire, diameter, coils and
    modulus, each by itself.

    Raises ValueError where no coil is active, or the coil is not wider than its wire.
    Source: Shigley, eq. 10-9 and Tables 10-1 and 10-5, differentiated.
    """
    wires = _WIRES[Across(across)]
    mean = diameter_mm.value + wires * wire_mm.value
    active = coils.value - (end_coils(ends) if counted_all else 0.0)
    if active <= 0.0:
        raise ValueError("these ends leave no active coil")
    modulus = _modulus(material, wire_mm.value)
    rate = float(
        helical_rate_n_per_mm(
            wire_mm=wire_mm.value,
            mean_diameter_mm=mean,
            active_coils=active,
            shear_modulus_mpa=modulus.value,
        )
    )
    parts = {
        # The reading moves the mean diameter with the wire: outside, a thick wire counts double.
        "wire": (4.0 / wire_mm.value - 3.0 * wires / mean) * wire_mm.spread,
        "diameter": 3.0 / mean * diameter_mm.spread,
        "coils": coils.spread / active,
        "modulus": modulus.spread / modulus.value,
    }
    solid = float(solid_length_mm(wire_mm=wire_mm.value, active_coils=active, ends=ends))
    return Measured(
        **_summed(rate, parts),
        mean_diameter_mm=mean,
        active_coils=active,
        solid_mm=solid,
        solid_spread_mm=float(
            np.hypot(solid / wire_mm.value * wire_mm.spread, wire_mm.value * coils.spread)
        ),
        index=mean / wire_mm.value,
    )


def _modulus(material: WireMaterial | None, wire_mm: float) -> Read:
    """Shear modulus [MPa]; of a steel that is not known, the middle of the table's."""
    if material is not None:
        value = float(shear_modulus_mpa(material, wire_mm=wire_mm))
        return Read(value, MODULUS_SPREAD * value)
    every = [float(shear_modulus_mpa(each, wire_mm=wire_mm)) for each in WireMaterial]
    middle, half = (max(every) + min(every)) / 2.0, (max(every) - min(every)) / 2.0
    return Read(middle, float(np.hypot(MODULUS_SPREAD * middle, half)))


@dataclass(frozen=True)
class Pressed(RateRead):
    """From a press.

    Attributes:
        free_mm, free_spread_mm: length at which the line has no force.
        off_n: force read less that of the line, shape (readings,).
        bend: second-order part of the force over its whole range as a share of that range, and
            its spread; a spring that stiffens has it above zero. nan with fewer than 3 readings.
        misfits: rows of the readings that may be wrong, the likeliest first; else empty.
    """

    free_mm: float
    free_spread_mm: float
    off_n: Floats
    bend: float
    bend_spread: float
    misfits: tuple[int, ...]


def rate_from_press(
    length_mm: ArrayLike,
    force_n: ArrayLike,
    *,
    length_spread_mm: float,
    force_spread_n: float,
    scale_spread: float,
) -> Pressed:
    """Rate from lengths under known forces, a straight line by least squares.

    Args:
        length_mm, force_n: shape (n,), n >= 2, in any order; force 0 for the free length.
        length_spread_mm: one standard deviation of a length.
        force_spread_n: that of a single force: friction, and the steps of the scale.
        scale_spread: by how much the scale may read all forces too high or too low, as a share;
            more readings do not help against it.

    Where readings scatter more than both single spreads say (a length's carried over by the
    rate), the spread is widened by as much.

    Raises ValueError where all lengths are equal, or the force does not rise as the spring
    gets shorter.
    """
    x, f = np.asarray(length_mm, float), np.asarray(force_n, float)
    if len(x) < 2 or np.ptp(x) <= 0.0:
        raise ValueError("give two lengths that differ")
    rate = -float(np.polyfit(x, f, 1)[0])
    if rate <= 0.0:
        raise ValueError("the force does not rise as the spring gets shorter")
    # All readings weigh the same, so that the line does not hang on the weights.
    sigma = np.full(len(x), np.hypot(force_spread_n, rate * length_spread_mm))
    line, covariance, pull = _straight(x, f, sigma)
    rate = -float(line[1])
    off = f - line[0] - line[1] * x
    free_of = len(x) - 2
    scatter = float(np.sum((off / sigma) ** 2)) / free_of if free_of else 1.0
    covariance = covariance * max(scatter, 1.0)
    # The line is known best at its middle; from there to no force.
    middle, at_middle = float(np.mean(x)), float(np.mean(f))
    free = middle + at_middle / rate
    of_middle = sigma[0] ** 2 / len(x) * max(scatter, 1.0)
    free_spread = np.sqrt(of_middle + covariance[1, 1] * (at_middle / rate) ** 2) / rate
    by_length = (rate * length_spread_mm / sigma[0]) ** 2
    single = covariance[1, 1] / rate**2
    parts = {
        "length": np.sqrt(single * by_length),
        "force": np.sqrt(single * (1.0 - by_length)),
        "scale": scale_spread,
    }
    bend, bend_spread = _bend(x, f, sigma)
    return Pressed(
        **_summed(rate, parts),
        free_mm=float(free),
        free_spread_mm=float(free_spread),
        off_n=off,
        bend=bend,
        bend_spread=bend_spread,
        misfits=straying(off, sigma, pull),
    )


def _straight(x: Floats, f: Floats, sigma: Floats) -> tuple[Floats, Floats, Floats]:
    """Intercept and slope, their covariance, and how far each reading pulls its own value."""
    rows = np.column_stack([np.ones_like(x), x]) / sigma[:, None]
    covariance = np.asarray(np.linalg.inv(rows.T @ rows), np.float64)
    line = covariance @ rows.T @ (f / sigma)
    return line, covariance, np.sum((rows @ covariance) * rows, axis=1)


def _bend(x: Floats, f: Floats, sigma: Floats) -> tuple[float, float]:
    """What a parabola would add between the ends, as a share of the force between them."""
    span = np.ptp(f)
    if len(np.unique(x)) < 3 or span <= 0.0:
        return float("nan"), float("nan")
    along = 2.0 * (x - x.min()) / np.ptp(x) - 1.0
    rows = np.column_stack([np.ones_like(x), along, along**2]) / sigma[:, None]
    covariance = np.linalg.inv(rows.T @ rows)
    found = covariance @ rows.T @ (f / sigma)
    return float(found[2] / span), float(np.sqrt(covariance[2, 2]) / span)


class _Summed(TypedDict):
    rate_n_mm: float
    spread_n_mm: float
    shares: Mapping[str, float]


def _summed(rate: float, parts: Mapping[str, float]) -> _Summed:
    """Rate, spread and shares from each reading's part of the spread, as shares of the rate."""
    whole = sum(float(part) ** 2 for part in parts.values())
    shares = {name: float(part) ** 2 / whole if whole else 0.0 for name, part in parts.items()}
    return {"rate_n_mm": rate, "spread_n_mm": rate * float(np.sqrt(whole)), "shares": shares}
