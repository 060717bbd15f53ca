"""The air column of the product's fork alone, so that tests can hold it to the laws of gases."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitplanner.mechanics.arrays import Number
from fitplanner.mechanics.units import ATMOSPHERE_KPA, Fork


@dataclass(frozen=True)
class AirLeg:
    """A fork without spring or top-out: what it pushes is air."""

    bottomed_air_ml: Number
    area_mm2: float
    travel_mm: float
    cut_mm: float = 0.0
    exponent: float = 1.0

    def _fork(self) -> Fork:
        return Fork(
            rate_n_mm=0.0,
            preload_mm=0.0,
            stroke_mm=self.travel_mm,
            cut_mm=self.cut_mm,
            air_area_mm2=self.area_mm2,
            air_bottomed_ml=self.bottomed_air_ml,
            air_exponent=self.exponent,
        )

    def force_n(self, compression_mm: ArrayLike) -> NDArray[np.float64]:
        """Force along the leg [N]."""
        return self._fork().force(np.asarray(compression_mm, dtype=float))[0]

    def rate_n_per_mm(self, compression_mm: ArrayLike) -> NDArray[np.float64]:
        """Slope of the force [N/mm]."""
        return self._fork().force(np.asarray(compression_mm, dtype=float))[1]

    def pressure_kpa(self, compression_mm: ArrayLike) -> NDArray[np.float64]:
        """Absolute pressure, from force over area."""
        return self.force_n(compression_mm) / self.area_mm2 * 1e3 + ATMOSPHERE_KPA
