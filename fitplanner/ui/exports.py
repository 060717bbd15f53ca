"""Owns the way of a finished table to a file that the user chooses.

The one way for a plan's table and for a list of jobs: `report.sheet_csv` makes their bytes.
Refuses to know what stands in it.
"""

import re
from pathlib import Path

from fitplanner.store.files import StoreError, write_bytes
from fitplanner.ui.dialogs import Dialogs

PDF, CSV = ".pdf", ".csv"
_LONGEST = 80


def stem_of(words: str, fallback: str) -> str:
    """A name for a file without marks that a disk would refuse; `fallback` where none is left."""
    return re.sub(r"[^\w\-, ]+", "", words).strip(", ")[:_LONGEST] or fallback


def with_extension(dialogs: Dialogs, chosen: Path | None, extension: str) -> Path | None:
    """The chosen name with its extension; None where the user gave up.

    The file dialog asked about the name as typed, not about the one with its extension.
    """
    if chosen is None or chosen.suffix.lower() == extension:
        return chosen
    path = chosen.with_name(chosen.name + extension)
    return path if not path.exists() or dialogs.ask_replace(path) else None


def export_table(dialogs: Dialogs, proposal: Path, table: bytes) -> Path | None:
    """Ask where to, then write `table`; returns the file, or None where there is none.

    A failure is told.
    """
    path = with_extension(dialogs, dialogs.choose_table(proposal), CSV)
    if path is None:
        return None
    try:
        write_bytes(path, table)
    except StoreError as error:
        dialogs.refuse(error)
        return None
    return path
