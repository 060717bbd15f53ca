"""Owns the plans of the options that are shown, worked out on a thread of their own.

A plan is kept while its job stands; one that is no longer wanted is not begun. Refuses to show
anything; listeners are called in the window's thread.
"""

from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor

from PySide6.QtCore import QObject, Qt, Signal

from fitplanner.documents.job import Choices, Job
from fitplanner.planning.plan import Plan
from fitplanner.ui.tasks import Answer, answer_to


class OptionPlans(QObject):
    """One plan for each choices of one job."""

    arrived = Signal()
    """A plan that was wanted is there."""
    _done = Signal(object, object)

    def __init__(
        self, planner: Callable[[Job], Plan] | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._planner = planner
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="option-plans")
        self._open = True
        self._job: Job | None = None
        self._plans: dict[Choices, Plan | None] = {}
        self._waiting: dict[Choices, Future[None]] = {}
        self._done.connect(self._take, Qt.ConnectionType.QueuedConnection)

    @property
    def busy(self) -> bool:
        """Whether a plan is still to come."""
        return bool(self._waiting)

    def want(self, job: Job, wanted: Sequence[Choices]) -> None:
        """Have the plans of these choices of `job` worked out, where they are not known."""
        if not self._open:
            return
        if job != self._job:
            # What still runs for the old job answers nobody.
            for future in self._waiting.values():
                future.cancel()
            self._job, self._plans, self._waiting = job, {}, {}
        for choices, future in list(self._waiting.items()):
            if choices not in wanted and future.cancel():
                del self._waiting[choices]
        for choices in wanted:
            if choices not in self._plans and choices not in self._waiting:
                question = job.replace(choices=choices)
                self._waiting[choices] = self._worker.submit(self._work, job, question)

    def plan_of(self, choices: Choices) -> Plan | None:
        """The plan of these choices, once it is there."""
        return self._plans.get(choices)

    def close(self) -> None:
        """End the thread."""
        self._open, self._waiting = False, {}
        self._worker.shutdown(wait=True, cancel_futures=True)

    def _work(self, job: Job, question: Job) -> None:
        self._done.emit(job, answer_to(question, self._planner))

    def _take(self, job: Job, answer: Answer) -> None:
        if self._open and job == self._job:
            choices = answer.job.choices
            self._waiting.pop(choices, None)
            self._plans[choices] = answer.plan
            self.arrived.emit()
