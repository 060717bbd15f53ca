"""The pictures of a plan: what the outlines are drawn from, built when first looked at.

Owns the mapping from solved states to the outline room's inputs, so that the picture can never
disagree with the figures. Refuses shapes and colours.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from math import radians

import numpy as np

from fitplanner.body.posture import Joints, Leg, leg_to, riding_posture
from fitplanner.body.stopped import one_foot_posture, stopped_posture
from fitplanner.documents.machine import MachineProfile
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.geometry import Pose
from fitplanner.mechanics.machine import pick_lane
from fitplanner.outline import (
    Front,
    FrontLeg,
    FrontRider,
    FrontStand,
    MachinePose,
    MachineShape,
    RiderJoints,
    Scene,
    SeatSection,
    Side,
    StandShape,
    front_scene_from,
    scene_from,
)
from fitplanner.planning.halt import squash_mm
from fitplanner.planning.memory import remembered
from fitplanner.planning.plan import STATE_NAMES, Pictures, StatePair
from fitplanner.planning.resolve import reference
from fitplanner.planning.states import seat_point
from fitplanner.planning.ways import Build
from fitplanner.planning.work import ON_WHEELS, PLANNED, RIDER_UP, STOCK, Work

Point = tuple[float, float]

# from the tip of a peg inward to the middle of a boot: assumption
BOOT_IN_MM = 50.0


class Scenes(Mapping[str, Scene]):
    """Scenes by state, each built when first asked for."""

    def __init__(self, builders: Mapping[str, Callable[[], Scene]]) -> None:
        """Take one builder a state."""
        self._builders = dict(builders)
        self._built: dict[str, Scene] = {}

    def __getitem__(self, state: str) -> Scene:
        """The scene of a state."""
        if state not in self._built:
            self._built[state] = self._builders[state]()
        return self._built[state]

    def __iter__(self) -> Iterator[str]:
        """States in their order."""
        return iter(self._builders)

    def __len__(self) -> int:
        """How many states have a scene."""
        return len(self._builders)


def _point(values: tuple[Number, Number]) -> Point:
    return float(values[0]), float(values[1])


@remembered(16)
def machine_shape(profile: MachineProfile) -> MachineShape:
    """The profile's own figures as the outline wants them."""
    machine = reference(profile).machine
    rake = float(machine.rake_rad)
    offset = float(machine.fork_offset_mm)
    axle = _point((machine.front_axle_x_mm, machine.front_axle_z_mm))
    pivot = _point((machine.pivot_x_mm, machine.pivot_z_mm))
    arm = profile.rear.arm_length_mm.value
    low = float(machine.axle_low_mm)
    stand = profile.stand
    return MachineShape(
        kind=profile.kind.value,
        engine=profile.engine.value,
        rake_rad=rake,
        steering_axis=(axle[0] - offset * np.cos(rake), axle[1] - offset * np.sin(rake)),
        fork_offset_mm=offset,
        fork_travel_mm=profile.fork.travel_mm.value,
        stanchion_diameter_mm=profile.fork.stanchion_diameter_mm.value,
        stanchion_showing_mm=profile.fork.stanchion_showing_mm.value,
        front_bump_gap_mm=profile.fork.bump_gap_mm.value,
        front_axle_extended=axle,
        arm_pivot=pivot,
        arm_length_mm=arm,
        rear_axle_extended=(pivot[0] - float(np.sqrt(arm**2 - low**2)), pivot[1] + low),
        rear_travel_mm=profile.rear.travel_mm.value,
        rear_bump_gap_mm=profile.rear.bump_gap_mm.value,
        front_radius_mm=profile.wheels.front_radius_mm.value,
        rear_radius_mm=profile.wheels.rear_radius_mm.value,
        front_section_mm=profile.wheels.front_section_mm.value,
        rear_section_mm=profile.wheels.rear_section_mm.value,
        seat=(profile.seat.x_mm.value, profile.catalogue.seat_height_mm.value),
        seat_width_mm=profile.seat.width_mm.value,
        seat_edge_drop_mm=profile.seat.edge_drop_mm.value,
        seat_foam_mm=profile.seat.foam_mm.value,
        tank_l=profile.masses.tank_l.value,
        tank=(profile.masses.tank_x_mm.value, profile.masses.tank_z_mm.value),
        peg=(profile.controls.peg_x_mm.value, profile.controls.peg_z_mm.value),
        grip=(profile.controls.bar_x_mm.value, profile.controls.bar_z_mm.value),
        low_point=(
            profile.controls.low_point_x_mm.value,
            profile.catalogue.ground_clearance_mm.value,
        ),
        headlamp=(profile.lamps.headlamp_x_mm.value, profile.lamps.headlamp_z_mm.value),
        plate=(profile.lamps.plate_x_mm.value, profile.lamps.plate_z_mm.value),
        sprocket=(
            pivot[0] + profile.chain.sprocket_ahead_mm.value,
            pivot[1] + profile.chain.sprocket_above_mm.value,
        ),
        stand=StandShape(
            pivot=(stand.pivot_x_mm.value, stand.pivot_z_mm.value),
            length_mm=stand.length_mm.value,
            angle_rad=radians(stand.angle_deg.value),
            foot_ahead_mm=stand.foot_ahead_mm.value,
        ),
    )


class _Drawer:
    """Stock or planned machine of one plan, ready for each state's picture."""

    def __init__(self, work: Work, which: int, heights: StatePair) -> None:
        self.work, self.which = work, which
        self.heights = heights.stock if which == STOCK else heights.planned
        self.parked = work.old_stand[STOCK] if which == STOCK else work.new_stand
        shape = machine_shape(work.ctx.profile)
        made = Build(work.ctx.profile, work.ctx.machine) if which == STOCK else work.made
        self.made = made
        self.sole = work.ctx.rider.document.boot_sole_mm + float(made.sole_mm)
        self.shape = replace(
            shape,
            stand=replace(shape.stand, length_mm=max(float(self.parked.length_mm), 1.0)),
            front_radius_mm=float(made.machine.front_radius_mm),
            rear_radius_mm=float(made.machine.rear_radius_mm),
        )
        self.seat = seat_point(work, which)

    def pose(self, at: Pose, squash: float, parked: bool) -> MachinePose:
        """The outline's pose; `at` is one lane."""
        return MachinePose(
            pitch_rad=float(at.pitch_rad),
            front_axle=_point(at.front_axle_mm),
            rear_axle=_point(at.rear_axle_mm),
            front_loaded_radius_mm=float(at.front_radius_mm),
            rear_loaded_radius_mm=float(at.rear_radius_mm),
            clamp_raise_mm=float(self.made.machine.raise_mm),
            seat_lowering_mm=float(self.made.seat_drop_mm),
            foam_squash_mm=squash,
            parked=parked,
        )

    def solved(self, state: str) -> Pose:
        """The pose of a state, one lane."""
        work, which = self.work, self.which
        if state in ("on_wheels", "rider_up"):
            lane = (ON_WHEELS if state == "on_wheels" else RIDER_UP, which)
            at: Pose = pick_lane(work.lanes.rest.pose, lane)
            return at
        return {
            "extended": work.hanging[which].pose,
            "stopped": work.halts[which].rest.pose,
            "full_bump": work.bottomed[which].pose,
            "parked": self.parked.rest.pose,
        }[state]

    def side(self, state: str) -> Side:
        """One state from the side."""
        work, halt = self.work, self.work.halts[self.which]
        at = self.solved(state)
        squash, rider, heel, gap = 0.0, None, 0.0, 0.0
        if state in ("rider_up", "full_bump"):
            squash = float(squash_mm(work.ctx.value, work.ctx.rider.total_kg, 1.0))
            rider = _side_joints(self.riding(at, squash), self.sole)
        elif state == "stopped":
            squash = float(halt.squash_mm)
            rider = _side_joints(self.halted, self.sole)
            if halt.one is None:
                heel, gap = float(halt.both.heel_lift_mm), float(halt.both.ground_gap_mm)
        return Side(
            machine=self.shape,
            pose=self.pose(at, squash, parked=state == "parked"),
            rider=rider,
            seat_height_mm=getattr(self.heights, state).seat_height_mm,
            heel_lift_mm=heel,
            foot_gap_mm=gap,
        )

    def riding(self, at: Pose, squash: float) -> Joints:
        """Feet on the pegs, hands on the grips."""
        x, z = _point(at.place(*self.seat))
        return riding_posture(
            self.work.ctx.rider.lengths,
            seat_point_mm=(x, z - squash),
            peg_point_mm=_point(at.place(*self.shape.peg)),
            bar_point_mm=_point(at.place(*self.shape.grip)),
            sole_mm=self.sole,
        )

    @cached_property
    def halted(self) -> Joints:
        """Feet where they reach; both views show them."""
        work, halt = self.work, self.work.halts[self.which]
        at = halt.rest.pose
        x, _ = _point(at.place(*self.seat))
        lengths, sole = work.ctx.rider.lengths, self.sole
        ahead = work.ctx.profile.controls.feet_ahead_mm.value
        bar = _point(at.place(*self.shape.grip))
        if halt.one is not None:
            peg = _point(at.place(*self.shape.peg))
            return one_foot_posture(
                lengths,
                halt.one,
                seat=halt.seat,
                seat_point_mm=(x, float(halt.seat_mm)),
                peg_point_mm=(peg[0], self.boot_y_mm, peg[1]),
                bar_point_mm=bar,
                sole_mm=sole,
                ankle_ahead_mm=ahead,
            ).joints
        return stopped_posture(
            lengths,
            halt.both,
            seat=halt.seat,
            seat_point_mm=(x, float(halt.seat_mm)),
            bar_point_mm=bar,
            sole_mm=sole,
            ankle_ahead_mm=ahead,
        ).joints

    @property
    def boot_y_mm(self) -> float:
        """A boot on its peg, from the middle plane."""
        return self.work.ctx.profile.controls.peg_y_mm.value - BOOT_IN_MM

    def front(self, state: str) -> Front:
        """One state from the front."""
        if state == "stopped":
            return self._front_stopped()
        at = self.solved(state)
        if state == "parked":
            return self._front_parked(at)
        height = float(at.height(*self.seat))
        if state not in ("rider_up", "full_bump"):
            return Front(section=self._section(at, height))
        rider = self.work.ctx.rider
        squash = float(squash_mm(self.work.ctx.value, rider.total_kg, 1.0))
        joints = self.riding(at, squash)
        return Front(
            section=self._section(at, height - squash),
            rider=self._legs(
                self._on_peg(joints.left, 1.0, joints.trunk.lean_rad),
                self._on_peg(joints.right, -1.0, joints.trunk.lean_rad),
            ),
            stopped=False,
        )

    def _front_stopped(self) -> Front:
        """The legs reaching for the ground over the pressed seat."""
        halt = self.work.halts[self.which]
        section = self._section(halt.rest.pose, float(halt.seat_mm))
        if halt.one is not None:
            lean, shift = float(halt.one.lean_rad), float(halt.one.hip_shift_mm)
            section = replace(section, lean_rad=lean, hip_shift_mm=shift)
        return Front(
            section=section,
            rider=self._legs(self.halted.left, self.halted.right),
            heel_lift_mm=float(halt.both.heel_lift_mm) if halt.one is None else 0.0,
            foot_gap_mm=float(halt.both.ground_gap_mm) if halt.one is None else 0.0,
        )

    def _front_parked(self, at: Pose) -> Front:
        """On the side-stand, leaned as far as it lets it."""
        stand, parked = self.work.stand, self.parked
        upright = self._section(at, float(at.height(*self.seat)))
        return Front(
            section=replace(
                upright,
                lean_rad=radians(self.heights.parked.lean_deg or 0.0),
                crown_mm=float(stand.crown_radius_mm),
            ),
            stand=FrontStand(
                pivot=(float(stand.pivot_y_mm), float(parked.pivot_z_mm)),
                length_mm=max(float(parked.length_mm), 1.0),
                angle_rad=float(stand.angle_rad),
            ),
            seat_height_mm=self.heights.parked.seat_height_mm,
        )

    def _section(self, at: Pose, seat_height_mm: float) -> SeatSection:
        """The upright machine where the thighs cross the seat."""
        profile, seat = self.work.ctx.profile, self.work.halts[self.which].seat
        controls = profile.controls
        return SeatSection(
            seat_height_mm=seat_height_mm,
            width_mm=float(seat.width_mm),
            edge_drop_mm=float(seat.edge_drop_mm),
            foam_mm=profile.seat.foam_mm.value,
            tyre_radius_mm=float(at.rear_radius_mm),
            tyre_section_mm=profile.wheels.rear_section_mm.value,
            peg_y_mm=controls.peg_y_mm.value,
            peg_z_mm=float(at.height(controls.peg_x_mm.value, controls.peg_z_mm.value)),
        )

    def _legs(self, left: Leg, right: Leg) -> FrontRider:
        return FrontRider(
            left=_front_leg(left, self.sole),
            right=_front_leg(right, self.sole),
            leg_and_sole_mm=self.work.ctx.rider.inside_leg_mm + self.sole,
        )

    def _on_peg(self, leg: Leg, side: float, trunk_lean_rad: Number) -> Leg:
        """A leg of the side view with its boot out on the peg."""
        ankle = np.array(leg.ankle_mm, dtype=float)
        ankle[1] = side * self.boot_y_mm
        return leg_to(
            self.work.ctx.rider.lengths,
            leg.hip_mm,
            ankle,
            foot_angle_rad=0.0,
            toe_angle_rad=0.0,
            trunk_lean_rad=trunk_lean_rad,
        )


def _side_joints(joints: Joints, sole_mm: float) -> RiderJoints:
    def xz(values: Array) -> Point:
        return float(values[0]), float(values[2])

    leg, trunk = joints.left, joints.trunk
    return RiderJoints(
        hip=xz(leg.hip_mm),
        knee=xz(leg.knee_mm),
        ankle=xz(leg.ankle_mm),
        heel=xz(leg.heel_mm),
        ball=xz(leg.ball_mm),
        toe=xz(leg.toe_mm),
        shoulder=xz(trunk.shoulder_mm),
        elbow=xz(trunk.elbow_mm),
        hand=xz(trunk.hand_mm),
        neck=xz(trunk.neck_mm),
        head=xz(trunk.head_centre_mm),
        head_radius_mm=float(trunk.head_radius_mm),
        sole_mm=sole_mm,
    )


def _front_leg(leg: Leg, sole_mm: float) -> FrontLeg:
    def yz(values: Array) -> Point:
        return float(values[1]), float(values[2])

    return FrontLeg(
        hip=yz(leg.hip_mm),
        knee=yz(leg.knee_mm),
        ankle=yz(leg.ankle_mm),
        heel_z_mm=float(leg.heel_mm[2]),
        toe_z_mm=float(leg.toe_mm[2]),
        sole_mm=sole_mm,
        length_mm=float(
            np.linalg.norm(leg.knee_mm - leg.hip_mm) + np.linalg.norm(leg.ankle_mm - leg.knee_mm)
        ),
    )


def pictures(work: Work, heights: StatePair) -> Pictures:
    """Both views of every state, stock and planned over each other."""
    stock = _Drawer(work, STOCK, heights)
    planned = _Drawer(work, PLANNED, heights)

    def side(state: str) -> Callable[[], Scene]:
        return lambda: scene_from(before=stock.side(state), after=planned.side(state))

    def front(state: str) -> Callable[[], Scene]:
        return lambda: front_scene_from(before=stock.front(state), after=planned.front(state))

    return Pictures(
        side=Scenes({state: side(state) for state in STATE_NAMES}),
        front=Scenes({state: front(state) for state in STATE_NAMES}),
    )
