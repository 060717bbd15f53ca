"""Owns the window with all figures of the job's machine: value, spread, origin and note.

What is changed here holds for this job only. Sections are built when they are first looked at,
because there are about a hundred figures.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from PySide6.QtCore import QCoreApplication, QSize, Qt, Signal
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
from fitplanner.library.slips.finding import Finding, mended
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
from fitplanner.ui.spring.window import SpringButton
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import decimal_mark
from fitplanner.ui.widgets.mark import CAUTION, NOTE
from fitplanner.ui.widgets.remark import Remark

_INFORMATION = QStyle.StandardPixmap.SP_MessageBoxInformation
_NUMBER_WIDTH = 150
_SOURCE_WIDTH = 120


class SectionForm(QWidget):
    """The figures of one section of the profile, or those of `keys` alone."""

    mended = Signal(object)
    """The likely mend of this finding was carried out, as one step."""

    def __init__(
        self,
        history: History,
        section: str,
        parent: QWidget | None = None,
        *,
        keys: Sequence[str] | None = None,
    ) -> None:
        """`keys` are in the order in which they stand."""
        super().__init__(parent)
        self._history = history
        self._section = section
        self._keys = keys
        self.fields: list[JobField] = []
        self._notes: dict[Address, QLabel] = {}
        self.remarks: dict[str, Remark] = {}
        self._mends: dict[str, Finding] = {}
        self._machine: MachineProfile | None = None
        # Every other row is kept for a remark on the figure above it.
        self._rows: dict[str, int] = {"": 0}
        self._linkage: LinkageTable | None = None
        self._grid = QGridLayout(self)
        self._grid.setHorizontalSpacing(12)
        self._grid.setColumnStretch(0, 1)
        for column, text in enumerate(self._heads()):
            head = plain_label(text, self)
            head.setForegroundRole(head.palette().ColorRole.PlaceholderText)
            self._grid.addWidget(head, 0, column)
        self._add_fields()

    def _heads(self) -> tuple[str, ...]:
        """The words over the columns."""
        return self.tr("Figure"), self.tr("Value"), self.tr("Spread (±)"), self.tr("Source")

    def _add_fields(self) -> None:
        model = MachineProfile.model_fields[self._section].annotation
        assert isinstance(model, type) and issubclass(model, Section)
        specs = {spec.key: spec for spec in model.specs()}
        for key in self._keys or model.model_fields:
            address = ("machine", self._section, key)
            title = model.model_fields[key].title or key
            if key in specs:
                self._add_figure(address, specs[key])
                if key == "spring_rate_n_mm":
                    self._add_spring_button()
            elif key == "state":
                self._add_choice(address, title, {one: texts.label(one) for one in CatalogueState})
            elif key == "spring_legs":
                self._add_choice(address, title, {1: self.tr("one"), 2: self.tr("both")})
            elif key == "linkage":
                self._linkage = LinkageTable(self._history, self)
                self.fields.append(self._linkage)
        if self._linkage is not None:
            self._grid.addWidget(self._linkage, self._next_row("linkage"), 0, 1, 5)
        self._grid.setRowStretch(self._next_row("end"), 1)

    def _add_figure(self, address: Address, spec: FigureSpec) -> None:
        row = self._add_row(address, spec.label, self._value_entry(address, spec), help=spec.help)
        self._add_origin(row, address, spec)

    def _value_entry(self, address: Address, spec: FigureSpec) -> FigureEntry:
        """The field of the value."""
        return FigureEntry(self._history, address, spec, self)

    def _add_origin(self, row: int, address: Address, spec: FigureSpec) -> None:
        """Beside the value: how far it may be off, and where it comes from."""
        deviation = spread_entry(self._history, address, spec, self)
        deviation.setFixedWidth(_NUMBER_WIDTH)
        source = source_entry(self._history, address, spec, self)
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

    def _add_spring_button(self) -> None:
        button = SpringButton(self._history, "fork" if self._section == "fork" else "rear", self)
        self.fields.append(button)
        self._grid.addWidget(button, self._next_row("spring"), 1, 1, 2)

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
        if self._machine is not None and self._machine is not job.machine:
            # What was found is of the machine before; findings of this one come.
            for remark in self.remarks.values():
                remark.hold()
        self._machine = job.machine
        for address, note in self._notes.items():
            figure: Figure | None = value_at(job, address)
            words = figure.note if figure is not None else ""
            note.setToolTip(tip(words))
            note.setAccessibleDescription(words)
            note.setVisible(bool(words))

    def show_findings(self, findings: tuple[Finding, ...], system: UnitSystem) -> None:
        """Say below each figure what is odd about it, with its likely mend and its button."""
        told: dict[str, list[Finding]] = {}
        for finding in findings:
            section, key = finding.figure
            if section == self._section:
                told.setdefault(key, []).append(finding)
        self._mends.clear()
        mark = decimal_mark(self.locale())
        for key in self.remarks.keys() | told.keys():
            here = told.get(key, [])
            mend = next((one for one in here if one.changes), None)
            if mend is not None:
                self._mends[key] = mend
            words = "\n".join(f"{one.text} {one.mend}" for one in here)
            self._remark(key).show_text(
                fill(words, system, decimal_mark=mark),
                here[0].severity if here else NOTE,
                fill(mend.action, system, decimal_mark=mark) if mend else "",
            )

    def _remark(self, key: str) -> Remark:
        if key not in self.remarks:
            self.remarks[key] = remark = Remark(self)
            self._grid.addWidget(remark, self._rows.get(key, 0) + 1, 0, 1, 5)
            remark.setObjectName(key)
            remark.acted.connect(self._mend)
            self._follow_in_tab_order(remark.button, self._rows.get(key, 0))
        return self.remarks[key]

    def _follow_in_tab_order(self, button: QWidget, row: int) -> None:
        """Keys come to the button after the row that it stands below."""
        for column in (3, 1, 0):
            item = self._grid.itemAtPosition(row, column)
            field = None if item is None else item.widget()
            if field is not None:
                QWidget.setTabOrder(field, button)
                return

    def _mend(self) -> None:
        """Carry out the mend of the remark whose button was pressed."""
        key = self.sender().objectName()
        finding = self._mends[key]
        job = self._history.job
        # The button goes; the keys go on at the figure that it mended.
        place = self._grid.itemAtPosition(self._rows.get(key, 0), 1)
        if place is not None and place.widget() is not None:
            place.widget().setFocus(Qt.FocusReason.OtherFocusReason)
        step = self.tr("Mend: {label}").format(label=self._label(finding))
        self._history.change(job.replace(machine=mended(job.machine, finding)), step)
        self.mended.emit(finding)

    def _label(self, finding: Finding) -> str:
        model = MachineProfile.model_fields[self._section].annotation
        field = getattr(model, "model_fields", {}).get(finding.figure[1])
        return getattr(field, "title", None) or self.tr("Rear linkage")


def spread_entry(
    history: History, address: Address, spec: FigureSpec, parent: QWidget
) -> SpreadEntry:
    """The field of a figure's spread."""
    words = QCoreApplication.translate("SectionForm", "Spread: {label}").format(label=spec.label)
    help = QCoreApplication.translate("SectionForm", "One standard deviation")
    spread = FigureSpec(spec.key, words, help, spec.kind, 0.0, spec.high, optional=False)
    return SpreadEntry(history, address, spread, parent)


def source_entry(
    history: History, address: Address, spec: FigureSpec, parent: QWidget
) -> SourceEntry:
    """The choice of a figure's source."""
    words = QCoreApplication.translate("SectionForm", "Source: {label}").format(label=spec.label)
    return SourceEntry(history, address, words, {one: texts.label(one) for one in Source}, parent)


def section_title(key: str) -> str:
    """The heading of a section of the profile."""
    return QCoreApplication.translate("FiguresDialog", _TITLES.get(key, key.capitalize()))


_TITLES = {
    "catalogue": "Data sheet",
    "masses": "Masses",
    "wheels": "Wheels",
    "fork": "Fork",
    "rear": "Rear",
    "seat": "Seat",
    "controls": "Controls",
    "stand": "Side-stand",
    "chain": "Chain",
    "lamps": "Lamps and plate",
    "ways": "Ways to lower",
    "springs": "Prices of springs",
    "torques": "Torques",
}

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
