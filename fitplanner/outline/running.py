"""What moves against the chassis: fork, swing-arm, shock, chain, side-stand.

Owns the parts that follow the axles: their forms, drawn once per machine, and where a pose puts
them in the world. Refuses wheels' insides.
"""

from functools import lru_cache

import numpy as np

from fitplanner.outline.curves import capsule, circle, coil, joined, ring, rounded, smooth, tube
from fitplanner.outline.inputs import MachinePose, MachineShape, Point, StandShape
from fitplanner.outline.landmarks import Landmarks, base_at, landmarks
from fitplanner.outline.place import Place, Points, between, rotation, turned
from fitplanner.outline.shape import Form, Role, Shape, placed

# bars are drawn this long and wide, then stretched between their ends
BAR_MM = 100.0


def _bar(part: str, role: Role, order: int, *, contour: bool = False, taper: float = 1.0) -> Form:
    """A straight bar; `taper` is the width of its end over that of its start."""
    half = 0.5 * BAR_MM
    outline = [(0.0, -half), (BAR_MM, -half * taper), (BAR_MM, half * taper), (0.0, half)]
    return Form(part, role, "fill", np.array(outline), order=order, contour=contour)


def _stretched(form: Form, start: Point, stop: Point, width_mm: float) -> tuple[Shape, ...]:
    """A bar from one point of the world to another."""
    return placed((form,), between(start, stop, length=BAR_MM, across=width_mm / BAR_MM))


_STANCHION = _bar("stanchion", "chrome", 30, contour=True)
_STANCHION_SHINE = _bar("stanchion_shine", "shine", 30)
_SHOCK_SHAFT = _bar("shock_shaft", "chrome", 38)
_SHOCK_DAMPER = _bar("shock_damper", "dark_metal", 38)
_SHOCK_BODY = _bar("shock_body", "metal", 38, contour=True)
_SHOCK_COLLAR = _bar("shock_collars", "dark_metal", 39)
_SHOCK_EYE = Form("shock_eyes", "metal", "fill", ring((0, 0), 18, 8, samples=24), order=39)


def _point(values: Points) -> Point:
    return float(values[0]), float(values[1])


def _conventional(m: MachineShape) -> bool:
    """Whether the tubes that the clamps hold are the thin ones."""
    return m.kind in ("child", "dual_sport")


def _up(g: Landmarks, axle: Point) -> float:
    """How far an axle lies up the steering axis over the extended one, mm."""
    return float((np.array(axle) - g.axis_foot) @ -g.down)


def _clamps_top(m: MachineShape, raised_mm: float) -> float:
    g = landmarks(m)
    return g.clamp_top_mm + 16 * g.k + m.stanchion_showing_mm + raised_mm


def _upper_end(m: MachineShape, raised_mm: float) -> float:
    """Lower end of an upside-down fork's outer tube."""
    return m.fork_travel_mm + 84 * landmarks(m).k + raised_mm


@lru_cache(maxsize=32)
def _clamped(m: MachineShape, raised_mm: float) -> tuple[Form, ...]:
    """Clamps and what they hold, in the chassis frame."""
    g = landmarks(m)
    k, d = g.k, m.stanchion_diameter_mm
    top = _clamps_top(m, raised_mm)
    clamps = [
        tube([g.axis(at, -34 * k), g.leg(at, 0.5 * d + 9 * k)], [0.7 * h, h], curved=False)
        for at, h in ((g.clamp_top_mm, 30 * k), (g.clamp_low_mm, 38 * k))
    ]
    cap = tube([g.leg(top), g.leg(top + 9 * k)], 0.62 * d)
    forms = (
        Form("clamp_top", "dark_metal", "fill", rounded(clamps[0], 8 * k), order=35, contour=True),
        Form("clamp_low", "dark_metal", "fill", rounded(clamps[1], 8 * k), order=35, contour=True),
        Form("fork_cap", "metal", "fill", cap, order=33),
    )
    if _conventional(m):
        return forms
    end = _upper_end(m, raised_mm)
    outer = tube(
        [
            g.leg(end),
            g.leg(end + 40 * k),
            g.leg(g.clamp_low_mm - 60 * k),
            g.leg(g.clamp_low_mm),
            g.leg(top),
        ],
        [d + 9, d + 7, d + 9, d + 12, d + 10],
        curved=False,
    )
    shine = tube([g.leg(end + 14 * k, 0.24 * d), g.leg(top - 6 * k, 0.24 * d)], 0.14 * d)
    scraper = tube([g.leg(end), g.leg(end + 16 * k)], d + 15)
    return (
        *forms,
        Form("fork_upper", "metal", "fill", outer, order=32, contour=True),
        Form("fork_shine", "shine", "fill", shine, order=32),
        Form("fork_scraper", "rubber", "fill", scraper, order=32),
    )


@lru_cache(maxsize=32)
def _slider(m: MachineShape) -> tuple[Form, ...]:
    """What slides with the front axle, about the axle, along the axes of the chassis."""
    g = landmarks(m)
    k, d = g.k, m.stanchion_diameter_mm
    axle = np.array(m.front_axle_extended)
    lead = m.fork_offset_mm - g.leg_offset_mm

    def leg(up_mm: float, fore_mm: float = 0.0) -> Points:
        return np.asarray(g.leg(s + up_mm, fore_mm) - axle)

    s = _up(g, m.front_axle_extended)
    if _conventional(m):
        length = g.clamp_low_mm - 34 * k - m.fork_travel_mm
        outer = tube(
            [leg(-16 * k), leg(0.1 * length), leg(length - 18 * k), leg(length)],
            [d + 16, d + 14, d + 12, d + 18],
            curved=False,
        )
        seal = tube([leg(length - 8 * k), leg(length + 14 * k)], d + 20)
        forms = [
            Form("fork_lower", "metal", "fill", outer, order=32, contour=True),
            Form("fork_seal", "rubber", "fill", seal, order=32),
        ]
    else:
        guard = np.concatenate(
            [
                smooth(
                    [
                        leg(-12 * k, 0.5 * d),
                        leg(40 * k, 0.86 * d),
                        leg(200 * k, 0.78 * d),
                        leg(268 * k, 0.62 * d),
                    ]
                ),
                smooth(
                    [
                        leg(262 * k, 0.14 * d),
                        leg(150 * k, -0.02 * d),
                        leg(30 * k, -0.3 * d),
                        leg(-16 * k, -0.2 * d),
                    ]
                ),
            ]
        )
        lug = tube([leg(-18 * k), leg(58 * k)], [d + 12, d + 6])
        forms = [
            Form("fork_lug", "metal", "fill", lug, order=31, contour=True),
            Form("fork_guard", "plastic", "fill", guard, order=33, contour=True),
        ]
    boss = capsule((0, 0), leg(0.0, 0.12 * lead), 24 * k, 0.5 * d + 6)
    return (
        *forms,
        Form("axle_boss", "metal", "fill", boss, order=34, contour=True),
        Form("axle_nut", "dark_metal", "fill", circle((0, 0), 13 * k, samples=6), order=34),
    )


def fork(m: MachineShape, pose: MachinePose, chassis: Place) -> tuple[Shape, ...]:
    """Stanchions, lower tubes, clamps and guards; upside down on the sportier sorts."""
    g = landmarks(m)
    k, d = g.k, m.stanchion_diameter_mm
    s = _up(g, pose.front_axle)
    raised = pose.clamp_raise_mm
    if _conventional(m):
        low, high = s + 60 * k, _clamps_top(m, raised)
    else:
        low, high = s - 6 * k, _upper_end(m, raised) + 20 * k

    def leg(up_mm: float, fore_mm: float = 0.0) -> Point:
        return chassis.at(*_point(g.leg(up_mm, fore_mm)))

    shapes = _stretched(_STANCHION, leg(low), leg(high), d)
    if _conventional(m):
        ends = leg(s + 90 * k, 0.2 * d), leg(high, 0.2 * d)
        shapes += _stretched(_STANCHION_SHINE, *ends, 0.16 * d)
    return (
        *placed(_clamped(m, raised), chassis),
        *shapes,
        *placed(_slider(m), chassis.standing(chassis.at(*pose.front_axle))),
    )


@lru_cache(maxsize=32)
def _arm(m: MachineShape) -> tuple[Form, ...]:
    """The arm along +x with its rocker; y points down on the arm, which runs rearward."""
    g = landmarks(m)
    k, n = g.k, m.arm_length_mm
    arm = smooth(
        [
            (-36 * k, 0),
            (0, -42 * k),
            (0.3 * n, -42 * k),
            (0.72 * n, -30 * k),
            (n, -30 * k),
            (n + 50 * k, -24 * k),
            (n + 56 * k, 20 * k),
            (n, 28 * k),
            (0.7 * n, 30 * k),
            (0.34 * n, 50 * k),
            (0, 40 * k),
        ],
        closed=True,
    )
    rib = smooth(
        [
            (0.14 * n, -14 * k),
            (0.6 * n, -12 * k),
            (0.84 * n, -4 * k),
            (0.6 * n, 10 * k),
            (0.16 * n, 20 * k),
        ],
        closed=True,
    )
    slot = capsule((n - 24 * k, 0), (n + 26 * k, 0), 15 * k, 15 * k)
    block = rounded(
        [(n - 20 * k, -19 * k), (n + 20 * k, -19 * k), (n + 20 * k, 19 * k), (n - 20 * k, 19 * k)],
        4 * k,
    )
    (eye_u, eye_v), (joint_u, joint_v) = _eye(g), (176 * k, 0.5 * _eye(g)[1])
    rocker = rounded(
        [
            (joint_u, joint_v - 18 * k),
            (joint_u + 26 * k, joint_v),
            (eye_u, eye_v + 24 * k),
            (eye_u - 26 * k, eye_v),
        ],
        16 * k,
    )
    return (
        Form("rocker", "dark_metal", "fill", rocker, order=35, contour=True),
        Form("swing_arm", "metal", "fill", arm, order=51, contour=True),
        Form("swing_arm_rib", "shade", "fill", rib, order=51),
        Form("axle_slot", "dark_metal", "fill", slot, order=51),
        Form("axle_block", "metal", "fill", block, order=51),
        Form("rear_nut", "dark_metal", "fill", circle((n, 0), 14 * k, samples=6), order=51),
    )


def _eye(g: Landmarks) -> Point:
    """The shock's lower eye in the frame of the arm."""
    return 92 * g.k, max(g.under_pivot_mm - 32 * g.k, 12 * g.k)


@lru_cache(maxsize=32)
def _mount(m: MachineShape) -> Point:
    """The shock's upper eye in the chassis frame."""
    k = landmarks(m).k
    return m.arm_pivot[0] + 34 * k, base_at(m, m.seat[0] + 30 * k) - 84 * k


def arm_and_shock(m: MachineShape, pose: MachinePose, chassis: Place) -> tuple[Shape, ...]:
    """The arm from pivot to axle; the shock with its coils between frame and rocker."""
    g = landmarks(m)
    k = g.k
    pivot, axle = chassis.at(*m.arm_pivot), chassis.at(*pose.rear_axle)
    arm = between(pivot, axle, length=m.arm_length_mm)
    eye, mount = arm.at(*_eye(g)), chassis.at(*_mount(m))
    rod_end = chassis.at(m.arm_pivot[0] + 56 * k, m.arm_pivot[1] - _eye(g)[1] - 4 * k)
    long = float(np.hypot(mount[0] - eye[0], mount[1] - eye[1]))
    along = between(eye, mount, length=long)
    low, high = 0.16 * long, 0.72 * long

    def tubing(form: Form, start: float, stop: float, width: float) -> tuple[Shape, ...]:
        return _stretched(form, along.at(start, 0.0), along.at(stop, 0.0), width)

    # what is drawn anew for every pose, as a stretched line would change its width
    rod = Form(
        "link_rod", "dark_metal", "line", np.array([eye, rod_end]), width_mm=20 * k, order=35
    )
    spring = coil(along.at(low, 0.0), along.at(high, 0.0), 66 * k, 8)
    return (
        *placed(_arm(m), arm),
        *placed((rod,)),
        *tubing(_SHOCK_SHAFT, 0.0, high, 17 * k),
        *tubing(_SHOCK_DAMPER, 0.44 * long, high, 44 * k),
        *tubing(_SHOCK_BODY, high - 0.1 * long, long, 52 * k),
        *placed((Form("shock_spring", "spring", "line", spring, width_mm=12.5 * k, order=39),)),
        *tubing(_SHOCK_COLLAR, low - 9 * k, low, 74 * k),
        *tubing(_SHOCK_COLLAR, high, high + 12 * k, 76 * k),
        *placed((_SHOCK_EYE,), turned(0.0, to=eye, scale=k)),
        *placed((_SHOCK_EYE,), turned(0.0, to=mount, scale=k)),
    )


def _links(path: Points, pitch: float) -> Points:
    """Short pieces along a path, one a link."""
    step = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])
    at = np.arange(0, step[-1] - 0.6 * pitch, pitch)
    ends = [
        np.column_stack([np.interp(at + o, step, path[:, i]) for i in (0, 1)])
        for o in (0, 0.58 * pitch)
    ]
    return joined(*(np.array([a, b]) for a, b in zip(*ends, strict=True)))


def _span(m: MachineShape) -> Points:
    """From the extended rear axle to the front sprocket, chassis frame."""
    return np.subtract(m.sprocket, m.rear_axle_extended)


@lru_cache(maxsize=32)
def _chain(m: MachineShape) -> tuple[Form, ...]:
    """Both runs of the chain along +x, from the rear sprocket; the lower one sags a little.

    Drawn at full extension: the way between the sprockets changes too little to show.
    """
    k = landmarks(m).k
    gap = _span(m)
    rf, rr = sprocket_radii(m)
    length = float(np.hypot(*gap))
    along = float(np.arctan2(gap[1], gap[0]))
    lean = float(np.arccos((rr - rf) / length))
    runs = []
    for sign in (1, -1):
        n = np.array([np.cos(sign * lean), np.sin(sign * lean)])
        a, b = rr * n, [length, 0.0] + rf * n
        sag = np.array([0.0, (-4.0 if sign > 0 else -16.0) * k]) @ rotation(-along)
        runs.append(smooth([a, 0.5 * (a + b) + sag, b], samples=6))
    pitch = 13.0 * k
    links = joined(*(_links(r, pitch) for r in runs))
    return (
        Form("chain", "chain", "line", joined(*runs), width_mm=15 * k, order=16),
        Form("chain_links", "chrome", "line", links, width_mm=4.5 * k, order=17),
    )


def chain(m: MachineShape, pose: MachinePose, chassis: Place) -> tuple[Shape, ...]:
    """The chain between its sprockets."""
    ends = chassis.at(*pose.rear_axle), chassis.at(*m.sprocket)
    return placed(_chain(m), between(*ends, length=float(np.hypot(*_span(m)))))


def sprocket_radii(m: MachineShape) -> tuple[float, float]:
    """Pitch radii that the picture gives the sprockets, front and rear, mm."""
    return 0.1 * m.rear_radius_mm, 0.33 * m.rear_radius_mm


def _stand_forms(parked: bool) -> tuple[Form, Form]:
    """Leg, 30 mm wide at the pivot, and foot about its middle."""
    if parked:
        foot, radius = [(-34, 0), (40, 0), (30, 13), (-20, 13)], 5.0
    else:
        foot, radius = [(-10, -26), (4, -26), (4, 30), (-10, 30)], 4.0
    sole = rounded(foot, radius)
    return (
        _bar("side_stand", "dark_metal", 12, contour=parked, taper=20 / 30),
        Form("stand_foot", "dark_metal", "fill", sole, order=12, contour=parked),
    )


_STANDS = {parked: _stand_forms(parked) for parked in (False, True)}


def stand(s: StandShape, k: float, pivot: Point, parked: bool) -> tuple[Shape, ...]:
    """Side-stand on the far side: down to the ground when parked, else folded along the arm."""
    if parked:
        foot = (pivot[0] + s.foot_ahead_mm, 0.0)
    else:
        foot = (pivot[0] - 0.94 * s.length_mm, pivot[1] + 0.34 * s.length_mm)
    leg, sole = _STANDS[parked]
    return (
        *_stretched(leg, pivot, foot, 30 * k),
        *placed((sole,), turned(0.0, to=foot, scale=k)),
    )
