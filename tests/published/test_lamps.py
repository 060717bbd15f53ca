"""Lamps and plate: the rules' figures and the aiming screen's."""

import numpy as np
import pytest

from fitplanner.mechanics import lamps


def test_headlamp_windows() -> None:
    # 49 CFR 571.108: not less than 22 in (55.9 cm) nor more than 54 in (137.2 cm), read in Table
    # I-a (cars); that Table I-c, motorcycles, has the same is from memory. UN R53, 6.2, 500 to
    # 1200 mm (from memory); Directive 2009/67/EC has the same two figures for a dipped beam of
    # three-wheel mopeds, Annex III, 6.2 (read).
    us = lamps.HEADLAMP_US
    assert (us.lowest_mm, us.highest_mm) == pytest.approx((559, 1372), abs=0.5)
    assert lamps.HEADLAMP_UN[:2] == (500, 1200)


def test_rear_plate_window() -> None:
    # Directive 93/94/EEC, Annex, 4.1 and 5.1: no point over 1.5 m or under 0.20 m, unladen.
    assert lamps.REAR_PLATE_EU[:2] == (200, 1500)


def test_reflector_windows() -> None:
    # From memory: 49 CFR 571.108, 15 to 60 in (38.1 to 152.4 cm); UN R53, 250 to 900 mm.
    us = lamps.REAR_REFLECTOR_US
    assert (us.lowest_mm, us.highest_mm) == pytest.approx((381, 1524))
    assert lamps.REAR_REFLECTOR_UN[:2] == (250, 900)


def test_one_per_cent_is_0_573_degrees() -> None:
    # Aiming practice (from memory): 1 % is 10 cm at 10 m, 0.57 deg from the level.
    change = lamps.inclination_change_percent(beam_rad=0.0, pitch_change_rad=np.radians(0.573))
    assert change == pytest.approx(1.0, abs=5e-4)
    move = lamps.spot_move_mm(
        distance_mm=10_000,
        height_change_mm=0.0,
        beam_rad=0.0,
        pitch_change_rad=np.radians(0.573),
    )
    assert move == pytest.approx(100, abs=0.1)
