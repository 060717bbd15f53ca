"""Owns the question who reaches on a thread of its own: its progress, its end and its answer.

Refuses to show anything.
"""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from PySide6.QtCore import QObject

from fitplanner.planning.people.shares import Found, Question, who_reaches
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.ui.runs import Runs, Stopped, Tell

log = logging.getLogger(__name__)


class Work(Protocol):
    """What answers a question; called on a thread."""

    def __call__(
        self,
        question: Question,
        *,
        tell: Callable[[float, Found | None], None],
        cancelled: Callable[[], bool],
    ) -> Found:
        """Answer, telling how far it is; ends early once `cancelled` says so."""


@dataclass(frozen=True)
class Progress:
    """The share done, and what is known so far."""

    share: float
    found: Found | None


@dataclass(frozen=True)
class Answer:
    """What became of a question; exactly one of the others is filled."""

    question: Question
    found: Found | None = None
    problem: str = ""
    fault: Exception | None = None


class PeopleAsker(Runs):
    """Answers one question at a time; news are a `Progress`, answers an `Answer`."""

    def __init__(self, work: Work = who_reaches, parent: QObject | None = None) -> None:
        super().__init__("people", parent)
        self._work = work

    def ask(self, question: Question) -> None:
        """Begin; the question before ends without an answer."""
        self.begin(lambda tell, stopped: self._answer(question, tell, stopped))

    def _answer(self, question: Question, tell: Tell, stopped: Stopped) -> Answer:
        try:
            found = self._work(
                question,
                tell=lambda share, found: tell(Progress(share, found)),
                cancelled=stopped,
            )
        except UnsolvableError as error:
            return Answer(question, problem=str(error))
        except Exception as error:
            log.exception("the shares could not be worked out")
            return Answer(question, fault=error)
        return Answer(question, found=found)
