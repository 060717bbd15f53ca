"""What is usual for each figure by itself.

Owns the ranges, one for a full-size machine and one for a child's; all are common practice, no
source. Refuses relations between figures.
"""

from collections.abc import Iterator

from fitplanner.documents.machine import MachineKind
from fitplanner.library.slips.sign import SPECS, Band, Plain, Sign, is_child, said

_USUAL: dict[str, tuple[Band, Band]] = {
    "catalogue.rider_mass_kg": ((55, 105), (20, 60)),
    "catalogue.seat_height_mm": ((740, 1030), (430, 900)),
    "catalogue.wheelbase_mm": ((1220, 1680), (780, 1320)),
    "catalogue.rake_deg": ((22.5, 31.5), (20.5, 31)),
    "catalogue.trail_mm": ((65, 155), (30, 135)),
    "catalogue.ground_clearance_mm": ((150, 430), (110, 360)),
    "masses.front_share": ((0.42, 0.56), (0.42, 0.56)),
    "masses.front_unsprung_kg": ((8.5, 26), (4, 14)),
    "masses.rear_unsprung_kg": ((9.5, 36), (4.5, 17)),
    "masses.payload_kg": ((90, 245), (35, 110)),
    "wheels.front_radius_mm": ((275, 380), (150, 310)),
    "wheels.rear_radius_mm": ((265, 375), (140, 300)),
    "wheels.front_section_mm": ((60, 125), (45, 80)),
    "wheels.rear_section_mm": ((75, 185), (50, 105)),
    "wheels.front_stiffness_n_mm": ((75, 300), (45, 170)),
    "wheels.rear_stiffness_n_mm": ((80, 330), (50, 190)),
    "fork.travel_mm": ((135, 330), (70, 250)),
    "fork.preload_mm": ((1, 45), (1, 40)),
    "fork.preload_min_mm": ((1, 18), (0.8, 15)),
    "fork.preload_max_mm": ((6, 58), (5, 55)),
    "fork.spring_free_mm": ((240, 660), (170, 540)),
    "fork.oil_volume_ml": ((150, 950), (90, 520)),
    "fork.oil_level_mm": ((38, 220), (35, 190)),
    "fork.kit_limiter_mm": ((9, 130), (9, 100)),
    "fork.stiction_n": ((6, 130), (3.5, 90)),
    "fork.top_out_length_mm": ((1.9, 40), (1.9, 35)),
    "fork.top_out_rate_n_mm": ((3, 42), (2, 28)),
    "fork.stanchion_diameter_mm": ((34, 53), (26, 42)),
    "fork.bump_gap_mm": ((13, 100), (9, 80)),
    "rear.travel_mm": ((130, 345), (70, 280)),
    "rear.spring_rate_n_mm": ((30, 200), (14, 80)),
    "rear.preload_mm": ((1, 35), (1, 30)),
    "rear.preload_min_mm": ((1, 15), (0.8, 13)),
    "rear.preload_max_mm": ((7, 45), (6, 40)),
    "rear.spring_free_mm": ((125, 340), (95, 280)),
    "rear.gas_pressure_kpa": ((450, 1900), (300, 1600)),
    "rear.rod_diameter_mm": ((9.7, 21), (7.4, 16)),
    "rear.collar_pitch_mm": ((0.8, 3.3), (0.7, 3)),
    "rear.bump_length_mm": ((2.6, 38), (2.3, 30)),
    "rear.bump_rate_n_mm": ((34, 320), (20, 200)),
    "rear.stiction_n": ((6, 170), (3.5, 110)),
    "rear.leverage_factor": ((0.85, 1.15), (0.85, 1.15)),
    "rear.bump_gap_mm": ((13, 100), (9, 80)),
    "seat.width_mm": ((125, 350), (100, 270)),
    "seat.edge_drop_mm": ((12, 110), (8, 80)),
    "seat.foam_mm": ((30, 145), (22, 110)),
    "seat.foam_squash_mm": ((5, 48), (3.5, 40)),
    "controls.peg_y_mm": ((195, 345), (150, 275)),
    "stand.pivot_y_mm": ((65, 235), (50, 180)),
    "stand.angle_deg": ((12, 35), (12, 35)),
    "chain.sprocket_ahead_mm": ((45, 125), (35, 105)),
    "chain.least_play_mm": ((4.5, 32), (4, 25)),
    "lamps.plate_z_mm": ((330, 950), (260, 800)),
}
_NONE_IS_USUAL = {
    "masses.running_order_fuel_share",
    "fork.preload_mm",
    "fork.preload_min_mm",
    "fork.stiction_n",
    "fork.top_out_length_mm",
    "fork.top_out_rate_n_mm",
    "rear.preload_mm",
    "rear.preload_min_mm",
    "rear.gas_pressure_kpa",
    "rear.bump_length_mm",
    "rear.bump_rate_n_mm",
    "rear.stiction_n",
}
"""Where 0 says that there is none, or that nobody counts it."""

_LINEAR: dict[str, Band] = {
    "masses.running_order_fuel_share": (0.03, 1.0),
    "chain.sprocket_above_mm": (-45, 60),
    "lamps.plate_x_mm": (-560, -40),
    "lamps.dip_percent": (-0.035, -0.003),
}

_FORK_RATE = ((3.2, 20.0), (2.0, 11.0))
_MASS_KG = {
    MachineKind.DUAL_SPORT: (100.0, 200.0),
    MachineKind.ADVENTURE: (130.0, 290.0),
    MachineKind.CHILD: (32.0, 90.0),
}
_LIGHT_KG = (80.0, 175.0)
_TANK_L = {MachineKind.ADVENTURE: (8.5, 36.0), MachineKind.CHILD: (1.2, 6.5)}
_LIGHT_TANK_L = (3.0, 25.0)


def usual(v: Plain) -> Iterator[Sign]:
    """Every figure that has a range of its own."""
    child = is_child(v)
    for key, pair in _USUAL.items():
        value = v.get(key)
        if value is not None and not (value == 0 and key in _NONE_IS_USUAL):
            yield _sign(key, value, pair[child])
    low, high = _FORK_RATE[child]
    legs = v["fork.spring_legs"]
    rate = "fork.spring_rate_n_mm"
    yield _sign(rate, v[rate], (low / legs, high / legs), (rate, "fork.spring_legs"))
    mass, tank = "masses.running_order_kg", "masses.tank_l"
    yield _sign(mass, v[mass], _MASS_KG.get(v["kind"], _LIGHT_KG))
    yield _sign(tank, v[tank], _TANK_L.get(v["kind"], _LIGHT_TANK_L))
    for key, band in _LINEAR.items():
        if v[key] != 0 or key not in _NONE_IS_USUAL:
            yield _sign(key, v[key], band, linear=True)


def _sign(
    key: str, value: float, band: Band, of: tuple[str, ...] = (), *, linear: bool = False
) -> Sign:
    low, high = band
    return Sign(
        key,
        key,
        of or (key,),
        value,
        low,
        high,
        lambda: (
            f"{SPECS[key].label}: {said(key, value)} is unusual, "
            f"{said(key, low)} to {said(key, high)} is common."
        ),
        "Check the figure and its unit where it was read.",
        linear=linear,
    )
