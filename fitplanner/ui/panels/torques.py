"""Owns the entry of torques from the maker's manual: what is tightened, how the book writes it,
and where it stands there.

Refuses to convert, and to keep a torque without its source: nobody could check it.
"""

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QApplication, QGridLayout, QLabel, QLineEdit, QWidget

from fitplanner.documents.errors import DocumentError, Problem
from fitplanner.documents.job import Job
from fitplanner.documents.torque import Fastener, Torque
from fitplanner.planning.bench.bench import FASTENERS
from fitplanner.quantities import UnitSystem
from fitplanner.session.edits import Edit, replace_at
from fitplanner.ui.fields import JobField, JobUndoes
from fitplanner.ui.forms import plain_label
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.message_line import MessageLine

_TORQUE_WIDTH = 150


class TorquesForm(QWidget):
    """One row for each fastener, in the order of the work; an empty row has no torque."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        grid = QGridLayout(self)
        grid.setHorizontalSpacing(12)
        grid.setColumnStretch(2, 1)
        words, source = (Torque.model_fields[key].title or key for key in ("words", "source"))
        for column, text in enumerate((self.tr("What is tightened"), words, source)):
            head = plain_label(text, self)
            head.setForegroundRole(head.palette().ColorRole.PlaceholderText)
            grid.addWidget(head, 0, column)
        self.rows = {
            fastener: TorqueRow(history, fastener, grid, 2 * row + 1, self)
            for row, fastener in enumerate(Fastener)
        }
        self.fields: list[JobField] = list(self.rows.values())
        note = plain_label(
            self.tr(
                "Write each torque as the maker's manual for this machine has it, with its unit: "
                "it is printed as written, and never converted. One that is left empty has a line "
                "to write on at its step of the bench sheet."
            ),
            self,
            wrap=True,
        )
        note.setForegroundRole(note.palette().ColorRole.PlaceholderText)
        grid.addWidget(note, 2 * len(self.rows) + 1, 0, 1, 3)
        grid.setRowStretch(2 * len(self.rows) + 2, 1)

    def show_job(self, job: Job) -> None:
        """Show what the job's machine quotes."""
        for field in self.fields:
            field.show_job(job)


class TorqueRow(QObject):
    """The torque of one fastener; half a torque stays here, with what it lacks."""

    def __init__(
        self, history: History, fastener: Fastener, grid: QGridLayout, row: int, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._history = history
        self._fastener = fastener
        self._held: Torque | None = None
        self._why = ""
        name = FASTENERS[fastener]
        self.words = self.tr("Torque, {what}").format(what=name)
        self.torque, self.source = _Line(parent), _Line(parent)
        self.torque.setFixedWidth(_TORQUE_WIDTH)
        self.torque.setAccessibleName(self.words)
        self.source.setAccessibleName(
            self.tr("{torque}: where it stands").format(torque=self.words)
        )
        self.message = MessageLine(parent)
        label = QLabel(name[0].upper() + name[1:], parent)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setBuddy(self.torque)
        for column, widget in enumerate((label, self.torque, self.source)):
            grid.addWidget(widget, row, column)
        grid.addWidget(self.message, row + 1, 1, 1, 2)
        undo_keys = JobUndoes(self)
        for key, edit in (("words", self.torque), ("source", self.source)):
            edit.setMaxLength(_longest(key))
            edit.installEventFilter(undo_keys)
            edit.textEdited.connect(self._edit)
            edit.editingFinished.connect(history.end_step)
            edit.returnPressed.connect(self.end_typing)
            edit.left.connect(self._leave)

    def show_job(self, job: Job) -> None:
        """Show what the job's machine quotes; half a torque stays while that is unchanged."""
        found = self._torque_in(job)
        if found == self._held and self._why:
            return
        self._held = found
        for edit, text in zip((self.torque, self.source), self._texts_of(found), strict=True):
            if edit.text().strip() != text:
                edit.setText(text)
                edit.setCursorPosition(0)
        self._refuse("")

    def discard(self) -> None:
        """Put back what the job holds."""
        self._why = ""
        self._held = None
        self.show_job(self._history.job)

    def typed_in(self) -> QWidget:
        """The field of the torque itself."""
        return self.torque

    def refused_line(self) -> str:
        """That the torque is not kept; "" while it is still being typed."""
        if not self.message.text():
            return ""
        return self.tr("{words} is not kept: {why}").format(words=self.words, why=self._why)

    def set_system(self, system: UnitSystem) -> None:
        """A torque stands as the book has it."""

    def _texts_of(self, torque: Torque | None) -> tuple[str, str]:
        return (torque.words, torque.source) if torque else ("", "")

    def _edit(self) -> None:
        words, source = self.torque.text().strip(), self.source.text().strip()
        rows: dict[Fastener, object] = {t.fastener: t for t in self._history.job.machine.torques}
        rows.pop(self._fastener, None)
        if words or source:
            rows[self._fastener] = {
                "fastener": self._fastener,
                "words": words,
                "source": source,
            }
        ordered = [rows[fastener] for fastener in Fastener if fastener in rows]
        try:
            if bool(words) is not bool(source):
                raise DocumentError(Problem((), "", self._lacking(words)))
            job = replace_at(self._history.job, ("machine", "torques"), ordered)
        except DocumentError as refusal:
            self._refuse("\n".join(problem.text for problem in refusal.problems))
            return
        self._refuse("")
        self._held = self._torque_in(job)
        self._history.edit(Edit(("machine", "torques"), job.machine.torques), self.words)

    def _lacking(self, words: str) -> str:
        if words:
            return self.tr("say where it stands: the book and its page")
        return self.tr("give the torque with its unit, as the book writes it")

    def _leave(self) -> None:
        """Half a torque is still being typed while one of both fields is typed in."""
        if QApplication.focusWidget() not in (self.torque, self.source):
            self.end_typing()

    def _torque_in(self, job: Job) -> Torque | None:
        return next((t for t in job.machine.torques if t.fastener is self._fastener), None)

    def _refuse(self, why: str) -> None:
        self._why = why
        if not why:
            self.message.show_text("")
        self._history.refusals.note(self, bool(why))

    def end_typing(self) -> None:
        """The typing is over: say what a half torque lacks."""
        self.message.show_text(self._why[:1].upper() + self._why[1:])
        self._history.refusals.changed.emit()


class _Line(QLineEdit):
    """Says when it is left, whether it was typed in or not."""

    left = Signal()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        # A window that is closed or taken apart leads nowhere.
        if QApplication.focusWidget() is not None:
            self.left.emit()


def _longest(key: str) -> int:
    found: int = next(
        each.max_length for each in Torque.model_fields[key].metadata if hasattr(each, "max_length")
    )
    return found
