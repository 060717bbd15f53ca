"""Owns that a profile is saved, removed, taken in and given out, with every failure told.

What has to be done on the shop's folder is waited for with a notice, see `Shelving`. Refuses to
list profiles; `Machines` does, and hears of a change at once.
"""

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QObject

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import MachineProfile
from fitplanner.store.files import StoreError
from fitplanner.store.profiles import ShelfConflictError
from fitplanner.ui.attending import GivenUpError
from fitplanner.ui.dialogs import Dialogs, Theirs
from fitplanner.ui.profiles.machines import Machines
from fitplanner.ui.profiles.shelving import Shelving

T = TypeVar("T")


class Keeper(QObject):
    """Puts profiles of one window on the shelf and takes them off."""

    def __init__(
        self,
        machines: Machines,
        shelving: Shelving,
        dialogs: Dialogs,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.machines = machines
        self._shelving = shelving
        self._dialogs = dialogs

    def ids(self) -> set[str]:
        """Every id that a machine has, also of those that are not listed."""
        return {*self.machines.shipped, *self.machines.own}

    def base_of(self, profile: MachineProfile) -> MachineProfile | None:
        """What the shelf holds of a profile."""
        return self.machines.own.get(profile.id)

    def save(self, profile: MachineProfile, base: MachineProfile | None) -> MachineProfile | None:
        """Put `profile` on the shelf, made from `base`; as it lies there now, or None."""
        words = self.tr("Saving the machine…")
        shipped = self.machines.shipped.get(profile.id)
        if base is None and shipped is not None and profile.revision <= shipped.revision:
            # From now on the shop's own stands in its place.
            profile = profile.replace(revision=shipped.revision + 1)
        try:
            kept = self._do(lambda: self._shelving.shelf().save(profile, base), words)
        except ShelfConflictError as conflict:
            if self._dialogs.ask_other_profile(profile.name, conflict.theirs) is Theirs.LEAVE:
                return None
            return self.save(profile, conflict.theirs)
        if kept is not None:
            self.machines.set_own({**self.machines.own, kept.id: kept})
        return kept

    def remove(self, profile: MachineProfile) -> bool:
        """Take a profile off the shelf; whether that was done."""
        words = self.tr("Removing the machine…")
        if self._do(lambda: self._shelving.shelf().remove(profile.id), words) is None:
            return False
        left = {id: one for id, one in self.machines.own.items() if id != profile.id}
        self.machines.set_own(left)
        return True

    def read(self, path: Path) -> MachineProfile | None:
        """Read a profile from anywhere, without keeping it; None where it was told why not."""
        words = self.tr("Reading the machine…")
        return self._do(lambda: self._shelving.shelf().import_(path), words)

    def export(self, profile: MachineProfile, path: Path) -> bool:
        """Write a profile anywhere; whether that was done."""

        def work() -> bool:
            self._shelving.shelf().export(profile, path)
            return True

        return bool(self._do(work, self.tr("Writing the machine…")))

    def _do(self, work: Callable[[], T], words: str) -> T | None:
        try:
            return self._shelving.wait_for(work, words)
        except GivenUpError:
            return None
        except StoreError as error:
            self._dialogs.refuse(error)
        except DocumentError as error:
            self._dialogs.tell(self.tr("The machine's profile cannot be used."), str(error))
        return None
