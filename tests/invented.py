"""Machines made up from scratch, for checks that must not lean on the shipped library.

Each starts from what its kind is for (travel, mass, wheel sizes, seat height) and is worked out
from there: springs for a sag drawn for its rider, a stand cut for a lean, oil for an air column.
Ranges by kind are common practice, no source, and wider than those of the shipped files.
"""

from dataclasses import dataclass
from math import cos, hypot, pi, radians, sin

import numpy as np
from numpy.random import Generator

from fitplanner.documents.base import Figure, Section
from fitplanner.documents.job import SagWindows, Window
from fitplanner.documents.machine import (
    EngineShape,
    LeverageTable,
    MachineKind,
    MachineProfile,
    WayOffers,
)
from fitplanner.mechanics.equilibrium import bottomed
from fitplanner.mechanics.parked import park
from fitplanner.planning.context import context, stand_of
from fitplanner.planning.profile_check import common_job
from fitplanner.planning.targets import targets
from tests import factories

Range = tuple[float, float]


@dataclass(frozen=True)
class _Kind:
    travel_mm: Range
    mass_kg: Range
    wheelbase_mm: Range
    front_mm: tuple[float, ...]
    smaller_mm: Range
    seat_mm: Range
    tank_l_kg: Range
    tube_mm: tuple[float, ...]
    rider_rear: Range = (0.30, 0.355)
    rider_front: Range = (0.21, 0.29)
    free: Range = (0.08, 0.145)


_KINDS: dict[MachineKind, _Kind] = {
    MachineKind.TRAIL: _Kind(
        (180, 305),
        (92, 140),
        (1310, 1470),
        (342, 346),
        (4, 24),
        (800, 935),
        (0.055, 0.09),
        (37, 41, 43, 48),
    ),
    MachineKind.ENDURO: _Kind(
        (270, 310), (98, 122), (1440, 1500), (343, 348), (3, 9), (915, 970), (0.07, 0.1), (47, 48)
    ),
    MachineKind.MOTOCROSS: _Kind(
        (290, 312), (94, 114), (1440, 1500), (340, 345), (2, 10), (925, 985), (0.055, 0.08), (48,)
    ),
    MachineKind.DUAL_SPORT: _Kind(
        (210, 280),
        (120, 180),
        (1400, 1510),
        (342, 348),
        (8, 20),
        (840, 915),
        (0.055, 0.09),
        (41, 43),
    ),
    MachineKind.ADVENTURE: _Kind(
        (180, 245),
        (160, 255),
        (1420, 1590),
        (318, 330, 345),
        (2, 14),
        (815, 895),
        (0.07, 0.11),
        (41, 43, 45, 48),
    ),
    MachineKind.CHILD: _Kind(
        (150, 250),
        (48, 78),
        (1010, 1260),
        (230, 252, 285),
        (14, 26),
        (630, 830),
        (0.045, 0.07),
        (33, 35, 36),
    ),
}
_TRIES = 200


def invented(count: int, *, seed: int) -> list[MachineProfile]:
    """So many machines, their kinds in turn."""
    chance = np.random.default_rng(seed)
    kinds = list(_KINDS)
    return [_one(kinds[number % len(kinds)], number, chance) for number in range(count)]


def _one(kind: MachineKind, number: int, chance: Generator) -> MachineProfile:
    for _ in range(_TRIES):
        profile = _sprung(_bare(kind, number, chance), chance)
        if profile is not None:
            return profile
    raise AssertionError(f"no {kind} could be made up")


def _bare(kind: MachineKind, number: int, chance: Generator) -> MachineProfile:
    k = _KINDS[kind]

    def between(low: float, high: float) -> float:
        return float(chance.uniform(low, high))

    def pick(span: Range) -> float:
        return between(*span)

    child = kind is MachineKind.CHILD
    fork_travel = round(pick(k.travel_mm))
    rear_travel = round(fork_travel * between(0.94, 1.1))
    # Taller machines of a kind have the longer travel.
    tall = (fork_travel - k.travel_mm[0]) / (k.travel_mm[1] - k.travel_mm[0])
    low, high = k.seat_mm
    seat = round(low + (high - low) * float(np.clip(0.75 * tall + between(0, 0.25), 0, 1)))
    base, mass = round(pick(k.wheelbase_mm)), round(pick(k.mass_kg), 1)
    front_r = float(chance.choice(k.front_mm))
    rear_r = round(front_r - pick(k.smaller_mm))
    rake = round(between(25, 28.5) if not child else between(24, 27.5), 1)
    offset = between(22, 40) * (0.8 if child else 1.15) + (8 if not child else 0)
    trail = round((front_r * sin(radians(rake)) - offset) / cos(radians(rake)))
    arm = round(base * between(0.385, 0.425))
    sag = 0.12 * rear_travel
    rise = round(arm * between(0.1, 0.16) + 0.25 * rear_travel - sag * 1.1 - 10)
    tube = float(chance.choice(k.tube_mm))
    section = pi / 4 * tube**2
    area = section * between(0.78, 1.0)
    squeeze = between(3.6, 6.8)
    air = area * fork_travel * 1e-3 / (squeeze - 1)
    surface = section * between(0.72, 0.98)
    level = (air + between(18, 52) * (0.6 if child else 1)) * 1e3 / surface
    legs = int(chance.choice([1, 2], p=[0.25, 0.75])) if kind is not MachineKind.CHILD else 2
    unsprung = mass**0.55 * between(1.0, 1.14)
    fork_free = fork_travel * between(1.55, 2.0)
    clearance = round(
        seat - between(590, 628) * (0.9 if child else 1) * (1 if seat > 860 else 0.97)
    )
    peg = round(seat - (between(500, 540) if not child else between(395, 450)))
    stroke = rear_travel / 2.6
    profile = factories.machine_profile(
        id=f"made-up-{number}",
        name=f"Made up {number}",
        kind=kind,
        engine=EngineShape.SINGLE,
        ways=WayOffers(),
        catalogue={
            "seat_height_mm": seat,
            "wheelbase_mm": base,
            "rake_deg": rake,
            "trail_mm": trail,
            "ground_clearance_mm": max(clearance, 150 if child else 190),
            "rider_mass_kg": 35.0 if child else 75.0,
        },
        masses={
            "running_order_kg": mass,
            "front_share": between(0.465, 0.5),
            "mass_height_mm": round(seat * between(0.6, 0.69)),
            "front_unsprung_kg": round(unsprung * between(0.95, 1.02), 1),
            "rear_unsprung_kg": round(unsprung * between(1.08, 1.26), 1),
            "tank_l": round(mass * pick(k.tank_l_kg), 1),
            "tank_x_mm": round(base * between(0.52, 0.6)),
            "tank_z_mm": round(seat * between(0.86, 0.98)),
            "payload_kg": round(between(55, 80) if child else between(125, 160)),
        },
        wheels={
            "front_radius_mm": front_r,
            "rear_radius_mm": float(rear_r),
            "front_section_mm": round(between(80, 92) if not child else between(60, 70)),
            "rear_section_mm": round(between(112, 150) if not child else between(78, 92)),
            "front_stiffness_n_mm": between(115, 190) if not child else between(75, 110),
            "rear_stiffness_n_mm": between(130, 215) if not child else between(90, 125),
        },
        fork={
            "travel_mm": fork_travel,
            "spring_legs": legs,
            "spring_free_mm": round(fork_free),
            "spring_solid_mm": 100.0,
            "displaced_area_mm2": round(area),
            "air_volume_bottomed_ml": round(air),
            "oil_surface_mm2": round(surface),
            "oil_volume_ml": round(area * fork_travel * 1e-3 * between(0.95, 1.75)),
            "oil_level_mm": round(level),
            "stiction_n": round(between(22, 45) if not child else between(14, 24)),
            "top_out_length_mm": round(between(7, 20)),
            "top_out_rate_n_mm": round(between(7, 15) if not child else between(5, 8), 1),
            "stanchion_diameter_mm": tube,
            "stanchion_showing_mm": round(between(2, 9), 1),
            "bump_gap_mm": round(between(26, 48)),
        },
        rear={
            "travel_mm": rear_travel,
            "arm_length_mm": arm,
            "pivot_height_mm": rear_r + rise,
            "linkage": _table(rear_travel, chance),
            "spring_free_mm": round(stroke * between(2.1, 2.5)),
            "spring_solid_mm": 50.0,
            "gas_pressure_kpa": round(between(800, 1200), -1) if not child else 700.0,
            "rod_diameter_mm": float(chance.choice([12.5, 14, 16, 18])) if not child else 12.0,
            "bump_length_mm": round(between(9, 18)),
            "bump_rate_n_mm": round(between(90, 180) if not child else between(55, 90)),
            "stiction_n": round(between(28, 55) if not child else between(18, 30)),
            "bump_gap_mm": round(between(26, 46)),
        },
        seat={
            "x_mm": round(base * between(0.35, 0.4)),
            "width_mm": round(between(160, 265) if not child else between(140, 180)),
            "edge_drop_mm": round(between(30, 55) if not child else between(22, 36)),
            "foam_mm": round(between(55, 95) if not child else between(45, 65)),
            "foam_squash_mm": round(between(13, 24)),
        },
        controls={
            "peg_x_mm": round(base * between(0.375, 0.425)),
            "peg_y_mm": round(between(240, 290) if not child else between(190, 220)),
            "peg_z_mm": peg,
            "bar_x_mm": round(base * between(0.62, 0.69)),
            "bar_z_mm": round(seat + (between(220, 330) if not child else between(170, 230))),
            "low_point_x_mm": round(base * between(0.45, 0.5)),
        },
        stand={
            "pivot_x_mm": round(base * between(0.345, 0.4)),
            "pivot_y_mm": round(between(110, 165) if not child else between(90, 110)),
            "pivot_z_mm": round(peg * between(0.71, 0.8)),
            "angle_deg": round(between(20, 29)),
            "foot_ahead_mm": round(between(22, 60)),
        },
        chain={
            "sprocket_ahead_mm": round(between(58, 92)),
            "sprocket_above_mm": round(between(-6, 10)),
            "least_play_mm": round(between(7, 15)),
        },
        lamps={
            "headlamp_x_mm": round(base * between(0.85, 0.92)),
            "headlamp_z_mm": round(seat * between(0.98, 1.12)),
            "plate_x_mm": round(-between(160, 320)),
            "plate_z_mm": round(seat * between(0.58, 0.73)),
        },
    )
    width = profile.seat.width_mm.value
    lower: Figure = factories.assumed(round(width * between(0.98, 1.09)), 8.0)
    seat_part = {"lower_seat_width_mm": lower}
    if chance.random() < 0.4:
        edge = profile.seat.edge_drop_mm.value
        over = hypot(width / 2, edge) - edge + between(-18, 22)
        seat_part["arc_mm"] = factories.maker(round(2 * (seat + over)))
    return profile.replace(seat=profile.seat.replace(**seat_part))


def _table(travel_mm: float, chance: Generator) -> LeverageTable:
    rows = int(chance.integers(5, 10))
    first, fall = chance.uniform(2.55, 3.25), chance.uniform(0.1, 0.26)
    bend = chance.uniform(-0.05, 0.05)
    t = np.linspace(0, 1, rows)
    leverage = first * (1 - fall * t + bend * t * (1 - t))
    return LeverageTable(
        wheel_travel_mm=[float(each) for each in np.round(t * travel_mm, 1)],
        leverage=[float(each) for each in np.round(leverage, 3)],
    )


def _sprung(profile: MachineProfile, chance: Generator) -> MachineProfile | None:
    """With springs for a sag, and lengths, preloads and a stand that go with them."""
    k = _KINDS[profile.kind]
    ctx = context(common_job(profile))
    body = ctx.machine.sprung

    def about(span: Range) -> Window:
        middle = float(chance.uniform(*span))
        return Window(low=middle - 1e-4, high=middle + 1e-4)

    windows = SagWindows(
        free_front=about(k.free),
        rider_front=about(k.rider_front),
        free_rear=about(k.free),
        rider_rear=about(k.rider_rear),
    )
    wheels, up = ctx.carried.on_wheels(body), ctx.carried.rider_up(body)
    fork, shock = (
        tuple(float(each) for each in end.ideal())
        for end in targets(ctx.machine, wheels, up, windows)
    )
    stroke = float(ctx.machine.shock.stroke_mm)
    for (rate, preload), most in ((fork, 40.0), (shock, 24.0)):
        if rate <= 0 or not 3.0 <= preload <= most:
            return None

    def spring(name: str, rate: float, preload: float, travel: float) -> Section:
        section: Section = getattr(profile, name)
        free: Figure = getattr(section, "spring_free_mm")  # noqa: B009
        room = free.value - preload - travel
        if room < 60:
            return section
        return section.replace(
            **{
                key: getattr(section, key).replace(value=value)
                for key, value in {
                    "spring_rate_n_mm": rate,
                    "preload_mm": round(preload, 1),
                    "preload_min_mm": float(min(round(preload * 0.4), 4)) or 1.0,
                    "preload_max_mm": float(round(preload + chance.uniform(5, 11))),
                    "spring_solid_mm": float(round(room - chance.uniform(9, 32))),
                }.items()
            }
        )

    legs = profile.fork.spring_legs
    made = profile.replace(
        fork=spring("fork", round(fork[0] / legs, 2), fork[1], profile.fork.travel_mm.value),
        rear=spring("rear", round(shock[0], 1), shock[1], stroke),
    )
    return _parked(made, chance)


def _parked(profile: MachineProfile, chance: Generator) -> MachineProfile | None:
    ctx = context(common_job(profile))
    wheels = ctx.carried.on_wheels(ctx.machine.sprung)
    lean = float(np.radians(chance.uniform(9, 13)))
    parked = park(ctx.machine, wheels, stand_of(profile), hold_lean_rad=lean)
    length = float(parked.length_mm)
    low = profile.controls.low_point_x_mm.value, profile.catalogue.ground_clearance_mm.value
    if not 120 <= length <= 500 or float(bottomed(ctx.machine).pose.height(*low)) < 5:
        return None
    figure = profile.stand.length_mm.replace(value=float(round(length)))
    return profile.replace(stand=profile.stand.replace(length_mm=figure))
