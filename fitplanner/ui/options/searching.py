"""Owns the search for options on a thread of its own: its progress, its end and its answer.

Refuses to show anything.
"""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from PySide6.QtCore import QObject

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.search.options import Found, Priorities
from fitplanner.ui.runs import Runs, Stopped, Tell

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
class Progress:
    """The share done, and the best so far."""

    share: float
    best: Found | None


@dataclass(frozen=True)
class SearchAnswer:
    """What became of a question; exactly one of the others is filled."""

    question: Question
    found: Found | None = None
    missing: tuple[str, ...] = ()
    problem: str = ""
    fault: Exception | None = None


class Searcher(Runs):
    """Looks for options, one question at a time; news are a `Progress`, answers `SearchAnswer`."""

    def __init__(self, search: Search | None = None, parent: QObject | None = None) -> None:
        super().__init__("options", parent)
        self._search = search

    def ask(self, question: Question, priorities: Priorities) -> None:
        """Begin to look; the question before ends without an answer."""
        search = self._search
        self.begin(lambda tell, stopped: _answer(question, priorities, search, tell, stopped))


def _answer(
    question: Question,
    priorities: Priorities,
    search: Search | None,
    tell: Tell,
    stopped: Stopped,
) -> SearchAnswer:
    """Search; whatever happens is an answer."""
    # Imported with the first question, so that the window does not wait for it.
    from fitplanner.planning.evaluate import IncompleteError, UnsolvableError

    if search is None:
        from fitplanner.planning.search.engine import search as engine

        search = engine
    try:
        found = search(
            question.job,
            priorities,
            rates=question.rates,
            progress=lambda share, best: tell(Progress(share, best)),
            cancelled=stopped,
        )
        return SearchAnswer(question, found=found)
    except IncompleteError as error:
        return SearchAnswer(question, missing=error.missing)
    except UnsolvableError as error:
        return SearchAnswer(question, problem=str(error))
    except Exception as error:
        log.exception("the search for options failed")
        return SearchAnswer(question, fault=error)
