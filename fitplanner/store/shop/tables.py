"""The tables of the shop as they are now; `migrations` brings an older database to them.

A job's documents stand in `change`, one for every revision and never overwritten; `job` holds
what is searched and which revision counts. A rider's name and telephone stand in `rider`, and
in the documents until the rider is erased.
"""

from datetime import UTC, datetime

from sqlalchemy import (
    Column,
    DateTime,
    Dialect,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    TypeDecorator,
)


class UtcTime(TypeDecorator[datetime]):
    """A time with its zone in the program, and in UTC without one in the database."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Turn into UTC."""
        return None if value is None else value.astimezone(UTC).replace(tzinfo=None)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Say that it is UTC."""
        return None if value is None else value.replace(tzinfo=UTC)


ID = String(32)
metadata = MetaData()

rider = Table(
    "rider",
    metadata,
    Column("id", ID, primary_key=True),
    Column("name", Text, nullable=False),
    Column("phone", Text, nullable=False),
    Column("words", Text, nullable=False),
    Index("rider_words", "words"),
)

erased = Table(
    "erased",
    metadata,
    Column("rider_id", ID, primary_key=True),
    Column("at", UtcTime, nullable=False),
)

job = Table(
    "job",
    metadata,
    Column("id", ID, primary_key=True),
    Column("revision", Integer, nullable=False),
    Column("rider_id", ID, ForeignKey("rider.id"), nullable=True),
    Column("rider", Text, nullable=False),
    Column("machine", Text, nullable=False),
    Column("kind", String(20), nullable=False),
    Column("stage", String(20), nullable=False),
    Column("title", Text, nullable=False),
    Column("reference", Text, nullable=False),
    Column("created", UtcTime, nullable=False),
    Column("changed", UtcTime, nullable=False),
    Column("words", Text, nullable=False),
    Index("job_rider", "rider_id"),
    Index("job_changed", "changed", "id"),
    Index("job_stage", "stage", "changed"),
)

change = Table(
    "change",
    metadata,
    Column("job_id", ID, ForeignKey("job.id"), primary_key=True),
    Column("revision", Integer, primary_key=True),
    Column("who", Text, nullable=False),
    Column("at", UtcTime, nullable=False),
    Column("deed", String(20), nullable=False),
    Column("document", Text, nullable=False),
)

# In the order in which rows may be put in; out goes the other way.
ALL = (rider, erased, job, change)
