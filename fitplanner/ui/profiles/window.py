"""Owns the list of machines: what comes with the program, what the shop made itself.

From here a profile is made, copied, mended, removed, taken in, given out, and used in the job at
hand. Refuses to edit; the editor does.
"""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.base import Figure
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.compare_profiles import is_older
from fitplanner.library.ids import free_id
from fitplanner.library.rules.document import SPECS
from fitplanner.quantities import UnitSystem
from fitplanner.store.profiles import same_content
from fitplanner.ui import texts
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.forms import plain_label
from fitplanner.ui.profiles.editor import ProfileEditor
from fitplanner.ui.profiles.importing import Importing
from fitplanner.ui.profiles.machines import Machines
from fitplanner.ui.profiles.shelving import Shelving
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.text import Text
from fitplanner.ui.widgets.tree import show_rows_alone

_ID = Qt.ItemDataRole.UserRole
_LOOK = (
    "QTreeView::item { padding: 4px 8px; } "
    "QHeaderView::section { padding: 5px 8px; border: none; background: palette(button); }"
)


class MachinesWindow(QDialog):
    """All profiles that can be chosen."""

    use_wanted = Signal(object)
    """The profile is to be the machine of the job at hand."""

    def __init__(
        self,
        machines: Machines,
        shelving: Shelving,
        importing: Importing,
        editor: ProfileEditor,
        dialogs: Dialogs,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._machines, self._shelving, self._importing = machines, shelving, importing
        self._editor, self._dialogs = editor, dialogs
        self._system = UnitSystem.METRIC
        self.setWindowTitle(self.tr("Machines of the shop"))
        self.words = QLineEdit(self)
        self.words.setPlaceholderText(self.tr("Part of a name"))
        self.words.setClearButtonEnabled(True)
        self.tree = QTreeWidget(self)
        self.tree.setRootIsDecorated(False)
        self.tree.setUniformRowHeights(True)
        self.tree.setAccessibleName(self.tr("Machines"))
        self.tree.setHeaderLabels(
            [
                self.tr("Machine"),
                self.tr("Kind"),
                self.tr("Whose"),
                self.tr("Revision"),
                self.tr("Seat"),
                self.tr("Known figures"),
            ]
        )
        show_rows_alone(self.tree, _LOOK, wide=0)
        self.says = Text(faint=True, parent=self)
        self.new_button = QPushButton(self.tr("&New…"), self)
        self.edit_button = QPushButton(self.tr("&Edit…"), self)
        self.copy_button = QPushButton(self.tr("&Copy…"), self)
        self.remove_button = QPushButton(self.tr("&Remove…"), self)
        self.read_button = QPushButton(self.tr("&Import…"), self)
        self.export_button = QPushButton(self.tr("E&xport…"), self)
        self.use_button = QPushButton(self.tr("&Use in this job"), self)
        self._lay_out()
        self._unsubscribe = machines.subscribe(self._list)
        for button, slot in (
            (self.new_button, self.new),
            (self.edit_button, self.edit),
            (self.copy_button, self.copy),
            (self.remove_button, self.remove),
            (self.read_button, self.take_in),
            (self.export_button, self.give_out),
            (self.use_button, self.use),
        ):
            button.clicked.connect(slot)
        self.words.textChanged.connect(self._list)
        self.tree.itemActivated.connect(self._activated)
        self.tree.currentItemChanged.connect(self._picked)
        self.resize(900, 560)
        self._list()

    def _lay_out(self) -> None:
        label = plain_label(self.tr("&Find"), self)
        label.setBuddy(self.words)
        top = QHBoxLayout()
        top.addWidget(label)
        top.addWidget(self.words, 1)
        beside = QVBoxLayout()
        for button in (self.new_button, self.edit_button, self.copy_button, self.remove_button):
            beside.addWidget(button)
        beside.addSpacing(14)
        for button in (self.read_button, self.export_button):
            beside.addWidget(button)
        beside.addSpacing(14)
        beside.addWidget(self.use_button)
        beside.addStretch(1)
        for button in self.findChildren(QPushButton):
            button.setAutoDefault(False)
        row = QHBoxLayout()
        row.addWidget(self.tree, 1)
        row.addLayout(beside)
        column = QVBoxLayout(self)
        column.addLayout(top)
        column.addLayout(row, 1)
        column.addWidget(self.says)

    # What is picked.

    def picked(self) -> MachineProfile | None:
        """The profile that the next command is about."""
        item = self.tree.currentItem()
        return None if item is None else self._machines.get(item.data(0, _ID))

    def pick(self, id: str) -> None:
        """Go to a profile in the list."""
        for row in range(self.tree.topLevelItemCount()):
            item = self.tree.topLevelItem(row)
            if item is not None and item.data(0, _ID) == id:
                self.tree.setCurrentItem(item)

    def set_system(self, system: UnitSystem) -> None:
        """Show lengths in another unit system."""
        if system is not self._system:
            self._system = system
            self._list()

    def say(self, words: str) -> None:
        """Say below the list what was done, until another machine is picked."""
        self.says.setText(words)

    def shut(self) -> None:
        """The list is no longer kept; call it once."""
        self._unsubscribe()

    # What is done with it.

    def new(self) -> None:
        """Make a profile of which nothing is known yet."""
        self._show_editor(self._editor.begin())

    def edit(self) -> None:
        """Mend a profile; of one that comes with the program the shop keeps its own from now on."""
        profile = self.picked()
        if profile is not None:
            self.edit_profile(profile)

    def edit_profile(self, profile: MachineProfile) -> None:
        """Mend `profile`, which a job may hold otherwise than the library.

        An older revision leaves the job what it has, and the library's comes on the table. Figures
        of the job's own are shown beside it first: a save must not bring them in unseen.
        """
        base, library = self._machines.own.get(profile.id), self._machines.get(profile.id)
        if library is None or same_content(library, profile):
            self._show_editor(self._editor.begin(library or profile, base))
        elif is_older(profile, library):
            words = self.tr(
                "This is revision {new}, of the library. The job was planned on revision {old} and "
                "keeps it until you use this one in the job."
            )
            says = words.format(new=library.revision, old=profile.revision)
            self._show_editor(self._editor.begin(library, base, says=says))
        else:
            self._edit_of_two(library, profile, base)

    def _edit_of_two(
        self, library: MachineProfile, held: MachineProfile, base: MachineProfile | None
    ) -> None:
        """Let the user see what the job holds otherwise, and say what comes on the table."""
        # Loaded where it is needed, which is seldom.
        from fitplanner.ui.profiles.replacing import Kept
        from fitplanner.ui.profiles.wording import edit_words

        kept, profile = self._dialogs.ask_which_profile(
            library, held, held, edit_words(), self._shelving.figures(), self._machines.ids()
        )
        if kept is Kept.BOTH:
            self._show_editor(self._editor.begin(profile, new=True, unsaved=True))
        elif kept is not None:
            begun = profile.replace(revision=library.revision)
            self._show_editor(self._editor.begin(begun, base, unsaved=begun != library))

    def go_on(self, profile: MachineProfile) -> None:
        """Take up a profile that a former run left unsaved."""
        new = profile.id not in self._machines.ids()
        base = self._machines.own.get(profile.id)
        self._show_editor(self._editor.begin(profile, base, new=new, unsaved=True))

    def copy(self) -> None:
        """Begin a profile with the figures of another one."""
        profile = self.picked()
        if profile is not None:
            name = self.tr("{name}, copy").format(name=profile.name)[:120]
            copied = profile.replace(id=free_id(name, self._machines.ids()), name=name, revision=1)
            self._show_editor(self._editor.begin(copied, new=True, unsaved=True))

    def remove(self) -> None:
        """Take one of the shop's own off the shelf."""
        profile = self.picked()
        if profile is not None and self._dialogs.ask_remove_profile(profile.name):
            self._shelving.remove(profile)

    def take_in(self) -> None:
        """Take in a profile from a file."""
        kept = self._importing.import_()
        if kept is not None:
            self.pick(kept.id)

    def give_out(self) -> None:
        """Write a profile to a file."""
        profile = self.picked()
        path = None if profile is None else self._importing.export(profile)
        if path is not None:
            self.say(self.tr("Written: {file}").format(file=path))

    def use(self) -> None:
        """Put the job at hand on a profile."""
        profile = self.picked()
        if profile is not None:
            self.use_wanted.emit(profile)

    # Inside.

    def _list(self) -> None:
        machines, wanted = self._machines, self.words.text().strip().casefold()
        before = self.picked()
        figures = Figures.of(self._system, self.locale())
        self.tree.blockSignals(True)
        self.tree.clear()
        for id, profile in machines.items():
            if wanted in profile.name.casefold():
                known, whole = known_figures(profile)
                item = QTreeWidgetItem(
                    [
                        profile.name,
                        texts.label(profile.kind),
                        self._whose(id, profile),
                        str(profile.revision),
                        figures.text(profile.catalogue.seat_height_mm.value),
                        (
                            self.tr("{whole}, invented")
                            if profile.invented
                            else self.tr("{known} of {whole}")
                        ).format(known=known, whole=whole),
                    ]
                )
                item.setData(0, _ID, id)
                self.tree.addTopLevelItem(item)
        self.tree.blockSignals(False)
        if before is not None:
            self.pick(before.id)
        first = self.tree.topLevelItem(0)
        if self.tree.currentItem() is None and first is not None:
            self.tree.setCurrentItem(first)
        self._picked()

    def _whose(self, id: str, profile: MachineProfile) -> str:
        if self._machines.is_own(id):
            return self.tr("the shop's, invented") if profile.invented else self.tr("the shop's")
        return self.tr("invented example") if profile.invented else self.tr("with the program")

    def _picked(self) -> None:
        profile = self.picked()
        own = profile is not None and self._machines.is_own(profile.id)
        for button in (self.edit_button, self.copy_button, self.export_button, self.use_button):
            button.setEnabled(profile is not None)
        self.remove_button.setEnabled(own)
        self.says.setText("" if profile is None else profile.note)

    def _activated(self) -> None:
        self.edit()

    def _show_editor(self, begun: bool) -> None:
        if begun:
            self._editor.show()
            self._editor.raise_()
            self._editor.activateWindow()


def known_figures(profile: MachineProfile) -> tuple[int, int]:
    """How many figures somebody read or measured, and how many there are without empty ones."""
    found = [getattr(getattr(profile, section), key) for section, key in SPECS]
    there = [each for each in found if isinstance(each, Figure)]
    return sum(each.source != "assumed" for each in there), len(there)
