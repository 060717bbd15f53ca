"""The shop's jobs in a database: the one door to them.

Owns when a transaction begins and ends. Every method may block on disk or network and is to be
called from a worker; a `Shop` may be used from any one thread at a time. Every method raises
`StoreError` where the database is locked, full, read-only, damaged or out of reach; nothing is
written then.
"""

from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any, Self

from sqlalchemy import Connection, select

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.job import Job
from fitplanner.store.files import StoreError
from fitplanner.store.shop import backup, erasing, known, migrations, search, tables, writing
from fitplanner.store.shop.address import address
from fitplanner.store.shop.database import Database
from fitplanner.store.shop.records import (
    Backup,
    Change,
    ConflictError,
    Deed,
    Kept,
    MissingError,
    Query,
    RiderRow,
    Row,
    differences,
)

_ALL = Query()
_UNREAD = "The jobs cannot be read"
_UNSAVED = "The job is not saved"


class Shop:
    """All jobs of a shop; `close` it, or use it in a `with` block."""

    def __init__(self, database: Database) -> None:
        """Use `open`."""
        self.database = database

    @classmethod
    def open(cls, setting: str | Path = "", *, begin: bool = False) -> Self:
        """Open the database of the setting, and bring its tables to this version.

        Args:
            setting: as `address` reads it; empty for the file in the user's folder.
            begin: begin an empty one where there was one and its file is gone.

        Raises:
            GoneError: there was one, and its file is gone.
            StoreError: the setting is not understood, the database cannot be reached or
                written, belongs to another program, or is newer than this one.
        """
        place = address(setting)
        if not begin:
            known.look_for(place)
        database = Database(place)
        try:
            migrations.bring_up(database)
        except BaseException:
            database.close()
            raise
        known.remember(place)
        return cls(database)

    def close(self) -> None:
        """Give the database back."""
        self.database.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def where(self) -> str:
        """The database as messages name it."""
        return self.database.address.shown

    @property
    def gone(self) -> bool:
        """Whether its file was taken away while it is open: what is written then is lost."""
        file = self.database.address.file
        return file is not None and not file.exists()

    def find(self, query: Query = _ALL) -> list[Row]:
        """The jobs that `query` asks for, changed last first."""
        with self.database.read(_UNREAD) as db:
            return search.find(db, query)

    def count(self, query: Query = _ALL) -> int:
        """How many jobs `query` asks for, without its limit."""
        with self.database.read(_UNREAD) as db:
            return search.count(db, query)

    def riders(self, words: str = "", limit: int = 200) -> list[RiderRow]:
        """Riders whose name or telephone holds all of `words`, in the order of their names."""
        with self.database.read(_UNREAD) as db:
            return search.riders(db, words, limit)

    def get(self, key: str) -> Kept:
        """The job with the id `key`.

        Raises:
            MissingError: there is none.
            DocumentError: it was written by a newer program.
        """
        with self.database.read("The job cannot be read") as db:
            return self._kept(db, key)

    def version(self, key: str, revision: int) -> Job:
        """The job as it was at `revision`; raises as `get` does."""
        change = tables.change.c
        chosen = select(change.document).where(change.job_id == key, change.revision == revision)
        with self.database.read("The job cannot be read") as db:
            document = db.scalar(chosen)
        if document is None:
            raise self._missing("The job cannot be read")
        return codec.load_job(document)

    def history(self, key: str) -> list[Change]:
        """All changes of a job, newest first; raises as `get` does."""
        change = tables.change
        chosen = select(change).where(change.c.job_id == key).order_by(change.c.revision)
        with self.database.read("The history cannot be read") as db:
            rows = db.execute(chosen).all()
        if not rows:
            raise self._missing("The history cannot be read")
        jobs = [codec.load_job(row.document) for row in rows]
        found = [()] + [differences(old, new) for old, new in pairwise(jobs)]
        changes = [
            Change(row.revision, row.who, row.at, Deed(row.deed), places)
            for row, places in zip(rows, found, strict=True)
        ]
        return changes[::-1]

    def twin(self, job: Job) -> Row | None:
        """The kept job that is, or once was, exactly this one; None where there is none."""
        change = tables.change.c
        same = select(change.job_id).where(change.document == writing.document(job)).limit(1)
        with self.database.read(_UNREAD) as db:
            key = db.scalar(same)
            return None if key is None else search.row(db, key)

    def add(self, job: Job, who: str, rider_id: str | None = None) -> Kept:
        """Put in a new job.

        Args:
            job: the job, new or from a file.
            who: the person at the counter or the bench.
            rider_id: a rider who is known already; left out, a rider with the same name and
                telephone is the same one, and any other is new.

        Raises:
            StoreError: there is no such rider, or the database refuses.
        """
        with self.database.write("The job is not added") as db:
            key = writing.add(db, self.where, job, who, _now(), rider_id)
            return self._kept(db, key)

    def save(self, kept: Kept, job: Job, who: str) -> Kept:
        """Make `job` the next revision of `kept`; it is on the disk when this returns.

        Saved twice, as after an answer that got lost, it counts once. A job that was not
        changed makes no revision; the present one is returned.

        Raises:
            ConflictError: somebody changed it after `kept` was read; it holds the other version.
            MissingError: the job is not kept here.
            StoreError: the database refuses; nothing was written.
        """
        with self.database.write(_UNSAVED) as db:
            if job == kept.job or not writing.revise(
                db, kept.id, kept.revision, job, who, _now(), Deed.SAVED
            ):
                theirs = self._kept(db, kept.id)
                if job not in (kept.job, theirs.job):
                    raise ConflictError(self.where, job, theirs)
                return theirs
            return self._kept(db, kept.id)

    def erase_rider(self, rider_id: str, who: str) -> int:
        """Erase a rider from all jobs and their history, see `erasing`; returns how many jobs.

        Backups made before still hold the rider; restoring one erases the rider again.

        Raises:
            StoreError: there is no such rider, or the database refuses.
        """
        what = "The rider is not erased"
        with self.database.write(what) as db:
            jobs = erasing.erase(db, rider_id, who, _now())
        if jobs is None:
            raise StoreError(what, self.where, "There is no such rider; look the rider up again.")
        self.database.forget_freed_rows()
        return jobs

    def back_up(self, path: Path) -> Backup:
        """Write everything to one file, in use or not; a file there is replaced at the end.

        Raises:
            StoreError: it cannot be written, or the copy could not be opened.
        """
        with self.database.read("The backup cannot be made") as db:
            return backup.copy_out(db, path)

    def restore(self, path: Path, who: str) -> Path:
        """Put a backup in the place of everything, after a backup of what is there.

        Returns:
            The backup of what was there, in the user's folder.

        Raises:
            StoreError: the backup is none or damaged, or either cannot be written; everything
                is as it was.
        """
        at = _now()
        before = paths.shop_backups_dir() / f"before-restore-{at:%Y%m%d-%H%M%S-%f}.sqlite"
        what = "The backup is not restored"
        with backup.opened(path) as source, self.database.write(what) as db:
            if self.database.on_server:
                db.exec_driver_sql("LOCK TABLE rider, erased, job, change IN EXCLUSIVE MODE")
            backup.copy_out(db, before)
            backup.copy_in(source, db, who, at)
        self.database.forget_freed_rows()
        return before

    def _kept(self, db: Connection, key: str) -> Kept:
        job, change = tables.job.c, tables.change.c
        chosen: Any = select(
            job.revision, job.rider_id, job.created, job.changed, change.who, change.document
        ).where(job.id == key, change.job_id == job.id, change.revision == job.revision)
        row = db.execute(chosen).one_or_none()
        if row is None:
            raise self._missing("The job cannot be read")
        return Kept(
            id=key,
            revision=row.revision,
            job=codec.load_job(row.document),
            rider_id=row.rider_id,
            created=row.created,
            changed=row.changed,
            who=row.who,
        )

    def _missing(self, what: str) -> MissingError:
        return MissingError(what, self.where, "It is not kept here; search for it again.")


def _now() -> datetime:
    return datetime.now(UTC)
