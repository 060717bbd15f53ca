"""Owns the entry of what other springs cost on the job's machine, in hours and parts."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from fitplanner.documents.base import FigureSpec
from fitplanner.documents.job import Job
from fitplanner.documents.machine import SpringOffer
from fitplanner.quantities import Kind
from fitplanner.ui.fields import JobField, QuantityEntry
from fitplanner.ui.forms import plain_label
from fitplanner.ui.undo import History

_WIDTH = 116


class SpringPricesForm(QWidget):
    """One row for each figure, one column for each end."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fields: list[JobField] = []
        grid = QGridLayout(self)
        grid.setHorizontalSpacing(8)
        grid.setColumnStretch(0, 1)
        ends = {"fork": self.tr("Fork"), "shock": self.tr("Shock")}
        for column, name in enumerate(ends.values(), start=1):
            head = plain_label(name, self)
            head.setForegroundRole(head.palette().ColorRole.PlaceholderText)
            grid.addWidget(head, 0, column)
        rows = SpringOffer.model_fields
        for row, (key, field) in enumerate(rows.items(), start=1):
            title = field.title or key
            grid.addWidget(plain_label(title, self, wrap=True), row, 0, Qt.AlignmentFlag.AlignTop)
            high = 1e7 if key == "parts" else 100.0
            for column, (end, name) in enumerate(ends.items(), start=1):
                spec = FigureSpec(
                    key, f"{name}: {title}", "", Kind.RATIO, 0.0, high, optional=False
                )
                entry = QuantityEntry(history, ("machine", "springs", end, key), spec, self)
                entry.setFixedWidth(_WIDTH)
                grid.addWidget(entry, row, column, Qt.AlignmentFlag.AlignTop)
                self.fields.append(entry)
        note = plain_label(
            self.tr(
                "Prices are plain numbers in the shop's currency. A unit that is open for "
                "another job is open for its springs: the longest job at an end counts."
            ),
            self,
            wrap=True,
        )
        note.setForegroundRole(note.palette().ColorRole.PlaceholderText)
        grid.addWidget(note, len(rows) + 1, 0, 1, 3)
        grid.setRowStretch(len(rows) + 2, 1)

    def show_job(self, job: Job) -> None:
        """Show what the job's machine states."""
        for field in self.fields:
            field.show_job(job)
