"""Air column against measured air."""

import numpy as np
import pytest

from fitplanner.mechanics.units import ATMOSPHERE_KPA
from tests.air import AirLeg


def test_boyles_own_table() -> None:
    # Boyle, A Defence of the Doctrine Touching the Spring and Weight of the Air, 1662, "A table
    # of the condensation of the air" (from memory): 48, 24 and 12 units of volume stand under
    # 29 2/16, 58 13/16 and 117 9/16 inches of mercury. His readings lie within 1.2 % of p V.
    leg = AirLeg(bottomed_air_ml=12.0, area_mm2=1000.0, travel_mm=36.0)
    readings = np.array([29 + 2 / 16, 58 + 13 / 16, 117 + 9 / 16])
    pressure = leg.pressure_kpa(48.0 - np.array([48.0, 24.0, 12.0])) / ATMOSPHERE_KPA
    assert pressure == pytest.approx(readings / readings[0], rel=0.012)


def test_cold_air_standard_compression() -> None:
    # Cengel and Boles, Thermodynamics, property of the cold air standard (from memory): volume
    # ratio 8 at k = 1.4 multiplies the absolute temperature by 8^0.4 = 2.2974, pressure by
    # 8 times that.
    leg = AirLeg(bottomed_air_ml=50.0, area_mm2=3500.0, travel_mm=100.0, exponent=1.4)
    assert leg.pressure_kpa(100.0) / ATMOSPHERE_KPA == pytest.approx(8 * 2.2974, rel=1e-4)
