"""Where the shop's jobs are kept: the one setting, in a shop's words, as an address to connect to.

Owns the forms in which the setting may be written. Refuses to connect.
"""

import re
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

from fitplanner import paths
from fitplanner.store.files import StoreError

_SCHEMES = ("postgresql://", "postgres://")
_PLAIN = re.compile(
    r"(?:(?P<user>[^:@/\s]+)(?::(?P<password>.*))?@)?"
    r"(?P<host>[\w.-]+)(?::(?P<port>\d{1,5}))?/(?P<database>[\w-]+)"
)
_MEND = (
    "Write it as server/database, such as workshop-pc/jobs, with user:password@ in front where "
    "the server asks for them; or choose to keep the jobs on this computer."
)


@dataclass(frozen=True)
class Address:
    """A database: its URL, and how messages name it, which is never with a password.

    `file` is the SQLite file; None for a server.
    """

    url: URL
    shown: str
    file: Path | None


def file_address(path: Path) -> Address:
    """The database in the SQLite file at `path`."""
    path = path.absolute()
    return Address(URL.create("sqlite", database=str(path)), str(path), path)


def address(setting: str | Path = "") -> Address:
    """Read the setting.

    Args:
        setting: empty for the file in the user's folder; a `Path` for another SQLite file;
            ``[user[:password]@]server[:port]/database`` or a ``postgresql://`` URL for a server;
            the full name of a folder for the file in that folder.

    Raises:
        StoreError: it is none of these; the message shows how to write it.
    """
    if isinstance(setting, Path):
        return file_address(setting)
    setting = setting.strip()
    if not setting:
        return file_address(paths.shop_file())
    if Path(setting).is_absolute():
        return file_address(Path(setting) / paths.shop_file().name)
    url = _url(setting)
    if url is None or not url.host or not url.database:
        # What stands before an @ may hold a password.
        shown = setting.rpartition("@")[2] or "what is entered"
        raise StoreError("The address of the shop's server cannot be read", shown, _MEND)
    port = f":{url.port}" if url.port else ""
    return Address(
        url.set(drivername="postgresql+psycopg"), f"{url.host}{port}/{url.database}", None
    )


def _url(setting: str) -> URL | None:
    if setting.startswith(_SCHEMES):
        try:
            return make_url(setting)
        except (ArgumentError, ValueError):
            return None
    plain = _PLAIN.fullmatch(setting)
    if plain is None:
        return None
    return URL.create(
        "postgresql",
        username=plain["user"],
        password=plain["password"],
        host=plain["host"],
        port=int(plain["port"]) if plain["port"] else None,
        database=plain["database"],
    )
