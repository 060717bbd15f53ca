"""Fork oil: the air column's force, level and volume, the fill for a shortened stroke.

Owns one leg's air and oil. Refuses damping, foam and the choice of oil; where a kit maker gives
an oil figure, that figure wins and this one is shown beside it. Oil level is the trade's: the
distance from the tube's rim down to the oil, bottomed, spring out, so a larger level is less oil.
All functions take floats or arrays that broadcast.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

ATMOSPHERE_KPA = 101.325
MM3_PER_ML = 1000.0
N_PER_KPA_MM2 = 1e-3


@dataclass(frozen=True, eq=False)
class AirColumn:
    """Air shut in above the oil of one leg.

    Fields broadcast. `bottomed_air_ml`: air left at full compression, spring in. `area_mm2`: what
    the stroke displaces. `travel_mm`: stock stroke. `cut_mm`: stroke taken off the extended end
    by a limiter. `extended_kpa`: absolute pressure at the *new* full extension (bled: 101.325).
    `exponent`: n of p V^n = const, 1 standing still, about 1.2 in a fast stroke (from memory).

    Compression is counted from stock full extension, so the working range is cut to travel.
    """

    bottomed_air_ml: ArrayLike
    area_mm2: ArrayLike
    travel_mm: ArrayLike
    cut_mm: ArrayLike = 0.0
    extended_kpa: ArrayLike = ATMOSPHERE_KPA
    exponent: ArrayLike = 1.0

    def __post_init__(self) -> None:
        """Raise ValueError for a column that cannot be filled."""
        for what in ("bottomed_air_ml", "area_mm2", "extended_kpa", "exponent"):
            if not np.all(np.asarray(getattr(self, what)) > 0.0):
                raise ValueError(f"The air column's {what} must be above zero.")
        if not np.all(np.asarray(self.travel_mm) > np.asarray(self.cut_mm)):
            raise ValueError("The cut takes away the whole stroke.")

    def volume_ml(self, compression_mm: ArrayLike) -> Floats:
        """Air volume [mL] at a compression [mm]."""
        left = np.asarray(self.travel_mm, dtype=np.float64) - np.asarray(compression_mm)
        return np.asarray(self.bottomed_air_ml + np.asarray(self.area_mm2) * left / MM3_PER_ML)

    def pressure_kpa(self, compression_mm: ArrayLike) -> Floats:
        """Absolute pressure [kPa] at a compression [mm]; inf where the oil fills the leg."""
        now = self.volume_ml(compression_mm)
        ratio = self.volume_ml(self.cut_mm) / np.where(now > 0.0, now, np.nan)
        pressure = np.asarray(self.extended_kpa) * ratio ** np.asarray(self.exponent)
        return np.where(now > 0.0, pressure, np.inf)

    def force_n(self, compression_mm: ArrayLike) -> Floats:
        """Axial force [N] pushing the leg out, (p - p_atm) A; inf where the oil fills the leg."""
        over = self.pressure_kpa(compression_mm) - ATMOSPHERE_KPA
        return np.asarray(over * np.asarray(self.area_mm2) * N_PER_KPA_MM2)

    def rate_n_per_mm(self, compression_mm: ArrayLike) -> Floats:
        """Slope of the force [N/mm], n p A^2 / V; inf where the oil fills the leg."""
        volume_mm3 = self.volume_ml(compression_mm) * MM3_PER_ML
        pressure = self.pressure_kpa(compression_mm)
        slope = np.asarray(self.exponent) * pressure * np.asarray(self.area_mm2) ** 2
        room = np.where(volume_mm3 > 0.0, volume_mm3, 1.0)
        return np.asarray(slope * N_PER_KPA_MM2 / room)


def oil_change_for_level_ml(*, level_change_mm: ArrayLike, surface_area_mm2: ArrayLike) -> Floats:
    """Oil to add [mL] for a change of level [mm]; a larger level (oil further down) is negative.

    `surface_area_mm2` is the free oil surface, not the area that the stroke displaces.
    """
    area = _surface(surface_area_mm2)
    return -area * np.asarray(level_change_mm, dtype=np.float64) / MM3_PER_ML


def level_change_for_oil_mm(*, oil_change_ml: ArrayLike, surface_area_mm2: ArrayLike) -> Floats:
    """Change of level [mm] when oil is added [mL]: the inverse of `oil_change_for_level_ml`."""
    area = _surface(surface_area_mm2)
    return -np.asarray(oil_change_ml, dtype=np.float64) * MM3_PER_ML / area


class OilFill(NamedTuple):
    """The fill for a shortened leg."""

    oil_ml: Floats
    oil_change_ml: Floats
    level_change_mm: Floats
    bottomed_air_ml: Floats


def fill_for_shortened_stroke(
    *,
    oil_ml: ArrayLike,
    bottomed_air_ml: ArrayLike,
    travel_mm: ArrayLike,
    cut_mm: ArrayLike,
    surface_area_mm2: ArrayLike,
    limiter_ml: ArrayLike = 0.0,
    spring_change_ml: ArrayLike = 0.0,
) -> OilFill:
    """Oil that keeps the compression ratio when a limiter shortens the stroke.

    The air to keep is V_bottomed (T - cut) / T; oil takes up the rest, less what the new parts
    displace. `limiter_ml` is the volume of parts that stay in while the level is measured (the
    limiter on the damper rod, taken as wholly under the oil when bottomed); `spring_change_ml`
    is new minus old spring and spacer, which are out while the level is measured. `oil_ml` and
    `bottomed_air_ml` are the stock fill with the spring in. The level change is measured less
    stock, positive for oil further down.

    Raises ValueError where the cut is negative or takes the whole stroke, or air is not above
    zero. Validity: equal ratio, not equal damping; a kit maker's figure wins.
    Source: volume balance of the bottomed leg.
    """
    air, travel = np.asarray(bottomed_air_ml, np.float64), np.asarray(travel_mm, np.float64)
    cut, limiter = np.asarray(cut_mm, np.float64), np.asarray(limiter_ml, np.float64)
    if not np.all((cut >= 0.0) & (cut < travel)):
        raise ValueError("The cut must leave some stroke and cannot be negative.")
    if not np.all(air > 0.0):
        raise ValueError("The air volume bottomed must be above zero.")
    kept_air = air * (travel - cut) / travel
    change = air - kept_air - limiter - np.asarray(spring_change_ml, np.float64)
    return OilFill(
        oil_ml=np.asarray(oil_ml, np.float64) + change,
        oil_change_ml=change,
        level_change_mm=level_change_for_oil_mm(
            oil_change_ml=change + limiter, surface_area_mm2=surface_area_mm2
        ),
        bottomed_air_ml=kept_air,
    )


def _surface(surface_area_mm2: ArrayLike) -> Floats:
    area = np.asarray(surface_area_mm2, dtype=np.float64)
    if not np.all(area > 0.0):
        raise ValueError("The free oil surface must be above zero.")
    return area
