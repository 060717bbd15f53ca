"""Owns the shop's own profiles for one window: where they lie, and that the library follows.

What lies in the folder is looked at on a thread of its own and put into `Machines`; a folder that
cannot be read leaves the program with the machines that come with it, and says so calmly. Refuses
to edit a profile.
"""

from pathlib import Path

from PySide6.QtCore import QObject, Signal

from fitplanner import paths
from fitplanner.store.files import StoreError
from fitplanner.store.profiles import Shelf
from fitplanner.ui.attending import Attending, GivenUpError
from fitplanner.ui.profiles.machines import Machines
from fitplanner.ui.profiles.watching import ShelfWatch, Sight
from fitplanner.ui.settings import Settings

_MOST_TOLD = 3


class Shelving(Attending):
    """The shelf of one window."""

    changed = Signal()
    """Another folder, other profiles in it, or another trouble with it."""

    def __init__(
        self,
        machines: Machines,
        settings: Settings,
        parent: QObject | None = None,
        watch: ShelfWatch | None = None,
    ) -> None:
        super().__init__("profiles", parent)
        self._machines = machines
        self._settings = settings
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

    def show_invented(self, wanted: bool) -> None:
        """Whether the made-up machines stand beside those of the shop."""
        self._settings.change(show_invented=wanted)
        self._machines.show_invented(wanted)

    def look(self) -> None:
        """Look at the folder soon."""
        self._watch.look()

    def close(self) -> None:
        """End both threads; what is being saved is finished."""
        self._watch.close()
        self.worker.shutdown(wait=not self.waiting, cancel_futures=True)

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
