"""The machine profile: everything known of a machine type, each figure with its origin.

Owns the shape of a profile. Lengths in mm, masses in kg, rates in N/mm, angles in degrees.
The chassis frame is that of the catalogue state: x forward from the rear contact point, z up
from the ground, y to the left. Refuses any computation.
"""

from enum import StrEnum
from typing import Literal

from pydantic import Field, field_validator, model_validator

from fitplanner.documents.base import Document, Figure, Quiet, Section, figure, first_twice
from fitplanner.documents.linkage import LeverageTable as LeverageTable
from fitplanner.documents.linkage import LinkagePoints as LinkagePoints
from fitplanner.documents.plain_text import Lines, Name
from fitplanner.documents.torque import Torque
from fitplanner.quantities import Kind

LENGTH, MASS, RATE = Kind.LENGTH, Kind.MASS, Kind.SPRING_RATE

INVENTED = "Invented demonstration machine: replace with a real profile before quoting."
"""Said wherever the figures of a profile marked `invented` are shown, on screen and on paper."""


class MachineKind(StrEnum):
    """The sort of machine, as a shop would sort its floor."""

    TRAIL = "trail"
    ENDURO = "enduro"
    MOTOCROSS = "motocross"
    DUAL_SPORT = "dual_sport"
    ADVENTURE = "adventure"
    CHILD = "child"


class CatalogueState(StrEnum):
    """The state in which the catalogue's figures were taken."""

    EXTENDED = "extended"
    ON_WHEELS = "on_wheels"
    RIDER_UP = "rider_up"


class EngineShape(StrEnum):
    """Which engine the picture shows."""

    TWO_STROKE = "two_stroke"
    SINGLE = "single"
    TWIN = "twin"


class Catalogue(Quiet, Section):
    """The figures of a data sheet, all taken in one state."""

    state: CatalogueState = Field(default=CatalogueState.ON_WHEELS, title="Taken")
    state_known: bool = Field(
        default=True,
        title="State known",
        description="Whether the sheet says in which state; else it is planned as on its wheels",
    )
    rider_mass_kg: Figure = figure(
        "Rider of the data sheet", MASS, 20, 120, "Counts only where the state has a rider"
    )
    seat_height_mm: Figure = figure("Seat height", LENGTH, 400, 1200)
    wheelbase_mm: Figure = figure("Wheelbase", LENGTH, 700, 1900)
    rake_deg: Figure = figure("Rake", Kind.ANGLE, 15, 40)
    trail_mm: Figure = figure("Trail", LENGTH, 20, 200)
    ground_clearance_mm: Figure = figure("Ground clearance", LENGTH, 60, 500)


class Masses(Section):
    """Masses in running order, without rider and luggage."""

    running_order_kg: Figure = figure(
        "Mass in running order", MASS, 30, 400, "With the fuel stated below, no rider"
    )
    running_order_fuel_share: Figure = figure(
        "Fuel in that mass", Kind.PERCENT, 0, 1, "Running order means at least 90 % of the tank"
    )
    front_share: Figure = figure(
        "Share on the front wheel", Kind.PERCENT, 0.3, 0.65, "Running order, no rider"
    )
    mass_height_mm: Figure = figure(
        "Height of the centre of mass", LENGTH, 250, 900, "Running order, catalogue state"
    )
    front_unsprung_kg: Figure = figure("Front unsprung mass", MASS, 3, 40)
    rear_unsprung_kg: Figure = figure("Rear unsprung mass", MASS, 3, 50)
    tank_l: Figure = figure("Tank", Kind.CAPACITY, 0.5, 40)
    tank_x_mm: Figure = figure("Tank, ahead of the rear axle", LENGTH, 100, 1400)
    tank_z_mm: Figure = figure("Tank, above the ground", LENGTH, 300, 1300)
    payload_kg: Figure = figure(
        "Permitted rider and luggage", MASS, 20, 300, "From the maker's plate or book"
    )


class Wheels(Section):
    """Tyres, unloaded."""

    front_radius_mm: Figure = figure("Front tyre radius", LENGTH, 120, 400, "Free, off the ground")
    rear_radius_mm: Figure = figure("Rear tyre radius", LENGTH, 120, 400, "Free, off the ground")
    front_section_mm: Figure = figure("Front tyre width", LENGTH, 40, 160)
    rear_section_mm: Figure = figure("Rear tyre width", LENGTH, 40, 220)
    front_stiffness_n_mm: Figure | None = figure(
        "Front tyre stiffness", RATE, 40, 500, "Left empty: the tyre counts as rigid", default=None
    )
    rear_stiffness_n_mm: Figure | None = figure(
        "Rear tyre stiffness", RATE, 40, 500, "Left empty: the tyre counts as rigid", default=None
    )


class Fork(Section):
    """One telescopic fork; springs in one leg or in both."""

    travel_mm: Figure = figure("Fork travel", LENGTH, 40, 400, "Along the fork")
    spring_legs: Literal[1, 2] = Field(default=2, title="Legs that hold a spring")
    spring_rate_n_mm: Figure = figure("Fork spring rate", RATE, 1, 30, "Of one spring")
    preload_mm: Figure = figure("Fork preload", LENGTH, 0, 60)
    spring_free_mm: Figure = figure("Fork spring, free length", LENGTH, 100, 700)
    spring_solid_mm: Figure = figure("Fork spring, solid length", LENGTH, 30, 500)
    preload_min_mm: Figure = figure("Least fork preload", LENGTH, 0, 40)
    preload_max_mm: Figure = figure("Most fork preload", LENGTH, 2, 60)
    displaced_area_mm2: Figure = figure(
        "Area that displaces air", Kind.AREA, 100, 3500, "Of one leg"
    )
    air_volume_bottomed_ml: Figure = figure(
        "Air left when bottomed", Kind.VOLUME, 20, 600, "Of one leg, spring in"
    )
    oil_surface_mm2: Figure = figure(
        "Free oil surface", Kind.AREA, 200, 3500, "Of one leg, spring out"
    )
    oil_volume_ml: Figure = figure("Fork oil", Kind.VOLUME, 50, 1200, "Of one leg")
    oil_level_mm: Figure = figure(
        "Oil level", LENGTH, 30, 300, "From the top of the tube, bottomed, spring out"
    )
    kit_oil_volume_ml: Figure | None = figure(
        "Fork oil with the limiter",
        Kind.VOLUME,
        50,
        1200,
        "Of one leg, where the limiter's maker states one",
        default=None,
    )
    kit_limiter_mm: Figure | None = figure(
        "Limiter that this fill is for", LENGTH, 5, 200, "Length of the spacer", default=None
    )
    stiction_n: Figure = figure("Fork stiction", Kind.FORCE, 0, 300, "Along the fork, both legs")
    top_out_length_mm: Figure = figure("Top-out spring, length of action", LENGTH, 0, 60)
    top_out_rate_n_mm: Figure = figure("Top-out spring rate", RATE, 0, 100, "Both legs together")
    stanchion_diameter_mm: Figure = figure("Stanchion diameter", LENGTH, 25, 70)
    stanchion_showing_mm: Figure = figure("Stanchion above the top clamp", LENGTH, 0, 60)
    bump_gap_mm: Figure = figure(
        "Gap at full bump, front", LENGTH, 0, 150, "Tyre to the nearest part"
    )


class Rear(Section):
    """Swing-arm, linkage and shock."""

    travel_mm: Figure = figure("Rear wheel travel", LENGTH, 40, 400)
    arm_length_mm: Figure = figure("Swing-arm length", LENGTH, 250, 800, "Pivot to axle")
    pivot_height_mm: Figure = figure("Swing-arm pivot, above the ground", LENGTH, 150, 700)
    linkage: LeverageTable | LinkagePoints = Field(discriminator="layout")
    leverage_factor: Figure = figure(
        "Leverage of the rear, correction",
        Kind.RATIO,
        0.5,
        1.5,
        "On the whole curve; its spread is that of the leverage as a share of itself. "
        "Where a rule gave it, the table is the rule's too",
        default=Figure(value=1.0),
    )
    spring_rate_n_mm: Figure = figure("Shock spring rate", RATE, 5, 350)
    preload_mm: Figure = figure("Shock preload", LENGTH, 0, 60)
    preload_min_mm: Figure = figure("Least shock preload", LENGTH, 0, 40)
    preload_max_mm: Figure = figure("Most shock preload", LENGTH, 2, 60)
    spring_free_mm: Figure = figure("Shock spring, free length", LENGTH, 80, 400)
    spring_solid_mm: Figure = figure("Shock spring, solid length", LENGTH, 20, 300)
    gas_pressure_kpa: Figure = figure("Shock gas pressure", Kind.PRESSURE, 0, 2500)
    rod_diameter_mm: Figure = figure("Shock rod diameter", LENGTH, 6, 25)
    collar_pitch_mm: Figure | None = figure(
        "Thread pitch of the shock's collar",
        LENGTH,
        0.5,
        5,
        "How far one turn moves it; left empty: no turns are told",
        default=None,
    )
    bump_length_mm: Figure = figure("Bump rubber, at the shock", LENGTH, 0, 40)
    bump_rate_n_mm: Figure = figure("Bump rubber rate", RATE, 0, 500)
    stiction_n: Figure = figure("Rear stiction", Kind.FORCE, 0, 400, "At the shock")
    bump_gap_mm: Figure = figure(
        "Gap at full bump, rear", LENGTH, 0, 150, "Tyre to the nearest part"
    )


class Seat(Section):
    """The seat where the rider sits and where the thighs cross its edge."""

    x_mm: Figure = figure("Seat point, ahead of the rear axle", LENGTH, 100, 1000)
    width_mm: Figure = figure("Seat width where the thighs cross", LENGTH, 60, 450)
    edge_drop_mm: Figure = figure("Drop from the middle to the edge", LENGTH, 0, 150)
    foam_mm: Figure = figure("Foam thickness", LENGTH, 10, 160)
    foam_squash_mm: Figure = figure("Foam gives under 75 kg", LENGTH, 0, 60)
    arc_mm: Figure | None = figure(
        "Inside-leg arc",
        LENGTH,
        1000,
        2600,
        "Ground over the seat to the ground, where the catalogue states one",
        default=None,
    )
    lower_seat_width_mm: Figure | None = figure(
        "Width of the lower seat", LENGTH, 60, 450, default=None
    )


class Controls(Section):
    """Pegs, handlebar and what touches first."""

    peg_x_mm: Figure = figure("Pegs, ahead of the rear axle", LENGTH, 100, 1100)
    peg_y_mm: Figure = figure("Pegs' tips, from the middle", LENGTH, 100, 450)
    peg_z_mm: Figure = figure("Pegs, above the ground", LENGTH, 150, 700)
    bar_x_mm: Figure = figure("Grips, ahead of the rear axle", LENGTH, 400, 1600)
    bar_z_mm: Figure = figure("Grips, above the ground", LENGTH, 600, 1500)
    low_point_x_mm: Figure = figure("Lowest point, ahead of the rear axle", LENGTH, 200, 1200)
    feet_ahead_mm: Figure = figure("Feet on the ground, ahead of the seat point", LENGTH, -200, 400)


class Stand(Section):
    """Side-stand, in the front view: the leg's angle is measured from the vertical, outward."""

    pivot_x_mm: Figure = figure("Stand pivot, ahead of the rear axle", LENGTH, 200, 1200)
    pivot_y_mm: Figure = figure("Stand pivot, from the middle", LENGTH, 30, 350)
    pivot_z_mm: Figure = figure("Stand pivot, above the ground", LENGTH, 100, 600)
    length_mm: Figure = figure("Stand length", LENGTH, 80, 600, "Pivot to foot, front view")
    angle_deg: Figure = figure("Stand angle", Kind.ANGLE, 0, 60)
    foot_ahead_mm: Figure = figure("Stand foot, ahead of its pivot", LENGTH, -100, 400)


class Chain(Section):
    """Final drive."""

    sprocket_ahead_mm: Figure = figure("Sprocket, ahead of the pivot", LENGTH, 20, 200)
    sprocket_above_mm: Figure = figure("Sprocket, above the pivot", LENGTH, -100, 100)
    least_play_mm: Figure = figure(
        "Least free play", LENGTH, 2, 40, "Up and down at mid-span, tightest point"
    )


class Lamps(Section):
    """Headlamp and rear plate."""

    headlamp_x_mm: Figure = figure("Headlamp, ahead of the rear axle", LENGTH, 700, 2000)
    headlamp_z_mm: Figure = figure("Headlamp, above the ground", LENGTH, 400, 1400)
    dip_percent: Figure = figure(
        "Beam inclination", Kind.PERCENT, -0.05, 0.0, "As set with the stock machine, rider up"
    )
    plate_x_mm: Figure = figure("Rear plate, ahead of the rear axle", LENGTH, -700, 300)
    plate_z_mm: Figure = figure("Rear plate's lower edge, above the ground", LENGTH, 100, 1000)


_ASSUMED = "Assumed"


class WayOffer(Quiet, Section):
    """How far and in which steps this machine accepts one way to lower.

    `assumed`, here and below: nobody entered it for this machine; it is the usual one of its kind.
    """

    maximum_mm: float = figure("Most", LENGTH, 0, 250)
    step_mm: float = figure("Step", LENGTH, 0.1, 60)
    hours: float = Field(default=0.0, ge=0, le=100, title="Hours of work")
    parts: float = Field(default=0.0, ge=0, le=1e7, title="Price of the parts")
    note: Lines = ""
    assumed: bool = Field(default=False, title=_ASSUMED)


class WayOffers(Document):
    """The ways that this machine accepts; None where it does not."""

    fork_limiter: WayOffer | None = None
    shock_limiter: WayOffer | None = None
    raised_stanchions: WayOffer | None = None
    lower_seat: WayOffer | None = None
    shorter_shock: WayOffer | None = None
    longer_rods: WayOffer | None = None
    narrower_seat: WayOffer | None = None
    smaller_tyres: WayOffer | None = None
    thicker_sole: WayOffer | None = None


class SpringOffer(Quiet, Section):
    """What other springs cost at one end, and a new preload alone."""

    hours: float = Field(default=1.5, ge=0, le=100, title="Hours to change the springs")
    preload_hours: float = Field(default=0.5, ge=0, le=100, title="Hours to set the preload alone")
    parts: float = Field(default=0.0, ge=0, le=1e7, title="Price of the springs")
    assumed: bool = Field(default=False, title=_ASSUMED)


class SpringOffers(Document):
    """Springs at both ends; of a fork, those of all legs that hold one."""

    fork: SpringOffer = SpringOffer()
    shock: SpringOffer = SpringOffer()


class StandOffer(Quiet):
    """What shortening the side-stand costs; an hour is an assumption (common practice, no source).

    It is cut and welded, so fitting old parts does not take it back.
    """

    hours: float = Field(default=1.0, ge=0, le=100, title="Hours to shorten the side-stand")
    parts: float = Field(default=0.0, ge=0, le=1e7, title="Price of its parts")
    assumed: bool = Field(default=False, title=_ASSUMED)


class MachineProfile(Document):
    """One machine type."""

    format: Literal["fitplanner-machine"] = "fitplanner-machine"
    schema_version: Literal[2] = 2
    id: str = Field(pattern=r"^[a-z0-9][a-z0-9-]{0,60}$")
    name: Name = Field(min_length=1, max_length=120)
    revision: int = Field(default=1, ge=1)
    invented: bool = Field(
        default=False,
        title="Invented machine",
        description="Made up for demonstration: its sources and notes belong to no real machine",
    )
    kind: MachineKind
    engine: EngineShape
    note: Lines = ""
    torques: list[Torque] = Field(default=[], max_length=40)
    catalogue: Catalogue
    masses: Masses
    wheels: Wheels
    fork: Fork
    rear: Rear
    seat: Seat
    controls: Controls
    stand: Stand
    chain: Chain
    lamps: Lamps
    ways: WayOffers
    springs: SpringOffers = SpringOffers(
        fork=SpringOffer(assumed=True), shock=SpringOffer(assumed=True)
    )
    stand_work: StandOffer = StandOffer(assumed=True)

    @field_validator("torques")
    @classmethod
    def _each_fastener_once(cls, torques: list[Torque]) -> list[Torque]:
        twice = first_twice([each.fastener for each in torques])
        if twice is not None:
            raise ValueError(f"two torques for {twice.value}; leave the one that holds")
        return torques

    @model_validator(mode="after")
    def _table_covers_travel(self) -> "MachineProfile":
        linkage = self.rear.linkage
        # A table that a rule filled in follows the travel when the profile is filled in anew.
        if isinstance(linkage, LeverageTable) and not self.rear.leverage_factor.rule:
            last = linkage.wheel_travel_mm[-1]
            if last < self.rear.travel_mm.value - 1e-9:
                raise ValueError(
                    f"leverage: the table ends at {last:g} mm of wheel travel, "
                    f"before the rear wheel travel of {self.rear.travel_mm.value:g} mm"
                )
        return self
