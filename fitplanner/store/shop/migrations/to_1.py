"""Version 1: riders, jobs, and every change of a job."""

from alembic.operations import Operations
from sqlalchemy import Column, DateTime, ForeignKey, Integer, String, Text


def step(op: Operations) -> None:
    """Make the tables."""
    op.create_table(
        "rider",
        Column("id", String(32), primary_key=True),
        Column("name", Text, nullable=False),
        Column("phone", Text, nullable=False),
    )
    op.create_table(
        "job",
        Column("id", String(32), primary_key=True),
        Column("revision", Integer, nullable=False),
        Column("rider_id", String(32), ForeignKey("rider.id"), nullable=True),
        Column("rider", Text, nullable=False),
        Column("machine", Text, nullable=False),
        Column("kind", String(20), nullable=False),
        Column("stage", String(20), nullable=False),
        Column("title", Text, nullable=False),
        Column("reference", Text, nullable=False),
        Column("created", DateTime, nullable=False),
        Column("changed", DateTime, nullable=False),
    )
    op.create_index("job_rider", "job", ["rider_id"])
    op.create_index("job_changed", "job", ["changed", "id"])
    op.create_index("job_stage", "job", ["stage", "changed"])
    op.create_table(
        "change",
        Column("job_id", String(32), ForeignKey("job.id"), primary_key=True),
        Column("revision", Integer, primary_key=True, autoincrement=False),
        Column("who", Text, nullable=False),
        Column("at", DateTime, nullable=False),
        Column("deed", String(20), nullable=False),
        Column("document", Text, nullable=False),
    )
