"""Final drive chain: distance from sprocket to axle over the travel, slack to set on the stand.

Owns the chain's geometry in the side view. Refuses wear, tension under power and the choice of
chain. Angles in rad; `alpha` is the swing-arm's angle (elevation of the axle over the pivot, the
arm pointing backward). The sprocket's centre is given relative to the swing-arm pivot, x forward
and z up. All functions take floats or arrays that broadcast.
"""

from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


class SpanShape(StrEnum):
    """What the slack run looks like when its free play is measured."""

    HANGING = "hanging"
    PULLED = "pulled"


# Length in excess of the straight span = factor * sag^2 / span: a shallow parabola (8/3), or two
# straight halves when mid-span is pushed and pulled by hand until the run is taut (2).
_EXCESS_FACTOR = {SpanShape.HANGING: 8.0 / 3.0, SpanShape.PULLED: 2.0}


def axle_distance_mm(
    *,
    arm_length_mm: ArrayLike,
    sprocket_x_mm: ArrayLike,
    sprocket_z_mm: ArrayLike,
    alpha_rad: ArrayLike,
) -> Floats:
    """Distance from the sprocket's centre to the axle [mm].

    With e the sprocket's distance from the pivot and th the arm's angle from alignment this is
    the law of cosines, d^2 = L^2 + e^2 + 2 L e cos(th).
    """
    arm = np.asarray(arm_length_mm, dtype=np.float64)
    alpha = np.asarray(alpha_rad, dtype=np.float64)
    return np.hypot(
        np.asarray(sprocket_x_mm) + arm * np.cos(alpha),
        np.asarray(sprocket_z_mm) - arm * np.sin(alpha),
    )


def alignment_angle_rad(*, sprocket_x_mm: ArrayLike, sprocket_z_mm: ArrayLike) -> Floats:
    """Swing-arm angle at which sprocket, pivot and axle line up [rad]: the chain is tightest.

    Zero where the sprocket sits on the pivot, for then the distance never changes.
    """
    x, z = np.asarray(sprocket_x_mm, np.float64), np.asarray(sprocket_z_mm, np.float64)
    return np.asarray(np.arctan2(0.0 - z, x))


def tightest_angle_rad(
    *,
    sprocket_x_mm: ArrayLike,
    sprocket_z_mm: ArrayLike,
    lowest_alpha_rad: ArrayLike,
    highest_alpha_rad: ArrayLike,
) -> Floats:
    """Angle within the travel at which the chain is tightest [rad].

    The distance falls steadily on both sides of alignment, so the tightest point is alignment
    itself, or the end of the travel that comes nearest to it. Valid for travel and sprocket
    within half a turn of each other, as on any motorcycle with its sprocket ahead of the pivot.
    """
    aligned = alignment_angle_rad(sprocket_x_mm=sprocket_x_mm, sprocket_z_mm=sprocket_z_mm)
    low = np.asarray(lowest_alpha_rad, dtype=np.float64)
    high = np.asarray(highest_alpha_rad, dtype=np.float64)
    if not np.all(low <= high):
        raise ValueError("The swing-arm's lowest angle must not be above its highest.")
    return np.clip(aligned, low, high)


def shortening_mm(
    *, arm_length_mm: ArrayLike, sprocket_offset_mm: ArrayLike, from_alignment_rad: ArrayLike
) -> Floats:
    """How much nearer the axle is to the sprocket than when aligned [mm].

    L + e - d, written so that small angles keep their digits. Source: law of cosines.
    """
    arm = np.asarray(arm_length_mm, dtype=np.float64)
    offset = np.asarray(sprocket_offset_mm, dtype=np.float64)
    lost = 4.0 * arm * offset * np.sin(np.asarray(from_alignment_rad, np.float64) / 2.0) ** 2
    distance = np.sqrt((arm + offset) ** 2 - lost)
    return np.asarray(lost / (arm + offset + distance))


def excess_for_play_mm(
    *, play_mm: ArrayLike, span_mm: ArrayLike, shape: SpanShape = SpanShape.HANGING
) -> Floats:
    """Chain length in excess of the straight run [mm] for a free play at mid-span [mm].

    Free play is the whole up-and-down movement, twice the sag s to one side; the excess is
    8 s^2 / (3 span) hanging and 2 s^2 / span pulled taut. Valid for sag below a tenth of the
    span (error of the excess under 3 %). Source: parabola as the shallow limit of the catenary.
    """
    sag = np.asarray(play_mm, dtype=np.float64) / 2.0
    return np.asarray(_EXCESS_FACTOR[SpanShape(shape)] * sag**2 / np.asarray(span_mm, np.float64))


def play_for_excess_mm(
    *, excess_mm: ArrayLike, span_mm: ArrayLike, shape: SpanShape = SpanShape.HANGING
) -> Floats:
    """Free play at mid-span [mm], the inverse of `excess_for_play_mm`; a tight run has none."""
    excess = np.maximum(np.asarray(excess_mm, dtype=np.float64), 0.0)
    span = np.asarray(span_mm, dtype=np.float64)
    return np.asarray(2.0 * np.sqrt(excess * span / _EXCESS_FACTOR[SpanShape(shape)]))


class ChainSlack(NamedTuple):
    """Where the chain is tightest, and the free play that it needs on the stand."""

    tightest_alpha_rad: Floats
    tightest_distance_mm: Floats
    stand_distance_mm: Floats
    stand_play_mm: Floats


def slack_to_set(
    *,
    arm_length_mm: ArrayLike,
    sprocket_x_mm: ArrayLike,
    sprocket_z_mm: ArrayLike,
    stand_alpha_rad: ArrayLike,
    highest_alpha_rad: ArrayLike,
    minimum_play_mm: ArrayLike,
    lowest_alpha_rad: ArrayLike | None = None,
    shape: SpanShape = SpanShape.HANGING,
) -> ChainSlack:
    """Free play to set on the stand so that the tightest point keeps the minimum [mm].

    `stand_alpha_rad` is the arm's angle while the play is set, normally fully extended, which is
    then also the lowest angle unless `lowest_alpha_rad` says otherwise. When the axle comes
    nearer, both runs lose that much and the upper one stays straight, so the lower, slack run
    gains it twice. Validity: runs taken as parallel to the line of centres (sprocket radii 50 mm
    apart at 600 mm: 0.4 % of the gain), no guide lifting the run.

    A maker's slack figure for the stock machine no longer holds once the travel has changed.
    """
    low = stand_alpha_rad if lowest_alpha_rad is None else lowest_alpha_rad
    tightest = tightest_angle_rad(
        sprocket_x_mm=sprocket_x_mm,
        sprocket_z_mm=sprocket_z_mm,
        lowest_alpha_rad=low,
        highest_alpha_rad=highest_alpha_rad,
    )

    def distance(alpha: ArrayLike) -> Floats:
        return axle_distance_mm(
            arm_length_mm=arm_length_mm,
            sprocket_x_mm=sprocket_x_mm,
            sprocket_z_mm=sprocket_z_mm,
            alpha_rad=alpha,
        )

    tight, stand = distance(tightest), distance(stand_alpha_rad)
    kept = excess_for_play_mm(play_mm=minimum_play_mm, span_mm=tight, shape=shape)
    play = play_for_excess_mm(excess_mm=kept + 2.0 * (tight - stand), span_mm=stand, shape=shape)
    return ChainSlack(tightest, tight, stand, play)
