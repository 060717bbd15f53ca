"""The shop's jobs in a database: by default a SQLite file, by one setting a PostgreSQL server.

Owns keeping, finding, history, erasing, backup. Refuses to ask the user: a `ConflictError` says
that there is something to choose, a `StoreError` what to mend.

The records load without the database library, which takes half a second; `Shop` and the
functions load it when they are first asked for, which a window does on its worker.
"""

import importlib
from typing import TYPE_CHECKING, Any

from fitplanner.store.shop.records import (
    Backup,
    Change,
    ConflictError,
    Deed,
    Difference,
    GoneError,
    Kept,
    MissingError,
    Query,
    RiderRow,
    Row,
    Sort,
)

if TYPE_CHECKING:
    from fitplanner.store.shop.backup import check as check_backup
    from fitplanner.store.shop.demo import load_demo
    from fitplanner.store.shop.shop import Shop

__all__ = [
    "Backup",
    "Change",
    "ConflictError",
    "Deed",
    "Difference",
    "GoneError",
    "Kept",
    "MissingError",
    "Query",
    "RiderRow",
    "Row",
    "Shop",
    "Sort",
    "check_backup",
    "load_demo",
]

_LATER = {
    "Shop": ("shop", "Shop"),
    "check_backup": ("backup", "check"),
    "load_demo": ("demo", "load_demo"),
}


def __getattr__(name: str) -> Any:
    if name not in _LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module, inside = _LATER[name]
    return getattr(importlib.import_module(f"{__name__}.{module}"), inside)
