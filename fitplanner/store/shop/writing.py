"""Putting jobs into the tables: a new one, and a new revision of one.

Owns that a revision follows the one that it was made from, and which rider a job belongs to.
All of it happens in the caller's transaction.
"""

import uuid
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, insert, select, update

from fitplanner.documents.job import Job
from fitplanner.store.files import StoreError
from fitplanner.store.shop import tables
from fitplanner.store.shop.records import Deed
from fitplanner.store.shop.words import digits, folded, rider_words

LONGEST_WHO = 120


def add(
    db: Connection, where: str, job: Job, who: str, at: datetime, rider_id: str | None = None
) -> str:
    """Put in a new job, of the known rider `rider_id` if given; returns the job's id.

    Raises:
        StoreError: there is no such rider.
    """
    known = select(tables.rider.c.id).where(tables.rider.c.id == rider_id)
    if rider_id is not None and db.scalar(known) is None:
        raise StoreError(
            "The job cannot be added",
            where,
            "Its rider is no longer kept here; look the rider up again.",
        )
    key = uuid.uuid4().hex
    values = {**_columns(job), "rider_id": _rider_of(db, job, rider_id)}
    db.execute(insert(tables.job).values(id=key, revision=1, created=at, changed=at, **values))
    _record(db, key, 1, job, who, at, Deed.ADDED)
    return key


def revise(
    db: Connection, key: str, revision: int, job: Job, who: str, at: datetime, deed: Deed
) -> bool:
    """Make `job` the revision after `revision`; False where that is not the present one."""
    same = (tables.job.c.id == key) & (tables.job.c.revision == revision)
    present = db.execute(select(tables.job.c.rider_id).where(same)).one_or_none()
    if present is None:
        return False
    rider_id = None if deed is Deed.ERASED else _rider_of(db, job, present.rider_id)
    values = {**_columns(job), "revision": revision + 1, "changed": at, "rider_id": rider_id}
    # Asked for once more: on a server somebody may have been faster since.
    if db.execute(update(tables.job).where(same).values(**values)).rowcount == 0:
        return False
    _record(db, key, revision + 1, job, who, at, deed)
    return True


def document(job: Job) -> str:
    """A job as it stands in the database, on one line."""
    return job.model_dump_json()


def _columns(job: Job) -> dict[str, Any]:
    """What is searched, from the job itself."""
    shown = {
        "rider": _text(job.rider.name),
        "machine": _text(job.machine.name),
        "title": _text(job.title),
        "reference": _text(job.reference),
    }
    return {
        **shown,
        "kind": job.machine.kind.value,
        "stage": job.stage.value,
        "words": folded(*shown.values()),
    }


def _record(
    db: Connection, key: str, revision: int, job: Job, who: str, at: datetime, deed: Deed
) -> None:
    db.execute(
        insert(tables.change).values(
            job_id=key,
            revision=revision,
            who=_text(who)[:LONGEST_WHO],
            at=at,
            deed=deed.value,
            document=document(job),
        )
    )


def _rider_of(db: Connection, job: Job, present: str | None) -> str | None:
    """The job's rider: the present one under the name given now, a known one, or a new one.

    Only name and telephone together make two riders one; a name alone may be another's.
    """
    name, phone = _text(job.rider.name).strip(), _text(job.rider.phone).strip()
    if not name and not phone:
        return present
    rider = tables.rider
    same = rider.c.id == present
    if present is None and folded(name) and digits(phone):
        same = rider.c.words == rider_words(name, phone)
    known = db.execute(select(rider).where(same).order_by(rider.c.id).limit(1)).one_or_none()
    if known is None:
        key = uuid.uuid4().hex
        words = rider_words(name, phone)
        db.execute(insert(rider).values(id=key, name=name, phone=phone, words=words))
        return key
    # A field emptied by hand stays on the rider, who must be found to be erased.
    name, phone = name or known.name, phone or known.phone
    words = rider_words(name, phone)
    db.execute(
        update(rider).where(rider.c.id == known.id).values(name=name, phone=phone, words=words)
    )
    return str(known.id)


def _text(text: str) -> str:
    """Without the one character that PostgreSQL's text cannot hold; the document keeps it."""
    return text.replace("\0", "")
