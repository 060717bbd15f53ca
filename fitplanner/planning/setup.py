"""A way of building the machine: amounts of each way, springs and preloads, for many at once.

Owns the one place where amounts become a changed machine, and the states that follow from it.
Refuses to choose. Every field is a float or an array of lanes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from fitplanner.documents.machine import MachineProfile
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.equilibrium import Rest, equilibrium
from fitplanner.mechanics.machine import Body, Machine, lane_shapes
from fitplanner.planning.loads import Loads
from fitplanner.planning.plan import WayId
from fitplanner.planning.resolve import Values
from fitplanner.planning.ways import Build, build


@dataclass(frozen=True)
class Setup:
    """Amount of each way in mm, rates in N/mm of one spring; preload at the new full extension."""

    fork_rate_n_mm: Number
    fork_preload_mm: Number
    shock_rate_n_mm: Number
    shock_preload_mm: Number
    fork_limiter_mm: Number = 0.0
    shock_limiter_mm: Number = 0.0
    raised_stanchions_mm: Number = 0.0
    lower_seat_mm: Number = 0.0
    shorter_shock_mm: Number = 0.0
    longer_rods_mm: Number = 0.0
    narrower_seat_mm: Number = 0.0
    smaller_tyres_mm: Number = 0.0
    thicker_sole_mm: Number = 0.0

    def amount_mm(self, way: WayId) -> Number:
        """The amount of one way."""
        amount: Number = getattr(self, f"{way.value}_mm")
        return amount


def stock_setup(profile: MachineProfile) -> Setup:
    """The machine as it left the factory."""
    return Setup(
        fork_rate_n_mm=profile.fork.spring_rate_n_mm.value,
        fork_preload_mm=profile.fork.preload_mm.value,
        shock_rate_n_mm=profile.rear.spring_rate_n_mm.value,
        shock_preload_mm=profile.rear.preload_mm.value,
    )


def with_own_springs(setup: Setup, value: Values) -> Setup:
    """The setup with the machine's own springs as they are in each lane.

    A spring that is bought and a preload that is set are what the plan says. A spring that stays
    is as stiff as it happens to be, and a unit that is not touched keeps its preload too.
    """
    stock = stock_setup(value.profile)
    changes: dict[str, Number] = {}
    for unit, section in (("fork", "fork"), ("shock", "rear")):
        rate, preload, limiter = (
            f"{unit}_{what}" for what in ("rate_n_mm", "preload_mm", "limiter_mm")
        )
        if getattr(setup, rate) != getattr(stock, rate):
            continue
        changes[rate] = value(section, "spring_rate_n_mm")
        if getattr(setup, preload) == getattr(stock, preload) and not getattr(setup, limiter):
            changes[preload] = value(section, "preload_mm")
    return replace(setup, **changes)


def built(machine: Machine, profile: MachineProfile, setup: Setup) -> Build:
    """The machine built as `setup` says: every way carried out, then the springs."""
    made = build(machine, profile, {way: setup.amount_mm(way) for way in WayId})
    sprung = made.machine.with_fork(
        rate_n_mm=np.asarray(setup.fork_rate_n_mm) * profile.fork.spring_legs,
        preload_mm=setup.fork_preload_mm,
    ).with_shock(rate_n_mm=setup.shock_rate_n_mm, preload_mm=setup.shock_preload_mm)
    return replace(made, machine=sprung)


@dataclass(frozen=True)
class Stands:
    """The three loaded states of the same lanes, solved in one call; state is the first axis."""

    machine: Machine
    rest: Rest

    ON_WHEELS, RIDER_UP, STOPPED = 0, 1, 2


def bodies(machine: Machine, carried: Loads, seat_drop_mm: Number) -> Body:
    """Sprung body on wheels, rider up and stopped, stacked on a new first axis."""
    return stacked(
        machine,
        (
            carried.on_wheels(machine.sprung),
            carried.rider_up(machine.sprung, seat_drop_mm),
            carried.stopped(machine.sprung, seat_drop_mm),
        ),
    )


def stacked(machine: Machine, each: Sequence[Body]) -> Body:
    """Sprung bodies of the machine's lanes on a new first axis."""
    shape = np.broadcast_shapes(
        *lane_shapes(machine), *(shape for body in each for shape in lane_shapes(body))
    )

    def column(name: str) -> Array:
        values = [np.asarray(getattr(body, name), dtype=float) for body in each]
        return np.stack([np.broadcast_to(value, shape) for value in values])

    return Body(column("mass_kg"), column("x_mm"), column("z_mm"))


def stand(made: Build, carried: Loads) -> Stands:
    """Solve the loaded states of a built machine: shape (3, lanes...)."""
    sprung = bodies(made.machine, carried, made.seat_drop_mm)
    return Stands(made.machine, equilibrium(made.machine, sprung))
