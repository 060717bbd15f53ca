"""The four stages in which a machine's profile becomes better, in working order.

Owns which figure belongs to which stage and how it is taken there. Every figure stands in exactly
one stage; the order within a stage is that of the hand that takes them. Refuses figures' values.
"""

from dataclasses import dataclass

from fitplanner.documents.machine import MachineProfile
from fitplanner.library.acts import ACTS, LIFT, SHOCK, SPRING
from fitplanner.library.rules.document import LEVERAGE, SPECS, Address


@dataclass(frozen=True)
class Stage:
    """One sitting at the machine: what it is called, how it is done, its figures in order.

    `caution` holds for the whole stage; "" where nothing can go wrong.
    """

    key: str
    title: str
    how: str
    figures: tuple[Address, ...]
    caution: str = ""


def _figures(*rows: str) -> tuple[Address, ...]:
    """Rows of ``section: key key``."""
    parts = (row.partition(": ") for row in rows)
    return tuple((section, key) for section, _, keys in parts for key in keys.split())


CATALOGUE = Stage(
    "catalogue",
    "Catalogue page",
    "Copy the maker's data sheet; first say in which state its heights were taken.",
    _figures(
        "catalogue: seat_height_mm wheelbase_mm rake_deg trail_mm ground_clearance_mm "
        "rider_mass_kg",
        "fork: travel_mm",
        "rear: travel_mm",
        "masses: running_order_kg running_order_fuel_share tank_l payload_kg",
        "wheels: front_radius_mm rear_radius_mm front_section_mm rear_section_mm",
        "fork: stanchion_diameter_mm spring_rate_n_mm",
        "rear: spring_rate_n_mm",
        "seat: arc_mm",
    ),
)
TAPE = Stage(
    "tape",
    "Tape measure",
    "Machine upright and level, in the state of the catalogue page; lengths from a plumb line at "
    "the rear axle, heights from the floor, each three times.",
    _figures(
        "rear: pivot_height_mm arm_length_mm",
        "seat: x_mm width_mm edge_drop_mm foam_mm foam_squash_mm lower_seat_width_mm",
        "controls: peg_x_mm peg_y_mm peg_z_mm bar_x_mm bar_z_mm feet_ahead_mm low_point_x_mm",
        "stand: pivot_x_mm pivot_y_mm pivot_z_mm length_mm angle_deg foot_ahead_mm",
        "fork: stanchion_showing_mm bump_gap_mm",
        "rear: bump_gap_mm collar_pitch_mm",
        "lamps: headlamp_x_mm headlamp_z_mm dip_percent plate_x_mm plate_z_mm",
        "chain: sprocket_ahead_mm sprocket_above_mm",
        "masses: front_share mass_height_mm tank_x_mm tank_z_mm",
        "wheels: front_stiffness_n_mm rear_stiffness_n_mm",
        "fork: stiction_n",
        "rear: stiction_n",
    ),
    f"Two people hold an upright machine. {LIFT}",
)
MANUAL = Stage(
    "manual",
    "Workshop manual",
    "Copy what the maker's manual for this machine says; what it does not say stays assumed.",
    _figures(
        "fork: preload_mm preload_min_mm preload_max_mm oil_volume_ml oil_level_mm "
        "air_volume_bottomed_ml kit_oil_volume_ml kit_limiter_mm",
        "rear: preload_mm preload_min_mm preload_max_mm gas_pressure_kpa leverage_factor",
        "chain: least_play_mm",
    ),
)
PARTS = Stage(
    "parts",
    "Dismantled parts",
    "While the parts lie on the bench anyway: calliper, scale and spring tester.",
    _figures(
        "fork: spring_free_mm spring_solid_mm displaced_area_mm2 oil_surface_mm2 "
        "top_out_length_mm top_out_rate_n_mm",
        "rear: spring_free_mm spring_solid_mm rod_diameter_mm bump_length_mm bump_rate_n_mm",
        "masses: front_unsprung_kg rear_unsprung_kg",
    ),
    f"{SPRING} {SHOCK}",
)
STAGES: tuple[Stage, ...] = (CATALOGUE, TAPE, MANUAL, PARTS)
"""The stages in working order."""

REQUIRED: tuple[Address, ...] = _figures(
    "catalogue: seat_height_mm wheelbase_mm rake_deg trail_mm",
    "fork: travel_mm",
    "rear: travel_mm",
    "masses: running_order_kg",
)
"""What a catalogue page must say: without these a plan is a guess. And the machine's name."""

_FROM_PAPER = {
    ("catalogue", "seat_height_mm"): "The data sheet's; on wheels where it does not say a state",
    ("catalogue", "rake_deg"): "From the vertical; where the sheet gives the angle to the ground, "
    "take it from a right angle",
    ("fork", "travel_mm"): "The data sheet's fork or front wheel travel",
    ("rear", "travel_mm"): "The data sheet's rear wheel travel, the wheel's and not the shock's",
    ("masses", "running_order_kg"): "With the fuel stated below; a dry mass has none",
    ("masses", "tank_l"): "The data sheet's, reserve included",
    ("masses", "payload_kg"): "Permitted total mass less mass in running order, both on the plate",
    ("wheels", "front_radius_mm"): "Half the tyre's height: its size gives it where no tape is at "
    "hand",
    ("wheels", "rear_radius_mm"): "Half the tyre's height: its size gives it where no tape is at "
    "hand",
    ("fork", "spring_rate_n_mm"): "Stamped on the spring or in the parts list, of one spring",
    ("rear", "spring_rate_n_mm"): "Stamped on the spring or in the parts list",
    ("seat", "arc_mm"): "Only where the catalogue states one: ground over the seat to the ground",
    ("fork", "preload_mm"): "From spacer and spring length, or the adjuster's setting when new",
    ("fork", "air_volume_bottomed_ml"): "Room over the manual's oil level, less what the spring "
    "takes up; better filled and noted with the fork apart",
    ("rear", "preload_mm"): "Free length less set length of the spring, where the manual has both",
    ("rear", "gas_pressure_kpa"): "The manual's charge; never open or check it yourself",
    LEVERAGE: "From a table or the joints' places where the manual has them; else by reading "
    "wheel and shock with the spring off",
}


def stage_of(address: Address) -> Stage:
    """The stage in which a figure is taken.

    Raises:
        KeyError: a profile has no such figure.
    """
    return _STAGE_OF[address]


def how(address: Address) -> str:
    """How a figure is taken in its stage; figures as tokens, see `quantities.fill`."""
    return _FROM_PAPER.get(address) or ACTS[address].text


def caution(address: Address) -> str:
    """What to mind while taking a figure; "" for a figure copied from paper or harmless to take."""
    on_paper = stage_of(address) in (CATALOGUE, MANUAL) and address != LEVERAGE
    return "" if on_paper else ACTS[address].caution


def missing_required(profile: MachineProfile) -> tuple[str, ...]:
    """Labels of required figures that a rule still stands in for."""
    return tuple(
        SPECS[address].label
        for address in REQUIRED
        if getattr(getattr(profile, address[0]), address[1]).rule
    )


_STAGE_OF = {address: stage for stage in STAGES for address in stage.figures}
