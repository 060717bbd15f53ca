"""Owns new, open, save, recent jobs and the recovery of unsaved work.

Every failure is told in a dialog that names the file and the mend, and leaves the job as it was.
"""

import re
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QStandardPaths, QTimer, Signal

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.documents.rider import Rider
from fitplanner.session.session import Session
from fitplanner.store.autosave import Autosave, Recovery
from fitplanner.store.files import JOB_EXTENSION, StoreError, with_job_extension
from fitplanner.store.recent import RecentJob, add_recent, forget_recent, recent_jobs
from fitplanner.ui.dialogs import Dialogs, Unsaved
from fitplanner.ui.tasks import Errands
from fitplanner.ui.undo import History

KEEP_AFTER_MS = 1500


class JobFiles(QObject):
    """The files of one window."""

    replaced = Signal()
    """Another job is on the table."""
    recent_changed = Signal()
    """The list of recent jobs is another one."""

    def __init__(
        self, session: Session, history: History, dialogs: Dialogs, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._history = history
        self.dialogs = dialogs
        self.folder = ""
        self._autosave: Autosave | None = None
        self._errands = Errands(self)
        self._told = False
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(KEEP_AFTER_MS)
        self._rest.timeout.connect(self.keep)
        self._errands.failed.connect(self._keeping_failed)
        self._unsubscribe = session.subscribe(self._job_changed)

    # Jobs.

    @property
    def name(self) -> str:
        """What the job is called, for titles and questions."""
        title, path = self._session.job.title.strip(), self._session.path
        if path is None:
            return title or self.tr("New job")
        return f"{title} – {path.name}" if title else path.name

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
        stem = re.sub(r"[^\w\-, ]+", "", words).strip(", ")[:80]
        return Path(self.place()) / f"{stem or self.tr('job')}{extension}"

    def new(self) -> None:
        """Begin a job for the next rider on the machine at hand."""
        if self.may_leave():
            self._start(Job(rider=Rider(), machine=self._session.job.machine))

    def open(self) -> None:
        """Let the user choose a job and open it."""
        if self.may_leave():
            path = self.dialogs.choose_open(self.place())
            if path is not None:
                self._open(path)

    def open_path(self, path: Path) -> None:
        """Open the job in `path`, where the present one may be left."""
        if self.may_leave():
            self._open(path)

    def save(self) -> bool:
        """Save to where the job is kept, or ask; whether it is saved now."""
        return self.save_as() if self._session.path is None else self._save(self._session.path)

    def save_as(self) -> bool:
        """Ask where to save; whether it is saved now."""
        chosen = self.dialogs.choose_save(self._proposal())
        if chosen is None:
            return False
        path = with_job_extension(chosen)
        # The file dialog asked about the name as typed, not about the one with its extension.
        if path != chosen and path.exists() and not self.dialogs.ask_replace(path):
            return False
        return self._save(path)

    def may_leave(self) -> bool:
        """Whether the present job can be left: saved, or given up by the user."""
        if not self._session.unsaved:
            return True
        answer = self.dialogs.ask_unsaved(self.name)
        if answer is Unsaved.SAVE:
            return self.save()
        return answer is Unsaved.DISCARD

    # Recent jobs.

    def recent(self) -> list[RecentJob]:
        """The jobs opened last, newest first."""
        try:
            return recent_jobs()
        except StoreError:
            return []

    # Unsaved work.

    def start_keeping(self) -> None:
        """Take a place for unsaved work, and offer what a former run left there."""
        try:
            self._autosave = Autosave()
            recovery = self._autosave.recovery()
        except StoreError as error:
            self._tell(error)
            return
        if recovery is not None:
            self._offer(recovery)

    def keep(self) -> None:
        """Keep unsaved work, or forget what was kept where everything is saved."""
        self._rest.stop()
        autosave, session = self._autosave, self._session
        if autosave is None:
            return
        if session.unsaved:
            job, path = session.job, session.path
            self._errands.run(lambda: autosave.keep(job, path))
        else:
            self._errands.run(autosave.clear)

    def close(self) -> None:
        """The user is done; nothing is kept any longer."""
        self._unsubscribe()
        self._rest.stop()
        if self._autosave is not None:
            self._errands.run(self._autosave.clear)
        self._errands.close()
        if self._autosave is not None:
            self._autosave.release()
            self._autosave = None

    # Inside.

    def _offer(self, recovery: Recovery) -> None:
        lines = []
        if recovery.file is not None:
            lines.append(self.tr("Last saved in {file}").format(file=recovery.file))
        if recovery.file_is_newer:
            lines.append(self.tr("The file was written after this work; compare before you save."))
        name = recovery.job.title or self.tr("A job without a title")
        if self.dialogs.ask_recovery(name, "\n".join(lines)):
            self._start(recovery.job, recovery.file, unsaved=True)
        else:
            self.keep()

    def _start(self, job: Job, path: Path | None = None, *, unsaved: bool = False) -> None:
        self._session.start(job, path, unsaved=unsaved)
        self._history.clear()
        self.replaced.emit()

    def _open(self, path: Path) -> None:
        path = path.absolute()
        try:
            self._session.open(path)
        except StoreError as error:
            self._forget_missing(path)
            self._tell(error)
        except DocumentError as error:
            what = self.tr("The job cannot be opened: {file}").format(file=path)
            self.dialogs.tell(what, str(error))
        else:
            self._history.clear()
            self.replaced.emit()
            self._used(path)

    def _save(self, path: Path) -> bool:
        self._history.end_step()
        try:
            self._session.save(path)
        except StoreError as error:
            self._tell(error)
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
            self._tell(error)
        self.recent_changed.emit()

    def _proposal(self) -> Path:
        if self._session.path is not None:
            return self._session.path
        return self.proposal(self._session.job.title, JOB_EXTENSION)

    def _job_changed(self, _: Job) -> None:
        if not self._rest.isActive():
            self._rest.start()

    def _keeping_failed(self, error: Exception) -> None:
        if not self._told:
            self._told = True
            self.dialogs.tell(self.tr("Unsaved work is not kept at the moment."), str(error))

    def _tell(self, error: StoreError) -> None:
        self.dialogs.tell(f"{error.what}: {error.where}", error.mend)
