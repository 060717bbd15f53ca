"""Limits of what the machine carries: payload, springs, sag windows, front load.

Owns these limits with their reasons and where each comes from. Refuses to compute values.
"""

from collections.abc import Iterator, Mapping

import numpy as np

from fitplanner.documents.machine import MachineKind
from fitplanner.planning.checks.limit import ASSUMED, PRACTICE, Limit, source_of
from fitplanner.planning.plan import (
    Basis,
    End,
    Severity,
    SpringPlan,
    StatePair,
)
from fitplanner.planning.work import ON_WHEELS, PLANNED, RIDER_UP, Work
from fitplanner.quantities import Kind

_L = Kind.LENGTH

LEAST_FRONT_LOAD_SHARE = 0.25
LEAST_BUMP_SHARE = 0.4
"""Share of the travel that has to be left to bump with the rider up: assumption."""


MOST_CHILD_KG = 45.0
"""Body mass past which a rider is no child for a child's machine: assumption."""


def too_heavy_for_a_child(kind: MachineKind, mass_kg: float) -> bool:
    """Whether a machine is built for a child and this rider is none."""
    return kind is MachineKind.CHILD and mass_kg > MOST_CHILD_KG


def carrying(work: Work, states: StatePair) -> Iterator[Limit]:
    """Payload, springs that carry, free sag at all, weight on the front wheel."""
    profile, choices = work.ctx.profile, work.ctx.job.choices
    carried = work.ctx.rider.total_kg + choices.luggage_front_kg + choices.luggage_rear_kg
    yield Limit(
        "payload",
        "Rider and luggage",
        carried,
        Kind.MASS,
        "The maker's plate decides; frame, brakes and tyres are built for it",
        Severity.STOP,
        *source_of(profile.masses.payload_kg),
        most=profile.masses.payload_kg.value,
    )
    if profile.kind is MachineKind.CHILD:
        yield Limit(
            "child",
            "Rider on a child's machine",
            work.ctx.rider.mass_kg,
            Kind.MASS,
            "Body mass; frame, brakes and controls are sized for a child",
            Severity.CAUTION,
            Basis.ASSUMPTION,
            ASSUMED,
            most=MOST_CHILD_KG,
        )
    rest = work.lanes.rest
    low_x, high_x, low_y, high_y = work.limits[PLANNED]
    at = rest.pose
    for end, state_mm, low, high in (
        ("Fork", at.fork_compression_mm[:, PLANNED], low_x, high_x),
        ("Rear", at.rear_compression_mm[:, PLANNED], low_y, high_y),
    ):
        yield Limit(
            f"{end.lower()}-carries",
            f"Travel left to bump, {end.lower()}",
            float(high - state_mm[RIDER_UP]),
            _L,
            "With the rider up; deeper in its travel the unit works against its stop",
            Severity.STOP,
            Basis.ASSUMPTION,
            "equilibrium",
            least=LEAST_BUMP_SHARE * (high - low),
        )
        yield Limit(
            f"{end.lower()}-free",
            f"Free sag on its wheels, {end.lower()}",
            float(state_mm[ON_WHEELS] - low),
            _L,
            "Without free sag the wheel cannot follow a hollow and the unit knocks at its stop",
            Severity.CAUTION,
            Basis.PRACTICE,
            PRACTICE,
            least=1.0,
        )
    total = states.planned.rider_up.front_load_n + states.planned.rider_up.rear_load_n
    yield Limit(
        "front-load",
        "Weight on the front wheel, rider up",
        states.planned.rider_up.front_load_n / total,
        Kind.PERCENT,
        "Too little makes the steering vague; luggage belongs forward",
        Severity.CAUTION,
        Basis.ASSUMPTION,
        ASSUMED,
        least=LEAST_FRONT_LOAD_SHARE,
    )
    solved = bool(np.all(rest.converged)) and bool(np.all(work.halts[PLANNED].rest.converged))
    if not solved:
        yield Limit(
            "solved",
            "States of rest found",
            0.0,
            Kind.PERCENT,
            "Springs and loads have no state of rest: look for a figure with a wrong unit",
            Severity.STOP,
            Basis.ASSUMPTION,
            "equilibrium",
            least=1.0,
        )


def sags(springs: Mapping[End, SpringPlan]) -> Iterator[Limit]:
    """Sags against the windows of the riding style."""
    for end, plan in springs.items():
        name = "Fork" if end == "front" else "Rear"
        for word, value, (low, high) in (
            ("rider sag", plan.sag.rider_mm, plan.rider_window_mm),
            ("free sag", plan.sag.free_mm, plan.free_window_mm),
        ):
            yield Limit(
                f"{name.lower()}-{word.replace(' ', '-')}",
                f"{name} {word}",
                value,
                _L,
                plan.yields,
                Severity.CAUTION if word == "rider sag" else Severity.NOTE,
                Basis.PRACTICE,
                f"{PRACTICE}; window of the riding style on the remaining travel",
                least=low - 0.05,
                most=high + 0.05,
            )
