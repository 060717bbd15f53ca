"""The versions of the shop's tables, and the steps from each to the next.

The steps are ordinary modules carried out with Alembic's operations: they are found by import,
so an installed package and a bundle have them without a folder of scripts. The version stands
where Alembic keeps it, as a whole number.
"""

from alembic.operations import Operations
from alembic.runtime.migration import MigrationContext
from alembic.util import CommandError
from sqlalchemy import Column, Connection, MetaData, String, Table, delete, insert, inspect, text

from fitplanner.store.files import StoreError
from fitplanner.store.shop.database import Database
from fitplanner.store.shop.migrations import to_1, to_2

STEPS = (to_1.step, to_2.step)
LATEST = len(STEPS)

_OPEN = "The shop's jobs cannot be opened"
# Any number, the same in every program that may migrate at once.
_LOCK = 0x666974
_VERSION = Table("alembic_version", MetaData(), Column("version_num", String(32), primary_key=True))


def bring_up(database: Database, version: int = LATEST) -> None:
    """Make or change the tables so that they are of `version`; all of it or nothing.

    Raises:
        StoreError: newer than this program, not of this program, or not to be written.
    """
    with database.read(_OPEN) as connection:
        if version_of(connection, database.address.shown) == version:
            return
    with database.write(_OPEN) as connection:
        if database.on_server:
            connection.execute(text(f"SELECT pg_advisory_xact_lock({_LOCK})"))
        present = version_of(connection, database.address.shown)
        operations = Operations(MigrationContext.configure(connection))
        for step in STEPS[present:version]:
            step(operations)
        _VERSION.create(connection, checkfirst=True)
        connection.execute(delete(_VERSION))
        connection.execute(insert(_VERSION).values(version_num=str(max(present, version))))


def version_of(connection: Connection, where: str) -> int:
    """The version of the tables; 0 where there are none.

    Raises:
        StoreError: newer than this program, or of another program.
    """
    try:
        found = MigrationContext.configure(connection).get_current_revision()
    except CommandError:  # more than one line
        found = "?"
    if found is None and not inspect(connection).has_table("job"):
        return 0
    if found is None or not found.isdecimal():
        raise StoreError(
            _OPEN,
            where,
            "This database belongs to another program; choose an empty one for the shop.",
        )
    version = int(found)
    if version > LATEST:
        raise StoreError(
            _OPEN,
            where,
            f"The database is of version {version}, but this program knows versions up to "
            f"{LATEST}; start the newer program, or restore a backup of the older one.",
        )
    return version
