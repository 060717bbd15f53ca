"""Fork oil: the column at its ends, levels, the new fill."""

import numpy as np
import pytest

from fitplanner.mechanics.oil import (
    fill_for_shortened_stroke,
    level_change_for_oil_mm,
    oil_change_for_level_ml,
)
from fitplanner.mechanics.units import ATMOSPHERE_KPA
from tests.air import AirLeg

LEG = AirLeg(bottomed_air_ml=110.0, area_mm2=1800.0, travel_mm=300.0)


def test_a_bled_leg_pushes_nothing_at_full_extension() -> None:
    assert LEG.pressure_kpa(0.0) == pytest.approx(ATMOSPHERE_KPA)
    assert LEG.force_n(0.0) == pytest.approx(0.0, abs=1e-9)


def test_force_bottomed_by_hand() -> None:
    # 110 mL bottomed, 110 + 1800 * 300 / 1000 = 650 mL extended; (650/110 - 1) * 101.325 kPa
    # over 18 cm2.
    assert LEG.force_n(300.0) == pytest.approx((650 / 110 - 1) * 101325 * 18e-4)


def test_a_limiter_bleeds_at_the_new_extension() -> None:
    cut = AirLeg(bottomed_air_ml=110.0, area_mm2=1800.0, travel_mm=300.0, cut_mm=50.0)
    assert cut.force_n(50.0) == pytest.approx(0.0, abs=1e-9)
    # Less air is shut in, so the leg is softer deep in its stroke with the same oil.
    assert cut.force_n(280.0) < LEG.force_n(280.0)


def test_a_leg_full_of_oil_is_all_but_solid() -> None:
    assert LEG.force_n(370.0) > 1e6
    assert np.isfinite(LEG.force_n(370.0))


def test_level_is_counted_from_the_rim() -> None:
    # A 36.2 mm bore has about 1029 mm2: 10 mm nearer to the rim is 10.3 mL more oil.
    area = np.pi * 36.2**2 / 4
    assert oil_change_for_level_ml(level_change_mm=-10, surface_area_mm2=area) == pytest.approx(
        10.29, abs=0.005
    )


def test_limiter_alone_leaves_the_level_but_for_its_volume() -> None:
    # Without a change of air the oil must go down by what the limiter displaces; the level
    # measured with the limiter in then stays.
    fill = fill_for_shortened_stroke(
        oil_ml=600,
        bottomed_air_ml=110,
        travel_mm=300,
        cut_mm=0,
        surface_area_mm2=1200,
        limiter_ml=15,
    )
    assert fill.oil_change_ml == pytest.approx(-15)
    assert fill.level_change_mm == pytest.approx(0, abs=1e-12)


def test_shortened_stroke_by_hand() -> None:
    # 110 mL of air times 250/300 leaves 91.667: 18.333 mL more to fill, of which the limiter
    # takes 8 and a shorter spring gives back 5. With the spring out the oil rises by what was
    # poured in and by the limiter: 23.333 mL over 1200 mm2.
    fill = fill_for_shortened_stroke(
        oil_ml=600,
        bottomed_air_ml=110,
        travel_mm=300,
        cut_mm=50,
        surface_area_mm2=1200,
        limiter_ml=8,
        spring_change_ml=-5,
    )
    assert fill.bottomed_air_ml == pytest.approx(91.6667, abs=1e-4)
    assert fill.oil_change_ml == pytest.approx(15.3333, abs=1e-4)
    assert fill.oil_ml == pytest.approx(615.3333, abs=1e-4)
    assert fill.level_change_mm == pytest.approx(-19.4444, abs=1e-4)


def test_shapes_broadcast() -> None:
    column = AirLeg(bottomed_air_ml=np.full((4, 1), 110.0), area_mm2=1800.0, travel_mm=300.0)
    assert column.force_n(np.linspace(0, 300, 6)).shape == (4, 6)
    assert level_change_for_oil_mm(oil_change_ml=np.ones(3), surface_area_mm2=900).shape == (3,)


def test_impossible_legs_are_refused() -> None:
    with pytest.raises(ValueError, match="leave some stroke"):
        fill_for_shortened_stroke(
            oil_ml=600, bottomed_air_ml=110, travel_mm=300, cut_mm=-1, surface_area_mm2=1200
        )
    with pytest.raises(ValueError, match="oil surface"):
        oil_change_for_level_ml(level_change_mm=1, surface_area_mm2=0)
