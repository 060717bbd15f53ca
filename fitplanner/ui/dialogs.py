"""Owns every question and message that stands in the way of the user.

All text is shown as it is, never as marked-up text: it may hold names from files. One object, so
that tests can answer in the user's place.
"""

from collections.abc import Callable, Container, Sequence
from enum import Enum, auto
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QFileDialog

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.preferences import Rates
from fitplanner.store.files import JOB_EXTENSION, StoreError
from fitplanner.ui.questions import Questions
from fitplanner.ui.questions import Role as _Role

if TYPE_CHECKING:
    from fitplanner.documents.customers import Customers
    from fitplanner.documents.job import Job
    from fitplanner.documents.machine import MachineProfile
    from fitplanner.quantities import UnitSystem
    from fitplanner.store.shop.records import Backup, Kept, Row
    from fitplanner.ui.profiles.place import MachinesPlace
    from fitplanner.ui.profiles.replacing import Kept as KeptProfile
    from fitplanner.ui.profiles.replacing import Words
    from fitplanner.ui.shop.conflict import Choice
    from fitplanner.ui.shop.history import Version
    from fitplanner.ui.shop.place import Place
    from fitplanner.ui.shop.stage import Fix
    from fitplanner.ui.widgets.figures import Figures


class Unsaved(Enum):
    """What to do with unsaved changes."""

    SAVE = auto()
    DISCARD = auto()
    CANCEL = auto()


class Again(Enum):
    """What to do with the job of a file that the shop keeps already."""

    OPEN = auto()
    ADD = auto()
    CANCEL = auto()


class Dialogs(Questions):
    """Dialogs over `parent`."""

    def refuse(self, error: StoreError | DocumentError) -> None:
        """Say what could not be read or written, and the mend."""
        if isinstance(error, StoreError):
            self.tell(f"{error.what}: {error.where}", error.mend)
        else:
            self.tell(_tr("The job cannot be read."), _upper_first(str(error)))

    def refuse_profile(self, error: StoreError | DocumentError) -> None:
        """Say why a machine profile could not be read or written, and the mend."""
        if isinstance(error, StoreError):
            self.tell(f"{error.what}: {error.where}", error.mend)
        else:
            self.tell(_tr("The profile cannot be kept."), _upper_first(str(error)))

    def ask_unsaved(self, name: str, unused: Sequence[str] = ()) -> Unsaved:
        """Ask what becomes of the changes of `name`; `unused`: what is typed but not used."""
        what = _tr("Save the changes of “{name}”?").format(name=name)
        more = "\n".join([_tr("Otherwise they are lost."), *unused])
        return self._choice(
            what,
            more,
            (_tr("&Save"), _Role.AcceptRole, Unsaved.SAVE),
            (_tr("&Do not save"), _Role.DestructiveRole, Unsaved.DISCARD),
            (_tr("&Cancel"), _Role.RejectRole, Unsaved.CANCEL),
        )

    def ask_save_without(self, unused: Sequence[str]) -> bool:
        """Ask whether to save without the text that fields could not take."""
        return self._choice(
            _tr("Not all that is typed can be used."),
            "\n".join(unused),
            (_tr("&Go back to it"), _Role.AcceptRole, False),
            (_tr("&Save without it"), _Role.DestructiveRole, True),
            escape=0,
        )

    def ask_recovery(self, name: str, more: str) -> bool:
        """Ask whether to open work that a former run did not save."""
        what = _tr("The program did not end well the last time. Open the unsaved work?")
        return self._choice(
            what,
            f"{name}\n{more}".strip(),
            (_tr("&Open it"), _Role.AcceptRole, True),
            (_tr("&Throw it away"), _Role.DestructiveRole, False),
            # Closing the question must not cost the work.
            escape=0,
        )

    def ask_replace(self, path: Path) -> bool:
        """Ask whether to write over a file that is there already."""
        what = _tr("Replace the file that is there already?")
        return self._sure(what, str(path), _tr("&Replace"))

    def ask_rates(self, rates: Rates) -> Rates | None:
        """Let the user change the shop's figures for prices; None where nothing was changed."""
        from fitplanner.ui.fleet.rates import RatesDialog

        dialog = RatesDialog(rates, self._parent)
        taken = dialog.exec() == RatesDialog.DialogCode.Accepted
        changed = dialog.rates()
        dialog.deleteLater()
        return changed if taken else None

    def ask_customers(self, customers: "Customers", system: "UnitSystem") -> "Customers | None":
        """Let the user change the figures of the shop's customers; None where nothing changed."""
        from fitplanner.ui.people.customers import CustomersDialog

        dialog = CustomersDialog(customers, system, self._parent)
        taken = dialog.exec() == CustomersDialog.DialogCode.Accepted
        changed = dialog.customers() if taken else None
        dialog.deleteLater()
        return changed

    # The shop.

    def ask_add_missing(self) -> bool:
        """Ask whether to save a job as a new one that the shop does not keep."""
        what = _tr("This job is not kept in the shop that is open now.")
        more = _tr("It was opened from another database, or a backup took its place there.")
        return self._sure(what, more, _tr("Save it as a &new job"))

    def ask_again(self, twin: "Row") -> Again:
        """Ask what to do with a job of a file that is kept as `twin` already."""
        name = " · ".join(filter(None, (twin.title, twin.rider, twin.machine, twin.reference)))
        return self._choice(
            _tr("The job of this file is in the shop already."),
            name,
            (_tr("&Open the one that is kept"), _Role.AcceptRole, Again.OPEN),
            (_tr("&Take it in once more"), _Role.DestructiveRole, Again.ADD),
            (_tr("&Cancel"), _Role.RejectRole, Again.CANCEL),
        )

    def ask_conflict(
        self, base: "Kept", mine: "Job", theirs: "Kept", figures: "Figures"
    ) -> "Choice":
        """Show two versions side by side and ask what stays."""
        from fitplanner.ui.shop.conflict import ConflictDialog

        dialog = ConflictDialog(base, mine, theirs, figures, self._parent)
        dialog.exec()
        choice = dialog.choice
        dialog.deleteLater()
        return choice

    def show_history(self, name: str, versions: "list[Version]", figures: "Figures") -> int | None:
        """Show a job's history; returns the revision that the user wants to open, if any."""
        from fitplanner.ui.shop.history import HistoryDialog

        dialog = HistoryDialog(name, versions, figures, self._parent)
        wanted = dialog.exec() == HistoryDialog.DialogCode.Accepted
        revision = dialog.revision()
        dialog.deleteLater()
        return revision if wanted else None

    def ask_erase(self, name: str, jobs: int, others: int) -> bool:
        """Ask whether to erase a rider from the shop, and say what goes and what stays."""
        from fitplanner.ui.shop.wording import erasing

        what = _tr("Erase {name} from the shop?").format(name=name or _tr("this rider"))
        return self._sure(what, erasing(jobs, others), _tr("&Erase the rider"))

    def ask_restore(self, found: "Backup", jobs: int) -> bool:
        """Ask whether to put a backup in the place of what is kept now."""
        from fitplanner.ui.shop.wording import restoring

        what = _tr("Put this backup in the place of all jobs?")
        return self._sure(what, restoring(found, jobs), _tr("&Restore it"))

    def ask_fix(self, stage: str) -> "Fix":
        """Ask whether to set the planned amounts by hand, as the job reaches `stage`."""
        from fitplanner.ui.shop.stage import Fix
        from fitplanner.ui.shop.wording import fixing

        what = _tr("{stage}: fix the amounts as they are planned now?").format(stage=stage)
        return self._choice(
            what,
            fixing(),
            (_tr("&Fix them"), _Role.AcceptRole, Fix.FIX),
            (_tr("&Leave them open"), _Role.DestructiveRole, Fix.LEAVE),
            (_tr("&Cancel"), _Role.RejectRole, Fix.CANCEL),
        )

    def ask_change_agreed(self, stage: str) -> bool:
        """Ask whether to replace the amounts of a job that has come to `stage`."""
        what = _tr("This job is at “{stage}”. Replace what was agreed?").format(stage=stage)
        more = _tr("Its amounts, springs and price become others; one step of undo takes it back.")
        return self._sure(what, more, _tr("&Replace it"))

    def ask_place(
        self, place: "Place", file: str, account: str, take: "Callable[[Place], str]"
    ) -> None:
        """Let the user say where the jobs are kept, see `PlaceDialog`."""
        from fitplanner.ui.shop.place import PlaceDialog

        dialog = PlaceDialog(place, file, account, take, self._parent)
        dialog.exec()
        dialog.deleteLater()

    def choose_backup(self, folder: str) -> Path | None:
        """Let the user choose a backup to restore."""
        name, _ = QFileDialog.getOpenFileName(
            self._parent, _tr("Restore a backup"), folder, _backups()
        )
        return Path(name) if name else None

    def choose_backup_to(self, proposal: Path) -> Path | None:
        """Let the user choose where to write a backup."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, _tr("Back up all jobs"), str(proposal), _backups()
        )
        return Path(name) if name else None

    # Machine profiles.

    def ask_which_profile(
        self,
        mine: "MachineProfile",
        theirs: "MachineProfile",
        second: "MachineProfile",
        words: "Words",
        figures: "Figures",
        taken: "Container[str]",
        base: "MachineProfile | None" = None,
    ) -> "tuple[KeptProfile | None, MachineProfile]":
        """Show two profiles of one machine; returns what stays and the profile that it makes.

        `base` is the one that both began with, where there is one.
        """
        from fitplanner.ui.profiles.replacing import ReplacingDialog

        dialog = ReplacingDialog(
            mine, theirs, second, words, figures, taken, self._parent, base=base
        )
        dialog.exec()
        kept, profile = dialog.kept, dialog.profile
        dialog.deleteLater()
        return kept, profile

    def ask_save_removed(self, name: str) -> bool:
        """Ask whether to save a profile that somebody took out of the library meanwhile."""
        what = _tr("“{name}” was taken out of the library while you changed it.").format(name=name)
        more = _tr("Saved, it stands there again with your figures.")
        return self._choice(
            what,
            more,
            (_tr("&Save it again"), _Role.AcceptRole, True),
            (_tr("&Cancel"), _Role.RejectRole, False),
            first=1,
        )

    def ask_remove_profile(self, name: str) -> bool:
        """Ask whether to take a profile off the shop's shelf."""
        what = _tr("Remove “{name}” from the shop's machines?").format(name=name)
        more = _tr(
            "Jobs planned on it keep their own copy. The file is put aside in the folder "
            "“removed” beside the profiles."
        )
        return self._sure(what, more, _tr("&Remove it"))

    def ask_machines_place(
        self,
        place: "MachinesPlace",
        usual: str,
        trouble: str,
        take: "Callable[[MachinesPlace], str]",
    ) -> None:
        """Let the user say where the machines are kept, see `MachinesPlaceDialog`."""
        from fitplanner.ui.profiles.place import MachinesPlaceDialog

        dialog = MachinesPlaceDialog(place, usual, trouble, take, self.choose_folder, self._parent)
        dialog.exec()
        dialog.deleteLater()

    def choose_profile(self, folder: str) -> Path | None:
        """Let the user choose a profile to take in."""
        name, _ = QFileDialog.getOpenFileName(
            self._parent, _tr("Import a machine"), folder, _profiles()
        )
        return Path(name) if name else None

    def choose_profile_to(self, proposal: Path) -> Path | None:
        """Let the user choose where to write a profile."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, _tr("Export the machine"), str(proposal), _profiles()
        )
        return Path(name) if name else None

    def choose_folder(self, folder: str) -> Path | None:
        """Let the user choose a folder."""
        name = QFileDialog.getExistingDirectory(self._parent, _tr("Choose a folder"), folder)
        return Path(name) if name else None

    # Files.

    def choose_open(self, folder: str) -> Path | None:
        """Let the user choose a job file to open."""
        name, _ = QFileDialog.getOpenFileName(self._parent, _tr("Open a job"), folder, _filters())
        return Path(name) if name else None

    def choose_save(self, proposal: Path) -> Path | None:
        """Let the user choose where to save the job."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, _tr("Save the job"), str(proposal), _filters()
        )
        return Path(name) if name else None

    def choose_pdf(self, proposal: Path) -> Path | None:
        """Let the user choose where to write a page."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, _tr("Save the page"), str(proposal), f"{_tr('Pages')} (*.pdf)"
        )
        return Path(name) if name else None

    def choose_table(self, proposal: Path) -> Path | None:
        """Let the user choose where to write a table."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, _tr("Export the table"), str(proposal), f"{_tr('Tables')} (*.csv)"
        )
        return Path(name) if name else None


def _upper_first(text: str) -> str:
    return text[:1].upper() + text[1:]


def _backups() -> str:
    backups, every = _tr("Backups"), _tr("All files")
    return f"{backups} (*.sqlite);;{every} (*)"


def _profiles() -> str:
    profiles, every = _tr("Machine profiles"), _tr("All files")
    return f"{profiles} (*.json);;{every} (*)"


def _filters() -> str:
    jobs, every = _tr("Jobs"), _tr("All files")
    return f"{jobs} (*{JOB_EXTENSION} *.json);;{every} (*)"


def _tr(text: str) -> str:
    return QCoreApplication.translate("Dialogs", text)
