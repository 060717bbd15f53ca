"""Owns the window with all figures of the job's machine: value, spread, origin and note.

What is changed here holds for this job only. Sections are built when they are first looked at,
because there are about a hundred figures.
"""

from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QStyle,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.base import Figure, FigureSpec, Section, Source
from fitplanner.documents.errors import Address
from fitplanner.documents.job import Job
from fitplanner.documents.machine import INVENTED, CatalogueState, MachineProfile
from fitplanner.library.lint import Finding
from fitplanner.quantities import UnitSystem, fill
from fitplanner.session.edits import value_at
from fitplanner.ui import texts
from fitplanner.ui.fields import (
    ChoiceEntry,
    FigureEntry,
    JobField,
    QuantityEntry,
    SourceEntry,
    SpreadEntry,
)
from fitplanner.ui.forms import note_label, plain_label, set_note, tip
from fitplanner.ui.panels.linkage import LinkageTable
from fitplanner.ui.panels.offers import OffersForm
from fitplanner.ui.panels.spring_prices import SpringPricesForm
from fitplanner.ui.panels.torques import TorquesForm
from fitplanner.ui.slips import slips_among
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import decimal_mark
from fitplanner.ui.widgets.mark import CAUTION, NOTE
from fitplanner.ui.widgets.remark import Remark

_INFORMATION = QStyle.StandardPixmap.SP_MessageBoxInformation
_NUMBER_WIDTH = 150
_SOURCE_WIDTH = 120


class SectionForm(QWidget):
    """The figures of one section of the profile."""

    def __init__(self, history: History, section: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._history = history
        self._section = section
        self.fields: list[JobField] = []
        self._notes: dict[Address, QLabel] = {}
        self.remarks: dict[str, Remark] = {}
        # Every other row is kept for a remark on the figure above it.
        self._rows: dict[str, int] = {"": 0}
        self._grid = QGridLayout(self)
        self._grid.setHorizontalSpacing(12)
        self._grid.setColumnStretch(0, 1)
        self._sources: dict[Any, str] = {one: texts.label(one) for one in Source}
        heads = (self.tr("Figure"), self.tr("Value"), self.tr("Spread (±)"), self.tr("Source"))
        for column, text in enumerate(heads):
            head = plain_label(text, self)
            head.setForegroundRole(head.palette().ColorRole.PlaceholderText)
            self._grid.addWidget(head, 0, column)
        self._add_fields()

    def _add_fields(self) -> None:
        model = MachineProfile.model_fields[self._section].annotation
        assert isinstance(model, type) and issubclass(model, Section)
        specs = {spec.key: spec for spec in model.specs()}
        for key, field in model.model_fields.items():
            address = ("machine", self._section, key)
            title = field.title or key
            if key in specs:
                self._add_figure(address, specs[key])
            elif key == "state":
                self._add_choice(address, title, {one: texts.label(one) for one in CatalogueState})
            elif key == "spring_legs":
                self._add_choice(address, title, {1: self.tr("one"), 2: self.tr("both")})
            elif key == "linkage":
                self._linkage = LinkageTable(self._history, self)
                self.fields.append(self._linkage)
        if self._section == "rear":
            self._grid.addWidget(self._linkage, self._next_row("linkage"), 0, 1, 5)
        self._grid.setRowStretch(self._next_row("end"), 1)

    def _add_figure(self, address: Address, spec: FigureSpec) -> None:
        spread = FigureSpec(
            spec.key,
            self.tr("Spread: {label}").format(label=spec.label),
            self.tr("One standard deviation"),
            spec.kind,
            0.0,
            spec.high,
            optional=False,
        )
        row = self._add_row(
            address, spec.label, FigureEntry(self._history, address, spec, self), help=spec.help
        )
        deviation = SpreadEntry(self._history, address, spread, self)
        deviation.setFixedWidth(_NUMBER_WIDTH)
        source = SourceEntry(
            self._history,
            address,
            self.tr("Source: {label}").format(label=spec.label),
            self._sources,
            self,
        )
        source.setFixedWidth(_SOURCE_WIDTH)
        self._grid.addWidget(deviation, row, 2, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(source, row, 3, Qt.AlignmentFlag.AlignTop)
        self.fields += [deviation, source]
        note = plain_label("", self)
        note.setPixmap(self.style().standardIcon(_INFORMATION).pixmap(QSize(16, 16)))
        self._grid.addWidget(note, row, 4)
        self._notes[address] = note

    def _add_choice(self, address: Address, title: str, labels: Mapping[Any, str]) -> None:
        self._add_row(address, title, ChoiceEntry(self._history, address, title, labels, self))

    def _next_row(self, key: str) -> int:
        self._rows[key] = 2 * len(self._rows)
        return self._rows[key]

    def _add_row(
        self, address: Address, title: str, field: QuantityEntry | ChoiceEntry, help: str = ""
    ) -> int:
        label = plain_label(title.replace("&", "&&"), self, wrap=True)
        label.setBuddy(field)
        label.setToolTip(tip(help))
        field.set_help(help)
        label.setMinimumHeight(field.sizeHint().height())
        field.setFixedWidth(_NUMBER_WIDTH)
        row = self._next_row(str(address[-1]))
        self._grid.addWidget(label, row, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(field, row, 1, Qt.AlignmentFlag.AlignTop)
        self.fields.append(field)
        return row

    def show_job(self, job: Job) -> None:
        """Show the figures of the job's machine."""
        for field in self.fields:
            field.show_job(job)
        for address, note in self._notes.items():
            figure: Figure | None = value_at(job, address)
            words = figure.note if figure is not None else ""
            note.setToolTip(tip(words))
            note.setAccessibleDescription(words)
            note.setVisible(bool(words))

    def show_findings(self, findings: tuple[Finding, ...], system: UnitSystem) -> None:
        """Say below each figure what is odd about it, with its likely mend."""
        told: dict[str, list[Finding]] = {}
        for finding in findings:
            section, _, key = finding.key.partition(".")
            if section == self._section:
                # Of a table's rows the table tells.
                told.setdefault(key.split(".")[0], []).append(finding)
        for key in self.remarks.keys() | told.keys():
            here = told.get(key, [])
            words = "\n".join(f"{one.text} {one.mend}" for one in here)
            words = fill(words, system, decimal_mark=decimal_mark(self.locale()))
            self._remark(key).show_text(words, here[0].severity if here else NOTE)

    def _remark(self, key: str) -> Remark:
        if key not in self.remarks:
            self.remarks[key] = Remark(self)
            self._grid.addWidget(self.remarks[key], self._rows.get(key, 0) + 1, 0, 1, 5)
        return self.remarks[key]


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
        self.setWindowTitle(self.tr("Figures of this machine"))
        self._list = QListWidget(self)
        self._list.setAccessibleName(self.tr("Sections"))
        self._list.addItems([self._title(key) for key in self._keys])
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
        library = self._profiles.get(job.machine.id)
        self.reset.setEnabled(library is not None and library != job.machine)
        for form in self._forms.values():
            form.show_job(job)

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Mark the sections and figures that look like slips; opens at the worst."""
        self._findings = findings
        slips = slips_among(findings)
        if slips and not self.isVisible():
            self.show_section(findings[0].key.split(".")[0])
        for row, key in enumerate(self._keys):
            count = sum(section == key for section, _ in slips)
            item = self._list.item(row)
            item.setText(f"{self._title(key)} ({count})" if count else self._title(key))
            font = item.font()
            font.setBold(count > 0)
            item.setFont(font)
        words = ""
        if len(slips) == 1:
            words = self.tr("1 figure looks like a slip; below it stands what may mend it.")
        elif slips:
            words = self.tr("{count} figures look like slips; below each stands its likely mend.")
        self.slips.show_text(words.format(count=len(slips)), CAUTION)
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

    def _title(self, key: str) -> str:
        titles = {
            "catalogue": self.tr("Data sheet"),
            "masses": self.tr("Masses"),
            "wheels": self.tr("Wheels"),
            "fork": self.tr("Fork"),
            "rear": self.tr("Rear"),
            "seat": self.tr("Seat"),
            "controls": self.tr("Controls"),
            "stand": self.tr("Side-stand"),
            "chain": self.tr("Chain"),
            "lamps": self.tr("Lamps and plate"),
            "ways": self.tr("Ways to lower"),
            "springs": self.tr("Prices of springs"),
            "torques": self.tr("Torques"),
        }
        return titles.get(key, key.capitalize())

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
