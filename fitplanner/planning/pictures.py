"""The pictures of a plan: what the outlines are drawn from, built when first looked at.

Owns the mapping from solved states to the outline room's inputs, so that the picture can never
disagree with the figures. Refuses shapes and colours.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from math import radians

import numpy as np

from fitplanner.body.posture import Joints, Leg, riding_posture
from fitplanner.body.stopped import one_foot_posture, stopped_posture
from fitplanner.documents.machine import MachineProfile
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.geometry import Pose
from fitplanner.mechanics.machine import pick_lane
from fitplanner.outline import (
    Front,
    FrontLeg,
    FrontRider,
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

FRONT_TITLE = "Foam pressed"


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
                peg_point_mm=(peg[0], work.ctx.profile.controls.peg_y_mm.value - 50.0, peg[1]),
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

    def front(self) -> Front:
        """The legs over the seat, `stopped`."""
        work, halt = self.work, self.work.halts[self.which]
        joints = self.halted
        lean = 0.0 if halt.one is None else float(halt.one.lean_rad)
        controls = work.ctx.profile.controls
        peg = _point(halt.rest.pose.place(controls.peg_x_mm.value, controls.peg_z_mm.value))
        section = SeatSection(
            seat_height_mm=float(halt.seat_mm),
            width_mm=float(halt.seat.width_mm),
            edge_drop_mm=float(halt.seat.edge_drop_mm),
            foam_mm=work.ctx.profile.seat.foam_mm.value,
            tyre_radius_mm=float(halt.rest.pose.rear_radius_mm),
            tyre_section_mm=work.ctx.profile.wheels.rear_section_mm.value,
            peg_y_mm=controls.peg_y_mm.value,
            peg_z_mm=peg[1],
            lean_rad=lean,
            hip_shift_mm=0.0 if halt.one is None else float(halt.one.hip_shift_mm),
        )
        rider = work.ctx.rider
        return Front(
            section=section,
            rider=FrontRider(
                left=_front_leg(joints.left, self.sole),
                right=_front_leg(joints.right, self.sole),
                leg_and_sole_mm=rider.inside_leg_mm + self.sole,
            ),
            heel_lift_mm=float(halt.both.heel_lift_mm) if halt.one is None else 0.0,
            foot_gap_mm=float(halt.both.ground_gap_mm) if halt.one is None else 0.0,
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
    )


def pictures(work: Work, heights: StatePair) -> Pictures:
    """Side view of every state and the front view, stock and planned over each other."""
    stock = _Drawer(work, STOCK, heights)
    planned = _Drawer(work, PLANNED, heights)

    def builder(state: str) -> Callable[[], Scene]:
        return lambda: scene_from(before=stock.side(state), after=planned.side(state))

    front = Scenes(
        {
            "stopped": lambda: front_scene_from(
                before=stock.front(), after=planned.front(), title=FRONT_TITLE
            )
        }
    )
    return Pictures(side=Scenes({state: builder(state) for state in STATE_NAMES}), fronts=front)
