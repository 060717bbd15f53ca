"""How each figure is measured in a workshop, and how well.

Owns the acts and the spread of a careful reading: one standard deviation, common practice, no
source. Refuses to rank: what a reading is worth depends on the plan.
"""

from dataclasses import dataclass

from fitplanner.planning.unknown.account import Address
from fitplanner.planning.unknown.figures import INSIDE_LEG, LEVERAGE
from fitplanner.quantities import Kind, figure_in_text, mm_in_text


@dataclass(frozen=True)
class Act:
    """What to do, and the spread of a careful reading [canonical unit of the figure]."""

    text: str
    careful: float


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
}
_MASSES = {
    "running_order_kg": Act("Weigh the machine, one scale under each wheel, tank full", 0.5),
    "running_order_fuel_share": Act("Fill the tank before weighing, and note how far", 0.01),
    "front_share": Act("Put a scale under each wheel, machine upright and level", 0.003),
    "mass_height_mm": Act(
        f"Weigh the front wheel again with the rear one raised by {mm_in_text(300.0)} and held",
        10.0,
    ),
    "front_unsprung_kg": Act("Weigh the front wheel with brake and axle; add the lower fork", 0.4),
    "rear_unsprung_kg": Act("Weigh the rear wheel with axle; add half the swing-arm", 0.5),
    "tank_l": Act("Fill the empty tank from a measure", 0.1),
    "tank_x_mm": Act("Measure from the rear axle forward to the middle of the tank", 8.0),
    "tank_z_mm": Act("Measure from the floor to the middle of the tank", 8.0),
    "payload_kg": Act("Read the maker's plate", 1.0),
}
_WHEELS = {
    "front_radius_mm": Act("Measure the height of the free front wheel and halve it", 1.0),
    "rear_radius_mm": Act("Measure the height of the free rear wheel and halve it", 1.0),
    "front_stiffness_n_mm": Act("Load the front wheel and see how far the axle sinks", 8.0),
    "rear_stiffness_n_mm": Act("Load the rear wheel and see how far the axle sinks", 8.0),
}
_FORK = {
    "travel_mm": Act("With the spring out, measure the stanchion from stop to stop", 1.0),
    "spring_rate_n_mm": Act("Have the fork spring tested on a spring tester", 0.06),
    "preload_mm": Act(
        "Measure the fork spring free and again in the extended leg; the difference counts", 0.5
    ),
    "spring_free_mm": Act("Measure the fork spring out of the leg", 0.5),
    "spring_solid_mm": Act("Count the fork spring's coils and measure its wire", 1.0),
    "displaced_area_mm2": Act("Measure stanchion and spring with a calliper", 20.0),
    "air_volume_bottomed_ml": Act("Fill the bottomed leg with oil and note what goes in", 4.0),
    "top_out_length_mm": Act("Measure the top-out spring with a calliper", 0.5),
    "top_out_rate_n_mm": Act("Have the top-out spring tested on a spring tester", 1.0),
    "bump_gap_mm": Act("With the spring out, bottom the fork and measure the gap", 1.0),
    "stanchion_showing_mm": Act("Measure the stanchion above the top clamp", 0.5),
}
_REAR = {
    "travel_mm": Act("With the spring off, measure the axle's way from stop to stop", 1.5),
    "arm_length_mm": Act("Measure the swing-arm from pivot to axle on both sides", 1.5),
    "pivot_height_mm": Act("Measure from the floor to the swing-arm pivot, machine upright", 2.0),
    LEVERAGE[1]: Act(
        f"With the spring off, raise the wheel in steps of {mm_in_text(25.0)} and measure the "
        "shock between its eyes at each",
        0.005,
    ),
    "spring_rate_n_mm": Act("Have the shock spring tested on a spring tester", 0.5),
    "preload_mm": Act(
        "Measure the shock spring free, then on the shock, wheel hanging; the difference counts",
        0.5,
    ),
    "spring_free_mm": Act("Measure the shock spring off the shock", 0.5),
    "spring_solid_mm": Act("Count the shock spring's coils and measure its wire", 1.0),
    "gas_pressure_kpa": Act(
        "Have the gas charge checked by a suspension specialist; never open a charged unit", 30.0
    ),
    "rod_diameter_mm": Act("Measure the shock's rod with a calliper", 0.05),
    "bump_length_mm": Act("Measure the bump rubber with a calliper", 0.5),
    "bump_gap_mm": Act("With the spring off, bottom the rear wheel and measure the gap", 1.0),
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
}
_LAMPS = {
    "headlamp_z_mm": Act("Measure from the floor to the lamp's middle, machine upright", 2.0),
    "plate_z_mm": Act("Measure from the floor to the plate's lower edge, machine upright", 2.0),
}

ACTS: dict[Address, Act] = {
    INSIDE_LEG: Act(
        "Measure the inside leg three times: barefoot, back to a wall, a book pushed up against "
        "the crotch, floor to its top edge; take the middle",
        3.0,
    ),
    **{
        (section, key): act
        for section, acts in {
            "catalogue": _CATALOGUE,
            "masses": _MASSES,
            "wheels": _WHEELS,
            "fork": _FORK,
            "rear": _REAR,
            "seat": _SEAT,
            "controls": _CONTROLS,
            "lamps": _LAMPS,
        }.items()
        for key, act in acts.items()
    },
}
"""How each figure is measured; one without an act is left to its source."""

_MIDDLE = "push it down and read, lift it and read, take the middle"

READINGS: dict[str, tuple[str, Act]] = {
    "seat_on_wheels": (
        "Seat on its wheels",
        Act("Lay a tape from floor to seat, machine upright on its wheels, three times", 2.0),
    ),
    "free_sag_front": (
        "Free sag, fork",
        Act(f"Measure the free sag of the fork: hanging, then on its wheels; {_MIDDLE}", 2.0),
    ),
    "free_sag_rear": (
        "Free sag, rear",
        Act(f"Measure the free sag at the rear: hanging, then on its wheels; {_MIDDLE}", 2.0),
    ),
    "rider_sag_front": (
        "Rider sag, fork",
        Act(f"Measure the rider sag of the fork, feet on the pegs; {_MIDDLE}", 3.0),
    ),
    "rider_sag_rear": (
        "Rider sag, rear",
        Act(f"Measure the rider sag at the rear, feet on the pegs; {_MIDDLE}", 3.0),
    ),
}
"""Readings of the machine as it stands before the work: label and act, by the band's key."""
