"""What the outlines are drawn from: plain figures of machine, pose and rider.

Owns the frozen inputs. Refuses documents and computation: whoever calls fills them from the
results of the exact model, so that the picture can never disagree with the figures.

Chassis frame: the catalogue's attitude, x forward from the rear contact point, z up from the
ground. World frame: x forward from the rear contact point of the drawn pose, z up from the ground.
Lengths in mm, angles in rad.
"""

from dataclasses import dataclass
from math import dist
from typing import Literal

Point = tuple[float, float]
MachineKind = Literal["trail", "enduro", "motocross", "dual_sport", "adventure", "child"]
# sold without lamps and plate
BARE: tuple[MachineKind, ...] = ("motocross", "child")
EngineSort = Literal["two_stroke", "single", "twin"]


@dataclass(frozen=True, kw_only=True)
class StandShape:
    """Side-stand: `length_mm` and `angle_rad` (from the vertical, outward) in the front view."""

    pivot: Point
    length_mm: float
    angle_rad: float
    foot_ahead_mm: float = 0.0


@dataclass(frozen=True, kw_only=True)
class MachineShape:
    """The figures that the outline of one machine hangs on, points in the chassis frame.

    `front_axle_extended` and `rear_axle_extended` are the axles at the stock full extension,
    `steering_axis` any point on the steering axis, `seat` the stock seat point with the foam
    unloaded, `tank` the middle of the fuel, `plate` the lower edge of the rear plate,
    `grip` and `peg` the middle of grip and peg. Raises ValueError for figures that no machine has.
    """

    kind: MachineKind
    engine: EngineSort
    rake_rad: float
    steering_axis: Point
    fork_offset_mm: float
    fork_travel_mm: float
    stanchion_diameter_mm: float
    stanchion_showing_mm: float
    front_bump_gap_mm: float
    front_axle_extended: Point
    arm_pivot: Point
    arm_length_mm: float
    rear_axle_extended: Point
    rear_travel_mm: float
    rear_bump_gap_mm: float
    front_radius_mm: float
    rear_radius_mm: float
    front_section_mm: float
    rear_section_mm: float
    seat: Point
    seat_width_mm: float
    seat_edge_drop_mm: float
    seat_foam_mm: float
    tank_l: float
    tank: Point
    peg: Point
    grip: Point
    low_point: Point
    headlamp: Point
    plate: Point
    sprocket: Point
    stand: StandShape

    def __post_init__(self) -> None:
        """Refuse what would draw nonsense."""
        for name in ("front_radius_mm", "rear_radius_mm", "arm_length_mm", "fork_travel_mm"):
            if not getattr(self, name) > 0:
                raise ValueError(f"{name}: must be above zero, not {getattr(self, name)!r}")
        if not self.front_axle_extended[0] > self.rear_axle_extended[0]:
            raise ValueError("front_axle_extended: must lie ahead of the rear axle")


@dataclass(frozen=True, kw_only=True)
class MachinePose:
    """One state of the machine: world = R(pitch) (P - rear_axle) + (0, rear_loaded_radius_mm).

    Both axles in the chassis frame as they stand in this state; `clamp_raise_mm` is how far the
    stanchions stand higher in the clamps than stock; `seat_lowering_mm` what seat or foam work
    took off; `foam_squash_mm` how far the foam gives under the rider.
    """

    pitch_rad: float
    front_axle: Point
    rear_axle: Point
    front_loaded_radius_mm: float
    rear_loaded_radius_mm: float
    clamp_raise_mm: float = 0.0
    seat_lowering_mm: float = 0.0
    foam_squash_mm: float = 0.0
    parked: bool = False


@dataclass(frozen=True, kw_only=True)
class RiderJoints:
    """The rider from the side, world (x, z): joint centres; heel, ball and toe under the foot.

    `sole_mm` is the boot's sole where those three are the bare foot's; 0 where they already are
    points under the sole.
    """

    hip: Point
    knee: Point
    ankle: Point
    heel: Point
    ball: Point
    toe: Point
    shoulder: Point
    elbow: Point
    hand: Point
    neck: Point
    head: Point
    head_radius_mm: float
    sole_mm: float = 0.0


@dataclass(frozen=True, kw_only=True)
class SeatSection:
    """The machine from the front where the thighs cross the seat; `seat_height_mm` upright.

    The seat's edges lie at half the width, `edge_drop_mm` under the middle. `lean_rad` leans the
    machine, positive towards y (the rider's left), about its contact line or, rolling on tyres
    of a round section, about a line `crown_mm` above it; `hip_shift_mm` is how far the rider has
    moved over on the seat, towards y.
    """

    seat_height_mm: float
    width_mm: float
    edge_drop_mm: float
    foam_mm: float
    tyre_radius_mm: float
    tyre_section_mm: float
    peg_y_mm: float
    peg_z_mm: float
    lean_rad: float = 0.0
    crown_mm: float = 0.0
    hip_shift_mm: float = 0.0


@dataclass(frozen=True, kw_only=True)
class FrontLeg:
    """One leg from the front, world (y, z): joint centres, heights of heel and toe.

    A boot flat on the ground has both at 0; a lifted heel has the heel alone above 0; a hanging
    boot has both above 0. Heights are those under the sole, or the bare foot's with the boot's
    `sole_mm` under them. `length_mm`: thigh and shank together, where they point at the viewer
    and look shorter; else what is seen is all of them.
    """

    hip: Point
    knee: Point
    ankle: Point
    heel_z_mm: float
    toe_z_mm: float
    sole_mm: float = 0.0
    length_mm: float | None = None

    @property
    def scale(self) -> float:
        """Size of the leg against a full-size one."""
        seen = dist(self.hip, self.knee) + dist(self.knee, self.ankle)
        return (seen if self.length_mm is None else self.length_mm) / 860.0


@dataclass(frozen=True, kw_only=True)
class FrontRider:
    """Both legs from the front, and the inside leg with the boot's sole, as it was measured."""

    left: FrontLeg
    right: FrontLeg
    leg_and_sole_mm: float


@dataclass(frozen=True, kw_only=True)
class FrontStand:
    """The side-stand let down, from the front: pivot (y, z) of the upright machine, leg, splay."""

    pivot: Point
    length_mm: float
    angle_rad: float
