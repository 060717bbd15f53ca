"""The connection: SQLite in a file or a PostgreSQL server, each transaction whole or not at all.

Owns what makes a reported save last, how long a lock is waited for, and that no figure of a
rider reaches a log. Refuses to know the tables.
"""

import contextlib
import logging
import os
from collections.abc import Callable, Iterator
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import SQLAlchemyError

from fitplanner.store.shop.address import Address
from fitplanner.store.shop.faults import refused

WAIT_S = 5

_LOG = "shop"
# At DEBUG the database library logs the rows that it reads, which `hide_parameters` leaves in.
logging.getLogger(f"sqlalchemy.engine.Engine.{_LOG}").addFilter(
    lambda record: record.levelno > logging.DEBUG
)

_SERVER = {
    "connect_timeout": WAIT_S,
    # A pulled network cable is noticed within about 15 s, not after hours.
    "keepalives_idle": 5,
    "keepalives_interval": 3,
    "keepalives_count": 3,
    "tcp_user_timeout": 15_000,
    # A server may be set to report a commit before it is on the disk; not for these jobs.
    "options": f"-c synchronous_commit=on -c lock_timeout={WAIT_S}s -c client_min_messages=error",
}


class Database:
    """An open database; `close` it."""

    def __init__(self, address: Address, *, one_file: bool = False) -> None:
        """Prepare to connect to `address`; nothing is read yet.

        Args:
            address: which database.
            one_file: keep a SQLite file whole without the log beside it, as a backup must be.

        Raises:
            StoreError: the folder of the file cannot be made.
        """
        self.address = address
        self._reading: dict[str, Any] = {}
        if address.file is not None:
            self._engine = _file_engine(address, "DELETE" if one_file else "WAL")
        else:
            self._engine = _engine(address, connect_args=_SERVER, pool_pre_ping=True)
            # All that one reading reads is of one moment; SQLite has it so by itself.
            self._reading = {"isolation_level": "REPEATABLE READ"}

    @property
    def on_server(self) -> bool:
        """Whether it is a server, not a file."""
        return self.address.file is None

    @contextlib.contextmanager
    def read(self, what: str) -> Iterator[Connection]:
        """A connection that sees one moment; an error says `what` failed, as a `StoreError`."""
        with (
            self._translated(what),
            self._engine.connect().execution_options(**self._reading) as connection,
        ):
            yield connection

    @contextlib.contextmanager
    def write(self, what: str) -> Iterator[Connection]:
        """A transaction, on the disk when the block has ended; as `read` where it fails."""
        with (
            self._translated(what),
            self._engine.connect().execution_options(shop_writes=True) as connection,
            connection.begin(),
        ):
            yield connection

    def forget_freed_rows(self) -> None:
        """Take from the files what the rows no longer hold.

        What somebody is still reading stays until the next time; SQLite also does it when the
        last connection closes, a server from time to time.
        """
        with contextlib.suppress(SQLAlchemyError), self._engine.connect() as connection:
            if self.on_server:
                connection.execution_options(isolation_level="AUTOCOMMIT")
                connection.exec_driver_sql("VACUUM rider, job, change")
            else:
                # Past `_begin`: there is no such thing inside a transaction.
                raw: Any = connection.connection.driver_connection
                raw.execute("PRAGMA wal_checkpoint(TRUNCATE)").close()

    def close(self) -> None:
        """Give back all connections."""
        self._engine.dispose()

    @contextlib.contextmanager
    def _translated(self, what: str) -> Iterator[None]:
        try:
            yield
        except SQLAlchemyError as error:
            # Without its cause, whose text may quote a row.
            raise refused(what, self.address.shown, error) from None


def _engine(address: Address, **options: Any) -> Engine:
    return create_engine(address.url, hide_parameters=True, logging_name=_LOG, **options)


def _file_engine(address: Address, journal: str) -> Engine:
    assert address.file is not None
    try:
        address.file.parent.mkdir(parents=True, exist_ok=True)
        if not address.file.exists():
            # The file holds names: for its owner only. SQLite gives its log the same rights.
            os.close(os.open(address.file, os.O_CREAT | os.O_RDWR, 0o600))
    except OSError as error:
        raise refused("The jobs cannot be kept", address.shown, error) from error
    engine = _engine(address, connect_args={"timeout": WAIT_S})
    event.listen(engine, "connect", _set_up(journal))
    event.listen(engine, "begin", _begin)
    return engine


def _set_up(journal: str) -> Callable[[Any, Any], None]:
    def set_up(connection: Any, _: Any) -> None:
        # The module's own transactions leave out what changes tables; `_begin` begins them.
        connection.isolation_level = None
        for pragma in (
            f"journal_mode={journal}",
            "synchronous=FULL",  # on the disk before a save is reported
            "fullfsync=ON",  # macOS flushes the drive's own memory only when asked
            "secure_delete=ON",  # an erased name is overwritten, not only given free
            "foreign_keys=ON",
        ):
            connection.execute(f"PRAGMA {pragma}").close()

    return set_up


def _begin(connection: Connection) -> None:
    """A transaction that writes takes its place at once, not when it is too late to wait."""
    writes = connection.get_execution_options().get("shop_writes")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
