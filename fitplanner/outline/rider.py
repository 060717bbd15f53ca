"""The rider from the side, in riding gear, in world mm.

Owns the figure's outline around given joints: limbs are drawn once for a full-size rider and laid
between their joints. Refuses to place joints.
"""

from dataclasses import replace
from functools import lru_cache
from math import atan2, dist, hypot, radians

import numpy as np

from fitplanner.outline.curves import capsule, joined, rounded, smooth, tube
from fitplanner.outline.helmet import HEAD_MM, HELMET
from fitplanner.outline.inputs import Point, RiderJoints
from fitplanner.outline.place import Place, between, turned
from fitplanner.outline.shape import Form, Shape, laid_along, ordered, placed

NOD_RAD = radians(-5)


@lru_cache(maxsize=64)
def _boot_shaft(n: float) -> tuple[Form, ...]:
    """What lies on the boot's shaft, from the ankle along +x to a knee `n` away; shin downward."""
    shaft = 0.58 * n
    shin = smooth(
        [
            (shaft - 4, -58),
            (0.5 * shaft, -54),
            (44, -48),
            (48, -26),
            (0.5 * shaft, -28),
            (shaft - 4, -30),
        ],
        closed=True,
    )
    buckles = [a for a in (36.0, 86.0, 134.0) if a < shaft - 10] or [0.5 * shaft]
    straps = joined(*(np.array([(a, -52), (a - 12, 4)]) for a in buckles))
    cuff = rounded(tube([(shaft, 62), (shaft + 12, -60)], 20), 8)
    return (
        Form("boot_shin", "boot_trim", "fill", shin, order=84),
        Form("boot_straps", "boot_trim", "line", straps, width_mm=11, order=85),
        Form("boot_cuff", "boot_trim", "fill", cuff, order=85),
    )


_BOOT_CAP = Form(
    "boot_cap",
    "boot_trim",
    "fill",
    smooth([(-30, 38), (2, 14), (-46, 15), (-52, 34)], closed=True),
    order=84,
)


def _towards(start: Point, stop: Point, at: Point, q: float) -> Place:
    """A full-size rider's mm along the way from one point to another and to its left, from `at`."""
    way = atan2(stop[1] - start[1], stop[0] - start[0])
    return turned(way, to=at, scale=q)


def _boot(j: RiderJoints, q: float) -> tuple[Form, Form]:
    """Outline and sole of a tall boot, which bends at ankle and ball, in world mm."""
    shaft = 0.58 * dist(j.knee, j.ankle) / q
    leg = _towards(j.ankle, j.knee, j.ankle, q)
    heel, ball = (_towards(j.heel, j.ball, at, q) for at in (j.heel, j.ball))
    toe = _towards(j.ball, j.toe, j.toe, q)
    front = [
        leg.at(shaft + 12, -60),
        leg.at(0.5 * shaft, -58),
        leg.at(34, -54),
        ball.at(-26, 66),
        toe.at(-26, 40),
        toe.at(3, 14),
    ]
    back = [
        heel.at(-8, 16),
        heel.at(-4, 52),
        leg.at(46, 46),
        leg.at(0.6 * shaft, 62),
        leg.at(shaft, 62),
    ]
    outline = np.concatenate([smooth(front), [j.toe, j.ball, j.heel], smooth(back)])
    under = [toe.at(2, 0), j.ball, heel.at(-6, 0), heel.at(-6, 24), heel.at(60, 22)]
    sole = np.array([*under, heel.at(66, 15), ball.at(0, 15), toe.at(4, 15)])
    return (
        Form("boot", "boot", "fill", outline, order=84, contour=True),
        # shares its edges with the boot, which the union of a silhouette bears badly
        Form("sole", "sole", "fill", sole, order=85),
    )


@lru_cache(maxsize=64)
def _thigh(n: float) -> tuple[Form, ...]:
    """Thigh from the hip along +x to a knee `n` away."""
    stripe = smooth(
        [(20, 26), (0.5 * n, 34), (n - 74, 20), (n - 96, 2), (0.5 * n, 10)], closed=True
    )
    thigh = capsule((0, 0), (n, 0), 88, 63)
    return (
        Form("thigh", "trousers", "fill", thigh, order=86, contour=True),
        Form("thigh_stripe", "trousers_trim", "fill", stripe, order=86),
    )


@lru_cache(maxsize=64)
def _shank(n: float) -> tuple[Form, ...]:
    """Trousers from the knee along +x into a boot whose ankle is `n` away."""
    shank = capsule((0, 0), (0.66 * n, 0), 62, 52)
    return (Form("shank", "trousers", "fill", shank, order=83, contour=True),)


_KNEE_PAD = Form(
    "knee_pad",
    "shade",
    "fill",
    smooth([(60, 0), (46, 46), (6, 56), (6, -4), (8, -66), (42, -54)], closed=True),
    order=87,
)


def _knee_rad(j: RiderJoints) -> float:
    """Which way the knee points."""
    (ux, uz), (vx, vz) = np.subtract(j.knee, j.hip), np.subtract(j.ankle, j.knee)
    thigh, shank = hypot(ux, uz), hypot(vx, vz)
    x, z = ux / thigh - vx / shank, uz / thigh - vz / shank
    # a leg that is almost straight has no direction of its own
    if hypot(x, z) > 0.15 and ux * vz < uz * vx:
        return atan2(z, x)
    return atan2(0.1, 1.0)


@lru_cache(maxsize=64)
def _torso(n: float) -> tuple[Form, ...]:
    """Jacket from the hip along +x to a shoulder `n` away; the chest downward."""

    def at(share: float, fore: float) -> Point:
        return share * n, -fore

    body = smooth(
        [
            at(-0.1, -96),
            at(0.16, -112),
            at(0.42, -112),
            at(0.7, -128),
            at(0.92, -104),
            at(1.08, -46),
            at(1.12, 14),
            at(1.0, 66),
            at(0.8, 106),
            at(0.5, 116),
            at(0.22, 112),
            at(-0.02, 92),
            at(-0.12, 0),
        ],
        closed=True,
    )
    hem = tube([at(0.06, -104), at(0.04, 0), at(0.1, 100)], 24)
    back = smooth(
        [at(0.2, -104), at(0.45, -104), at(0.72, -119), at(0.9, -98), at(0.8, -62), at(0.5, -62)],
        closed=True,
    )
    collar = tube([at(1.06, -58), at(1.14, 0), at(1.06, 56)], 34)
    return (
        Form("jacket", "jacket", "fill", body, order=89, contour=True),
        Form("jacket_back", "jacket_trim", "fill", back, order=89),
        Form("jacket_hem", "jacket_trim", "fill", rounded(hem, 8), order=89),
        Form("collar", "jacket_trim", "fill", collar, order=90),
    )


_SEAT_OF_TROUSERS = Form(
    "seat_of_trousers",
    "trousers",
    "fill",
    capsule((-12, 0), (0, 2), 90, 88),
    order=82,
    contour=True,
)
_THROAT = Form(
    "throat", "jacket_trim", "fill", tube([(0, 0), (100, 0)], 96), order=88, contour=True
)


@lru_cache(maxsize=64)
def _arm_shadow(n: float) -> tuple[Form, ...]:
    """What the upper arm, `n` along +x, leaves on the jacket."""
    return (Form("arm_shadow", "shade", "fill", capsule((0, 0), (n, 0), 66, 48), order=91),)


@lru_cache(maxsize=64)
def _upper_arm(n: float) -> tuple[Form, ...]:
    """Sleeve from the shoulder along +x to an elbow `n` away."""
    sleeve = capsule((0, 0), (n, 0), 66, 47)
    return (Form("upper_arm", "jacket", "fill", sleeve, order=92, contour=True),)


@lru_cache(maxsize=64)
def _forearm(n: float) -> tuple[Form, ...]:
    """Sleeve from the elbow along +x to a hand `n` away."""
    sleeve = capsule((0, 0), (n - 44, 0), 48, 35)
    return (Form("forearm", "jacket", "fill", sleeve, order=92, contour=True),)


@lru_cache(maxsize=64)
def _hand(n: float) -> tuple[Form, ...]:
    """Elbow pad and glove on that forearm."""
    wrist = n - 44
    palm = smooth(
        [
            (wrist - 26, 34),
            (n - 10, 36),
            (n + 30, 26),
            (n + 40, -4),
            (n + 22, -32),
            (n - 14, -34),
            (wrist - 26, -32),
        ],
        closed=True,
    )
    fingers = joined(*(np.array([(n + 4 + 11 * i, 20), (n + 2 + 10 * i, -22)]) for i in range(3)))
    cuff = rounded(tube([(wrist - 26, 36), (wrist - 26, -36)], 22), 6)
    pad = capsule((-4, 0), (62, 0), 30, 22)
    return (
        Form("elbow_pad", "jacket_trim", "fill", pad, order=92),
        Form("glove", "glove", "fill", palm, order=93, contour=True),
        Form("fingers", "shade", "line", fingers, width_mm=4, order=93),
        Form("glove_cuff", "jacket_trim", "fill", cuff, order=93),
    )


def shod(j: RiderJoints) -> RiderJoints:
    """The joints with heel, ball and toe under the boot's sole."""

    def under(point: Point, start: Point, stop: Point) -> Point:
        """Square to the way from `start` to `stop`, below it."""
        return _towards(start, stop, point, 1.0).at(0.0, -j.sole_mm)

    return replace(
        j,
        heel=under(j.heel, j.heel, j.ball),
        ball=under(j.ball, j.heel, j.ball),
        toe=under(j.toe, j.ball, j.toe),
        sole_mm=0.0,
    )


def _shifted(p: Point, x: float, z: float) -> Point:
    return p[0] + x, p[1] + z


@lru_cache(maxsize=16)
def rider_shapes(j: RiderJoints) -> tuple[Shape, ...]:
    """All shapes of the rider in world mm; they cover the machine.

    Widths go with the lengths, so that a child is drawn slighter than an adult; legs that spread
    look short from the side, so the trunk counts as well.
    """
    bones = dist(j.hip, j.knee) + dist(j.knee, j.ankle)
    q = max(bones / 860.0, dist(j.hip, j.shoulder) / 505.0)

    up = np.subtract(j.shoulder, j.hip) / dist(j.hip, j.shoulder)
    throat = (
        _shifted(j.neck, *(-10 * q * up)),
        _shifted(j.neck, *(0.45 * np.subtract(j.head, j.neck))),
    )
    shadow = _shifted(j.shoulder, -4 * q, -8 * q), _shifted(j.elbow, -4 * q, -10 * q)
    return ordered(
        (
            *placed((_SEAT_OF_TROUSERS,), turned(0.0, to=j.hip, scale=q)),
            *placed((_THROAT,), between(*throat, length=100.0, across=q)),
            *laid_along(_torso, j.hip, j.shoulder, q),
            *laid_along(_shank, j.knee, j.ankle, q),
            *laid_along(_thigh, j.hip, j.knee, q),
            *placed((_KNEE_PAD,), turned(_knee_rad(j), to=j.knee, scale=q)),
            *placed(_boot(j, q)),
            *laid_along(_boot_shaft, j.ankle, j.knee, q),
            *placed((_BOOT_CAP,), _towards(j.ball, j.toe, j.toe, q)),
            *laid_along(_arm_shadow, *shadow, q),
            *laid_along(_forearm, j.elbow, j.hand, q),
            *laid_along(_upper_arm, j.shoulder, j.elbow, q),
            *laid_along(_hand, j.elbow, j.hand, q),
            *placed(HELMET, turned(NOD_RAD, to=j.head, scale=j.head_radius_mm / HEAD_MM)),
        )
    )
