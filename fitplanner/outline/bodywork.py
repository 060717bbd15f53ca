"""Seat, tank, panels, rear fender and plate: what gives a machine its look.

Owns the bodywork in the chassis frame. Refuses whatever moves against the chassis.
"""
# ruff: noqa: RUF005 - points are arrays, `point + [x, z]` shifts them

from functools import lru_cache

import numpy as np

from fitplanner.outline.curves import capsule, rounded, smooth, tube
from fitplanner.outline.inputs import BARE, MachineShape
from fitplanner.outline.landmarks import (
    Landmarks,
    base_at,
    landmarks,
    on_base,
    seat_base,
    seat_controls,
)
from fitplanner.outline.shape import Form


@lru_cache(maxsize=64)
def seat(m: MachineShape, lowering_mm: float, squash_mm: float) -> tuple[Form, ...]:
    """The saddle; its surface passes through the seat point, lowered and squashed."""
    k = landmarks(m).k
    controls = seat_controls(m, lowering_mm, squash_mm)
    top, under = smooth(controls), seat_base(m).copy()
    # deep seat work shows as a thinner pan, never as a cut surface
    under[:, 1] = np.minimum(under[:, 1], np.interp(under[:, 0], *top.T) - 9 * k)
    nose, tail = top[-1], top[0]
    outline = np.concatenate(
        [top, [nose + [9 * k, -12 * k]], under[::-1], [tail - [12 * k, 10 * k]]]
    )
    edge = min(m.seat_edge_drop_mm, 0.55 * m.seat_foam_mm)
    ramp = np.interp(np.linspace(0, 1, len(top)), [0, 0.2, 0.8, 1], [0.35, 1, 1, 0.3])
    lower = top - np.column_stack([0 * ramp, edge * ramp])
    seam = smooth(controls[1:-1] - [0, 0.62 * m.seat_foam_mm], samples=6)
    return (
        Form("seat", "seat", "fill", outline, order=66, contour=True),
        Form("seat_top", "shine", "fill", np.concatenate([top, lower[::-1]]), order=66),
        Form("seat_seam", "shade", "line", seam, width_mm=3.5 * k, order=66),
    )


def _tank(m: MachineShape, g: Landmarks) -> tuple[Form, ...]:
    """Tank and shroud; bulk grows with the litres."""
    k, b = g.k, g.bulk
    nose = seat_controls(m, 0.0, 0.0)[-1]
    head = g.axis(g.clamp_top_mm - 52 * k, -34 * k)
    x = float(np.clip(m.tank[0] + 40 * k, nose[0] + 0.3 * (head[0] - nose[0]), head[0] - 40 * k))
    crown = np.array([x, max(nose[1], head[1]) + (16 + 95 * max(b, 0)) * k])
    crown[1] = min(crown[1], m.grip[1] - 40 * k)
    rear_low = np.array([nose[0] - 110 * k, base_at(m, nose[0] - 110 * k) - 18 * k])
    chin = g.axis(g.clamp_low_mm - (60 + 40 * b) * k, (-64 + 22 * b) * k)
    belly = g.axis(g.clamp_low_mm - (235 + 120 * b) * k, (-112 + 30 * b) * k)
    waist = 0.5 * (belly + rear_low) + np.array([18 * k, (30 - 70 * b) * k])
    tank = smooth(
        [
            nose - [62 * k, 34 * k],
            nose + [4 * k, -5 * k],
            crown,
            head + [0, 14 * k],
            g.axis(g.clamp_low_mm + 36 * k, -46 * k),
            waist + [0.3 * (belly[0] - waist[0]), 12 * k],
            rear_low,
        ],
        closed=True,
    )
    tip = g.axis(g.clamp_low_mm + (2 - 20 * b) * k, (-22 + 34 * b) * k)
    shroud = smooth(
        [
            crown + [0.62 * (head[0] - crown[0]), -34 * k],
            g.axis(g.clamp_low_mm + 66 * k, -38 * k),
            tip,
            chin + [6 * k, -6 * k],
            belly,
            waist + [-8 * k, -4 * k],
            rear_low + [16 * k, 2 * k],
            0.5 * (rear_low + crown) + [6 * k, -16 * k],
        ],
        closed=True,
    )
    vent = rounded(
        [
            chin + [-10 * k, 26 * k],
            chin + [-20 * k, -34 * k],
            belly + [14 * k, 42 * k],
            belly + [-24 * k, 66 * k],
            chin + [-66 * k, 4 * k],
        ],
        14 * k,
    )
    mid = 0.5 * (rear_low + chin)
    flash = rounded(
        [
            rear_low + [58 * k, 26 * k],
            mid + [26 * k, 42 * k],
            chin + [-34 * k, 70 * k],
            chin + [-52 * k, 34 * k],
            mid + [6 * k, 6 * k],
        ],
        10 * k,
    )
    cap = capsule(crown + [-16 * k, 2 * k], crown + [16 * k, 2 * k], 9 * k, 9 * k)
    radiator = tube([chin + [-26 * k, 0], belly + [8 * k, -30 * k]], 46 * k)
    return (
        Form("radiator", "fin", "fill", radiator, order=38, contour=True),
        Form("tank_cap", "dark_metal", "fill", cap, order=61),
        Form("tank", "tank", "fill", tank, order=62, contour=True),
        Form("shroud", "plastic", "fill", shroud, order=64, contour=True),
        Form("shroud_vent", "trim", "fill", vent, order=64),
        Form("shroud_flash", "panel", "fill", flash, order=64),
    )


def _tail(m: MachineShape, g: Landmarks) -> tuple[Form, ...]:
    """Side panel, rear fender with the circle of the wheel at full bump, lamp and plate."""
    k = g.k
    x, _ = m.seat
    top = seat_controls(m, 0.0, 0.0)
    tail = top[0]
    tip_x = min(m.plate[0] - 20 * k, tail[0] - 120 * k) if m.kind not in BARE else tail[0] - 190 * k
    tip_x = max(tip_x, tail[0] - 300 * k)
    tip = np.array([tip_x, tail[1] + 4 * k])
    clear = m.rear_radius_mm + min(m.rear_bump_gap_mm, 40 * k)

    def under(at: float) -> float:
        """The fender's under side: over the bumped wheel as far as the seat lets it."""
        reach = clear**2 - (at - float(g.rear_bump[0])) ** 2
        circle = float(g.rear_bump[1]) + np.sqrt(max(reach, 0.0))
        roof = base_at(m, at) - 16 * k if at > tail[0] else float(tail[1]) - 44 * k
        return float(min(max(circle, roof - 70 * k), roof))

    xs = np.linspace(tail[0] + 70 * k, x - 40 * k, 9)
    roof = np.array([(q, under(q)) for q in xs])
    fender = np.concatenate(
        [
            smooth(
                [tip, tip + [70 * k, 18 * k], tail + [-20 * k, 2 * k], tail + [70 * k, -10 * k]]
            ),
            [
                on_base(m, x - 150 * k),
                on_base(m, x - 130 * k, -34 * k),
            ],
            smooth(
                [
                    on_base(m, tail[0] + 60 * k, -36 * k),
                    np.array([0.5 * (tail[0] + tip[0]), tip[1] - 50 * k]),
                    tip + [2 * k, -12 * k],
                ]
            ),
        ]
    )
    guard = np.concatenate(
        [roof, [(x + 60 * k, base_at(m, x) - 150 * k), (x + 100 * k, base_at(m, x) - 10 * k)],
         [on_base(m, x - 200 * k)]]
    )  # fmt: skip
    panel = smooth(
        [
            on_base(m, x + 176 * k, 4 * k),
            on_base(m, x - 60 * k, 3 * k),
            on_base(m, x - 262 * k, 2 * k),
            on_base(m, x - 190 * k, -84 * k),
            on_base(m, x - 30 * k, -168 * k),
            on_base(m, x + 84 * k, -186 * k),
            on_base(m, x + 132 * k, -96 * k),
        ],
        closed=True,
    )
    stripe = smooth(
        [
            on_base(m, x - 214 * k, -18 * k),
            on_base(m, x - 40 * k, -34 * k),
            on_base(m, x + 120 * k, -30 * k),
            on_base(m, x + 96 * k, -78 * k),
            on_base(m, x - 60 * k, -74 * k),
        ],
        closed=True,
    )
    shapes = [
        Form("inner_fender", "trim", "fill", guard, order=36, contour=True),
        Form("side_panel", "panel", "fill", panel, order=63, contour=True),
        Form("side_stripe", "plastic", "fill", stripe, order=63),
        Form("rear_fender", "plastic", "fill", fender, order=65, contour=True),
    ]
    if m.kind in BARE:
        return tuple(shapes)
    lamp = capsule(tip + [22 * k, -14 * k], tip + [8 * k, -12 * k], 11 * k, 9 * k)
    low = np.array(m.plate)
    high = low + [22 * k, min(130 * k, 0.8 * max(tip[1] - low[1], 40.0))]
    root = np.array([0.5 * (tip[0] + tail[0]), tip[1] - 30 * k])
    stay = tube(
        [
            root,
            0.55 * high + 0.45 * root + np.array([18, 6]) * k,
            high + [12 * k, -6 * k],
            low + [8 * k, 30 * k],
        ],
        np.array([86, 40, 18, 7]) * k,
    )
    shapes += [
        Form("plate_stay", "trim", "fill", stay, order=59, contour=True),
        Form(
            "plate", "plate", "line", np.array([low, high]), width_mm=7 * k, order=60, contour=True
        ),
        Form("tail_lamp", "lamp", "fill", lamp, order=67),
    ]
    if m.kind == "adventure":
        rack = smooth(
            [
                tail + [110 * k, 12 * k],
                tail + [20 * k, 26 * k],
                tail + [-130 * k, 22 * k],
                tail + [-150 * k, -2 * k],
            ]
        )
        shapes.append(Form("rack", "frame", "line", rack, width_mm=16 * k, order=65, contour=True))
    return tuple(shapes)


@lru_cache(maxsize=64)
def bodywork(m: MachineShape) -> tuple[Form, ...]:
    """Tank, panels and tail, once per machine."""
    g = landmarks(m)
    return (*_tank(m, g), *_tail(m, g))
