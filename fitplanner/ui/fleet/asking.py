"""Owns the ranking of the library on a thread of its own.

Refuses to show anything.
"""

import logging
from collections.abc import Callable
from dataclasses import dataclass, replace

from PySide6.QtCore import QObject

from fitplanner.documents.job import Choices
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.documents.rider import Rider
from fitplanner.planning.fleet import FleetRow, rank, with_chances
from fitplanner.planning.rider import IncompleteError
from fitplanner.ui.runs import Runs, Stopped, Tell

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


class FleetAsker(Runs):
    """Ranks the library, one question at a time; then says how likely each row is.

    Both are a `FleetAnswer`: the first is told as news, the second is the answer.
    """

    def __init__(
        self,
        profiles: tuple[MachineProfile, ...],
        ranker: Ranker = rank,
        parent: QObject | None = None,
    ) -> None:
        super().__init__("fleet", parent)
        self.profiles = profiles
        """The machines to rank; each question takes them as they are when it is asked."""
        self._ranker = ranker

    def ask(self, question: FleetQuestion) -> None:
        """Begin; the question before ends without an answer."""
        profiles = self.profiles
        self.begin(lambda tell, stopped: self._work(question, profiles, tell, stopped))

    def _work(
        self,
        question: FleetQuestion,
        profiles: tuple[MachineProfile, ...],
        tell: Tell,
        stopped: Stopped,
    ) -> FleetAnswer:
        answer = self._answer(question, profiles, stopped)
        if not answer.rows:
            return answer
        tell(answer)
        try:
            rows = with_chances(answer.rows, question.rider, cancelled=stopped)
            return replace(answer, rows=rows)
        except Exception as error:
            log.exception("the library's chances could not be worked out")
            return replace(answer, rows=(), fault=error)

    def _answer(
        self, question: FleetQuestion, profiles: tuple[MachineProfile, ...], stopped: Stopped
    ) -> FleetAnswer:
        try:
            rows = self._ranker(
                question.rider,
                profiles,
                question.rates,
                carried=question.carried,
                cancelled=stopped,
            )
        except IncompleteError as error:
            return FleetAnswer(question, missing=error.missing)
        except Exception as error:
            log.exception("the library could not be ranked")
            return FleetAnswer(question, fault=error)
        return FleetAnswer(question, rows=rows)
