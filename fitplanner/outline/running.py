"""What moves against the chassis: fork, swing-arm, shock, chain, side-stand.

Owns the parts that follow the axles, in the chassis frame of the pose. Refuses wheels' insides.
"""
# ruff: noqa: RUF005 - points are arrays, `point + [x, z]` shifts them

import numpy as np

from fitplanner.outline.curves import capsule, circle, coil, joined, ring, rounded, smooth, tube
from fitplanner.outline.inputs import MachinePose, MachineShape
from fitplanner.outline.landmarks import base_at, landmarks
from fitplanner.outline.shape import Points, Shape, moved


def fork(m: MachineShape, pose: MachinePose) -> tuple[Shape, ...]:
    """Stanchions, lower tubes, clamps and guards; upside down on the sportier sorts."""
    g = landmarks(m)
    k, d = g.k, m.stanchion_diameter_mm
    axle = np.array(pose.front_axle)
    s = float((axle - g.axis_foot) @ -g.down)
    lead = m.fork_offset_mm - g.leg_offset_mm
    raised = m.stanchion_showing_mm + pose.clamp_raise_mm
    top = g.clamp_top_mm + 16 * k + raised
    clamps = [
        tube([g.axis(at, -34 * k), g.leg(at, 0.5 * d + 9 * k)], [0.7 * h, h], curved=False)
        for at, h in ((g.clamp_top_mm, 30 * k), (g.clamp_low_mm, 38 * k))
    ]
    cap = tube([g.leg(top), g.leg(top + 9 * k)], 0.62 * d)
    shapes = [
        Shape("clamp_top", "dark_metal", "fill", rounded(clamps[0], 8 * k), order=35, contour=True),
        Shape("clamp_low", "dark_metal", "fill", rounded(clamps[1], 8 * k), order=35, contour=True),
        Shape("fork_cap", "metal", "fill", cap, order=33),
    ]
    if m.kind in ("child", "dual_sport"):
        length = g.clamp_low_mm - 34 * k - m.fork_travel_mm
        inner = tube([g.leg(s + 60 * k), g.leg(top)], d)
        outer = tube(
            [
                g.leg(s - 16 * k),
                g.leg(s + 0.1 * length),
                g.leg(s + length - 18 * k),
                g.leg(s + length),
            ],
            [d + 16, d + 14, d + 12, d + 18],
            curved=False,
        )
        shine = tube([g.leg(s + 90 * k, 0.2 * d), g.leg(top, 0.2 * d)], 0.16 * d)
        seal = tube([g.leg(s + length - 8 * k), g.leg(s + length + 14 * k)], d + 20)
        shapes += [
            Shape("stanchion", "chrome", "fill", inner, order=30, contour=True),
            Shape("stanchion_shine", "shine", "fill", shine, order=30),
            Shape("fork_lower", "metal", "fill", outer, order=32, contour=True),
            Shape("fork_seal", "rubber", "fill", seal, order=32),
        ]
    else:
        end = m.fork_travel_mm + 84 * k + pose.clamp_raise_mm
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
        inner = tube([g.leg(s - 6 * k), g.leg(end + 20 * k)], d)
        scraper = tube([g.leg(end), g.leg(end + 16 * k)], d + 15)
        guard = np.concatenate(
            [
                smooth(
                    [
                        g.leg(s - 12 * k, 0.5 * d),
                        g.leg(s + 40 * k, 0.86 * d),
                        g.leg(s + 200 * k, 0.78 * d),
                        g.leg(s + 268 * k, 0.62 * d),
                    ]
                ),
                smooth(
                    [
                        g.leg(s + 262 * k, 0.14 * d),
                        g.leg(s + 150 * k, -0.02 * d),
                        g.leg(s + 30 * k, -0.3 * d),
                        g.leg(s - 16 * k, -0.2 * d),
                    ]
                ),
            ]
        )
        lug = tube([g.leg(s - 18 * k), g.leg(s + 58 * k)], [d + 12, d + 6])
        shapes += [
            Shape("stanchion", "chrome", "fill", inner, order=30, contour=True),
            Shape("fork_lug", "metal", "fill", lug, order=31, contour=True),
            Shape("fork_upper", "metal", "fill", outer, order=32, contour=True),
            Shape("fork_shine", "shine", "fill", shine, order=32),
            Shape("fork_scraper", "rubber", "fill", scraper, order=32),
            Shape("fork_guard", "plastic", "fill", guard, order=33, contour=True),
        ]
    boss = capsule(axle, g.leg(s, 0.12 * lead), 24 * k, 0.5 * d + 6)
    return (
        *shapes,
        Shape("axle_boss", "metal", "fill", boss, order=34, contour=True),
        Shape("axle_nut", "dark_metal", "fill", circle(axle, 13 * k, samples=6), order=34),
    )


def swing_arm(m: MachineShape, pose: MachinePose) -> tuple[Shape, ...]:
    """The arm from pivot to axle, drawn along +x and turned onto the axle."""
    g = landmarks(m)
    k = g.k
    pivot, axle = np.array(m.arm_pivot), np.array(pose.rear_axle)
    along = axle - pivot
    n = float(np.hypot(*along))
    # y points down on the finished arm, which runs rearward
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
    shapes = (
        Shape("swing_arm", "metal", "fill", arm, order=51, contour=True),
        Shape("swing_arm_rib", "shade", "fill", rib, order=51),
        Shape("axle_slot", "dark_metal", "fill", slot, order=51),
        Shape("axle_block", "metal", "fill", block, order=51),
        Shape("rear_nut", "dark_metal", "fill", circle((n, 0), 14 * k, samples=6), order=51),
    )
    angle = float(np.arctan2(along[1], along[0]))
    return moved(shapes, angle_rad=angle, to=pivot)


def shock(m: MachineShape, pose: MachinePose) -> tuple[Shape, ...]:
    """Shock with its coils between frame and rocker; the rocker hangs under the arm."""
    k = landmarks(m).k
    pivot, axle = np.array(m.arm_pivot), np.array(pose.rear_axle)
    way = (axle - pivot) / np.hypot(*(axle - pivot))
    below = np.array([-way[1], way[0]])
    drop = max(landmarks(m).under_pivot_mm - 32 * k, 12 * k)
    eye = pivot + way * 92 * k + below * drop
    joint = pivot + way * 176 * k + below * 0.5 * drop
    x = m.seat[0]
    mount = np.array([pivot[0] + 34 * k, base_at(m, x + 30 * k) - 84 * k])
    rod = np.array([eye, pivot + [56 * k, -drop - 4 * k]])
    up = (mount - eye) / np.hypot(*(mount - eye))
    length = float(np.hypot(*(mount - eye)))
    low, high = eye + up * 0.16 * length, eye + up * 0.72 * length
    body = tube([high - up * 0.1 * length, mount], 52 * k)
    shaft = tube([eye, high], 17 * k)
    damper = tube([eye + up * 0.44 * length, high], 44 * k)
    collars = joined(
        tube([low - up * 9 * k, low], 74 * k), tube([high, high + up * 12 * k], 76 * k)
    )
    rocker = rounded(
        [joint + below * -18 * k, joint + way * 26 * k, eye + below * 24 * k, eye - way * 26 * k],
        16 * k,
    )
    return (
        Shape("link_rod", "dark_metal", "line", rod, width_mm=20 * k, order=35),
        Shape("rocker", "dark_metal", "fill", rocker, order=35, contour=True),
        Shape("shock_shaft", "chrome", "fill", shaft, order=38),
        Shape("shock_damper", "dark_metal", "fill", damper, order=38),
        Shape("shock_body", "metal", "fill", body, order=38, contour=True),
        Shape(
            "shock_spring",
            "spring",
            "line",
            coil(low, high, 66 * k, 8),
            width_mm=12.5 * k,
            order=39,
        ),
        Shape("shock_collars", "dark_metal", "fill", collars, order=39),
        Shape(
            "shock_eyes",
            "metal",
            "fill",
            joined(ring(eye, 18 * k, 8 * k, samples=24), ring(mount, 18 * k, 8 * k, samples=24)),
            order=39,
        ),
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


def chain(m: MachineShape, pose: MachinePose) -> tuple[Shape, ...]:
    """Both runs of the chain between the sprockets; the lower one sags a little."""
    k = landmarks(m).k
    front, rear = np.array(m.sprocket), np.array(pose.rear_axle)
    rf, rr = sprocket_radii(m)
    gap = front - rear
    length = float(np.hypot(*gap))
    along = float(np.arctan2(gap[1], gap[0]))
    lean = float(np.arccos((rr - rf) / length))
    runs = []
    for sign in (1, -1):
        n = np.array([np.cos(along + sign * lean), np.sin(along + sign * lean)])
        a, b = rear + rr * n, front + rf * n
        sag = np.array([0.0, (-4.0 if sign > 0 else -16.0) * k])
        runs.append(smooth([a, 0.5 * (a + b) + sag, b], samples=6))
    pitch = 13.0 * k
    return (
        Shape("chain", "chain", "line", joined(*runs), width_mm=15 * k, order=16),
        Shape(
            "chain_links",
            "chrome",
            "line",
            joined(*(_links(r, pitch) for r in runs)),
            width_mm=4.5 * k,
            order=17,
        ),
    )


def sprocket_radii(m: MachineShape) -> tuple[float, float]:
    """Pitch radii that the picture gives the sprockets, front and rear, mm."""
    return 0.1 * m.rear_radius_mm, 0.33 * m.rear_radius_mm


def stand_points(m: MachineShape, pose: MachinePose, pivot_world: Points) -> Points:
    """Side-stand in world mm: down to the ground when parked, else folded along the arm."""
    s = m.stand
    if pose.parked:
        foot = np.array([pivot_world[0] + s.foot_ahead_mm, 0.0])
    else:
        foot = pivot_world + np.array([-0.94, 0.34]) * s.length_mm
    return np.array([pivot_world, foot])


def stand(m: MachineShape, points: Points, parked: bool) -> tuple[Shape, ...]:
    """The stand's leg with its foot, on the far side."""
    k = landmarks(m).k
    foot = points[1]
    leg = tube(points, [30 * k, 20 * k], curved=False)
    if parked:
        sole = rounded(
            [
                foot + [-34 * k, 0],
                foot + [40 * k, 0],
                foot + [30 * k, 13 * k],
                foot + [-20 * k, 13 * k],
            ],
            5 * k,
        )
    else:
        sole = rounded(
            [
                foot + [-10 * k, -26 * k],
                foot + [4 * k, -26 * k],
                foot + [4 * k, 30 * k],
                foot + [-10 * k, 30 * k],
            ],
            4 * k,
        )
    return (
        Shape("side_stand", "dark_metal", "fill", leg, order=12, contour=parked),
        Shape("stand_foot", "dark_metal", "fill", sole, order=12, contour=parked),
    )
