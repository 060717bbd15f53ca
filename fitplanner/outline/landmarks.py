"""Points of the chassis that several parts share, derived from the given figures.

Owns the proportions: what no figure states (steering head, engine, tank, seat ends) is placed
here between the points that figures do state. Refuses to draw.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from fitplanner.outline.curves import smooth
from fitplanner.outline.inputs import MachineShape
from fitplanner.outline.place import Points, rotation


@dataclass(frozen=True, eq=False)
class Landmarks:
    """Chassis frame, mm. `k` scales what no figure states: 1 on a full-size off-road machine."""

    k: float
    down: Points
    fore: Points
    axis_foot: Points
    leg_offset_mm: float
    clamp_low_mm: float
    clamp_top_mm: float
    front_bump: Points
    rear_bump: Points
    crank: Points
    under_pivot_mm: float
    bulk: float

    def axis(self, up_mm: float, fore_mm: float = 0.0) -> Points:
        """A point `up_mm` along the steering axis over the extended axle, `fore_mm` before it."""
        return np.asarray(self.axis_foot - self.down * up_mm + self.fore * fore_mm)

    def leg(self, up_mm: float, fore_mm: float = 0.0) -> Points:
        """The same from the middle line of the fork's leg."""
        return self.axis(up_mm, self.leg_offset_mm + fore_mm)


@lru_cache(maxsize=64)
def landmarks(m: MachineShape) -> Landmarks:
    """Place the shared points of one machine."""
    front, rear = np.array(m.front_axle_extended), np.array(m.rear_axle_extended)
    k = float(
        np.sqrt((front[0] - rear[0]) / 1460.0 * (m.front_radius_mm + m.rear_radius_mm) / 680.0)
    )
    down = np.array([np.sin(m.rake_rad), -np.cos(m.rake_rad)])
    fore = np.array([np.cos(m.rake_rad), np.sin(m.rake_rad)])
    foot = np.array(m.steering_axis) + down * float((front - m.steering_axis) @ down)
    gap = min(m.front_bump_gap_mm, 60 * k)
    low = m.fork_travel_mm + m.front_radius_mm + gap + 34 * k
    # the bar needs room over the top clamp, whatever the travel asks for
    highest = float((m.grip[1] - 62 * k - foot[1]) / -down[1])
    top = min(low + 205 * k, highest)
    low = min(low, top - 130 * k)
    angle = np.arctan2(*(rear - m.arm_pivot)[::-1])
    lifted = min(m.rear_travel_mm, 0.9 * m.arm_length_mm)
    rise = float(np.clip((rear[1] - m.arm_pivot[1] + lifted) / m.arm_length_mm, -1, 1))
    bump_angle = np.pi - np.arcsin(rise)
    bump = np.array(m.arm_pivot) + (rear - m.arm_pivot) @ rotation(bump_angle - angle)
    crank_z = max(m.sprocket[1] + 22 * k, m.low_point[1] + 122 * k)
    lead = min(0.5 * m.fork_offset_mm, 34 * k)
    return Landmarks(
        k=k,
        down=down,
        fore=fore,
        axis_foot=foot,
        leg_offset_mm=m.fork_offset_mm - lead,
        clamp_low_mm=low,
        clamp_top_mm=top,
        front_bump=front - down * m.fork_travel_mm,
        rear_bump=bump,
        crank=np.array([m.sprocket[0] + 128 * k, crank_z]),
        # nothing may hang lower than the lowest point
        under_pivot_mm=float(np.clip(m.arm_pivot[1] - m.low_point[1] - 6 * k, 16 * k, 84 * k)),
        bulk=float(np.clip(np.sqrt(m.tank_l / (9 * k**3)) - 1, -0.15, 0.75)),
    )


def seat_controls(m: MachineShape, lowering_mm: float, squash_mm: float) -> Points:
    """Points that the seat's surface passes through, from the tail to the nose.

    The stock surface passes through the seat point; work on the seat takes its full amount there
    and fades towards both ends, where seat meets tank and tail.
    """
    k = landmarks(m).k
    x, z = m.seat
    if m.kind == "adventure":
        ahead = np.array([-455, -385, -255, -165, -95, 0, 130, 225, 300]) * k
        above = np.array([66, 74, 66, 26, 4, 0, 9, 34, 66]) * k
        taken = np.array([0.0, 0.1, 0.25, 0.75, 1, 1, 0.9, 0.5, 0.1])
        given = np.array([0, 0, 0, 0.15, 0.6, 1, 0.45, 0.1, 0])
    else:
        ahead = np.array([-420, -330, -220, -110, 0, 120, 220, 310]) * k
        above = np.array([40, 28, 13, 3, 0, 9, 32, 68]) * k
        taken = np.array([0.1, 0.35, 0.8, 1, 1, 0.9, 0.5, 0.1])
        given = np.array([0, 0, 0.1, 0.6, 1, 0.5, 0.1, 0])
    return np.column_stack([x + ahead, z + above - lowering_mm * taken - squash_mm * given])


@lru_cache(maxsize=32)
def seat_base(m: MachineShape) -> Points:
    """Under side of the seat, from the tail to the nose: the foam and its pan; read-only."""
    k = landmarks(m).k
    top = seat_controls(m, 0.0, 0.0)
    depth = m.seat_foam_mm + 26 * k
    share = np.interp(
        (top[:, 0] - m.seat[0]) / k, [-450, -250, 0, 180, 310], [0.45, 0.8, 1, 1, 0.4]
    )
    base = smooth(top - np.column_stack([0 * share, depth * share]))
    base.setflags(write=False)
    return base


def base_at(m: MachineShape, x: float) -> float:
    """Height of the seat's under side at x."""
    base = seat_base(m)
    return float(np.interp(x, base[:, 0], base[:, 1]))


def on_base(m: MachineShape, x: float, up_mm: float = 0.0) -> Points:
    """The point at x, `up_mm` over the seat's under side."""
    return np.array([x, base_at(m, x) + up_mm])
