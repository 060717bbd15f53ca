"""Owns the window with all figures of the job's machine: value, spread, origin and note.

What is changed here holds for this job only. Sections are built when they are first looked at,
because there are about a hundred figures.
"""

from collections.abc import Mapping

from PySide6.QtGui import QIcon
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFrame,
    QHBoxLayout,
    QListWidget,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.base import Section
from fitplanner.documents.job import Job
from fitplanner.documents.machine import INVENTED, MachineProfile
from fitplanner.library.slips.finding import Finding
from fitplanner.quantities import UnitSystem
from fitplanner.ui.forms import note_label, plain_label, set_note
from fitplanner.ui.panels.offers import OffersForm
from fitplanner.ui.panels.section import SectionForm, section_title
from fitplanner.ui.panels.spring_prices import SpringPricesForm
from fitplanner.ui.panels.torques import TorquesForm
from fitplanner.ui.slips import slips_among, slips_line
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.mark import CAUTION, NOTE
from fitplanner.ui.widgets.remark import Remark

Form = SectionForm | OffersForm | SpringPricesForm | TorquesForm


class FiguresDialog(QDialog):
    """All figures of the job's machine, beside the window."""

    def __init__(
        self,
        history: History,
        profiles: Mapping[str, MachineProfile],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._history = history
        self._profiles = profiles
        self._system = UnitSystem.METRIC
        self._forms: dict[int, Form] = {}
        self._findings: tuple[Finding, ...] = ()
        self._sections = [
            key
            for key, field in MachineProfile.model_fields.items()
            if isinstance(field.annotation, type) and issubclass(field.annotation, Section)
        ]
        self._keys = [*self._sections, "ways", "springs", "torques"]
        self.setWindowTitle(self.tr("Figures of the machine, for this job only"))
        self._list = QListWidget(self)
        self._list.setAccessibleName(self.tr("Sections"))
        self._list.addItems([section_title(key) for key in self._keys])
        self._list.setFixedWidth(150)
        self._stack = QStackedWidget(self)
        for _ in range(self._list.count()):
            area = QScrollArea(self._stack)
            area.setWidgetResizable(True)
            area.setFrameShape(QFrame.Shape.NoFrame)
            self._stack.addWidget(area)
        self._name = plain_label("", self)
        self.invented = Remark(self)
        self.slips = Remark(self)
        font = self._name.font()
        font.setBold(True)
        self._name.setFont(font)
        explanation = note_label(self)
        set_note(
            explanation,
            self.tr(
                "Changes hold for this job only. A value typed here counts as measured; "
                "set its source if it comes from elsewhere."
            ),
        )
        self.reset = QPushButton(self.tr("Back to the figures of the library"), self)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.addButton(self.reset, QDialogButtonBox.ButtonRole.ResetRole)
        self.reset.setAutoDefault(False)
        close = buttons.button(QDialogButtonBox.StandardButton.Close)
        close.setAutoDefault(False)
        # The style's picture is dark in every appearance.
        close.setIcon(QIcon())
        middle = QHBoxLayout()
        middle.addWidget(self._list)
        middle.addWidget(self._stack, 1)
        column = QVBoxLayout(self)
        column.addWidget(self._name)
        column.addWidget(self.invented)
        column.addWidget(self.slips)
        column.addWidget(explanation)
        column.addLayout(middle, 1)
        column.addWidget(buttons)
        self.resize(940, 640)
        buttons.rejected.connect(self.close)
        self.reset.clicked.connect(self._reset)
        self._list.currentRowChanged.connect(self._turn_to)
        self._list.setCurrentRow(0)

    def show_section(self, section: str) -> None:
        """Turn to a section of the profile by its key."""
        self._list.setCurrentRow(self._keys.index(section))

    def form(self) -> Form:
        """The section shown."""
        return self._forms[self._list.currentRow()]

    def show_job(self, job: Job) -> None:
        """Show the figures of the job's machine."""
        self._name.setText(job.machine.name)
        self.invented.show_text(self.tr(INVENTED) if job.machine.invented else "", NOTE)
        self.list_machines()
        for form in self._forms.values():
            form.show_job(job)

    def list_machines(self) -> None:
        """The library is another one: there may be figures to go back to."""
        machine = self._history.job.machine
        library = self._profiles.get(machine.id)
        self.reset.setEnabled(library is not None and library != machine)

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Mark the sections and figures that look like slips; opens at the worst."""
        self._findings = findings
        slips = slips_among(findings)
        if slips and not self.isVisible():
            self.show_section(findings[0].key.split(".")[0])
        for row, key in enumerate(self._keys):
            count = sum(section == key for section, _ in slips)
            item = self._list.item(row)
            item.setText(f"{section_title(key)} ({count})" if count else section_title(key))
            font = item.font()
            font.setBold(count > 0)
            item.setFont(font)
        self.slips.show_text(slips_line(findings), CAUTION)
        for form in self._forms.values():
            self._show_findings_in(form)

    def discard(self) -> None:
        """Forget typed text that was not taken."""
        for form in self._forms.values():
            for field in form.fields:
                field.discard()

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        for form in self._forms.values():
            self._set_system_of(form)

    def _set_system_of(self, form: Form) -> None:
        for field in form.fields:
            field.set_system(self._system)
        self._show_findings_in(form)

    def _show_findings_in(self, form: Form) -> None:
        if isinstance(form, SectionForm):
            form.show_findings(self._findings, self._system)

    def _turn_to(self, row: int) -> None:
        self._stack.setCurrentIndex(row)
        if row in self._forms:
            return
        area = self._stack.currentWidget()
        assert isinstance(area, QScrollArea)
        form: Form
        if row < len(self._sections):
            form = SectionForm(self._history, self._sections[row], area)
        elif self._keys[row] == "ways":
            form = OffersForm(self._history, self._profiles, area)
        elif self._keys[row] == "springs":
            form = SpringPricesForm(self._history, area)
        else:
            form = TorquesForm(self._history, area)
        self._set_system_of(form)
        form.show_job(self._history.job)
        self._forms[row] = form
        area.setWidget(form)

    def _reset(self) -> None:
        library = self._profiles.get(self._history.job.machine.id)
        if library is not None:
            job = self._history.job.replace(machine=library)
            self._history.change(job, self.tr("Figures of the library"))
