"""Finding jobs and riders by their words."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from sqlalchemy import Column, ColumnElement, Connection, Select, func, select

from fitplanner.documents.bench import Stage
from fitplanner.store.shop import tables
from fitplanner.store.shop.records import Query, RiderRow, Row
from fitplanner.store.shop.words import folded

_SHOWN = [column for column in tables.job.c if column.key != "words"]


def find(db: Connection, query: Query) -> list[Row]:
    """The jobs that `query` asks for, newest first."""
    job, change = tables.job.c, tables.change.c
    chosen: Select[Any] = (
        select(*_SHOWN, change.who)
        .where(change.job_id == job.id, change.revision == job.revision)
        .where(*_conditions(query))
        .order_by(job.changed.desc(), job.id.desc())
        .limit(query.limit)
        .offset(query.offset)
    )
    return [Row(**{**row._mapping, "stage": Stage(row.stage)}) for row in db.execute(chosen)]


def count(db: Connection, query: Query) -> int:
    """How many jobs there are without the limit."""
    chosen = select(func.count()).select_from(tables.job).where(*_conditions(query))
    return db.scalar(chosen) or 0


def riders(db: Connection, words: str, limit: int) -> list[RiderRow]:
    """Riders whose name or telephone holds all of `words`, in the order of their names."""
    rider, job = tables.rider, tables.job
    jobs = select(func.count()).where(job.c.rider_id == rider.c.id).scalar_subquery().label("jobs")
    chosen = (
        select(rider.c.id, rider.c.name, rider.c.phone, jobs)
        .where(*_holding(rider.c.words, words))
        .order_by(rider.c.words, rider.c.id)
        .limit(limit)
    )
    return [RiderRow(*row) for row in db.execute(chosen)]


def _conditions(query: Query) -> Iterator[ColumnElement[bool]]:
    job = tables.job.c
    yield from _holding(job.words, query.words)
    if query.stages:
        yield job.stage.in_([stage.value for stage in query.stages])
    if query.since is not None:
        yield job.changed >= _midnight(query.since)
    if query.until is not None:
        yield job.changed < _midnight(query.until + timedelta(days=1))


def _holding(column: Column[str], words: str) -> Iterator[ColumnElement[bool]]:
    for word in folded(words).split():
        yield column.contains(word, autoescape=True)


def _midnight(day: date) -> datetime:
    """The start of a day of this computer's calendar."""
    return datetime.combine(day, time.min).astimezone(UTC)
