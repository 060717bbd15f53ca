"""Owns undo: one stack whose steps are the job before and after.

Edits of the same field in a row are one step until `end_step`. Every change that a person makes
to the job goes through `History`. Text that a field could not take is no change of the job, but
undo takes it back first. Refuses to know what an edit means.
"""

from typing import Protocol

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack
from PySide6.QtWidgets import QWidget

from fitplanner.documents.errors import Address
from fitplanner.documents.job import Job
from fitplanner.session.edits import Edit, replace_at
from fitplanner.session.session import Session

UNDO_STEPS = 500
_MERGEABLE = 1


class Refusing(Protocol):
    """A field that may hold text which the job does not."""

    words: str

    def refused_line(self) -> str:
        """What is said of its text in one line; "" while it is still being typed."""

    def end_typing(self) -> None:
        """Say what is wrong with the text, though it is still being typed."""

    def typed_in(self) -> QWidget:
        """The widget that holds the text."""

    def discard(self) -> None:
        """Put the text back to what the job holds."""


class Refusals(QObject):
    """The fields whose text is not in the job; the one typed in or entered last comes last."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._fields: list[Refusing] = []

    def note(self, field: Refusing, refused: bool) -> None:
        """Take down that the text of `field` was refused, or that it is no longer."""
        self._fields = [one for one in self._fields if one is not field]
        if refused:
            self._fields.append(field)
        self.changed.emit()

    def lines(self) -> list[str]:
        """What is said of them."""
        return [line for one in self._fields if (line := one.refused_line())]

    def told(self) -> list[str]:
        """What is said of all of them, also of those in which somebody is still typing."""
        for field in list(self._fields):
            field.end_typing()
        return self.lines()

    def discard(self) -> None:
        """Put the text of all of them back."""
        for field in list(self._fields):
            field.discard()

    def next(self) -> Refusing | None:
        """The field that undo would put back."""
        return next(reversed(self._fields), None)


class _Step(QUndoCommand):
    """One step; `run` is the address being edited, or None for a step that stands alone."""

    def __init__(
        self, session: Session, before: Job, after: Job, words: str, run: tuple[Address, int] | None
    ) -> None:
        super().__init__(words)
        self.session = session
        self.before = before
        self.after = after
        self.run = run

    def id(self) -> int:
        return _MERGEABLE

    def redo(self) -> None:
        self.session.set_job(self.after)

    def undo(self) -> None:
        self.session.set_job(self.before)

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, _Step) or self.run is None or other.run != self.run:
            return False
        self.after = other.after
        self.setObsolete(self.after == self.before)
        return True


class History:
    """The way for every change of the job."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        self._session = session
        self._count = 0
        self.stack = QUndoStack(parent)
        self.stack.setUndoLimit(UNDO_STEPS)
        self.refusals = Refusals(parent)

    @property
    def job(self) -> Job:
        """The present job."""
        return self._session.job

    def trial(self, edit: Edit) -> Job:
        """The job as it would be after `edit`.

        Raises:
            DocumentError: the edit would be refused.
        """
        return replace_at(self.job, edit.address, edit.value)

    def edit(self, edit: Edit, words: str) -> None:
        """Carry out `edit`; `words` name the step for the undo menu.

        Raises:
            DocumentError: the edit was refused; nothing changed.
        """
        self._push(self.trial(edit), words, (edit.address, self._count))

    def change(self, job: Job, words: str) -> None:
        """Make `job` the present one, as one step of its own."""
        self.end_step()
        self._push(job, words, None)

    def end_step(self) -> None:
        """The next edit begins a new step, even of the same field."""
        self._count += 1

    def undo(self) -> None:
        """Put back text that was refused, or else go back one step."""
        self.end_step()
        refused = self.refusals.next()
        if refused is not None:
            refused.discard()
        else:
            self.stack.undo()

    def undo_words(self) -> str | None:
        """What `undo` would take back; None where there is nothing."""
        refused = self.refusals.next()
        if refused is not None:
            return refused.words
        return self.stack.undoText() if self.stack.canUndo() else None

    def redo(self) -> None:
        """Go forward again."""
        self.end_step()
        self.stack.redo()

    def clear(self) -> None:
        """Forget all steps: another job is on the table."""
        self.end_step()
        self.stack.clear()

    def _push(self, after: Job, words: str, run: tuple[Address, int] | None) -> None:
        if after != self.job:
            self.stack.push(_Step(self._session, self.job, after, words, run))
