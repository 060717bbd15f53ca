"""A way of building the machine: amounts of each way, springs and preloads, for many at once.

Owns the one place where amounts become a changed machine, and the states that follow from it.
Refuses to choose. Every field is a float or an array of lanes.
"""

from dataclasses import dataclass, replace

import numpy as np

from fitplanner.documents.machine import MachineProfile
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.equilibrium import Rest, equilibrium
from fitplanner.mechanics.machine import Body, Machine
from fitplanner.planning.loads import Loads


@dataclass(frozen=True)
class Setup:
    """Amounts in mm, rates in N/mm of one spring; preload at the new full extension.

    `oil_ml` is the change of oil in one fork leg.
    """

    fork_limiter_mm: Number
    shock_limiter_mm: Number
    raised_stanchions_mm: Number
    lower_seat_mm: Number
    fork_rate_n_mm: Number
    fork_preload_mm: Number
    shock_rate_n_mm: Number
    shock_preload_mm: Number
    oil_ml: Number = 0.0


def stock_setup(profile: MachineProfile) -> Setup:
    """The machine as it left the factory."""
    return Setup(
        fork_limiter_mm=0.0,
        shock_limiter_mm=0.0,
        raised_stanchions_mm=0.0,
        lower_seat_mm=0.0,
        fork_rate_n_mm=profile.fork.spring_rate_n_mm.value,
        fork_preload_mm=profile.fork.preload_mm.value,
        shock_rate_n_mm=profile.rear.spring_rate_n_mm.value,
        shock_preload_mm=profile.rear.preload_mm.value,
    )


def built(machine: Machine, profile: MachineProfile, setup: Setup) -> Machine:
    """The machine built as `setup` says. A limiter never goes past the unit's stroke."""
    legs = profile.fork.spring_legs
    fork = replace(
        machine.fork,
        rate_n_mm=np.asarray(setup.fork_rate_n_mm) * legs,
        preload_mm=setup.fork_preload_mm,
        cut_mm=np.minimum(setup.fork_limiter_mm, np.asarray(machine.fork.stroke_mm) * 0.999),
        air_bottomed_ml=np.asarray(machine.fork.air_bottomed_ml) - 2 * np.asarray(setup.oil_ml),
    )
    shock = replace(
        machine.shock,
        rate_n_mm=setup.shock_rate_n_mm,
        preload_mm=setup.shock_preload_mm,
        cut_mm=np.minimum(setup.shock_limiter_mm, np.asarray(machine.shock.stroke_mm) * 0.999),
    )
    return replace(machine, fork=fork, shock=shock, raise_mm=setup.raised_stanchions_mm)


@dataclass(frozen=True)
class Stands:
    """The three loaded states of the same lanes, solved in one call; state is the first axis."""

    machine: Machine
    rest: Rest

    ON_WHEELS, RIDER_UP, STOPPED = 0, 1, 2


def bodies(machine: Machine, carried: Loads, seat_drop_mm: Number) -> Body:
    """Sprung body on wheels, rider up and stopped, stacked on a new first axis."""
    each = [
        carried.on_wheels(machine.sprung),
        carried.rider_up(machine.sprung, seat_drop_mm),
        carried.stopped(machine.sprung, seat_drop_mm),
    ]
    return Body(*(np.stack(np.broadcast_arrays(*column)) for column in _columns(each)))


def _columns(each: list[Body]) -> list[list[Array]]:
    shape = np.broadcast_shapes(*(np.shape(v) for b in each for v in (b.mass_kg, b.x_mm, b.z_mm)))
    return [
        [np.broadcast_to(np.asarray(getattr(b, name), dtype=float), shape) for b in each]
        for name in ("mass_kg", "x_mm", "z_mm")
    ]


def stand(machine: Machine, carried: Loads, setup: Setup) -> Stands:
    """Solve the loaded states of a built machine: shape (3, lanes...)."""
    sprung = bodies(machine, carried, setup.lower_seat_mm)
    return Stands(machine, equilibrium(machine, sprung))
