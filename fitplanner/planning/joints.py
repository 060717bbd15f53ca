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
_LEAST_OFF_LINE_MM = 0.1

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
    """Why a linkage cannot move.

    Attributes:
        joint, name: the joint to look at first, by its field and in words.
        what, mend: what would happen, as half a sentence, with figures as tokens; what to do.
    """

    joint: str
    name: str
    what: str
    mend: str

    @property
    def text(self) -> str:
        """A sentence about the joint as it stands."""
        return f"{_capital(self.name)}: {self.what}; {self.mend}."


def refused(name: str, fault: Fault) -> str:
    """A sentence about the joint called `name`, which was to be moved to where `fault` came of."""
    return f"{_capital(name)} cannot stand there, for {fault.what}. It stays where it was."


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def misplaced(drawn: LinkagePoints) -> Fault | None:
    """Joints that cannot be read as a linkage at all: two in one place, rod and rocker in line."""
    eye, arm = complex(*drawn.frame_eye_mm), complex(*drawn.arm_point_mm)
    if drawn.frame_point_mm is None or not drawn.rod_joint_mm or not drawn.shock_joint_mm:
        return _apart(drawn, "arm_point_mm", (eye, "frame_eye_mm"), arm)
    frame, rod, shock = (
        complex(*each) for each in (drawn.frame_point_mm, drawn.rod_joint_mm, drawn.shock_joint_mm)
    )
    on_frame = drawn.layout == "rocker_on_frame"
    ends = (frame, "frame_point_mm"), (arm, "arm_point_mm")
    pivot, far = ends if on_frame else ends[::-1]
    together = (
        _apart(drawn, "rod_joint_mm", pivot, rod)
        or _apart(drawn, "rod_joint_mm", far, rod)
        or _apart(drawn, pivot[1], far, pivot[0])
        or _apart(drawn, "shock_joint_mm", (eye, "frame_eye_mm"), shock)
    )
    if together is not None:
        return together
    across = far[0] - pivot[0]
    if abs((across.conjugate() * (rod - pivot[0])).imag) < _LEAST_OFF_LINE_MM * abs(across):
        return _fault(
            drawn,
            "rod_joint_mm",
            f"it would stand in line with the {_NAMES[drawn.layout][pivot[1]]} and the "
            f"{_NAMES[drawn.layout][far[1]]}, so that the rocker could go either way",
            "move it to the side on which it is",
        )
    return None


def stuck(drawn: LinkagePoints, solved: fourbar.MotionRatio, rise_mm: NDArray[np.float64]) -> Fault:
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
    rise = float(rise_mm[first])
    since = f"from {mm_in_text(rise)} of wheel travel on" if rise > 0.0 else "at once"
    if lanes[lane, first]:
        joint = "arm_point_mm" if drawn.layout == "direct" else "shock_joint_mm"
        what = f"the shock would get longer, not shorter, as the wheel comes up: {since}"
        return _fault(drawn, joint, what, "move it, or the eye on the frame")
    if drawn.layout == "direct":
        what = f"the swing-arm would have to stand upright {since}"
        return _fault(drawn, "arm_point_mm", what, "check wheel travel and swing-arm length")
    ends = "be pulled apart" if _pulled_straight(drawn) else "be pushed into each other"
    what = f"rod and rocker would {ends} {since}"
    return _fault(drawn, "rod_joint_mm", what, "move it, or one of the rod's ends")


def _pulled_straight(drawn: LinkagePoints) -> bool:
    """Whether the rod's far end swings away from the rocker's pivot rather than towards it."""
    frame, arm = complex(*(drawn.frame_point_mm or [0.0, 0.0])), complex(*drawn.arm_point_mm)
    return bool(abs(arm * np.exp(-0.1j) - frame) > abs(arm - frame))


def _apart(
    drawn: LinkagePoints, joint: str, other: tuple[complex, str], at: complex
) -> Fault | None:
    if abs(at - other[0]) >= _LEAST_APART_MM:
        return None
    what = f"it would lie on the {_NAMES[drawn.layout][other[1]]}"
    return _fault(drawn, joint, what, "set them apart")


def _fault(drawn: LinkagePoints, joint: str, what: str, mend: str) -> Fault:
    return Fault(joint, _NAMES[drawn.layout][joint], what, mend)
