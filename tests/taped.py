"""Invented machines whose truth is hidden, read with a tape before and after the work.

Readings come from the true machine solved on its own: the mark where somebody put it, friction
on the side it was left on or anywhere, parts a little other than planned.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.random import Generator

from fitplanner.documents.bench import MeasuredState, Place, Reading, Settled, When
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.mechanics.equilibrium import equilibrium, hanging
from fitplanner.mechanics.geometry import Pose
from fitplanner.mechanics.machine import Machine
from fitplanner.mechanics.parked import park
from fitplanner.mechanics.reference import resolve
from fitplanner.planning.context import Context, context, stand_of
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.halt import halt
from fitplanner.planning.measured.tape import Spot
from fitplanner.planning.plan import Plan
from fitplanner.planning.resolve import Values, catalogue_figures
from fitplanner.planning.setup import Setup, built, stock_setup
from fitplanner.planning.unknown.lanes import case_of
from fitplanner.planning.ways import Build
from tests.hidden import moved

Where = tuple[Place, MeasuredState, Settled]

AXLES = (Place.FRONT_AXLE, Place.REAR_AXLE)
LOADED = (MeasuredState.ON_WHEELS, MeasuredState.RIDER_UP)
BOTH_SIDES = (Settled.PUSHED_DOWN, Settled.LIFTED)

EIGHT: tuple[Where, ...] = (
    *((Place.SEAT, state, Settled.ANYHOW) for state in LOADED),
    *(
        (axle, state, Settled.ANYHOW)
        for axle in AXLES
        for state in MeasuredState
        if state != "parked"
    ),
)
"""One reading of each."""

FULL: tuple[Where, ...] = (
    *((Place.SEAT, state, Settled.ANYHOW) for state in LOADED),
    *((axle, MeasuredState.EXTENDED, Settled.ANYHOW) for axle in AXLES),
    *((axle, state, side) for axle in AXLES for state in LOADED for side in BOTH_SIDES),
    *((Place.STAND_LEAN, MeasuredState.PARKED, Settled.ANYHOW),) * 3,
)
"""As the trade reads sags: loaded axles pushed down and lifted, and the lean three times."""


@dataclass(frozen=True)
class Taped:
    """What the planner is told, and the machine that the tape is laid on.

    `marks_mm`: place of each mark over its axle, hanging, (ahead, above).
    """

    job: Job
    plan: Plan
    profile: MachineProfile
    ctx: Context
    machine: Machine
    setups: dict[When, Setup]
    stand_mm: dict[When, float]
    marks_mm: dict[Place, tuple[float, float]]

    def made(self, when: When) -> Build:
        """The true machine before or after."""
        return built(self.machine, self.profile, self.setups[when])

    def value(self, spot: Spot, sides: tuple[float, float]) -> float:
        """The true value, friction at a share of its band at each end."""
        made = self.made(spot.when)
        machine = made.machine.with_fork(
            friction_n=sides[0] * self.profile.fork.stiction_n.value
        ).with_shock(friction_n=sides[1] * self.profile.rear.stiction_n.value)
        loads = self.ctx.carried
        if spot.place is Place.STANCHION:
            raised = float(self.setups[spot.when].raised_stanchions_mm)
            return self.profile.fork.stanchion_showing_mm.value + raised
        if spot.place is Place.STAND_LEAN:
            stand = replace(stand_of(self.profile), length_mm=self.stand_mm[spot.when])
            return float(
                np.degrees(park(machine, loads.on_wheels(machine.sprung), stand).lean.lean_rad)
            )
        if spot.state is MeasuredState.EXTENDED:
            at: Pose = hanging(made.machine).pose
        elif spot.state is MeasuredState.ON_WHEELS:
            at = equilibrium(machine, loads.on_wheels(machine.sprung)).pose
        else:
            at = equilibrium(machine, loads.rider_up(machine.sprung, made.seat_drop_mm)).pose
        if spot.place is Place.SEAT:
            seat = self.profile.catalogue.seat_height_mm.value - made.seat_drop_mm
            return float(at.height(self.profile.seat.x_mm.value, seat))
        front = spot.place is Place.FRONT_AXLE
        hung = hanging(built(self.machine, self.profile, self.setups[When.BEFORE]).machine).pose
        x, z = hung.front_axle_mm if front else hung.rear_axle_mm
        ahead, above = self.marks_mm[spot.place]
        axle = at.front_axle_mm if front else at.rear_axle_mm
        return float(at.height(x + ahead, z + above) - at.height(*axle))

    def drop_stopped_mm(self) -> float:
        """The true drop, stopped."""
        heights = [
            halt(self.made(when), Values(self.profile, {}), self.ctx.rider, self.ctx.carried)
            for when in When
        ]
        return float(heights[0].bare_seat_mm - heights[1].bare_seat_mm)

    def readings(
        self, where: Iterable[Where], chance: Generator, when: When = When.BEFORE
    ) -> list[Reading]:
        """A sheet of readings, each off by chance."""
        rows = []
        for place, state, settled in where:
            spot = Spot(when, place, state, settled)
            spread = 0.5 if place is Place.STAND_LEAN else 2.0
            sides = spot.side
            if settled is Settled.ANYHOW:
                sides = (float(chance.uniform(-1, 1)), float(chance.uniform(-1, 1)))
            value = self.value(spot, sides) + spread * chance.standard_normal()
            rows.append(
                Reading(
                    when=when, place=place, state=state, settled=settled, value=value, spread=spread
                )
            )
        return rows


def taped_machines(count: int, *, seed: int, names: Sequence[str] = ()) -> Iterator[Taped]:
    """Planned jobs with their hidden truth."""
    chance = np.random.default_rng(seed)
    library = load_library()
    profiles = [library.profiles[name] for name in names or library.profiles]
    riders = list(library.riders.values())
    for number in range(count):
        told = moved(profiles[number % len(profiles)], chance)
        rider = riders[int(chance.integers(len(riders)))]
        job = Job(rider=rider.replace(mass_kg=rider.mass_kg or 70.0), machine=told)
        yield taped(job, evaluate(job), chance)


def taped(job: Job, plan: Plan, chance: Generator) -> Taped:
    """One job's hidden truth."""
    told, profile = job.machine, moved(job.machine, chance)
    ctx = context(job.replace(machine=profile))
    machine = resolve(catalogue_figures(profile)).machine
    planned = case_of(job, plan).planned
    off: dict[str, float] = {}
    for unit, figures, before in (
        ("fork", profile.fork, told.fork),
        ("shock", profile.rear, told.rear),
    ):
        rate, preload = f"{unit}_rate_n_mm", f"{unit}_preload_mm"
        limiter = float(getattr(planned, f"{unit}_limiter_mm"))
        kept = getattr(planned, rate) == before.spring_rate_n_mm.value
        off[rate] = (
            figures.spring_rate_n_mm.value
            if kept
            else getattr(planned, rate) * (1.0 + 0.02 * chance.standard_normal())
        )
        if kept and not limiter and getattr(planned, preload) == before.preload_mm.value:
            off[preload] = figures.preload_mm.value
        else:
            off[preload] = max(getattr(planned, preload) + chance.standard_normal(), 0.0)
        off[f"{unit}_limiter_mm"] = limiter and max(limiter + chance.standard_normal(), 0.0)
    raised, lower = float(planned.raised_stanchions_mm), float(planned.lower_seat_mm)
    off["raised_stanchions_mm"] = raised and max(raised + chance.standard_normal(), 0.0)
    off["lower_seat_mm"] = lower and max(lower + 3.0 * chance.standard_normal(), 0.0)
    stand = next(check.value for check in plan.checks if check.key == "stand-length")
    return Taped(
        job=job,
        plan=plan,
        profile=profile,
        ctx=ctx,
        machine=machine,
        setups={
            When.BEFORE: stock_setup(profile),
            When.AFTER: Setup(**{**planned.__dict__, **off}),
        },
        stand_mm={
            When.BEFORE: profile.stand.length_mm.value,
            When.AFTER: stand + 2.0 * chance.standard_normal(),
        },
        marks_mm={
            axle: (float(chance.normal(0, 8)), float(chance.uniform(350, 750))) for axle in AXLES
        },
    )
