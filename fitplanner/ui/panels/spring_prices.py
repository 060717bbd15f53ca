"""Owns the entry of what other springs and a shorter side-stand cost on the job's machine."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from fitplanner.documents.base import FigureSpec
from fitplanner.documents.job import Job
from fitplanner.documents.machine import SpringOffer, StandOffer
from fitplanner.quantities import Kind
from fitplanner.ui.fields import JobField, QuantityEntry
from fitplanner.ui.forms import plain_label
from fitplanner.ui.undo import History

_WIDTH = 116


class SpringPricesForm(QWidget):
    """One row for each figure, one column for each end; the side-stand below."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fields: list[JobField] = []
        grid = QGridLayout(self)
        grid.setHorizontalSpacing(8)
        grid.setColumnStretch(0, 1)
        ends = {"fork": self.tr("Fork"), "shock": self.tr("Shock")}
        for column, name in enumerate(ends.values(), start=1):
            self._head(grid, 0, column, name)
        rows = SpringOffer.model_fields
        for row, (key, field) in enumerate(rows.items(), start=1):
            title = field.title or key
            self._name(grid, row, title)
            for column, (end, name) in enumerate(ends.items(), start=1):
                self._enter(history, grid, (row, column), f"{name}: {title}", ("springs", end, key))
        self._head(grid, len(rows) + 1, 1, self.tr("Side-stand"))
        for row, (key, field) in enumerate(StandOffer.model_fields.items(), start=len(rows) + 2):
            title = field.title or key
            self._name(grid, row, title)
            self._enter(history, grid, (row, 1), title, ("stand_work", key))
        note = plain_label(
            self.tr(
                "Prices are plain numbers in the shop's currency. A unit that is open for "
                "another job is open for its springs: the longest job at an end counts."
            ),
            self,
            wrap=True,
        )
        note.setForegroundRole(note.palette().ColorRole.PlaceholderText)
        grid.addWidget(note, row + 1, 0, 1, 3)
        grid.setRowStretch(row + 2, 1)

    def _head(self, grid: QGridLayout, row: int, column: int, text: str) -> None:
        head = plain_label(text, self)
        head.setForegroundRole(head.palette().ColorRole.PlaceholderText)
        grid.addWidget(head, row, column)

    def _name(self, grid: QGridLayout, row: int, title: str) -> None:
        grid.addWidget(plain_label(title, self, wrap=True), row, 0, Qt.AlignmentFlag.AlignTop)

    def _enter(
        self,
        history: History,
        grid: QGridLayout,
        place: tuple[int, int],
        label: str,
        address: tuple[str, ...],
    ) -> None:
        high = 1e7 if address[-1] == "parts" else 100.0
        spec = FigureSpec(address[-1], label, "", Kind.RATIO, 0.0, high, optional=False)
        entry = QuantityEntry(history, ("machine", *address), spec, self)
        entry.setFixedWidth(_WIDTH)
        grid.addWidget(entry, *place, Qt.AlignmentFlag.AlignTop)
        self.fields.append(entry)

    def show_job(self, job: Job) -> None:
        """Show what the job's machine states."""
        for field in self.fields:
            field.show_job(job)
