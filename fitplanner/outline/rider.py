"""The rider from the side, in riding gear, in world mm.

Owns the figure's outline around given joints. Refuses to place joints.
"""
# ruff: noqa: RUF005 - points are arrays, `point + [x, z]` shifts them

from dataclasses import replace

import numpy as np

from fitplanner.outline.curves import capsule, joined, rounded, smooth, tube
from fitplanner.outline.inputs import RiderJoints
from fitplanner.outline.shape import Points, Shape, moved


def _helmet(r: float) -> tuple[Shape, ...]:
    """Off-road helmet about the middle of the head, facing +x, for a head of radius r."""
    shell = smooth(
        np.array(
            [
                (0.5, 1.16),
                (-0.1, 1.34),
                (-0.78, 1.08),
                (-1.18, 0.4),
                (-1.16, -0.36),
                (-0.92, -0.96),
                (-0.5, -1.18),
                (0.1, -1.14),
                (0.34, -1.22),
                (0.92, -1.2),
                (1.5, -0.98),
                (1.6, -0.62),
                (1.36, -0.34),
                (1.04, -0.16),
                (1.06, 0.5),
            ]
        )
        * r,
        closed=True,
    )
    port = smooth(
        np.array(
            [
                (1.14, 0.44),
                (0.62, 0.56),
                (0.16, 0.4),
                (0.1, 0.02),
                (0.4, -0.36),
                (0.92, -0.44),
                (1.26, -0.28),
                (1.16, 0.06),
            ]
        )
        * r,
        closed=True,
    )
    lens = smooth(
        np.array(
            [
                (1.2, 0.36),
                (0.78, 0.42),
                (0.46, 0.28),
                (0.46, -0.06),
                (0.72, -0.22),
                (1.14, -0.2),
                (1.24, 0.06),
            ]
        )
        * r,
        closed=True,
    )
    peak = smooth(
        np.array(
            [
                (-0.36, 1.3),
                (0.1, 1.42),
                (0.8, 1.4),
                (1.5, 1.2),
                (2.04, 0.88),
                (1.98, 0.8),
                (1.36, 0.98),
                (0.9, 0.88),
                (0.62, 0.84),
                (0.2, 1.12),
            ]
        )
        * r,
        closed=True,
    )
    strap = np.array([(0.36, 0.18), (-0.4, 0.26), (-1.16, 0.14)]) * r
    stripe = smooth(
        np.array(
            [
                (-1.1, -0.1),
                (-0.5, -0.18),
                (0.16, -0.5),
                (0.9, -0.86),
                (1.5, -0.86),
                (1.3, -1.08),
                (0.5, -1.06),
                (-0.2, -0.72),
                (-1.06, -0.5),
            ]
        )
        * r,
        closed=True,
    )
    vents = joined(
        *(np.array([(1.12 + d, -0.56 - 0.1 * d), (1.36 + d, -0.7 - 0.1 * d)]) * r for d in (0.0,))
    )
    return (
        Shape("helmet", "helmet", "fill", shell, order=94, contour=True),
        Shape("helmet_stripe", "plastic", "fill", stripe, order=94),
        Shape("goggle_strap", "goggle", "line", smooth(strap), width_mm=0.22 * r, order=94),
        Shape("eye_port", "goggle", "fill", port, order=95),
        Shape("lens", "glass", "fill", lens, order=95),
        Shape("helmet_vents", "shade", "line", vents, width_mm=0.09 * r, order=95),
        Shape("peak", "peak", "fill", peak, order=96, contour=True),
    )


def _boot(j: RiderJoints, q: float) -> tuple[Shape, ...]:
    """Tall boot from mid-shank to the sole, bending at the ball."""
    knee, ankle = np.array(j.knee), np.array(j.ankle)
    heel, ball, toe = np.array(j.heel), np.array(j.ball), np.array(j.toe)
    up = (knee - ankle) / np.hypot(*(knee - ankle))
    ahead = np.array([up[1], -up[0]])
    along = (ball - heel) / np.hypot(*(ball - heel))
    rise = np.array([-along[1], along[0]])
    tip = (toe - ball) / np.hypot(*(toe - ball))
    tip_up = np.array([-tip[1], tip[0]])
    shaft = 0.58 * float(np.hypot(*(knee - ankle)))
    top_back, top_front = (
        ankle + shaft * up - 62 * q * ahead,
        ankle + (shaft + 12 * q) * up + 60 * q * ahead,
    )
    outline = np.concatenate(
        [
            smooth(
                [
                    top_front,
                    ankle + 0.5 * shaft * up + 58 * q * ahead,
                    ankle + 34 * q * up + 54 * q * ahead,
                    ball + 66 * q * rise - 26 * q * along,
                    toe + 40 * q * tip_up - 26 * q * tip,
                    toe + 14 * q * tip_up + 3 * q * tip,
                ]
            ),
            [toe, ball, heel],
            smooth(
                [
                    heel + 16 * q * rise - 8 * q * along,
                    heel + 52 * q * rise - 4 * q * along,
                    ankle + 46 * q * up - 46 * q * ahead,
                    ankle + 0.6 * shaft * up - 62 * q * ahead,
                    top_back,
                ]
            ),
        ]
    )
    sole = np.concatenate(
        [
            [toe + 2 * q * tip, ball, heel - 6 * q * along, heel - 6 * q * along + 24 * q * rise],
            [heel + 60 * q * along + 22 * q * rise, heel + 66 * q * along + 15 * q * rise],
            [ball + 15 * q * rise, toe + 15 * q * tip_up + 4 * q * tip],
        ]
    )
    straps = joined(
        *(
            np.array(
                [ankle + a * q * up + 52 * q * ahead, ankle + (a - 12) * q * up - 4 * q * ahead]
            )
            for a in (36, 86, 134)
            if a * q < shaft - 10 * q
        )
    )
    shin = smooth(
        [
            ankle + (shaft - 4 * q) * up + 58 * q * ahead,
            ankle + 0.5 * shaft * up + 54 * q * ahead,
            ankle + 44 * q * up + 48 * q * ahead,
            ankle + 48 * q * up + 26 * q * ahead,
            ankle + 0.5 * shaft * up + 28 * q * ahead,
            ankle + (shaft - 4 * q) * up + 30 * q * ahead,
        ],
        closed=True,
    )
    cuff = tube([top_back, top_front], 20 * q)
    cap = smooth(
        [
            toe + 38 * q * tip_up - 30 * q * tip,
            toe + 14 * q * tip_up + 2 * q * tip,
            toe + 15 * q * tip_up - 46 * q * tip,
            toe + 34 * q * tip_up - 52 * q * tip,
        ],
        closed=True,
    )
    return (
        Shape("boot", "boot", "fill", outline, order=84, contour=True),
        Shape("boot_shin", "boot_trim", "fill", shin, order=84),
        Shape("boot_cap", "boot_trim", "fill", cap, order=84),
        Shape("boot_straps", "boot_trim", "line", straps, width_mm=11 * q, order=85),
        Shape("boot_cuff", "boot_trim", "fill", rounded(cuff, 8 * q), order=85),
        Shape("sole", "sole", "fill", sole, order=85, contour=True),
    )


def _leg(j: RiderJoints, q: float) -> tuple[Shape, ...]:
    """Trousers: thigh and shank with a padded knee."""
    hip, knee, ankle = np.array(j.hip), np.array(j.knee), np.array(j.ankle)
    thigh = capsule(hip, knee, 88 * q, 63 * q)
    shank = capsule(knee, knee + 0.66 * (ankle - knee), 62 * q, 52 * q)
    (ux, uz), (vx, vz) = knee - hip, ankle - knee
    fold = float(ux * vz - uz * vx)
    bisect = (knee - hip) / np.hypot(*(knee - hip)) - (ankle - knee) / np.hypot(*(ankle - knee))
    size = float(np.hypot(*bisect))
    out = bisect / size if size > 0.15 and fold < 0 else np.array([1.0, 0.1])
    side = np.array([-out[1], out[0]])
    pad = smooth(
        [
            knee + 60 * q * out,
            knee + 46 * q * out + 46 * q * side,
            knee + 6 * q * out + 56 * q * side,
            knee + 6 * q * out - 4 * q * side,
            knee + 8 * q * out - 66 * q * side,
            knee + 42 * q * out - 54 * q * side,
        ],
        closed=True,
    )
    way = (knee - hip) / np.hypot(*(knee - hip))
    left = np.array([-way[1], way[0]])
    stripe = smooth(
        [
            hip + 20 * q * way + 26 * q * left,
            0.5 * (hip + knee) + 34 * q * left,
            knee - 74 * q * way + 20 * q * left,
            knee - 96 * q * way + 2 * q * left,
            0.5 * (hip + knee) + 10 * q * left,
        ],
        closed=True,
    )
    return (
        Shape("shank", "trousers", "fill", shank, order=83, contour=True),
        Shape("thigh", "trousers", "fill", thigh, order=86, contour=True),
        Shape("thigh_stripe", "trousers_trim", "fill", stripe, order=86),
        Shape("knee_pad", "shade", "fill", pad, order=87),
    )


def _torso(j: RiderJoints, q: float) -> tuple[Shape, ...]:
    """Jacket from the seat to the collar."""
    hip, shoulder = np.array(j.hip), np.array(j.shoulder)
    neck, head = np.array(j.neck), np.array(j.head)
    up = (shoulder - hip) / np.hypot(*(shoulder - hip))
    ahead = np.array([up[1], -up[0]])
    n = float(np.hypot(*(shoulder - hip)))

    def at(share: float, fore: float) -> Points:
        return np.asarray(hip + share * n * up + fore * q * ahead)

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
    seat = capsule(hip + [-12 * q, 0], hip + [0, 2 * q], 90 * q, 88 * q)
    hem = tube([at(0.06, -104), at(0.04, 0), at(0.1, 100)], 24 * q)
    back = smooth(
        [at(0.2, -104), at(0.45, -104), at(0.72, -119), at(0.9, -98), at(0.8, -62), at(0.5, -62)],
        closed=True,
    )
    throat = tube([neck - 10 * q * up, 0.55 * neck + 0.45 * head], 96 * q)
    collar = tube([at(1.06, -58), at(1.14, 0), at(1.06, 56)], 34 * q)
    return (
        Shape("seat_of_trousers", "trousers", "fill", seat, order=82, contour=True),
        Shape("throat", "jacket_trim", "fill", throat, order=88, contour=True),
        Shape("jacket", "jacket", "fill", body, order=89, contour=True),
        Shape("jacket_back", "jacket_trim", "fill", back, order=89),
        Shape("jacket_hem", "jacket_trim", "fill", rounded(hem, 8 * q), order=89),
        Shape("collar", "jacket_trim", "fill", collar, order=90),
    )


def _arm(j: RiderJoints, q: float) -> tuple[Shape, ...]:
    """Sleeve and glove."""
    shoulder, elbow, hand = np.array(j.shoulder), np.array(j.elbow), np.array(j.hand)
    way = (hand - elbow) / np.hypot(*(hand - elbow))
    wrist = hand - 44 * q * way
    upper = capsule(shoulder, elbow, 66 * q, 47 * q)
    lower = capsule(elbow, wrist, 48 * q, 35 * q)
    seam = capsule(elbow - 4 * q * way, elbow + 62 * q * way, 30 * q, 22 * q)
    side = np.array([-way[1], way[0]])
    palm = smooth(
        [
            wrist - 26 * q * way + 34 * q * side,
            hand - 10 * q * way + 36 * q * side,
            hand + 30 * q * way + 26 * q * side,
            hand + 40 * q * way - 4 * q * side,
            hand + 22 * q * way - 32 * q * side,
            hand - 14 * q * way - 34 * q * side,
            wrist - 26 * q * way - 32 * q * side,
        ],
        closed=True,
    )
    fingers = joined(
        *(
            np.array(
                [
                    hand + (4 + 11 * i) * q * way + 20 * q * side,
                    hand + (2 + 10 * i) * q * way - 22 * q * side,
                ]
            )
            for i in range(3)
        )
    )
    cuff = tube(
        [wrist - 26 * q * way + 36 * q * side, wrist - 26 * q * way - 36 * q * side], 22 * q
    )
    return (
        Shape(
            "arm_shadow",
            "shade",
            "fill",
            capsule(shoulder + [-4 * q, -8 * q], elbow + [-4 * q, -10 * q], 66 * q, 48 * q),
            order=91,
        ),
        Shape("forearm", "jacket", "fill", lower, order=92, contour=True),
        Shape("upper_arm", "jacket", "fill", upper, order=92, contour=True),
        Shape("elbow_pad", "jacket_trim", "fill", seam, order=92),
        Shape("glove", "glove", "fill", palm, order=93, contour=True),
        Shape("fingers", "shade", "line", fingers, width_mm=4 * q, order=93),
        Shape("glove_cuff", "jacket_trim", "fill", rounded(cuff, 6 * q), order=93),
    )


def shod(j: RiderJoints) -> RiderJoints:
    """The joints with heel, ball and toe under the boot's sole."""
    heel, ball, toe = np.array(j.heel), np.array(j.ball), np.array(j.toe)

    def under(point: Points, way: Points) -> tuple[float, float]:
        x, z = point + np.array([way[1], -way[0]]) / np.hypot(*way) * j.sole_mm
        return float(x), float(z)

    return replace(
        j,
        heel=under(heel, ball - heel),
        ball=under(ball, ball - heel),
        toe=under(toe, toe - ball),
        sole_mm=0.0,
    )


def rider_shapes(j: RiderJoints) -> tuple[Shape, ...]:
    """All shapes of the rider in world mm; they cover the machine.

    Widths go with the lengths, so that a child is drawn slighter than an adult; legs that spread
    look short from the side, so the trunk counts as well.
    """
    bones = np.hypot(*np.subtract(j.hip, j.knee)) + np.hypot(*np.subtract(j.knee, j.ankle))
    trunk = np.hypot(*np.subtract(j.hip, j.shoulder))
    q = float(max(bones / 860.0, trunk / 505.0))
    nod = float(np.radians(-5))
    shapes = (
        *_torso(j, q),
        *_leg(j, q),
        *_boot(j, q),
        *_arm(j, q),
        *moved(_helmet(j.head_radius_mm), angle_rad=nod, to=j.head),
    )
    return tuple(sorted(shapes, key=lambda s: s.order))
