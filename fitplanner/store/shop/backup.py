"""The whole shop in one file, out and in again.

A backup is a SQLite file with the tables of the shop, whichever database it came from, so that
it goes back into either. Owns that a backup is of one moment, is opened before it counts, and
that who was erased since stays erased.
"""

import contextlib
import os
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, Table, delete, func, insert, select, text

from fitplanner.store.files import StoreError, store_error
from fitplanner.store.shop import erasing, migrations, tables
from fitplanner.store.shop.address import file_address
from fitplanner.store.shop.database import Database
from fitplanner.store.shop.records import Backup, Deed

_ROWS = 500
_UNWRITTEN = "The backup cannot be written"
_UNREAD = "The backup cannot be read"
_NOT_ONE = "It is damaged or no backup of this program; choose another file."
# Jobs whose present document is missing.
_LOST = (
    select(func.count())
    .select_from(tables.job)
    .where(
        ~select(tables.change.c.job_id)
        .where(tables.change.c.job_id == tables.job.c.id)
        .where(tables.change.c.revision == tables.job.c.revision)
        .exists()
    )
)


def copy_out(source: Connection, path: Path) -> Backup:
    """Write all that `source` sees to `path`, replacing a file there only once the copy holds.

    Raises:
        StoreError: it cannot be written, or does not hold what was written.
    """
    with _told(_UNWRITTEN, path), _folder(path.parent) as folder:
        copy = folder / "copy.sqlite"
        with _opened(copy) as database:
            migrations.bring_up(database)
            with database.write(_UNWRITTEN) as target:
                _copy(source, target)
        found = check(copy)
        written = [_count(source, table) for table in (tables.job, tables.change)]
        if [found.jobs, found.changes] != written:
            raise StoreError(_UNWRITTEN, path, "The copy is not whole; try another drive.")
        with copy.open("rb+") as file:
            os.fsync(file.fileno())
        os.replace(copy, path)
    return replace(found, path=path)


def check(path: Path) -> Backup:
    """Open a backup, of this version or an older one, and say what it holds.

    Raises:
        StoreError: it cannot be read, is damaged, or no backup.
    """
    with opened(path) as source:
        return Backup(
            path,
            jobs=_count(source, tables.job),
            riders=_count(source, tables.rider),
            changes=_count(source, tables.change),
            newest=source.scalar(select(func.max(tables.change.c.at))),
        )


@contextlib.contextmanager
def opened(path: Path) -> Iterator[Connection]:
    """A backup's content in today's tables; the file itself is not touched.

    Raises:
        StoreError: it cannot be read, is damaged, or no backup.
    """
    with contextlib.ExitStack() as held:
        with _told(_UNREAD, path):
            beside = path.parent if os.access(path.parent, os.W_OK) else None
            copy = held.enter_context(_folder(beside)) / "read.sqlite"
            shutil.copyfile(path, copy)
            database = held.enter_context(_opened(copy))
            with database.read(_UNREAD) as source:
                empty = migrations.version_of(source, str(path)) == 0
                if empty or source.scalar(text("PRAGMA integrity_check")) != "ok":
                    raise StoreError(_UNREAD, path, _NOT_ONE)
            migrations.bring_up(database)
            source = held.enter_context(database.read(_UNREAD))
            if source.execute(text("PRAGMA foreign_key_check")).first() or source.scalar(_LOST):
                raise StoreError(_UNREAD, path, _NOT_ONE)
        yield source


def copy_in(source: Connection, db: Connection, who: str, at: datetime) -> None:
    """Put all of `source` in the place of what `db` holds, in the caller's transaction.

    A job that stood at another revision gets one above both, so that who has it open is told.
    """
    before = {row.id: row for row in db.execute(select(tables.job)).all()}
    erased = {row.rider_id: row for row in db.execute(select(tables.erased)).all()}
    for table in reversed(tables.ALL):
        db.execute(delete(table))
    _copy(source, db)
    for row in db.execute(select(tables.job)).all():
        old = before.get(row.id)
        if old is not None and (old.revision, old.changed) != (row.revision, row.changed):
            _raise_above(db, row.id, row.revision, max(old.revision, row.revision) + 1, who, at)
    for rider_id, row in erased.items():
        if erasing.erase(db, rider_id, who, at) is None:
            known = select(tables.erased).where(tables.erased.c.rider_id == rider_id)
            if db.execute(known).first() is None:
                db.execute(insert(tables.erased).values(**row._mapping))


def _raise_above(
    db: Connection, key: str, present: int, revision: int, who: str, at: datetime
) -> None:
    change, job = tables.change, tables.job
    document = db.scalar(
        select(change.c.document).where(change.c.job_id == key, change.c.revision == present)
    )
    db.execute(
        insert(change).values(
            job_id=key,
            revision=revision,
            who=who,
            at=at,
            deed=Deed.RESTORED.value,
            document=document,
        )
    )
    db.execute(job.update().where(job.c.id == key).values(revision=revision, changed=at))


def _copy(source: Connection, target: Connection) -> None:
    for table in tables.ALL:
        rows = source.execute(select(table).execution_options(yield_per=_ROWS))
        for part in rows.mappings().partitions():
            target.execute(insert(table), [dict(row) for row in part])


def _count(db: Connection, table: Table) -> int:
    return db.scalar(select(func.count()).select_from(table)) or 0


@contextlib.contextmanager
def _told(what: str, path: Path) -> Iterator[None]:
    """Say of the backup what is wrong with the copy that is worked on."""
    try:
        yield
    except OSError as error:
        raise store_error(what, path, error) from error
    except StoreError as error:
        raise StoreError(what, path, error.mend) from error


@contextlib.contextmanager
def _opened(path: Path) -> Iterator[Database]:
    database = Database(file_address(path), one_file=True)
    try:
        yield database
    finally:
        database.close()


@contextlib.contextmanager
def _folder(beside: Path | None) -> Iterator[Path]:
    """A folder for the work, gone afterwards; only its owner can look into it."""
    if beside is not None:
        beside.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=".fitplanner-", dir=beside) as name:
        yield Path(name)
