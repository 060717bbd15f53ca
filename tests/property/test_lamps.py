"""Lamps: what holds for any aim."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitplanner.mechanics.lamps import (
    HEADLAMP_UN,
    height_margin_mm,
    inclination_change_percent,
    spot_move_mm,
)

beams = st.floats(-0.05, 0.02)
pitches = st.floats(-0.05, 0.05)


@given(beam=beams, one=pitches, two=pitches)
def test_two_pitches_add_up_to_one(beam: float, one: float, two: float) -> None:
    both = inclination_change_percent(beam_rad=beam, pitch_change_rad=one + two)
    first = inclination_change_percent(beam_rad=beam, pitch_change_rad=one)
    second = inclination_change_percent(beam_rad=beam + one, pitch_change_rad=two)
    assert both == pytest.approx(first + second, abs=1e-9)


@given(beam=beams, pitch=pitches, near=st.floats(1000, 30_000), height=st.floats(-80, 20))
def test_spot_moves_in_proportion_to_distance(
    beam: float, pitch: float, near: float, height: float
) -> None:
    aim = {"height_change_mm": height, "beam_rad": beam, "pitch_change_rad": pitch}
    at_lamp, once, twice = (
        float(spot_move_mm(distance_mm=d, **aim)) for d in (0.0, near, 2 * near)
    )
    assert at_lamp == height
    assert twice - once == pytest.approx(once - at_lamp, abs=1e-6)


@given(height=st.floats(0, 2000))
def test_margin_is_negative_exactly_outside(height: float) -> None:
    inside = HEADLAMP_UN.lowest_mm <= height <= HEADLAMP_UN.highest_mm
    assert (height_margin_mm(height, HEADLAMP_UN) >= 0) == inside
