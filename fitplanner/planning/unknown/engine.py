"""The account of what is not known, from a job and its plan.

Owns the sampling of 2,000 possible machines and riders, drawn from the spreads of all figures
with the plan's setup held. Pure, with fixed seeds: the same job and plan give the same account.
Refuses to change the plan.
"""

from collections.abc import Mapping

import numpy as np

from fitplanner.documents.job import Job
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.plan import Check, Plan
from fitplanner.planning.unknown.account import Chance, Unknown
from fitplanner.planning.unknown.bands import band, rows
from fitplanner.planning.unknown.figures import assumed_figures
from fitplanner.planning.unknown.lanes import Case, case_of
from fitplanner.planning.unknown.margins import margins
from fitplanner.planning.unknown.sampling import latin, normal
from fitplanner.planning.unknown.worth import (
    half_band,
    half_with_all_mm,
    measure_next,
    variance_shares,
)

SAMPLES = 2000
_SEED = 70
_EXACT = 1e-6
_UNMOVED = ("front-gap", "rear-gap", "fork-preload", "shock-preload", "experience")


def unknown(job: Job, plan: Plan, *, samples: int = SAMPLES) -> Unknown:
    """What is not known of `plan`, which is the plan of `job`.

    Raises:
        IncompleteError: the rider is not known well enough.
        UnsolvableError: figures within their spreads do not go together to a machine.
    """
    case = case_of(job, plan)
    points = points_of(case, samples)
    lanes = case.lanes(points)
    # Wide spreads draw some machines that no pose carries; they are counted, not told.
    kept = lanes.rests | (np.arange(len(points)) == 0)
    if not np.all(kept):
        points = points[kept]
        lanes = case.lanes(points)
    told = rows(lanes)
    footing = lanes.footing_mm[1:]
    shares = variance_shares(case)
    readings = {row.key: (row.stock[1:], band(row.stock)) for row in told if row.stock is not None}
    acts = measure_next(case, points[1:], footing, shares, readings)
    return Unknown(
        samples=samples,
        left_out=int(np.sum(~kept)),
        unsure=len(case.figures),
        bands=tuple(row.banded() for row in told),
        chances=_chances(plan, {key: lanes.full(each) for key, each in margins(lanes).items()}),
        shares=shares,
        measure_next=acts,
        assumed=assumed_figures(case.ctx.profile),
        footing_half_mm=half_band(footing),
        half_with_all_mm=half_with_all_mm(case, points[1:], acts),
    )


def points_of(case: Case, samples: int = SAMPLES) -> Array:
    """Standard normal points of the case's figures; the first is the plan itself."""
    drawn = normal(latin(samples, len(case.figures), seed=_SEED))
    return np.concatenate([np.zeros((1, len(case.figures))), drawn])


def _chances(plan: Plan, found: Mapping[str, Array]) -> tuple[Chance, ...]:
    return tuple(_chance(check, found.get(check.key)) for check in plan.checks)


def _chance(check: Check, margin: Array | None) -> Chance:
    chance, certain = None, False
    if margin is not None:
        chance = float(np.mean(margin[1:] >= -_EXACT))
        certain = bool(np.ptp(margin) < _EXACT)
    elif check.key in _UNMOVED or check.key.endswith(("-offered", "-fits")):
        chance, certain = float(check.holds), True
    return Chance(check.key, check.title, check.severity, check.holds, chance, certain)
