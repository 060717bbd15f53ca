"""Owns that a profile is saved and removed, with every failure told.

What has to be done on the shop's folder is waited for with a notice, see `Shelving`. Refuses to
list profiles; `Machines` does, and hears of a change at once.
"""

from collections.abc import Callable
from typing import TypeVar

from PySide6.QtCore import QObject

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import MachineProfile
from fitplanner.store.files import StoreError
from fitplanner.ui.attending import GivenUpError
from fitplanner.ui.dialogs import Dialogs
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

    def ids(self) -> frozenset[str]:
        """Every id that a machine has, also of those that are not listed."""
        return self.machines.ids()

    def base_of(self, profile: MachineProfile) -> MachineProfile | None:
        """What the shelf holds of a profile."""
        return self.machines.own.get(profile.id)

    def save(self, profile: MachineProfile, base: MachineProfile | None) -> MachineProfile | None:
        """Put `profile` on the shelf, see `Shelving.save`; what lies there now, or None."""
        return self._shelving.save(profile, base)

    def remove(self, profile: MachineProfile) -> bool:
        """Take a profile off the shelf; whether that was done."""
        words = self.tr("Removing the machine…")
        if self._do(lambda: self._shelving.shelf().remove(profile.id), words) is None:
            return False
        left = {id: one for id, one in self.machines.own.items() if id != profile.id}
        self.machines.set_own(left)
        return True

    def _do(self, work: Callable[[], T], words: str) -> T | None:
        try:
            return self._shelving.wait_for(work, words)
        except GivenUpError:
            return None
        except (StoreError, DocumentError) as error:
            self._dialogs.refuse_profile(error)
        return None
