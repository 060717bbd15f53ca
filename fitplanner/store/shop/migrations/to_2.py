"""Version 2: words to search by without capitals and accents, and which riders were erased."""

from collections.abc import Callable
from typing import Any

from alembic.operations import Operations
from sqlalchemy import Column, DateTime, MetaData, Row, String, Table, Text, select, update

from fitplanner.store.shop.words import folded, rider_words


def step(op: Operations) -> None:
    """Add the columns, filled from what is there, and the list."""
    for table in ("rider", "job"):
        op.add_column(table, Column("words", Text, nullable=False, server_default=""))
    op.create_index("rider_words", "rider", ["words"])
    op.create_table(
        "erased",
        Column("rider_id", String(32), primary_key=True),
        Column("at", DateTime, nullable=False),
    )
    _fill(op, "rider", lambda row: rider_words(row.name, row.phone))
    _fill(op, "job", lambda row: folded(row.rider, row.machine, row.title, row.reference))


def _fill(op: Operations, name: str, words: Callable[[Row[Any]], str]) -> None:
    table = Table(name, MetaData(), autoload_with=op.get_bind())
    for row in op.get_bind().execute(select(table)).all():
        change = update(table).where(table.c.id == row.id).values(words=words(row))
        op.get_bind().execute(change)
