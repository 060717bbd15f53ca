"""Who sits at the counter, and a database that is held by somebody else."""

import sqlite3
from collections.abc import Iterator

import pytest

from fitplanner import paths
from fitplanner.store.shop import Shop, database


@pytest.fixture(autouse=True)
def at_the_counter(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LOGNAME", "sanne")


@pytest.fixture
def locked(monkeypatch: pytest.MonkeyPatch) -> Iterator[sqlite3.Connection]:
    """The database held by another program."""
    monkeypatch.setattr(database, "WAIT_S", 0.2)
    Shop.open().close()
    holder = sqlite3.connect(paths.shop_file(), isolation_level=None)
    holder.execute("BEGIN EXCLUSIVE")
    yield holder
    holder.close()
