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
    """How the machine stands; arrays of lanes, mm. Angles are kept as their sines and cosines.

    Attributes:
        pitch: (sine, cosine), nose-up positive, against the catalogue attitude.
        rake: (sine, cosine) of the steering axis, from the vertical.
        arm: (sine, cosine) of the rear axle's elevation over the pivot, chassis frame.
        front_axle_mm, rear_axle_mm: (x, z) in the chassis frame.
        front_radius_mm, rear_radius_mm: loaded.
    """

    fork_compression_mm: Array
    rear_compression_mm: Array
    wheelbase_mm: Array
    trail_mm: Array
    pitch: tuple[Array, Array]
    rake: tuple[Array, Array]
    arm: tuple[Array, Array]
    front_axle_mm: tuple[Array, Array]
    rear_axle_mm: tuple[Array, Array]
    front_radius_mm: Array
    rear_radius_mm: Array

    @property
    def pitch_rad(self) -> Array:
        """Pitch, nose-up positive."""
        return np.asarray(np.arctan2(*self.pitch))

    @property
    def rake_rad(self) -> Array:
        """Rake of the steering axis."""
        return np.asarray(np.arctan2(*self.rake))

    @property
    def arm_rad(self) -> Array:
        """Elevation of the rear axle over the pivot in the chassis frame."""
        return np.asarray(np.arctan2(*self.arm))

    @property
    def arm_share(self) -> Array:
        """cos(arm - pitch) / cos(arm): the wheel load's part that turns the swing-arm."""
        return np.asarray(self.pitch[1] + self.arm[0] / self.arm[1] * self.pitch[0])

    def place(self, x_mm: Number, z_mm: Number) -> tuple[Array, Array]:
        """World (x, z) [mm] of a chassis point, x from the rear contact point."""
        dx, dz = np.asarray(x_mm) - self.rear_axle_mm[0], np.asarray(z_mm) - self.rear_axle_mm[1]
        sin, cos = self.pitch
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

    Closed form: pitch = asin((Rf - Rr)/|a|) - atan2(a_z, a_x), a from rear to front axle, taken
    by its sine and cosine, so that no angle is computed on the way.
    """
    fork, rear = np.asarray(fork_mm, dtype=float), np.asarray(rear_mm, dtype=float)
    front_r = np.asarray(machine.front_radius_mm if front_radius_mm is None else front_radius_mm)
    rear_r = np.asarray(machine.rear_radius_mm if rear_radius_mm is None else rear_radius_mm)
    sin_0, cos_0 = np.sin(machine.rake_rad), np.cos(machine.rake_rad)
    along = fork + machine.raise_mm
    fx = machine.front_axle_x_mm - sin_0 * along
    fz = machine.front_axle_z_mm + cos_0 * along
    over_pivot = machine.axle_low_mm + rear
    sin_arm = np.minimum(np.maximum(over_pivot / machine.arm_length_mm, -1.0), 1.0)
    cos_arm = np.sqrt(1.0 - sin_arm**2)
    rx = machine.pivot_x_mm - machine.arm_length_mm * cos_arm
    rz = machine.pivot_z_mm + over_pivot
    ax, az = fx - rx, fz - rz
    span2 = ax**2 + az**2
    step = front_r - rear_r
    wheelbase = np.sqrt(span2 - step**2)
    sin_pitch = (step * ax - wheelbase * az) / span2
    cos_pitch = (wheelbase * ax + step * az) / span2
    sin_rake = sin_0 * cos_pitch + cos_0 * sin_pitch
    cos_rake = cos_0 * cos_pitch - sin_0 * sin_pitch
    return Pose(
        fork_compression_mm=fork,
        rear_compression_mm=rear,
        wheelbase_mm=wheelbase,
        trail_mm=(front_r * sin_rake - machine.fork_offset_mm) / cos_rake,
        pitch=(sin_pitch, cos_pitch),
        rake=(sin_rake, cos_rake),
        arm=(sin_arm, cos_arm),
        front_axle_mm=(fx, fz),
        rear_axle_mm=(rx, rz),
        front_radius_mm=front_r,
        rear_radius_mm=rear_r,
    )
