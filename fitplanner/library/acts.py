"""How each figure of a machine is taken in a workshop, how well, and what to mind.

Owns the acts, the spread of a careful reading (one standard deviation; common practice, no
source) and the wording of the cautions that belong to taking a figure. Refuses any order.
"""

from dataclasses import dataclass

from fitplanner.library.rules.document import LEVERAGE, Address
from fitplanner.quantities import Kind, figure_in_text, mm_in_text

LIFT = "Lift on a stand made for it, strapped; nobody works under a jack."
SPRING = "A compressed fork spring throws its cap: unload it and turn the last thread by hand."
GAS = (
    "The shock holds gas under pressure and a compressed spring. Opening it is specialist "
    "work: send it out, never drill or heat it."
)
SHOCK = (
    "A shock spring is compressed: take it off with a compressor made for it, or have a "
    f"specialist do it. {LIFT}"
)


@dataclass(frozen=True)
class Act:
    """What to do, the spread of a careful reading [the figure's unit], and what to mind."""

    text: str
    careful: float
    caution: str = ""


_CATALOGUE = {
    "seat_height_mm": Act(
        "Lay a tape from the floor to the middle of the seat, machine upright in the state of its "
        "data sheet, three times",
        2.0,
    ),
    "wheelbase_mm": Act("Measure from axle to axle on both sides, front wheel straight", 2.0),
    "rake_deg": Act("Hold an angle gauge to a stanchion, machine upright and level", 0.15),
    "trail_mm": Act(
        "Carry the steering axis on to the floor and measure to the plumb line of the front axle",
        1.5,
    ),
    "ground_clearance_mm": Act("Lay a tape under the lowest part, machine upright", 2.0),
    "rider_mass_kg": Act("Read on the data sheet which rider it sits on the machine", 1.0),
}
_MASSES = {
    "running_order_kg": Act("Weigh the machine, one scale under each wheel, tank full", 0.5),
    "running_order_fuel_share": Act("Fill the tank before weighing, and note how far", 0.01),
    "front_share": Act("Put a scale under each wheel, machine upright and level", 0.003),
    "mass_height_mm": Act(
        f"Weigh the front wheel again with the rear one raised by {mm_in_text(300.0)} and held",
        10.0,
        LIFT,
    ),
    "front_unsprung_kg": Act(
        "Weigh the front wheel with brake and axle; add the lower fork", 0.4, LIFT
    ),
    "rear_unsprung_kg": Act("Weigh the rear wheel with axle; add half the swing-arm", 0.5, LIFT),
    "tank_l": Act("Fill the empty tank from a measure", 0.1),
    "tank_x_mm": Act("Measure from the rear axle forward to the middle of the tank", 8.0),
    "tank_z_mm": Act("Measure from the floor to the middle of the tank", 8.0),
    "payload_kg": Act("Read the maker's plate", 1.0),
}
_WHEELS = {
    "front_radius_mm": Act("Measure the height of the free front wheel and halve it", 1.0, LIFT),
    "rear_radius_mm": Act("Measure the height of the free rear wheel and halve it", 1.0, LIFT),
    "front_stiffness_n_mm": Act("Load the front wheel and see how far the axle sinks", 8.0),
    "rear_stiffness_n_mm": Act("Load the rear wheel and see how far the axle sinks", 8.0),
    "front_section_mm": Act("Measure the front tyre's width with a calliper, off the ground", 1.0),
    "rear_section_mm": Act("Measure the rear tyre's width with a calliper, off the ground", 1.0),
}
_FORK = {
    "travel_mm": Act("With the spring out, measure the stanchion from stop to stop", 1.0, SPRING),
    "spring_rate_n_mm": Act("Have the fork spring tested on a spring tester", 0.06, SPRING),
    "preload_mm": Act(
        "Measure the fork spring free and again in the extended leg; the difference counts",
        0.5,
        SPRING,
    ),
    "spring_free_mm": Act("Measure the fork spring out of the leg", 0.5, SPRING),
    "spring_solid_mm": Act("Count the fork spring's coils and measure its wire", 1.0, SPRING),
    "displaced_area_mm2": Act("Measure stanchion and spring with a calliper", 20.0, SPRING),
    "air_volume_bottomed_ml": Act(
        "Fill the bottomed leg with oil and note what goes in", 4.0, SPRING
    ),
    "top_out_length_mm": Act("Measure the top-out spring with a calliper", 0.5, SPRING),
    "top_out_rate_n_mm": Act("Have the top-out spring tested on a spring tester", 1.0, SPRING),
    "bump_gap_mm": Act("With the spring out, bottom the fork and measure the gap", 1.0, SPRING),
    "stanchion_showing_mm": Act("Measure the stanchion above the top clamp", 0.5),
    "preload_min_mm": Act("Read the shortest spacer, or turn the adjuster fully out", 0.5),
    "preload_max_mm": Act("Read the longest spacer, or turn the adjuster fully in", 0.5),
    "oil_surface_mm2": Act(
        "Measure the tube's bore and the damper in it with a calliper: bore less damper",
        20.0,
        SPRING,
    ),
    "oil_volume_ml": Act("Read the fill of one leg in the manual", 5.0),
    "oil_level_mm": Act("Read the level in the manual, from the tube's top, bottomed", 2.0),
    "kit_oil_volume_ml": Act("Read the fill on the limiter's sheet", 5.0),
    "kit_limiter_mm": Act("Read the limiter's length on its sheet, or with a calliper", 0.2),
    "stiction_n": Act(
        "Raise the front with a pull scale at the axle, let it down, and halve the difference",
        5.0,
        LIFT,
    ),
    "stanchion_diameter_mm": Act("Measure a stanchion with a calliper", 0.1),
}
_REAR = {
    "travel_mm": Act("With the spring off, measure the axle's way from stop to stop", 1.5, SHOCK),
    "arm_length_mm": Act("Measure the swing-arm from pivot to axle on both sides", 1.5),
    "pivot_height_mm": Act("Measure from the floor to the swing-arm pivot, machine upright", 2.0),
    LEVERAGE[1]: Act(
        f"With the spring off, raise the wheel in steps of {mm_in_text(25.0)} and measure the "
        "shock between its eyes at each",
        0.005,
        SHOCK,
    ),
    "spring_rate_n_mm": Act("Have the shock spring tested on a spring tester", 0.5, SHOCK),
    "preload_mm": Act(
        "Measure the shock spring free, then on the shock, wheel hanging; the difference counts",
        0.5,
        LIFT,
    ),
    "spring_free_mm": Act("Measure the shock spring off the shock", 0.5, SHOCK),
    "spring_solid_mm": Act("Count the shock spring's coils and measure its wire", 1.0, SHOCK),
    "gas_pressure_kpa": Act(
        "Have the gas charge checked by a suspension specialist; never open a charged unit",
        30.0,
        GAS,
    ),
    "rod_diameter_mm": Act("Measure the shock's rod with a calliper", 0.05, SHOCK),
    "bump_length_mm": Act("Measure the bump rubber with a calliper", 0.5, SHOCK),
    "bump_gap_mm": Act(
        "With the spring off, bottom the rear wheel and measure the gap", 1.0, SHOCK
    ),
    "preload_min_mm": Act(
        "Turn the collar out until it just holds the spring; count as preload", 0.5
    ),
    "preload_max_mm": Act("Read how far the collar's thread reaches; count as preload", 0.5),
    "collar_pitch_mm": Act("Measure over ten threads with a calliper and divide by ten", 0.05),
    "bump_rate_n_mm": Act("Press the rubber on a scale and measure how far it gives", 20.0, SHOCK),
    "stiction_n": Act(
        "Raise the rear with a pull scale at the axle, let it down, halve the difference, and "
        "multiply by the leverage",
        8.0,
        LIFT,
    ),
}
_SEAT = {
    "x_mm": Act("Have the rider sit, mark the seat, and measure forward of the rear axle", 5.0),
    "width_mm": Act("Measure the seat's width where the thighs cross, with a calliper", 3.0),
    "edge_drop_mm": Act("Lay a straight edge over the seat and measure down to its edge", 2.0),
    "foam_mm": Act("Push a needle through the foam and measure it", 2.0),
    "foam_squash_mm": Act(
        f"Measure down to the seat with {figure_in_text(75.0, Kind.MASS)} on it and without", 2.0
    ),
    "arc_mm": Act("Lay a tape from the ground over the seat to the ground, three times", 4.0),
    "lower_seat_width_mm": Act("Measure the lower seat's width where the thighs cross", 3.0),
}
_CONTROLS = {
    "feet_ahead_mm": Act("Have the rider stand astride and measure feet against seat", 15.0),
    "low_point_x_mm": Act("Measure the lowest part's place forward of the rear axle", 4.0),
    "peg_x_mm": Act("Measure from a plumb line at the rear axle forward to the peg's middle", 4.0),
    "peg_y_mm": Act("Measure over both pegs' tips and halve it", 2.0),
    "peg_z_mm": Act("Measure from the floor to the peg's top, machine upright", 3.0),
    "bar_x_mm": Act(
        "Measure from a plumb line at the rear axle forward to the grips' middle, bar straight", 6.0
    ),
    "bar_z_mm": Act("Measure from the floor to the grips' middle, machine upright", 4.0),
}
_LAMPS = {
    "headlamp_z_mm": Act("Measure from the floor to the lamp's middle, machine upright", 2.0),
    "plate_z_mm": Act("Measure from the floor to the plate's lower edge, machine upright", 2.0),
    "headlamp_x_mm": Act("Measure from a plumb line at the rear axle forward to the lamp", 6.0),
    "dip_percent": Act("Read the beam's fall on a wall, rider up, as share of the distance", 0.002),
    "plate_x_mm": Act(
        "Measure from a plumb line at the rear axle to the plate; behind is minus", 6.0
    ),
}

_STAND = {
    "pivot_x_mm": Act(
        "Measure from a plumb line at the rear axle forward to the stand's bolt", 4.0
    ),
    "pivot_y_mm": Act("Measure from the machine's middle out to the stand's bolt", 2.0),
    "pivot_z_mm": Act("Measure from the floor to the stand's bolt, machine upright", 3.0),
    "length_mm": Act(
        "Measure from the stand's bolt to the middle of its foot, from the front", 2.0
    ),
    "angle_deg": Act("Hold an angle gauge to the leg from the front, machine upright", 1.0),
    "foot_ahead_mm": Act("Measure how far the stand's foot lies ahead of its bolt", 4.0),
}
_CHAIN = {
    "sprocket_ahead_mm": Act("Measure from the pivot forward to the sprocket's middle", 2.0),
    "sprocket_above_mm": Act(
        "Hold a level at the pivot and measure up to the sprocket's middle", 2.0
    ),
    "least_play_mm": Act("Read the least free play in the manual", 1.0),
}

ACTS: dict[Address, Act] = {
    (section, key): act
    for section, acts in {
        "catalogue": _CATALOGUE,
        "masses": _MASSES,
        "wheels": _WHEELS,
        "fork": _FORK,
        "rear": _REAR,
        "seat": _SEAT,
        "controls": _CONTROLS,
        "stand": _STAND,
        "chain": _CHAIN,
        "lamps": _LAMPS,
    }.items()
    for key, act in acts.items()
}
"""How each figure of a profile is taken."""
