"""What a database refuses, put into words with a mend.

Owns the translation of the drivers' errors. Their own texts may quote a row, and with it a
rider's name, so only what a server says when it cannot be connected to is passed on.
"""

import sqlite3

import psycopg
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from fitplanner.store.files import StoreError, store_error

_BUSY = "Another window or program is writing just now; wait a moment and try again."
_FULL = "The disk is full; make room there and try again."
_ELSEWHERE = "choose another place by “Shop”, “Where the jobs are kept”."
_READ_ONLY = f"It can only be read; permit writing to it, or {_ELSEWHERE}"
_DAMAGED = "It is damaged or is no database of this program; restore a backup."
_GONE = "The server does not answer; look whether it runs and the network is up, then try again."

_SQLITE_MENDS = {
    sqlite3.SQLITE_BUSY: _BUSY,
    sqlite3.SQLITE_LOCKED: _BUSY,
    sqlite3.SQLITE_FULL: _FULL,
    sqlite3.SQLITE_READONLY: _READ_ONLY,
    sqlite3.SQLITE_PERM: _READ_ONLY,
    sqlite3.SQLITE_CANTOPEN: f"It cannot be opened; permit writing to its folder, or {_ELSEWHERE}",
    sqlite3.SQLITE_CORRUPT: _DAMAGED,
    sqlite3.SQLITE_NOTADB: _DAMAGED,
    sqlite3.SQLITE_IOERR: "The disk reports an error; check the disk and copy a backup elsewhere.",
}

# SQLSTATE codes, PostgreSQL manual, appendix A.
_SERVER_MENDS = {
    "53100": "The server's disk is full; make room there and try again.",
    "53300": "The server has too many connections; close a window elsewhere and try again.",
    "25006": "The server permits only reading; connect to the main server, or permit writing.",
    "55P03": _BUSY,
    "40P01": _BUSY,
    "40001": _BUSY,
    "23503": "Somebody removed the rider meanwhile; look the rider up again.",
    "42501": "The user of the address may not do this; have the server's keeper permit it.",
    "57P01": _GONE,
    "57P02": _GONE,
    "57P03": "The server is starting or stopping; wait a moment and try again.",
}


def refused(what: str, where: str, error: SQLAlchemyError | OSError) -> StoreError:
    """The `StoreError` for what the driver raised; nothing was written."""
    if isinstance(error, OSError):
        return store_error(what, where, error)
    return StoreError(what, where, _mend(error))


def _mend(error: SQLAlchemyError) -> str:
    cause = error.orig if isinstance(error, DBAPIError) else None
    if isinstance(cause, sqlite3.Error):
        # Python names the code of an error since 3.11; the low byte is the kind of it.
        code = getattr(cause, "sqlite_errorcode", 0) & 0xFF
        return _SQLITE_MENDS.get(code, f"SQLite says {type(cause).__name__} {code}; try again.")
    if isinstance(cause, psycopg.Error):
        if cause.sqlstate:
            return _SERVER_MENDS.get(cause.sqlstate) or (
                f"The server says {cause.sqlstate} ({type(cause).__name__}); try again, "
                "and show this to the server's keeper if it stays."
            )
        return _unconnected(str(cause))
    return f"The database answers {type(error).__name__}; try again."


def _unconnected(said: str) -> str:
    """Connecting fails without a code, in words that may be of the server's own language."""
    if "password" in said or "authentication" in said:
        return "The server refuses user or password; correct them in the settings."
    if "does not exist" in said and "database" in said:
        return "The server has no such database; have it made there, or correct the name."
    words = " ".join(said.split())[:200]
    return f"{_GONE} It was said: {words}"
