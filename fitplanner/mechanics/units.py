"""Force laws of the two suspension units.

Owns the axial force of a fork and of a shock over their compression and its stiffness. Refuses
geometry. Compression counts from the unit's stock full extension; a limiter of length `cut_mm`
moves full extension to `cut_mm`, and preload is counted there.
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass

import numpy as np

from fitplanner.mechanics.arrays import Array, Number

ATMOSPHERE_KPA = 101.325
_LEAST_AIR_ML = 1.0


@dataclass(frozen=True)
class Unit(ABC):
    """A spring between two stops, with whatever else acts beside it.

    Attributes (each a float or an array of lanes):
        rate_n_mm: spring rate; of a fork, the sum over the legs that hold a spring.
        preload_mm: at the new full extension.
        stroke_mm: stock full extension to bottomed, along the unit.
        cut_mm: length of the extension limiter.
        friction_n: signed force along the unit; stiction is solved as a band.
    """

    rate_n_mm: Number
    preload_mm: Number
    stroke_mm: Number
    cut_mm: Number = 0.0
    friction_n: Number = 0.0

    @abstractmethod
    def rest(self, x_mm: Array) -> tuple[Array, Array]:
        """Force [N] and stiffness [N/mm] of all but the spring and the friction."""

    def force(self, x_mm: Number) -> tuple[Array, Array]:
        """Force [N] and stiffness [N/mm] at compression `x_mm`; shapes broadcast.

        Valid between full extension and bottomed.
        """
        x = np.asarray(x_mm, dtype=float)
        rest, stiffness = self.rest(x)
        spring = self.rate_n_mm * (x - self.cut_mm + self.preload_mm)
        return spring + rest + self.friction_n, stiffness + self.rate_n_mm

    @abstractmethod
    def rest_energy(self, x_mm: Array) -> Array:
        """Work [N mm] that all but the spring takes up from full extension to `x_mm`."""

    def energy(self, x_mm: Number) -> Array:
        """Work [N mm] that the unit takes up from its new full extension to `x_mm`, no friction."""
        x = np.asarray(x_mm, dtype=float)
        squeezed = x - self.cut_mm
        spring = 0.5 * self.rate_n_mm * ((squeezed + self.preload_mm) ** 2 - self.preload_mm**2)
        return np.asarray(spring + self.rest_energy(x))

    def preload_for(self, x_mm: Number, force_n: Number, rate_n_mm: Number) -> Array:
        """Preload [mm] with which a spring of `rate_n_mm` carries `force_n` at `x_mm`."""
        x = np.asarray(x_mm, dtype=float)
        spring = np.asarray(force_n, dtype=float) - self.rest(x)[0] - self.friction_n
        preload: Array = spring / rate_n_mm - (x - self.cut_mm)
        return preload

    def rate_for(self, x1_mm: Number, force1_n: Number, x2_mm: Number, force2_n: Number) -> Array:
        """Spring rate [N/mm] that carries two forces at two compressions, preload free."""
        x1, x2 = np.asarray(x1_mm, dtype=float), np.asarray(x2_mm, dtype=float)
        rest = self.rest(x2)[0] - self.rest(x1)[0]
        rate: Array = (np.asarray(force2_n, dtype=float) - force1_n - rest) / (x2 - x1)
        return rate


@dataclass(frozen=True)
class Fork(Unit):
    """A telescopic fork: spring, air column, top-out spring.

    Attributes:
        air_area_mm2: displaced area, both legs together; 0 leaves the air out.
        air_bottomed_ml: air left when bottomed, spring in, both legs together.
        air_exponent: n of p V^n = const; 1 for standing still.
        top_out_length_mm, top_out_rate_n_mm: spring that draws in near full extension.
    """

    air_area_mm2: Number = 0.0
    air_bottomed_ml: Number = 1.0
    air_exponent: Number = 1.0
    top_out_length_mm: Number = 0.0
    top_out_rate_n_mm: Number = 0.0

    def rest(self, x_mm: Array) -> tuple[Array, Array]:
        """Air bled at full extension, and the top-out spring over its length of action."""
        force, stiffness = np.zeros_like(x_mm), np.zeros_like(x_mm)
        if np.any(self.air_area_mm2):
            force, stiffness = self._air(x_mm)
        if np.any(self.top_out_rate_n_mm):
            left = np.maximum(self.top_out_length_mm - (x_mm - self.cut_mm), 0.0)
            force = force - self.top_out_rate_n_mm * left
            stiffness = stiffness + np.where(left > 0, self.top_out_rate_n_mm, 0.0)
        return force, stiffness

    def rest_energy(self, x_mm: Array) -> Array:
        """Work into the air, less what the top-out spring gives back."""
        work = np.zeros_like(x_mm)
        if np.any(self.air_area_mm2):
            work = self._air_energy(x_mm)
        if np.any(self.top_out_rate_n_mm):
            length = np.asarray(self.top_out_length_mm, dtype=float)
            left = np.maximum(length - (x_mm - self.cut_mm), 0.0)
            work = work - 0.5 * self.top_out_rate_n_mm * (length**2 - left**2)
        return np.asarray(work)

    def _air_energy(self, x_mm: Array) -> Array:
        area = np.asarray(self.air_area_mm2, dtype=float) * 1e-3
        full = np.asarray(self.air_bottomed_ml) + area * (np.asarray(self.stroke_mm) - self.cut_mm)
        extended = np.maximum(full, _LEAST_AIR_ML)
        left = extended - area * (x_mm - self.cut_mm)
        volume = np.maximum(left, _LEAST_AIR_ML)
        power = np.asarray(self.air_exponent, dtype=float) - 1.0
        near = np.where(np.abs(power) < 1e-9, 1.0, power)
        ratio = extended / volume
        gas = np.where(np.abs(power) < 1e-9, np.log(ratio), (ratio**near - 1.0) / near)
        work = ATMOSPHERE_KPA * (extended * gas - (extended - volume))
        stiffness = self.air_exponent * ATMOSPHERE_KPA * ratio ** (power + 1.0) * area**2 / volume
        beyond = np.where(area > 0, (volume - left) / np.where(area > 0, area, 1.0), 0.0)
        force = ATMOSPHERE_KPA * (ratio ** (power + 1.0) - 1.0) * area
        return np.asarray(work + beyond * (force + 0.5 * stiffness * beyond))

    def _air(self, x_mm: Array) -> tuple[Array, Array]:
        """Air column; below a last millilitre it goes on as stiff as it was there.

        An overfilled leg thus locks, as oil does, instead of giving an endless force.
        """
        area = np.asarray(self.air_area_mm2, dtype=float) * 1e-3  # mL per mm, kPa to N
        full = np.asarray(self.air_bottomed_ml) + area * (np.asarray(self.stroke_mm) - self.cut_mm)
        extended = np.maximum(full, _LEAST_AIR_ML)
        left = extended - area * (x_mm - self.cut_mm)
        volume = np.maximum(left, _LEAST_AIR_ML)
        pressure = ATMOSPHERE_KPA * (extended / volume) ** np.asarray(self.air_exponent)
        stiffness = self.air_exponent * pressure * area**2 / volume
        beyond = np.where(area > 0, (volume - left) / np.where(area > 0, area, 1.0), 0.0)
        return (pressure - ATMOSPHERE_KPA) * area + stiffness * beyond, stiffness


@dataclass(frozen=True)
class Shock(Unit):
    """A coil-over shock: spring, gas force on the rod, bump rubber.

    Attributes:
        gas_force_n: gas pressure times rod area; pushes the rod out.
        bump_length_mm, bump_rate_n_mm: rubber that acts over the last part of the stroke.
    """

    gas_force_n: Number = 0.0
    bump_length_mm: Number = 0.0
    bump_rate_n_mm: Number = 0.0

    def rest(self, x_mm: Array) -> tuple[Array, Array]:
        """Gas force, and the rubber near the end of the stroke."""
        into = np.maximum(x_mm - (np.asarray(self.stroke_mm) - self.bump_length_mm), 0.0)
        force = self.gas_force_n + self.bump_rate_n_mm * into
        return force, np.where(into > 0, self.bump_rate_n_mm, 0.0)

    def rest_energy(self, x_mm: Array) -> Array:
        """Work against the gas force and into the rubber."""
        into = np.maximum(x_mm - (np.asarray(self.stroke_mm) - self.bump_length_mm), 0.0)
        gas = self.gas_force_n * (x_mm - self.cut_mm)
        return np.asarray(gas + 0.5 * self.bump_rate_n_mm * into**2)
