"""Catalogue in, catalogue out: the resolved machine stands as its data sheet says."""

from typing import Any

import numpy as np
import pytest

from fitplanner.documents.machine import CatalogueState, LeverageTable, MachineProfile
from fitplanner.mechanics.equilibrium import Rest, equilibrium, hanging
from fitplanner.mechanics.machine import Body, weight_n
from fitplanner.mechanics.reference import CatalogueFigures, Reference, resolve
from fitplanner.planning.resolve import catalogue_figures
from tests import factories

STATES = list(CatalogueState)


def profile(state: CatalogueState, **changes: Any) -> MachineProfile:
    return factories.machine_profile(catalogue={"state": state}, **changes)


def stood(figures: CatalogueFigures, found: Reference) -> Rest:
    """The resolved machine, put back into its catalogue state by the solver."""
    if figures.hanging:
        return hanging(found.machine)
    return equilibrium(found.machine, found.machine.sprung + figures.fuel + figures.carried)


def check_round_trip(figures: CatalogueFigures) -> None:
    found = resolve(figures)
    rest = stood(figures, found)
    at = rest.pose
    assert np.all(rest.converged)
    assert at.pitch_rad == pytest.approx(np.zeros_like(at.pitch_rad), abs=1e-12)
    for value, wanted in (
        (at.wheelbase_mm, figures.wheelbase_mm),
        (at.rake_rad, figures.rake_rad),
        (at.trail_mm, figures.trail_mm),
        (at.height(540.0, 930.0), 930.0),
        (at.height(680.0, 340.0), 340.0),
        (at.place(found.machine.pivot_x_mm, found.machine.pivot_z_mm)[1], figures.pivot_height_mm),
        (at.fork_compression_mm, found.fork_mm),
        (at.rear_compression_mm, found.rear_mm),
        (at.front_radius_mm, found.front_radius_mm),
        (at.rear_radius_mm, found.rear_radius_mm),
    ):
        shape = np.broadcast_shapes(np.shape(value), np.shape(wanted))
        assert np.broadcast_to(value, shape) == pytest.approx(
            np.broadcast_to(wanted, shape), abs=1e-9, rel=0
        )


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("tyres", ["given", "rigid"])
def test_round_trip(state: CatalogueState, tyres: str) -> None:
    changes: dict[str, Any] = {}
    if tyres == "rigid":
        wheels = factories.machine_profile().wheels
        changes["wheels"] = wheels.replace(front_stiffness_n_mm=None, rear_stiffness_n_mm=None)
    check_round_trip(catalogue_figures(profile(state, **changes)))


@pytest.mark.parametrize("state", STATES)
def test_round_trip_of_many(state: CatalogueState) -> None:
    # Lanes over masses, springs, geometry, tyres and leverage, some topped out, some bottomed.
    rng = np.random.default_rng(4)

    def about(value: float, share: float = 0.08) -> Any:
        return value * rng.uniform(1 - share, 1 + share, 400)

    over = {
        ("catalogue", "wheelbase_mm"): about(1440.0),
        ("catalogue", "rake_deg"): about(27.0),
        ("catalogue", "trail_mm"): about(107.0),
        ("masses", "running_order_kg"): about(104.0, 0.3),
        ("masses", "front_share"): about(0.48),
        ("wheels", "front_radius_mm"): about(346.0),
        ("wheels", "rear_radius_mm"): about(340.0),
        ("wheels", "front_stiffness_n_mm"): about(140.0, 0.5),
        ("wheels", "rear_stiffness_n_mm"): about(160.0, 0.5),
        ("fork", "spring_rate_n_mm"): about(5.0, 0.8),
        ("fork", "preload_mm"): about(20.0, 1.0),
        ("rear", "arm_length_mm"): about(590.0),
        ("rear", "pivot_height_mm"): about(430.0, 0.05),
        ("rear", "spring_rate_n_mm"): about(45.0, 0.8),
        ("rear", "preload_mm"): about(15.0, 1.0),
        ("rear", "bump_rate_n_mm"): about(60.0, 1.0),
        ("catalogue", "rider_mass_kg"): about(110.0, 0.4),
        ("rear", "leverage_factor"): about(1.0, 0.1),
    }
    figures = catalogue_figures(profile(state), over)
    check_round_trip(figures)
    rest = stood(figures, resolve(figures))
    if state is CatalogueState.ON_WHEELS:
        assert np.count_nonzero(rest.topped_rear) > 3
    if state is CatalogueState.RIDER_UP:
        assert np.count_nonzero(rest.bottomed_rear) > 3


def test_units_of_a_locked_end() -> None:
    # Springs too hard for the machine: topped out in the catalogue state, and still round.
    hard = profile(CatalogueState.ON_WHEELS, fork={"preload_mm": 60.0}, rear={"preload_mm": 60.0})
    figures = catalogue_figures(hard)
    rest = stood(figures, resolve(figures))
    assert rest.topped_rear
    check_round_trip(figures)


@pytest.mark.parametrize("state", [CatalogueState.ON_WHEELS, CatalogueState.RIDER_UP])
def test_wheel_loads_are_the_stated_share(state: CatalogueState) -> None:
    # Moments by hand: 104 kg with 48 % in front; 75 kg of rider at 540 of 1440 mm.
    figures = catalogue_figures(profile(state))
    rest = stood(figures, resolve(figures))
    rider = 75.0 if state is CatalogueState.RIDER_UP else 0.0
    front = 0.48 * 104.0 + rider * 540.0 / 1440.0
    assert rest.front_load_n == pytest.approx(weight_n(front), abs=1e-7)
    assert rest.rear_load_n == pytest.approx(weight_n(104.0 + rider - front), abs=1e-7)


def test_masses_add_up_to_running_order() -> None:
    # Sprung, unsprung and fuel together give the stated mass, share and height of its centre.
    figures = catalogue_figures(profile(CatalogueState.ON_WHEELS))
    found = resolve(figures)
    m = found.machine
    wheels = Body(m.front_unsprung_kg, 1440.0, found.front_radius_mm) + Body(
        m.rear_unsprung_kg, 0.0, found.rear_radius_mm
    )
    whole = m.sprung + figures.fuel + wheels
    assert whole.mass_kg == pytest.approx(104.0, rel=1e-13)
    assert whole.x_mm == pytest.approx(0.48 * 1440.0, rel=1e-13)
    assert whole.z_mm == pytest.approx(570.0, rel=1e-13)


def test_the_state_of_a_figure_matters() -> None:
    # A figure without its state is wrong by the sag: the same seat height stated extended, on
    # wheels or ridden belongs to machines that differ by tens of millimetres.
    heights = {}
    for state in STATES:
        figures = catalogue_figures(profile(state))
        found = resolve(figures)
        body = found.machine.sprung + figures.fuel
        heights[state] = float(equilibrium(found.machine, body).pose.height(540.0, 930.0))
    assert heights[CatalogueState.ON_WHEELS] == pytest.approx(930.0, abs=1e-9)
    assert 10 < 930.0 - heights[CatalogueState.EXTENDED] < 80
    assert 30 < heights[CatalogueState.RIDER_UP] - 930.0 < 90


def test_leverage_of_a_table_that_goes_on() -> None:
    # Knots past the travel: the stroke is what the travel takes, not the table's end.
    table = LeverageTable(wheel_travel_mm=[0.0, 150.0, 340.0], leverage=[3.0, 2.8, 2.4])
    figures = catalogue_figures(profile(CatalogueState.ON_WHEELS, rear={"linkage": table}))
    machine = resolve(figures).machine
    assert machine.limits[3] == pytest.approx(300.0, abs=1e-9)
    assert machine.limits[2] == 0.0
