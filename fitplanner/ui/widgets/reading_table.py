"""Owns a table into which rows of readings are typed or pasted from a spreadsheet.

There is always an empty row below. A pasted table takes the place of all rows, or goes on below
where the empty row is the current one; what a paste or a row taken out did can be put back. Text
that cannot be read stays in its cell with the reason; a last column, if any, says what became of
each row. Refuses to judge the readings.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeySequence, QShortcut
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from fitplanner.quantities import (
    Kind,
    QuantityError,
    UnitSystem,
    format_for_entry,
    parse_quantity,
    unit_label,
)
from fitplanner.quantities.pasted import MOST_ROWS, read_columns
from fitplanner.ui.widgets.figures import decimal_mark
from fitplanner.ui.widgets.mark import CAUTION, mark_icon

_EMPTY_ROWS = 1
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


@dataclass
class _Entry:
    """A cell: what stands in it, the canonical value read from it, and why there is none."""

    text: str = ""
    value: float | None = None
    why: str = ""


@dataclass(frozen=True)
class Column:
    """A column that is typed: its words and what it measures."""

    words: str
    kind: Kind


class ReadingTable(QTableWidget):
    """Rows of figures; `changed` after each change of a value or a text."""

    changed = Signal()
    pasted = Signal(str)
    """A paste was refused, and why; "" when it was taken."""
    swept = Signal(str)
    """Rows went, in words; `put_back` brings them back. "" once there is nothing to bring back."""

    def __init__(
        self, name: str, columns: Sequence[Column], told: str = "", parent: QWidget | None = None
    ) -> None:
        """`told` heads a last column that is only read; "" leaves it out."""
        super().__init__(0, len(columns) + bool(told), parent)
        self.setAccessibleName(name)
        self._columns = tuple(columns)
        self._told_words = told
        self._system = UnitSystem.METRIC
        self._entries: list[list[_Entry]] = []
        self._told: list[tuple[str, bool]] = []
        self._before: list[list[_Entry]] = []
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.verticalHeader().setDefaultSectionSize(26)
        paste = QShortcut(QKeySequence(QKeySequence.StandardKey.Paste), self)
        paste.setContext(Qt.ShortcutContext.WidgetShortcut)
        paste.activated.connect(self.paste)
        delete = QShortcut(QKeySequence(Qt.Key.Key_Delete), self)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.remove_rows)
        self.itemChanged.connect(self._typed)
        self._show()

    def rows(self) -> list[tuple[float, ...]]:
        """Canonical values of the rows that are filled in, in their order.

        Raises:
            QuantityError: a cell cannot be read or is missing; the message names its row.
        """
        found = []
        for number, row in enumerate(self._entries, 1):
            if not any(cell.text for cell in row):
                continue
            for column, cell in zip(self._columns, row, strict=True):
                if cell.why:
                    raise QuantityError(
                        self.tr("Row {row}: {why}").format(row=number, why=cell.why)
                    )
                if cell.value is None:
                    raise QuantityError(
                        self.tr("Row {row}: {column} is missing").format(
                            row=number, column=column.words
                        )
                    )
            found.append(tuple(cell.value for cell in row if cell.value is not None))
        return found

    def set_rows(self, rows: Sequence[Sequence[float]]) -> None:
        """Show canonical values in the place of all rows."""
        self._entries = [[_Entry(value=float(value)) for value in row] for row in rows]
        self._rewrite()
        self._show()
        self.swept.emit("")
        self.changed.emit()

    def set_columns(self, columns: Sequence[Column]) -> None:
        """The same columns measure something else now; the figures typed are read anew."""
        self._columns = tuple(columns)
        for row in self._entries:
            for column, cell in zip(self._columns, row, strict=True):
                self._read(cell, cell.text, column.kind)
        self._show()
        self.changed.emit()

    def show_told(self, told: Sequence[tuple[str, bool]]) -> None:
        """Say of each filled row what became of it, and whether it is marked."""
        self._told = list(told)
        self._show()

    def set_system(self, system: UnitSystem) -> None:
        """Show what could be read in another unit system."""
        if system is not self._system:
            self._system = system
            self._rewrite()
            self._show()

    def paste(self) -> None:
        """Take rows from the clipboard."""
        self.paste_text(QGuiApplication.clipboard().text())

    def paste_text(self, text: str) -> None:
        """Take rows of text; where they cannot be read, nothing changes and `pasted` says why.

        A table takes the place of all rows: half of one machine and half of another would look
        like one. A single row takes that of the current one.
        """
        mark = decimal_mark(self.locale())
        kinds = [column.kind for column in self._columns]
        try:
            rows = read_columns(text, kinds, self._system, decimal_mark=mark)
        except QuantityError as refusal:
            self.pasted.emit(str(refusal))
            return
        used, at = self._used(), max(self.currentRow(), 0)
        new = [[_Entry(value=value) for value in row] for row in rows]
        words = ""
        if at >= used:
            new = [*self._entries[:used], *new]
        elif len(rows) > 1:
            words = self.tr("The table pasted took the place of all {count} rows.")
            words = words.format(count=used)
        else:
            words = self.tr("The row pasted took the place of row {row}.").format(row=at + 1)
            new = [*self._entries[:at], *new, *self._entries[at + 1 :]]
        self._sweep(new[:MOST_ROWS], words)
        self.pasted.emit("")

    def remove_rows(self) -> None:
        """Take out the rows in which a cell is selected."""
        self._take_out({index.row() for index in self.selectedIndexes()})

    def leave_out(self, filled: int) -> None:
        """Take out the row of that number among those that are filled in, from 0."""
        rows = [at for at, row in enumerate(self._entries) if any(cell.text for cell in row)]
        self._take_out({rows[filled]})

    def put_back(self) -> None:
        """Bring back the rows that went with the last paste or were taken out."""
        self._sweep(self._before, "")

    def changeEvent(self, event: QEvent) -> None:
        """Marks follow the appearance."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "_before"):
            self._show()

    def _take_out(self, chosen: set[int]) -> None:
        gone = sorted(at for at in chosen if at < self._used())
        if not gone:
            return
        words = self.tr("Taken out: row {rows}.").format(rows=", ".join(str(r + 1) for r in gone))
        self._sweep([row for at, row in enumerate(self._entries) if at not in chosen], words)

    def _sweep(self, new: list[list[_Entry]], words: str) -> None:
        """Put other rows in the place of all, and keep the present ones."""
        self._before = [[replace(cell) for cell in row] for row in self._entries]
        self._entries = new
        self._told = []
        self._rewrite()
        self._show()
        self.swept.emit(words)
        self.changed.emit()

    def _used(self) -> int:
        """How many rows there are up to the last that holds something."""
        filled = [at for at, row in enumerate(self._entries) if any(cell.text for cell in row)]
        return filled[-1] + 1 if filled else 0

    def _typed(self, item: QTableWidgetItem) -> None:
        row, column = item.row(), item.column()
        if column >= len(self._columns):
            return
        while len(self._entries) <= row:
            self._entries.append([_Entry() for _ in self._columns])
        cell = self._entries[row][column]
        if item.text().strip() != cell.text:
            self._read(cell, item.text().strip(), self._columns[column].kind)
            self.swept.emit("")
        self._show()
        self.changed.emit()

    def _read(self, cell: _Entry, text: str, kind: Kind) -> None:
        cell.text, cell.value, cell.why = text, None, ""
        if not text:
            return
        try:
            mark = decimal_mark(self.locale())
            cell.value = parse_quantity(text, kind, self._system, decimal_mark=mark)
        except QuantityError as refusal:
            cell.why = str(refusal)

    def _rewrite(self) -> None:
        """Write the values of all cells that could be read."""
        mark = decimal_mark(self.locale())
        for row in self._entries:
            for column, cell in zip(self._columns, row, strict=True):
                if cell.value is not None:
                    cell.text = format_for_entry(
                        cell.value, column.kind, self._system, decimal_mark=mark
                    )

    def _show(self) -> None:
        self.blockSignals(True)
        used = self._used()
        self.setRowCount(used + _EMPTY_ROWS)
        heads = [
            f"{each.words}, {unit}" if (unit := unit_label(each.kind, self._system)) else each.words
            for each in self._columns
        ]
        self.setHorizontalHeaderLabels([*heads, self._told_words][: self.columnCount()])
        filled = 0
        for row in range(self.rowCount()):
            cells = self._entries[row] if row < len(self._entries) else []
            for column in range(len(self._columns)):
                cell = cells[column] if cells else _Entry()
                self._put(row, column, cell.text, marked=bool(cell.why), hint=cell.why)
            if self._told_words:
                words, marked = "", False
                if any(cell.text for cell in cells):
                    words, marked = self._told[filled] if filled < len(self._told) else ("", False)
                    filled += 1
                self._put(row, len(self._columns), words, marked=marked, editable=False)
        self.blockSignals(False)

    def _put(
        self,
        row: int,
        column: int,
        text: str,
        *,
        marked: bool,
        hint: str = "",
        editable: bool = True,
    ) -> None:
        item = self.item(row, column)
        if item is None:
            item = QTableWidgetItem()
            item.setTextAlignment(_RIGHT)
            if not editable:
                item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEditable)
            self.setItem(row, column, item)
        item.setText(text)
        item.setToolTip(hint)
        icon = mark_icon(CAUTION, self.palette()) if marked else None
        item.setData(Qt.ItemDataRole.DecorationRole, icon)
