"""Invented machines whose true figures are hidden from the planner, to see whether bands hold.

Each starts from a profile and a rider of the library, with every figure moved; that is what the
planner is told. The truth is drawn about it from the stated spreads and solved on its own, as
one machine, with the plan's setup carried out on it.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from fitplanner.body.reach import Footing
from fitplanner.documents.base import Figure, Section
from fitplanner.documents.job import Job
from fitplanner.documents.machine import LeverageTable, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.mechanics.equilibrium import equilibrium
from fitplanner.mechanics.reference import resolve
from fitplanner.planning.context import context
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.halt import halt
from fitplanner.planning.plan import Band
from fitplanner.planning.resolve import Values, catalogue_figures
from fitplanner.planning.setup import Setup, built, stock_setup
from fitplanner.planning.unknown.bands import rows
from fitplanner.planning.unknown.engine import points_of
from fitplanner.planning.unknown.lanes import case_of

FOOTINGS = (Footing.BOTH_BALLS, Footing.BOTH_BALLS, Footing.BOTH_FLAT, Footing.ONE_FOOT_FLAT)


@dataclass(frozen=True)
class Hidden:
    """What the planner says, and what is."""

    bands: dict[str, Band]
    truth: dict[str, float]

    def held(self, key: str) -> bool:
        """Whether the band holds the truth."""
        return self.bands[key].low <= self.truth[key] <= self.bands[key].high


def hidden_machines(count: int, *, seed: int, samples: int = 2000) -> Iterator[Hidden]:
    """Planned jobs with their hidden truth."""
    chance = np.random.default_rng(seed)
    library = load_library()
    profiles, riders = list(library.profiles.values()), list(library.riders.values())
    for number in range(count):
        profile = moved(profiles[number % len(profiles)], chance)
        rider = riders[int(chance.integers(len(riders)))]
        stature = (rider.stature_mm or 1680.0) + chance.uniform(-40, 40)
        leg = None if chance.random() < 0.25 else stature * chance.uniform(0.45, 0.48)
        rider = rider.replace(
            stature_mm=stature,
            inside_leg_mm=leg,
            mass_kg=(rider.mass_kg or 70.0) + chance.uniform(-8, 8),
            footing=FOOTINGS[int(chance.integers(len(FOOTINGS)))],
        )
        job = Job(rider=rider, machine=profile)
        case = case_of(job, evaluate(job))
        told = rows(case.lanes(points_of(case, samples)))
        yield Hidden(
            {row.key: row.banded().planned for row in told}
            | {f"stock {row.key}": row.banded().stock for row in told if row.stock is not None},
            delivered(job, case.planned, moved(profile, chance), true_leg_mm(job, chance)),
        )


def moved(profile: MachineProfile, chance: Generator) -> MachineProfile:
    """Every figure drawn about its value, within what is believable and buildable."""
    changes: dict[str, Section] = {}
    for name in type(profile).model_fields:
        part = getattr(profile, name)
        if not isinstance(part, Section):
            continue
        moved = {}
        for spec in part.specs():
            figure = getattr(part, spec.key)
            if isinstance(figure, Figure) and figure.spread > 0:
                value = figure.value + figure.spread * chance.standard_normal()
                moved[spec.key] = figure.replace(value=float(np.clip(value, spec.low, spec.high)))
        linkage = part.linkage if name == "rear" else None
        if isinstance(linkage, LeverageTable):
            moved["linkage"] = _longer(linkage)
        changes[name] = part.replace(**moved)
    return profile.replace(**changes)


def _longer(table: LeverageTable) -> LeverageTable:
    """A further row in line with the last two, so that more travel than stated is covered."""
    y, leverage = table.wheel_travel_mm, table.leverage
    further = y[-1] + 25.0
    slope = (leverage[-1] - leverage[-2]) / (y[-1] - y[-2])
    return table.replace(
        wheel_travel_mm=[*y, further], leverage=[*leverage, leverage[-1] + 25.0 * slope]
    )


def true_leg_mm(job: Job, chance: Generator) -> float:
    """An inside leg that the job's may stand for."""
    rider = context(job).rider
    return float(rider.inside_leg_mm + rider.inside_leg_sd_mm * chance.standard_normal())


def delivered(
    job: Job, planned: Setup, profile: MachineProfile, inside_leg_mm: float
) -> dict[str, float]:
    """What comes of a job's plan on the machine and the rider that are really there."""
    told = job.machine
    rider = job.rider.replace(inside_leg_mm=inside_leg_mm)
    ctx = context(job.replace(machine=profile, rider=rider))
    machine = resolve(catalogue_figures(profile)).machine
    own = {}
    for unit, figures, before in (
        ("fork", profile.fork, told.fork),
        ("shock", profile.rear, told.rear),
    ):
        kept = getattr(planned, f"{unit}_rate_n_mm") == before.spring_rate_n_mm.value
        untouched = getattr(planned, f"{unit}_preload_mm") == before.preload_mm.value
        if kept:
            own[f"{unit}_rate_n_mm"] = figures.spring_rate_n_mm.value
        if kept and untouched and not getattr(planned, f"{unit}_limiter_mm"):
            own[f"{unit}_preload_mm"] = figures.preload_mm.value
    setups = {"stock ": stock_setup(profile), "": Setup(**{**planned.__dict__, **own})}
    found: dict[str, float] = {}
    for name, setup in setups.items():
        made = built(machine, profile, setup)
        lanes, sprung = made.machine, made.machine.sprung
        wheels = equilibrium(lanes, ctx.carried.on_wheels(sprung)).pose
        up = equilibrium(lanes, ctx.carried.rider_up(sprung, made.seat_drop_mm)).pose
        stopped = halt(made, Values(profile, {}), ctx.rider, ctx.carried)
        seat = profile.seat.x_mm.value, profile.catalogue.seat_height_mm.value - made.seat_drop_mm
        low = profile.controls.low_point_x_mm.value, profile.catalogue.ground_clearance_mm.value
        low_x, _, low_y, _ = lanes.limits
        figures_of = {
            "spare": stopped.need_mm - stopped.seat_mm,
            "seat_on_wheels": wheels.height(*seat),
            "seat_rider_up": up.height(*seat),
            "seat_stopped": stopped.bare_seat_mm,
            "free_sag_front": wheels.fork_compression_mm - low_x,
            "rider_sag_front": up.fork_compression_mm - low_x,
            "free_sag_rear": wheels.rear_compression_mm - low_y,
            "rider_sag_rear": up.rear_compression_mm - low_y,
            "trail": up.trail_mm,
            "clearance": wheels.height(*low),
        }
        found |= {f"{name}{key}": float(value) for key, value in figures_of.items()}
    found["drop_needed"] = max(-found["stock spare"], 0.0)
    found["drop_stopped"] = found["stock seat_stopped"] - found["seat_stopped"]
    found["drop_on_wheels"] = found["stock seat_on_wheels"] - found["seat_on_wheels"]
    return found
