"""Ranking anew what a search has found, when only the customer's priorities change.

Owns the step from a front to proposals. Refuses to search: the front does not depend on
priorities.
"""

from dataclasses import replace

import numpy as np

from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.plan import WayId
from fitplanner.planning.search import pick
from fitplanner.planning.search.options import (
    Found,
    Front,
    Measure,
    Measures,
    Option,
    Priorities,
)

FIELDS = {
    Measure.FOOTING: "footing_mm",
    Measure.TRAVEL: "travel",
    Measure.RESERVE: "reserve",
    Measure.STEERING: "steering_mm",
    Measure.SAG: "sag_miss",
    Measure.CLEARANCE: "clearance_mm",
    Measure.LEGROOM: "knee_deg",
    Measure.COST: "cost",
    Measure.HOURS: "hours",
    Measure.UNDO: "undo",
}
"""The field of `Measures` that holds each measure."""


def ranked(found: Found, machine: MachineProfile, priorities: Priorities) -> Found:
    """`found` with the proposals that these priorities ask for; `machine` is the one searched."""
    front = found.front
    if not front.choices:
        return found
    stock = (machine.fork.spring_rate_n_mm.value, machine.rear.spring_rate_n_mm.value)
    table = pick.Table(
        better=front.measures,
        amounts={
            way: np.array(
                [getattr(each, f"{way.value}_mm") or 0.0 for each in front.choices], dtype=float
            )
            for way in WayId
        },
        springs_changed=np.array(
            [(each.fork_rate_n_mm, each.shock_rate_n_mm) != stock for each in front.choices],
            dtype=bool,
        ),
    )
    score = pick.scores(table, priorities)
    return replace(
        found,
        options=tuple(
            option_at(front, row, reason=reason, score=float(score[row]))
            for row, reason in pick.picked(table, score)
        ),
    )


def option_at(front: Front, row: int, *, reason: str = "", score: float = 0.0) -> Option:
    """The option behind one point of a front."""
    choices = front.choices[row]
    amounts = ((way.value, getattr(choices, f"{way.value}_mm")) for way in WayId)
    return Option(
        reason=reason,
        ways=tuple((way, float(amount)) for way, amount in amounts if amount),
        measures=Measures(
            **{FIELDS[measure]: float(values[row]) for measure, values in front.shown.items()}
        ),
        choices=choices,
        score=score,
        new_stand=bool(front.new_stand[row]) if len(front.new_stand) else False,
    )
