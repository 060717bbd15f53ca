"""Owns the search for options on a thread of its own: its progress, its end and its answer.

A new question ends the old one, and what the old one still says is dropped. Refuses to show
anything; listeners are called in the window's thread.
"""

import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from threading import Event
from typing import Protocol

from PySide6.QtCore import QObject, Qt, Signal

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.search.options import Found, Priorities

log = logging.getLogger(__name__)


class Search(Protocol):
    """What looks for options; called on a thread."""

    def __call__(
        self,
        job: Job,
        priorities: Priorities,
        *,
        rates: Rates,
        progress: Callable[[float, Found | None], None] | None = None,
        cancelled: Callable[[], bool] | None = None,
    ) -> Found:
        """Search, telling how far it is; ends early once `cancelled` says so."""


@dataclass(frozen=True)
class Question:
    """What is looked for."""

    job: Job
    rates: Rates


@dataclass(frozen=True)
class SearchAnswer:
    """What became of a question; exactly one of the others is filled."""

    question: Question
    found: Found | None = None
    missing: tuple[str, ...] = ()
    problem: str = ""
    fault: Exception | None = None


@dataclass(frozen=True)
class _Run:
    question: Question
    priorities: Priorities
    stopped: Event


class Searcher(QObject):
    """Looks for options, one question at a time."""

    progressed = Signal(float, object)
    """The share done, and the best so far (`Found`) or None."""
    answered = Signal(object)
    """A `SearchAnswer` to the newest question."""
    _told = Signal(object, float, object)
    _done = Signal(object, object)

    def __init__(self, search: Search | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._search = search
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="options")
        self._run: _Run | None = None
        queued = Qt.ConnectionType.QueuedConnection
        self._told.connect(self._take_progress, queued)
        self._done.connect(self._take_answer, queued)

    @property
    def busy(self) -> bool:
        """Whether an answer is still to come."""
        return self._run is not None

    def ask(self, question: Question, priorities: Priorities) -> None:
        """Begin to look; the question before ends without an answer."""
        self.forget()
        self._run = _Run(question, priorities, Event())
        self._worker.submit(self._work, self._run)

    def stop(self) -> None:
        """End the search; what it has found by then is its answer."""
        if self._run is not None:
            self._run.stopped.set()

    def forget(self) -> None:
        """End the search; nothing more is heard of it."""
        self.stop()
        self._run = None

    def close(self) -> None:
        """End the thread."""
        self.forget()
        self._worker.shutdown(wait=True, cancel_futures=True)

    def _work(self, run: _Run) -> None:
        def tell(share: float, best: Found | None) -> None:
            self._told.emit(run, share, best)

        self._done.emit(run, _answer(run, self._search, tell))

    def _take_progress(self, run: _Run, share: float, best: Found | None) -> None:
        if run is self._run:
            self.progressed.emit(share, best)

    def _take_answer(self, run: _Run, answer: SearchAnswer) -> None:
        if run is self._run:
            self._run = None
            self.answered.emit(answer)


def _answer(
    run: _Run, search: Search | None, tell: Callable[[float, Found | None], None]
) -> SearchAnswer:
    """Search; whatever happens is an answer."""
    # Imported with the first question, so that the window does not wait for it.
    from fitplanner.planning.evaluate import IncompleteError, UnsolvableError

    if search is None:
        from fitplanner.planning.search.engine import search as engine

        search = engine
    question = run.question
    try:
        found = search(
            question.job,
            run.priorities,
            rates=question.rates,
            progress=tell,
            cancelled=run.stopped.is_set,
        )
        return SearchAnswer(question, found=found)
    except IncompleteError as error:
        return SearchAnswer(question, missing=error.missing)
    except UnsolvableError as error:
        return SearchAnswer(question, problem=str(error))
    except Exception as error:
        log.exception("the search for options failed")
        return SearchAnswer(question, fault=error)
