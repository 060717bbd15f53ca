"""From a profile to the machine that the solver sees.

Owns the one mapping from documents to mechanics, for a single profile or for many variants of
it at once (`overrides` gives any figure an array of lanes). Refuses to choose or to judge.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.base import Figure, Section
from fitplanner.documents.machine import (
    CatalogueState,
    LeverageTable,
    LinkagePoints,
    MachineProfile,
)
from fitplanner.library.linkage import linkage_points, most_travel_mm
from fitplanner.mechanics import fourbar
from fitplanner.mechanics.arrays import Number
from fitplanner.mechanics.leverage import LeverageCurve, hermite_curve, table_curve
from fitplanner.mechanics.machine import Body
from fitplanner.mechanics.reference import CatalogueFigures, Reference, resolve
from fitplanner.mechanics.units import Fork, Shock
from fitplanner.planning.joints import Fault, misplaced, stuck
from fitplanner.planning.memory import remembered

FUEL_KG_PER_L = 0.745
"""Density of petrol at 15 °C; EN 228 allows 0.720 to 0.775."""

REFERENCE_FOAM_KG = 75.0
_LINKAGE_KNOTS = 49
_SOLVED_ONE_BY_ONE = 128
_NODES = 4
_USUAL_SINK = 0.1
_BEFORE_LOCK = 0.88

Overrides = Mapping[tuple[str, str], NDArray[np.float64]]


class UnsolvableError(ValueError):
    """A profile from which no machine can be built; the message names the figures."""


class LinkageError(UnsolvableError):
    """Joints that do not go together; `fault` names the one to look at first."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault
        super().__init__(
            "rear linkage: its joints do not go together over the whole rear wheel travel; "
            f"look at the {fault.name} first, and check the places of all joints, "
            "each from the swing-arm pivot at full extension"
        )


@dataclass(frozen=True)
class Values:
    """Plain values of a profile's figures, with overrides in place."""

    profile: MachineProfile
    overrides: Overrides

    def __call__(self, section: str, key: str) -> Number:
        """The figure's value: canonical unit of the profile (angles in degrees)."""
        if (section, key) in self.overrides:
            return self.overrides[section, key]
        part: Section = getattr(self.profile, section)
        figure = getattr(part, key)
        if isinstance(figure, Figure):
            return figure.value
        return float("inf") if figure is None else float(figure)


def fuel_body(value: Values, share: Number) -> Body:
    """The fuel in the tank at a share of its capacity."""
    mass = np.asarray(value("masses", "tank_l")) * FUEL_KG_PER_L * share
    return Body(mass, value("masses", "tank_x_mm"), value("masses", "tank_z_mm"))


def _fork(value: Values, legs: int) -> Fork:
    return Fork(
        rate_n_mm=np.asarray(value("fork", "spring_rate_n_mm")) * legs,
        preload_mm=value("fork", "preload_mm"),
        stroke_mm=value("fork", "travel_mm"),
        air_area_mm2=2 * np.asarray(value("fork", "displaced_area_mm2")),
        air_bottomed_ml=2 * np.asarray(value("fork", "air_volume_bottomed_ml")),
        top_out_length_mm=value("fork", "top_out_length_mm"),
        top_out_rate_n_mm=value("fork", "top_out_rate_n_mm"),
    )


def _shock(value: Values) -> Shock:
    rod_mm2 = np.pi / 4 * np.asarray(value("rear", "rod_diameter_mm")) ** 2
    return Shock(
        rate_n_mm=value("rear", "spring_rate_n_mm"),
        preload_mm=value("rear", "preload_mm"),
        stroke_mm=0.0,
        gas_force_n=np.asarray(value("rear", "gas_pressure_kpa")) * rod_mm2 * 1e-3,
        bump_length_mm=value("rear", "bump_length_mm"),
        bump_rate_n_mm=value("rear", "bump_rate_n_mm"),
    )


def _with_factor(curve: LeverageCurve, value: Values) -> LeverageCurve:
    factor = np.asarray(value("rear", "leverage_factor"))
    return curve if np.all(factor == 1.0) else curve.scaled(1 / factor)


def catalogue_figures(
    profile: MachineProfile, overrides: Overrides | None = None
) -> CatalogueFigures:
    """The profile as plain figures; each override is an array of lanes."""
    value = Values(profile, overrides or {})
    linkage, travel = profile.rear.linkage, np.asarray(value("rear", "travel_mm"), dtype=float)
    arm = value("rear", "arm_length_mm")
    if isinstance(linkage, LinkagePoints) and np.max(travel) > profile.rear.travel_mm.value:
        travel = np.minimum(travel, _joints_allow_mm(profile, float(np.max(travel))))

    def solve(extended_rad: NDArray[np.float64], arm_mm: NDArray[np.float64]) -> LeverageCurve:
        assert isinstance(linkage, LinkagePoints)
        knots = np.linspace(0.0, float(np.max(travel)), _LINKAGE_KNOTS)
        extended = extended_rad[..., None]
        impossible = misplaced(linkage)
        if impossible is not None:
            raise LinkageError(impossible)
        solved = fourbar.motion_ratio(
            linkage_points(linkage, extended),
            arm_length_mm=arm_mm[..., None],
            extended_alpha_rad=extended,
            axle_rise_mm=knots,
        )
        if not np.all(solved.assembled) or not np.all(solved.ratio > 0):
            raise LinkageError(stuck(linkage, solved, knots))
        return hermite_curve(knots, solved.ratio, solved.ratio_slope_per_mm)

    def solve_linkage(arm_rad: NDArray[np.float64]) -> LeverageCurve:
        return _with_factor(linkage_lanes(solve, arm_rad, arm), value)

    state = profile.catalogue.state
    rider_kg = value("catalogue", "rider_mass_kg") if state is CatalogueState.RIDER_UP else 0.0
    return CatalogueFigures(
        hanging=state is CatalogueState.EXTENDED,
        wheelbase_mm=value("catalogue", "wheelbase_mm"),
        rake_rad=np.radians(value("catalogue", "rake_deg")),
        trail_mm=value("catalogue", "trail_mm"),
        front_radius_mm=value("wheels", "front_radius_mm"),
        rear_radius_mm=value("wheels", "rear_radius_mm"),
        front_tyre_n_mm=value("wheels", "front_stiffness_n_mm"),
        rear_tyre_n_mm=value("wheels", "rear_stiffness_n_mm"),
        arm_length_mm=arm,
        pivot_height_mm=value("rear", "pivot_height_mm"),
        running_order_kg=value("masses", "running_order_kg"),
        front_share=value("masses", "front_share"),
        mass_height_mm=value("masses", "mass_height_mm"),
        front_unsprung_kg=value("masses", "front_unsprung_kg"),
        rear_unsprung_kg=value("masses", "rear_unsprung_kg"),
        fuel=fuel_body(value, value("masses", "running_order_fuel_share")),
        carried=Body(rider_kg, value("seat", "x_mm"), value("catalogue", "seat_height_mm")),
        fork=_fork(value, profile.fork.spring_legs),
        shock=_shock(value),
        rear_travel_mm=travel,
        leverage=_with_factor(_table(linkage, travel), value)
        if isinstance(linkage, LeverageTable)
        else solve_linkage,
    )


def _joints_allow_mm(profile: MachineProfile, up_to_mm: float) -> float:
    """Most travel of a lane: no more than the drawn joints allow, but a little before they lock.

    Joints that do not even allow the profile's own travel are told where they are solved.
    """
    rear, linkage = profile.rear, profile.rear.linkage
    assert isinstance(linkage, LinkagePoints)
    own = rear.travel_mm.value
    low = profile.wheels.rear_radius_mm.value - rear.pivot_height_mm.value - _USUAL_SINK * own
    arm = rear.arm_length_mm.value
    locks = most_travel_mm(linkage, up_to_mm=up_to_mm, arm_length_mm=arm, axle_low_mm=low)
    return up_to_mm if locks >= up_to_mm else max(own, _BEFORE_LOCK * locks)


def _table(linkage: LeverageTable, travel_mm: NDArray[np.float64]) -> LeverageCurve:
    """The table as a curve, carried on where a lane's travel goes beyond its last row."""
    curve = table_curve(linkage.wheel_travel_mm, linkage.leverage)
    beyond = float(np.max(travel_mm)) - linkage.wheel_travel_mm[-1]
    return curve.extended(beyond) if beyond > 0 else curve


def linkage_lanes(
    solve: Callable[[NDArray[np.float64], NDArray[np.float64]], LeverageCurve],
    extended_rad: Number,
    arm_mm: Number,
) -> LeverageCurve:
    """A linkage's curves in lanes that differ in swing-arm length and elevation extended.

    A few lanes are solved one by one. Many are mixed from 16 solved ones: over the few per cent
    by which both vary, a cubic each way through Chebyshev's points is good to 1e-4 mm of travel.
    """
    extended, arm = (np.asarray(each, dtype=float) for each in (extended_rad, arm_mm))
    if max(extended.size, arm.size) <= _SOLVED_ONE_BY_ONE:
        return solve(extended, arm)
    angles, angle_weights = _through_nodes(extended)
    lengths, length_weights = _through_nodes(arm)
    grid = solve(np.repeat(angles, _NODES), np.tile(lengths, _NODES))
    weights = angle_weights[..., :, None] * length_weights[..., None, :]
    return grid.mixed(weights.reshape(*weights.shape[:-2], _NODES**2))


def _through_nodes(values: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Chebyshev's points over the range of `values`, and Lagrange's weights at each value."""
    low, high = float(np.min(values)), float(np.max(values))
    half = max((high - low) / 2, 1e-4 * max(abs(low), abs(high), 1.0))
    nodes = (low + high) / 2 + half * np.cos(np.pi * (np.arange(_NODES) + 0.5) / _NODES)
    apart = nodes[:, None] - nodes + np.eye(_NODES)
    away = values[..., None] - nodes
    left_out = np.stack(
        [np.prod(np.delete(away, node, axis=-1), axis=-1) for node in range(_NODES)], axis=-1
    )
    return nodes, left_out / np.prod(apart, axis=-1)


@remembered(256)
def reference(profile: MachineProfile) -> Reference:
    """The resolved machine of a profile, remembered for a whole library."""
    return resolve(catalogue_figures(profile))
