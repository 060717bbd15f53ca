"""The machine as the solver sees it: points, masses and units in the chassis frame.

Owns the resolved machine and the bookkeeping of its lanes. Refuses figures without a state:
those are worked back in `reference`. The chassis frame is that of the catalogue state: x forward
from the rear contact point, z up from the ground.
"""

import dataclasses
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Self

import numpy as np

from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.leverage import LeverageCurve
from fitplanner.mechanics.units import Fork, Shock

GRAVITY_M_S2 = 9.80665


def weight_n(mass_kg: Number) -> Array:
    """Weight [N] of a mass [kg] at standard gravity."""
    return np.asarray(mass_kg, dtype=float) * GRAVITY_M_S2


@dataclass(frozen=True)
class Body:
    """A mass fixed to the chassis: kg and mm, each a float or an array of lanes.

    A negative mass stands for a force that carries: feet on the ground, a side-stand.
    """

    mass_kg: Number
    x_mm: Number
    z_mm: Number

    def __add__(self, other: "Body") -> "Body":
        """The two masses as one at their common centre."""
        mass = np.asarray(self.mass_kg) + other.mass_kg
        at = [
            (np.asarray(self.mass_kg) * mine + np.asarray(other.mass_kg) * theirs) / mass
            for mine, theirs in ((self.x_mm, other.x_mm), (self.z_mm, other.z_mm))
        ]
        return Body(mass, at[0], at[1])


@dataclass(frozen=True)
class Machine:
    """A resolved machine; every field a float or an array of lanes that broadcast.

    Attributes:
        front_axle_x_mm, front_axle_z_mm: front axle at stock full extension, chassis frame.
        rake_rad: of the steering axis in the chassis frame.
        fork_offset_mm: axle ahead of the steering axis, at right angles to it.
        raise_mm: stanchions raised in the clamps.
        pivot_x_mm, pivot_z_mm, arm_length_mm: swing-arm.
        axle_low_mm: height of the axle over the pivot at stock full extension (negative: below).
        front_radius_mm, rear_radius_mm: free tyres.
        front_tyre_n_mm, rear_tyre_n_mm: radial stiffness; infinite for a rigid tyre.
        front_unsprung_kg, rear_unsprung_kg: at the axles.
        sprung: the machine's own sprung mass without fuel, rider and luggage.
    """

    front_axle_x_mm: Number
    front_axle_z_mm: Number
    rake_rad: Number
    fork_offset_mm: Number
    pivot_x_mm: Number
    pivot_z_mm: Number
    arm_length_mm: Number
    axle_low_mm: Number
    front_radius_mm: Number
    rear_radius_mm: Number
    front_tyre_n_mm: Number
    rear_tyre_n_mm: Number
    front_unsprung_kg: Number
    rear_unsprung_kg: Number
    sprung: Body
    fork: Fork
    shock: Shock
    leverage: LeverageCurve
    raise_mm: Number = 0.0

    def with_fork(self, **changes: Number) -> Self:
        """A copy with the fork's fields changed."""
        return dataclasses.replace(self, fork=dataclasses.replace(self.fork, **changes))

    def with_shock(self, **changes: Number) -> Self:
        """A copy with the shock's fields changed."""
        return dataclasses.replace(self, shock=dataclasses.replace(self.shock, **changes))

    @cached_property
    def limits(self) -> tuple[Array, Array, Array, Array]:
        """Least and most fork compression, least and most axle rise [mm]; worked out once."""
        cut, stroke = np.asarray(self.fork.cut_mm), np.asarray(self.fork.stroke_mm, dtype=float)
        low = self.leverage.rise_at(np.minimum(self.shock.cut_mm, self.shock.stroke_mm))
        high = self.leverage.rise_at(self.shock.stroke_mm)
        return np.minimum(cut, stroke).astype(float), stroke, low, high


def lane_shapes(item: Any) -> Iterator[tuple[int, ...]]:
    """Shapes of all lane arrays of a machine, body or unit."""
    if isinstance(item, LeverageCurve):
        if item.cubic.ndim > 2:
            yield item.cubic.shape[1:-1]
    elif dataclasses.is_dataclass(item):
        for field in dataclasses.fields(item):
            yield from lane_shapes(getattr(item, field.name))
    elif isinstance(item, np.ndarray | list) and np.ndim(item):
        yield np.shape(item)


def pick_lane(item: Any, lane: tuple[int, ...]) -> Any:
    """One lane of a result: dataclasses and tuples of arrays, scalars left as they are."""
    if isinstance(item, tuple):
        picked = [pick_lane(each, lane) for each in item]
        return type(item)(*picked) if hasattr(item, "_fields") else tuple(picked)
    if dataclasses.is_dataclass(item) and not isinstance(item, type):
        values = {f.name: pick_lane(getattr(item, f.name), lane) for f in dataclasses.fields(item)}
        return type(item)(**values)
    return item[lane] if np.ndim(item) else item


def spread_lanes(item: Any, shape: tuple[int, ...]) -> Any:
    """A result with every array broadcast to all lanes, whatever it happened to depend on."""
    if isinstance(item, tuple):
        return tuple(spread_lanes(each, shape) for each in item)
    if dataclasses.is_dataclass(item) and not isinstance(item, type):
        fields = dataclasses.fields(item)
        return type(item)(**{f.name: spread_lanes(getattr(item, f.name), shape) for f in fields})
    return item if np.shape(item) == shape else np.broadcast_to(item, shape)


def map_lanes(item: Any, change: Callable[[Array], Array]) -> Any:
    """Rebuild a machine, body or unit with `change` applied to each of its lane arrays.

    A leverage curve's shared knots stay; its trailing axis of pieces is not a lane axis and
    is left to `change` by presenting one piece at a time.
    """
    if isinstance(item, LeverageCurve):
        if item.cubic.ndim == 2:
            return item
        pieces = np.moveaxis(item.cubic, -1, 0)
        cubic = np.stack([np.stack([change(c) for c in piece]) for piece in pieces], axis=-1)
        shock = np.stack([change(s) for s in np.moveaxis(item.shock_mm, -1, 0)], axis=-1)
        return LeverageCurve(item.knots_mm, cubic, shock)
    if dataclasses.is_dataclass(item) and not isinstance(item, type):
        values = {
            f.name: map_lanes(getattr(item, f.name), change) for f in dataclasses.fields(item)
        }
        return type(item)(**values)
    array = np.asarray(item, dtype=float)
    return change(array) if array.ndim else item
