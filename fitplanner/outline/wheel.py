"""Wheels: knobbly tyre, rim, spokes, hub, disc, sprocket.

Owns what turns with the wheel, about (0, 0). Refuses to place it.
"""

from functools import lru_cache
from typing import Literal

import numpy as np

from fitplanner.outline.curves import circle, joined, ring, wave_circle
from fitplanner.outline.place import Points
from fitplanner.outline.shape import Form

SPOKES = 28
End = Literal["front", "rear"]
ORDER: dict[End, int] = {"front": 24, "rear": 20}


def _spokes(hub_r: float, rim_r: float) -> Points:
    """Crossed spokes: every second one leaves the hub leading, the others trailing."""
    rim_at = 2 * np.pi * (np.arange(SPOKES) + 0.5) / SPOKES
    lead = np.where(np.arange(SPOKES) % 2 == 0, 1.0, -1.0) * 0.95
    hub_at = rim_at + lead
    inner = hub_r * np.column_stack([np.cos(hub_at), np.sin(hub_at)])
    outer = rim_r * np.column_stack([np.cos(rim_at), np.sin(rim_at)])
    return joined(*(np.array([a, b]) for a, b in zip(inner, outer, strict=True)))


def _tread(radius: float, depth: float, end: End) -> tuple[Points, Points]:
    """Outline with its blocks and the shoulder's second row of blocks, as fills."""
    count = round(2 * np.pi * 340 / (46 if end == "front" else 54))
    tread = wave_circle(radius - depth, depth, count, duty=0.46)
    low, high = radius - 2.4 * depth, radius - 1.25 * depth
    at = 2 * np.pi * (np.arange(count) + 0.66) / count
    half = 0.36 * np.pi / count
    # a fifth corner that is none parts the blocks
    r = np.array([low, low, high, high, np.nan])
    a = at[:, None] + np.array([-0.8, 0.8, 1.0, -1.0, 0.0]) * half
    blocks = np.column_stack([(r * np.cos(a)).ravel(), (r * np.sin(a)).ravel()])
    return tread, blocks[:-1]


def _sizes(end: End, radius_mm: float, section_mm: float) -> tuple[float, float, float]:
    """Height of the tyre's wall, radius of its seat, depth of its tread."""
    wall = min(1.0 * section_mm, 0.42 * radius_mm)
    return wall, radius_mm - wall, (0.13 if end == "front" else 0.14) * section_mm


def flattened_to(loaded_mm: float) -> float:
    """The loaded radius that a tyre is drawn for: quarters of a mm, which nobody sees.

    So a tyre keeps its form while the load on it hardly changes.
    """
    return round(4.0 * loaded_mm) / 4.0


@lru_cache(maxsize=64)
def tyre(end: End, radius_mm: float, loaded_mm: float, section_mm: float) -> tuple[Form, ...]:
    """One tyre about its axle, flattened to `loaded_mm` under the axle."""
    order = ORDER[end]
    _, seat_r, depth = _sizes(end, radius_mm, section_mm)
    tread, blocks = _tread(radius_mm, depth, end)
    body = circle((0, 0), radius_mm - 0.9 * depth, samples=72)
    shoulder = circle((0, 0), radius_mm - 1.3 * depth, samples=72)[::-1]
    inner = circle((0, 0), seat_r, samples=72)[::-1]

    def flat(points: Points) -> Points:
        return np.column_stack([points[:, 0], np.maximum(points[:, 1], -loaded_mm)])

    return (
        # the silhouette follows the blocks' feet: a dashed line around every block is a mess
        Form(
            f"{end}_tyre_body", "tyre", "fill", joined(flat(body), inner), order=order, contour=True
        ),
        Form(f"{end}_tyre", "tyre", "fill", joined(flat(tread), shoulder), order=order),
        Form(f"{end}_tyre_blocks", "rubber", "fill", flat(blocks), order=order),
    )


@lru_cache(maxsize=32)
def rim(end: End, radius_mm: float, section_mm: float) -> tuple[Form, ...]:
    """What a load does not change: the line on the tyre's wall, rim, spokes and hub."""
    order = ORDER[end]
    wall, seat_r, _ = _sizes(end, radius_mm, section_mm)
    rim_r = seat_r - 0.075 * radius_mm
    hub_r = (0.115 if end == "front" else 0.15) * radius_mm

    def part(name: str, *args: object, **kw: object) -> Form:
        return Form(f"{end}_{name}", *args, **kw)  # type: ignore[arg-type]

    return (
        part(
            "tyre_wall",
            "tread",
            "line",
            np.concatenate([c := circle((0, 0), seat_r + 0.34 * wall, samples=72), c[:1]]),
            width_mm=0.05 * wall,
            order=order,
        ),
        part(
            "spokes",
            "spoke",
            "line",
            _spokes(hub_r * 0.92, rim_r + 2),
            width_mm=3.2 * radius_mm / 340,
            order=order + 1,
        ),
        part("rim", "rim", "fill", ring((0, 0), seat_r + 1, rim_r), order=order + 1),
        part(
            "rim_edge",
            "hub",
            "fill",
            ring((0, 0), seat_r + 1, seat_r - 0.022 * radius_mm),
            order=order + 1,
        ),
        part("hub", "hub", "fill", circle((0, 0), hub_r, samples=40), order=order + 2),
        part(
            "hub_face", "metal", "fill", circle((0, 0), 0.62 * hub_r, samples=32), order=order + 2
        ),
        part(
            "axle", "dark_metal", "fill", circle((0, 0), 0.3 * hub_r, samples=24), order=order + 2
        ),
    )


@lru_cache(maxsize=32)
def brake_disc(end: End, radius_mm: float) -> tuple[Form, ...]:
    """A scalloped, drilled disc; the front one stands on the far side of the wheel."""
    outer = (0.385 if end == "front" else 0.36) * radius_mm
    edge = wave_circle(0.955 * outer, 0.045 * outer, 10, duty=0.5, slope=0.25)
    holes = [
        circle((r * outer * np.cos(a), r * outer * np.sin(a)), 0.032 * outer, samples=8)
        for i in range(20)
        for r, a in [((0.78, 0.88)[i % 2], 2 * np.pi * i / 20)]
    ]
    rotor = joined(edge, circle((0, 0), 0.68 * outer, samples=40)[::-1], *holes)
    arms = joined(
        *(
            np.array([[0.0, 0.0], [0.7 * outer * np.cos(a), 0.7 * outer * np.sin(a)]])
            for a in 2 * np.pi * np.arange(6) / 6 + 0.2
        )
    )
    order = 19 if end == "front" else 23
    return (
        Form(f"{end}_disc_arms", "dark_metal", "line", arms, width_mm=0.07 * outer, order=order),
        Form(f"{end}_disc", "disc", "fill", rotor, order=order),
    )


@lru_cache(maxsize=32)
def sprocket(part: str, radius_mm: float, pitch_mm: float) -> tuple[Form, ...]:
    """A toothed wheel with lightening holes, on the far side."""
    teeth = max(11, round(2 * np.pi * radius_mm / pitch_mm))
    edge = wave_circle(radius_mm - 0.3 * pitch_mm, 0.6 * pitch_mm, teeth, duty=0.4, slope=0.2)
    holes = [
        circle((0.72 * radius_mm * np.cos(a), 0.72 * radius_mm * np.sin(a)), 0.13 * radius_mm)[::2]
        for a in 2 * np.pi * np.arange(6) / 6
    ]
    return (Form(part, "dark_metal", "fill", joined(edge, *holes), order=15),)
