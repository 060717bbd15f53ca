"""Owns the view of a job's history: who changed what and when, and any version to open."""

from dataclasses import dataclass

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QPushButton,
    QSplitter,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.job import Job
from fitplanner.store.shop.records import Change
from fitplanner.ui.shop.tables import ROOMY, LineTable
from fitplanner.ui.shop.words import deed_words, lines, moment_words, who_words
from fitplanner.ui.theme import figure_font
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.text import Text, tip

_SIZE = QSize(1000, 520)


@dataclass(frozen=True)
class Version:
    """One change of a job, and the job as it was then."""

    change: Change
    job: Job


class HistoryDialog(QDialog):
    """Changes to the left, newest first; what the chosen one changed to the right."""

    def __init__(
        self, name: str, versions: list[Version], figures: Figures, parent: QWidget | None = None
    ) -> None:
        """`versions` come newest first."""
        super().__init__(parent)
        self._versions = versions
        self._figures = figures
        self.setWindowTitle(self.tr("History: {name}").format(name=name))
        self.setWindowFlag(Qt.WindowType.WindowMaximizeButtonHint)
        self.changes = QTreeWidget(self)
        self.table = LineTable(
            self.tr("What was changed"),
            [self.tr("Entry"), self.tr("Before"), self.tr("After")],
            self,
        )
        self.said = Text(faint=True, parent=self)
        self.open_button = QPushButton(self.tr("&Open this version"), self)
        self.open_button.setToolTip(
            tip(
                self.tr(
                    "Shows the job as it was then, not saved; to save it makes it the newest "
                    "version, and nothing leaves the history"
                )
            )
        )
        close = QPushButton(self.tr("&Close"), self)
        close.setAutoDefault(False)
        self._lay_out(close)
        self.changes.currentItemChanged.connect(self._show)
        self.changes.itemDoubleClicked.connect(self.accept)
        self.open_button.clicked.connect(self.accept)
        close.clicked.connect(self.reject)
        self._fill()
        self.resize(_SIZE)

    def _lay_out(self, close: QPushButton) -> None:
        changes = self.changes
        changes.setAccessibleName(self.tr("Changes, newest first"))
        changes.setHeaderLabels([self.tr("When"), self.tr("Who"), self.tr("What")])
        changes.setRootIsDecorated(False)
        changes.setIndentation(0)
        changes.setAllColumnsShowFocus(True)
        changes.setStyleSheet(ROOMY)
        changes.setFont(figure_font(changes.font()))
        changes.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        right = QWidget(self)
        column = QVBoxLayout(right)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.table, 1)
        column.addWidget(self.said)
        halves = QSplitter(Qt.Orientation.Horizontal, self)
        halves.addWidget(changes)
        halves.addWidget(right)
        halves.setSizes([390, 610])
        halves.setChildrenCollapsible(False)
        below = QHBoxLayout()
        below.addStretch(1)
        below.addWidget(self.open_button)
        below.addWidget(close)
        whole = QVBoxLayout(self)
        whole.addWidget(halves, 1)
        whole.addLayout(below)

    def revision(self) -> int:
        """The version that is chosen."""
        return self._versions[self._row()].change.revision

    def _row(self) -> int:
        return max(self.changes.indexOfTopLevelItem(self.changes.currentItem()), 0)

    def _fill(self) -> None:
        for version in self._versions:
            change = version.change
            words = [
                moment_words(change.at, self.locale()),
                who_words(change.who),
                deed_words(change.deed),
            ]
            self.changes.addTopLevelItem(QTreeWidgetItem(words))
        for column in range(2):
            self.changes.resizeColumnToContents(column)
        self.changes.setCurrentIndex(self.changes.model().index(0, 0))

    def _show(self) -> None:
        row = self._row()
        before = self._versions[row + 1].job if row + 1 < len(self._versions) else None
        found = [] if before is None else lines(self._figures, before, self._versions[row].job)
        self.table.show_lines(found)
        if before is None:
            self.said.setText(self.tr("With this version the job came into the shop."))
        else:
            self.said.setText("" if found else self.tr("Nothing that is shown was changed."))
        self.said.setVisible(bool(self.said.text()))
