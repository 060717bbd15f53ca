"""Two links between two points: owns the bend of a knee or an elbow.

Refuses bodies: it knows lengths, points and the side to which a joint bends. A point that cannot
be reached is answered by the nearest one that can, and flagged; nothing here is ever NaN.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fitplanner.body.arrays import Flags, Floats, floats

TINY_MM = 1e-9


@dataclass(frozen=True, slots=True)
class Limb:
    """Middle joint and tip (..., 3) in mm, the inner angle at the joint in rad (pi is straight).

    `stretched`: the wanted tip lay too far, the limb is straight towards it. `folded`: it lay
    too near, the joint is at its least angle. In both cases `tip_mm` is not the wanted point.
    """

    joint_mm: Floats
    tip_mm: Floats
    angle_rad: Floats
    stretched: Flags
    folded: Flags


def chord_mm(first_mm: ArrayLike, second_mm: ArrayLike, angle_rad: ArrayLike) -> Floats:
    """Root to tip (mm) of two links with an inner angle (rad) between them: law of cosines."""
    first, second = floats(first_mm), floats(second_mm)
    squared = first**2 + second**2 - 2.0 * first * second * np.cos(floats(angle_rad))
    return np.sqrt(np.maximum(squared, 0.0))


def two_links(
    root_mm: ArrayLike,
    tip_mm: ArrayLike,
    *,
    first_mm: ArrayLike,
    second_mm: ArrayLike,
    least_angle_rad: ArrayLike,
    forward: bool,
    splay_rad: ArrayLike = 0.0,
) -> Limb:
    """Bend two links (mm) so that they join root to tip, points (..., 3).

    The joint bends in the plane of the chord that holds it away from the y axis: `forward` (a
    knee) puts it ahead of a chord that hangs down, otherwise (an elbow) behind it. `splay_rad`
    turns it about the chord from there towards +y.
    """
    root, tip = floats(root_mm), floats(tip_mm)
    first, second = floats(first_mm), floats(second_mm)
    chord = tip - root
    wanted = np.linalg.norm(chord, axis=-1)
    nearest, farthest = chord_mm(first, second, least_angle_rad), first + second
    span = np.clip(wanted, nearest, farthest)

    hanging = np.array([0.0, 0.0, -1.0])
    apart = wanted[..., np.newaxis] > TINY_MM
    along = np.where(apart, chord / np.maximum(wanted, TINY_MM)[..., np.newaxis], hanging)
    side = np.stack([-along[..., 2], np.zeros_like(wanted), along[..., 0]], axis=-1)
    size = np.linalg.norm(side, axis=-1)[..., np.newaxis]
    across = np.where(size > TINY_MM, side / np.maximum(size, TINY_MM), np.array([1.0, 0.0, 0.0]))
    sideways = np.cross(across, along)
    splay = floats(splay_rad)[..., np.newaxis]
    bend = np.cos(splay) * (across if forward else -across) + np.sin(splay) * sideways

    foot_point = (first**2 - second**2 + span**2) / (2.0 * np.maximum(span, TINY_MM))
    height = np.sqrt(np.maximum(first**2 - foot_point**2, 0.0))
    cosine = (first**2 + second**2 - span**2) / (2.0 * first * second)
    joint = root + foot_point[..., np.newaxis] * along + height[..., np.newaxis] * bend
    return Limb(
        joint_mm=joint,
        tip_mm=root + span[..., np.newaxis] * along,
        angle_rad=np.arccos(np.clip(cosine, -1.0, 1.0)),
        stretched=wanted > farthest + TINY_MM,
        folded=wanted < nearest - TINY_MM,
    )
