"""Owns the cells of the rear linkage: leverage over wheel travel, or the joints of the linkage.

Each cell is one number of the job. Text that cannot be taken, read or not, stays in its cell; the
reason stands below the table and is known to the history. Where several such texts are good only
together, as joints that have to be moved at once, they are taken with the one that mends them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from pydantic import ValidationError
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QStyle,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.errors import Address, DocumentError, Problem, from_validation
from fitplanner.documents.job import Job
from fitplanner.documents.machine import LeverageTable, LinkagePoints
from fitplanner.planning.joints import Fault, joint_names, refused
from fitplanner.planning.linkage import linkage_motion
from fitplanner.planning.resolve import LinkageError, UnsolvableError
from fitplanner.quantities import (
    Kind,
    QuantityError,
    UnitSystem,
    fill,
    format_for_entry,
    parse_quantity,
    unit_label,
)
from fitplanner.session.edits import Edit, replace_at, value_at
from fitplanner.ui.fields import words_of
from fitplanner.ui.forms import plain_label
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import decimal_mark
from fitplanner.ui.widgets.message_line import MessageLine
from fitplanner.ui.widgets.text import quoted

LINKAGE: Address = ("machine", "rear", "linkage")


_LEAST_HEIGHT, _MOST_ROWS = 190, 8


@dataclass(frozen=True)
class _Cell:
    address: Address
    kind: Kind
    value: float


class LinkageCells(QWidget):
    """The linkage of the job's machine; rows can be added to and taken from a leverage table."""

    picked = Signal(str)
    """The joint of the current row, by its field; "" where there is none."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = self.tr("Rear linkage")
        self._history = history
        self._system = UnitSystem.METRIC
        self._linkage: LeverageTable | LinkagePoints | None = None
        self._assumed = False
        self._cells: list[list[_Cell]] = []
        self._refused: dict[Address, str] = {}
        self._heading = plain_label("", self, wrap=True)
        self.table = QTableWidget(0, 2, self)
        self.table.setAccessibleName(self.words)
        self.table.setMinimumHeight(_LEAST_HEIGHT)
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.add = QPushButton(self.tr("Add a row below"), self)
        self.remove = QPushButton(self.tr("Take the row out"), self)
        self.message = MessageLine(self)
        self.buttons = QHBoxLayout()
        for button in (self.add, self.remove):
            button.setAutoDefault(False)
            self.buttons.addWidget(button)
        self.buttons.addStretch(1)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 8, 0, 0)
        self.column.addWidget(self._heading)
        self.column.addWidget(self.table)
        self.column.addWidget(self.message)
        self.column.addLayout(self.buttons)
        delete = QShortcut(QKeySequence(Qt.Key.Key_Delete), self.table)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self._remove_row)
        self.table.itemChanged.connect(self._changed)
        self.add.clicked.connect(self._add_row)
        self.remove.clicked.connect(self._remove_row)
        self.table.currentCellChanged.connect(self._tell_picked)

    def pick(self, joint: str) -> None:
        """Make a joint's row the current one."""
        for row, cells in enumerate(self._cells):
            if joint and cells[0].address[-2] == joint and self.table.currentRow() != row:
                self.table.setCurrentCell(row, max(self.table.currentColumn(), 0))

    def show_job(self, job: Job) -> None:
        """Show the linkage of the job's machine."""
        new, old = job.machine.rear.linkage, self._linkage
        assumed = bool(job.machine.rear.leverage_factor.rule)
        if new is old and assumed is self._assumed:
            return
        self._linkage, self._assumed = new, assumed
        if not _same_rows(new, old):
            self._forget_refused()
        self._show()

    def discard(self) -> None:
        """Forget text that was not taken."""
        self._forget_refused()
        self._show()

    def end_typing(self) -> None:
        """A cell is judged when it is left."""

    def typed_in(self) -> QWidget:
        """The table."""
        return self.table

    def refused_line(self) -> str:
        """That a cell's text is not used, and what is; "" where all are taken."""
        for row, cells in enumerate(self._cells):
            for column, cell in enumerate(cells):
                item = self.table.item(row, column)
                if cell.address in self._refused and item is not None:
                    unit = unit_label(cell.kind, self._system)
                    held = f"{self._text(cell)} {unit}".strip()
                    return self.tr("{words}: {text} is not used; planned with {value}").format(
                        words=self.words, text=quoted(item.text()), value=held
                    )
        return ""

    def set_system(self, system: UnitSystem) -> None:
        """Show lengths in another unit system."""
        self._system = system
        self._show()

    def _show(self) -> None:
        linkage = self._linkage
        if linkage is None:
            return
        is_table = isinstance(linkage, LeverageTable)
        names: list[str]
        if isinstance(linkage, LeverageTable):
            pairs = zip(linkage.wheel_travel_mm, linkage.leverage, strict=True)
            self._cells = [
                [
                    _Cell((*LINKAGE, "wheel_travel_mm", row), Kind.LENGTH, travel),
                    _Cell((*LINKAGE, "leverage", row), Kind.RATIO, leverage),
                ]
                for row, (travel, leverage) in enumerate(pairs)
            ]
            unit = unit_label(Kind.LENGTH, self._system)
            columns = [self.tr("Wheel travel, {unit}").format(unit=unit), self.tr("Leverage")]
            names = [str(row + 1) for row in range(len(self._cells))]
            heading = self.tr("Leverage: wheel travel per shock travel")
            if self._assumed:
                heading += self.tr(" – assumed; a figure typed makes the table yours")
        else:
            joints = joint_names(linkage.layout)
            present = {key: getattr(linkage, key) for key in joints}
            self._cells = [
                [
                    _Cell((*LINKAGE, key, part), Kind.LENGTH, value)
                    for part, value in enumerate(point)
                ]
                for key, point in present.items()
                if point is not None
            ]
            unit = unit_label(Kind.LENGTH, self._system)
            columns = [
                self.tr("Forward, {unit}").format(unit=unit),
                self.tr("Up, {unit}").format(unit=unit),
            ]
            names = [
                f"{number} {joints[key][:1].upper()}{joints[key][1:]}"
                for number, (key, point) in enumerate(present.items(), 1)
                if point is not None
            ]
            heading = self.tr("Joints with the wheel hanging, from the swing-arm pivot")
        self._heading.setText(heading)
        self.add.setVisible(is_table)
        self.remove.setVisible(is_table)
        self._fill(columns, names)

    def _fill(self, columns: list[str], names: list[str]) -> None:
        # Items are kept: one of them may be the very one that is being changed.
        font = self.table.font()
        font.setItalic(self._assumed)
        self.table.blockSignals(True)
        self.table.setFont(font)
        self.table.setRowCount(len(self._cells))
        tall = self.table.horizontalHeader().sizeHint().height() + 2 * self.table.frameWidth()
        tall += sum(map(self.table.rowHeight, range(min(len(self._cells), _MOST_ROWS))))
        self.table.setMinimumHeight(max(_LEAST_HEIGHT, tall))
        self.table.setHorizontalHeaderLabels(columns)
        self.table.setVerticalHeaderLabels(names)
        for row, cells in enumerate(self._cells):
            for column, cell in enumerate(cells):
                item = self.table.item(row, column)
                if item is None:
                    item = QTableWidgetItem()
                    right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                    item.setTextAlignment(right)
                    self.table.setItem(row, column, item)
                if cell.address not in self._refused:
                    item.setText(self._text(cell))
        self.table.blockSignals(False)

    def _text(self, cell: _Cell) -> str:
        mark = decimal_mark(self.locale())
        return format_for_entry(cell.value, cell.kind, self._system, decimal_mark=mark)

    def _changed(self, item: QTableWidgetItem) -> None:
        row, column = item.row(), item.column()
        cell, text = self._cells[row][column], item.text().strip()
        try:
            value = self._read(cell, text)
            self._take_with(self._waiting(cell.address), {cell.address: value})
        except DocumentError as refusal:
            self._refuse(item, cell.address, words_of(refusal, LINKAGE))
        except QuantityError as refusal:
            self._refuse(item, cell.address, str(refusal))
        else:
            self._refuse(item, cell.address, "")
            self._settle()
            self._show()

    def _read(self, cell: _Cell, text: str) -> float:
        if text == self._text(cell):
            return cell.value
        mark = decimal_mark(self.locale())
        return parse_quantity(text, cell.kind, self._system, decimal_mark=mark)

    def _waiting(self, besides: Address) -> dict[Address, float]:
        """Figures that were well written but refused."""
        found = {}
        for row, cells in enumerate(self._cells):
            for column, cell in enumerate(cells):
                item = self.table.item(row, column)
                if cell.address in self._refused and cell.address != besides and item is not None:
                    try:
                        found[cell.address] = self._read(cell, item.text().strip())
                    except QuantityError:
                        continue
        return found

    def _take_with(self, waiting: dict[Address, float], new: dict[Address, float]) -> None:
        """Take what was refused before where it waited for just this, else the new figure alone."""
        if waiting:
            try:
                self._take({**waiting, **new})
            except DocumentError:
                pass
            else:
                return
        self._take(new)

    def _take(self, values: Mapping[Address, float]) -> None:
        """Put figures into the job, all in one step.

        Raises:
            DocumentError: the job refuses them, or the joints would no longer go together.
        """
        before = job = self._history.job
        for address, value in values.items():
            job = replace_at(job, address, value)
        if job == before:
            return
        fault = self._stuck(job)
        if fault is not None and self._stuck(before) is None:
            name = joint_names(job.machine.rear.linkage.layout)[str(list(values)[-1][-2])]
            mark = decimal_mark(self.locale())
            words = fill(refused(name, fault), self._system, decimal_mark=mark)
            raise DocumentError(Problem(LINKAGE, "", words))
        if len(values) == 1:
            ((address, value),) = values.items()
            self._history.edit(Edit(address, value), self.words)
            self._history.end_step()
        else:
            self._history.change(job, self.words)

    def _stuck(self, job: Job) -> Fault | None:
        """Why the joints of `job` do not go together."""
        if isinstance(job.machine.rear.linkage, LinkagePoints):
            try:
                linkage_motion(job.machine)
            except LinkageError as error:
                return error.fault
            except UnsolvableError:
                # Other figures are at fault, and it is said there.
                return None
        return None

    def _settle(self) -> None:
        """Take back what was said of texts that are in the job by now."""
        for row, cells in enumerate(self._cells):
            for column, cell in enumerate(cells):
                item = self.table.item(row, column)
                if cell.address not in self._refused or item is None:
                    continue
                try:
                    value = self._read(cell, item.text().strip())
                except QuantityError:
                    continue
                if value_at(self._history.job, cell.address) == value:
                    self._refuse(item, cell.address, "")

    def _tell_picked(self, row: int) -> None:
        is_joint = isinstance(self._linkage, LinkagePoints) and 0 <= row < len(self._cells)
        self.picked.emit(str(self._cells[row][0].address[-2]) if is_joint else "")

    def _refuse(self, item: QTableWidgetItem, address: Address, why: str) -> None:
        """Mark the text of `item` as not taken because of `why`; "" takes the mark away."""
        self._refused.pop(address, None)
        if why:
            self._refused[address] = why
        warning = self.style().standardIcon(QStyle.StandardPixmap.SP_MessageBoxWarning)
        self.table.blockSignals(True)
        item.setData(Qt.ItemDataRole.DecorationRole, warning if why else None)
        self.table.blockSignals(False)
        self._tell(next(reversed(self._refused.values()), ""))
        self._history.refusals.note(self, bool(self._refused))

    def _tell(self, why: str) -> None:
        self.message.show_text(why)

    def _forget_refused(self) -> None:
        self._refused.clear()
        self.table.blockSignals(True)
        for row in range(self.table.rowCount()):
            for column in range(self.table.columnCount()):
                item = self.table.item(row, column)
                if item is not None:
                    item.setData(Qt.ItemDataRole.DecorationRole, None)
        self.table.blockSignals(False)
        self._tell("")
        self._history.refusals.note(self, False)

    def _add_row(self) -> None:
        """Add a row after the current one, half way to the next, where the curve is kept."""
        if not isinstance(self._linkage, LeverageTable):
            return
        rows = list(zip(self._linkage.wheel_travel_mm, self._linkage.leverage, strict=True))
        at = self.table.currentRow()
        if 0 <= at < len(rows) - 1:
            new = [(one + two) / 2 for one, two in zip(rows[at], rows[at + 1], strict=True)]
        else:
            at = len(rows) - 1
            steps = [two[0] - one[0] for one, two in pairwise(rows)]
            new = [rows[at][0] + steps[-1], rows[at][1]]
        rows.insert(at + 1, (new[0], new[1]))
        self._put_rows(rows)
        self.table.setCurrentCell(at + 1, 0)

    def _remove_row(self) -> None:
        if isinstance(self._linkage, LeverageTable) and self.table.currentRow() >= 0:
            rows = list(zip(self._linkage.wheel_travel_mm, self._linkage.leverage, strict=True))
            del rows[self.table.currentRow()]
            self._put_rows(rows)

    def _put_rows(self, rows: list[tuple[float, float]]) -> None:
        travel, leverage = ([row[part] for row in rows] for part in (0, 1))
        try:
            # Both lists change together: one alone would not be acceptable.
            assert isinstance(self._linkage, LeverageTable)
            table = self._linkage.replace(wheel_travel_mm=travel, leverage=leverage)
            self._history.change(replace_at(self._history.job, LINKAGE, table), self.words)
        except ValidationError as error:
            refusal = from_validation(LeverageTable, error, prefix=LINKAGE)
            self._tell(words_of(refusal, LINKAGE))
        except DocumentError as refusal:
            self._tell(words_of(refusal, LINKAGE))


def _same_rows(
    one: LeverageTable | LinkagePoints | None, two: LeverageTable | LinkagePoints | None
) -> bool:
    if isinstance(one, LeverageTable) and isinstance(two, LeverageTable):
        return len(one.leverage) == len(two.leverage)
    if isinstance(one, LinkagePoints) and isinstance(two, LinkagePoints):
        return one.layout == two.layout
    return False
