"""Owns the look at the shop's folder of profiles, again and again, off the window's thread.

The folder may lie on a drive that answers late, or never: nothing here waits for it, not even the
end of the program. A file that is just being written is looked at again before it is told as
broken. Refuses to show anything.
"""

import contextlib
import logging
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from queue import Empty, SimpleQueue

from PySide6.QtCore import QFileSystemWatcher, QObject, QTimer, Signal

from fitplanner.library.loader import BrokenFile
from fitplanner.store.files import StoreError
from fitplanner.store.profiles import Shelf, Shelved

log = logging.getLogger(__name__)

EVERY_S = 10.0
"""How often a folder is looked at that nobody tells of: that of a network drive, or one away."""

SETTLED_S = 1.0
"""How long a file that cannot be used is left alone before it is told as such."""

QUIET_MS = 200
"""A burst of changes is looked at once, this long after the last; what is seen is told as soon."""

_LOOKS = 3


@dataclass(frozen=True)
class Sight:
    """What a look at a folder found: profiles, or why there was none."""

    folder: Path
    shelved: Shelved = field(default_factory=Shelved)
    problem: StoreError | None = None


def look(
    shelf: Shelf, known: tuple[BrokenFile, ...], pause: Callable[[], object], looks: int = _LOOKS
) -> Sight:
    """Look at a folder; a broken file that is not `known` as such is looked at again.

    Args:
        shelf: the folder.
        known: what was broken at the last look.
        pause: called before each look but the first.
        looks: how many at most.
    """
    for last in range(looks - 1, -1, -1):
        try:
            found = shelf.read()
        except StoreError as error:
            return Sight(shelf.folder, problem=error)
        if not last or set(found.broken) <= set(known):
            break
        known = found.broken
        pause()
    return Sight(shelf.folder, found)


class ShelfWatch(QObject):
    """Watches one folder after the other, until `close`."""

    seen = Signal(object)
    """A `Sight` that is another than the one before."""

    def __init__(
        self,
        parent: QObject | None = None,
        *,
        every_s: float = EVERY_S,
        settled_s: float = SETTLED_S,
        quiet_ms: int = QUIET_MS,
    ) -> None:
        super().__init__(parent)
        self.sight: Sight | None = None
        self._every_s, self._settled_s = every_s, settled_s
        self._watcher = QFileSystemWatcher(self)
        self._quiet = QTimer(self)
        self._quiet.setSingleShot(True)
        self._quiet.setInterval(quiet_ms)
        self._looker: _Looker | None = None
        self._closed = False
        # A thread that outlives the window must not know of it: it leaves what it sees here.
        self._fetching = QTimer(self)
        self._fetching.setInterval(quiet_ms)
        self._watcher.directoryChanged.connect(self._stir)
        self._quiet.timeout.connect(self.look)
        self._fetching.timeout.connect(self._fetch)

    def watch(self, shelf: Shelf) -> None:
        """Look at another folder from now on; after `close`, at none."""
        if self._closed:
            return
        self._leave()
        self.sight = None
        # A thread of its own for each folder: the one before may wait for a drive for long.
        self._looker = _Looker(shelf, self._every_s, self._settled_s)
        self._looker.start()
        self._fetching.start()

    def look(self) -> None:
        """Look soon."""
        if self._looker is not None:
            self._looker.wake()

    def close(self) -> None:
        """No look is waited for; nothing more is heard."""
        self._closed = True
        self._leave()
        self._quiet.stop()
        self._fetching.stop()

    def _leave(self) -> None:
        if self._looker is not None:
            self._looker.end()
            self._looker = None
        self._unwatch()

    def _unwatch(self) -> None:
        watched = self._watcher.directories()
        if watched:
            self._watcher.removePaths(watched)

    def _stir(self) -> None:
        self._quiet.start()

    def _fetch(self) -> None:
        sight = None if self._looker is None else self._looker.newest()
        if sight is not None:
            self._take(sight)

    def _take(self, sight: Sight) -> None:
        if sight.problem is not None or not sight.shelved.there:
            self._unwatch()
        elif not self._watcher.directories():
            # It answered a moment ago, so that asking to be told of changes does not wait.
            self._watcher.addPath(str(sight.folder))
        if _told(sight) != _told(self.sight):
            self.sight = sight
            self.seen.emit(sight)


def _told(sight: Sight | None) -> object:
    """What of a sight makes a difference: an error is never equal to another."""
    return None if sight is None else (sight.shelved, str(sight.problem or ""))


class _Looker(threading.Thread):
    """Looks when woken, and every so often; a daemon, so that a dead drive holds up nobody."""

    def __init__(self, shelf: Shelf, every_s: float, settled_s: float) -> None:
        super().__init__(name="profiles", daemon=True)
        self._shelf = shelf
        self._every_s, self._settled_s = every_s, settled_s
        self._woken = threading.Event()
        self._ended = threading.Event()
        self._sights: SimpleQueue[Sight] = SimpleQueue()

    def wake(self) -> None:
        """Look as soon as the present look is over."""
        self._woken.set()

    def end(self) -> None:
        """End after the present look."""
        self._ended.set()
        self._woken.set()

    def newest(self) -> Sight | None:
        """What was seen last since this was asked before, if anything."""
        sight = None
        with contextlib.suppress(Empty):
            while True:
                sight = self._sights.get_nowait()
        return sight

    def run(self) -> None:
        """Look again and again."""
        known: tuple[BrokenFile, ...] = ()
        while not self._ended.is_set():
            self._woken.clear()
            try:
                sight = look(self._shelf, known, self._pause)
            except Exception:
                log.exception("the shop's profiles could not be looked at")
                return
            known = sight.shelved.broken
            self._sights.put(sight)
            self._woken.wait(self._every_s)

    def _pause(self) -> None:
        self._ended.wait(self._settled_s)
