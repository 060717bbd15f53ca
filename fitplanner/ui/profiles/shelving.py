"""Owns the shop's own profiles for one window: where they lie, that the library follows, and
that a save never replaces what nobody has seen.

What lies in the folder is looked at on a thread of its own and put into `Machines`; a folder that
cannot be read leaves the program with the machines that come with it, and says so calmly. Refuses
to edit a profile.
"""

from pathlib import Path

from PySide6.QtCore import QLocale, QObject, Signal

from fitplanner import paths
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import MachineProfile
from fitplanner.store.files import StoreError
from fitplanner.store.profiles import Shelf, ShelfConflictError
from fitplanner.ui.attending import Attending, GivenUpError
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.profiles.machines import Machines
from fitplanner.ui.profiles.place import MachinesPlace
from fitplanner.ui.profiles.watching import ShelfWatch, Sight
from fitplanner.ui.settings import Settings
from fitplanner.ui.widgets.figures import Figures

_MOST_TOLD = 3


class Shelving(Attending):
    """The shelf of one window."""

    changed = Signal()
    """Another folder, other profiles in it, or another trouble with it."""

    def __init__(
        self,
        machines: Machines,
        settings: Settings,
        dialogs: Dialogs,
        parent: QObject | None = None,
        watch: ShelfWatch | None = None,
    ) -> None:
        super().__init__("profiles", parent)
        self._machines = machines
        self._settings = settings
        self._dialogs = dialogs
        self._watch = watch or ShelfWatch()
        self._watch.setParent(self)
        self._watch.seen.connect(self._take)
        self._machines.show_invented(settings.preferences.show_invented)

    # Where it lies.

    @property
    def usual_folder(self) -> Path:
        """Where the profiles lie while no folder is set."""
        return paths.shop_profiles_dir()

    def shelf(self) -> Shelf:
        """The folder as it is set, to be read and written on one thread."""
        return Shelf.at(self._settings.preferences.profiles_folder)

    def open(self) -> None:
        """Begin to look at the folder."""
        self._watch.watch(self.shelf())

    def move(self, setting: str) -> str:
        """Take another folder, once it could be read; returns why that failed, or ""."""
        if setting == self._settings.preferences.profiles_folder:
            return ""
        shelf = Shelf.at(setting)
        try:
            self.wait_for(shelf.read, self.tr("Reading the profiles…"), may_give_up=True)
        except GivenUpError:
            return self.tr("It was not waited for; the profiles stay where they were.")
        except StoreError as error:
            return str(error)
        self._settings.change(profiles_folder=setting)
        self._watch.watch(shelf)
        return ""

    def choose_place(self) -> None:
        """Let the user say where the machines are kept; a folder is tried before it is taken."""
        preferences = self._settings.preferences
        present = MachinesPlace(preferences.profiles_folder, preferences.show_invented)
        self._dialogs.ask_machines_place(
            present, str(self.usual_folder), self.trouble(), self._take_place
        )

    def show_invented(self, wanted: bool) -> None:
        """Whether the made-up machines stand beside those of the shop."""
        self._settings.change(show_invented=wanted)
        self._machines.show_invented(wanted)

    def _take_place(self, place: MachinesPlace) -> str:
        failure = self.move(place.folder)
        if not failure:
            self.show_invented(place.show_invented)
        return failure

    def look(self) -> None:
        """Look at the folder soon."""
        self._watch.look()

    def close(self) -> None:
        """End both threads; what is being saved is finished."""
        self._watch.close()
        self.worker.shutdown(wait=not self.waiting, cancel_futures=True)

    # Saving.

    def save(
        self, profile: MachineProfile, replaces: MachineProfile | None
    ) -> MachineProfile | None:
        """Put `profile` on the shelf; returns what lies there now, None where nothing was saved.

        A refusal is told. Where another counter was faster the user chooses, and what comes back
        may be theirs, or the own one under a new id.

        Args:
            profile: what to keep.
            replaces: what lay on the shelf when the change began; None for a new one.
        """
        if replaces is None:
            profile = self._above_shipped(profile)
        while True:
            try:
                return self._put(profile, replaces)
            except ShelfConflictError as conflict:
                settled = self._settle(conflict)
            if not isinstance(settled, tuple):
                return settled
            profile, replaces = settled

    def remove(self, profile: MachineProfile) -> bool:
        """Take a profile off the shelf; whether that was done. A refusal is told."""
        try:
            self.wait_for(lambda: self.shelf().remove(profile.id), self.tr("Removing the profile…"))
        except GivenUpError:
            return False
        except StoreError as error:
            self._dialogs.refuse_profile(error)
            return False
        left = {id: one for id, one in self._machines.own.items() if id != profile.id}
        self._machines.set_own(left)
        self.look()
        return True

    def _put(
        self, profile: MachineProfile, replaces: MachineProfile | None
    ) -> MachineProfile | None:
        try:
            kept = self.wait_for(
                lambda: self.shelf().save(profile, replaces), self.tr("Saving the machine…")
            )
        except GivenUpError:
            return None
        except (StoreError, DocumentError) as error:
            self._dialogs.refuse_profile(error)
            return None
        self._show(kept)
        return kept

    def _settle(
        self, conflict: ShelfConflictError
    ) -> "tuple[MachineProfile, MachineProfile | None] | MachineProfile | None":
        """What to save next and what it replaces; or what is there already, or nothing."""
        # Loaded where it happens, which is seldom.
        from fitplanner.ui.profiles.replacing import Kept
        from fitplanner.ui.profiles.wording import conflict_words

        mine, theirs = conflict.mine, conflict.theirs
        if theirs is None:
            return (mine, None) if self._dialogs.ask_save_removed(mine.name) else None
        kept, profile = self._dialogs.ask_which_profile(
            mine,
            theirs,
            mine,
            conflict_words(conflict.written, QLocale()),
            self.figures(),
            self._machines.ids(),
            conflict.base,
        )
        if kept is Kept.THEIRS:
            self._show(theirs)
            return theirs
        if kept is Kept.BOTH:
            self._show(theirs)
            return profile, None
        return None if kept is None else (profile, theirs)

    def _above_shipped(self, profile: MachineProfile) -> MachineProfile:
        """A new one in the place of a shipped one counts on, or a job could not tell them apart."""
        shipped = self._machines.shipped.get(profile.id)
        if shipped is None or profile.revision > shipped.revision:
            return profile
        return profile.replace(revision=shipped.revision + 1)

    def _show(self, kept: MachineProfile) -> None:
        self._machines.set_own({**self._machines.own, kept.id: kept})
        self.look()

    def figures(self) -> Figures:
        """How the user reads figures."""
        return Figures.of(self._settings.preferences.unit_system, QLocale())

    # What is there.

    def trouble(self) -> str:
        """What is wrong with the folder and how it is mended; "" where nothing is."""
        sight = self._watch.sight
        if sight is None:
            return ""
        if sight.problem is not None:
            words = self.tr("{problem}\nUntil then only the machines of the program are listed.")
            return words.format(problem=sight.problem)
        broken = sight.shelved.broken
        if not broken:
            return ""
        lines = [f"{one.path.name}: {one.message}" for one in broken[:_MOST_TOLD]]
        if len(broken) > _MOST_TOLD:
            lines.append(self.tr("and {n} more").format(n=len(broken) - _MOST_TOLD))
        head = self.tr("Not usable among the shop's profiles:")
        return "\n".join([head, *lines])

    def _take(self, sight: Sight) -> None:
        self._machines.set_own(sight.shelved.profiles)
        self.changed.emit()
