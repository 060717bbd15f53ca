"""One plan on many possible machines: the plan's setup held, every uncertain figure sampled.

Owns the step from standard normal points to solved machines. Refuses to sum them up.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from fitplanner.documents.job import Job
from fitplanner.mechanics.arrays import Array, Number
from fitplanner.mechanics.equilibrium import Rest, equilibrium
from fitplanner.mechanics.machine import Body, Machine
from fitplanner.mechanics.reference import resolve
from fitplanner.planning.context import Context, context
from fitplanner.planning.halt import Stop, need_seat_mm, stop
from fitplanner.planning.loads import Loads, load_body
from fitplanner.planning.plan import Plan
from fitplanner.planning.resolve import Values, catalogue_figures
from fitplanner.planning.setup import Setup, built, stock_setup, with_own_springs
from fitplanner.planning.unknown.account import Address
from fitplanner.planning.unknown.figures import (
    INSIDE_LEG,
    Unsure,
    sampled,
    unsure_figures,
)
from fitplanner.planning.ways import Build


@dataclass(frozen=True)
class Case:
    """A job with its plan's setup, and the figures of it that are uncertain."""

    ctx: Context
    stock: Setup
    planned: Setup
    figures: tuple[Unsure, ...]

    def lanes(self, normal: Array, figures: Sequence[Unsure] | None = None) -> "Lanes":
        """The case at standard normal points (lanes, figures); other spreads may be given."""
        figures = self.figures if figures is None else figures
        return Lanes(self, len(normal), sampled(figures, normal, self.ctx.profile))


def case_of(job: Job, plan: Plan) -> Case:
    """The case of a job and its plan.

    Raises:
        IncompleteError: the rider is not known well enough.
        UnsolvableError: no machine can be built from the profile.
    """
    ctx = context(job)
    front, rear = plan.springs["front"], plan.springs["rear"]
    planned = Setup(
        fork_rate_n_mm=front.rate_n_mm,
        fork_preload_mm=front.preload_mm,
        shock_rate_n_mm=rear.rate_n_mm,
        shock_preload_mm=rear.preload_mm,
        **{f"{each.way.value}_mm": each.amount_mm for each in plan.ways},
    )
    return Case(ctx, stock_setup(ctx.profile), planned, unsure_figures(ctx))


def stock_case(job: Job) -> Case:
    """The case of a job whose machine stays as it is; raises as `case_of` does."""
    ctx = context(job)
    stock = stock_setup(ctx.profile)
    return Case(ctx, stock, stock, unsure_figures(ctx))


@dataclass(frozen=True)
class Lanes:
    """Possible machines and riders; each is solved when it is first asked for."""

    case: Case
    count: int
    figures: dict[Address, Array]

    def full(self, values: Number) -> Array:
        """A value for each lane, also where nothing uncertain moves it."""
        return np.broadcast_to(np.asarray(values, dtype=float), (self.count,))

    @cached_property
    def value(self) -> Values:
        """The profile's figures in lanes."""
        return Values(self.case.ctx.profile, self.figures)

    @property
    def inside_leg_mm(self) -> Number:
        """The rider's inside leg in lanes."""
        own = self.case.ctx.rider.inside_leg_mm
        return self.figures.get(INSIDE_LEG, own)

    @cached_property
    def machine(self) -> Machine:
        """The stock machine in lanes."""
        figures = {key: row for key, row in self.figures.items() if key != INSIDE_LEG}
        return resolve(catalogue_figures(self.case.ctx.profile, figures)).machine

    @cached_property
    def carried(self) -> Loads:
        """Fuel, luggage, rider and feet; rider and feet go with the seat."""
        ctx, value = self.case.ctx, self.value
        seat, rider = ctx.profile.seat, ctx.carried.rider
        x, z = value("seat", "x_mm"), value("catalogue", "seat_height_mm")
        return Loads(
            load=load_body(value, ctx.job.choices),
            rider=Body(
                rider.mass_kg,
                x + (rider.x_mm - seat.x_mm.value),
                z + (rider.z_mm - ctx.profile.catalogue.seat_height_mm.value),
            ),
            feet=Body(ctx.carried.feet.mass_kg, x + value("controls", "feet_ahead_mm"), z),
        )

    @property
    def footing_mm(self) -> Array:
        """What the footing hangs on: spare under the planned seat; where none is wanted, that seat.

        The seat counts negative, as it does in the spare.
        """
        spare = self.planned.spare_mm
        hangs_on = spare if np.all(np.isfinite(spare)) else -self.planned.stopped.bare_seat_mm
        return self.full(hangs_on)

    @cached_property
    def rests(self) -> NDArray[np.bool_]:
        """Where the machine comes to rest in every state, before and after."""
        found = [
            state.converged & np.isfinite(state.pose.pitch[0])
            for each in (self.stock, self.planned)
            for state in (each.on_wheels, each.rider_up)
        ]
        all_of: NDArray[np.bool_] = np.logical_and.reduce(
            np.broadcast_arrays(self.full(1.0) > 0, *found)
        )
        return all_of

    @cached_property
    def stock(self) -> "Standing":
        """The machine as it is."""
        return Standing(self, self.case.stock)

    @cached_property
    def planned(self) -> "Standing":
        """The machine as planned."""
        return Standing(self, self.case.planned)


@dataclass(frozen=True)
class Standing:
    """One build in all lanes with its loaded states; heights in mm."""

    lanes: Lanes
    setup: Setup

    @cached_property
    def made(self) -> Build:
        """The build; the width of a lower seat that is sold does not vary with the stock one's."""
        value, lanes = self.lanes.value, self.lanes
        made = built(lanes.machine, value.profile, with_own_springs(self.setup, value))
        if not self.setup.lower_seat_mm or value.profile.seat.lower_seat_width_mm is None:
            return made
        change = np.asarray(value("seat", "width_mm")) - value("seat", "lower_seat_width_mm")
        return replace(made, seat_narrower_mm=change + self.setup.narrower_seat_mm)

    @property
    def machine(self) -> Machine:
        """The built machine."""
        return self.made.machine

    @cached_property
    def on_wheels(self) -> Rest:
        """No rider."""
        return equilibrium(self.machine, self.lanes.carried.on_wheels(self.machine.sprung))

    @cached_property
    def rider_up(self) -> Rest:
        """Rider seated, feet on the pegs."""
        up = self.lanes.carried.rider_up(self.machine.sprung, self.made.seat_drop_mm)
        return equilibrium(self.machine, up)

    @cached_property
    def stopped(self) -> Stop:
        """At a halt."""
        lanes = self.lanes
        rider = lanes.case.ctx.rider
        return stop(self.made, lanes.value, rider, lanes.carried, lanes.inside_leg_mm)

    @cached_property
    def need_mm(self) -> Array:
        """Highest seat under the rider that gives the wanted footing."""
        rider = self.lanes.case.ctx.rider
        return need_seat_mm(rider, self.stopped.seat, self.made.sole_mm, self.lanes.inside_leg_mm)

    @property
    def spare_mm(self) -> Array:
        """How far the seat under the rider may still rise; negative where it is too high."""
        return self.need_mm - self.stopped.seat_mm

    def seat_mm(self, rest: Rest) -> Array:
        """Height of the seat, unloaded foam, in a state."""
        value = self.lanes.value
        top = np.asarray(value("catalogue", "seat_height_mm")) - self.made.seat_drop_mm
        return rest.pose.height(value("seat", "x_mm"), top)

    def sag_mm(self, rest: Rest) -> tuple[Array, Array]:
        """Front along the fork and rear at the wheel, from the new full extension."""
        low_x, _, low_y, _ = self.machine.limits
        return rest.pose.fork_compression_mm - low_x, rest.pose.rear_compression_mm - low_y
