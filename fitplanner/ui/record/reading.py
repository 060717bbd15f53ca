"""Owns the working through of closed jobs on a thread of its own, with progress and cancel.

Jobs come from a callable that may be slow. What was worked through once is kept by its job, so that
opening the window again costs little. Refuses to show anything.
"""

import logging
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from PySide6.QtCore import QObject

from fitplanner.documents.job import Job
from fitplanner.planning.measured.history import Past, PastJob, counts, past, past_job
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.planning.rider import IncompleteError
from fitplanner.ui.runs import Runs, Stopped, Tell

log = logging.getLogger(__name__)

Jobs = Callable[[], Iterable[Job]]


@dataclass(frozen=True)
class Progress:
    """How many jobs were looked through, and how many of them count."""

    seen: int
    counted: int


@dataclass(frozen=True)
class Answer:
    """The record; `left_out` are sentences on jobs that could not be worked through.

    `problem` says why the jobs could not be read, in words; `cancelled` that not all were.
    """

    past: Past
    left_out: tuple[str, ...] = ()
    problem: str = ""
    cancelled: bool = False


class Reader(Runs):
    """Works the jobs through, one run at a time; news are a `Progress`, answers an `Answer`."""

    def __init__(
        self,
        jobs: Jobs,
        work: Callable[[Job], PastJob | None] = past_job,
        parent: QObject | None = None,
    ) -> None:
        super().__init__("record", parent)
        self._jobs, self._work = jobs, work
        self._kept: list[tuple[Job, PastJob | None]] = []

    def read(self) -> None:
        """Begin anew; a run before ends without an answer."""
        self.begin(self._answer)

    def _answer(self, tell: Tell, stopped: Stopped) -> Answer:
        found: list[PastJob] = []
        left_out: list[str] = []
        problem, seen = "", 0
        try:
            for job in self._jobs():
                if stopped():
                    break
                seen += 1
                if counts(job):
                    self._add(job, found, left_out)
                tell(Progress(seen, len(found)))
        except Exception as error:
            log.info("the jobs could not be read: %s", error)
            problem = str(error) or type(error).__name__
        return Answer(past(found), tuple(left_out), problem, stopped())

    def _add(self, job: Job, found: list[PastJob], left_out: list[str]) -> None:
        name = job.reference or job.title or job.rider.name
        try:
            one = self._worked(job)
        except (IncompleteError, UnsolvableError) as error:
            left_out.append(f"{name}: {error}")
            return
        except Exception as error:
            log.exception("a closed job could not be worked through")
            left_out.append(f"{name}: {type(error).__name__}: {error}")
            return
        if one is None:
            left_out.append(f"{name}: the seat was not read on its wheels, before and after.")
        else:
            found.append(one)

    def _worked(self, job: Job) -> PastJob | None:
        for kept, one in self._kept:
            if kept == job:
                return one
        one = self._work(job)
        self._kept.append((job, one))
        return one
