"""Owns the ranking of the library on a thread of its own.

A new question ends the old one, and the old one's answer is dropped. Refuses to show anything;
listeners are called in the window's thread.
"""

import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from threading import Event

from PySide6.QtCore import QObject, Qt, Signal

from fitplanner.documents.job import Choices
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.documents.rider import Rider
from fitplanner.planning.fleet import FleetRow, rank, with_chances
from fitplanner.planning.rider import IncompleteError

log = logging.getLogger(__name__)

Ranker = Callable[..., tuple[FleetRow, ...]]


@dataclass(frozen=True)
class FleetQuestion:
    """Who is to be fitted, with what is carried, at which rates."""

    rider: Rider
    carried: Choices
    rates: Rates


@dataclass(frozen=True)
class FleetAnswer:
    """What became of a question; exactly one of the others is filled, or none without machines."""

    question: FleetQuestion
    rows: tuple[FleetRow, ...] = ()
    missing: tuple[str, ...] = ()
    fault: Exception | None = None


@dataclass(frozen=True, eq=False)
class _Run:
    question: FleetQuestion
    stopped: Event = field(default_factory=Event)


class FleetAsker(QObject):
    """Ranks the library, one question at a time; then says how likely each row is."""

    answered = Signal(object)
    """A `FleetAnswer` to the newest question, and once more with the chances."""
    _told = Signal(object, object)
    _done = Signal(object, object)

    def __init__(
        self,
        profiles: tuple[MachineProfile, ...],
        ranker: Ranker = rank,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._profiles = profiles
        self._ranker = ranker
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="fleet")
        self._run: _Run | None = None
        self._told.connect(self._tell, Qt.ConnectionType.QueuedConnection)
        self._done.connect(self._take, Qt.ConnectionType.QueuedConnection)

    @property
    def busy(self) -> bool:
        """Whether an answer is still to come."""
        return self._run is not None

    def ask(self, question: FleetQuestion) -> None:
        """Begin; the question before ends without an answer."""
        self.forget()
        self._run = _Run(question)
        self._worker.submit(self._work, self._run)

    def forget(self) -> None:
        """End the ranking; nothing more is heard of it."""
        if self._run is not None:
            self._run.stopped.set()
        self._run = None

    def close(self) -> None:
        """End the thread."""
        self.forget()
        self._worker.shutdown(wait=True, cancel_futures=True)

    def _work(self, run: _Run) -> None:
        answer = self._answer(run)
        if answer.rows:
            self._told.emit(run, answer)
            answer = self._likely(run, answer)
        self._done.emit(run, answer)

    def _likely(self, run: _Run, answer: FleetAnswer) -> FleetAnswer:
        rider, cancelled = run.question.rider, run.stopped.is_set
        try:
            return replace(answer, rows=with_chances(answer.rows, rider, cancelled=cancelled))
        except Exception as error:
            log.exception("the library's chances could not be worked out")
            return replace(answer, rows=(), fault=error)

    def _answer(self, run: _Run) -> FleetAnswer:
        question = run.question
        try:
            rows = self._ranker(
                question.rider,
                self._profiles,
                question.rates,
                carried=question.carried,
                cancelled=run.stopped.is_set,
            )
        except IncompleteError as error:
            return FleetAnswer(question, missing=error.missing)
        except Exception as error:
            log.exception("the library could not be ranked")
            return FleetAnswer(question, fault=error)
        return FleetAnswer(question, rows=rows)

    def _tell(self, run: _Run, answer: FleetAnswer) -> None:
        if run is self._run:
            self.answered.emit(answer)

    def _take(self, run: _Run, answer: FleetAnswer) -> None:
        if run is self._run:
            self._run = None
            self.answered.emit(answer)
