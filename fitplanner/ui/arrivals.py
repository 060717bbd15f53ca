"""Owns what comes to the window from outside: files dropped, machines in files, the last job.

Refuses to read files: `JobFiles` and the import of machines do.
"""

from pathlib import Path

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QWidget

from fitplanner.documents.job import Job
from fitplanner.ui.going_on import GoingOn
from fitplanner.ui.job_files import JobFiles
from fitplanner.ui.settings import Settings
from fitplanner.ui.shop.counter import Counter
from fitplanner.ui.side_windows import SideWindows


class Arrivals(QObject):
    """Leads each of them where it belongs."""

    def __init__(
        self,
        files: JobFiles,
        counter: Counter,
        side: SideWindows,
        settings: Settings,
        offer: GoingOn,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._files = files
        self._settings = settings
        self._offer = offer
        self._first: Job | None = None
        files.machine_met.connect(side.take_in_machine)
        files.replaced.connect(offer.withdraw)
        offer.file_wanted.connect(files.open_path)
        offer.kept_wanted.connect(counter.open)
        window.setAcceptDrops(True)
        window.installEventFilter(self)

    def offer_last(self, job: Job) -> None:
        """Offer the job of the last time beside `job`, with which the window begins."""
        self._first = job
        self._offer.offer(self._settings.preferences.last_job)

    def follow(self, job: Job) -> None:
        """Whoever changes the first job wants that one."""
        if self._first is not None and job is not self._first:
            self._first = None
            self._offer.withdraw()

    def keep_last(self) -> None:
        """Note where the present job lies, for the next time."""
        last = self._files.last()
        if last is not None:
            self._settings.change(last_job=last)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take one file of this computer that is dropped on the window."""
        if not isinstance(event, QDropEvent) or event.type() not in (
            QEvent.Type.DragEnter,
            QEvent.Type.Drop,
        ):
            return False
        path = _dragged(event)
        if path is None:
            return False
        event.acceptProposedAction()
        if event.type() == QEvent.Type.Drop:
            self._files.open_path(path)
        return True


def _dragged(event: QDropEvent) -> Path | None:
    urls = event.mimeData().urls()
    if len(urls) == 1 and urls[0].isLocalFile():
        return Path(urls[0].toLocalFile())
    return None
