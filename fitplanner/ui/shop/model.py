"""Owns the rows of the list of jobs: what has been read so far of all that was found."""

from PySide6.QtCore import (
    QAbstractTableModel,
    QCoreApplication,
    QLocale,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from fitplanner.store.shop.records import Row, Sort
from fitplanner.ui import texts
from fitplanner.ui.shop.words import NOTHING, moment_words, who_words
from fitplanner.ui.widgets.text import tip

Index = QModelIndex | QPersistentModelIndex

STAGE, RIDER, MACHINE, TITLE, REFERENCE, CHANGED, WHO = range(7)
SORTS = (
    Sort.STAGE,
    Sort.RIDER,
    Sort.MACHINE,
    Sort.TITLE,
    Sort.REFERENCE,
    Sort.CHANGED,
    Sort.WHO,
)
"""By what each column sorts."""

_NOWHERE = QModelIndex()


class JobsModel(QAbstractTableModel):
    """One row for each job; more are asked for as the user scrolls."""

    more_wanted = Signal()
    """The rows after the last one are to be read and given to `add`."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.rows: list[Row] = []
        self.total = 0
        self._asked = False

    def show(self, rows: list[Row], total: int) -> None:
        """Show what was found; `total` counts what has not been read too."""
        self.beginResetModel()
        self.rows, self.total, self._asked = list(rows), total, False
        self.endResetModel()

    def add(self, rows: list[Row], total: int) -> None:
        """Take the rows after the last one; one that moved down meanwhile stands once only."""
        known = {one.id for one in self.rows}
        new = [one for one in rows if one.id not in known]
        # A list that got shorter meanwhile ends where nothing more came.
        self.total, self._asked = (total if rows else len(self.rows)), False
        if new:
            first = len(self.rows)
            self.beginInsertRows(_NOWHERE, first, first + len(new) - 1)
            self.rows += new
            self.endInsertRows()

    def stop(self) -> None:
        """What was asked for does not come."""
        self._asked = False

    def row_of(self, key: str) -> int:
        """Where a job stands, -1 where it does not."""
        return next((row for row, one in enumerate(self.rows) if one.id == key), -1)

    # Qt's side.

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """Rows read so far."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """Columns."""
        return 0 if parent.isValid() else WHO + 1

    def canFetchMore(self, parent: Index) -> bool:
        """Whether there are rows that have not been read."""
        return not parent.isValid() and not self._asked and len(self.rows) < self.total

    def fetchMore(self, parent: Index) -> None:
        """Ask for more; they come later."""
        self._asked = True
        self.more_wanted.emit()

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Headings."""
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return QCoreApplication.translate("JobsModel", _HEADS[section])
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Words."""
        row = self.rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return _words(row, index.column())
        if role == Qt.ItemDataRole.ToolTipRole:
            if index.column() == STAGE:
                return tip(texts.hint(row.stage))
            return tip(_words(row, index.column()))
        return None


def _words(row: Row, column: int) -> str:
    if column == STAGE:
        return texts.label(row.stage)
    if column == CHANGED:
        return moment_words(row.changed, QLocale())
    if column == WHO:
        return who_words(row.who)
    text = {
        RIDER: row.rider,
        MACHINE: row.machine,
        TITLE: row.title,
        REFERENCE: row.reference,
    }[column]
    return text or NOTHING


_HEADS = ("Stage", "Rider", "Machine", "Job", "Reference", "Changed", "By")
