"""Coil springs: rate, lengths, two-rate pairs, shear moduli.

Owns what follows from a spring's own dimensions. Refuses preload, leverage and anything that
needs the unit around the spring. All functions take floats or arrays that broadcast.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

MM_PER_INCH = 25.4


class EndType(StrEnum):
    """How the ends of a helical compression spring are finished."""

    PLAIN = "plain"
    PLAIN_GROUND = "plain_ground"
    SQUARED = "squared"
    SQUARED_GROUND = "squared_ground"


# Coils that carry no load, and wire diameters added to the stack of coils when solid.
# Budynas and Nisbett, Shigley's Mechanical Engineering Design, Table 10-1.
_END_COILS = {
    EndType.PLAIN: 0.0,
    EndType.PLAIN_GROUND: 1.0,
    EndType.SQUARED: 2.0,
    EndType.SQUARED_GROUND: 2.0,
}
_EXTRA_WIRE = {
    EndType.PLAIN: 1.0,
    EndType.PLAIN_GROUND: 0.0,
    EndType.SQUARED: 1.0,
    EndType.SQUARED_GROUND: 0.0,
}


class WireMaterial(StrEnum):
    """Spring wire by its common name."""

    MUSIC = "music_wire"
    HARD_DRAWN = "hard_drawn"
    OIL_TEMPERED = "oil_tempered"
    CHROME_VANADIUM = "chrome_vanadium"
    CHROME_SILICON = "chrome_silicon"


# Modulus in MPa for wire up to 0.032, 0.063 and 0.125 in, and above. Shigley, Table 10-5.
_BAND_EDGES_MM = np.array([0.0325, 0.0635, 0.1255]) * MM_PER_INCH
_SHEAR_MODULUS_MPA = {
    WireMaterial.MUSIC: (82_700.0, 81_700.0, 81_000.0, 80_000.0),
    WireMaterial.HARD_DRAWN: (80_700.0, 80_000.0, 79_300.0, 78_600.0),
    WireMaterial.OIL_TEMPERED: (77_200.0,) * 4,
    WireMaterial.CHROME_VANADIUM: (77_200.0,) * 4,
    WireMaterial.CHROME_SILICON: (77_200.0,) * 4,
}


def shear_modulus_mpa(material: WireMaterial, *, wire_mm: ArrayLike) -> Floats:
    """Shear modulus of spring wire [MPa], shape of `wire_mm` [mm].

    Stepwise in the wire's diameter, at room temperature. A diameter between two of the table's
    bands takes the nearer one.

    Source: Shigley, Table 10-5.
    """
    wire = _positive("wire diameter", wire_mm)
    band = np.searchsorted(_BAND_EDGES_MM, wire)
    return np.asarray(_SHEAR_MODULUS_MPA[WireMaterial(material)])[band]


def helical_rate_n_per_mm(
    *,
    wire_mm: ArrayLike,
    mean_diameter_mm: ArrayLike,
    active_coils: ArrayLike,
    shear_modulus_mpa: ArrayLike,
) -> Floats:
    """Rate of a helical spring [N/mm], G d^4 / (8 D^3 n).

    `wire_mm` d and `mean_diameter_mm` D (centre to centre of the wire) in mm, `active_coils` n
    in turns, `shear_modulus_mpa` G in MPa. Valid for round wire at a constant pitch; good to
    about 1 % for D/d between 4 and 12.

    Raises ValueError where a figure is not above zero, or D is not above d.
    Source: Shigley, eq. 10-9.
    """
    wire = _positive("wire diameter", wire_mm)
    mean = _positive("mean coil diameter", mean_diameter_mm)
    coils = _positive("number of active coils", active_coils)
    modulus = _positive("shear modulus", shear_modulus_mpa)
    if not np.all(mean > wire):
        raise ValueError("The mean coil diameter must be larger than the wire.")
    return modulus * wire**4 / (8.0 * mean**3 * coils)


def end_coils(ends: EndType) -> float:
    """Turns at both ends that carry no load. Source: Shigley, Table 10-1."""
    return _END_COILS[EndType(ends)]


def total_coils(*, active_coils: ArrayLike, ends: EndType) -> Floats:
    """All turns of the coil, active and end turns. Source: Shigley, Table 10-1."""
    return _positive("number of active coils", active_coils) + end_coils(ends)


def solid_length_mm(*, wire_mm: ArrayLike, active_coils: ArrayLike, ends: EndType) -> Floats:
    """Length with all coils touching [mm].

    Wire diameter times total turns, one wire more where the ends are not ground.
    Source: Shigley, Table 10-1.
    """
    wire = _positive("wire diameter", wire_mm)
    return wire * (total_coils(active_coils=active_coils, ends=ends) + _EXTRA_WIRE[EndType(ends)])


def coil_volume_ml(
    *, wire_mm: ArrayLike, mean_diameter_mm: ArrayLike, total_coils: ArrayLike
) -> Floats:
    """Steel volume of the coil [mL], section times uncoiled length (pitch neglected, below 1 %).

    It displaces oil and air in a fork leg. Ground ends are counted as whole wire.
    """
    wire = _positive("wire diameter", wire_mm)
    mean = _positive("mean coil diameter", mean_diameter_mm)
    turns = _positive("number of coils", total_coils)
    return np.pi**2 / 4.0 * wire**2 * mean * turns / 1000.0


def coil_bind_margin_mm(
    *, free_length_mm: ArrayLike, solid_length_mm: ArrayLike, deflection_mm: ArrayLike
) -> Floats:
    """Room left before the coils touch [mm]; negative means that the spring binds first.

    `deflection_mm` is all that the spring is squeezed from its free length: preload plus travel.
    """
    return (
        np.asarray(free_length_mm, dtype=np.float64)
        - np.asarray(deflection_mm, dtype=np.float64)
        - np.asarray(solid_length_mm, dtype=np.float64)
    )


def shortened_rate_n_per_mm(
    *, rate_n_per_mm: ArrayLike, active_coils: ArrayLike, removed_coils: ArrayLike
) -> Floats:
    """Rate after active coils were cut away [N/mm]: rate times active coils stays constant.

    Raises ValueError where no coil would be left.
    """
    rate = _positive("rate", rate_n_per_mm)
    coils = _positive("number of active coils", active_coils)
    left = _positive("number of coils left", coils - np.asarray(removed_coils, dtype=np.float64))
    return rate * coils / left


def series_rate_n_per_mm(first_n_per_mm: ArrayLike, second_n_per_mm: ArrayLike) -> Floats:
    """Rate of two springs stacked end to end [N/mm]: compliances add."""
    first = _positive("first rate", first_n_per_mm)
    second = _positive("second rate", second_n_per_mm)
    return first * second / (first + second)


@dataclass(frozen=True, eq=False)
class TwoRate:
    """A spring that stiffens once: one rate up to the crossover, another beyond it.

    Fields broadcast: rates in N/mm, `crossover_mm` counted from the free length.
    """

    first_n_per_mm: Floats
    second_n_per_mm: Floats
    crossover_mm: Floats

    def force_n(self, compression_mm: ArrayLike) -> Floats:
        """Force [N] at a compression from the free length [mm]; a spring never pulls."""
        squeezed = np.maximum(np.asarray(compression_mm, dtype=np.float64), 0.0)
        beyond = np.maximum(squeezed - self.crossover_mm, 0.0)
        return np.asarray(
            self.first_n_per_mm * squeezed + (self.second_n_per_mm - self.first_n_per_mm) * beyond
        )

    def rate_n_per_mm(self, compression_mm: ArrayLike) -> Floats:
        """Slope of the force [N/mm]; zero when loose, the later rate at the crossover."""
        squeezed = np.asarray(compression_mm, dtype=np.float64)
        rate = np.where(squeezed < self.crossover_mm, self.first_n_per_mm, self.second_n_per_mm)
        return np.where(squeezed < 0.0, 0.0, rate)


def concentric_pair(
    *, long_n_per_mm: ArrayLike, short_n_per_mm: ArrayLike, gap_mm: ArrayLike
) -> TwoRate:
    """A short spring inside a long one: it joins after `gap_mm`, then both rates add."""
    long = _positive("rate of the long spring", long_n_per_mm)
    short = _positive("rate of the short spring", short_n_per_mm)
    gap = np.asarray(gap_mm, dtype=np.float64)
    if not np.all(gap >= 0.0):
        raise ValueError("The short spring cannot be longer than the long one.")
    return TwoRate(first_n_per_mm=long, second_n_per_mm=long + short, crossover_mm=gap)


def stacked_pair(
    *,
    first_n_per_mm: ArrayLike,
    second_n_per_mm: ArrayLike,
    first_room_mm: ArrayLike,
    second_room_mm: ArrayLike,
) -> TwoRate:
    """Two springs end to end: both give until one is solid, then only the other does.

    Room is the deflection that a spring (or its stop) allows. Valid until the other one binds.
    """
    first = _positive("first rate", first_n_per_mm)
    second = _positive("second rate", second_n_per_mm)
    first_load = first * _positive("room of the first spring", first_room_mm)
    second_load = second * _positive("room of the second spring", second_room_mm)
    series = series_rate_n_per_mm(first, second)
    return TwoRate(
        first_n_per_mm=series,
        second_n_per_mm=np.where(first_load <= second_load, second, first),
        crossover_mm=np.minimum(first_load, second_load) / series,
    )


def _positive(what: str, value: ArrayLike) -> Floats:
    figure = np.asarray(value, dtype=np.float64)
    if not np.all(figure > 0.0):
        raise ValueError(f"The {what} must be above zero.")
    return figure
