"""Owns saving the job at hand into the shop, and what to do where somebody was faster."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QLocale

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.session.session import Session
from fitplanner.store.files import StoreError
from fitplanner.store.shop.records import ConflictError, Kept, MissingError
from fitplanner.ui.attending import GivenUpError
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.settings import Settings
from fitplanner.ui.shop.desk import Desk
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import Figures

if TYPE_CHECKING:
    from fitplanner.store.shop import Shop


class Saving:
    """Saves the session's job; every refusal is told or asked about, and nothing is lost."""

    def __init__(
        self, session: Session, history: History, desk: Desk, dialogs: Dialogs, settings: Settings
    ) -> None:
        self._session = session
        self._history = history
        self._desk = desk
        self._dialogs = dialogs
        self._settings = settings

    def save(self) -> bool:
        """Save as the next version of its entry, else as a new job; whether it is saved now."""
        kept, job, who = self._session.kept, self._session.job, self._settings.who
        if kept is None:
            return self._add()
        try:
            return self._try(lambda shop: shop.save(kept, job, who), job)
        except ConflictError as conflict:
            return self._settle(kept, conflict)
        except MissingError:
            return self._dialogs.ask_add_missing() and self._add()

    def _add(self) -> bool:
        job, who = self._session.job, self._settings.who
        return self._try(lambda shop: shop.add(job, who), job)

    def _settle(self, base: Kept, conflict: ConflictError) -> bool:
        """Ask what stays of both versions, as often as somebody is faster."""
        # Loaded where it happens, which is seldom: its words know every part of a job.
        from fitplanner.store.shop.merging import merged
        from fitplanner.ui.shop.conflict import Choice

        figures = Figures.of(self._settings.preferences.unit_system, QLocale())
        while True:
            theirs, mine, who = conflict.theirs, conflict.mine, self._settings.who
            choice = self._dialogs.ask_conflict(base, mine, theirs, figures)
            if choice is Choice.CANCEL:
                return False
            if choice is Choice.THEIRS:
                # One step of undo, so that the own version is not lost.
                self._history.change(theirs.job, _tr("Take the other version"))
                self._session.mark_saved(theirs)
                return True
            if choice is Choice.AS_NEW:
                return self._add()
            both = merged(base.job, mine, theirs.job) if choice is Choice.BOTH else None
            if both is not None:
                self._history.change(both, _tr("Take both versions"))
                base, mine = theirs, both
            try:
                return self._try(_over(theirs, mine, who), mine)
            except ConflictError as again:
                conflict = again
            except MissingError:
                return self._dialogs.ask_add_missing() and self._add()

    def _try(self, work: "Callable[[Shop], Kept]", sent: Job) -> bool:
        try:
            kept = self._desk.wait(work, _tr("Saving the job…"))
        except GivenUpError:
            return False
        except (ConflictError, MissingError):
            raise
        except (StoreError, DocumentError) as error:
            self._dialogs.refuse(error)
            return False
        if kept.job != sent:
            # Nothing of one's own was to be saved, but somebody else's version is newer.
            self._history.change(kept.job, _tr("Take the other version"))
        self._session.mark_saved(kept)
        return True


def _over(theirs: Kept, mine: Job, who: str) -> "Callable[[Shop], Kept]":
    return lambda shop: shop.save(theirs, mine, who)


def _tr(text: str) -> str:
    return QCoreApplication.translate("Saving", text)
