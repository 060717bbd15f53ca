"""The exact pose of a rigid chassis on two wheels.

Owns axle points in the chassis frame, pitch, wheelbase, rake, trail and the height of any
chassis point. Refuses forces. No small-angle shortcut anywhere.
"""

from dataclasses import dataclass

import numpy as np

from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.machine import Machine


@dataclass(frozen=True)
class Pose:
    """How the machine stands; arrays of lanes, mm and rad.

    Attributes:
        pitch_rad: nose-up positive, against the catalogue attitude.
        front_axle_mm, rear_axle_mm: (x, z) in the chassis frame.
        arm_rad: elevation of the rear axle over the pivot in the chassis frame.
        front_radius_mm, rear_radius_mm: loaded.
    """

    fork_compression_mm: Array
    rear_compression_mm: Array
    pitch_rad: Array
    wheelbase_mm: Array
    rake_rad: Array
    trail_mm: Array
    arm_rad: Array
    front_axle_mm: tuple[Array, Array]
    rear_axle_mm: tuple[Array, Array]
    front_radius_mm: Array
    rear_radius_mm: Array

    def place(self, x_mm: Number, z_mm: Number) -> tuple[Array, Array]:
        """World (x, z) [mm] of a chassis point, x from the rear contact point."""
        dx, dz = np.asarray(x_mm) - self.rear_axle_mm[0], np.asarray(z_mm) - self.rear_axle_mm[1]
        cos, sin = np.cos(self.pitch_rad), np.sin(self.pitch_rad)
        return cos * dx - sin * dz, self.rear_radius_mm + sin * dx + cos * dz

    def height(self, x_mm: Number, z_mm: Number) -> Array:
        """Height over the ground [mm] of a chassis point."""
        return self.place(x_mm, z_mm)[1]


def fork_offset_mm(*, wheel_radius_mm: Number, rake_rad: Number, trail_mm: Number) -> Array:
    """Fork offset [mm] from rake and trail; the inverse of the trail's equation."""
    rake = np.asarray(rake_rad, dtype=float)
    offset: Array = np.asarray(wheel_radius_mm) * np.sin(rake) - trail_mm * np.cos(rake)
    return offset


def pose(
    machine: Machine,
    fork_mm: Number,
    rear_mm: Number,
    front_radius_mm: Number | None = None,
    rear_radius_mm: Number | None = None,
) -> Pose:
    """Pose at a fork compression and an axle rise; radii default to the free tyres.

    Args:
        fork_mm: along the fork, from stock full extension.
        rear_mm: rise of the rear axle in the chassis frame, from stock full extension.

    Closed form: pitch = asin((Rf - Rr)/|a|) - atan2(a_z, a_x), a from rear to front axle.
    """
    fork, rear = np.asarray(fork_mm, dtype=float), np.asarray(rear_mm, dtype=float)
    front_r = np.asarray(machine.front_radius_mm if front_radius_mm is None else front_radius_mm)
    rear_r = np.asarray(machine.rear_radius_mm if rear_radius_mm is None else rear_radius_mm)
    rake0, arm = np.asarray(machine.rake_rad), np.asarray(machine.arm_length_mm)
    along = fork + machine.raise_mm
    fx = machine.front_axle_x_mm - np.sin(rake0) * along
    fz = machine.front_axle_z_mm + np.cos(rake0) * along
    over_pivot = machine.axle_low_mm + rear
    arm_rad = np.arcsin(np.clip(over_pivot / arm, -1.0, 1.0))
    rx = machine.pivot_x_mm - arm * np.cos(arm_rad)
    rz = machine.pivot_z_mm + over_pivot
    ax, az = fx - rx, fz - rz
    span = np.hypot(ax, az)
    step = front_r - rear_r
    pitch = np.arcsin(step / span) - np.arctan2(az, ax)
    rake = rake0 + pitch
    trail = (front_r * np.sin(rake) - machine.fork_offset_mm) / np.cos(rake)
    return Pose(
        fork_compression_mm=fork,
        rear_compression_mm=rear,
        pitch_rad=pitch,
        wheelbase_mm=np.sqrt(span**2 - step**2),
        rake_rad=rake,
        trail_mm=trail,
        arm_rad=arm_rad,
        front_axle_mm=(fx, fz),
        rear_axle_mm=(rx, rz),
        front_radius_mm=front_r,
        rear_radius_mm=rear_r,
    )
