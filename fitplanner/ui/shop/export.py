"""Owns what a table of the shop's jobs for spreadsheets holds.

Refuses to read jobs and to write files.
"""

from collections.abc import Sequence
from datetime import datetime

from PySide6.QtCore import QCoreApplication

from fitplanner.report.sheet_csv import table_csv
from fitplanner.store.shop.records import Row
from fitplanner.ui import texts


def jobs_csv(rows: Sequence[Row]) -> bytes:
    """The bytes of a table with one line for each job; times in this computer's own, ISO 8601."""
    heads = ("Stage", "Rider", "Machine", "Job", "Reference", "Begun", "Changed", "By")
    return table_csv(
        [QCoreApplication.translate("JobsModel", head) for head in heads],
        [
            (
                texts.label(row.stage),
                row.rider,
                row.machine,
                row.title,
                row.reference,
                _moment(row.created),
                _moment(row.changed),
                row.who,
            )
            for row in rows
        ],
    )


def _moment(at: datetime) -> str:
    return at.astimezone().strftime("%Y-%m-%d %H:%M")
