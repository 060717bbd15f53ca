"""Rear linkage from its points: shock length, motion ratio and its slope, all closed form.

Owns the plane kinematics of three layouts. Refuses forces, bushings and clearances. Side view in
the chassis frame, x forward, z up, origin at the swing-arm pivot. Points of the arm are given in
the arm's own frame: u along the arm from pivot to axle, v square to it, upward when the arm lies
level and points backward. Angle alpha is the elevation of the axle over the pivot, so that
axle = L (-cos(alpha), sin(alpha)) and an arm point = u (-cos(alpha), sin(alpha))
+ v (sin(alpha), cos(alpha)). Rod and rocker need their assembly branch stated, for two circles
meet twice. Lengths in mm, angles in rad; fields and arguments broadcast, fields as (N, 1) against
a grid (K,) give (N, K).

Plane vectors are complex numbers x + i z below: a quarter turn anticlockwise is a factor i, and
the arm's turn is exp(-i alpha).
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
_Vectors = NDArray[np.complex128]

# Sine squared, nearly, of the angle between rod and rocker at dead centre: closer than this the
# linkage has no usable derivative.
_DEAD_CENTRE = 1e-12


class Layout(StrEnum):
    """How the arm drives the shock."""

    DIRECT = "direct"
    ROCKER_ON_FRAME = "rocker_on_frame"
    ROCKER_ON_ARM = "rocker_on_arm"


@dataclass(frozen=True, eq=False)
class LinkagePoints:
    """Where the linkage's joints are.

    `frame_eye_*`: the shock's eye on the frame. `arm_point_*` (u, v): the shock's other eye
    (direct), the rod's end on the arm (rocker on frame) or the rocker's pivot (rocker on arm).
    Not used by `direct`: `frame_point_*`, the rocker's pivot (rocker on frame) or the rod's end
    on the frame (rocker on arm); `rod_length_mm`; the rocker in its own frame, pivot at the
    origin, rod joint at (`rocker_rod_mm`, 0), shock joint at (`rocker_shock_u_mm`,
    `rocker_shock_v_mm`), v anticlockwise from u in the side view; `branch`, +1 where the rod
    joint lies to the left when one looks from the rocker's pivot to the rod's far end, else -1.
    """

    layout: Layout
    frame_eye_x_mm: ArrayLike
    frame_eye_z_mm: ArrayLike
    arm_point_u_mm: ArrayLike
    arm_point_v_mm: ArrayLike
    frame_point_x_mm: ArrayLike = 0.0
    frame_point_z_mm: ArrayLike = 0.0
    rod_length_mm: ArrayLike = 1.0
    rocker_rod_mm: ArrayLike = 1.0
    rocker_shock_u_mm: ArrayLike = 1.0
    rocker_shock_v_mm: ArrayLike = 0.0
    branch: ArrayLike = 1.0

    def __post_init__(self) -> None:
        """Raise ValueError for lengths not above zero or a branch other than +1 and -1."""
        for what in ("rod_length_mm", "rocker_rod_mm"):
            if not np.all(np.asarray(getattr(self, what)) > 0.0):
                raise ValueError(f"The linkage's {what} must be above zero.")
        if not np.all(np.abs(np.asarray(self.branch)) == 1.0):
            raise ValueError("The linkage's branch must be +1 or -1.")


def rocker_from_drawing(
    *,
    layout: Layout,
    alpha_rad: ArrayLike,
    frame_eye_mm: tuple[float, float],
    arm_point_mm: tuple[float, float],
    frame_point_mm: tuple[float, float],
    rod_joint_mm: tuple[float, float],
    shock_joint_mm: tuple[float, float],
) -> LinkagePoints:
    """Linkage with a rocker from all joints' places (x, z) [mm] at one known arm angle.

    An array of angles gives arrays of arm points: the same drawing taken at each angle.

    Places as read off a drawing or the machine, relative to the swing-arm pivot; lengths, the
    rocker's shape and the branch follow. Raises ValueError for the `direct` layout, joints that
    coincide, or a rod and rocker in line, where the branch is undecided.
    """
    if Layout(layout) is Layout.DIRECT:
        raise ValueError("A direct shock has no rocker.")
    arm, frame = complex(*arm_point_mm), complex(*frame_point_mm)
    pivot, far_end = (frame, arm) if layout == Layout.ROCKER_ON_FRAME else (arm, frame)
    to_rod, to_far = complex(*rod_joint_mm) - pivot, far_end - pivot
    side = (to_far.conjugate() * to_rod).imag
    if side == 0.0:
        raise ValueError("Rod and rocker lie in one line: the branch is undecided.")
    shock = (complex(*shock_joint_mm) - pivot) / to_rod * abs(to_rod)
    on_arm = _on_arm(arm, alpha_rad)
    return LinkagePoints(
        layout=Layout(layout),
        frame_eye_x_mm=frame_eye_mm[0],
        frame_eye_z_mm=frame_eye_mm[1],
        arm_point_u_mm=-on_arm.real,
        arm_point_v_mm=on_arm.imag,
        frame_point_x_mm=frame.real,
        frame_point_z_mm=frame.imag,
        rod_length_mm=abs(far_end - complex(*rod_joint_mm)),
        rocker_rod_mm=abs(to_rod),
        rocker_shock_u_mm=shock.real,
        rocker_shock_v_mm=shock.imag,
        branch=1.0 if side > 0.0 else -1.0,
    )


def direct_from_drawing(
    *,
    alpha_rad: ArrayLike,
    frame_eye_mm: tuple[float, float],
    arm_point_mm: tuple[float, float],
) -> LinkagePoints:
    """Shock straight between frame and arm, from its eyes' places as `rocker_from_drawing`."""
    on_arm = _on_arm(complex(*arm_point_mm), alpha_rad)
    return LinkagePoints(
        layout=Layout.DIRECT,
        frame_eye_x_mm=frame_eye_mm[0],
        frame_eye_z_mm=frame_eye_mm[1],
        arm_point_u_mm=-on_arm.real,
        arm_point_v_mm=on_arm.imag,
    )


def _on_arm(place: complex, alpha_rad: ArrayLike) -> _Vectors:
    """A drawn point turned back into the arm's own frame (its real part points to -u)."""
    return np.asarray(place * np.exp(1j * np.asarray(alpha_rad, np.float64)))


class Joints(NamedTuple):
    """Places of the moving joints, x and z in a last axis of 2; nan where not assembled.

    Without a rocker the shock joint is the arm point, and there is no rod joint.
    """

    arm_point_mm: Floats
    rod_joint_mm: Floats
    shock_joint_mm: Floats


def joints(points: LinkagePoints, alpha_rad: ArrayLike) -> Joints:
    """Where the joints stand at each arm angle, in the chassis frame from the swing-arm pivot."""
    alpha = np.asarray(alpha_rad, np.float64)
    arm = _arm_path(points, alpha)
    if Layout(points.layout) is Layout.DIRECT:
        return Joints(_places(arm.at), np.full((*np.shape(arm.at), 2), np.nan), _places(arm.at))
    ends = _rocker_ends(points, arm)
    shock, meets = _rocker_path(points, points.rocker_shock_u_mm, points.rocker_shock_v_mm, *ends)
    rod, _ = _rocker_path(points, points.rocker_rod_mm, 0.0, *ends)
    return Joints(*(_places(np.where(meets, at, np.nan)) for at in (arm.at, rod.at, shock.at)))


def _places(at: _Vectors) -> Floats:
    return np.stack([at.real, at.imag], axis=-1)


class ShockLength(NamedTuple):
    """Length between the shock's eyes and its derivatives; nan exactly where not `assembled`."""

    length_mm: Floats
    slope_mm_per_rad: Floats
    curvature_mm_per_rad2: Floats
    assembled: Flags


class _Path(NamedTuple):
    """A plane point with its first and second derivative after alpha."""

    at: _Vectors
    first: _Vectors
    second: _Vectors


def four_bar(points: LinkagePoints, alpha_rad: ArrayLike) -> ShockLength:
    """Shock length and its first two derivatives after the arm's angle.

    `assembled` is False where rod and rocker cannot meet, or stand at dead centre; the other
    results are nan there and only there. A branch holds within a stretch of angles that is
    assembled throughout: a linkage cannot cross a gap.

    Source: intersection of two circles, differentiated after alpha.
    """
    alpha = np.asarray(alpha_rad, np.float64)
    eye = _vector(points.frame_eye_x_mm, points.frame_eye_z_mm)
    arm = _arm_path(points, alpha)
    if Layout(points.layout) is Layout.DIRECT:
        return _length(eye, arm, np.ones(np.shape(arm.at), dtype=np.bool_))
    shock = points.rocker_shock_u_mm, points.rocker_shock_v_mm
    return _length(eye, *_rocker_path(points, *shock, *_rocker_ends(points, arm)))


def _arm_path(points: LinkagePoints, alpha: Floats) -> _Path:
    turned = _vector(-np.asarray(points.arm_point_u_mm), points.arm_point_v_mm)
    turned = turned * np.exp(-1j * alpha)
    return _Path(turned, -1j * turned, -turned)


def _rocker_ends(points: LinkagePoints, arm: _Path) -> tuple[_Path, _Path]:
    """The rocker's pivot and the rod's far end."""
    place = _vector(points.frame_point_x_mm, points.frame_point_z_mm)
    frame = _Path(place, np.zeros_like(place), np.zeros_like(place))
    return (frame, arm) if Layout(points.layout) is Layout.ROCKER_ON_FRAME else (arm, frame)


def _rocker_path(
    points: LinkagePoints, u_mm: ArrayLike, v_mm: ArrayLike, pivot: _Path, far_end: _Path
) -> tuple[_Path, Flags]:
    """Path of a point of the rocker, given in the rocker's own frame.

    With w from pivot to the rod's far end and q = |w|^2, the rod joint is pivot + (a + i b) w
    where a = 1/2 + (r^2 - l^2)/(2 q) and b^2 = r^2/q - a^2; b is real while the circles meet.
    """
    w, dw, ddw = (b - a for a, b in zip(pivot, far_end, strict=True))
    radius2 = np.asarray(points.rocker_rod_mm, np.float64) ** 2
    half = (radius2 - np.asarray(points.rod_length_mm, np.float64) ** 2) / 2.0
    q = np.abs(w) ** 2
    apart = q > 0.0
    q = np.where(apart, q, 1.0)
    dq = 2.0 * (w.conj() * dw).real
    ddq = 2.0 * (np.abs(dw) ** 2 + (w.conj() * ddw).real)
    # Derivatives of 1/q, which both a and b^2 are made of.
    inv, dinv, ddinv = 1.0 / q, -dq / q**2, 2.0 * dq**2 / q**3 - ddq / q**2
    a, da, dda = 0.5 + half * inv, half * dinv, half * ddinv
    square = radius2 * inv - a**2
    meets = apart & (square > _DEAD_CENTRE * radius2 * inv)
    b = np.asarray(points.branch) * np.sqrt(np.where(meets, square, 1.0))
    db = (radius2 * dinv - 2.0 * a * da) / (2.0 * b)
    ddb = (radius2 * ddinv - 2.0 * da**2 - 2.0 * a * dda - 2.0 * db**2) / (2.0 * b)
    turn, dturn, ddturn = a + 1j * b, da + 1j * db, dda + 1j * ddb
    shape = _vector(u_mm, v_mm) / np.sqrt(radius2)
    return _Path(
        pivot.at + shape * turn * w,
        pivot.first + shape * (dturn * w + turn * dw),
        pivot.second + shape * (ddturn * w + 2.0 * dturn * dw + turn * ddw),
    ), meets


def _length(eye: _Vectors, joint: _Path, meets: Flags) -> ShockLength:
    span = joint.at - eye
    length = np.abs(span)
    good = meets & (length > 0.0)
    safe = np.where(good, length, 1.0)
    first = (span.conj() * joint.first).real / safe
    second = (np.abs(joint.first) ** 2 + (span.conj() * joint.second).real - first**2) / safe
    return ShockLength(
        _where(good, length), _where(good, first), _where(good, second), np.asarray(good)
    )


class MotionRatio(NamedTuple):
    """Shock against axle; nan exactly where not `assembled`.

    `ratio` m = ds/dy, shock compression per axle rise, the inverse of the leverage;
    `ratio_slope_per_mm` is dm/dy.
    """

    shock_travel_mm: Floats
    ratio: Floats
    ratio_slope_per_mm: Floats
    assembled: Flags


def motion_ratio(
    points: LinkagePoints,
    *,
    arm_length_mm: ArrayLike,
    extended_alpha_rad: ArrayLike,
    axle_rise_mm: ArrayLike,
) -> MotionRatio:
    """Shock travel, motion ratio and its slope over a grid of axle rise from full extension.

    The rise y = L (sin(alpha) - sin(alpha_ext)) is vertical in the chassis frame; shock travel s
    is the length at extension less the length now. Besides what `four_bar` says, `assembled` is
    False where the arm cannot reach the rise, and everywhere on a linkage that does not go
    together at extension.

    Raises ValueError for an arm length not above zero or an extended angle past the vertical.
    Source: m = -l'(alpha) / (L cos(alpha)), differentiated once more.
    """
    arm = np.asarray(arm_length_mm, np.float64)
    start = np.asarray(extended_alpha_rad, np.float64)
    if not np.all(arm > 0.0):
        raise ValueError("The swing-arm's length must be above zero.")
    if not np.all(np.abs(start) < np.pi / 2.0):
        raise ValueError("The swing-arm must point backward at full extension.")
    sine = np.sin(start) + np.asarray(axle_rise_mm, np.float64) / arm
    reached = np.abs(sine) < 1.0
    alpha = np.arcsin(np.where(reached, sine, 0.0))
    extended, now = four_bar(points, start), four_bar(points, alpha)
    good = reached & extended.assembled & now.assembled
    cos, tan = np.cos(alpha), np.tan(alpha)
    ratio = -now.slope_mm_per_rad / (arm * cos)
    slope = -(now.curvature_mm_per_rad2 + now.slope_mm_per_rad * tan) / (arm * cos) ** 2
    travel = extended.length_mm - now.length_mm
    return MotionRatio(_where(good, travel), _where(good, ratio), _where(good, slope), good)


def _where(good: Flags, values: Floats) -> Floats:
    return np.where(good, values, np.nan)


def _vector(x: ArrayLike, z: ArrayLike) -> _Vectors:
    return np.asarray(np.asarray(x, np.float64) + 1j * np.asarray(z, np.float64))
