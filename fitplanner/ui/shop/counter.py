"""Owns what is done with the shop's jobs besides saving: open, take in, history, erase, table,
backup, and where they are kept.

Every refusal is told with its mend. Refuses to show the list; the window of jobs does.
"""

import dataclasses
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QLocale, QObject, Signal

from fitplanner import paths
from fitplanner.documents.errors import DocumentError
from fitplanner.session.session import Session
from fitplanner.store.files import StoreError, open_job
from fitplanner.store.shop.records import Backup, Query, Row
from fitplanner.ui.attending import GivenUpError
from fitplanner.ui.dialogs import Again, Dialogs
from fitplanner.ui.exports import CSV, export_table, with_extension
from fitplanner.ui.job_files import JobFiles
from fitplanner.ui.settings import Settings
from fitplanner.ui.shop.desk import Desk
from fitplanner.ui.shop.export import jobs_csv
from fitplanner.ui.shop.place import Place
from fitplanner.ui.widgets.figures import Figures

if TYPE_CHECKING:
    from fitplanner.store.shop import Shop

T = TypeVar("T")

_ALL = 1_000_000
BACKUP = ".sqlite"


class Counter(QObject):
    """The counter of the shop, for one window."""

    changed = Signal()
    """Other jobs are kept than before."""

    def __init__(
        self,
        session: Session,
        files: JobFiles,
        desk: Desk,
        dialogs: Dialogs,
        settings: Settings,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._files = files
        self._desk = desk
        self._dialogs = dialogs
        self._settings = settings
        files.saved_in_shop.connect(self.changed)
        desk.moved.connect(self.changed)

    # Jobs.

    def new(self) -> bool:
        """Begin a new job; whether that was done."""
        return self._files.new()

    def open(self, key: str) -> bool:
        """Put a job of the shop on the table; whether that was done."""
        if not self._files.may_leave():
            return False
        kept = self._ask(lambda shop: shop.get(key), self.tr("Opening the job…"), may_give_up=True)
        if kept is not None:
            self._files.show_kept(kept)
        return kept is not None

    def take_in(self) -> None:
        """Add the job of a file to the shop, and put it on the table."""
        if not self._files.may_leave():
            return
        path = self._dialogs.choose_open(self._files.place())
        if path is None:
            return
        try:
            job = open_job(path)
        except StoreError as error:
            self._dialogs.refuse(error)
            return
        except DocumentError as error:
            what = self.tr("The job cannot be taken in: {file}").format(file=path)
            self._dialogs.tell(what, str(error))
            return
        # An answer that is no row tells apart that there is none from that nobody could look.
        found = self._ask(lambda shop: (shop.twin(job),), self.tr("Looking whether it is here…"))
        if found is None:
            return
        twin, who = found[0], self._settings.who
        again = Again.ADD if twin is None else self._dialogs.ask_again(twin)
        if again is Again.CANCEL:
            return
        if twin is not None and again is Again.OPEN:
            key = twin.id
            kept = self._ask(lambda shop: shop.get(key), self.tr("Opening the job…"))
        else:
            kept = self._ask(lambda shop: shop.add(job, who), self.tr("Taking the job in…"))
        if kept is not None:
            self._files.show_kept(kept)
            self.changed.emit()

    def show_history(self, row: Row) -> bool:
        """Show who changed what; whether a version was put on the table."""
        # Loaded when it is first wanted: the window starts sooner without.
        from fitplanner.ui.shop.history import Version

        def read(shop: "Shop") -> list[Version]:
            changes = shop.history(row.id)
            return [Version(one, shop.version(row.id, one.revision)) for one in changes]

        versions = self._ask(read, self.tr("Reading the history…"), may_give_up=True)
        if versions is None:
            return False
        figures = Figures.of(self._settings.preferences.unit_system, QLocale())
        name = row.title or row.rider or row.machine
        revision = self._dialogs.show_history(name, versions, figures)
        if revision is None or not self._files.may_leave():
            return False
        job = next(one.job for one in versions if one.change.revision == revision)
        kept = self._ask(lambda shop: shop.get(row.id), self.tr("Opening the job…"))
        if kept is not None:
            self._files.show_kept(kept, None if job == kept.job else job)
        return kept is not None

    def erase_rider(self, row: Row) -> None:
        """Erase the rider of a job from the whole shop, once the user has read what goes."""
        key = row.rider_id
        if key is None:
            return

        def look(shop: "Shop") -> tuple[int, int]:
            """Jobs of this rider, and of others of the same name."""
            known = shop.riders(row.rider, _ALL)
            same = [one for one in known if one.name.casefold() == row.rider.casefold()]
            own = sum(one.jobs for one in known if one.id == key)
            return own, sum(one.jobs for one in same if one.id != key)

        found = self._ask(look, self.tr("Looking the rider up…"), may_give_up=True)
        if found is None or not self._dialogs.ask_erase(row.rider, *found):
            return
        who = self._settings.who
        erased = self._ask(lambda shop: shop.erase_rider(key, who), self.tr("Erasing the rider…"))
        if erased is not None:
            self._show_erased(key)
            self.changed.emit()

    def export(self, query: Query) -> str:
        """Write all jobs that `query` asks for to a table; returns words for it, "" for none."""

        def read(shop: "Shop") -> tuple[int, bytes]:
            rows = shop.find(dataclasses.replace(query, limit=_ALL, offset=0))
            return len(rows), jobs_csv(rows)

        found = self._ask(read, self.tr("Reading the jobs…"), may_give_up=True)
        if found is None:
            return ""
        jobs, table = found
        name = self.tr("jobs-{day}").format(day=date.today().isoformat())
        path = export_table(self._dialogs, self._files.proposal(name, CSV), table)
        if path is None:
            return ""
        self._files.folder = str(path.parent)
        return self.tr("Jobs in the table: {n}. File: {file}").format(n=jobs, file=path)

    def _show_erased(self, rider_id: str) -> None:
        """The job at hand still has the name; with unsaved changes its next save will ask."""
        kept = self._session.kept
        if kept is None or kept.rider_id != rider_id or self._session.unsaved:
            return
        again = self._ask(lambda shop: shop.get(kept.id), self.tr("Opening the job…"))
        if again is not None:
            self._files.show_kept(again)

    # The whole shop.

    def back_up(self) -> None:
        """Write everything to one file."""
        name = f"{self.tr('jobs-{day}').format(day=date.today().isoformat())}{BACKUP}"
        chosen = self._dialogs.choose_backup_to(Path(self._files.place()) / name)
        path = with_extension(self._dialogs, chosen, BACKUP)
        if path is None:
            return
        done = self._ask(lambda shop: shop.back_up(path), self.tr("Making the backup…"))
        if done is not None:
            said = self.tr("The backup is made and was read again. Jobs in it: {n}. File: {file}")
            self._dialogs.tell(said.format(n=done.jobs, file=path), fault=False)

    def restore(self) -> None:
        """Put a backup in the place of everything, once the user has read what it holds."""
        path = self._dialogs.choose_backup(self._files.place())
        if path is None:
            return

        def look(shop: "Shop") -> tuple[Backup, int]:
            from fitplanner.store.shop import check_backup

            return check_backup(path), shop.count()

        found = self._ask(look, self.tr("Reading the backup…"), may_give_up=True)
        if found is not None and self._dialogs.ask_restore(*found):
            self._restore(path)

    def restore_gone(self) -> None:
        """Put a backup in the place of a shop whose file is gone."""
        from fitplanner.store.shop import check_backup

        path = self._dialogs.choose_backup(self._files.place())
        if path is None:
            return
        words = self.tr("Reading the backup…")
        found = self._try(lambda: self._desk.aside(lambda: check_backup(path), words))
        if found is not None and self._dialogs.ask_restore(found, 0):
            self._move(lambda: self._desk.begin(self.tr("Restoring the backup…")))
            self._restore(path)

    def begin(self) -> None:
        """Begin an empty shop where one is gone."""
        self._move(lambda: self._desk.begin(self.tr("Beginning an empty shop…")))

    def _restore(self, path: Path) -> None:
        who = self._settings.who
        before = self._ask(lambda shop: shop.restore(path, who), self.tr("Restoring the backup…"))
        if before is not None:
            said = self.tr("The backup is restored. What was kept before is in {file}")
            self._dialogs.tell(said.format(file=before), fault=False)
            self.changed.emit()

    def choose_place(self) -> None:
        """Let the user say where the jobs are kept; it is tried before it is taken."""
        preferences = self._settings.preferences
        present = Place(preferences.shop_database, preferences.user_name)
        self._dialogs.ask_place(present, str(paths.shop_file()), self._settings.account, self._take)

    def visit(self) -> None:
        """Look around in the invented shop, which touches nothing of the user's own."""
        self._move(lambda: self._desk.visit(self.tr("Setting up the invented shop…")))

    def go_home(self) -> None:
        """Back to the user's own jobs."""
        database = self._settings.preferences.shop_database
        self._move(lambda: self._desk.move(database, self.tr("Opening your own shop…")))

    # Inside.

    def _take(self, place: Place) -> str:
        self._settings.change(user_name=place.user_name)
        try:
            self._desk.move(place.database, self.tr("Trying the connection…"))
        except GivenUpError:
            return self.tr("It was not waited for; the jobs stay where they were.")
        except StoreError as error:
            return str(error)
        self._settings.change(shop_database=place.database)
        return ""

    def _move(self, move: Callable[[], object]) -> None:
        try:
            move()
        except GivenUpError:
            return
        except (StoreError, DocumentError) as error:
            self._dialogs.refuse(error)

    def _ask(
        self, work: "Callable[[Shop], T]", words: str, *, may_give_up: bool = False
    ) -> T | None:
        return self._try(lambda: self._desk.wait(work, words, may_give_up=may_give_up))

    def _try(self, work: Callable[[], T]) -> T | None:
        """What `work` returns; None where it was given up, or refused, which is told."""
        try:
            return work()
        except GivenUpError:
            return None
        except (StoreError, DocumentError) as error:
            self._dialogs.refuse(error)
            return None
