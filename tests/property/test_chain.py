"""Chain: what holds for any drive."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitplanner.mechanics.chain import (
    SpanShape,
    axle_distance_mm,
    excess_for_play_mm,
    play_for_excess_mm,
    slack_to_set,
    tightest_angle_rad,
)

arms = st.floats(450, 650)
ahead = st.floats(40, 120)
above = st.floats(-40, 40)
droops = st.floats(-0.5, -0.02)
bumps = st.floats(0.0, 0.4)


@given(arm=arms, x=ahead, z=above, low=droops, high=bumps)
def test_tight_point_is_the_longest_of_a_fine_search(
    arm: float, x: float, z: float, low: float, high: float
) -> None:
    grid = np.linspace(low, high, 4001)
    distance = axle_distance_mm(arm_length_mm=arm, sprocket_x_mm=x, sprocket_z_mm=z, alpha_rad=grid)
    tight = tightest_angle_rad(
        sprocket_x_mm=x, sprocket_z_mm=z, lowest_alpha_rad=low, highest_alpha_rad=high
    )
    assert tight == pytest.approx(grid[distance.argmax()], abs=1.01 * (high - low) / 4000)


@given(play=st.floats(0, 60), span=st.floats(400, 800), shape=st.sampled_from(SpanShape))
def test_play_and_excess_are_inverse(play: float, span: float, shape: SpanShape) -> None:
    excess = excess_for_play_mm(play_mm=play, span_mm=span, shape=shape)
    back = play_for_excess_mm(excess_mm=excess, span_mm=span, shape=shape)
    assert back == pytest.approx(play, abs=1e-9)


@given(arm=arms, x=ahead, z=above, low=droops, high=bumps, least=st.floats(0, 30))
def test_the_stand_never_wants_less_than_about_the_minimum(
    arm: float, x: float, z: float, low: float, high: float, least: float
) -> None:
    slack = slack_to_set(
        arm_length_mm=arm,
        sprocket_x_mm=x,
        sprocket_z_mm=z,
        stand_alpha_rad=low,
        highest_alpha_rad=high,
        minimum_play_mm=least,
    )
    # The nearer axle shows the same excess as slightly less play, by the root of the spans.
    shrink = np.sqrt(slack.stand_distance_mm / slack.tightest_distance_mm)
    assert slack.stand_play_mm >= least * shrink - 1e-9
