"""Owns the work that would make the window wait: planning, and keeping files on the disk.

Each runs on a thread of its own, while Python tidies up on the window's thread only. The newest
question wins: an answer that comes while a newer question waits is dropped. Refuses to show
anything; listeners are called in the window's thread.
"""

import gc
import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from PySide6.QtCore import QObject, QTimer, Signal

from fitplanner.documents.job import Job
from fitplanner.planning.plan import Plan
from fitplanner.ui.newest import Newest

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Answer:
    """What became of the question for a plan of `job`; exactly one of the others is filled."""

    job: Job
    plan: Plan | None = None
    missing: tuple[str, ...] = ()
    problem: str = ""
    """Why no machine can be built from the profile."""
    fault: Exception | None = None
    """A fault of the program."""


def _nothing(_: Plan) -> None:
    """Prepare nothing."""


def answer_to(
    job: Job,
    planner: Callable[[Job], Plan] | None = None,
    prepare: Callable[[Plan], None] = _nothing,
) -> Answer:
    """Plan `job`, then prepare what will be shown; whatever happens is an answer."""
    # Imported with the first question, so that the window does not wait for it.
    from fitplanner.planning.evaluate import IncompleteError, UnsolvableError, evaluate

    try:
        plan = (planner or evaluate)(job)
        prepare(plan)
        return Answer(job, plan=plan)
    except IncompleteError as error:
        return Answer(job, missing=error.missing)
    except UnsolvableError as error:
        return Answer(job, problem=str(error))
    except Exception as error:
        log.exception("the job could not be planned")
        return Answer(job, fault=error)


class Planner(QObject):
    """Plans one job after the other, away from the window's thread."""

    answered = Signal(object)
    """An `Answer` to the newest question."""

    def __init__(
        self, planner: Callable[[Job], Plan] | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._planner = planner
        self.prepare: Callable[[Plan], None] = _nothing
        """Called with each plan on the planner's thread, before it is shown."""
        self._newest = Newest(self._work, "planner", self)
        self._newest.answered.connect(self._take)

    @property
    def busy(self) -> bool:
        """Whether an answer is still to come."""
        return self._newest.busy

    def ask(self, job: Job) -> None:
        """Ask for the plan of `job`; a question that still waits is forgotten."""
        self._newest.ask(job)

    def close(self) -> None:
        """End the thread; answers no longer come."""
        self._newest.close()

    def _work(self, job: object) -> Answer:
        assert isinstance(job, Job)
        return answer_to(job, self._planner, self.prepare)

    def _take(self, _: Job, answer: Answer) -> None:
        self.answered.emit(answer)


class Errands(QObject):
    """Runs small errands one after the other, such as writing a file; all of them are run."""

    failed = Signal(object)
    """The exception of an errand."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="errands")

    def run(self, errand: Callable[[], None]) -> None:
        """Have `errand` done soon."""
        self._worker.submit(self._work, errand)

    def close(self) -> None:
        """Wait until everything is done."""
        self._worker.shutdown(wait=True)

    def _work(self, errand: Callable[[], None]) -> None:
        try:
            errand()
        except Exception as error:
            self.failed.emit(error)


class Collector(QObject):
    """Has Python's garbage collected on the window's thread, and there alone, until `close`.

    A collection may destroy widgets, which must not happen on a thread that plans.
    """

    EVERY_MS = 500
    _open = 0

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._timer = QTimer(self)
        self._timer.setInterval(self.EVERY_MS)
        self._timer.timeout.connect(self._collect)
        self._timer.start()
        Collector._open += 1
        gc.disable()

    def close(self) -> None:
        """Leave collecting to Python again, once no other window needs this; call it once."""
        self._timer.stop()
        Collector._open -= 1
        if Collector._open == 0:
            gc.enable()

    def _collect(self) -> None:
        """Collect what Python would have collected by now."""
        counts, thresholds = gc.get_count(), gc.get_threshold()
        for generation in (2, 1, 0):
            if counts[generation] > thresholds[generation]:
                gc.collect(generation)
                return
