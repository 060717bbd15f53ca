"""Owns the stage of the job: its field, and that what was agreed with the rider can be fixed."""

from collections.abc import Callable
from enum import Enum, auto
from typing import Protocol

from PySide6.QtCore import QCoreApplication, QObject, Signal
from PySide6.QtWidgets import QWidget

from fitplanner.documents.bench import Quote, Stage
from fitplanner.documents.job import Job
from fitplanner.planning.plan import Plan
from fitplanner.ui import texts
from fitplanner.ui.fields import ChoiceEntry
from fitplanner.ui.settings import Settings
from fitplanner.ui.tasks import Answer
from fitplanner.ui.undo import History

_ORDER = list(Stage)


class Fix(Enum):
    """What becomes of amounts that the planner chose."""

    FIX = auto()
    LEAVE = auto()
    CANCEL = auto()


class Asking(Protocol):
    """Who asks the user."""

    def ask_fix(self, stage: str) -> Fix:
        """Ask whether to set the planned amounts by hand."""

    def ask_change_agreed(self, stage: str) -> bool:
        """Ask whether to replace the amounts of a job that has come so far."""


class StageEntry(ChoiceEntry):
    """The job's stage; a choice is passed on, and not yet made."""

    wanted = Signal(object)
    """The `Stage` that the user wants."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        words = QCoreApplication.translate("StageEntry", "Stage")
        super().__init__(
            history, ("stage",), words, {one: texts.label(one) for one in Stage}, parent
        )
        for row, one in enumerate(Stage):
            self.set_hint(row, texts.hint(one))

    def _chosen(self, index: int) -> None:
        self._history.end_step()
        self.wanted.emit(_ORDER[index])
        self.show_job(self._history.job)


class Stages(QObject):
    """Sets the stage, together with the amounts where they are fixed: one step of undo."""

    def __init__(
        self,
        history: History,
        dialogs: Asking,
        answer: Callable[[], Answer | None],
        settings: Settings,
        parent: QObject | None = None,
    ) -> None:
        """`answer` gives the newest plan, or None while it is worked out; `settings` the rates."""
        super().__init__(parent)
        self._history = history
        self._dialogs = dialogs
        self._answer = answer
        self._settings = settings
        self._waiting: Stage | None = None

    def want(self, stage: Stage) -> None:
        """Set the stage, once it is known what is planned."""
        self._waiting = stage
        self.go_on()

    def go_on(self) -> None:
        """There may be a plan now: set the stage that waits for it."""
        if self._waiting is None:
            return
        stage, job = self._waiting, self._history.job
        if _is_agreeing(job.stage, stage):
            answer = self._answer()
            if answer is None or answer.job is not job:
                return
            self._waiting = None
            self._agree(job, stage, answer)
        else:
            self._waiting = None
            # What was agreed holds no longer once the job is planned anew.
            quote = None if stage in _ORDER[:2] else job.quote
            self._set(job.replace(stage=stage, quote=quote), stage)

    def may_replace(self) -> bool:
        """Whether amounts may be put in the place of those that were agreed with the rider."""
        stage = self._history.job.stage
        return stage in _ORDER[:2] or self._dialogs.ask_change_agreed(texts.label(stage))

    def forget(self) -> None:
        """Another job is on the table."""
        self._waiting = None

    def _agree(self, job: Job, stage: Stage, answer: Answer) -> None:
        choices, quote = job.choices, job.quote
        if answer.plan is not None:
            from fitplanner.planning.fixing import as_planned

            planned = as_planned(job, answer.plan)
            if planned != choices:
                said = self._dialogs.ask_fix(texts.label(stage))
                if said is Fix.CANCEL:
                    return
                choices = planned if said is Fix.FIX else choices
            quote = quote or self._quote(job, answer.plan)
        self._set(job.replace(stage=stage, choices=choices, quote=quote), stage)

    def _quote(self, job: Job, plan: Plan) -> Quote:
        """What the plan costs today."""
        from fitplanner.planning.account import account

        rates = self._settings.preferences.rates
        of = account(job, plan, rates)
        return Quote(
            price=of.cost,
            hours=of.hours,
            parts=of.parts,
            hourly=rates.hourly,
            currency=rates.currency,
        )

    def _set(self, job: Job, stage: Stage) -> None:
        words = self.tr("Stage: {stage}").format(stage=texts.label(stage))
        self._history.change(job, words)


def _is_agreeing(present: Stage, wanted: Stage) -> bool:
    return _ORDER.index(wanted) > _ORDER.index(present) and wanted not in _ORDER[:2]
