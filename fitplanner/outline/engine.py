"""Engine and exhaust, and the frame around them.

Owns the rigid middle of the machine in the chassis frame, the bash plate through its lowest
point included. Refuses bodywork and whatever moves.
"""
# ruff: noqa: RUF005 - points are arrays, `point + [x, z]` shifts them

from functools import lru_cache

import numpy as np

from fitplanner.outline.curves import arc, capsule, circle, joined, ring, rounded, smooth, tube
from fitplanner.outline.inputs import MachineShape
from fitplanner.outline.landmarks import Landmarks, base_at, landmarks, on_base, seat_controls
from fitplanner.outline.place import Points
from fitplanner.outline.shape import Form, moved


def _cylinder(m: MachineShape, k: float, height: float) -> tuple[Form, ...]:
    """One cylinder standing on (0, 0), head upward."""
    stroke = m.engine == "two_stroke"
    w = 64 * k if stroke else 68 * k
    barrel = 0.52 * height
    block = rounded(
        [(-w, 0), (w, 0), (w, barrel), (w * 1.04, barrel + 4), (0.98 * w, height * 0.86),
         (0.7 * w, height), (-0.7 * w, height), (-0.98 * w, height * 0.86),
         (-w * 1.04, barrel + 4), (-w, barrel)], 8 * k,
    )  # fmt: skip
    rows = np.linspace(0.1, 0.94 if stroke else 0.5, 8 if stroke else 6) * height
    fins = joined(
        *(
            np.array([(-w * 1.2, z), (w * 1.2, z)]) * ((0.8, 1.0) if z > 0.8 * height else 1)
            for z in rows
        )
    )
    shapes = [
        Form("cylinder", "engine", "fill", block, order=41, contour=True),
        Form("fins", "fin", "line", fins, width_mm=8 * k, order=42),
    ]
    if stroke:
        plug = rounded(
            [
                (-9 * k, height),
                (9 * k, height),
                (7 * k, height + 34 * k),
                (-7 * k, height + 34 * k),
            ],
            4 * k,
        )
        shapes.append(Form("plug", "trim", "fill", plug, order=41))
    else:
        cover = rounded(
            [(-0.92 * w, 0.62 * height), (0.92 * w, 0.62 * height), (0.8 * w, 0.93 * height),
             (-0.8 * w, 0.93 * height)], 14 * k,
        )  # fmt: skip
        cams = joined(
            *(ring((s * 0.42 * w, 0.77 * height), 17 * k, 10 * k, samples=24) for s in (-1, 1))
        )
        shapes += [
            Form("head_cover", "case", "fill", cover, order=42),
            Form("cams", "shade", "fill", cams, order=43),
        ]
    return tuple(shapes)


def _cases(m: MachineShape, g: Landmarks) -> tuple[Form, ...]:
    """Crank and gearbox cases with clutch and crank covers."""
    k, c = g.k, g.crank
    s = np.array(m.sprocket)
    low = m.low_point[1] + 24 * k
    grow = 1.14 if m.engine == "twin" else 1.0
    body = smooth(
        [
            (s[0] - 52 * k, s[1] - 20 * k),
            (s[0] - 4 * k, low + 6 * k),
            (c[0] + 20 * k, low),
            (c[0] + 104 * k * grow, c[1] - 52 * k),
            (c[0] + 112 * k * grow, c[1] + 28 * k),
            (c[0] + 74 * k * grow, c[1] + 92 * k),
            (c[0] - 50 * k, c[1] + 100 * k),
            (s[0] - 20 * k, max(s[1] + 78 * k, c[1] + 62 * k)),
            (s[0] - 58 * k, s[1] + 34 * k),
        ],
        closed=True,
    )
    clutch = 0.5 * (s + c) + np.array([-4 * k, 22 * k])
    cover = circle(clutch, 78 * k, samples=48)
    crank = circle(c + [34 * k, -18 * k], 60 * k, samples=40)
    bolts = joined(
        *(circle(clutch + 69 * k * np.array([np.cos(a), np.sin(a)]), 4.5 * k, samples=10)
          for a in np.arange(6) * np.pi / 3 + 0.3)
    )  # fmt: skip
    return (
        Form("cases", "engine", "fill", body, order=44, contour=True),
        Form("crank_cover", "case", "fill", crank, order=45),
        Form("crank_face", "shade", "fill", ring(c + [34 * k, -18 * k], 44 * k, 40 * k), order=45),
        Form("clutch_cover", "case", "fill", cover, order=46),
        Form("clutch_face", "shade", "fill", ring(clutch, 60 * k, 56 * k, samples=48), order=46),
        Form("cover_bolts", "fin", "fill", bolts, order=46),
    )


def _cylinders(m: MachineShape, g: Landmarks) -> tuple[tuple[Form, ...], list[Points]]:
    """All cylinders, and their exhaust ports."""
    k = g.k
    roof = min(g.axis(g.clamp_low_mm)[1], base_at(m, m.seat[0] + 150 * k)) - 52 * k
    foot = g.crank + np.array([8, 82]) * k
    height = float(np.clip(roof - foot[1], 120 * k, 300 * k))
    if m.engine == "twin":
        tall = min(height, 230 * k)
        both: list[Form] = []
        ports = []
        for lean, ahead in ((np.radians(18), -62 * k), (np.radians(-46), 66 * k)):
            at = g.crank + np.array([ahead, (74 if lean > 0 else 36) * k])
            both += moved(_cylinder(m, k, tall), angle_rad=lean, to=at)
            up = np.array([-np.sin(lean), np.cos(lean)])
            side = np.array([up[1], -up[0]])
            ports.append(at + 0.7 * tall * up + side * (62 * k if lean < 0 else -62 * k))
        return tuple(both), ports
    lean = np.radians(-9)
    shapes = moved(_cylinder(m, k, height), angle_rad=float(lean), to=foot)
    up = np.array([-np.sin(lean), np.cos(lean)])
    share = 0.36 if m.engine == "two_stroke" else 0.66
    return shapes, [foot + share * height * up + np.array([up[1], -up[0]]) * 62 * k]


def _exhaust(m: MachineShape, g: Landmarks, ports: list[Points]) -> tuple[Form, ...]:
    """Header or expansion chamber, and the silencer beside the rear wheel."""
    k = g.k
    x = m.seat[0]
    start = on_base(m, x - 18 * k, -158 * k)
    stop = on_base(m, x - 400 * k, -62 * k)
    if m.kind == "adventure":
        start, stop = start + [10 * k, -60 * k], stop + [-10 * k, -44 * k]
    thick = {"two_stroke": 62.0, "single": 86.0, "twin": 104.0}[m.engine] * k
    along = (stop - start) / np.linalg.norm(stop - start)
    can = tube(
        [start, start + 46 * k * along, stop - 20 * k * along, stop],
        [0.5 * thick, thick, thick, 0.8 * thick],
        curved=False,
    )
    end = tube(
        [stop - 22 * k * along, stop + 12 * k * along], [0.86 * thick, 0.5 * thick], curved=False
    )
    band = tube([start + 52 * k * along, start + 66 * k * along], 1.06 * thick, curved=False)
    shapes = [
        Form("silencer", "exhaust", "fill", can, order=56, contour=True),
        Form("silencer_end", "trim", "fill", end, order=56),
        Form("silencer_band", "trim", "fill", band, order=56),
    ]
    c = g.crank
    port = ports[-1]
    if m.engine == "two_stroke":
        path = [
            port,
            port + [70 * k, -14 * k],
            port + [104 * k, -84 * k],
            c + [136 * k, 36 * k],
            c + [70 * k, 30 * k],
            c + [-40 * k, 84 * k],
            0.5 * (c + start) + [-16 * k, 30 * k],
            start + 4 * k * along,
        ]
        chamber = tube(path, np.array([40, 46, 62, 96, 104, 84, 48, 32]) * k, samples=10)
        seams = joined(*(_across(np.array(path), i, w * k) for i, w in ((2, 60), (3, 94), (5, 82))))
        shapes += [
            Form("chamber", "exhaust", "fill", chamber, order=54, contour=True),
            Form("chamber_seams", "shade", "line", seams, width_mm=3 * k, order=54),
        ]
    else:
        path = [
            port,
            port + [48 * k, -6 * k],
            port + [74 * k, -66 * k],
            c + [124 * k, 64 * k] if m.engine == "single" else c + [150 * k, 6 * k],
            c + [60 * k, 112 * k] if m.engine == "single" else c + [70 * k, -66 * k],
            c + [-70 * k, 140 * k] if m.engine == "single" else c + [-100 * k, -40 * k],
            np.array([x + 60 * k, start[1] - 60 * k]),
            start + 4 * k * along,
        ]
        header = tube(path, 40 * k, samples=10)
        shapes.append(Form("header", "exhaust", "fill", header, order=54, contour=True))
        if m.engine == "twin":
            back = ports[0]
            second = tube(
                [
                    back,
                    back + [-40 * k, -10 * k],
                    back + [-62 * k, -70 * k],
                    path[-2] + [16 * k, -6 * k],
                ],
                36 * k,
            )
            shapes.append(Form("header_rear", "exhaust", "fill", second, order=53))
        shine = tube(np.array(path[:-1]) + [0, 7 * k], 6 * k, samples=10)
        shapes.append(Form("header_shine", "shine", "fill", shine, order=54))
    gloss = tube(
        [start + 74 * k * along + [0, 0.26 * thick], stop - 34 * k * along + [0, 0.26 * thick]],
        0.12 * thick,
        curved=False,
    )
    shapes.append(Form("silencer_shine", "shine", "fill", gloss, order=56))
    return tuple(shapes)


def _across(path: Points, at: int, width: float) -> Points:
    """A short line across a path at one of its points."""
    way = path[at + 1] - path[at - 1]
    side = np.array([-way[1], way[0]]) / np.hypot(*way) * (0.5 * width)
    return np.array([path[at] - side, path[at] + side])


def _frame(m: MachineShape, g: Landmarks) -> tuple[Form, ...]:
    """Steering head, main beam, down tube and cradle, subframe, pivot plate."""
    k, c = g.k, g.crank
    x = m.seat[0]
    pivot = np.array(m.arm_pivot)
    top, low = g.axis(g.clamp_top_mm - 22 * k), g.axis(g.clamp_low_mm + 20 * k)
    head = tube([top, low], 62 * k)
    shoulder = on_base(m, x + 84 * k, -66 * k)
    beam = tube(
        [
            g.axis(0.5 * (g.clamp_top_mm + g.clamp_low_mm), -6 * k),
            0.55 * g.axis(g.clamp_low_mm) + 0.45 * shoulder + np.array([0, 16 * k]),
            shoulder,
            pivot + [44 * k, 0.5 * (shoulder[1] - pivot[1])],
            pivot + [2 * k, 10 * k],
            pivot + [4 * k, -0.74 * g.under_pivot_mm],
        ],
        np.array([92, 66, 58, 50, 70, 50]) * k,
        samples=10,
    )
    floor = m.low_point[1] + 30 * k
    clear = g.front_bump[0] - m.front_radius_mm - 34 * k
    knee = np.array([min(c[0] + 150 * k, clear), c[1] - 30 * k])
    cradle = tube(
        [
            low + [-12 * k, 6 * k],
            0.5 * (low + knee) + [-12 * k, 0],
            knee,
            (c[0] + 96 * k, floor + 12 * k),
            (c[0], floor),
            (pivot[0] + 40 * k, min(floor + 20 * k, pivot[1] - 50 * k)),
            pivot + [6 * k, -30 * k],
        ],
        np.array([56, 42, 38, 32, 30, 30, 40]) * k,
    )
    tail = seat_controls(m, 0.0, 0.0)[0]
    rear = np.array([tail[0] + 60 * k, base_at(m, tail[0] + 60 * k) - 14 * k])
    rail = smooth([shoulder + [10 * k, 34 * k], on_base(m, x - 80 * k, -18 * k), rear])
    brace = np.array(
        [
            pivot + [22 * k, 0.46 * (shoulder[1] - pivot[1])],
            on_base(m, x - 250 * k, -26 * k),
        ]
    )
    hang = 0.96 * g.under_pivot_mm
    plate = smooth(
        [
            pivot + [-34 * k, 4 * k],
            pivot + [-20 * k, 78 * k],
            pivot + [40 * k, 96 * k],
            pivot + [50 * k, 0],
            pivot + [38 * k, -hang],
            pivot + [-16 * k, -0.88 * hang],
        ],
        closed=True,
    )
    return (
        Form("subframe", "frame", "line", rail, width_mm=24 * k, order=37, contour=True),
        Form("subframe_brace", "frame", "line", brace, width_mm=20 * k, order=37, contour=True),
        Form("cradle", "frame", "fill", cradle, order=47, contour=True),
        Form("beam", "frame", "fill", beam, order=48, contour=True),
        Form("steering_head", "frame", "fill", head, order=48, contour=True),
        Form("pivot_plate", "frame", "fill", plate, order=52, contour=True),
        Form("pivot_ring", "shade", "fill", ring(pivot, 24 * k, 19 * k, samples=32), order=52),
        Form("pivot_bolt", "metal", "fill", circle(pivot, 15 * k, samples=24), order=52),
    )


def bash_plate(m: MachineShape) -> tuple[Form, ...]:
    """The plate under the engine; its lowest point is the machine's lowest point."""
    g = landmarks(m)
    k, c = g.k, g.crank
    x, z = m.low_point
    front = np.array([c[0] + 158 * k, c[1] - 40 * k])
    back = np.array([min(m.arm_pivot[0] + 16 * k, x - 60 * k), z + 26 * k])
    ahead = max(x + 90 * k, c[0] + 70 * k)
    # only the lowest point touches its height: both sides rise from it
    under = np.array([back, (0.5 * (back[0] + x), z + 5 * k), (x, z), (ahead, z + 12 * k), front])
    chamfer = front + [-16 * k, 14 * k]
    inner = np.array([chamfer, (ahead - 30 * k, z + 40 * k), (x, z + 30 * k), back + [0, 26 * k]])
    ribs = joined(
        *(np.array([(q, z + 12 * k + 4 * i * k), (q + 34 * k, z + 14 * k + 4 * i * k)])
          for i, q in enumerate(np.linspace(x - 30 * k, ahead - 20 * k, 4)))
    )  # fmt: skip
    return (
        Form("bash_plate", "guard", "fill", np.concatenate([under, inner]), order=50, contour=True),
        Form("bash_slots", "shade", "line", ribs, width_mm=7 * k, order=50),
    )


@lru_cache(maxsize=64)
def middle(m: MachineShape) -> tuple[Form, ...]:
    """Engine, exhaust, frame and bash plate, once per machine."""
    g = landmarks(m)
    cylinders, ports = _cylinders(m, g)
    k, c = g.k, g.crank
    carb = capsule(c + [-78 * k, 186 * k], c + [-150 * k, 206 * k], 30 * k, 36 * k)
    box = rounded(
        [
            on_base(m, m.seat[0] + 92 * k, -20 * k),
            c + [-120 * k, 250 * k],
            c + [-130 * k, 160 * k],
            np.array(m.arm_pivot) + [60 * k, 150 * k],
            on_base(m, m.seat[0] - 40 * k, -150 * k),
        ],
        16 * k,
    )
    hose = arc(c + [62 * k, 150 * k], 70 * k, 0.2, 1.5)
    shapes = (
        Form("air_box", "trim", "fill", box, order=36, contour=True),
        Form("intake", "dark_metal", "fill", carb, order=40, contour=True),
        Form("hose", "rubber", "line", hose, width_mm=20 * k, order=39),
    )
    return (
        *shapes,
        *cylinders,
        *_cases(m, g),
        *_frame(m, g),
        *bash_plate(m),
        *_exhaust(m, g, ports),
    )
