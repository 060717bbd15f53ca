"""Owns that unsaved work is kept against a crash, and offered again at the next start."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QLocale, QObject, QTimer

from fitplanner.documents.job import Job
from fitplanner.session.session import Session
from fitplanner.store.autosave import Autosave, Recovery
from fitplanner.store.files import StoreError
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.tasks import Errands

KEEP_AFTER_MS = 1500


def _name_of(job: Job) -> str:
    return job.title or job.rider.name


class Keeping(QObject):
    """Writes the job down a moment after each change, for as long as it is unsaved."""

    def __init__(
        self,
        session: Session,
        dialogs: Dialogs,
        parent: QObject | None = None,
        *,
        place: Path | None = None,
        name_of: Callable[[Job], str] = _name_of,
    ) -> None:
        """`place` is where it waits, left out: where jobs do; `name_of` says what it is called."""
        super().__init__(parent)
        self._place = place
        self._name_of = name_of
        self._session = session
        self._dialogs = dialogs
        self._autosave: Autosave | None = None
        self._errands = Errands(self)
        self._told = False
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(KEEP_AFTER_MS)
        self._rest.timeout.connect(self.keep)
        self._errands.failed.connect(self._failed)
        self._unsubscribe = session.subscribe(self._job_changed)

    def start(self) -> Recovery | None:
        """Take a place for unsaved work; returns what a former run left, if the user wants it."""
        try:
            self._autosave = Autosave(self._place)
            recovery = self._autosave.recovery()
        except StoreError as error:
            self._dialogs.refuse(error)
            return None
        if recovery is None or self._wanted(recovery):
            return recovery
        self.keep()
        return None

    def keep(self) -> None:
        """Keep unsaved work, or forget what was kept where everything is saved."""
        self._rest.stop()
        autosave, session = self._autosave, self._session
        if autosave is None:
            return
        if session.unsaved:
            job, path, kept = session.job, session.path, session.kept
            self._errands.run(lambda: autosave.keep(job, path, kept))
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

    def _wanted(self, recovery: Recovery) -> bool:
        lines = []
        if recovery.file is not None:
            lines.append(self.tr("Last saved in {file}").format(file=recovery.file))
        if recovery.file_is_newer:
            lines.append(self.tr("The file was written after this work; compare before you save."))
        if recovery.kept is not None:
            from fitplanner.ui.shop.words import moment_words

            when = moment_words(recovery.kept.changed, QLocale())
            said = self.tr("A job of the shop, as it stood there on {when}, changed since")
            lines.append(said.format(when=when))
        name = self._name_of(recovery.job) or self.tr("A job without a title")
        return self._dialogs.ask_recovery(name, "\n".join(lines))

    def _job_changed(self, _: Job) -> None:
        if not self._rest.isActive():
            self._rest.start()

    def _failed(self, error: Exception) -> None:
        if not self._told:
            self._told = True
            self._dialogs.tell(self.tr("Unsaved work is not kept at the moment."), str(error))
