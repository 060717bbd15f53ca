"""The front view: the seat in section where the thighs cross it, and both legs, (y, z) in mm.

Owns the outline around given joints and the taut line of the inside leg. Refuses reach: how far
a heel rises or a boot hangs is given.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

import numpy as np

from fitplanner.outline.curves import capsule, joined, rounded, smooth, tube
from fitplanner.outline.inputs import FrontLeg, FrontRider, FrontStand, Point, SeatSection
from fitplanner.outline.place import Place, Points, between, rotation, step, turned
from fitplanner.outline.shape import Form, Shape, in_mirror, laid_along, mirrored, ordered, placed


def leaned(section: SeatSection, points: Points) -> Points:
    """Lean points of the machine as it rolls on its tyres; y grows to the rider's left."""
    axis = np.array([0.0, section.crown_mm])
    return np.asarray((points - axis) @ rotation(-section.lean_rad) + axis)


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


@lru_cache(maxsize=32)
def _upright(section: SeatSection) -> tuple[Form, ...]:
    """Seat in section, tyre, body and pegs of an upright machine."""
    half, s, e = 0.5 * section.width_mm, section.seat_height_mm, section.edge_drop_mm
    k = s / 930.0
    foam = min(section.foam_mm, 0.3 * s)
    surface = seat_surface(section)
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
    # bottomed, the body is down at the axle
    top = max(floor + 40 * k, r + 26 * k)
    arm = rounded(
        [
            (t + 10 * k, r - 26 * k),
            (t + 38 * k, r - 26 * k),
            (t + 38 * k, top),
            (t + 10 * k, top),
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
    return (
        Form("tyre", "tyre", "fill", tyre, order=10, contour=True),
        Form("tyre_blocks", "rubber", "line", blocks, width_mm=13 * k, order=11),
        Form("body", "engine", "fill", body, order=20, contour=True),
        *one_side,
        *mirrored(one_side),
        Form("seat", "seat", "fill", seat, order=60, contour=True),
        Form("foam", "foam", "fill", cut, order=61),
        Form("pan", "dark_metal", "line", pan, width_mm=9 * k, order=62),
    )


_SHADOW = Form(
    "shadow", "shadow", "fill", smooth([(-330, -5), (0, -14), (330, -5), (0, 4)], closed=True)
)


def section_shapes(section: SeatSection) -> tuple[Shape, ...]:
    """Seat in section, tyre, body and pegs from the front.

    Heights are drawn in steps and stretched to the seat's own, which is exact; what the stretch
    leaves of the others is less than half a mm.
    """
    high = step(section.seat_height_mm)
    stretch = section.seat_height_mm / high
    drawn = replace(
        section,
        seat_height_mm=high,
        tyre_radius_mm=step(section.tyre_radius_mm / stretch, 1.0),
        peg_z_mm=step(section.peg_z_mm / stretch, 1.0),
        lean_rad=0.0,
        crown_mm=0.0,
        hip_shift_mm=0.0,
    )
    axis = (0.0, section.crown_mm)
    lean = turned(-section.lean_rad, to=axis, about=axis)
    up = lean._replace(xv=lean.xv * stretch, zv=lean.zv * stretch)
    k = section.seat_height_mm / 930.0
    return ordered(
        (*placed((_SHADOW,), turned(0.0, to=(0.0, 0.0), scale=k)), *placed(_upright(drawn), up))
    )


_LEG = Form(
    "stand_leg",
    "metal",
    "fill",
    np.array([(0, -14), (100, -10), (100, 10), (0, 14)]),
    order=26,
    contour=True,
)
_FOOT = Form(
    "stand_foot",
    "dark_metal",
    "fill",
    rounded([(-34, 0), (38, 0), (30, 13), (-26, 13)], 5),
    order=27,
    contour=True,
)


def stand_foot(section: SeatSection, stand: FrontStand) -> Point:
    """Where the stand's foot is, (y, z)."""
    y, z = stand.pivot
    out, down = stand.length_mm * np.sin(stand.angle_rad), stand.length_mm * np.cos(stand.angle_rad)
    at = leaned(section, np.array([[y + out, z - down]]))[0]
    return float(at[0]), float(at[1])


def stand_shapes(section: SeatSection, stand: FrontStand) -> tuple[Shape, ...]:
    """The side-stand let down beside the machine."""
    k, foot = section.seat_height_mm / 930.0, stand_foot(section, stand)
    y, z = leaned(section, np.array([stand.pivot]))[0]
    return (
        *placed((_LEG,), between((float(y), float(z)), foot, length=100.0, across=k)),
        *placed((_FOOT,), turned(0.0, to=foot, scale=k)),
    )


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
        q = leg.scale
        ankle = float(max(side * leg.ankle[0], side * edge[0] + 54 * q))
        knee = float(np.clip(side * leg.knee[0], ankle + 8 * q, ankle + 34 * q))
        return replace(leg, knee=(side * knee, leg.knee[1]), ankle=(side * ankle, leg.ankle[1]))

    return replace(rider, left=moved_out(rider.left, 1.0), right=moved_out(rider.right, -1.0))


@lru_cache(maxsize=64)
def _thigh(n: float) -> tuple[Form, ...]:
    """From the hip along +x to a knee `n` away; like all that follows for a full-size rider."""
    return (
        Form("thigh", "trousers", "fill", capsule((0, 0), (n, 0), 92, 64), order=42, contour=True),
    )


@lru_cache(maxsize=64)
def _shank(n: float) -> tuple[Form, ...]:
    """From the knee along +x to the boot's cuff `n` away."""
    return (
        Form("shank", "trousers", "fill", capsule((0, 0), (n, 0), 62, 52), order=40, contour=True),
    )


@lru_cache(maxsize=64)
def _shaft(n: float) -> tuple[Form, ...]:
    """The boot's shaft, downward along +x; a bent knee behind a thick sole leaves little of it."""
    shaft = tube([(0, 0), (0.5 * n + min(20, 0.2 * n), 0), (n, 0)], [116, 104, 92])
    return (Form("boot_shaft", "boot", "fill", shaft, order=44, contour=True),)


@lru_cache(maxsize=64)
def _straps(n: float) -> tuple[Form, ...]:
    """What lies on the shaft, from the ankle upward along +x to the cuff `n` away."""
    straps = joined(*(np.array([(a * n + 4, 48), (a * n - 4, -48)]) for a in (0.26, 0.52, 0.78)))
    cuff = rounded(tube([(n + 12, 60), (n + 12, -60)], 26), 8)
    return (
        Form("boot_straps", "boot_trim", "line", straps, width_mm=13, order=45),
        Form("boot_cuff", "boot_trim", "fill", cuff, order=45),
    )


@lru_cache(maxsize=64)
def _heel(high: float) -> tuple[Form, ...]:
    """The boot's back from the heel to the ankle `high` over it."""
    back = rounded([(-40, 0), (42, 0), (42, high), (-40, high)], 8)
    return (Form("heel", "sole", "fill", back, order=39, contour=True),)


@lru_cache(maxsize=64)
def _foot(high: float) -> tuple[Form, ...]:
    """The boot's front from the toe to the vamp `high` over it."""
    side = [(-40, high + 20), (-50, 62), (-56, 16), (-48, 1)]
    other = [(48, 1), (58, 16), (50, 62), (40, high + 20)]
    foot = smooth([*side, (0, 0), *other], closed=True)
    return (Form("boot", "boot", "fill", foot, order=44, contour=True),)


_KNEE_PAD = Form(
    "knee_pad",
    "shade",
    "fill",
    rounded([(-44, 62), (44, 62), (50, -10), (30, -92), (-30, -92), (-50, -10)], 26),
    order=43,
)
_TOE = (
    Form(
        "boot_cap",
        "boot_trim",
        "fill",
        rounded([(-48, 17), (50, 17), (40, 52), (-38, 52)], 14),
        order=45,
    ),
    Form(
        "sole",
        "sole",
        "fill",
        rounded([(-55, 0), (57, 0), (57, 17), (-55, 17)], 6),
        order=46,
        contour=True,
    ),
)


def _raised(
    draw: Callable[[float], tuple[Form, ...]], at: Point, high_mm: float, q: float
) -> tuple[Shape, ...]:
    """What is drawn for about that height, standing at a point."""
    n = step(high_mm / q)
    return placed(draw(n), Place(q, 0.0, 0.0, max(high_mm, 1.0) / n, *at))


def _leg(leg: FrontLeg, side: float) -> tuple[Shape, ...]:
    """One leg, drawn for the left and mirrored by `side` for the right."""
    (hip, knee, ankle) = ((side * p[0], p[1]) for p in (leg.hip, leg.knee, leg.ankle))
    q = leg.scale
    cuff = (ankle[0] + 0.56 * (knee[0] - ankle[0]), ankle[1] + 0.56 * (knee[1] - ankle[1]))
    toe, heel = leg.toe_z_mm, leg.heel_z_mm
    y = ankle[0] + 6 * q
    vamp = max(ankle[1] + 10 * q, toe + 84 * q)
    shapes = (
        *_raised(_heel, (y, heel), ankle[1] - heel, q),
        *laid_along(_shank, knee, cuff, q),
        *laid_along(_thigh, hip, knee, q),
        *placed((_KNEE_PAD,), turned(0.0, to=knee, scale=q)),
        *laid_along(_shaft, (cuff[0], cuff[1] + 14 * q), (ankle[0], ankle[1] + 26 * q), q),
        *_raised(_foot, (y, toe), vamp - toe, q),
        *laid_along(_straps, ankle, cuff, q),
        *placed(_TOE, turned(0.0, to=(y, toe), scale=q)),
    )
    return shapes if side > 0 else in_mirror(shapes)


@lru_cache(maxsize=32)
def _trunk(wide: float) -> tuple[Form, ...]:
    """The trunk over the middle of the hips, `wide` to each side, broken off over the belt."""
    top = 250.0
    wave = np.linspace(-1, 1, 25)[::-1]
    cut = np.column_stack([0.98 * wide * wave, top + 12 * np.sin(wave * 2 * np.pi)])
    left = [(-0.98 * wide, top), (-0.93 * wide, 110), (-1.02 * wide, -10), (-0.8 * wide, -60)]
    right = [(-y, z) for y, z in reversed(left)]
    trunk = np.concatenate([smooth([*left, (0, -74), *right]), cut[1:-1]])
    belt = smooth([(-wide, 4), (0, -14), (wide, 4)])
    zip_line = np.array([(0, -40), (0, top - 4)])
    return (
        Form("trunk", "jacket", "fill", trunk, order=50, contour=True),
        Form("zip", "jacket_trim", "line", zip_line, width_mm=9, order=51),
        Form("belt", "jacket_trim", "line", belt, width_mm=24, order=51),
        Form("break", "jacket_trim", "line", cut, width_mm=5, order=52),
    )


@lru_cache(maxsize=64)
def _pelvis(n: float) -> tuple[Form, ...]:
    """From hip to hip along +x."""
    return (Form("pelvis", "trousers", "fill", capsule((0, 0), (n, 0), 94, 94), order=41),)


def legs_shapes(rider: FrontRider) -> tuple[Shape, ...]:
    """Both legs and the trunk, broken off over the belt."""
    left, right = rider.left.hip, rider.right.hip
    q = rider.left.scale
    wide = 0.5 * (left[0] - right[0]) + 92 * q
    drawn = step(wide / q)
    middle = 0.5 * (left[0] + right[0]), 0.5 * (left[1] + right[1])
    return ordered(
        (
            *_leg(rider.left, 1.0),
            *_leg(rider.right, -1.0),
            *laid_along(_pelvis, left, right, q),
            *placed(_trunk(drawn), Place(wide / drawn, 0.0, 0.0, q, *middle)),
        )
    )
