"""An answer of the search built by hand, and a search that waits for its test.

The figures are invented; each option has what makes it stand out: the first keeps the travel,
the second is the cheapest, the third leaves the shock closed.
"""

import threading
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.search.options import (
    Excluded,
    Found,
    Front,
    Measure,
    Measures,
    Option,
    Priorities,
    Relaxation,
)
from fitplanner.planning.search.ranking import FIELDS

PATIENCE_S = 20.0
LESS_IS_BETTER = (Measure.STEERING, Measure.COST, Measure.HOURS)


def choices(job: Job, **amounts: float) -> Choices:
    """Everything fixed: stock springs, and no way but `amounts`."""
    fork, rear = job.machine.fork, job.machine.rear
    nothing = {spec.key: 0.0 for spec in Choices.specs() if spec.optional}
    springs = {
        "fork_rate_n_mm": fork.spring_rate_n_mm.value,
        "fork_preload_mm": fork.preload_mm.value,
        "shock_rate_n_mm": rear.spring_rate_n_mm.value,
        "shock_preload_mm": rear.preload_mm.value,
    }
    return job.choices.replace(**{**nothing, **springs, **amounts})


def options(job: Job) -> tuple[Option, ...]:
    """Three that really differ."""
    rows = (
        ("keeps the most travel", {"lower_seat_mm": 25.0, "raised_stanchions_mm": 6.0},
         Measures(2.0, 1.0, 0.98, 1.5, 0.0, 330.0, 76.0, 245.0, 1.25, 1.0)),
        ("cheapest", {"fork_limiter_mm": 20.0, "shock_limiter_mm": 8.0},
         Measures(4.0, 0.90, 0.72, 0.8, 0.0, 305.0, 80.5, 180.5, 3.0, 1.0)),
        ("no work inside the shock", {"fork_limiter_mm": 25.0, "lower_seat_mm": 25.0,
                                      "fork_rate_n_mm": 8.2, "fork_preload_mm": 10.0},
         Measures(6.0, 0.92, 0.80, 4.0, 0.0, 318.0, 76.0, 412.0, 4.5, 0.75)),
    )  # fmt: skip
    return tuple(
        Option(reason, tuple(ways.items()), measures, choices(job, **ways), 1.0 - 0.1 * number)
        for number, (reason, ways, measures) in enumerate(rows)
    )


def front(job: Job) -> Front:
    """The three options and nine more that no other beats."""
    points = list(options(job))
    for step in range(9):
        of = points[0].measures
        points.append(
            Option(
                "", (),
                replace(of, travel=0.80 + 0.01 * step, cost=100.0 + 8.0 * step, footing_mm=9.0),
                choices(job, shock_limiter_mm=10.0 + step), 0.1,
            )
        )  # fmt: skip
    shown = {
        measure: np.array([getattr(each.measures, FIELDS[measure]) for each in points])
        for measure in Measure
    }
    turned = {m: -v if m in LESS_IS_BETTER else v for m, v in shown.items()}
    return Front(turned, shown, tuple(each.choices for each in points))


def found(job: Job, **changes: object) -> Found:
    """What the search found, with whole fields replaced."""
    whole = Found(
        candidates=41_200,
        evaluated=40_000,
        pruned=1_200,
        fitting=3_420,
        excluded=(
            Excluded("front_gap_mm", "the full-bump gap at the front", 17),
            Excluded("rear_gap_mm", "the full-bump gap at the rear", 4_120),
        ),
        options=options(job),
        front=front(job),
    )
    return replace(whole, **changes)  # type: ignore[arg-type]


def nothing_fits(job: Job) -> Found:
    """No option stays within all limits; two limits would have to give."""
    first, second, _ = options(job)
    return found(
        job,
        fitting=0,
        options=(),
        front=Front({m: np.zeros(0) for m in Measure}, {m: np.zeros(0) for m in Measure}),
        relaxations=(
            Relaxation("rear_gap_mm", "the full-bump gap at the rear", 4.0, "mm", first),
            Relaxation("rear_bump", "travel left to bump at the rear", 0.03, "share", second),
        ),
    )


@dataclass
class Asked:
    """One question as the search got it, and the way to answer it."""

    job: Job
    priorities: Priorities
    rates: Rates
    tell: Callable[[float, Found | None], None]
    cancelled: Callable[[], bool]
    answer: Found | Exception | None = None
    may_end: threading.Event = field(default_factory=threading.Event)

    def end(self, answer: Found | Exception) -> None:
        """Let the search return `answer`."""
        self.answer = answer
        self.may_end.set()


class FakeSearch:
    """Answers at once with `answer`, or, where that is None, when its test says so."""

    def __init__(self, answer: Callable[[Job], Found] | None = None) -> None:
        self.answer = answer
        self.asked: list[Asked] = []

    def __call__(
        self,
        job: Job,
        priorities: Priorities,
        *,
        rates: Rates,
        progress: Callable[[float, Found | None], None] | None = None,
        cancelled: Callable[[], bool] | None = None,
    ) -> Found:
        assert progress is not None and cancelled is not None
        asked = Asked(job, priorities, rates, progress, cancelled)
        self.asked.append(asked)
        if self.answer is not None:
            return self.answer(job)
        if not asked.may_end.wait(PATIENCE_S):
            raise TimeoutError("the test never answered")
        if isinstance(asked.answer, Exception):
            raise asked.answer
        assert asked.answer is not None
        return asked.answer
