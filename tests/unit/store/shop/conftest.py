"""An empty shop, once in a file and once on a server; every test that takes it runs with both."""

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from fitplanner.store.shop import Shop
from tests import postgres


@dataclass(frozen=True)
class Place:
    """Where the shop of a test is: a file, or a database of a server."""

    setting: str | Path
    server: postgres.Server | None = None
    database: str = ""


@pytest.fixture(scope="session")
def server() -> Iterator[postgres.Server]:
    folder = postgres.binaries()
    if folder is None:
        pytest.skip("PostgreSQL is not installed, so no shop on a server can be tested")
    with postgres.running(folder) as started:
        yield started


@pytest.fixture(params=["file", "server"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Place]:
    """An empty database of each kind."""
    with contextlib.ExitStack() as held:
        if request.param == "file":
            yield Place(tmp_path / "shop" / "shop.sqlite")
        else:
            server = request.getfixturevalue("server")
            name = held.enter_context(server.database())
            yield Place(server.setting(name), server, name)


@pytest.fixture
def shop(place: Place) -> Iterator[Shop]:
    with Shop.open(place.setting) as opened:
        yield opened
