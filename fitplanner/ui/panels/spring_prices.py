"""Owns the entry of what other springs and a shorter side-stand cost on the job's machine."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from fitplanner.documents.base import FigureSpec
from fitplanner.documents.job import Job
from fitplanner.documents.machine import SpringOffer, StandOffer
from fitplanner.quantities import Kind
from fitplanner.ui.fields import JobField
from fitplanner.ui.forms import plain_label
from fitplanner.ui.panels.assumed import AssumedLabel, OfferEntry
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
        rows = _figures(SpringOffer)
        for row, (key, title) in enumerate(rows.items(), start=1):
            self._name(grid, row, title)
            for column, (end, name) in enumerate(ends.items(), start=1):
                self._enter(history, grid, (row, column), f"{name}: {title}", ("springs", end, key))
        below = len(rows) + 1
        for column, end in enumerate(ends, start=1):
            self._say_assumed(grid, below, column, ("machine", "springs", end))
        self._head(grid, below + 1, 1, self.tr("Side-stand"))
        for row, (key, title) in enumerate(_figures(StandOffer).items(), start=below + 2):
            self._name(grid, row, title)
            self._enter(history, grid, (row, 1), title, ("stand_work", key))
        row += 1
        self._say_assumed(grid, row, 1, ("machine", "stand_work"))
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

    def _say_assumed(
        self, grid: QGridLayout, row: int, column: int, address: tuple[str, ...]
    ) -> None:
        label = AssumedLabel(address, self)
        grid.addWidget(label, row, column)
        self.fields.append(label)

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
        entry = OfferEntry(history, ("machine", *address), spec, self)
        entry.setFixedWidth(_WIDTH)
        grid.addWidget(entry, *place, Qt.AlignmentFlag.AlignTop)
        self.fields.append(entry)

    def show_job(self, job: Job) -> None:
        """Show what the job's machine states."""
        for field in self.fields:
            field.show_job(job)


def _figures(offer: type[SpringOffer] | type[StandOffer]) -> dict[str, str]:
    """The plain numbers of an offer, with their labels."""
    fields = offer.model_fields.items()
    return {key: field.title or key for key, field in fields if field.annotation is float}
