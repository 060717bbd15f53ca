"""Owns the way of a profile from a file into the shop's library, and out to a file.

What comes in is read and checked before it is kept; one whose id is there already is shown beside
it. Every refusal is told with its mend.
"""

from pathlib import Path

from PySide6.QtCore import QObject

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import MachineProfile
from fitplanner.store.files import StoreError
from fitplanner.store.profiles import same_content
from fitplanner.ui.attending import GivenUpError
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.exports import with_extension
from fitplanner.ui.profiles.machines import Machines
from fitplanner.ui.profiles.shelving import Shelving

_PROFILE = ".json"

Found = tuple[MachineProfile, int]
"""A profile, and how many of its figures look like slips."""


class Importing(QObject):
    """In and out, for one window."""

    def __init__(
        self,
        machines: Machines,
        shelving: Shelving,
        dialogs: Dialogs,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._machines = machines
        self._shelving = shelving
        self._dialogs = dialogs
        self._folder = ""
        """The folder used last, in which the next file dialog begins; "" where there is none."""

    def import_(self) -> MachineProfile | None:
        """Let the user choose a file and take its profile in; returns what is kept, if any."""
        path = self._dialogs.choose_profile(self._folder)
        return None if path is None else self.import_path(path)

    def import_path(self, path: Path) -> MachineProfile | None:
        """Take in the profile of `path`; returns what is kept, if any."""
        found = self._read(path)
        if found is None:
            return None
        self._folder = str(path.absolute().parent)
        profile, slips = found
        kept = self._take(profile)
        if kept is not None:
            self._dialogs.tell(self._said(kept), self._slips_said(slips), fault=False)
        return kept

    def export(self, profile: MachineProfile) -> Path | None:
        """Write a profile to a file that the user chooses; returns where to, if that was done."""
        chosen = self._dialogs.choose_profile_to(Path(self._folder, f"{profile.id}{_PROFILE}"))
        path = with_extension(self._dialogs, chosen, _PROFILE)
        if path is None:
            return None
        shelf = self._shelving.shelf()
        try:
            self._shelving.wait_for(
                lambda: shelf.export(profile, path), self.tr("Writing the machine…")
            )
        except GivenUpError:
            return None
        except StoreError as error:
            self._dialogs.refuse_profile(error)
            return None
        self._folder = str(path.absolute().parent)
        return path

    def _read(self, path: Path) -> Found | None:
        shelf = self._shelving.shelf()

        def read() -> Found:
            # Loaded on the thread: the first check of a profile brings the solver along.
            from fitplanner.planning.profile_check import check_profile

            profile = shelf.import_(path)
            return profile, len({finding.key for finding in check_profile(profile)})

        try:
            return self._shelving.wait_for(read, self.tr("Reading the machine…"), may_give_up=True)
        except GivenUpError:
            return None
        except StoreError as error:
            self._dialogs.refuse_profile(error)
        except DocumentError as error:
            what = self.tr("The machine cannot be imported: {file}").format(file=path)
            self._dialogs.tell(what, str(error))
        return None

    def _take(self, coming: MachineProfile) -> MachineProfile | None:
        own = self._machines.own.get(coming.id)
        present = own or self._machines.shipped.get(coming.id)
        if present is None:
            return self._shelving.save(coming, None)
        if same_content(present, coming):
            said = self.tr("The library holds “{name}” already, with the same figures.")
            self._dialogs.tell(said.format(name=coming.name), fault=False)
            return None
        # Loaded where it is needed, which is seldom.
        from fitplanner.ui.profiles.replacing import Kept
        from fitplanner.ui.profiles.wording import import_words

        kept, profile = self._dialogs.ask_which_profile(
            present,
            coming,
            coming,
            import_words(shipped=own is None),
            self._shelving.figures(),
            self._machines.ids(),
        )
        if kept is None or kept is Kept.MINE:
            return None
        return self._shelving.save(profile, None if kept is Kept.BOTH else own)

    def _said(self, kept: MachineProfile) -> str:
        said = self.tr("“{name}” is in the library now, revision {n}. Choose it under Machine.")
        return said.format(name=kept.name, n=kept.revision)

    def _slips_said(self, count: int) -> str:
        if not count:
            return ""
        if count == 1:
            return self.tr("1 figure looks like a slip: open the machine with Edit to see which.")
        said = self.tr("{count} figures look like slips: open the machine with Edit to see which.")
        return said.format(count=count)
