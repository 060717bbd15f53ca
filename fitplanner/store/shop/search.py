"""Finding jobs and riders by their words."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from sqlalchemy import Column, ColumnElement, Connection, Select, and_, case, func, or_, select

from fitplanner.documents.bench import Stage
from fitplanner.store.shop import tables
from fitplanner.store.shop.records import Query, RiderRow, Row, Sort
from fitplanner.store.shop.words import digits, folded

_SHOWN = [column for column in tables.job.c if column.key != "words"]


def find(db: Connection, query: Query) -> list[Row]:
    """The jobs that `query` asks for, in its order; alike ones newest first."""
    job, change = tables.job.c, tables.change.c
    by = _sorting(query.sort)
    chosen: Select[Any] = (
        select(*_SHOWN, change.who)
        .where(change.job_id == job.id, change.revision == job.revision)
        .where(*_conditions(query))
        .order_by(by.asc() if query.ascending else by.desc(), job.changed.desc(), job.id.desc())
        .limit(query.limit)
        .offset(query.offset)
    )
    return [Row(**{**row._mapping, "stage": Stage(row.stage)}) for row in db.execute(chosen)]


def row(db: Connection, key: str) -> Row:
    """The line of one job."""
    job, change = tables.job.c, tables.change.c
    chosen: Select[Any] = select(*_SHOWN, change.who).where(
        job.id == key, change.job_id == job.id, change.revision == job.revision
    )
    found = db.execute(chosen).one()
    return Row(**{**found._mapping, "stage": Stage(found.stage)})


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


def _sorting(sort: Sort) -> ColumnElement[Any]:
    """Stages in the order of the work, words without regard to capitals."""
    if sort is Sort.CHANGED:
        return tables.job.c.changed
    if sort is Sort.STAGE:
        places = {stage.value: row for row, stage in enumerate(Stage)}
        return case(places, value=tables.job.c.stage)
    column = tables.change.c.who if sort is Sort.WHO else tables.job.c[sort.value]
    return func.lower(column)


def _conditions(query: Query) -> Iterator[ColumnElement[bool]]:
    job = tables.job.c
    typed = folded(query.words).split()
    if len(typed) > 1 and all(word.isdecimal() for word in typed):
        # Figures with gaps are a telephone, or parts of references.
        yield or_(and_(*_holding(job.words, query.words)), _of_rider(digits(query.words)))
    else:
        for word in typed:
            yield or_(job.words.contains(word, autoescape=True), _of_rider(word))
    if query.stages:
        yield job.stage.in_([stage.value for stage in query.stages])
    if query.since is not None:
        yield job.changed >= _midnight(query.since)
    if query.until is not None:
        yield job.changed < _midnight(query.until + timedelta(days=1))


def _of_rider(word: str) -> ColumnElement[bool]:
    """Whether a job is of a rider whose name or telephone holds `word`."""
    rider = tables.rider.c
    found = select(rider.id).where(rider.words.contains(word, autoescape=True))
    return tables.job.c.rider_id.in_(found)


def _holding(column: Column[str], words: str) -> Iterator[ColumnElement[bool]]:
    for word in folded(words).split():
        yield column.contains(word, autoescape=True)


def _midnight(day: date) -> datetime:
    """The start of a day of this computer's calendar."""
    return datetime.combine(day, time.min).astimezone(UTC)
