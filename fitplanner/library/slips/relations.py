"""What is usual between figures: shares, sums, differences.

Owns the table of relations, each with its range for a full-size machine and for a child's; all
are common practice, no source. Refuses whatever needs the machine to be solved.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import cos, hypot, inf, pi, radians, sin

from fitplanner.library.slips.finding import Severity
from fitplanner.library.slips.sign import SPECS, Band, Plain, Sign, in_words, is_child, said
from fitplanner.mechanics.geometry import fork_offset_mm
from fitplanner.quantities import Kind

_FUEL_KG_PER_L = 0.75


@dataclass(frozen=True)
class _Relation:
    """One number from several figures; the first is the one doubted.

    `text` names the first figures as {0}, {1}, the number as {value}, its range as {low}, {high}.
    """

    name: str
    of: tuple[str, ...]
    read: Callable[[Plain], float]
    full: Band
    child: Band
    text: str
    mend: str
    kind: Kind = Kind.RATIO
    linear: bool = False
    possible: Band = (-inf, inf)

    def sign(self, v: Plain) -> Sign:
        low, high = self.child if is_child(v) else self.full
        value = float(self.read(v))
        least, most = self.possible
        severity: Severity = "caution" if least <= value <= most else "stop"

        def text() -> str:
            numbers = [said(key, v[key]) if key in SPECS else "" for key in self.of]
            read, least, most = (in_words(each, self.kind) for each in (value, low, high))
            return self.text.format(*numbers, value=read, low=least, high=most)

        sign = Sign(
            self.name,
            self.of[0],
            self.of,
            value,
            low,
            high,
            text,
            self.mend,
            severity,
            self.linear,
        )
        return replace(sign, spread=self._spread(v, value)) if sign.outside else sign

    def _spread(self, v: Plain, value: float) -> float:
        """First order: each figure moved by its spread."""
        moved = ({**v, key: v[key] + v.get(f"±{key}", 0.0)} for key in self.of)
        return hypot(*(self.read(each) - value for each in moved))


def relations(v: Plain) -> Iterator[Sign]:
    """Every relation whose figures are all there."""
    for each in _RELATIONS:
        if all(key in v for key in each.of):
            yield each.sign(v)


def _ratio(over: str, under: str) -> Callable[[Plain], float]:
    return lambda v: float(v[over] / v[under])


def _difference(upper: str, lower: str) -> Callable[[Plain], float]:
    return lambda v: float(v[upper] - v[lower])


def _offset(v: Plain) -> float:
    return float(
        fork_offset_mm(
            wheel_radius_mm=v["wheels.front_radius_mm"],
            rake_rad=radians(v["catalogue.rake_deg"]),
            trail_mm=v["catalogue.trail_mm"],
        )
    )


def trail_of_offset_mm(v: Plain, offset_mm: float) -> float:
    """The trail with which the front axle lies `offset_mm` ahead of the steering axis."""
    rake = radians(v["catalogue.rake_deg"])
    return float((v["wheels.front_radius_mm"] * sin(rake) - offset_mm) / cos(rake))


def _left(v: Plain) -> float:
    """Share of the mass that is neither wheels nor fuel."""
    fuel = v["masses.tank_l"] * v["masses.running_order_fuel_share"] * _FUEL_KG_PER_L
    parts = v["masses.front_unsprung_kg"] + v["masses.rear_unsprung_kg"] + fuel
    return float(1 - parts / v["masses.running_order_kg"])


def _arm(v: Plain) -> float:
    """How far the pivot lies above the rear axle, as a share of the swing-arm."""
    rise = v["rear.pivot_height_mm"] - v["wheels.rear_radius_mm"]
    return float(rise / v["rear.arm_length_mm"])


def _section_mm2(v: Plain) -> float:
    return float(pi / 4 * v["fork.stanchion_diameter_mm"] ** 2)


def _squeeze(v: Plain) -> float:
    stroke_ml = v["fork.displaced_area_mm2"] * v["fork.travel_mm"] * 1e-3
    return float(1 + stroke_ml / v["fork.air_volume_bottomed_ml"])


def _spring_ml(v: Plain) -> float:
    """Volume that the spring takes of the air: room over the oil with it out, less air with it."""
    room = v["fork.oil_level_mm"] * v["fork.oil_surface_mm2"] * 1e-3
    return float(room - v["fork.air_volume_bottomed_ml"])


def _arc(v: Plain) -> float:
    """Half the stated arc, less that over the seat of this width and edge."""
    edge = v["seat.edge_drop_mm"]
    over = hypot(v["seat.width_mm"] / 2, edge) - edge + v["catalogue.seat_height_mm"]
    return float(v["seat.arc_mm"] / 2 - over)


def _preload(end: str) -> Callable[[Plain], float]:
    def share(v: Plain) -> float:
        low, high = v[f"{end}.preload_min_mm"], v[f"{end}.preload_max_mm"]
        return 9.0 if high <= low else float((v[f"{end}.preload_mm"] - low) / (high - low))

    return share


def _preload_words(end: str, unit: str) -> _Relation:
    return _Relation(
        f"{end} preload accepted",
        (f"{end}.preload_mm", f"{end}.preload_min_mm", f"{end}.preload_max_mm"),
        _preload(end),
        (-0.03, 1.03),
        (-0.03, 1.03),
        f"Preload {{0}} lies outside what the {unit} accepts, {{1}} to {{2}}.",
        "Preload is the spring's shortening at full extension, not its set length.",
        linear=True,
    )


_WHEELBASE = "catalogue.wheelbase_mm"
_ALONG = "Count it from the rear axle forward."


def _along(key: str, what: str, full: Band, mend: str = _ALONG) -> _Relation:
    return _Relation(
        f"{key} along",
        (key, _WHEELBASE),
        _ratio(key, _WHEELBASE),
        full,
        full,
        f"{what} at {{value}} of the wheelbase; {{low}} to {{high}} is common.",
        mend,
    )


_RELATIONS: tuple[_Relation, ...] = (
    _Relation(
        "mass left",
        (
            "masses.running_order_kg",
            "masses.front_unsprung_kg",
            "masses.rear_unsprung_kg",
            "masses.tank_l",
            "masses.running_order_fuel_share",
        ),
        _left,
        (0.5, 0.86),
        (0.5, 0.86),
        "Wheels and fuel leave {value} of the machine's {0} for the rest; {low} to {high} is "
        "common.",
        "Check the mass in running order, both unsprung masses and the tank.",
        linear=True,
        possible=(0.0, inf),
    ),
    _Relation(
        "unsprung ends",
        ("masses.front_unsprung_kg", "masses.rear_unsprung_kg"),
        _ratio("masses.front_unsprung_kg", "masses.rear_unsprung_kg"),
        (0.6, 1.2),
        (0.6, 1.2),
        "Unsprung masses of {0} in front and {1} behind do not go together.",
        "The rear wheel with half the swing-arm is mostly a little heavier than the front.",
    ),
    _Relation(
        "unsprung share",
        ("masses.front_unsprung_kg", "masses.running_order_kg"),
        _ratio("masses.front_unsprung_kg", "masses.running_order_kg"),
        (0.06, 0.165),
        (0.09, 0.2),
        "Front unsprung mass is {value} of the machine's; {low} to {high} is common.",
        "Check both masses and their units.",
    ),
    _Relation(
        "fuel for its mass",
        ("masses.tank_l", "masses.running_order_kg"),
        _ratio("masses.tank_l", "masses.running_order_kg"),
        (0.035, 0.17),
        (0.025, 0.11),
        "A tank of {0} is {value} L for each kg of the machine; {low} to {high} is common.",
        "Check the tank's unit; US and imperial gallons differ.",
    ),
    _Relation(
        "payload for its mass",
        ("masses.payload_kg", "masses.running_order_kg"),
        _ratio("masses.payload_kg", "masses.running_order_kg"),
        (0.5, 1.75),
        (0.5, 1.7),
        "A payload of {0} is {value} of the machine's mass; {low} to {high} is common.",
        "Payload is permitted total mass less mass in running order; take both from the plate.",
    ),
    _Relation(
        "mass height",
        ("masses.mass_height_mm", "catalogue.seat_height_mm"),
        _ratio("masses.mass_height_mm", "catalogue.seat_height_mm"),
        (0.5, 0.82),
        (0.5, 0.82),
        "The centre of mass lies at {value} of the seat height; {low} to {high} is common.",
        "It is above the ground, running order, no rider.",
    ),
    _along("masses.tank_x_mm", "The tank lies", (0.4, 0.72)),
    _Relation(
        "tank height",
        ("masses.tank_z_mm", "catalogue.seat_height_mm"),
        _ratio("masses.tank_z_mm", "catalogue.seat_height_mm"),
        (0.7, 1.15),
        (0.7, 1.15),
        "The tank lies at {value} of the seat height; {low} to {high} is common.",
        "Measure from the ground to the middle of the tank.",
    ),
    _Relation(
        "wheel radii",
        ("wheels.front_radius_mm", "wheels.rear_radius_mm"),
        _ratio("wheels.front_radius_mm", "wheels.rear_radius_mm"),
        (0.975, 1.17),
        (0.975, 1.22),
        "Tyre radii of {0} in front and {1} behind do not go together.",
        "The front wheel is mostly the larger one; check whether the ends were exchanged.",
    ),
    _Relation(
        "tyre widths",
        ("wheels.front_section_mm", "wheels.rear_section_mm"),
        _ratio("wheels.rear_section_mm", "wheels.front_section_mm"),
        (1.08, 2.2),
        (1.08, 2.0),
        "Tyres {0} wide in front and {1} behind do not go together.",
        "The rear tyre is the wider one; check whether the ends were exchanged.",
    ),
    _Relation(
        "steering offset",
        ("catalogue.trail_mm", "catalogue.rake_deg", "wheels.front_radius_mm"),
        _offset,
        (26.0, 88.0),
        (12.0, 60.0),
        "Rake {1} and trail {0} put the front axle {value} ahead of the steering axis; {low} to "
        "{high} is common.",
        "Check rake, which is measured from the vertical, trail and the front tyre's radius.",
        Kind.LENGTH,
        linear=True,
        possible=(0.0, inf),
    ),
    _Relation(
        "swing-arm angle",
        ("rear.pivot_height_mm", "wheels.rear_radius_mm", "rear.arm_length_mm"),
        _arm,
        (-0.1, 0.42),
        (-0.1, 0.42),
        "The pivot at {0} over a wheel of {1} radius is much for a swing-arm of {2}.",
        "Measure the pivot from the ground in the state that the catalogue names.",
        linear=True,
        possible=(-1.0, 1.0),
    ),
    _Relation(
        "swing-arm length",
        ("rear.arm_length_mm", _WHEELBASE),
        _ratio("rear.arm_length_mm", _WHEELBASE),
        (0.33, 0.48),
        (0.33, 0.48),
        "A swing-arm of {0} is {value} of the wheelbase; {low} to {high} is common.",
        "Measure from the middle of the pivot to the middle of the axle.",
    ),
    _Relation(
        "travels",
        ("rear.travel_mm", "fork.travel_mm"),
        _ratio("fork.travel_mm", "rear.travel_mm"),
        (0.72, 1.38),
        (0.68, 1.38),
        "Travel is {1} at the fork but {0} at the rear wheel.",
        "One of them may be incomplete: the rear travel is the wheel's, not the shock's.",
    ),
    _Relation(
        "fork spring over travel",
        ("fork.spring_free_mm", "fork.travel_mm"),
        _ratio("fork.spring_free_mm", "fork.travel_mm"),
        (1.2, 2.9),
        (1.2, 2.9),
        "A fork spring of {0} for {1} of travel is unusual.",
        "Check free length and travel.",
    ),
    _Relation(
        "fork spring solid",
        ("fork.spring_solid_mm", "fork.spring_free_mm"),
        _ratio("fork.spring_solid_mm", "fork.spring_free_mm"),
        (0.12, 0.6),
        (0.12, 0.6),
        "A fork spring of {1} that is solid at {0} is unusual.",
        "Solid length is turns times wire; both lengths are of one spring.",
    ),
    _Relation(
        "shock spring solid",
        ("rear.spring_solid_mm", "rear.spring_free_mm"),
        _ratio("rear.spring_solid_mm", "rear.spring_free_mm"),
        (0.22, 0.68),
        (0.22, 0.68),
        "A shock spring of {1} that is solid at {0} is unusual.",
        "Solid length is turns times wire; both lengths are of one spring.",
    ),
    _preload_words("fork", "fork"),
    _preload_words("rear", "shock"),
    _Relation(
        "area over tube",
        ("fork.displaced_area_mm2", "fork.stanchion_diameter_mm"),
        lambda v: float(v["fork.displaced_area_mm2"] / _section_mm2(v)),
        (0.52, 1.1),
        (0.52, 1.1),
        "The area that displaces air, {0}, is {value} of a tube of {1}; {low} to {high} is common.",
        "The area is of one leg, at most the section of the sliding tube.",
    ),
    _Relation(
        "oil surface over tube",
        ("fork.oil_surface_mm2", "fork.stanchion_diameter_mm"),
        lambda v: float(v["fork.oil_surface_mm2"] / _section_mm2(v)),
        (0.5, 1.4),
        (0.5, 1.4),
        "The free oil surface, {0}, is {value} of a tube of {1}; {low} to {high} is common.",
        "The surface is of one leg, spring out.",
    ),
    _Relation(
        "air squeezed",
        ("fork.air_volume_bottomed_ml", "fork.displaced_area_mm2", "fork.travel_mm"),
        _squeeze,
        (2.5, 12.0),
        (2.5, 12.0),
        "The air in a fork leg is squeezed {value} times; 3 to 9 is common.",
        "Air and displaced area are of one leg; air is what is left bottomed, spring in.",
    ),
    _Relation(
        "room over the oil",
        ("fork.oil_level_mm", "fork.oil_surface_mm2", "fork.air_volume_bottomed_ml"),
        _spring_ml,
        (0.0, 95.0),
        (0.0, 65.0),
        "Over the oil at {0} there is {value} more room with the spring out than the {2} of air "
        "with it in; {low} to {high} is common.",
        "Check the oil level, the free oil surface and the air left when bottomed.",
        Kind.VOLUME,
        linear=True,
    ),
    _Relation(
        "oil for its stroke",
        ("fork.oil_volume_ml", "fork.displaced_area_mm2", "fork.travel_mm"),
        lambda v: float(
            v["fork.oil_volume_ml"] * 1e3 / v["fork.displaced_area_mm2"] / v["fork.travel_mm"]
        ),
        (0.55, 2.9),
        (0.55, 2.9),
        "Fork oil of {0} is {value} of what the stroke displaces; {low} to {high} is common.",
        "The volume is of one leg.",
    ),
    _Relation(
        "kit oil",
        ("fork.kit_oil_volume_ml", "fork.oil_volume_ml"),
        _ratio("fork.kit_oil_volume_ml", "fork.oil_volume_ml"),
        (0.7, 1.2),
        (0.7, 1.2),
        "With the limiter the fork takes {0}, without it {1}.",
        "Both volumes are of one leg.",
    ),
    _Relation(
        "arc",
        (
            "seat.arc_mm",
            "catalogue.seat_height_mm",
            "seat.width_mm",
            "seat.edge_drop_mm",
        ),
        _arc,
        (-55.0, 60.0),
        (-45.0, 50.0),
        "Half the inside-leg arc of {0} differs by {value} from the way over a seat at {1} that "
        "is {2} wide; {low} to {high} is common.",
        "The arc goes from the ground over the seat to the ground, whole, in the state of the "
        "seat height.",
        Kind.LENGTH,
        linear=True,
        possible=(-150.0, inf),
    ),
    _along(
        "seat.x_mm",
        "The seat point lies",
        (0.27, 0.52),
        "Count it from the rear axle forward to where the rider sits when stopped.",
    ),
    _Relation(
        "foam",
        ("seat.foam_squash_mm", "seat.foam_mm"),
        _ratio("seat.foam_squash_mm", "seat.foam_mm"),
        (0.06, 0.72),
        (0.06, 0.85),
        "Foam of {1} that gives {0} is unusual.",
        "Check both figures of the foam.",
    ),
    _Relation(
        "lower seat",
        ("seat.lower_seat_width_mm", "seat.width_mm"),
        _ratio("seat.lower_seat_width_mm", "seat.width_mm"),
        (0.78, 1.35),
        (0.78, 1.35),
        "The lower seat is {0} wide, the seat {1}.",
        "Both widths are where the thighs cross, over the whole seat.",
    ),
    _along("controls.peg_x_mm", "The pegs lie", (0.29, 0.52)),
    _Relation(
        "pegs below the seat",
        ("controls.peg_z_mm", "catalogue.seat_height_mm"),
        _difference("catalogue.seat_height_mm", "controls.peg_z_mm"),
        (420.0, 640.0),
        (220.0, 540.0),
        "The pegs at {0} lie {value} below the seat; {low} to {high} is common.",
        "Measure both from the ground in the state that the catalogue names.",
        Kind.LENGTH,
        linear=True,
    ),
    _along("controls.bar_x_mm", "The grips lie", (0.54, 0.78)),
    _Relation(
        "grips above the seat",
        ("controls.bar_z_mm", "catalogue.seat_height_mm"),
        _difference("controls.bar_z_mm", "catalogue.seat_height_mm"),
        (110.0, 440.0),
        (70.0, 360.0),
        "The grips at {0} lie {value} above the seat; {low} to {high} is common.",
        "Measure both from the ground in the state that the catalogue names.",
        Kind.LENGTH,
        linear=True,
    ),
    _along("controls.low_point_x_mm", "The lowest point lies", (0.32, 0.64)),
    _along("stand.pivot_x_mm", "The stand's pivot lies", (0.26, 0.49)),
    _Relation(
        "stand to the ground",
        ("stand.length_mm", "stand.pivot_z_mm", "stand.angle_deg"),
        lambda v: float(
            v["stand.length_mm"] * cos(radians(v["stand.angle_deg"])) / v["stand.pivot_z_mm"]
        ),
        (0.72, 1.12),
        (0.72, 1.12),
        "A stand of {0} at {2} reaches {value} of the way to the ground from a pivot at {1}; "
        "{low} to {high} is common.",
        "Check the stand's length, pivot and angle; all are those of the upright machine.",
    ),
    _along("lamps.headlamp_x_mm", "The headlamp lies", (0.72, 1.08)),
    _Relation(
        "headlamp height",
        ("lamps.headlamp_z_mm", "catalogue.seat_height_mm"),
        _ratio("lamps.headlamp_z_mm", "catalogue.seat_height_mm"),
        (0.82, 1.35),
        (0.8, 1.4),
        "The headlamp lies at {value} of the seat height; {low} to {high} is common.",
        "Measure from the ground to the middle of the lamp.",
    ),
    _Relation(
        "clearance below the pegs",
        ("catalogue.ground_clearance_mm", "controls.peg_z_mm"),
        _ratio("catalogue.ground_clearance_mm", "controls.peg_z_mm"),
        (0.45, 1.02),
        (0.45, 1.05),
        "The lowest point at {0} and the pegs at {1} do not go together.",
        "Measure both from the ground in the state that the catalogue names.",
    ),
)
