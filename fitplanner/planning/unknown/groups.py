"""How much of the bands each stage of a profile would take away, and each section within it.

Owns the shares of the variance that belong to figures still assumed or estimated, gathered by
the stage in which they would be taken. Pure, with fixed seeds. Refuses to advise.
"""

from dataclasses import dataclass

import numpy as np

from fitplanner.documents.base import Source
from fitplanner.documents.job import Job
from fitplanner.library.stages import STAGES, Stage
from fitplanner.mechanics.arrays import Array
from fitplanner.planning.plan import Plan
from fitplanner.planning.unknown.account import Address
from fitplanner.planning.unknown.figures import Unsure
from fitplanner.planning.unknown.lanes import Case, case_of, stock_case
from fitplanner.planning.unknown.outcomes import one_at_a_time, outcomes
from fitplanner.planning.unknown.sampling import latin, normal
from fitplanner.planning.unknown.sensitivity import sobol_indices

_POINTS = 192
_SEED = 81
_LEAST_SHARE = 0.005
_MISSING = (Source.ASSUMED, Source.ESTIMATED)


@dataclass(frozen=True)
class Shares:
    """Shares of a variance, 0 to 1, with all that a group does together with others.

    `footing`: of the spare under the seat (of the seat itself, stopped, where no footing is
    wanted); `on_wheels` and `rider_up`: of the seat's height.
    """

    footing: float = 0.0
    on_wheels: float = 0.0
    rider_up: float = 0.0


@dataclass(frozen=True)
class SectionShare:
    """The figures of one section that a stage would still give, and what they are to blame for."""

    section: str
    figures: tuple[Address, ...]
    shares: Shares


@dataclass(frozen=True)
class GroupShare:
    """One stage: what it would still give, what that is to blame for, largest sections first."""

    stage: Stage
    figures: tuple[Address, ...]
    shares: Shares
    sections: tuple[SectionShare, ...]


@dataclass(frozen=True)
class Missing:
    """All stages in working order; what is read (machine and rider) makes up the rest.

    `left_out` of `points` sampled machines had no pose and count nowhere.
    """

    groups: tuple[GroupShare, ...]
    points: int
    left_out: int


def missing_groups(job: Job, plan: Plan | None = None) -> Missing:
    """What the figures still assumed or estimated do to the seat, stage by stage.

    Args:
        job: rider and machine.
        plan: the plan of `job`, held while figures vary; without one the machine as it is.

    Raises:
        IncompleteError: the rider is not known well enough.
        UnsolvableError: figures within their spreads do not go together to a machine.
    """
    case = stock_case(job) if plan is None else case_of(job, plan)
    linear = one_at_a_time(case, rider_up=True)
    rows = _rows(case)
    columns = [row for row in dict.fromkeys(rows.values()) if _counts(linear, row)]
    sample, other = (
        normal(latin(_POINTS, len(case.figures), seed=_SEED + pair)) for pair in (0, 1)
    )
    found = sobol_indices(
        lambda points: outcomes(case, points, rider_up=True), sample, other, columns
    )

    def shares(stage: Stage, section: str = "") -> Shares:
        row = rows[stage.key, section]
        sampled = row in columns
        total = found.total[columns.index(row)] if sampled else linear[list(row)].sum(axis=0)
        return Shares(*(float(each) for each in np.clip(total, 0.0, 1.0)))

    def figures(stage: Stage, section: str = "") -> tuple[Address, ...]:
        return tuple(case.figures[at].address for at in rows[stage.key, section])

    groups = []
    for stage in STAGES:
        sections = [
            SectionShare(name, figures(stage, name), shares(stage, name))
            for key, name in rows
            if key == stage.key and name
        ]
        sections.sort(key=lambda each: -each.shares.rider_up)
        groups.append(GroupShare(stage, figures(stage), shares(stage), tuple(sections)))
    return Missing(tuple(groups), _POINTS, found.left_out)


def _rows(case: Case) -> dict[tuple[str, str], tuple[int, ...]]:
    """Places of the missing figures by stage and section; section "" for the whole stage."""
    places = {each.address: at for at, each in enumerate(case.figures) if _is_missing(each)}
    rows: dict[tuple[str, str], tuple[int, ...]] = {}
    for stage in STAGES:
        missing = [address for address in stage.figures if address in places]
        rows[stage.key, ""] = tuple(places[each] for each in missing)
        for name in dict.fromkeys(section for section, _ in missing):
            rows[stage.key, name] = tuple(places[each] for each in missing if each[0] == name)
    return rows


def _counts(linear: Array, row: tuple[int, ...]) -> bool:
    """Whether a group is worth lanes of its own; else its share to first order does."""
    return bool(row) and float(linear[list(row)].sum(axis=0).max()) >= _LEAST_SHARE


def _is_missing(figure: Unsure) -> bool:
    return figure.source in _MISSING and figure.address[0] != "rider"
