"""Plausible documents for tests: an invented trail bike, a rider and their job.

Every figure is invented in the range of full-size off-road machines (common practice, no
source). Free sag is about 35 mm and rider sag about 110 of 300 mm at the rear, for 83 kg with
gear; sections take plain numbers, so that a test names only what it is about:

    machine_profile(rear={"travel_mm": 280.0}, id="short-one")
"""

from collections.abc import Mapping
from typing import Any, TypeVar

from fitplanner.documents.base import Document, Figure, Source
from fitplanner.documents.job import Job
from fitplanner.documents.machine import (
    Catalogue,
    CatalogueState,
    Chain,
    Controls,
    EngineShape,
    Fork,
    Lamps,
    LeverageTable,
    MachineKind,
    MachineProfile,
    Masses,
    Rear,
    Seat,
    Stand,
    WayOffer,
    WayOffers,
    Wheels,
)
from fitplanner.documents.rider import Rider

D = TypeVar("D", bound=Document)


def maker(value: float) -> Figure:
    """A figure of the maker's sheet."""
    return Figure(value=value, source=Source.MAKER)


def measured(value: float, spread: float) -> Figure:
    """A figure read off the machine."""
    return Figure(value=value, spread=spread, source=Source.MEASURED)


def assumed(value: float, spread: float) -> Figure:
    """A figure filled in by habit."""
    return Figure(value=value, spread=spread, source=Source.ASSUMED)


def machine_profile(**changes: Any) -> MachineProfile:
    """A two-stroke trail bike with full figures; a section is changed by a dict of numbers."""
    return _changed(_TRAIL_BIKE, changes)


def rider(**changes: Any) -> Rider:
    """A rider of 75 kg and 8 kg of gear, with an inside leg too short for the stock seat."""
    return _changed(_RIDER, changes)


def job(**changes: Any) -> Job:
    """The rider on the trail bike, with nothing chosen by hand."""
    return _changed(_JOB, changes)


def _changed(document: D, changes: Mapping[str, Any]) -> D:
    return document.replace(
        **{key: _value(getattr(document, key, None), new) for key, new in changes.items()}
    )


def _value(old: object, new: Any) -> Any:
    if isinstance(old, Document) and isinstance(new, Mapping):
        return _changed(old, new)
    if isinstance(old, Figure) and isinstance(new, int | float):
        return old.replace(value=float(new))
    return new


_TRAIL_BIKE = MachineProfile(
    id="trail-bike",
    name="Trail bike of the tests",
    kind=MachineKind.TRAIL,
    engine=EngineShape.TWO_STROKE,
    catalogue=Catalogue(
        state=CatalogueState.ON_WHEELS,
        rider_mass_kg=assumed(75.0, 0.0),
        seat_height_mm=maker(930.0),
        wheelbase_mm=maker(1440.0),
        rake_deg=maker(27.0),
        trail_mm=maker(107.0),
        ground_clearance_mm=maker(340.0),
    ),
    masses=Masses(
        running_order_kg=maker(104.0),
        running_order_fuel_share=maker(0.9),
        front_share=assumed(0.48, 0.01),
        mass_height_mm=assumed(570.0, 25.0),
        front_unsprung_kg=assumed(13.5, 1.0),
        rear_unsprung_kg=assumed(15.0, 1.0),
        tank_l=maker(9.0),
        tank_x_mm=assumed(820.0, 30.0),
        tank_z_mm=assumed(820.0, 30.0),
        payload_kg=maker(150.0),
    ),
    wheels=Wheels(
        front_radius_mm=measured(346.0, 1.5),
        rear_radius_mm=measured(340.0, 1.5),
        front_section_mm=maker(80.0),
        rear_section_mm=maker(140.0),
        front_stiffness_n_mm=assumed(140.0, 20.0),
        rear_stiffness_n_mm=assumed(160.0, 20.0),
    ),
    fork=Fork(
        travel_mm=maker(300.0),
        spring_legs=1,
        spring_rate_n_mm=maker(8.6),
        preload_mm=measured(8.0, 1.0),
        spring_free_mm=maker(470.0),
        spring_solid_mm=assumed(140.0, 5.0),
        preload_min_mm=maker(3.0),
        preload_max_mm=maker(20.0),
        displaced_area_mm2=assumed(1300.0, 60.0),
        air_volume_bottomed_ml=assumed(130.0, 10.0),
        oil_surface_mm2=assumed(1600.0, 60.0),
        oil_volume_ml=maker(620.0),
        oil_level_mm=maker(100.0),
        kit_oil_volume_ml=None,
        kit_limiter_mm=None,
        stiction_n=assumed(30.0, 10.0),
        top_out_length_mm=assumed(10.0, 2.0),
        top_out_rate_n_mm=assumed(12.0, 3.0),
        stanchion_diameter_mm=maker(48.0),
        stanchion_showing_mm=measured(10.0, 0.5),
        bump_gap_mm=measured(38.0, 3.0),
    ),
    rear=Rear(
        travel_mm=maker(300.0),
        arm_length_mm=measured(590.0, 3.0),
        pivot_height_mm=measured(455.0, 4.0),
        linkage=LeverageTable(
            wheel_travel_mm=[0.0, 50.0, 100.0, 150.0, 200.0, 250.0, 300.0],
            leverage=[3.10, 3.03, 2.94, 2.83, 2.70, 2.56, 2.40],
        ),
        leverage_factor=Figure(value=1.0, spread=0.01, source=Source.ESTIMATED),
        spring_rate_n_mm=maker(54.0),
        preload_mm=measured(7.0, 0.5),
        preload_min_mm=maker(3.0),
        preload_max_mm=maker(18.0),
        spring_free_mm=maker(250.0),
        spring_solid_mm=assumed(110.0, 5.0),
        gas_pressure_kpa=maker(1000.0),
        rod_diameter_mm=maker(16.0),
        bump_length_mm=assumed(12.0, 2.0),
        bump_rate_n_mm=assumed(120.0, 30.0),
        stiction_n=assumed(40.0, 15.0),
        bump_gap_mm=measured(35.0, 3.0),
    ),
    seat=Seat(
        x_mm=measured(540.0, 10.0),
        width_mm=measured(235.0, 5.0),
        edge_drop_mm=measured(35.0, 5.0),
        foam_mm=measured(70.0, 3.0),
        foam_squash_mm=assumed(18.0, 4.0),
        arc_mm=None,
        lower_seat_width_mm=assumed(250.0, 10.0),
    ),
    controls=Controls(
        peg_x_mm=measured(560.0, 5.0),
        peg_y_mm=measured(255.0, 3.0),
        peg_z_mm=measured(400.0, 5.0),
        bar_x_mm=measured(950.0, 8.0),
        bar_z_mm=measured(1180.0, 8.0),
        low_point_x_mm=assumed(680.0, 30.0),
        feet_ahead_mm=assumed(60.0, 40.0),
    ),
    stand=Stand(
        pivot_x_mm=measured(520.0, 5.0),
        pivot_y_mm=measured(120.0, 3.0),
        pivot_z_mm=measured(310.0, 4.0),
        length_mm=measured(308.0, 2.0),
        angle_deg=measured(25.0, 1.0),
        foot_ahead_mm=measured(40.0, 5.0),
    ),
    chain=Chain(
        sprocket_ahead_mm=measured(75.0, 2.0),
        sprocket_above_mm=measured(5.0, 2.0),
        least_play_mm=maker(8.0),
    ),
    lamps=Lamps(
        headlamp_x_mm=measured(1270.0, 10.0),
        headlamp_z_mm=measured(930.0, 5.0),
        dip_percent=assumed(-0.012, 0.002),
        plate_x_mm=measured(-230.0, 10.0),
        plate_z_mm=measured(640.0, 5.0),
    ),
    ways=WayOffers(
        fork_limiter=WayOffer(maximum_mm=60.0, step_mm=5.0),
        shock_limiter=WayOffer(maximum_mm=25.0, step_mm=1.0),
        raised_stanchions=WayOffer(maximum_mm=10.0, step_mm=1.0),
        lower_seat=WayOffer(maximum_mm=25.0, step_mm=25.0, note="One lower seat is sold"),
    ),
)
_RIDER = Rider(name="Test rider", stature_mm=1680.0, inside_leg_mm=790.0, mass_kg=75.0)
_JOB = Job(title="Lower the trail bike", rider=_RIDER, machine=_TRAIL_BIKE)
