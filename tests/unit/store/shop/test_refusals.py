"""A database that refuses: a message with the mend, nothing lost, and no rider in it or a log."""

import contextlib
import logging
import sqlite3
import traceback
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from fitplanner.store.files import StoreError
from fitplanner.store.shop import ConflictError, Query, Shop, database
from tests import factories

NAME = "Quinberta Zöllig"


def job(title: str) -> Any:
    return factories.job(rider={"name": NAME, "phone": "01632 960411"}, title=title)


@pytest.fixture(autouse=True)
def short_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(database, "WAIT_S", 1)
    options = database._SERVER["options"].replace("5s", "1s")
    monkeypatch.setitem(database._SERVER, "options", options)


@contextlib.contextmanager
def every_connection(shop: Shop, pragma: str) -> Iterator[None]:
    """SQLite with a setting of its own on each connection."""

    def put(connection: Any, _: Any) -> None:
        connection.execute(pragma).close()

    engine = shop.database._engine
    shop.database.close()
    event.listen(engine, "connect", put)
    yield
    event.remove(engine, "connect", put)
    shop.database.close()


@contextlib.contextmanager
def full(shop: Shop, place: Any) -> Iterator[None]:
    """No room: SQLite's own limit of pages; on the server its code for a full disk,
    with a row quoted in its words, as servers do.
    """
    if place.server is None:
        with every_connection(shop, "PRAGMA max_page_count=1"):
            yield
        return
    place.server.execute(
        "CREATE FUNCTION full_disk() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE "
        "EXCEPTION 'no room for %', NEW.document USING ERRCODE = '53100'; END $$",
        place.database,
    )
    place.server.execute(
        "CREATE TRIGGER full_disk BEFORE INSERT ON change FOR EACH ROW "
        "EXECUTE FUNCTION full_disk()",
        place.database,
    )
    yield
    place.server.execute("DROP TRIGGER full_disk ON change", place.database)


@contextlib.contextmanager
def read_only(shop: Shop, place: Any) -> Iterator[None]:
    if place.server is None:
        with every_connection(shop, "PRAGMA query_only=ON"):
            yield
        return
    change = f"ALTER DATABASE {place.database} SET default_transaction_read_only = "
    place.server.execute(change + "on")
    shop.database.close()
    yield
    place.server.execute(change + "off")
    shop.database.close()


@contextlib.contextmanager
def locked(shop: Shop, place: Any) -> Iterator[None]:
    shop.database.close()  # connects again with the short wait
    if place.server is None:
        with contextlib.closing(sqlite3.connect(place.setting, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            yield
        return
    with place.server.connect(place.database) as other, other.transaction():
        other.execute("LOCK TABLE job IN EXCLUSIVE MODE")
        yield


@pytest.mark.parametrize(
    ("trouble", "mend"),
    [(full, "disk is full"), (read_only, "only"), (locked, "is writing just now")],
)
def test_a_refused_save_says_the_mend_and_loses_nothing(
    place: Any, trouble: Any, mend: str
) -> None:
    with Shop.open(place.setting) as shop:
        kept = shop.add(job("before"), "Jo")
        with trouble(shop, place):
            for write in (
                lambda: shop.save(kept, job("x" * 200), "Jo"),
                lambda: shop.add(job("new"), "Jo"),
                lambda: shop.erase_rider(str(kept.rider_id), "Jo"),
            ):
                with pytest.raises(StoreError, match=mend) as caught:
                    write()
                assert not isinstance(caught.value, ConflictError)
                assert str(shop.where) == str(caught.value.where)
                _tells_nothing(caught.value)
            assert shop.get(kept.id) == kept
        saved = shop.save(kept, job("after"), "Jo")
        assert (saved.revision, shop.count()) == (2, 1)


def test_reading_goes_on_while_another_writes(place: Any) -> None:
    with Shop.open(place.setting) as shop:
        kept = shop.add(job("before"), "Jo")
        with locked(shop, place):
            assert shop.get(kept.id) == kept
            assert len(shop.find()) == 1


def test_a_server_out_of_reach(server: Any) -> None:
    with server.database() as name:
        setting = server.setting(name)
        for wrong, mend in (
            (setting.replace(f":{server.port}/", ":1/"), "does not answer"),
            (setting.replace("127.0.0.1", "no-such-host.invalid"), "does not answer"),
            (setting.replace("p@ss", "pass"), "user or password"),
            (setting + "x", "no such database"),
        ):
            with pytest.raises(StoreError, match=mend) as caught:
                Shop.open(wrong)
            assert "ss:word" not in str(caught.value)


def test_a_connection_that_the_server_ended_is_made_again(server: Any) -> None:
    with server.database() as name, Shop.open(server.setting(name)) as shop:
        kept = shop.add(job("before"), "Jo")
        server.execute(
            f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'"
        )
        assert shop.save(kept, job("after"), "Jo").revision == 2


def test_a_connection_that_ends_in_the_middle_is_told(server: Any) -> None:
    with server.database() as name, Shop.open(server.setting(name)) as shop:
        kept = shop.add(job("before"), "Jo")

        def end(*_: Any) -> None:
            server.execute(
                f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'"
            )

        event.listen(shop.database._engine, "commit", end, once=True)
        with pytest.raises(StoreError, match="does not answer") as caught:
            shop.save(kept, job("after"), "Jo")
        _tells_nothing(caught.value)
        assert shop.get(kept.id) == kept


@pytest.mark.parametrize(
    ("content", "mend"), [(b"no database at all" * 300, "damaged"), (b"", None)]
)
def test_a_file_that_is_no_database(tmp_path: Path, content: bytes, mend: str | None) -> None:
    path = tmp_path / "shop.sqlite"
    path.write_bytes(content)
    if mend is None:
        Shop.open(path).close()
        return
    with pytest.raises(StoreError, match=mend):
        Shop.open(path)
    assert path.read_bytes() == content


def test_a_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(StoreError, match="choose another folder"):
        Shop.open(tmp_path / "file" / "shop.sqlite")
    with pytest.raises(StoreError, match="cannot be opened"):
        Shop.open(tmp_path)


def test_no_log_and_no_repr_tells_of_a_rider(
    place: Any, caplog: pytest.LogCaptureFixture, tmp_path: Path
) -> None:
    caplog.set_level(logging.DEBUG)
    for name in ("sqlalchemy", "sqlalchemy.engine", "sqlalchemy.pool", "alembic", "psycopg"):
        caplog.set_level(logging.DEBUG, logger=name)
    with Shop.open(place.setting) as shop:
        kept = shop.add(job("for Quinberta"), "Jo")
        shop.save(kept, job("Quinberta again"), "Jo")
        with contextlib.suppress(ConflictError):
            shop.save(kept, job("Zöllig"), "Jo")
        records = [
            shop.get(kept.id),
            shop.find(Query(words="quinberta")),
            Query(words="quinberta"),
            shop.riders("quinberta"),
            shop.history(kept.id),
            shop.back_up(tmp_path / "copy.sqlite"),
        ]
        with full(shop, place), contextlib.suppress(StoreError):
            shop.add(job("Quinberta new"), "Jo")
        shop.restore(tmp_path / "copy.sqlite", "Jo")
        shop.erase_rider(str(kept.rider_id), "Jo")
    assert "INSERT INTO change" in caplog.text
    _silent(caplog.text)
    _silent(repr(records))
    assert "ss:word" not in caplog.text


def _tells_nothing(error: StoreError) -> None:
    _silent("".join(traceback.format_exception(error)))


def _silent(text: str) -> None:
    lowered = text.casefold()
    assert not [trace for trace in ("quinberta", "zöllig", "960411") if trace in lowered]
