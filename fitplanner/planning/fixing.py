"""Fixing a plan: what the planner chose becomes set by hand, so that it stays as agreed.

Refuses to touch what is set by hand already, and ways that the planner leaves alone.
"""

from fitplanner.documents.job import Choices, Job
from fitplanner.planning.context import CHOSEN_WAYS
from fitplanner.planning.plan import Plan


def as_planned(job: Job, plan: Plan) -> Choices:
    """The choices of `job` with every amount, spring and preload as in its `plan`."""
    planned: dict[str, float] = {
        f"{way.way.value}_mm": way.amount_mm
        for way in plan.ways
        if way.way in CHOSEN_WAYS and way.offered
    }
    for end, springs in plan.springs.items():
        unit = "fork" if end == "front" else "shock"
        planned[f"{unit}_rate_n_mm"] = springs.rate_n_mm
        planned[f"{unit}_preload_mm"] = springs.preload_mm
    choices = job.choices
    return choices.replace(
        **{key: value for key, value in planned.items() if getattr(choices, key) is None}
    )
