"""Owns the choice of the machine and a short view of its catalogue figures."""

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.job import Job
from fitplanner.documents.machine import INVENTED, MachineKind, MachineProfile
from fitplanner.quantities import Kind, UnitSystem, format_quantity
from fitplanner.session.edits import with_machine
from fitplanner.ui import texts
from fitplanner.ui.forms import note_label, plain_label, set_note, tip
from fitplanner.ui.profiles.machines import Machines
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import decimal_mark
from fitplanner.ui.widgets.mark import CAUTION, NOTE
from fitplanner.ui.widgets.message_line import MessageLine
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.wheel import scrolls_past

_FACTS = (
    ("catalogue", "seat_height_mm"),
    ("fork", "travel_mm"),
    ("rear", "travel_mm"),
    ("catalogue", "wheelbase_mm"),
    ("catalogue", "ground_clearance_mm"),
    ("masses", "running_order_kg"),
)


# Where a combo box's own model keeps the flags of a row.
_FLAGS = Qt.ItemDataRole.UserRole - 1


class MachineChooser(QComboBox):
    """The machines of the library, grouped by kind."""

    chosen = Signal(object)
    """The profile picked by the user."""

    def __init__(
        self, profiles: Mapping[str, MachineProfile], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._profiles = profiles
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(12)
        self.setMaxVisibleItems(24)
        self.setAccessibleName(self.tr("Machine"))
        self.list_machines()
        scrolls_past(self)
        self.activated.connect(self._activated)

    def list_machines(self) -> None:
        """List the library as it is now; the machine shown stays."""
        shown = self.currentData()
        self.clear()
        for kind in MachineKind:
            group = [one for one in self._profiles.values() if one.kind is kind]
            if group:
                self._add_heading(texts.label(kind))
            for profile in group:
                self.addItem(profile.name, profile.id)
        self.setCurrentIndex(-1 if shown is None else self.findData(shown))

    def show_machine(self, machine: MachineProfile) -> None:
        """Show the machine of the job, also where the library does not know it."""
        self.setPlaceholderText(machine.name)
        self.setCurrentIndex(self.findData(machine.id))

    def _add_heading(self, text: str) -> None:
        """A row that cannot be chosen; its flags are set by their role, not at the model's item.

        Python would keep that item's address when the list is cleared, and take whatever lies
        there next for an item.
        """
        self.addItem(text)
        row = self.count() - 1
        self.setItemData(row, int(Qt.ItemFlag.NoItemFlags.value), _FLAGS)
        font = self.font()
        font.setBold(True)
        self.setItemData(row, font, Qt.ItemDataRole.FontRole)

    def _activated(self, index: int) -> None:
        profile = self._profiles.get(self.itemData(index))
        if profile is not None:
            self.chosen.emit(profile)


class MachinePanel(QWidget):
    """Chooser, catalogue facts and the way to all figures."""

    figures_wanted = Signal()
    """The user wants to see all figures of the machine."""
    new_wanted = Signal()
    """The user wants to make a machine."""
    edit_wanted = Signal()
    """The user wants to mend this machine's profile."""
    library_wanted = Signal(object)
    """The library's profile is to take the place of the job's."""

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
        self._machine: MachineProfile | None = None
        self.chooser = MachineChooser(profiles, self)
        self.shelf = Remark(self)
        self.problem = MessageLine(self)
        self.invented = Remark(self)
        self.slips = Remark(self)
        self._note = note_label(self)
        self.changed = Remark(self)
        self._facts: dict[tuple[str, str], QLabel] = {}
        self.figures_button = QPushButton(self.tr("&Figures, this job only…"), self)
        self.figures_button.setToolTip(
            tip(self.tr("What is changed there counts for this job; the library stays as it is"))
        )
        self.new_button = QPushButton(self.tr("Ne&w machine…"), self)
        self.edit_button = QPushButton(self.tr("E&dit shop's profile…"), self)
        self.edit_button.setToolTip(
            tip(self.tr("What is saved there stands in the library, for all jobs to come"))
        )
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(3)
        grid.setColumnStretch(0, 1)
        for row, (section, key) in enumerate(_FACTS):
            model = MachineProfile.model_fields[section].annotation
            assert model is not None
            label = plain_label(model.model_fields[key].title, self)
            value = plain_label("", self)
            value.setAlignment(Qt.AlignmentFlag.AlignRight)
            grid.addWidget(label, row, 0)
            grid.addWidget(value, row, 1)
            self._facts[section, key] = value
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.shelf)
        column.addWidget(self.chooser)
        column.addWidget(self.problem)
        column.addWidget(self.slips)
        column.addWidget(self.invented)
        column.addWidget(self._note)
        column.addLayout(grid)
        column.addWidget(self.changed)
        column.addWidget(self.figures_button)
        buttons = QHBoxLayout()
        buttons.addWidget(self.new_button)
        buttons.addWidget(self.edit_button)
        column.addLayout(buttons)
        self.chooser.chosen.connect(self._choose)
        self.figures_button.clicked.connect(self.figures_wanted)
        self.new_button.clicked.connect(self.new_wanted)
        self.edit_button.clicked.connect(self.edit_wanted)
        self.changed.acted.connect(self._take_library)

    def show_job(self, job: Job) -> None:
        """Show the job's machine."""
        if job.machine is self._machine:
            return
        self._machine = job.machine
        self.chooser.show_machine(job.machine)
        self.invented.show_text(self.tr(INVENTED) if job.machine.invented else "", NOTE)
        set_note(self._note, job.machine.note)
        self._show_against_library(job.machine)
        self._show_facts()

    def list_machines(self) -> None:
        """The library is another one."""
        self.chooser.list_machines()
        if self._machine is not None:
            self.chooser.show_machine(self._machine)
            self._show_against_library(self._machine)

    def show_shelf(self, text: str) -> None:
        """Say what is wrong with the shop's folder of profiles; "" where nothing is."""
        self.shelf.show_text(text, CAUTION)

    def _show_against_library(self, machine: MachineProfile) -> None:
        library = self._profiles.get(machine.id)
        offered = library is not None and library != machine
        action = self.tr("Take the library's") if offered else ""
        self.changed.show_text(self._against_library(machine), NOTE, action)

    def _take_library(self) -> None:
        machine = self._machine
        library = None if machine is None else self._profiles.get(machine.id)
        if library is not None:
            self.library_wanted.emit(library)

    def _against_library(self, machine: MachineProfile) -> str:
        """How the job's machine stands to the one of the library."""
        library = self._profiles.get(machine.id)
        if library is None:
            return self.tr("This machine comes with the job; the library does not hold it.")
        if library == machine:
            if isinstance(self._profiles, Machines) and self._profiles.replaces_shipped(machine.id):
                return self.tr(
                    "The shop's own profile; it stands in the place of the one that comes with "
                    "the program."
                )
            return ""
        if library.revision != machine.revision:
            words = self.tr("Planned on revision {old} of this machine; the library holds {new}.")
            return words.format(old=machine.revision, new=library.revision)
        return self.tr("Figures of this machine were changed for this job.")

    def discard(self) -> None:
        """Nothing is typed here."""

    def show_problem(self, text: str) -> None:
        """Say why no machine can be built from the figures; "" where it can."""
        self.problem.show_text(text)

    def show_slips(self, count: int) -> None:
        """Say how many figures look like slips; the window with all figures tells which."""
        words = ""
        if count == 1:
            words = self.tr("1 figure looks like a slip: see Figures, this job only.")
        elif count:
            words = self.tr("{count} figures look like slips: see Figures, this job only.")
        self.slips.show_text(words.format(count=count), CAUTION)

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        self._show_facts()

    def _show_facts(self) -> None:
        if self._machine is None:
            return
        for (section, key), label in self._facts.items():
            kind = Kind.MASS if key.endswith("_kg") else Kind.LENGTH
            figure = getattr(getattr(self._machine, section), key)
            mark = decimal_mark(self.locale())
            label.setText(format_quantity(figure.value, kind, self._system, decimal_mark=mark))

    def _choose(self, profile: MachineProfile) -> None:
        words = self.tr("Machine: {name}").format(name=profile.name)
        self._history.change(with_machine(self._history.job, profile), words)
