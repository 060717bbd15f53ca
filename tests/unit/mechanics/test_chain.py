"""Chain: tight point, slack on the stand, refusals."""

import numpy as np
import pytest

from fitplanner.mechanics.chain import (
    SpanShape,
    alignment_angle_rad,
    axle_distance_mm,
    excess_for_play_mm,
    shortening_mm,
    slack_to_set,
    tightest_angle_rad,
)


def test_distance_from_both_places() -> None:
    # Sprocket 70 mm ahead of and 20 mm above the pivot; arm 580 mm hanging 10 deg.
    alpha = np.radians(-10)
    axle = 580 * np.array([-np.cos(alpha), np.sin(alpha)])
    expected = np.linalg.norm(axle - [70, 20])
    assert axle_distance_mm(
        arm_length_mm=580, sprocket_x_mm=70, sprocket_z_mm=20, alpha_rad=alpha
    ) == pytest.approx(expected)


def test_sprocket_above_the_pivot_lines_up_with_a_hanging_arm() -> None:
    # A line falling backward through both: the axle must hang by the same slope.
    aligned = alignment_angle_rad(sprocket_x_mm=70, sprocket_z_mm=20)
    assert np.tan(aligned) == pytest.approx(-20 / 70)


def test_shortening_agrees_with_distance() -> None:
    aligned = alignment_angle_rad(sprocket_x_mm=70, sprocket_z_mm=-15)
    grid = aligned + np.radians([-25, -3, 0, 1e-3, 12])
    offset = np.hypot(70, 15)
    distance = axle_distance_mm(
        arm_length_mm=580, sprocket_x_mm=70, sprocket_z_mm=-15, alpha_rad=grid
    )
    lost = shortening_mm(
        arm_length_mm=580, sprocket_offset_mm=offset, from_alignment_rad=grid - aligned
    )
    assert lost == pytest.approx(580 + offset - distance, abs=1e-10)


def test_tight_point_stays_in_the_travel() -> None:
    def tight(low: float, high: float) -> float:
        angle = tightest_angle_rad(
            sprocket_x_mm=70,
            sprocket_z_mm=0,
            lowest_alpha_rad=np.radians(low),
            highest_alpha_rad=np.radians(high),
        )
        return float(np.degrees(angle))

    assert tight(-20, 15) == pytest.approx(0)
    assert tight(-20, -4) == pytest.approx(-4)
    assert tight(3, 15) == pytest.approx(3)


def test_less_droop_wants_less_slack_on_the_stand() -> None:
    slack = slack_to_set(
        arm_length_mm=590,
        sprocket_x_mm=75,
        sprocket_z_mm=0,
        stand_alpha_rad=np.radians([-20, -15, -10, 0]),
        highest_alpha_rad=np.radians(12),
        minimum_play_mm=12,
    )
    assert np.all(np.diff(slack.stand_play_mm) < 0)
    assert slack.stand_play_mm[-1] == pytest.approx(12)
    # By hand at 20 deg: excess 8 * 6^2 / (3 * 665) + 2 * 4.0251 = 8.1946 over a span of 660.975.
    sag = np.sqrt(3 * 660.975 * 8.1946 / 8)
    assert slack.stand_play_mm[0] == pytest.approx(2 * sag, rel=1e-4)


@pytest.mark.parametrize("shape", SpanShape)
def test_the_tight_point_keeps_the_minimum(shape: SpanShape) -> None:
    # Chain of fixed length round two equal sprockets: both runs follow the centre distance.
    slack = slack_to_set(
        arm_length_mm=590,
        sprocket_x_mm=75,
        sprocket_z_mm=18,
        stand_alpha_rad=np.radians(-19),
        highest_alpha_rad=np.radians(11),
        minimum_play_mm=15,
        shape=shape,
    )
    chain = 2 * slack.stand_distance_mm + excess_for_play_mm(
        play_mm=slack.stand_play_mm, span_mm=slack.stand_distance_mm, shape=shape
    )
    left = chain - 2 * slack.tightest_distance_mm
    assert left == pytest.approx(
        excess_for_play_mm(play_mm=15, span_mm=slack.tightest_distance_mm, shape=shape)
    )


def test_set_with_the_wheel_loaded() -> None:
    # Set at the tight point itself, the play is the minimum, wherever the arm may hang.
    slack = slack_to_set(
        arm_length_mm=590,
        sprocket_x_mm=75,
        sprocket_z_mm=0,
        stand_alpha_rad=0.0,
        lowest_alpha_rad=np.radians(-20),
        highest_alpha_rad=np.radians(12),
        minimum_play_mm=14,
    )
    assert slack.stand_play_mm == pytest.approx(14)


def test_upside_down_travel_is_refused() -> None:
    with pytest.raises(ValueError, match="lowest angle"):
        tightest_angle_rad(
            sprocket_x_mm=70, sprocket_z_mm=0, lowest_alpha_rad=0.1, highest_alpha_rad=-0.1
        )
