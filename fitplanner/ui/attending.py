"""Owns a thread for work that the user has to wait for, such as a disk that is far away.

The window is painted meanwhile but takes no input; where it takes more than a moment, a notice
says what is waited for. Refuses to tell the user of a failure.
"""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TypeVar

from PySide6.QtCore import QEventLoop, QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QApplication, QWidget

from fitplanner.ui.waiting import Waiting

NOTICE_AFTER_MS = 300

T = TypeVar("T")


class GivenUpError(Exception):
    """The user did not want to wait for the answer."""


class Attending(QObject):
    """One thread; what is waited for comes one after the other."""

    _finished = Signal()

    def __init__(self, name: str, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.worker = ThreadPoolExecutor(1, thread_name_prefix=name)
        self.used = False
        """Whether the thread was ever needed."""
        self.waiting = False
        """Whether something is waited for; nothing else may be begun then."""

    def wait_for(self, work: Callable[[], T], words: str, *, may_give_up: bool = False) -> T:
        """Have `work` done on the thread; `words` are said where it takes more than a moment.

        Raises:
            GivenUpError: the user did not want to wait, or something is waited for already.
            Exception: whatever `work` raised.
        """
        if self.waiting:
            raise GivenUpError
        self.waiting = self.used = True
        future = self.worker.submit(work)
        future.add_done_callback(self._tell_finished)
        try:
            given_up = self._attend(future, words, may_give_up)
        finally:
            self.waiting = False
        if given_up:
            raise GivenUpError
        return future.result()

    def _tell_finished(self, _: object) -> None:
        """Called on the worker's thread, or at once where the work has ended already."""
        self._finished.emit()

    def _attend(self, future: "Future[T]", words: str, may_give_up: bool) -> bool:
        """Keep the window alive until `future` is done; whether the user gave up."""
        # Something given up before may finish now: that ends a round, not the waiting.
        loop = QEventLoop()
        self._finished.connect(loop.quit, Qt.ConnectionType.QueuedConnection)
        moment = QTimer()
        moment.setSingleShot(True)
        moment.timeout.connect(loop.quit)
        moment.start(NOTICE_AFTER_MS)
        # Keys and clicks of the first moment are kept until it is over: a quick save is not seen.
        while not future.done() and moment.isActive():
            loop.exec(QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents)
        if future.done():
            return False
        parent = self.parent()
        over = QApplication.activeModalWidget() or (parent if isinstance(parent, QWidget) else None)
        notice = Waiting(words, may_give_up, over)
        notice.given_up.connect(loop.quit)
        notice.show()
        while not future.done() and not notice.was_given_up:
            loop.exec()
        notice.end()
        # What waits still is taken back; what was begun ends by itself, and nobody is told.
        return not future.done() and (future.cancel() or notice.was_given_up)
