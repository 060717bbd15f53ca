"""Lamps: the spot against a drawn beam, margins of a window."""

import numpy as np
import pytest

from fitplanner.mechanics.lamps import (
    HEADLAMP_US,
    height_margin_mm,
    inclination_change_percent,
    spot_move_mm,
)


def test_spot_of_a_lowered_and_pitched_machine() -> None:
    # Draw both beams to a wall at 10 m: lamp 900 then 862 mm high, beam 1 % down then 0.4 deg up.
    beam, pitch = -np.arctan(0.01), np.radians(0.4)
    before = 900 + 10_000 * np.tan(beam)
    after = 862 + 10_000 * np.tan(beam + pitch)
    move = spot_move_mm(
        distance_mm=10_000, height_change_mm=-38, beam_rad=beam, pitch_change_rad=pitch
    )
    assert before == pytest.approx(800)
    assert move == pytest.approx(after - before)


def test_nose_up_lifts_a_dipped_beam() -> None:
    change = inclination_change_percent(
        beam_rad=-0.01, pitch_change_rad=np.radians([-0.5, 0.0, 0.5])
    )
    assert change[0] < 0 == change[1] < change[2]


def test_margin_is_to_the_nearer_end() -> None:
    margin = height_margin_mm([540.0, 600.0, 1300.0, 1400.0], HEADLAMP_US)
    assert margin == pytest.approx([540 - 558.8, 600 - 558.8, 1371.6 - 1300, 1371.6 - 1400])
