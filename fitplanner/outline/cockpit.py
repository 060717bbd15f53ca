"""What stands before the rider: front fender, lamp, screen, handlebar; and the pegs.

Owns the controls and the front end that is fixed to the chassis, in the chassis frame. Refuses
whatever moves against the chassis.
"""
# ruff: noqa: RUF005 - points are arrays, `point + [x, z]` shifts them

from functools import lru_cache

import numpy as np

from fitplanner.outline.curves import arc, capsule, rounded, smooth, tube
from fitplanner.outline.inputs import BARE, MachineShape
from fitplanner.outline.landmarks import Landmarks, landmarks
from fitplanner.outline.place import Points
from fitplanner.outline.shape import Form


def _front(m: MachineShape, g: Landmarks) -> tuple[Form, ...]:
    """High front fender and what stands before the steering head."""
    k = g.k
    up = -g.down
    lift = m.front_radius_mm + min(m.front_bump_gap_mm, 60 * k)
    lean = np.arctan2(up[1], up[0])
    turn = np.radians(np.array([31, 20, 8, -6, -20, -33, -45]))
    grow = np.array([10, 2, 0, 2, 12, 34, 66]) * k
    thick = np.array([14, 30, 38, 38, 32, 22, 7]) * k

    def around(radius: Points) -> Points:
        at = lean + turn
        ring = radius[:, None] * np.column_stack([np.cos(at), np.sin(at)])
        return np.asarray(g.front_bump + ring)

    under, over = smooth(around(lift + grow)), smooth(around(lift + grow + thick))
    fender = np.concatenate([over, under[::-1]])
    edge = np.concatenate([under, smooth(around(lift + grow + 0.28 * thick))[::-1]])
    glow = smooth(around(lift + grow + 0.78 * thick))[6:-8]
    shapes = [
        Form("front_fender", "plastic", "fill", fender, order=70, contour=True),
        Form("front_fender_gloss", "shine", "line", glow, width_mm=5 * k, order=70),
        Form("front_fender_edge", "shade", "fill", edge, order=70),
    ]
    half = m.stanchion_diameter_mm / 2
    if m.kind in BARE:
        board = rounded(
            [
                g.leg(g.clamp_top_mm + 42 * k, half + 14 * k),
                g.leg(g.clamp_top_mm + 46 * k, half + 34 * k),
                g.leg(g.clamp_low_mm + 20 * k, half + 52 * k),
                g.leg(g.clamp_low_mm + 4 * k, half + 16 * k),
            ],
            12 * k,
        )
        return (*shapes, Form("number_board", "plastic", "fill", board, order=72, contour=True))
    lamp = np.array(m.headlamp)
    big = m.kind == "adventure"
    h, deep = (150 * k, 150 * k) if big else (112 * k, 96 * k)
    # a lamp far out keeps its mask on the fork
    behind = g.leg(float((lamp[1] - g.leg(0.0)[1]) / -g.down[1]))
    reach = float(np.clip(lamp[0] - behind[0] + 12 * k, deep, 2.6 * deep))
    far = reach - deep
    mask = rounded(
        [
            lamp + [-0.98 * deep - 0.8 * far, 0.86 * h],
            lamp + [-0.34 * deep - 0.5 * far, 1.08 * h],
            lamp + [0.04 * deep, 0.5 * h],
            lamp + [0.3 * deep, -0.3 * h],
            lamp + [0.14 * deep, -0.9 * h],
            lamp + [-0.6 * deep - 0.6 * far, -1.0 * h],
            lamp + [-1.0 * deep - far, -0.5 * h],
        ],
        np.array([26, 34, 60, 60, 34, 30, 60]) * k,
    )
    brow = rounded(
        [
            lamp + [-0.9 * deep - 0.5 * far, 0.56 * h],
            lamp + [-0.3 * deep - 0.3 * far, 0.76 * h],
            lamp + [0.0 * deep, 0.4 * h],
            lamp + [-0.36 * deep, 0.34 * h],
        ],
        12 * k,
    )
    glass = smooth(
        [
            lamp + [-0.02 * deep, 0.36 * h],
            lamp + [0.2 * deep, -0.06 * h],
            lamp + [0.17 * deep, -0.5 * h],
            lamp + [-0.16 * deep, -0.42 * h],
            lamp + [-0.26 * deep, 0.04 * h],
        ],
        closed=True,
    )
    shapes += [
        Form("lamp_mask", "plastic", "fill", mask, order=71, contour=True),
        Form("lamp_brow", "panel", "fill", brow, order=71),
        Form("headlamp", "glass", "fill", glass, order=72),
    ]
    if big:
        screen = smooth(
            [
                lamp + [-0.2 * deep, 0.86 * h],
                lamp + [-0.62 * deep - 0.6 * far, 1.7 * h],
                lamp + [-1.06 * deep - 0.6 * far, 2.35 * h],
                lamp + [-1.16 * deep - 0.6 * far, 2.3 * h],
                lamp + [-1.0 * deep - 0.6 * far, 1.5 * h],
                lamp + [-0.9 * deep - 0.6 * far, 0.8 * h],
            ],
            closed=True,
        )
        shapes.append(Form("screen", "glass", "fill", screen, order=69, contour=True))
    return tuple(shapes)


def _bars(m: MachineShape, g: Landmarks) -> tuple[Form, ...]:
    """Handlebar with risers, grip, lever and hand guard."""
    k = g.k
    grip = np.array(m.grip)
    clamp = g.axis(g.clamp_top_mm + 46 * k, 10 * k)
    room = grip - clamp
    bar = [clamp, clamp + 0.45 * room + np.array([16, 6]) * k, grip + np.array([34, 5]) * k, grip]
    riser = tube([g.axis(g.clamp_top_mm + 6 * k, 8 * k), clamp], [34 * k, 30 * k])
    rubber = capsule(grip + [34 * k, 5 * k], grip + [-40 * k, -6 * k], 16 * k, 17 * k)
    lever = smooth([grip + [40 * k, 6 * k], grip + [66 * k, -4 * k], grip + [70 * k, -34 * k]])
    pump = rounded(
        [
            grip + [30 * k, -6 * k],
            grip + [62 * k, 2 * k],
            grip + [58 * k, 34 * k],
            grip + [26 * k, 28 * k],
        ],
        7 * k,
    )
    shapes = [
        Form("riser", "dark_metal", "fill", riser, order=74, contour=True),
        Form("bar", "frame", "line", smooth(bar), width_mm=24 * k, order=75, contour=True),
        Form("grip", "rubber", "fill", rubber, order=76, contour=True),
        Form("bar_pump", "dark_metal", "fill", pump, order=76),
        Form("lever", "metal", "line", lever, width_mm=9 * k, order=76),
    ]
    if m.kind in ("enduro", "adventure", "trail"):
        guard = smooth(
            [
                grip + [78 * k, 46 * k],
                grip + [104 * k, 6 * k],
                grip + [92 * k, -46 * k],
                grip + [68 * k, -58 * k],
                grip + [74 * k, -6 * k],
            ],
            closed=True,
        )
        stay = np.array([grip + [84 * k, 0], grip + [10 * k, 2 * k]])
        shapes += [
            Form("hand_guard_stay", "dark_metal", "line", stay, width_mm=10 * k, order=75),
            Form("hand_guard", "plastic", "fill", guard, order=91, contour=True),
        ]
    if m.kind in ("adventure", "dual_sport"):
        stem = smooth([grip + [26 * k, 10 * k], grip + [30 * k, 90 * k], grip + [6 * k, 150 * k]])
        glass = capsule(grip + [14 * k, 150 * k], grip + [-4 * k, 178 * k], 20 * k, 24 * k)
        shapes += [
            Form("mirror_stem", "trim", "line", stem, width_mm=9 * k, order=75),
            Form("mirror", "trim", "fill", glass, order=76, contour=True),
        ]
    return tuple(shapes)


def _pegs(m: MachineShape) -> tuple[Form, ...]:
    """Foot peg, brake pedal and the plate of the heel."""
    k = landmarks(m).k
    peg = np.array(m.peg)
    teeth = rounded(
        [peg + [-30 * k, 0], peg + [30 * k, 0], peg + [24 * k, -17 * k], peg + [-24 * k, -17 * k]],
        5 * k,
    )
    pedal = smooth(
        [
            peg + [-26 * k, -30 * k],
            peg + [60 * k, -34 * k],
            peg + [128 * k, 2 * k],
            peg + [152 * k, 8 * k],
        ]
    )
    tip = arc(peg + [150 * k, 8 * k], 9 * k, 0, 2 * np.pi, samples=16)
    return (
        Form("pedal", "metal", "line", pedal, width_mm=13 * k, order=57),
        Form("pedal_tip", "rubber", "fill", tip, order=57),
        Form("peg", "dark_metal", "fill", teeth, order=58, contour=True),
    )


@lru_cache(maxsize=64)
def cockpit(m: MachineShape) -> tuple[Form, ...]:
    """Front end, bars and pegs, once per machine."""
    g = landmarks(m)
    return (*_front(m, g), *_bars(m, g), *_pegs(m))
