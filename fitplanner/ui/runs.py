"""Owns long work on a thread of its own, one run at a time, with news on the way.

A new run ends the one before, and what that one still says is dropped; listeners are called in the
window's thread. Refuses to know what is worked out. Short questions are `newest`'s.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Event

from PySide6.QtCore import QObject, Qt, Signal

Tell = Callable[[object], None]
"""Gives news of a run to those who wait."""
Stopped = Callable[[], bool]
"""Whether a run should end soon."""


class Runs(QObject):
    """The work of one asker."""

    answered = Signal(object)
    """What the newest run came to."""
    told = Signal(object)
    """News of the present run."""
    _done = Signal(object, object)
    _news = Signal(object, object)

    def __init__(self, name: str, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._worker = ThreadPoolExecutor(1, thread_name_prefix=name)
        self._run: Event | None = None
        self._done.connect(self._take, Qt.ConnectionType.QueuedConnection)
        self._news.connect(self._pass_on, Qt.ConnectionType.QueuedConnection)

    @property
    def busy(self) -> bool:
        """Whether an answer is still to come."""
        return self._run is not None

    def begin(self, work: Callable[[Tell, Stopped], object]) -> None:
        """Begin; the run before ends without an answer. `work` must turn anything into one."""
        self.forget()
        run = self._run = Event()

        def go() -> None:
            self._done.emit(run, work(lambda news: self._news.emit(run, news), run.is_set))

        self._worker.submit(go)

    def stop(self) -> None:
        """End the run soon; what it has found by then is its answer."""
        if self._run is not None:
            self._run.set()

    def forget(self) -> None:
        """End the run; nothing more is heard of it."""
        self.stop()
        self._run = None

    def close(self) -> None:
        """End the thread."""
        self.forget()
        self._worker.shutdown(wait=True, cancel_futures=True)

    def _pass_on(self, run: Event, news: object) -> None:
        if run is self._run:
            self.told.emit(news)

    def _take(self, run: Event, answer: object) -> None:
        if run is self._run:
            self._run = None
            self.answered.emit(answer)
