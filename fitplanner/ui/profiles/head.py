"""Owns what a machine is before any figure: its kind, its engine, what it is called."""

from PySide6.QtWidgets import QCheckBox, QGridLayout, QWidget

from fitplanner.documents.job import Job
from fitplanner.documents.machine import INVENTED, EngineShape, MachineKind
from fitplanner.session.edits import Edit
from fitplanner.ui import texts
from fitplanner.ui.fields import ChoiceEntry, TextEntry
from fitplanner.ui.forms import plain_label, tip
from fitplanner.ui.profiles.draft import NEW_NAME
from fitplanner.ui.undo import History


class Head(QWidget):
    """The name, then kind and engine, which fill in everything else."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._history = history
        self.kind = ChoiceEntry(
            history, ("machine", "kind"), self.tr("Kind"), _labels(MachineKind), self
        )
        self.engine = ChoiceEntry(
            history, ("machine", "engine"), self.tr("Engine"), _labels(EngineShape), self
        )
        self.name = _NameEntry(history, ("machine", "name"), self.tr("Name"), 120, self)
        self.name.setPlaceholderText(self.tr("What the shop calls the machine"))
        self.note = TextEntry(history, ("machine", "note"), self.tr("Note"), 2000, self)
        self.note.setPlaceholderText(self.tr("Which data sheet, model year, anything odd"))
        self.invented = QCheckBox(self.tr("&Invented"), self)
        self.invented.setToolTip(tip(self.tr(INVENTED)))
        self.kind.set_help(self.tr("All figures that nobody knows yet follow from the kind"))
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(4)
        for row, pairs in enumerate(
            (
                ((self.tr("&Name"), self.name), (self.tr("&Kind"), self.kind)),
                ((self.tr("En&gine"), self.engine), (self.tr("No&te"), self.note)),
            )
        ):
            for place, (words, field) in enumerate(pairs):
                label = plain_label(words, self)
                label.setBuddy(field)
                grid.addWidget(label, row, 2 * place)
                grid.addWidget(field, row, 2 * place + 1)
        grid.addWidget(self.invented, 0, 4)
        grid.setColumnStretch(1, 1)
        grid.setColumnStretch(3, 1)
        self._fields = (self.name, self.kind, self.engine, self.note)
        for before, after in zip(self._fields, self._fields[1:], strict=False):
            QWidget.setTabOrder(before, after)
        self.invented.clicked.connect(self._say_invented)

    def show_job(self, job: Job) -> None:
        """Show what the job's machine is."""
        for field in self._fields:
            field.show_job(job)
        self.invented.setChecked(job.machine.invented)
        self.invented.setVisible(job.machine.invented)

    def _say_invented(self, on: bool) -> None:
        self._history.edit(Edit(("machine", "invented"), on), self.tr("Invented"))
        self._history.end_step()


class _NameEntry(TextEntry):
    """The name; an empty one stands for a machine that has none yet."""

    def _read_job(self, job: Job) -> str:
        return "" if job.machine.name == NEW_NAME else job.machine.name

    def _edit_of(self, text: str) -> Edit:
        return Edit(self.address, text if text.strip() else NEW_NAME)


def _labels(kind: type[MachineKind] | type[EngineShape]) -> dict[object, str]:
    return {one: texts.label(one) for one in kind}
