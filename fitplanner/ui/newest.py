"""Owns work on a thread of its own of which only the newest question counts.

While one question is worked on, the next waits; a newer one takes its place, and an answer that
comes while another question waits is dropped. Refuses to know what is asked.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

from PySide6.QtCore import QObject, Qt, Signal


class Newest(QObject):
    """Asks `work` one question at a time; `work` must turn whatever happens into an answer."""

    answered = Signal(object, object)
    """The newest question and its answer."""
    _done = Signal(object, object)

    def __init__(
        self,
        work: Callable[[object], object],
        name: str,
        parent: QObject | None = None,
        worker: ThreadPoolExecutor | None = None,
    ) -> None:
        """`worker` is a thread that others use too, and end; left out, one of its own."""
        super().__init__(parent)
        self._work = work
        self._shared = worker is not None
        self._worker = worker or ThreadPoolExecutor(1, thread_name_prefix=name)
        self._closed = False
        self._asked: object | None = None
        self._waiting: object | None = None
        self._done.connect(self._take, Qt.ConnectionType.QueuedConnection)

    @property
    def busy(self) -> bool:
        """Whether an answer is still to come."""
        return self._asked is not None

    def ask(self, question: object) -> None:
        """Ask; a question that still waits is forgotten."""
        if self._closed:
            return
        if self.busy:
            self._waiting = question
        else:
            self._begin(question)

    def close(self) -> None:
        """End the thread, unless others use it; answers no longer come."""
        self._closed = True
        self._waiting = None
        if not self._shared:
            self._worker.shutdown(wait=True, cancel_futures=True)

    def _begin(self, question: object) -> None:
        self._asked, self._waiting = question, None
        self._worker.submit(self._answer, question)

    def _answer(self, question: object) -> None:
        self._done.emit(question, self._work(question))

    def _take(self, question: object, answer: object) -> None:
        self._asked = None
        if self._closed:
            return
        if self._waiting is not None:
            self._begin(self._waiting)
        else:
            self.answered.emit(question, answer)
