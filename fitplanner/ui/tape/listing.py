"""Owns the list of readings: as typed, in the unit shown, against the fitted machine.

A reading is corrected, set aside or deleted from here, each one step of undo. Refuses to judge.
"""

from collections.abc import Mapping

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.bench import Reading, When
from fitplanner.documents.job import Job
from fitplanner.planning.measured.account import ReadingTold
from fitplanner.planning.measured.series import step_of
from fitplanner.ui.tape.edits import put_readings
from fitplanner.ui.tape.words import fine, reading_title
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION, NOTE, OK, mark_icon
from fitplanner.ui.widgets.text import Text, tip
from fitplanner.ui.widgets.tree import show_rows_alone

_TITLE, _TYPED, _VALUE, _SAYS, _OFF, _VERDICT = range(6)
_ROW = Qt.ItemDataRole.UserRole
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_LEAST_ROWS, _MOST_ROWS = 6, 24
_LOOK = (
    "QTreeView::item { padding: 3px 6px; } "
    "QHeaderView::section { padding: 4px 6px; border: none; background: palette(button); }"
)


class Listing(QWidget):
    """The readings before or after the work."""

    correct_wanted = Signal(int)
    """The row of the job's reading that is to be corrected."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._history = history
        self._told: Mapping[int, ReadingTold] = {}
        self.tree = QTreeWidget(self)
        self.empty = Text(self.tr("No reading yet."), faint=True, parent=self)
        self.correct_button = QPushButton(self.tr("&Correct"), self)
        self.aside_button = QPushButton(self.tr("Set &aside"), self)
        self.delete_button = QPushButton(self.tr("&Delete"), self)
        buttons = QHBoxLayout()
        for button in (self.correct_button, self.aside_button, self.delete_button):
            button.setAutoDefault(False)
            buttons.addWidget(button)
        buttons.addStretch(1)
        self.aside_button.setToolTip(
            tip(self.tr("A reading set aside is kept and not used; it can be used again"))
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.empty)
        column.addWidget(self.tree)
        column.addLayout(buttons)
        tree = self.tree
        tree.setAccessibleName(self.tr("Readings"))
        tree.setColumnCount(6)
        tree.setRootIsDecorated(False)
        show_rows_alone(tree, _LOOK, wide=_TITLE)
        tree.header().setMinimumSectionSize(56)
        tree.itemActivated.connect(self._correct)
        tree.itemSelectionChanged.connect(self._show_buttons)
        self.correct_button.clicked.connect(self._correct)
        self.aside_button.clicked.connect(self._set_aside)
        self.delete_button.clicked.connect(self._delete)
        key = QShortcut(QKeySequence(Qt.Key.Key_Delete), tree)
        key.setContext(Qt.ShortcutContext.WidgetShortcut)
        key.activated.connect(self._delete)

    def show_readings(
        self, job: Job, when: When, told: Mapping[int, ReadingTold], figures: Figures
    ) -> None:
        """Show the readings of `job`; `told` is what the fit says, by the reading's row."""
        self._told = told
        kept = self.row()
        rows = [(row, each) for row, each in enumerate(job.readings) if each.when is when]
        with QSignalBlocker(self.tree):
            self.tree.clear()
            self.tree.setHeaderLabels(
                [
                    self.tr("Reading"),
                    self.tr("As typed"),
                    self.tr("Taken as"),
                    self.tr("Machine says"),
                    self.tr("Apart"),
                    self.tr("Says"),
                ]
            )
            for place in (_VALUE, _SAYS, _OFF):
                self.tree.headerItem().setTextAlignment(place, _RIGHT)
            for row, reading in rows:
                self.tree.addTopLevelItem(self._item(row, reading, figures))
            for number in range(self.tree.topLevelItemCount()):
                item = self.tree.topLevelItem(number)
                if item is not None and item.data(_TITLE, _ROW) == kept:
                    self.tree.setCurrentItem(item)
        high = self.tree.sizeHintForRow(0) if rows else 0
        shown = min(max(len(rows), _LEAST_ROWS if rows else 0), _MOST_ROWS)
        self.tree.setFixedHeight(self.tree.header().sizeHint().height() + high * shown + 6)
        self.tree.setVisible(bool(rows))
        self.empty.setVisible(not rows)
        self._show_buttons()

    def row(self) -> int | None:
        """The job's row of the reading that is picked."""
        items = self.tree.selectedItems()
        return items[0].data(_TITLE, _ROW) if items else None

    def pick(self, row: int) -> None:
        """Pick a reading by its row in the job."""
        for number in range(self.tree.topLevelItemCount()):
            item = self.tree.topLevelItem(number)
            if item is not None and item.data(_TITLE, _ROW) == row:
                self.tree.setCurrentItem(item)

    def texts(self) -> list[list[str]]:
        """What the list shows."""
        items = (self.tree.topLevelItem(n) for n in range(self.tree.topLevelItemCount()))
        return [[item.text(place) for place in range(6)] for item in items if item is not None]

    def _item(self, row: int, reading: Reading, figures: Figures) -> QTreeWidgetItem:
        told, kind = self._told.get(row), step_of(reading).kind
        says = off = ""
        if told is not None and told.predicted is not None and told.residual is not None:
            says = fine(figures, told.predicted, kind)
            off = fine(figures, told.residual, kind, signed=True)
        meaning, verdict, why = self._verdict(reading, told)
        title, value = reading_title(reading), fine(figures, reading.value, kind)
        item = QTreeWidgetItem([title, reading.typed or value, value, says, off, verdict])
        item.setData(_TITLE, _ROW, row)
        item.setToolTip(_TITLE, tip(title))
        item.setToolTip(_VERDICT, tip(why))
        if meaning:
            item.setIcon(_VERDICT, mark_icon(meaning, self.palette()))
        for place in (_VALUE, _SAYS, _OFF):
            item.setTextAlignment(place, _RIGHT)
        font = item.font(_TITLE)
        font.setBold(meaning == CAUTION)
        font.setStrikeOut(reading.set_aside)
        for place in range(_VERDICT):
            item.setFont(place, font)
        return item

    def _verdict(self, reading: Reading, told: ReadingTold | None) -> tuple[str, str, str]:
        """Mark, word and reason."""
        if reading.set_aside:
            return "", self.tr("set aside"), self.tr("Kept and not used")
        if told is None:
            return "", "…", ""
        if not told.fits:
            return CAUTION, self.tr("does not fit"), told.why
        if not told.used:
            return NOTE, self.tr("not used"), told.why
        if told.others is None:
            return NOTE, self.tr("unchecked"), self.tr("No other reading checks this one")
        return (
            OK,
            self.tr("fits the others"),
            self.tr("Compared with the other readings, not with the plan"),
        )

    def _show_buttons(self) -> None:
        row = self.row()
        for button in (self.correct_button, self.aside_button, self.delete_button):
            button.setEnabled(row is not None)
        aside = row is not None and self._history.job.readings[row].set_aside
        self.aside_button.setText(self.tr("Use &again") if aside else self.tr("Set &aside"))

    def _correct(self) -> None:
        row = self.row()
        if row is not None:
            self.correct_wanted.emit(row)

    def _set_aside(self) -> None:
        row = self.row()
        if row is None:
            return
        readings = list(self._history.job.readings)
        aside = not readings[row].set_aside
        readings[row] = readings[row].replace(set_aside=aside)
        words = self.tr("Set aside: {title}") if aside else self.tr("Use again: {title}")
        put_readings(self._history, readings, words.format(title=reading_title(readings[row])))

    def _delete(self) -> None:
        row = self.row()
        if row is None:
            return
        readings = list(self._history.job.readings)
        gone = readings.pop(row)
        words = self.tr("Delete: {title}").format(title=reading_title(gone))
        put_readings(self._history, readings, words)
