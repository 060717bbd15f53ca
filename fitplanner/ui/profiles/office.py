"""Owns the two windows about machines, over the main one: the list and the editor.

Both are built when one of them is first wanted, or when a former run left a profile unsaved.
Refuses what they do.
"""

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from fitplanner import paths
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.rules import load_rules
from fitplanner.quantities import UnitSystem
from fitplanner.ui.beside import bring_up
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.keeping import Keeping
from fitplanner.ui.profiles.editor import ProfileEditor
from fitplanner.ui.profiles.importing import Importing
from fitplanner.ui.profiles.machines import Machines
from fitplanner.ui.profiles.shelving import Shelving
from fitplanner.ui.profiles.window import MachinesWindow
from fitplanner.ui.widgets.mark import NOTE


class Office(QObject):
    """At most one list and one editor."""

    use_wanted = Signal(object)
    """The profile is to be the machine of the job at hand."""

    def __init__(
        self,
        machines: Machines,
        shelving: Shelving,
        dialogs: Dialogs,
        job: Callable[[], Job],
        window: QWidget,
    ) -> None:
        super().__init__(window)
        rules = load_rules(paths.rules_file())
        self.editor = ProfileEditor(rules, machines, shelving, dialogs, job, window)
        self.importing = Importing(machines, shelving, dialogs, self)
        self.list = MachinesWindow(machines, shelving, self.importing, self.editor, dialogs, window)
        self._keeping = Keeping(
            self.editor.session,
            dialogs,
            self,
            place=paths.profile_autosave_file(),
            name_of=lambda job: job.machine.name,
        )
        left = self._keeping.start()
        if left is not None:
            self.list.go_on(left.job.machine)
        self.editor.use_wanted.connect(self._use)
        self.list.use_wanted.connect(self._use)
        self._job, self._window = job, window

    def show_list(self) -> None:
        """Open the list."""
        bring_up(self.list, self._window)

    def new(self) -> None:
        """Make a machine."""
        self.list.new()

    def edit(self, profile: MachineProfile) -> None:
        """Mend a machine."""
        self.list.edit_profile(profile)

    def _use(self, profile: MachineProfile) -> None:
        """Pass it on, and say here what became of it: the job's window may lie behind."""
        self.use_wanted.emit(profile)
        if self._job().machine == profile:
            words = self.tr(
                "{name} is the machine of this job now; its plan is in the main window."
            )
            said = words.format(name=profile.name)
            self.editor.beside.says.show_text(said, NOTE)
            self.list.say(said)

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self.editor.set_system(system)
        self.list.set_system(system)

    def refresh(self) -> None:
        """The job at hand changed."""
        self.editor.refresh()

    def may_leave(self) -> bool:
        """Whether the program may end: no profile is unsaved, or it was given up."""
        return self.editor.may_leave()

    def shut(self) -> None:
        """End what is worked out; call it once."""
        self._keeping.close()
        self.editor.shut()
        self.list.shut()
