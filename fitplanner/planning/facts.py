"""Figures that pages and checks both need, stock against planned.

Owns travel, clearance, balance, stand, lamps, chain, oil, coil bind and legroom.
Every figure comes from the solved states of `work`. Refuses to judge: `checks` does.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import atan, degrees

from fitplanner.body.posture import legroom
from fitplanner.mechanics.arrays import Array
from fitplanner.mechanics.chain import slack_to_set
from fitplanner.mechanics.clearance import break_over_angle_rad, touch_lean_rad
from fitplanner.mechanics.geometry import Pose
from fitplanner.mechanics.lamps import inclination_change_percent, spot_move_mm
from fitplanner.mechanics.machine import pick_lane
from fitplanner.mechanics.oil import level_change_for_oil_mm
from fitplanner.mechanics.parked import Parked
from fitplanner.mechanics.springs import coil_bind_margin_mm
from fitplanner.mechanics.stand import Slope, leaned, parked_stability
from fitplanner.planning.kit import poured_ml, worked_out_ml
from fitplanner.planning.plan import End
from fitplanner.planning.states import seat_point
from fitplanner.planning.work import ON_WHEELS, PLANNED, RIDER_UP, STOCK, Work
from fitplanner.quantities import Kind

AIM_DISTANCE_MM = 10_000.0
_SAME_LIMITER_MM = 1.0

_L = Kind.LENGTH
Pair = tuple[float, float]


@dataclass(frozen=True)
class Oil:
    """Oil of one leg [mL] and its level [mm]: by equal compression ratio, and by the kit maker.

    `other_kit_mm`: the limiter that the kit maker states a fill for, where it is not this one and
    the fill is carried over.
    """

    stock_ml: float
    calculated_ml: float
    kit_ml: float | None
    level_stock_mm: float
    level_mm: float
    other_kit_mm: float | None = None

    @property
    def fill_ml(self) -> float:
        """What to pour: the kit maker's figure where there is one."""
        return self.calculated_ml if self.kit_ml is None else self.kit_ml


@dataclass(frozen=True)
class Facts:
    """Figures that both the pages and the checks need; pairs are stock, planned."""

    travel_front_mm: Pair
    travel_rear_mm: Pair
    clearance_mm: Pair
    break_over_deg: Pair
    com_height_mm: Pair
    peg_lean_deg: Pair
    gap_front_mm: Pair
    gap_rear_mm: Pair
    reserve_front_mm: Pair
    reserve_rear_mm: Pair
    bind_front_mm: Pair
    bind_rear_mm: Pair
    arm_deg: Pair
    chain_play_mm: Pair
    lamp_height_mm: Pair
    lamp_aim_percent: float
    lamp_spot_mm: float
    plate_height_mm: Pair
    knee_deg: Pair
    hip_deg: Pair
    stand_length_mm: Pair
    stand_lean_deg: Pair
    old_stand_lean_deg: float
    stand_share: Pair
    stand_margin_deg: Pair
    old_stand_holds: bool
    new_stand_holds: bool
    oil: Oil


def _pose_at(work: Work, state: int, which: int) -> Pose:
    at: Pose = pick_lane(work.lanes.rest.pose, (state, which))
    return at


def facts(work: Work, reserves: Mapping[End, Array]) -> Facts:
    """All figures; the planned machine stands on the stand that restores its lean."""
    profile = work.ctx.profile
    both = (STOCK, PLANNED)
    wheels = [_pose_at(work, ON_WHEELS, which) for which in both]
    riding = [_pose_at(work, RIDER_UP, which) for which in both]
    controls, lamps = profile.controls, profile.lamps

    def pair(values: list[float]) -> Pair:
        return values[0], values[1]

    low = (controls.low_point_x_mm.value, profile.catalogue.ground_clearance_mm.value)
    seats = [seat_point(work, which) for which in both]
    rooms = [
        legroom(
            work.ctx.rider.lengths,
            seat_point_mm=seat,
            peg_point_mm=(controls.peg_x_mm.value, controls.peg_z_mm.value),
            sole_mm=work.ctx.rider.document.boot_sole_mm + added,
        )
        for seat, added in zip(seats, (0.0, float(work.made.sole_mm)), strict=True)
    ]
    beam = atan(lamps.dip_percent.value)
    turn = float(riding[1].pitch_rad - riding[0].pitch_rad)
    lamp_up = [
        float(p.height(lamps.headlamp_x_mm.value, lamps.headlamp_z_mm.value)) for p in riding
    ]
    stands = (work.old_stand[STOCK], work.new_stand)
    binds = [_coil_bind(work, which) for which in both]
    limits = work.limits
    return Facts(
        travel_front_mm=(limits[0][1] - limits[0][0], limits[1][1] - limits[1][0]),
        travel_rear_mm=(limits[0][3] - limits[0][2], limits[1][3] - limits[1][2]),
        clearance_mm=pair([float(p.height(*low)) for p in wheels]),
        break_over_deg=pair([_break_over(p, low) for p in wheels]),
        com_height_mm=pair([_com_height(work, which) for which in both]),
        peg_lean_deg=pair(
            [
                degrees(
                    touch_lean_rad(
                        lateral_mm=controls.peg_y_mm.value,
                        height_mm=p.height(controls.peg_x_mm.value, controls.peg_z_mm.value),
                        crown_radius_mm=profile.wheels.rear_section_mm.value / 2,
                    )
                )
                for p in riding
            ]
        ),
        gap_front_mm=(
            profile.fork.bump_gap_mm.value,
            profile.fork.bump_gap_mm.value + float(work.made.front_gap_mm),
        ),
        gap_rear_mm=(
            profile.rear.bump_gap_mm.value,
            profile.rear.bump_gap_mm.value + float(work.made.rear_gap_mm),
        ),
        reserve_front_mm=pair([float(reserves["front"][w]) for w in both]),
        reserve_rear_mm=pair([float(reserves["rear"][w]) for w in both]),
        bind_front_mm=(binds[0][0], binds[1][0]),
        bind_rear_mm=(binds[0][1], binds[1][1]),
        arm_deg=pair([degrees(float(p.arm_rad - p.pitch_rad)) for p in wheels]),
        chain_play_mm=pair([_chain_play(work, which) for which in both]),
        lamp_height_mm=pair(
            [float(p.height(lamps.headlamp_x_mm.value, lamps.headlamp_z_mm.value)) for p in wheels]
        ),
        lamp_aim_percent=float(inclination_change_percent(beam_rad=beam, pitch_change_rad=turn)),
        lamp_spot_mm=float(
            spot_move_mm(
                distance_mm=AIM_DISTANCE_MM,
                height_change_mm=lamp_up[1] - lamp_up[0],
                beam_rad=beam,
                pitch_change_rad=turn,
            )
        ),
        plate_height_mm=pair(
            [float(p.height(lamps.plate_x_mm.value, lamps.plate_z_mm.value)) for p in wheels]
        ),
        knee_deg=pair([degrees(float(r.knee_angle_rad)) for r in rooms]),
        hip_deg=pair([degrees(float(r.hip_angle_rad)) for r in rooms]),
        stand_length_mm=(profile.stand.length_mm.value, float(work.new_stand.length_mm)),
        stand_lean_deg=pair([_lean(s) for s in stands]),
        old_stand_lean_deg=_lean(work.old_stand[PLANNED]),
        stand_share=pair([float(s.share) for s in stands]),
        stand_margin_deg=pair([_slope_margin(work, s) for s in stands]),
        old_stand_holds=bool(work.old_stand[PLANNED].holds),
        new_stand_holds=bool(work.new_stand.holds),
        oil=_oil(work),
    )


def _break_over(at: Pose, low: tuple[float, float]) -> float:
    x, z = at.place(*low)
    try:
        angle = break_over_angle_rad(
            point_x_mm=x,
            point_z_mm=z,
            rear_x_mm=0.0,
            rear_radius_mm=at.rear_radius_mm,
            front_x_mm=at.wheelbase_mm,
            front_radius_mm=at.front_radius_mm,
        )
    except ValueError:
        return float("nan")
    return degrees(float(angle))


def _com_height(work: Work, which: int) -> float:
    """Whole machine with its rider, rider up [mm]."""
    machine = work.unit(which)
    drop = 0.0 if which == STOCK else work.made.seat_drop_mm
    body = work.ctx.carried.rider_up(machine.sprung, drop)
    at = _pose_at(work, RIDER_UP, which)
    front, rear = (float(m) for m in (machine.front_unsprung_kg, machine.rear_unsprung_kg))
    mass = float(body.mass_kg)
    moment = mass * float(at.height(body.x_mm, body.z_mm))
    moment += front * float(at.front_radius_mm) + rear * float(at.rear_radius_mm)
    return moment / (mass + front + rear)


def _coil_bind(work: Work, which: int) -> Pair:
    """Room before the coils touch at full bump, front and rear [mm].

    A spring that is changed is taken as long and as solid as the stock one (assumption).
    """
    profile = work.ctx.profile
    setup = work.stock if which == STOCK else work.planned
    low_x, high_x, _, _ = work.limits[which]
    shock = work.unit(which).shock
    return (
        float(
            coil_bind_margin_mm(
                free_length_mm=profile.fork.spring_free_mm.value,
                solid_length_mm=profile.fork.spring_solid_mm.value,
                deflection_mm=high_x - low_x + float(setup.fork_preload_mm),
            )
        ),
        float(
            coil_bind_margin_mm(
                free_length_mm=profile.rear.spring_free_mm.value,
                solid_length_mm=profile.rear.spring_solid_mm.value,
                deflection_mm=float(shock.stroke_mm)
                - float(shock.cut_mm)
                + float(setup.shock_preload_mm),
            )
        ),
    )


def _chain_play(work: Work, which: int) -> float:
    profile, at = work.ctx.profile, work.hanging[which].pose
    top = work.bottomed[which].pose
    return float(
        slack_to_set(
            arm_length_mm=profile.rear.arm_length_mm.value,
            sprocket_x_mm=profile.chain.sprocket_ahead_mm.value,
            sprocket_z_mm=profile.chain.sprocket_above_mm.value,
            stand_alpha_rad=at.arm_rad,
            highest_alpha_rad=top.arm_rad,
            minimum_play_mm=profile.chain.least_play_mm.value,
        ).stand_play_mm
    )


def _lean(parked: Parked) -> float:
    return degrees(float(parked.lean.lean_rad)) if parked.lean.touches else 90.0


def _slope_margin(work: Work, parked: Parked) -> float:
    """Smallest tilt left before the parked machine tips, over the slopes of the stand rule."""
    if not parked.holds:
        return 0.0
    crown, lean = work.stand.crown_radius_mm, parked.lean.lean_rad
    foot_y, _ = leaned(
        y_mm=parked.lean.foot_y_mm,
        z_mm=parked.lean.foot_z_mm,
        lean_rad=lean,
        crown_radius_mm=crown,
    )
    com_y, com_z = leaned(y_mm=0.0, z_mm=parked.com_z_mm, lean_rad=lean, crown_radius_mm=crown)
    margins = [
        float(
            parked_stability(
                wheelbase_mm=parked.rest.pose.wheelbase_mm,
                foot_x_mm=parked.foot_x_mm,
                foot_y_mm=foot_y,
                com_x_mm=parked.com_x_mm,
                com_y_mm=com_y,
                com_z_mm=com_z,
                slope=slope,
            ).margin_rad
        )
        for slope in Slope
    ]
    return degrees(min(margins))


def _oil(work: Work) -> Oil:
    fork = work.ctx.profile.fork
    cut = float(work.planned.fork_limiter_mm)
    poured = float(poured_ml(fork, cut))
    kit = poured if fork.kit_oil_volume_ml is not None and cut > 0 else None
    own = fork.kit_limiter_mm
    other = kit is not None and own is not None and abs(cut - own.value) > _SAME_LIMITER_MM
    change = level_change_for_oil_mm(
        oil_change_ml=poured - fork.oil_volume_ml.value,
        surface_area_mm2=fork.oil_surface_mm2.value,
    )
    return Oil(
        stock_ml=fork.oil_volume_ml.value,
        calculated_ml=float(worked_out_ml(fork, cut)),
        kit_ml=kit,
        other_kit_mm=own.value if other and own is not None else None,
        level_stock_mm=fork.oil_level_mm.value,
        level_mm=fork.oil_level_mm.value + float(change),
    )
