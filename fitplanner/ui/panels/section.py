"""Owns the figures of one section of the profile as a form, with what looks odd below each.

Refuses to know in which window it stands: each edit goes to the history that it was given.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from PySide6.QtCore import QCoreApplication, QSize, Qt, Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QLabel,
    QStyle,
    QWidget,
)

from fitplanner.documents.base import Figure, FigureSpec, Section, Source
from fitplanner.documents.errors import Address
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
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
from fitplanner.ui.forms import plain_label, tip
from fitplanner.ui.panels.linkage import LinkageTable
from fitplanner.ui.panels.state import StateEntry
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
        self._found: dict[str, list[Finding]] = {}
        self._entries: dict[str, FigureEntry] = {}
        self._machine: MachineProfile | None = None
        self._finding_system = UnitSystem.METRIC
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
                self._add_row(address, title, StateEntry(self._history, title, self))
            elif key == "spring_legs":
                self._add_choice(address, title, {1: self.tr("one"), 2: self.tr("both")})
            elif key == "linkage":
                self._linkage = LinkageTable(self._history, self)
                self.fields.append(self._linkage)
        if self._linkage is not None:
            self._grid.addWidget(self._linkage, self._next_row("linkage"), 0, 1, 5)
        self._grid.setRowStretch(self._next_row("end"), 1)

    def _add_figure(self, address: Address, spec: FigureSpec) -> None:
        entry = self._value_entry(address, spec)
        entry.meant_below = True
        entry.told.connect(self._offer_meant)
        self._entries[spec.key] = entry
        row = self._add_row(address, spec.label, entry, help=spec.help)
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
        self._found, self._finding_system = told, system
        for key in self.remarks.keys() | told.keys():
            self._say(key)

    def _say(self, key: str) -> None:
        """Below a figure: what its text may mean, else what is odd about it."""
        here, entry = self._found.get(key, []), self._entries.get(key)
        if entry is not None and entry.message() and (meant := entry.meant()):
            action = self.tr("Take as {typed}").format(typed=meant)
            self._remark(key).show_text(self._named(key, entry.message()), CAUTION, action)
            return
        mend = next((one for one in here if one.changes), None)
        if mend is not None:
            self._mends[key] = mend
        mark, system = decimal_mark(self.locale()), self._finding_system
        words = self._named(key, "\n".join(f"{one.text} {one.mend}" for one in here))
        self._remark(key).show_text(
            fill(words, system, decimal_mark=mark),
            here[0].severity if here else NOTE,
            fill(mend.action, system, decimal_mark=mark) if mend else "",
        )

    def _offer_meant(self) -> None:
        entry = self.sender()
        if isinstance(entry, FigureEntry):
            key = str(entry.address[-1])
            if key in self.remarks or entry.meant():
                self._say(key)

    def refused(self) -> set[tuple[str, str]]:
        """Section and figure of the fields whose text is told as not taken."""
        return {(self._section, key) for key, one in self._entries.items() if one.message()}

    def _remark(self, key: str) -> Remark:
        if key not in self.remarks:
            self.remarks[key] = remark = Remark(self)
            self._place(remark, key)
            remark.setObjectName(key)
            remark.acted.connect(self._mend)
            self._follow_in_tab_order(remark.button, self._rows.get(key, 0))
        return self.remarks[key]

    def _place(self, remark: Remark, key: str) -> None:
        """Put a remark where it is seen: below its figure."""
        self._grid.addWidget(remark, self._rows.get(key, 0) + 1, 0, 1, 5)

    def _named(self, key: str, words: str) -> str:
        """The words of a remark; the figure's name stands above them."""
        return words

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
        entry = self._entries.get(key)
        if entry is not None and entry.meant():
            entry.setFocus(Qt.FocusReason.OtherFocusReason)
            entry.take_meant()
            return
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
