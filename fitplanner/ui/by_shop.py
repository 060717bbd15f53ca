"""Owns the asking of the shop's closed jobs for a plan: they are read on a thread of their own, and
what they say is put into the job as one step that can be undone.

Refuses to ask unless somebody wants it.
"""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from fitplanner.ui.pages.shop_card import ShopCard
from fitplanner.ui.shop.closed import closed_jobs
from fitplanner.ui.shop.desk import Desk
from fitplanner.ui.shop.stage import Stages
from fitplanner.ui.undo import History

if TYPE_CHECKING:
    from fitplanner.ui.record.reading import Answer, Progress, Reader


class ShopAsker(QObject):
    """Between the card and the job."""

    settled = Signal()
    """What the card says has changed without the plan."""

    def __init__(
        self, history: History, desk: Desk, stages: Stages, card: ShopCard, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._history, self._desk, self._stages, self._card = history, desk, stages, card
        self.reader: Reader | None = None
        card.show_progress("", busy=False)
        card.beside_wanted.connect(self._want)
        card.planning_wanted.connect(self._plan_for)
        card.stop_wanted.connect(self.stop)

    def stop(self) -> None:
        """Nobody waits for the answer any more."""
        if self.reader is not None:
            self.reader.forget()
        self._say("")

    def shut(self) -> None:
        """End the thread."""
        if self.reader is not None:
            self.reader.close()

    def _want(self, on: bool) -> None:
        held = self._history.job.shop_shares
        if held is not None and held.planned_for and not self._stages.may_replace():
            self.settled.emit()
        elif on:
            self._card.show_progress(self.tr("Reading the shop's closed jobs …"), busy=True)
            self._running().read()
        else:
            self._say("")
            self._put(None, self.tr("Without the shop's experience"))

    def _running(self) -> "Reader":
        # Loaded with the first question: it brings the fit along.
        from fitplanner.ui.record.reading import Reader

        if self.reader is None:
            self.reader = Reader(partial(closed_jobs, self._desk), parent=self)
            self.reader.answered.connect(self._take)
            self.reader.told.connect(self._note)
        return self.reader

    def _note(self, progress: "Progress") -> None:
        words = self.tr("Looked through {seen} jobs, {counted} of them closed and read …")
        self._card.show_progress(
            words.format(seen=progress.seen, counted=progress.counted), busy=True
        )

    def _take(self, answer: "Answer") -> None:
        from fitplanner.planning.measured.shop import shares_of

        if answer.problem:
            words = self.tr("The shop's jobs could not be read: {why}")
            self._say(words.format(why=answer.problem))
            return
        job, past = self._history.job, answer.past
        found = shares_of(
            [each.closed for each in past.jobs],
            [each.learned for each in past.ways],
            job.machine.kind,
        )
        if found is None:
            self._say(
                self.tr(
                    "The shop's record tells nothing of this kind of machine yet: a job counts "
                    "once it is measured, with the seat read on its wheels before and after."
                )
            )
            return
        self._say("")
        before = job.shop_shares
        planned_for = before is not None and before.planned_for
        self._put(found.replace(planned_for=planned_for), self.tr("As this shop's jobs came out"))

    def _plan_for(self, on: bool) -> None:
        held = self._history.job.shop_shares
        if held is None or not self._stages.may_replace():
            self.settled.emit()
            return
        words = self.tr("Plan for it") if on else self.tr("Plan by physics alone")
        self._put(held.replace(planned_for=on), words)

    def _put(self, shares: object, words: str) -> None:
        job = self._history.job.replace(shop_shares=shares)
        self._history.change(job, words)
        self.settled.emit()

    def _say(self, words: str) -> None:
        self._card.show_progress(words, busy=False)
        self.settled.emit()
