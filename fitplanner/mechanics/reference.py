"""From catalogue figures back to a resolved machine.

Owns the working back: a data sheet's figures belong to one state, in which the pose is known
outright, so the wheel loads follow from moments and each unit's compression from its own force
law. Refuses a figure without its state. Everything is vectorised: a figure may be an array.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.geometry import fork_offset_mm
from fitplanner.mechanics.leverage import LeverageCurve
from fitplanner.mechanics.machine import Body, Machine, weight_n
from fitplanner.mechanics.units import Fork, Shock

_MOST_STEPS = 80

Linkage = Callable[[Array], LeverageCurve]
"""Leverage curve of a linkage, given the arm's elevation [rad] at stock full extension."""


@dataclass(frozen=True)
class CatalogueFigures:
    """What a profile states, in the catalogue state; mm, kg, rad; floats or arrays of lanes.

    Attributes:
        hanging: the catalogue state is `extended`: no load on the tyres, units fully out.
        carried: fuel short of or beyond the stated mass is 0 here; the rider of the data
            sheet where the state has one, else a mass of 0.
        front_share: share of the running-order weight on the front wheel, catalogue attitude.
        rear_travel_mm: axle rise from full extension to bottomed.
        leverage: curve, or a function that solves a linkage for the arm's elevation at full
            extension.
    """

    hanging: bool
    wheelbase_mm: Number
    rake_rad: Number
    trail_mm: Number
    front_radius_mm: Number
    rear_radius_mm: Number
    front_tyre_n_mm: Number
    rear_tyre_n_mm: Number
    arm_length_mm: Number
    pivot_height_mm: Number
    running_order_kg: Number
    front_share: Number
    mass_height_mm: Number
    front_unsprung_kg: Number
    rear_unsprung_kg: Number
    fuel: Body
    carried: Body
    fork: Fork
    shock: Shock
    rear_travel_mm: Number
    leverage: LeverageCurve | Linkage


@dataclass(frozen=True)
class Reference:
    """The resolved machine and what was found on the way.

    Attributes:
        fork_mm, rear_mm: compressions in the catalogue state.
        front_radius_mm, rear_radius_mm: loaded radii in the catalogue state.
    """

    machine: Machine
    fork_mm: Array
    rear_mm: Array
    front_radius_mm: Array
    rear_radius_mm: Array


Law = Callable[[Array], tuple[Array, Array]]
"""A rising function of compression and its slope."""


def _root(law: Law, low: Array, high: Array) -> Array:
    """Where a rising law crosses zero, clipped to its range; Newton steps held in a bracket."""
    low, high = (np.array(a, dtype=float) for a in np.broadcast_arrays(low, high))
    width = high - low
    x = low + 0.3 * width
    for _ in range(_MOST_STEPS):
        value, slope = law(x)
        low, high = np.where(value > 0, low, x), np.where(value > 0, x, high)
        with np.errstate(divide="ignore", invalid="ignore"):
            wanted = x - value / slope
        inside = (wanted >= low) & (wanted <= high)
        nearer = np.where(inside, wanted, 0.5 * (low + high))
        moved = np.max(np.abs(nearer - x) / np.maximum(width, 1.0), initial=0.0)
        x = nearer
        if moved < 1e-15:
            break
    return x


def resolve(figures: CatalogueFigures) -> Reference:
    """Resolve a machine so that the catalogue state reproduces the catalogue.

    Topped out and bottomed are found as such. With tyre stiffness given the axles stand at the
    loaded radius of that state.
    """
    f = figures
    w = np.asarray(f.wheelbase_mm, dtype=float)
    front_own = np.asarray(f.front_share) * f.running_order_kg
    carried = np.asarray(f.carried.mass_kg, dtype=float)
    front_mass = front_own + carried * f.carried.x_mm / w
    front_n = weight_n(0.0 if f.hanging else front_mass)
    rear_n = weight_n(0.0 if f.hanging else f.running_order_kg + carried - front_mass)
    front_r = f.front_radius_mm - front_n / np.asarray(f.front_tyre_n_mm)
    rear_r = f.rear_radius_mm - rear_n / np.asarray(f.rear_tyre_n_mm)

    front_sprung = front_n - weight_n(f.front_unsprung_kg)
    rear_sprung = rear_n - weight_n(f.rear_unsprung_kg)
    rake = np.asarray(f.rake_rad, dtype=float)

    def fork_law(x_mm: Array) -> tuple[Array, Array]:
        force, rate = f.fork.force(x_mm)
        return force - front_sprung * np.cos(rake), rate

    fork_mm = _root(
        fork_law,
        np.asarray(f.fork.cut_mm, dtype=float),
        np.asarray(f.fork.stroke_mm, dtype=float),
    )
    axle_z = rear_r - f.pivot_height_mm
    curve, rear_mm = _rear(f, axle_z, rear_sprung)

    sprung = _sprung(f, front_own, w, front_r, rear_r)
    arm = np.asarray(f.arm_length_mm, dtype=float)
    shock = f.shock
    stroke = curve.evaluate(f.rear_travel_mm)[0]
    machine = Machine(
        front_axle_x_mm=w + np.sin(rake) * fork_mm,
        front_axle_z_mm=front_r - np.cos(rake) * fork_mm,
        rake_rad=rake,
        fork_offset_mm=fork_offset_mm(wheel_radius_mm=front_r, rake_rad=rake, trail_mm=f.trail_mm),
        pivot_x_mm=np.sqrt(arm**2 - axle_z**2),
        pivot_z_mm=f.pivot_height_mm,
        arm_length_mm=arm,
        axle_low_mm=axle_z - rear_mm,
        front_radius_mm=f.front_radius_mm,
        rear_radius_mm=f.rear_radius_mm,
        front_tyre_n_mm=f.front_tyre_n_mm,
        rear_tyre_n_mm=f.rear_tyre_n_mm,
        front_unsprung_kg=f.front_unsprung_kg,
        rear_unsprung_kg=f.rear_unsprung_kg,
        sprung=sprung,
        fork=f.fork,
        shock=type(shock)(**{**shock.__dict__, "stroke_mm": stroke}),
        leverage=curve,
    )
    return Reference(machine, fork_mm, rear_mm, front_r, rear_r)


def _rear(f: CatalogueFigures, axle_z_mm: Array, sprung_n: Array) -> tuple[LeverageCurve, Array]:
    """Leverage curve and axle rise in the catalogue state.

    A linkage's curve depends on the arm's elevation at full extension, which depends on the
    rise: repeated by the secant rule until it stands still.
    """
    travel = np.asarray(f.rear_travel_mm, dtype=float)
    rise = travel * 0.25
    curve = f.leverage if isinstance(f.leverage, LeverageCurve) else None
    before: tuple[Array, Array] | None = None
    for _ in range(60):
        if not isinstance(f.leverage, LeverageCurve):
            curve = f.leverage(np.arcsin(np.clip((axle_z_mm - rise) / f.arm_length_mm, -1, 1)))
        assert curve is not None
        found = _root(_wheel_law(f, curve, travel, sprung_n), np.zeros_like(travel), travel)
        gap = found - rise
        if isinstance(f.leverage, LeverageCurve) or np.max(np.abs(gap), initial=0.0) < 1e-12:
            rise = found
            break
        change = gap if before is None else _secant_step(rise, gap, *before)
        before = (rise, gap)
        rise = np.clip(rise + change, 0.0, travel)
    assert curve is not None
    return curve, rise


def _secant_step(x: Array, gap: Array, x_before: Array, gap_before: Array) -> Array:
    """Towards where the gap closes; a plain step where both points give no slope."""
    with np.errstate(divide="ignore", invalid="ignore"):
        step = -gap * (x - x_before) / (gap - gap_before)
    return np.where(np.isfinite(step), step, gap)


def _wheel_law(f: CatalogueFigures, curve: LeverageCurve, travel_mm: Array, sprung_n: Array) -> Law:
    stroke = curve.evaluate(travel_mm)[0]
    shock = type(f.shock)(**{**f.shock.__dict__, "stroke_mm": stroke})

    def law(rise_mm: Array) -> tuple[Array, Array]:
        shock_mm, ratio, slope = curve.evaluate(rise_mm)
        force, rate = shock.force(shock_mm)
        return force * ratio - sprung_n, rate * ratio**2 + force * slope

    return law


def _sprung(f: CatalogueFigures, front_kg: Number, w: Array, front_r: Array, rear_r: Array) -> Body:
    """What is left of the running-order mass without wheels and fuel."""
    total = Body(
        f.running_order_kg,
        np.asarray(front_kg) / np.asarray(f.running_order_kg) * w,
        f.mass_height_mm,
    )
    front = Body(-np.asarray(f.front_unsprung_kg), w, front_r)
    rear = Body(-np.asarray(f.rear_unsprung_kg), 0.0, rear_r)
    fuel = Body(-np.asarray(f.fuel.mass_kg), f.fuel.x_mm, f.fuel.z_mm)
    return total + front + rear + fuel
