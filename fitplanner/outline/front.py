"""The front view: the seat in section where the thighs cross it, and both legs, (y, z) in mm.

Owns the outline around given joints and the taut line of the inside leg. Refuses reach: how far
a heel rises or a boot hangs is given.
"""
# ruff: noqa: RUF005 - points are arrays, `point + [x, z]` shifts them

from dataclasses import replace

import numpy as np

from fitplanner.outline.curves import capsule, joined, rounded, smooth, tube
from fitplanner.outline.inputs import FrontLeg, FrontRider, SeatSection
from fitplanner.outline.place import Points, rotation
from fitplanner.outline.shape import Form, Shape, mirrored, moved, ordered, placed


def leaned(section: SeatSection, points: Points) -> Points:
    """Lean points of the machine about the contact line; y grows to the rider's left."""
    return np.asarray(points @ rotation(-section.lean_rad))


def seat_surface(section: SeatSection) -> Points:
    """The seat's surface from the right edge over the middle to the left edge, leaned."""
    half, s, e = 0.5 * section.width_mm, section.seat_height_mm, section.edge_drop_mm
    at = np.linspace(-1, 1, 33)
    # a crown that is flat in the middle and passes through both edges
    return leaned(section, np.column_stack([half * at, s - e * np.abs(at) ** 2.2]))


def leg_line(section: SeatSection, leg_and_sole_mm: float) -> Points:
    """The taut inside leg with its sole, left side: from under the hips over the edge.

    From the edge it hangs plumb, to the sole or to the ground where the leg is long enough.
    """
    half = 0.5 * section.width_mm
    top = leaned(section, np.array([[section.hip_shift_mm, section.seat_height_mm]]))[0]
    edge = leaned(section, np.array([[half, section.seat_height_mm - section.edge_drop_mm]]))[0]
    left = leg_and_sole_mm - float(np.hypot(*(edge - top)))
    return np.array([top, edge, [edge[0], max(edge[1] - left, 0.0)]])


def half_arc_mm(section: SeatSection) -> float:
    """Length of the taut line from the seat's middle over its left edge down to the ground."""
    line = leg_line(section, 1e9)
    return float(np.hypot(*np.diff(line, axis=0).T).sum())


def section_shapes(section: SeatSection) -> tuple[Shape, ...]:
    """Seat in section, tyre, body and pegs from the front."""
    half, s, e = 0.5 * section.width_mm, section.seat_height_mm, section.edge_drop_mm
    k = s / 930.0
    foam = min(section.foam_mm, 0.3 * s)
    at = np.linspace(-1, 1, 33)
    surface = np.column_stack([half * at, s - e * np.abs(at) ** 2.2])
    base = s - max(foam, e + 24.0)
    flank = 0.8 * half
    seat = np.concatenate(
        [
            surface,
            [
                (half * 1.0, base + 0.45 * (s - e - base)),
                (flank, base),
                (-flank, base),
                (-half, base + 0.45 * (s - e - base)),
            ],
        ]
    )
    inner = surface * (0.93, 1) - [0, 9 * k]
    cut = np.concatenate([inner, [(0.76 * half, base + 9 * k), (-0.76 * half, base + 9 * k)]])
    pan = np.array([(-flank - 4 * k, base), (flank + 4 * k, base)])
    t, r = 0.5 * section.tyre_section_mm, section.tyre_radius_mm
    tyre = rounded([(-t, 0), (t, 0), (t, 2 * r), (-t, 2 * r)], t)
    rows = np.arange(1, 2 * r / (30 * k) - 1) * 30 * k
    blocks = joined(
        *(
            np.array([(x * t, z), (x * t + w * t, z)])
            for i, z in enumerate(rows)
            for x, w in (((-0.85, 0.5), (0.35, 0.5)) if i % 2 else ((-0.4, 0.8),))
        )
    )
    floor = section.peg_z_mm - 60 * k
    mid = 0.5 * (base + floor)
    body = smooth(
        [
            (-0.7 * half, base),
            (-0.42 * half - 14 * k, mid + 60 * k),
            (-104 * k, floor + 84 * k),
            (-92 * k, floor + 16 * k),
            (-50 * k, floor - 10 * k),
            (50 * k, floor - 10 * k),
            (92 * k, floor + 16 * k),
            (104 * k, floor + 84 * k),
            (0.42 * half + 14 * k, mid + 60 * k),
            (0.7 * half, base),
        ],
        closed=True,
    )
    panel = smooth(
        [
            (0.96 * flank, base - 4 * k),
            (0.5 * half + 30 * k, mid + 84 * k),
            (84 * k, mid - 10 * k),
            (66 * k, mid + 6 * k),
            (0.5 * flank, base - 90 * k),
            (0.62 * flank, base - 6 * k),
        ],
        closed=True,
    )
    cover = rounded(
        [
            (58 * k, floor + 6 * k),
            (112 * k, floor + 18 * k),
            (112 * k, floor + 96 * k),
            (58 * k, floor + 112 * k),
        ],
        16 * k,
    )
    arm = rounded(
        [
            (t + 10 * k, r - 26 * k),
            (t + 38 * k, r - 26 * k),
            (t + 38 * k, floor + 40 * k),
            (t + 10 * k, floor + 40 * k),
        ],
        8 * k,
    )
    y, z = section.peg_y_mm, section.peg_z_mm
    peg = rounded([(76 * k, z - 16 * k), (y, z - 12 * k), (y, z + 2), (76 * k, z)], 5 * k)
    one_side = (
        Form("arm", "metal", "fill", arm, order=12, contour=True),
        Form("cover", "case", "fill", cover, order=21),
        Form("side_panel", "plastic", "fill", panel, order=22, contour=True),
        Form("peg", "dark_metal", "fill", peg, order=24, contour=True),
    )
    upright = (
        Form("tyre", "tyre", "fill", tyre, order=10, contour=True),
        Form("tyre_blocks", "rubber", "line", blocks, width_mm=13 * k, order=11),
        Form("body", "engine", "fill", body, order=20, contour=True),
        *one_side,
        *mirrored(one_side),
        Form("seat", "seat", "fill", seat, order=60, contour=True),
        Form("foam", "foam", "fill", cut, order=61),
        Form("pan", "dark_metal", "line", pan, width_mm=9 * k, order=62),
    )
    leaned = moved(upright, angle_rad=-section.lean_rad)
    shadow = smooth([(-330 * k, -5), (0, -14 * k), (330 * k, -5), (0, 4)], closed=True)
    return ordered(placed((Form("shadow", "shadow", "fill", shadow, order=0), *leaned)))


def beside(section: SeatSection, rider: FrontRider) -> FrontRider:
    """The rider in boots, the flesh of hanging legs outside the line along their inner side.

    A reach model puts ankles on the taut line itself and bends away what is to spare; drawn so,
    boots would stand in the wheel. Heights stay; a foot on its peg stays where it is.
    """

    def moved_out(bare: FrontLeg, side: float) -> FrontLeg:
        leg = replace(
            bare,
            heel_z_mm=bare.heel_z_mm - bare.sole_mm,
            toe_z_mm=bare.toe_z_mm - bare.sole_mm,
            sole_mm=0.0,
        )
        if leg.toe_z_mm > 0.6 * section.peg_z_mm:
            return leg
        drop = section.seat_height_mm - section.edge_drop_mm
        edge = leaned(section, np.array([[side * 0.5 * section.width_mm, drop]]))[0]
        q = float(np.hypot(*np.subtract(leg.hip, leg.knee)) / 430.0)
        ankle = float(max(side * leg.ankle[0], side * edge[0] + 54 * q))
        knee = float(np.clip(side * leg.knee[0], ankle + 8 * q, ankle + 34 * q))
        return replace(leg, knee=(side * knee, leg.knee[1]), ankle=(side * ankle, leg.ankle[1]))

    return replace(rider, left=moved_out(rider.left, 1.0), right=moved_out(rider.right, -1.0))


def _leg(leg: FrontLeg, side: float) -> tuple[Form, ...]:
    """One leg, drawn for the left and mirrored by `side` for the right."""
    flip = np.array([side, 1.0])
    hip, knee, ankle = (np.array(p) * flip for p in (leg.hip, leg.knee, leg.ankle))
    q = float((np.hypot(*(hip - knee)) + np.hypot(*(knee - ankle))) / 860.0)
    thigh = capsule(hip, knee, 92 * q, 64 * q)
    cuff_at = ankle + 0.56 * (knee - ankle)
    shank = capsule(knee, cuff_at, 62 * q, 52 * q)
    pad = rounded(
        [
            knee + [-44 * q, 62 * q],
            knee + [44 * q, 62 * q],
            knee + [50 * q, -10 * q],
            knee + [30 * q, -92 * q],
            knee + [-30 * q, -92 * q],
            knee + [-50 * q, -10 * q],
        ],
        26 * q,
    )
    toe, heel = leg.toe_z_mm, leg.heel_z_mm
    y = ankle[0] + 6 * q
    vamp = max(ankle[1] + 10 * q, toe + 84 * q)
    shaft = np.array([cuff_at + [0, 14 * q], 0.5 * (cuff_at + ankle), ankle + [0, 26 * q]])
    foot = smooth(
        [
            (y - 40 * q, vamp + 20 * q),
            (y - 50 * q, toe + 62 * q),
            (y - 56 * q, toe + 16 * q),
            (y - 48 * q, toe + 1),
            (y, toe),
            (y + 48 * q, toe + 1),
            (y + 58 * q, toe + 16 * q),
            (y + 50 * q, toe + 62 * q),
            (y + 40 * q, vamp + 20 * q),
        ],
        closed=True,
    )
    sole = rounded(
        [
            (y - 55 * q, toe),
            (y + 57 * q, toe),
            (y + 57 * q, toe + 17 * q),
            (y - 55 * q, toe + 17 * q),
        ],
        6 * q,
    )
    cap = rounded(
        [
            (y - 48 * q, toe + 17 * q),
            (y + 50 * q, toe + 17 * q),
            (y + 40 * q, toe + 52 * q),
            (y - 38 * q, toe + 52 * q),
        ],
        14 * q,
    )
    up = (cuff_at - ankle) / np.hypot(*(cuff_at - ankle))
    side_way = np.array([up[1], -up[0]])
    top = cuff_at + 12 * q * up
    straps = joined(
        *(
            at + np.array([-48 * q * side_way + 4 * q * up, 48 * q * side_way - 4 * q * up])
            for at in (ankle + share * (cuff_at - ankle) for share in (0.26, 0.52, 0.78))
        )
    )
    back = rounded(
        [(y - 40 * q, heel), (y + 42 * q, heel), (y + 42 * q, ankle[1]), (y - 40 * q, ankle[1])],
        8 * q,
    )
    shapes = (
        Form("heel", "sole", "fill", back, order=39, contour=True),
        Form("shank", "trousers", "fill", shank, order=40, contour=True),
        Form("thigh", "trousers", "fill", thigh, order=42, contour=True),
        Form("knee_pad", "shade", "fill", pad, order=43),
        Form(
            "boot_shaft",
            "boot",
            "fill",
            tube(shaft, np.array([116, 104, 92]) * q),
            order=44,
            contour=True,
        ),
        Form("boot", "boot", "fill", foot, order=44, contour=True),
        Form("boot_cap", "boot_trim", "fill", cap, order=45),
        Form("boot_straps", "boot_trim", "line", straps, width_mm=13 * q, order=45),
        Form(
            "boot_cuff",
            "boot_trim",
            "fill",
            rounded(tube([top - 60 * q * side_way, top + 60 * q * side_way], 26 * q), 8 * q),
            order=45,
        ),
        Form("sole", "sole", "fill", sole, order=46, contour=True),
    )
    return shapes if side > 0 else mirrored(shapes)


def legs_shapes(rider: FrontRider) -> tuple[Shape, ...]:
    """Both legs and the trunk, broken off over the belt."""
    left, right = np.array(rider.left.hip), np.array(rider.right.hip)
    q = float(np.hypot(*(left - rider.left.knee)) / 430.0)
    mid = 0.5 * (left + right)
    wide = 0.5 * float(left[0] - right[0]) + 92 * q
    top = mid[1] + 250 * q
    wave = np.linspace(-1, 1, 25)
    cut = np.column_stack(
        [mid[0] + 0.98 * wide * wave[::-1], top + 12 * q * np.sin(wave[::-1] * 2 * np.pi)]
    )
    trunk = np.concatenate(
        [
            smooth(
                [
                    (mid[0] - 0.98 * wide, top),
                    mid + [-0.93 * wide, 110 * q],
                    mid + [-1.02 * wide, -10 * q],
                    mid + [-0.8 * wide, -60 * q],
                    mid + [0, -74 * q],
                    mid + [0.8 * wide, -60 * q],
                    mid + [1.02 * wide, -10 * q],
                    mid + [0.93 * wide, 110 * q],
                    (mid[0] + 0.98 * wide, top),
                ]
            ),
            cut[1:-1],
        ]
    )
    zip_line = np.array([mid + [0, -40 * q], (mid[0], top - 4 * q)])
    belt = smooth([mid + [-1.0 * wide, 4 * q], mid + [0, -14 * q], mid + [1.0 * wide, 4 * q]])
    return ordered(
        placed(
            (
                *_leg(rider.left, 1.0),
                *_leg(rider.right, -1.0),
                Form("pelvis", "trousers", "fill", capsule(left, right, 94 * q, 94 * q), order=41),
                Form("trunk", "jacket", "fill", trunk, order=50, contour=True),
                Form("zip", "jacket_trim", "line", zip_line, width_mm=9 * q, order=51),
                Form("belt", "jacket_trim", "line", belt, width_mm=24 * q, order=51),
                Form("break", "jacket_trim", "line", cut, width_mm=5 * q, order=52),
            )
        )
    )
