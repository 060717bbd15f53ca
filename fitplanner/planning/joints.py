"""The joints of a drawn linkage: what they are called, and which one keeps it from moving.

Owns the way from a document's joints to the mechanics, and the words for joints that do not go
together. Refuses to move a joint.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.machine import LinkagePoints
from fitplanner.mechanics import fourbar
from fitplanner.quantities.sentences import mm_in_text

_LEAST_APART_MM = 1.0

_DIRECT = {
    "frame_eye_mm": "shock's eye on the frame",
    "arm_point_mm": "shock's eye on the swing-arm",
}
_ROCKER = {
    "frame_eye_mm": "shock's eye on the frame",
    "rod_joint_mm": "rod's end on the rocker",
    "shock_joint_mm": "shock's eye on the rocker",
}
_NAMES = {
    "direct": _DIRECT,
    "rocker_on_frame": {
        **_ROCKER,
        "frame_point_mm": "rocker's pivot on the frame",
        "arm_point_mm": "rod's end on the swing-arm",
    },
    "rocker_on_arm": {
        **_ROCKER,
        "frame_point_mm": "rod's end on the frame",
        "arm_point_mm": "rocker's pivot on the swing-arm",
    },
}


def joint_names(layout: str) -> dict[str, str]:
    """The joints of a layout by their field, in the order in which they are listed."""
    return dict(_NAMES[layout])


@dataclass(frozen=True)
class Fault:
    """Why a linkage cannot move: the joint to look at first, and a sentence with its mend."""

    joint: str
    name: str
    text: str


def misplaced(drawn: LinkagePoints) -> Fault | None:
    """Joints that cannot be read as a linkage at all: two in one place, rod and rocker in line."""
    eye, arm = complex(*drawn.frame_eye_mm), complex(*drawn.arm_point_mm)
    if drawn.frame_point_mm is None or not drawn.rod_joint_mm or not drawn.shock_joint_mm:
        if abs(eye - arm) < _LEAST_APART_MM:
            return _fault(drawn, "arm_point_mm", "lies on the shock's other eye; set them apart.")
        return None
    frame, rod, shock = (
        complex(*each) for each in (drawn.frame_point_mm, drawn.rod_joint_mm, drawn.shock_joint_mm)
    )
    on_frame = drawn.layout == "rocker_on_frame"
    pivot, far = (frame, arm) if on_frame else (arm, frame)
    if abs(rod - pivot) < _LEAST_APART_MM:
        return _fault(drawn, "rod_joint_mm", "lies on the rocker's pivot; set them apart.")
    if abs(rod - far) < _LEAST_APART_MM:
        return _fault(drawn, "rod_joint_mm", "lies on the rod's other end; set them apart.")
    if abs(far - pivot) < _LEAST_APART_MM:
        where = "frame_point_mm" if on_frame else "arm_point_mm"
        return _fault(drawn, where, "lies on the rod's far end; set them apart.")
    if abs(shock - eye) < _LEAST_APART_MM:
        return _fault(drawn, "shock_joint_mm", "lies on the shock's other eye; set them apart.")
    off_line = abs(((far - pivot).conjugate() * (rod - pivot)).imag) / abs(far - pivot)
    if off_line < _LEAST_APART_MM * 0.1:
        return _fault(
            drawn,
            "rod_joint_mm",
            "stands in line with the rocker's pivot and the rod's far end, so that the rocker "
            "could go either way; move it to the side on which it is.",
        )
    return None


def stuck(
    drawn: LinkagePoints,
    solved: fourbar.MotionRatio,
    rise_mm: NDArray[np.float64],
) -> Fault:
    """Where a linkage that does not go through its travel first stops, and by which joint.

    Args:
        drawn: the joints as they stand.
        solved: its motion over `rise_mm`, shape (..., rises); somewhere not assembled, or with a
            ratio that is not above zero.
        rise_mm: wheel travel from full extension.
    """
    lanes = np.reshape(solved.assembled, (-1, len(rise_mm)))
    ratio = np.reshape(solved.ratio, lanes.shape)
    lane = int(np.argmax(np.any(~lanes | ~(ratio > 0.0), axis=1)))
    first = int(np.argmax(~lanes[lane] | ~(ratio[lane] > 0.0)))
    since = f"from {mm_in_text(float(rise_mm[first]))} of wheel travel"
    if lanes[lane, first]:
        joint = "arm_point_mm" if drawn.layout == "direct" else "shock_joint_mm"
        words = f"{since} the shock would get longer, not shorter; move it, or the eye on the frame"
        return _fault(drawn, joint, f"stands so that {words}.")
    if drawn.layout == "direct":
        return _fault(drawn, "arm_point_mm", f"cannot go on: {since} the swing-arm is at its end.")
    straight = _pulled_straight(drawn)
    ends = "rod and rocker would be pulled apart" if straight else "the rod would hit the rocker"
    return _fault(
        drawn, "rod_joint_mm", f"stands so that {since} {ends}; move it, or one of the rod's ends."
    )


def _pulled_straight(drawn: LinkagePoints) -> bool:
    """Whether the rod's far end swings away from the rocker's pivot rather than towards it."""
    frame, arm = complex(*(drawn.frame_point_mm or [0.0, 0.0])), complex(*drawn.arm_point_mm)
    further = abs(arm * np.exp(-0.1j) - frame) > abs(arm - frame)
    return bool(further)


def _fault(drawn: LinkagePoints, joint: str, text: str) -> Fault:
    name = _NAMES[drawn.layout][joint]
    return Fault(joint, name, f"{name[0].upper()}{name[1:]} {text}")


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
