"""Owns the columns of a comparison: what stands in them, in which order, and their plans.

Plans are worked out on a thread of their own; all of them are. Refuses to show anything.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

from PySide6.QtCore import QObject, Qt, Signal

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.documents.rider import Rider
from fitplanner.planning.account import account
from fitplanner.planning.plan import Plan
from fitplanner.report.compare import MOST_COLUMNS, Entry
from fitplanner.ui.tasks import Answer, answer_to


@dataclass(frozen=True)
class Item:
    """One column; `answer` is None while its plan is being worked out."""

    key: int
    title: str
    job: Job
    answer: Answer | None = None

    @property
    def plan(self) -> Plan | None:
        """The plan, where there is one."""
        return None if self.answer is None else self.answer.plan

    def entry(self, plan: Plan, rates: Rates) -> Entry:
        """The column's matter for the report."""
        of = account(self.job, plan, rates)
        undo = of.undo if of.hours else None
        return Entry(self.title, self.job, plan, of.cost, of.hours, undo)


class Shelf(QObject):
    """Up to four columns."""

    changed = Signal()

    _done = Signal(int, object)

    def __init__(
        self,
        planner: Callable[[Job], Plan] | None = None,
        prepare: Callable[[Plan], None] | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._planner = planner
        self._prepare = prepare or _nothing
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="compare")
        self._items: list[Item] = []
        self._next = 0
        self._done.connect(self._take, Qt.ConnectionType.QueuedConnection)

    @property
    def items(self) -> tuple[Item, ...]:
        """The columns from the left."""
        return tuple(self._items)

    @property
    def full(self) -> bool:
        """Whether no further column has room."""
        return len(self._items) >= MOST_COLUMNS

    @property
    def busy(self) -> bool:
        """Whether a plan is still to come."""
        return any(item.answer is None for item in self._items)

    def add(self, title: str, job: Job) -> bool:
        """Add a column, unless it is there already or there is no room; says whether it was."""
        same = (each for each in self._items if each.job == job)
        if self.full or next(same, None) is not None:
            return False
        self._items.append(Item(self._next, title, job))
        self._next += 1
        self._ask(self._items[-1])
        self.changed.emit()
        return True

    def remove(self, key: int) -> None:
        """Take a column away."""
        self._items = [item for item in self._items if item.key != key]
        self.changed.emit()

    def move(self, key: int, by: int) -> None:
        """Move a column to the right, or for a negative number to the left."""
        place = next((n for n, item in enumerate(self._items) if item.key == key), None)
        if place is None:
            return
        item = self._items.pop(place)
        self._items.insert(min(max(place + by, 0), len(self._items)), item)
        self.changed.emit()

    def clear(self) -> None:
        """Take all columns away."""
        self._items = []
        self.changed.emit()

    def work_out_for(self, rider: Rider) -> None:
        """Work all columns out again for the rider as known now."""
        anew = []
        for item in self._items:
            anew.append(
                replace(item, key=self._next, job=item.job.replace(rider=rider), answer=None)
            )
            self._next += 1
        self._items = anew
        for item in anew:
            self._ask(item)
        self.changed.emit()

    def close(self) -> None:
        """End the thread."""
        self._worker.shutdown(wait=True, cancel_futures=True)

    def _ask(self, item: Item) -> None:
        self._worker.submit(self._work, item.key, item.job)

    def _work(self, key: int, job: Job) -> None:
        self._done.emit(key, answer_to(job, self._planner, self._prepare))

    def _take(self, key: int, answer: Answer) -> None:
        known = any(item.key == key for item in self._items)
        self._items = [
            replace(item, answer=answer) if item.key == key else item for item in self._items
        ]
        if known:
            self.changed.emit()


def _nothing(_: Plan) -> None:
    """Prepare nothing."""
