"""The leverage of a rear end as a profile has it: drawn joints or a table.

Owns the step from the document's joints to the four-bar's, and the curve of either for one
machine. Refuses lanes: planning makes those.
"""

from math import asin

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.machine import LeverageTable, LinkagePoints
from fitplanner.mechanics import fourbar
from fitplanner.mechanics.leverage import LeverageCurve, hermite_curve, table_curve

_KNOTS = 13


def linkage_points(
    drawn: LinkagePoints, extended_alpha_rad: NDArray[np.float64]
) -> fourbar.LinkagePoints:
    """The joints as drawn at full extension, with the arm's elevation there."""
    layout = fourbar.Layout(drawn.layout)
    if drawn.frame_point_mm is None or not drawn.rod_joint_mm or not drawn.shock_joint_mm:
        return fourbar.direct_from_drawing(
            alpha_rad=extended_alpha_rad,
            frame_eye_mm=_pair(drawn.frame_eye_mm),
            arm_point_mm=_pair(drawn.arm_point_mm),
        )
    return fourbar.rocker_from_drawing(
        layout=layout,
        alpha_rad=extended_alpha_rad,
        frame_eye_mm=_pair(drawn.frame_eye_mm),
        arm_point_mm=_pair(drawn.arm_point_mm),
        frame_point_mm=_pair(drawn.frame_point_mm),
        rod_joint_mm=_pair(drawn.rod_joint_mm),
        shock_joint_mm=_pair(drawn.shock_joint_mm),
    )


def _pair(point: list[float]) -> tuple[float, float]:
    return point[0], point[1]


def leverage_curve(
    linkage: LeverageTable | LinkagePoints,
    *,
    travel_mm: float,
    arm_length_mm: float,
    axle_low_mm: float,
) -> LeverageCurve:
    """The curve of one machine over its rear wheel travel.

    Args:
        travel_mm: rise of the axle from full extension to bottomed.
        arm_length_mm: pivot to axle.
        axle_low_mm: height of the hanging axle over the pivot, negative below; drawn joints only.

    Raises:
        ValueError: drawn joints do not go together over the whole travel.
    """
    if isinstance(linkage, LeverageTable):
        curve = table_curve(linkage.wheel_travel_mm, linkage.leverage)
        beyond = travel_mm - linkage.wheel_travel_mm[-1]
        return curve.extended(beyond) if beyond > 0 else curve
    knots = np.linspace(0.0, travel_mm, _KNOTS)
    solved = _solved(linkage, arm_length_mm, axle_low_mm, knots)
    if not np.all(_goes(solved)):
        raise ValueError(
            "rear linkage: its joints do not go together over the whole rear wheel travel; "
            "check the places of the joints, each from the swing-arm pivot at full extension"
        )
    return hermite_curve(knots, solved.ratio, solved.ratio_slope_per_mm)


def most_travel_mm(
    drawn: LinkagePoints, *, up_to_mm: float, arm_length_mm: float, axle_low_mm: float
) -> float:
    """How far the wheel travels, at most `up_to_mm`, before the drawn joints lock or turn back."""
    rises = np.linspace(0.0, up_to_mm, 4 * _KNOTS)
    goes = np.asarray(_goes(_solved(drawn, arm_length_mm, axle_low_mm, rises)))
    return float(rises[-1] if np.all(goes) else rises[max(int(np.argmin(goes)) - 1, 0)])


def _solved(
    drawn: LinkagePoints, arm_length_mm: float, axle_low_mm: float, rises_mm: NDArray[np.float64]
) -> fourbar.MotionRatio:
    alpha = np.array(asin(min(max(axle_low_mm / arm_length_mm, -1.0), 1.0)))
    return fourbar.motion_ratio(
        linkage_points(drawn, alpha),
        arm_length_mm=arm_length_mm,
        extended_alpha_rad=alpha,
        axle_rise_mm=rises_mm,
    )


def _goes(solved: fourbar.MotionRatio) -> NDArray[np.bool_]:
    good: NDArray[np.bool_] = solved.assembled & (solved.ratio > 0)
    return good
