"""Jobs with their steps and their order, and figures found in them by label."""

from typing import Any

from fitplanner.documents.job import Job
from fitplanner.planning.bench import Quantity, Step, order, steps
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan
from fitplanner.report.compare import stock_choices
from tests import factories

LIMITERS = {"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0}
NOTHING = stock_choices(factories.job()).model_dump()


def only(**choices: float) -> Job:
    """The stock machine but for these."""
    return factories.job(choices={**NOTHING, **choices})


EVERYTHING = only(
    **LIMITERS,
    raised_stanchions_mm=5.0,
    lower_seat_mm=25.0,
    narrower_seat_mm=10.0,
    smaller_tyres_mm=5.0,
    thicker_sole_mm=10.0,
    fork_rate_n_mm=7.0,
    fork_preload_mm=12.0,
    shock_rate_n_mm=50.0,
    shock_preload_mm=9.0,
)


def worked(job: Job) -> tuple[Plan, dict[str, Step]]:
    plan = evaluate(job)
    found = steps(job, plan)
    by_key = {step.key: step for step in found}
    assert len(by_key) == len(found), "keys are told apart"
    return plan, by_key


def told(step: Step, label: str) -> Quantity:
    (found,) = [each for each in step.quantities if each.label.startswith(label)]
    return found


def row(plan: Plan, label: str) -> Any:
    (found,) = [each for each in plan.consequences if each.label.startswith(label)]
    return found


def ordered(job: Job, plan: Plan) -> dict[str, float]:
    made = order(job, plan)
    assert made is not None
    return {each.label: each.value for group in made.groups for each in group.quantities}
