"""Owns the entry field for what is written beside a step. Refuses to know the step's figures."""

from PySide6.QtWidgets import QWidget

from fitplanner.documents.bench import LONGEST_NOTE, Tick
from fitplanner.documents.job import Job
from fitplanner.session.edits import Edit, tick_edit
from fitplanner.ui.fields import TextEntry
from fitplanner.ui.undo import History


def tick_of(job: Job, key: str) -> Tick:
    """What the job has of the step `key`; neither done nor noted where it has nothing."""
    return next((tick for tick in job.ticks if tick.step == key), Tick(step=key, done=False))


class NoteEntry(TextEntry):
    """The note at one step of the job."""

    def __init__(
        self, history: History, key: str, words: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(history, ("ticks",), words, LONGEST_NOTE, parent)
        self._key = key

    def _read_job(self, job: Job) -> str:
        return tick_of(job, self._key).noted

    def _edit_of(self, text: str) -> Edit:
        job = self._history.job
        return tick_edit(job, tick_of(job, self._key).replace(noted=text))
