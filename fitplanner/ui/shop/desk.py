"""Owns the one thread on which the shop's jobs are read and written.

The shop is opened there, when it is first asked for, and loaded there too: the window never
waits for the disk or the network. Questions are asked newest first, see `questions`; what has to
be done before the user can go on is waited for, see `wait`. Refuses to tell the user of a failure.
"""

import contextlib
import logging
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Signal

from fitplanner import paths
from fitplanner.documents.errors import DocumentError
from fitplanner.store.files import StoreError
from fitplanner.ui.attending import Attending, GivenUpError
from fitplanner.ui.newest import Newest

if TYPE_CHECKING:
    from fitplanner.store.shop import Shop

log = logging.getLogger(__name__)

T = TypeVar("T")


@dataclass(frozen=True)
class Reply:
    """The answer to a question: a value, or why there is none."""

    value: object = None
    error: Exception | None = None


def open_shop(setting: str | Path) -> "Shop":
    """Open the database of the setting, as `Shop.open` does."""
    from fitplanner.store.shop import Shop

    return Shop.open(setting)


class Desk(Attending):
    """Where one window asks for the shop's jobs."""

    moved = Signal()
    """The jobs of another database are shown from now on."""

    def __init__(
        self,
        setting: str = "",
        parent: QObject | None = None,
        opener: "Callable[[str | Path], Shop]" = open_shop,
    ) -> None:
        """Ask the database of `setting`; nothing is opened yet."""
        super().__init__("shop", parent)
        self._setting: str | Path = setting
        self._opener = opener
        # Both belong to the worker's thread alone.
        self._shop: Shop | None = None
        self._open_setting: str | Path | None = None
        self._askers: list[Newest] = []

    @property
    def visiting(self) -> bool:
        """Whether the invented shop is shown, not the user's own."""
        return isinstance(self._setting, Path)

    def questions(self, parent: QObject | None = None) -> Newest:
        """Someone to ask: a question is a function of the `Shop`, an answer a `Reply`."""
        asker = Newest(self._reply, "shop", parent, worker=self.worker)
        self._askers.append(asker)
        self.used = True
        return asker

    def wait(
        self,
        work: "Callable[[Shop], T]",
        words: str,
        *,
        may_give_up: bool = False,
    ) -> T:
        """Have `work` done on the worker; the window is painted meanwhile but takes no input.

        Args:
            work: called with the open shop.
            words: what is said where it takes more than a moment.
            may_give_up: whether the user may stop waiting; what was begun is still finished.

        Raises:
            GivenUpError: the user did not want to wait, or something is waited for already.
            Exception: whatever `work` or the opening of the shop raised.
        """
        return self.wait_for(lambda: work(self._opened()), words, may_give_up=may_give_up)

    def fetch(self, work: "Callable[[Shop], T]") -> T:
        """Have `work` done for a thread other than the window's, which waits for it.

        Raises:
            Exception: whatever `work` or the opening of the shop raised.
        """
        self.used = True
        return self.worker.submit(lambda: work(self._opened())).result()

    def move(self, setting: str | Path, words: str) -> int:
        """Show another database from now on; returns how many jobs it holds.

        Raises:
            StoreError: it cannot be opened; the present one stays.
            GivenUpError: as `wait`.
        """

        def work() -> int:
            shop = self._opener(setting)
            try:
                jobs = shop.count()
            except BaseException:
                shop.close()
                raise
            self._put(shop, setting)
            return jobs

        jobs = self.wait_for(work, words, may_give_up=True)
        self._setting = setting
        self.moved.emit()
        return jobs

    def begin(self, words: str) -> None:
        """Begin an empty shop where one is gone; raises as `move` does."""
        setting = self._setting

        def work() -> None:
            from fitplanner.store.shop import Shop

            self._put(None, None)
            self._put(Shop.open(setting, begin=True), setting)

        self.wait_for(work, words)
        self.moved.emit()

    def aside(self, work: Callable[[], T], words: str) -> T:
        """Have something done on the worker for which no shop is opened; raises as `wait`."""
        return self.wait_for(work, words, may_give_up=True)

    def visit(self, words: str) -> None:
        """Show the invented shop, in a file of its own; raises as `move` does."""

        def fill() -> None:
            from fitplanner.store.shop import Shop, load_demo

            with Shop.open(paths.invented_shop_file()) as shop:
                if not shop.count():
                    load_demo(shop)

        self.wait_for(fill, words, may_give_up=True)
        self.move(paths.invented_shop_file(), words)

    def close(self, words: str = "") -> None:
        """Wait until what was begun is done, then close the shop; call it once."""
        for asker in self._askers:
            asker.close()
        if self.used:
            with contextlib.suppress(GivenUpError):
                self.wait_for(lambda: self._put(None, None), words)
        self.worker.shutdown(wait=True)

    # On the worker's thread.

    def _opened(self) -> "Shop":
        setting = self._setting
        if self._shop is None or self._open_setting != setting or self._shop.gone:
            self._put(None, None)
            self._put(self._opener(setting), setting)
        assert self._shop is not None
        return self._shop

    def _put(self, shop: "Shop | None", setting: str | Path | None) -> None:
        if self._shop is not None:
            self._shop.close()
        self._shop, self._open_setting = shop, setting

    def _reply(self, question: object) -> Reply:
        assert callable(question)
        try:
            return Reply(question(self._opened()))
        except (StoreError, DocumentError) as error:
            return Reply(error=error)
        except Exception as error:
            log.exception("a question to the shop failed")
            return Reply(error=error)
