"""The bench sheet's steps of one job, in working order.

Owns the order, where the plan's cautions stand, and what the job's readings and ticks add.
Refuses words of its own. Pure: the same job and plan give the same steps.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from fitplanner.documents.bench import Reading, Tick
from fitplanner.documents.job import Job
from fitplanner.planning.bench.around import (
    after_steps,
    before_steps,
    ground_steps,
    seat_steps,
    tyre_steps,
)
from fitplanner.planning.bench.bench import Bench
from fitplanner.planning.bench.front import fork_steps
from fitplanner.planning.bench.rear import shock_steps
from fitplanner.planning.bench.step import Blank, Step
from fitplanner.planning.plan import Caution, Plan

_PLACES: dict[str, tuple[tuple[str, ...], ...]] = {
    "Lifting": (("lift",),),
    "Fork": (("fork-open",), ("fork-limiter", "fork-open"), ("fork-out",)),
    "Shock": (("shock-out",),),
    "Clamps": (("lock-to-lock",),),
    "Side-stand": (("stand",),),
    "Test ride": (("clear-front", "clear-rear", "ride"), ("ride",)),
    "Tightening": (("tight",),),
    "Rules": (("ride",),),
}
"""For the first, second and further cautions of a name: the steps where each may stand."""


def steps(job: Job, plan: Plan) -> tuple[Step, ...]:
    """The steps for what the plan really does, both ends, each with the cautions of its place.

    Every caution of the plan stands at exactly one step; one that no step asks for stands first.
    """
    bench = Bench(job, plan)
    found = [
        *before_steps(bench),
        *tyre_steps(bench),
        *fork_steps(bench),
        *shock_steps(bench),
        *seat_steps(bench),
        *ground_steps(bench),
        *after_steps(bench),
    ]
    told = _placed(plan.cautions, [step.key for step in found])
    ticks = {tick.step: tick for tick in job.ticks}
    made = []
    for step in found:
        tick = ticks.get(step.key, Tick(step=step.key, done=False))
        changed = tick.done and tick.said != "" and step.differs(tick.said)
        made.append(
            replace(
                step,
                cautions=tuple(told.get(step.key, ())),
                blanks=_filled(step.blanks, job.readings),
                done=tick.done,
                noted=tick.noted,
                was=tick.said if changed else "",
            )
        )
    return tuple(made)


def no_longer(job: Job, found: Sequence[Step]) -> tuple[str, ...]:
    """What was ticked as done and is no step of the plan any more, as it was said then."""
    keys = {step.key for step in found}
    return tuple(
        tick.said for tick in job.ticks if tick.done and tick.said and tick.step not in keys
    )


def _placed(cautions: Sequence[Caution], keys: Sequence[str]) -> dict[str, list[Caution]]:
    seen: Counter[str] = Counter()
    at: dict[str, list[Caution]] = {}
    for caution in cautions:
        places = _PLACES.get(caution.step, ())
        wanted = places[min(seen[caution.step], len(places) - 1)] if places else ()
        seen[caution.step] += 1
        key = next((each for each in wanted if each in keys), keys[0])
        at.setdefault(key, []).append(caution)
    return at


def _filled(blanks: Sequence[Blank], readings: Sequence[Reading]) -> tuple[Blank, ...]:
    """Blanks with what the job's readings have: one by one, or their mean where one is asked."""
    asked = Counter((blank.place, blank.state, blank.when) for blank in blanks)
    used: Counter[object] = Counter()
    made = []
    for blank in blanks:
        key = (blank.place, blank.state, blank.when)
        values = [
            each.value
            for each in readings
            if not each.set_aside and (each.place, each.state, each.when) == key
        ]
        if asked[key] > 1:
            values = values[used[key] : used[key] + 1]
            used[key] += 1
        mean = sum(values) / len(values) if blank.place is not None and values else None
        made.append(replace(blank, value=mean))
    return tuple(made)
