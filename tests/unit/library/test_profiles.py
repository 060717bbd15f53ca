"""The shipped machines, riders and demo job are plausible.

Every range is common practice, no source, unless another source stands beside it. The stock
machine is judged under a rider of 75 kg with 8 kg of gear, the child's bike under 35 and 5 kg.
"""

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.base import Figure, Section
from fitplanner.documents.job import Job
from fitplanner.documents.machine import (
    CatalogueState,
    LeverageTable,
    MachineKind,
    MachineProfile,
    WayOffer,
)
from fitplanner.documents.rider import Rider, RidingStyle
from fitplanner.library.loader import load_library
from fitplanner.library.styles import sag_windows
from fitplanner.mechanics.equilibrium import Rest, bottomed, equilibrium, hanging
from fitplanner.mechanics.machine import Body, Machine
from fitplanner.mechanics.parked import Parked, park
from fitplanner.planning.context import Context, context, stand_of
from fitplanner.planning.plan import WayId
from fitplanner.planning.profile_check import common_job
from fitplanner.planning.resolve import Values, fuel_body, reference
from fitplanner.planning.setup import Stands, stand
from fitplanner.planning.ways import WAYS, Build
from tests.unit.library.sags import assert_sags_lie_inside

PROFILES: Mapping[str, MachineProfile] = load_library().profiles
STYLES = {
    MachineKind.TRAIL: RidingStyle.TRAIL,
    MachineKind.ENDURO: RidingStyle.ENDURO,
    MachineKind.MOTOCROSS: RidingStyle.MOTOCROSS,
    MachineKind.DUAL_SPORT: RidingStyle.DUAL_SPORT,
    MachineKind.ADVENTURE: RidingStyle.TRAVEL,
    MachineKind.CHILD: RidingStyle.TRAIL,
}
ON_WHEELS, RIDER_UP = Stands.ON_WHEELS, Stands.RIDER_UP

every_profile = pytest.mark.parametrize("name", PROFILES)


@cache
def solved(name: str) -> tuple[Context, Rest, Parked]:
    ctx = context(common_job(PROFILES[name]))
    rest = stand(Build(PROFILES[name], ctx.machine), ctx.carried).rest
    own = ctx.carried.on_wheels(ctx.machine.sprung)
    return ctx, rest, park(ctx.machine, own, stand_of(ctx.profile))


def figures(profile: MachineProfile) -> dict[str, Figure]:
    return {
        f"{name}.{spec.key}": figure
        for name in MachineProfile.model_fields
        if isinstance(section := getattr(profile, name), Section)
        for spec in section.specs()
        if isinstance(figure := getattr(section, spec.key), Figure)
    }


def test_the_library_covers_what_a_shop_sees() -> None:
    profiles = PROFILES.values()
    assert len(profiles) >= 10
    assert {p.kind for p in profiles} == set(MachineKind)
    assert {p.catalogue.state for p in profiles} == set(CatalogueState)
    assert {p.rear.linkage.layout for p in profiles} == {
        "table",
        "direct",
        "rocker_on_arm",
        "rocker_on_frame",
    }
    assert {p.fork.spring_legs for p in profiles} == {1, 2}
    assert {p.wheels.rear_stiffness_n_mm is None for p in profiles} == {True, False}
    assert {p.seat.arc_mm is None for p in profiles} == {True, False}


@every_profile
def test_the_file_is_written_as_the_program_writes_it(name: str) -> None:
    text = (paths.resources() / "profiles" / f"{name}.json").read_text(encoding="utf-8")
    assert text == codec.dump(PROFILES[name])


@every_profile
def test_every_figure_says_where_it_comes_from_and_how_far_it_may_be_off(name: str) -> None:
    for key, figure in figures(PROFILES[name]).items():
        assert figure.note, key
        # The sheet's rider and the length that a fill is for are what is stated, nothing measured.
        stated = ("catalogue.rider_mass_kg", "fork.kit_limiter_mm")
        assert figure.spread > 0 or key in stated, key


@every_profile
def test_the_leverage_is_usual_and_falls_smoothly(name: str) -> None:
    # Common practice, no source: each range here.
    profile, machine = PROFILES[name], solved(name)[0].machine
    rise = np.linspace(0.0, profile.rear.travel_mm.value, 61)
    leverage = 1 / machine.leverage.evaluate(rise)[1]
    assert np.all((leverage > 2.35) & (leverage < 3.35))
    assert np.all(np.diff(leverage) < 0)
    assert leverage[0] / leverage[-1] > 1.05
    stroke = profile.rear.travel_mm.value / leverage.mean()
    assert float(machine.shock.stroke_mm) == pytest.approx(stroke, rel=0.02)


@every_profile
def test_stock_sags_lie_in_the_windows_of_its_kind(name: str) -> None:
    # Common practice, no source: each range here.
    ctx, rest, _ = solved(name)
    assert_sags_lie_inside(sag_windows(STYLES[PROFILES[name].kind]), ctx.machine, rest)
    assert 15.0 <= rest.pose.rear_compression_mm[ON_WHEELS] <= 50.0


@every_profile
def test_masses_and_steering_are_usual(name: str) -> None:
    profile, (ctx, rest, _) = PROFILES[name], solved(name)
    child = profile.kind is MachineKind.CHILD
    # Common practice, no source: mass split, trail, rake, payload.
    front, rear = rest.front_load_n[ON_WHEELS], rest.rear_load_n[ON_WHEELS]
    assert 0.44 <= front / (front + rear) <= 0.54
    assert (55.0 if child else 85.0) <= rest.pose.trail_mm[ON_WHEELS] <= 125.0
    assert 23.0 <= np.degrees(rest.pose.rake_rad[ON_WHEELS]) <= 29.5
    payload = profile.masses.payload_kg.value
    assert ctx.rider.total_kg <= payload <= (80.0 if child else 230.0)
    # Regulation (EU) 168/2013, Article 5: running order means at least 90 % of the fuel.
    assert profile.masses.running_order_fuel_share.value >= 0.9


@every_profile
def test_no_spring_binds_and_preload_is_within_reach(name: str) -> None:
    # Common practice, no source: each range here.
    profile, machine = PROFILES[name], solved(name)[0].machine
    for section, stroke in (
        (profile.fork, profile.fork.travel_mm.value),
        (profile.rear, float(machine.shock.stroke_mm)),
    ):
        bottomed_mm = section.spring_free_mm.value - section.preload_mm.value - stroke
        assert bottomed_mm - section.spring_solid_mm.value >= 5.0
        low, high = section.preload_min_mm.value, section.preload_max_mm.value
        assert low <= section.preload_mm.value <= high


@every_profile
def test_every_state_is_solved_and_the_seat_heights_are_in_order(name: str) -> None:
    profile, (ctx, rest, parked) = PROFILES[name], solved(name)
    assert np.all(rest.converged) and np.all(parked.rest.converged)
    assert not np.any(rest.topped_front | rest.topped_rear)
    assert not np.any(rest.bottomed_front | rest.bottomed_rear)
    point = profile.seat.x_mm.value, profile.catalogue.seat_height_mm.value
    heights = [
        float(hanging(ctx.machine).pose.height(*point)),
        float(parked.rest.pose.height(*point)),
        float(rest.pose.height(*point)[ON_WHEELS]),
        float(rest.pose.height(*point)[RIDER_UP]),
        float(bottomed(ctx.machine).pose.height(*point)),
    ]
    assert np.all(np.diff(heights) < -2.0)
    low = profile.controls.low_point_x_mm.value, profile.catalogue.ground_clearance_mm.value
    assert bottomed(ctx.machine).pose.height(*low) > 10.0


def catalogue_rest(profile: MachineProfile, machine: Machine) -> Rest:
    """The catalogue's own state, with exactly the load that its data sheet counts."""
    if profile.catalogue.state is CatalogueState.EXTENDED:
        return hanging(machine)
    value = Values(profile, {})
    load = machine.sprung + fuel_body(value, profile.masses.running_order_fuel_share.value)
    if profile.catalogue.state is CatalogueState.RIDER_UP:
        catalogue = profile.catalogue
        load = load + Body(
            catalogue.rider_mass_kg.value, profile.seat.x_mm.value, catalogue.seat_height_mm.value
        )
    return equilibrium(machine, load)


@every_profile
def test_the_catalogue_comes_back_out_in_its_own_state(name: str) -> None:
    profile = PROFILES[name]
    at = catalogue_rest(profile, reference(profile).machine).pose
    told = profile.catalogue
    seat = profile.seat.x_mm.value, told.seat_height_mm.value
    low = profile.controls.low_point_x_mm.value, told.ground_clearance_mm.value
    assert at.height(*seat) == pytest.approx(seat[1], abs=1e-9)
    assert at.height(*low) == pytest.approx(low[1], abs=1e-9)
    assert at.wheelbase_mm == pytest.approx(told.wheelbase_mm.value, abs=1e-9)
    assert np.degrees(at.rake_rad) == pytest.approx(told.rake_deg.value, abs=1e-9)
    assert at.trail_mm == pytest.approx(told.trail_mm.value, abs=1e-9)


@every_profile
def test_it_parks_as_a_motorcycle_does(name: str) -> None:
    # Common practice, no source: each range here.
    parked = solved(name)[2]
    assert parked.holds
    assert 8.0 <= np.degrees(parked.lean.lean_rad) <= 15.0
    assert 0.20 <= parked.share <= 0.45


@every_profile
def test_the_fork_oil_leaves_a_usual_air_column(name: str) -> None:
    # Common practice, no source: each range here.
    fork = PROFILES[name].fork
    air, area = fork.air_volume_bottomed_ml.value, fork.displaced_area_mm2.value
    assert 3.0 <= (air + area * fork.travel_mm.value * 1e-3) / air <= 9.0
    # Area: a sliding tube displaces at most its own section.
    assert area <= np.pi / 4 * fork.stanchion_diameter_mm.value**2 + 1
    spring_ml = fork.oil_level_mm.value * fork.oil_surface_mm2.value * 1e-3 - air
    assert 10.0 <= spring_ml <= 60.0


@every_profile
def test_a_linkages_joints_are_where_a_machine_has_room(name: str) -> None:
    # Common practice, no source: each range here.
    profile, machine = PROFILES[name], solved(name)[0].machine
    linkage = profile.rear.linkage
    if isinstance(linkage, LeverageTable):
        assert linkage.wheel_travel_mm[-1] >= profile.rear.travel_mm.value
        return
    eye, arm = np.array(linkage.frame_eye_mm), np.array(linkage.arm_point_mm)
    assert np.hypot(*arm) < 0.5 * profile.rear.arm_length_mm.value
    lower = arm if linkage.shock_joint_mm is None else np.array(linkage.shock_joint_mm)
    assert 350.0 <= np.hypot(*(eye - lower)) <= 520.0
    assert eye[1] > lower[1]
    assert 80.0 <= float(machine.shock.stroke_mm) <= 130.0


@every_profile
def test_ways_come_in_steps_that_fit_the_machine(name: str) -> None:
    # Common practice, no source: each range here.
    profile, ctx = PROFILES[name], solved(name)[0]
    ways = profile.ways
    assert ways.fork_limiter is not None and ways.shock_limiter is not None
    assert ways.fork_limiter.maximum_mm <= 0.3 * profile.fork.travel_mm.value
    assert ways.shock_limiter.maximum_mm <= 0.3 * float(ctx.machine.shock.stroke_mm)
    assert ways.raised_stanchions is not None
    assert ways.raised_stanchions.maximum_mm < 0.5 * profile.fork.bump_gap_mm.value
    for _, offer in ways:
        steps = 0.0 if offer is None else offer.maximum_mm / offer.step_mm
        assert steps == pytest.approx(round(steps))
    if ways.lower_seat is not None:
        assert profile.seat.lower_seat_width_mm is not None
        assert ways.lower_seat.maximum_mm <= profile.seat.foam_mm.value - 25.0


@every_profile
def test_every_way_goes_as_far_as_the_machine_has_room(name: str) -> None:
    # Common practice, no source: each range here.
    profile, machine = PROFILES[name], solved(name)[0].machine
    ways = profile.ways
    linkage = profile.rear.linkage
    has_rod = not isinstance(linkage, LeverageTable) and linkage.rod_joint_mm is not None
    assert (ways.longer_rods is not None) == has_rod
    for way in WayId:
        offer: WayOffer | None = getattr(ways, way.value)
        if offer is not None:
            made = WAYS[way].effect(Build(profile, machine), offer.maximum_mm)
            assert profile.fork.bump_gap_mm.value + float(made.front_gap_mm) > 10.0
            assert profile.rear.bump_gap_mm.value + float(made.rear_gap_mm) > 10.0
    if ways.narrower_seat is not None:
        assert ways.narrower_seat.maximum_mm <= 0.2 * profile.seat.width_mm.value


@every_profile
def test_what_is_opened_takes_hours_and_what_is_bought_has_a_price(name: str) -> None:
    # Common practice, no source: each range here.
    profile = PROFILES[name]
    offers = {way: offer for way, offer in profile.ways if offer is not None}
    for way, offer in offers.items():
        assert offer.note, way
        assert 0.0 <= offer.hours <= 6.0
        assert (offer.parts > 0.0) != (way == "raised_stanchions")
        assert (offer.hours > 0.0) != (way == "thicker_sole")
    assert offers["fork_limiter"].hours > offers["raised_stanchions"].hours
    for springs in (profile.springs.fork, profile.springs.shock):
        assert 50.0 <= springs.parts <= 200.0
        assert 0.0 < springs.preload_hours < springs.hours <= 4.0


def test_the_library_offers_every_way_and_a_shorter_shock_on_few() -> None:
    def offering(way: WayId) -> int:
        return sum(getattr(profile.ways, way.value) is not None for profile in PROFILES.values())

    assert all(offering(way) > 0 for way in WayId)
    assert offering(WayId.SHORTER_SHOCK) <= 3


def test_every_shipped_machine_says_that_it_is_invented() -> None:
    assert all(profile.invented for profile in PROFILES.values())
    job = codec.load_job(codec.dump(Job(rider=Rider(), machine=PROFILES["brackwell-250"])))
    assert job.machine.invented


def test_the_riders_are_those_who_come_to_a_shop() -> None:
    riders: Mapping[str, Rider] = load_library().riders
    assert len(riders) >= 8
    assert {r.population for r in riders.values()} >= {"women", "men"}
    assert len({r.name for r in riders.values()}) == len(riders)
    assert any(r.inside_leg_mm is None for r in riders.values())
    masses = [r.mass_kg for r in riders.values() if r.mass_kg is not None]
    statures = [r.stature_mm for r in riders.values() if r.stature_mm is not None]
    assert min(masses) < 50 and max(masses) > 110
    assert min(statures) < 1550 and max(statures) > 1900
    for rider in riders.values():
        if rider.stature_mm and rider.inside_leg_mm:
            # ANSUR II, both sexes: crotch height over stature, mean 0.48, about 0.42 to 0.53.
            assert 0.42 <= rider.inside_leg_mm / rider.stature_mm <= 0.53
