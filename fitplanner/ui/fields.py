"""Owns the entry fields that are bound to one address of the job.

A field shows what the job holds and passes on what was typed. Where the job refuses it, the text
stays with the reason, the job holds what it held before, and the history knows of it. Refuses to
judge a value itself.
"""

from collections.abc import Mapping
from typing import Any, Protocol

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QComboBox, QLineEdit, QWidget

from fitplanner.documents.base import Figure, FigureSpec, Source
from fitplanner.documents.errors import Address, DocumentError
from fitplanner.documents.job import Job
from fitplanner.documents.plain_text import without_unseen
from fitplanner.quantities import QuantityError, UnitSystem
from fitplanner.session.edits import Edit, figure_edit, value_at
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.quantity_field import QuantityField
from fitplanner.ui.widgets.text import quoted, tip
from fitplanner.ui.widgets.wheel import scrolls_past


class JobField(Protocol):
    """What a form asks of its fields."""

    def show_job(self, job: Job) -> None:
        """Show what `job` holds; text that was refused stays while its place is unchanged."""

    def discard(self) -> None:
        """Forget what was typed and refused: another job is on the table."""

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""


class JobUndoes(QObject):
    """Leaves the undo keys to the window: the job's undo, not that of the text."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            keys = QKeySequence.StandardKey
            if event.matches(keys.Undo) or event.matches(keys.Redo):
                event.ignore()
                return True
        return False


class QuantityEntry(QuantityField):
    """A number of the job at `address`, held to the range of its `spec`."""

    def __init__(
        self, history: History, address: Address, spec: FigureSpec, parent: QWidget | None = None
    ) -> None:
        super().__init__(
            spec.kind,
            minimum=spec.low,
            maximum=spec.high,
            optional=spec.optional,
            name=spec.label,
            parent=parent,
        )
        self.address = address
        self.words = spec.label
        self._history = history
        self._undo_keys = JobUndoes(self)
        self.line_edit.installEventFilter(self._undo_keys)
        self.line_edit.editingFinished.connect(history.end_step)
        self.set_help(spec.help)
        self.edited.connect(self._edit)
        self.bad_text.connect(self._note_refusal)
        self.told.connect(history.refusals.changed)

    def show_job(self, job: Job) -> None:
        self.set_value(self._read_job(job))

    def discard(self) -> None:
        self.discard_typing()

    def typed_in(self) -> QWidget:
        """The line that is typed in."""
        return self.line_edit

    def refused_line(self) -> str:
        """That the text is not used, and what is; "" while it is still being typed."""
        if not self.message():
            return ""
        return self.tr("{words}: {text} is not used; {stand_in}").format(
            words=self.words, text=quoted(self.text()), stand_in=self.stand_in()
        )

    def judge(self, value: float | None) -> None:
        try:
            self._history.trial(self._edit_of(value))
        except DocumentError as refusal:
            raise QuantityError(words_of(refusal, self.address)) from refusal

    def _read_job(self, job: Job) -> float | None:
        value: float | None = value_at(job, self.address)
        return value

    def _edit_of(self, value: float | None) -> Edit:
        return Edit(self.address, value)

    def _edit(self, value: float | None) -> None:
        self._history.edit(self._edit_of(value), self.words)

    def _note_refusal(self, why: str) -> None:
        self._history.refusals.note(self, bool(why))


class FigureEntry(QuantityEntry):
    """The value of one figure of the machine. What is typed in the shop counts as measured."""

    _before: Figure | None = None

    def _read_job(self, job: Job) -> float | None:
        present: Figure | None = value_at(job, self.address)
        return None if present is None else present.value

    def _edit_of(self, value: float | None) -> Edit:
        present: Figure | None = value_at(self._history.job, self.address)
        if self._read_job(self._history.job) == self.settled():
            self._before = present
        if value == self.settled():
            # Back to where the typing began: the figure with its own origin.
            return Edit(self.address, self._before)
        spread = 0.0 if present is None else present.spread
        return figure_edit(self._history.job, self.address, value, Source.MEASURED, spread=spread)


class SpreadEntry(QuantityEntry):
    """The spread of the figure at `address`; empty and closed where there is no figure."""

    def _read_job(self, job: Job) -> float | None:
        present: Figure | None = value_at(job, self.address)
        self.setEnabled(present is not None)
        return None if present is None else present.spread

    def _edit_of(self, value: float | None) -> Edit:
        return Edit((*self.address, "spread"), value)


class ChoiceEntry(QComboBox):
    """One of several choices of the job at `address`."""

    def __init__(
        self,
        history: History,
        address: Address,
        words: str,
        labels: Mapping[Any, str],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.address = address
        self.words = words
        self._history = history
        self._values = list(labels)
        self._help = ""
        self.addItems(list(labels.values()))
        self.setAccessibleName(words)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)
        scrolls_past(self)
        self.activated.connect(self._chosen)

    def show_job(self, job: Job) -> None:
        value = self._read_job(job)
        self.setCurrentIndex(self._values.index(value) if value in self._values else -1)

    def set_hint(self, row: int, hint: str) -> None:
        """Explain one of the choices."""
        self.setItemData(row, tip(hint), Qt.ItemDataRole.ToolTipRole)

    def set_help(self, text: str) -> None:
        """What is asked for, as a tooltip."""
        self._help = tip(text)
        self.setToolTip(self._help)

    def discard(self) -> None:
        """Nothing can be typed."""

    def set_system(self, system: UnitSystem) -> None:
        """Choices have no unit."""

    def _read_job(self, job: Job) -> Any:
        return value_at(job, self.address)

    def _edit_of(self, value: Any) -> Edit:
        return Edit(self.address, value)

    def _chosen(self, index: int) -> None:
        try:
            self._history.edit(self._edit_of(self._values[index]), self.words)
        except DocumentError as refusal:
            self.setToolTip(tip(words_of(refusal, self.address)))
            self.show_job(self._history.job)
        else:
            self.setToolTip(self._help)
        self._history.end_step()


class SourceEntry(ChoiceEntry):
    """Where the figure at `address` comes from; closed where there is no figure."""

    def __init__(
        self,
        history: History,
        address: Address,
        words: str,
        labels: Mapping[Any, str],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(history, (*address, "source"), words, labels, parent)
        self._figure = address

    def show_job(self, job: Job) -> None:
        present: Figure | None = value_at(job, self._figure)
        self.setEnabled(present is not None)
        if present is None:
            self.setCurrentIndex(-1)
        else:
            super().show_job(job)


class TextEntry(QLineEdit):
    """A line of text of the job at `address`."""

    def __init__(
        self,
        history: History,
        address: Address,
        words: str,
        longest: int,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.address = address
        self.words = words
        self._history = history
        self._undo_keys = JobUndoes(self)
        self.installEventFilter(self._undo_keys)
        self.setMaxLength(longest)
        self.setAccessibleName(words)
        self.editingFinished.connect(history.end_step)
        self.textEdited.connect(self._edit)

    def show_job(self, job: Job) -> None:
        text = self._read_job(job)
        if text != self.text():
            self.setText(text)
            self.setCursorPosition(0)

    def set_help(self, text: str) -> None:
        """What is asked for, as a tooltip."""
        self.setToolTip(tip(text))

    def discard(self) -> None:
        """The text is never refused."""

    def set_system(self, system: UnitSystem) -> None:
        """Text has no unit."""

    def _read_job(self, job: Job) -> str:
        text: str = value_at(job, self.address)
        return text

    def _edit_of(self, text: str) -> Edit:
        return Edit(self.address, text)

    def _edit(self, text: str) -> None:
        try:
            self._history.edit(self._edit_of(text), self.words)
        except DocumentError:
            # What was pasted brought characters along that cannot be seen.
            self._history.edit(self._edit_of(without_unseen(text)), self.words)
            self.show_job(self._history.job)


Entry = QuantityEntry | ChoiceEntry | TextEntry
"""A field that is a widget too."""


def words_of(refusal: DocumentError, address: Address) -> str:
    """The refusal as it stands below the field of `address`, which needs no label there."""
    return "\n".join(
        one.text if _in_line(one.path, address) else str(one) for one in refusal.problems
    )


def _in_line(one: Address, two: Address) -> bool:
    """Whether one address lies inside the other."""
    shorter = min(len(one), len(two))
    return one[:shorter] == two[:shorter]
