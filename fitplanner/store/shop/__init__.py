"""The shop's jobs in a database: by default a SQLite file, by one setting a PostgreSQL server.

Owns keeping, finding, history, erasing, backup. Refuses to ask the user: a `ConflictError` says
that there is something to choose, a `StoreError` what to mend.
"""

from fitplanner.store.shop.backup import check as check_backup
from fitplanner.store.shop.demo import load_demo
from fitplanner.store.shop.records import (
    Backup,
    Change,
    ConflictError,
    Deed,
    Difference,
    Kept,
    Query,
    RiderRow,
    Row,
)
from fitplanner.store.shop.shop import Shop

__all__ = [
    "Backup",
    "Change",
    "ConflictError",
    "Deed",
    "Difference",
    "Kept",
    "Query",
    "RiderRow",
    "Row",
    "Shop",
    "check_backup",
    "load_demo",
]
