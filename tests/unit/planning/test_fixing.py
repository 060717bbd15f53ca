"""A fixed plan is the same plan, and nothing of it is left to the planner."""

import pytest

from fitplanner.documents.job import Choices
from fitplanner.library.loader import load_library
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.fixing import as_planned
from tests import factories


@pytest.mark.parametrize("machine", [None, "hallowmoor-900", "thimble-65", "skarnhall-450"])
def test_the_fixed_plan_is_the_plan(machine: str | None) -> None:
    job = factories.job()
    if machine is not None:
        job = job.replace(machine=load_library().profiles[machine])
    plan = evaluate(job)
    choices = as_planned(job, plan)
    fixed = job.replace(choices=choices)
    again = evaluate(fixed)
    assert [(way.way, way.amount_mm) for way in again.ways] == [
        (way.way, way.amount_mm) for way in plan.ways
    ]
    for end, springs in plan.springs.items():
        assert again.springs[end].rate_n_mm == springs.rate_n_mm
        assert again.springs[end].preload_mm == springs.preload_mm
    assert again.states == plan.states
    assert as_planned(fixed, again) == choices


def test_what_is_set_by_hand_stays() -> None:
    by_hand = Choices(fork_limiter_mm=12.0, shock_rate_n_mm=48.0, thicker_sole_mm=10.0)
    job = factories.job().replace(choices=by_hand)
    choices = as_planned(job, evaluate(job))
    assert (choices.fork_limiter_mm, choices.shock_rate_n_mm) == (12.0, 48.0)
    assert choices.thicker_sole_mm == 10.0 and choices.shock_limiter_mm is not None
    # A way that the planner never takes by itself is left alone.
    assert choices.shorter_shock_mm is None
