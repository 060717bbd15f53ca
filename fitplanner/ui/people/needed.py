"""Owns the card that says which seat a machine would need so that a share of people reach.

Refuses to compute: rows come in finished words.
"""

from collections.abc import Sequence

from PySide6.QtWidgets import QWidget

from fitplanner.report.people import NEEDED_HEADS, NEEDED_NOTE
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.figure_table import Column, FigureTable
from fitplanner.ui.widgets.text import Text


class NeededCard(Card):
    """A row for each share, with its note."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(self.tr("Which seat would it need?"), parent=parent)
        self.table = FigureTable(name=self.tr("Seat that it would need"), parent=self)
        self.body.addWidget(self.table)
        self.body.addWidget(Text(NEEDED_NOTE, faint=True, parent=self))

    def show_rows(self, rows: Sequence[tuple[str, ...]]) -> None:
        """Show these rows, or none yet."""
        first, *others = (self.tr(words) for words in NEEDED_HEADS)
        columns = (Column(first, figures=False, stretch=1), *map(Column, others))
        self.table.show_rows(columns, rows)
