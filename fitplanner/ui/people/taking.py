"""Owns the buttons that take an answer along: its picture, its table, its page.

Refuses to know what stands in any of them.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtGui import QGuiApplication, QPixmap
from PySide6.QtWidgets import QPushButton, QWidget

from fitplanner.planning.people.shares import Found, Row
from fitplanner.report.papers.write import Writer
from fitplanner.report.people_taken import people_csv, people_paper
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.exports import CSV, export_table, stem_of
from fitplanner.ui.people.chart import Chart
from fitplanner.ui.people.drawing import letters
from fitplanner.ui.widgets.figures import Figures


@dataclass(frozen=True)
class Taken:
    """What is shown at present; `picture` paints the chart for other programs."""

    found: Found
    row: Row
    chart: Chart
    picture: Callable[[], QPixmap]
    write: Writer
    figures: Figures


class Taking(QObject):
    """Three buttons, open while there is something to take."""

    def __init__(self, dialogs: Dialogs, parent: QWidget) -> None:
        super().__init__(parent)
        self._dialogs = dialogs
        self._window = parent
        self._taken: Taken | None = None
        self.copy_button = QPushButton(self.tr("Copy &picture"), parent)
        self.table_button = QPushButton(self.tr("&Export table (CSV)…"), parent)
        self.paper_button = QPushButton(self.tr("Pr&int…"), parent)
        self.buttons = (self.copy_button, self.table_button, self.paper_button)
        self.copy_button.clicked.connect(self._copy)
        self.table_button.clicked.connect(self._export)
        self.paper_button.clicked.connect(self._print)

    def show(self, taken: Taken | None) -> None:
        """From now on take this."""
        self._taken = taken
        for button in self.buttons:
            button.setEnabled(taken is not None)

    def _copy(self) -> None:
        if self._taken is not None:
            QGuiApplication.clipboard().setPixmap(self._taken.picture())

    def _export(self) -> None:
        taken = self._taken
        if taken is None:
            return
        machine = taken.found.question.machine.name
        words = self.tr("who reaches {machine}").format(machine=machine)
        proposal = Path(f"{stem_of(words, self.tr('who reaches it'))}{CSV}")
        export_table(self._dialogs, proposal, people_csv(taken.found, taken.write.system))

    def _print(self) -> None:
        from fitplanner.ui.people.paper import print_people

        taken = self._taken
        if taken is not None:
            paper = people_paper(taken.found, taken.row, letters(taken.found), taken.write)
            print_people(self._window, paper, taken.chart, taken.figures)
