"""Owns new, open, save, recent jobs, and that no unsaved work is left without asking.

A job opened from a file is saved to that file; any other is saved into the shop. Every failure
is told in a dialog that names the place and the mend, and leaves the job as it was.
"""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QStandardPaths, Signal

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.documents.preferences import LastJob
from fitplanner.documents.rider import Rider
from fitplanner.session.session import Session
from fitplanner.store.files import (
    JOB_EXTENSION,
    StoreError,
    is_machine_file,
    save_job,
    with_job_extension,
)
from fitplanner.store.recent import RecentJob, add_recent, forget_recent, recent_jobs
from fitplanner.store.shop.records import Kept
from fitplanner.ui.dialogs import Dialogs, Unsaved
from fitplanner.ui.exports import stem_of
from fitplanner.ui.keeping import Keeping
from fitplanner.ui.settings import Settings
from fitplanner.ui.shop.desk import Desk
from fitplanner.ui.shop.saving import Saving
from fitplanner.ui.undo import History


class JobFiles(QObject):
    """Where the jobs of one window come from and go to."""

    replaced = Signal()
    """Another job is on the table."""
    recent_changed = Signal()
    """The list of recent jobs is another one."""
    machine_met = Signal(object)
    """The path of a file that holds a machine, not a job."""
    saved_in_shop = Signal()
    """The shop keeps another version of the job."""

    def __init__(
        self,
        session: Session,
        history: History,
        dialogs: Dialogs,
        settings: Settings,
        desk: Desk,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._history = history
        self._desk = desk
        self._invented = False
        """Whether the job is kept in the invented shop, where it is kept in a shop."""
        self.dialogs = dialogs
        self.folder = settings.preferences.last_folder
        self._saving = Saving(session, history, desk, dialogs, settings)
        self.keeping = Keeping(session, dialogs, self)

    # Jobs.

    @property
    def name(self) -> str:
        """What the job is called and where it is kept, for titles and questions."""
        job, path = self._session.job, self._session.path
        title = job.title.strip() or job.rider.name.strip()
        if path is not None:
            return f"{title} – {path.name}" if title else path.name
        if self._session.kept is None:
            return title or self.tr("New job")
        where = self.tr("in the invented shop") if self._invented else self.tr("in the shop")
        return f"{title or self.tr('A job without a title')} – {where}"

    def place(self) -> str:
        """The folder that a file dialog begins in: the last one, else the user's documents."""
        kinds = QStandardPaths.StandardLocation
        usual = (kinds.DocumentsLocation, kinds.HomeLocation)
        for folder in (self.folder, *map(QStandardPaths.writableLocation, usual)):
            if folder and Path(folder).is_dir():
                return folder
        return ""

    def proposal(self, words: str, extension: str) -> Path:
        """A file named `words`, without marks that a disk would refuse, in `place`."""
        return Path(self.place()) / f"{stem_of(words, self.tr('job'))}{extension}"

    def new(self) -> bool:
        """Begin a job for the next rider on the machine at hand; whether that was done."""
        if not self.may_leave():
            return False
        self._start(Job(rider=Rider(), machine=self._session.job.machine))
        return True

    def open(self) -> None:
        """Let the user choose a file and open it."""
        path = self.dialogs.choose_open(self.place())
        if path is not None:
            self.open_path(path)

    def open_path(self, path: Path) -> None:
        """Open the job in `path`, where the present one may be left."""
        if not self._is_machine(path) and self.may_leave():
            self._open(path)

    def _is_machine(self, path: Path) -> bool:
        """Whether it holds a machine, which goes into the library and leaves the job alone."""
        found = is_machine_file(path)
        if found:
            self.machine_met.emit(path)
        return found

    def show_kept(self, kept: Kept, job: Job | None = None) -> None:
        """Put a job of the shop on the table, or `job` as its next version, not saved yet."""
        self._invented = self._desk.visiting
        self._start(kept.job if job is None else job, kept=kept, unsaved=job is not None)

    def save(self) -> bool:
        """Save to the job's file, else into the shop; whether it is saved now."""
        if self._desk.waiting:
            return False
        self._history.end_step()
        if self._session.path is not None:
            return self._save(self._session.path)
        before, self._invented = self._invented, self._desk.visiting
        saved = self._saving.save()
        if saved:
            self.saved_in_shop.emit()
        else:
            self._invented = before
        return saved

    def save_as(self) -> bool:
        """Ask for a file and write the job there; whether that was done.

        A job of the shop stays one, and its changes unsaved; any other is kept in the file then.
        """
        chosen = self.dialogs.choose_save(self._proposal())
        if chosen is None:
            return False
        path = with_job_extension(chosen)
        # The file dialog asked about the name as typed, not about the one with its extension.
        if path != chosen and path.exists() and not self.dialogs.ask_replace(path):
            return False
        self._history.end_step()
        return self._save(path)

    def may_leave(self) -> bool:
        """Whether the present job can be left: saved, or given up by the user."""
        if self._desk.waiting:
            return False
        if not self._session.unsaved:
            return True
        answer = self.dialogs.ask_unsaved(self.name)
        if answer is Unsaved.SAVE:
            return self.save()
        return answer is Unsaved.DISCARD

    # Recent jobs.

    def recent(self) -> list[RecentJob]:
        """The files opened last, newest first."""
        try:
            return recent_jobs()
        except StoreError:
            return []

    def last(self) -> LastJob | None:
        """Where the present job is kept; None where it is in no place of the user's own."""
        path, kept = self._session.path, self._session.kept
        if path is not None:
            return LastJob(file=str(path))
        return None if kept is None or self._invented else LastJob(kept=kept.id)

    # Unsaved work.

    def start_keeping(self) -> None:
        """Take a place for unsaved work, and go on with what a former run left there."""
        left = self.keeping.start()
        if left is not None:
            self._start(left.job, left.file, kept=left.kept, unsaved=True)

    # Inside.

    def _start(
        self,
        job: Job,
        path: Path | None = None,
        *,
        kept: Kept | None = None,
        unsaved: bool = False,
    ) -> None:
        self._session.start(job, path, kept=kept, unsaved=unsaved)
        self._history.clear()
        self.replaced.emit()

    def _open(self, path: Path) -> None:
        path = path.absolute()
        try:
            self._session.open(path)
        except StoreError as error:
            self._forget_missing(path)
            self.dialogs.refuse(error)
        except DocumentError as error:
            what = self.tr("The job cannot be opened: {file}").format(file=path)
            self.dialogs.tell(what, str(error))
        else:
            self._history.clear()
            self.replaced.emit()
            self._used(path)

    def _save(self, path: Path) -> bool:
        try:
            if self._session.kept is None:
                self._session.save(path)
            else:
                save_job(self._session.job, path)
        except StoreError as error:
            self.dialogs.refuse(error)
            return False
        self._used(path)
        return True

    def _used(self, path: Path) -> None:
        self.folder = str(path.parent)
        self._change_recent(lambda: add_recent(path))

    def _forget_missing(self, path: Path) -> None:
        if not path.exists():
            self._change_recent(lambda: forget_recent(path))

    def _change_recent(self, change: Callable[[], None]) -> None:
        try:
            change()
        except StoreError as error:
            self.dialogs.refuse(error)
        self.recent_changed.emit()

    def _proposal(self) -> Path:
        if self._session.path is not None:
            return self._session.path
        return self.proposal(self._session.job.title, JOB_EXTENSION)
