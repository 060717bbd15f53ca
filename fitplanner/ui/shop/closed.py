"""Reads the shop's closed jobs, a few at a time, for the record.

Refuses to judge them: `planning.measured.history` says which of them count.
"""

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from fitplanner.documents.bench import Stage
from fitplanner.documents.job import Job
from fitplanner.ui.shop.desk import Desk

if TYPE_CHECKING:
    from fitplanner.store.shop import Shop

_AT_ONCE = 40
CLOSED = (Stage.MEASURED, Stage.HANDED_OVER)


def closed_jobs(desk: Desk) -> Iterator[Job]:
    """All jobs that are measured or handed over, changed last first.

    For a thread of its own, which waits for each part; others are served in between.

    Raises:
        StoreError, DocumentError: the jobs cannot be read.
    """
    offset = 0
    while True:
        part = desk.fetch(partial(_part, offset))
        yield from part
        if len(part) < _AT_ONCE:
            return
        offset += _AT_ONCE


def _part(offset: int, shop: "Shop") -> list[Job]:
    from fitplanner.store.shop import Query

    rows = shop.find(Query(stages=CLOSED, limit=_AT_ONCE, offset=offset))
    return [shop.get(row.id).job for row in rows]
