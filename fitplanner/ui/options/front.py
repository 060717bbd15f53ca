"""Owns the card with all options that no other beats: two measures against each other, and a list.

A point is picked in the plot or in the list, with mouse or keys; both show the same one. The
plotting library is loaded when the card is first filled. Refuses to rank.
"""

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import (
    QAbstractTableModel,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QSortFilterProxyModel,
    Qt,
    Signal,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QTableView,
    QWidget,
)

from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.search.options import Front, Measure, Option
from fitplanner.planning.search.ranking import option_at
from fitplanner.quantities import Kind
from fitplanner.ui.options.card import OptionCard
from fitplanner.ui.options.words import MEASURES, Writer, label_of
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.text import Text
from fitplanner.ui.widgets.wheel import scrolls_past

if TYPE_CHECKING:
    from fitplanner.ui.options.plot import FrontPlot

Index = QModelIndex | QPersistentModelIndex
SORT_ROLE = Qt.ItemDataRole.UserRole
_HEIGHT = 300
_LIST_WIDTH = 330


class FrontCard(Card):
    """The plot, the list, and the option picked."""

    use_wanted = Signal(object)
    compare_wanted = Signal(object)
    shown = Signal()
    """Another option stands on the card below."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self.set_title(self.tr("All options that no other beats"))
        self._front: Front | None = None
        self._numbers: dict[int, int] = {}
        self._recommended: tuple[Option, ...] = ()
        self._machine: MachineProfile | None = None
        self._writer: Writer | None = None
        self._plot: FrontPlot | None = None
        self._picked = -1
        self.across = _measure_box(self.tr("Across"), Measure.COST)
        self.up = _measure_box(self.tr("Up"), Measure.TRAVEL)
        self.model = FrontModel(self)
        self._sorted = QSortFilterProxyModel(self)
        self._sorted.setSourceModel(self.model)
        self._sorted.setSortRole(SORT_ROLE)
        self.list = _list(self.tr("Options, as a list"))
        self.list.setModel(self._sorted)
        self.list.sortByColumn(0, Qt.SortOrder.AscendingOrder)
        self.list.selectionModel().currentRowChanged.connect(self._row_changed)
        self.picked = OptionCard()
        self.picked.use_wanted.connect(self.use_wanted)
        self.picked.compare_wanted.connect(self.compare_wanted)
        self.across.currentIndexChanged.connect(self._draw)
        self.up.currentIndexChanged.connect(self._draw)
        self._lay_out()

    def _lay_out(self) -> None:
        self.body.addWidget(
            Text(
                self.tr(
                    "Diamonds with numbers are the options above, discs the others, the ring the "
                    "one picked. Pick one in the plot, or in the list with the arrow keys."
                ),
                faint=True,
            )
        )
        axes = QHBoxLayout()
        axes.setSpacing(8)
        for words, box in ((self.tr("A&cross"), self.across), (self.tr("&Up"), self.up)):
            label = QLabel(words)
            label.setBuddy(box)
            axes.addWidget(label)
            axes.addWidget(box)
            axes.addSpacing(16)
        axes.addStretch(1)
        self.body.addLayout(axes)
        self._row = QHBoxLayout()
        self._row.setSpacing(12)
        self.list.setFixedHeight(_HEIGHT)
        self.list.setFixedWidth(_LIST_WIDTH)
        self._row.addWidget(self.list)
        self.body.addLayout(self._row)
        self.body.addWidget(self.picked)

    @property
    def plot(self) -> "FrontPlot | None":
        """The plot, once there was something to draw."""
        return self._plot

    @property
    def picked_row(self) -> int:
        """Which point of the front is picked; -1 for none."""
        return self._picked

    def show_front(
        self,
        front: Front,
        recommended: tuple[Option, ...],
        machine: MachineProfile,
        writer: Writer,
    ) -> None:
        """Show a front; `recommended` are the options with a number, from 1."""
        if self._plot is None:
            self._build()
        self._machine, self._writer = machine, writer
        new = front is not self._front
        self._front, self._recommended = front, recommended
        rows = {option.choices: number for number, option in enumerate(recommended, 1)}
        self._numbers = {
            row: rows[choices] for row, choices in enumerate(front.choices) if choices in rows
        }
        if new:
            first = [row for row, number in self._numbers.items() if number == 1]
            self._picked = first[0] if first else (0 if front.choices else -1)
        self._draw()
        self._show_picked()

    def pick(self, row: int) -> None:
        """Pick one point of the front."""
        if self._front is None or not 0 <= row < len(self._front.choices):
            return
        self._picked = row
        self._show_picked()

    def _build(self) -> None:
        from fitplanner.ui.options.plot import FrontPlot

        self._plot = FrontPlot(self)
        self._plot.setFixedHeight(_HEIGHT)
        self._plot.picked.connect(self.pick)
        self._row.insertWidget(0, self._plot, 1)

    def _draw(self) -> None:
        front, writer, plot = self._front, self._writer, self._plot
        if front is None or writer is None or plot is None:
            return
        x, y = _measure_of(self.across), _measure_of(self.up)
        self.model.show_front(front, (x, y), self._numbers, writer)
        plot.show_points(
            _shown(front, x, writer), _shown(front, y, writer), self._numbers, self._picked
        )
        plot.name_axes(writer.axis(x), writer.axis(y), writer.figures.decimal_mark)
        self._select()

    def _show_picked(self) -> None:
        front, writer, machine = self._front, self._writer, self._machine
        self.picked.setVisible(self._picked >= 0)
        if self._picked < 0 or front is None or writer is None or machine is None:
            return
        number = self._numbers.get(self._picked, 0)
        option = self._recommended[number - 1] if number else option_at(front, self._picked)
        reason = "" if number else self.tr("Picked by you")
        self.picked.show_option(option, machine, writer, number=number, reason=reason)
        if self._plot is not None:
            self._plot.ring(self._picked)
        self._select()
        self.shown.emit()

    def _select(self) -> None:
        index = self._sorted.mapFromSource(self.model.index(self._picked, 0))
        if index.isValid() and index.row() != self.list.currentIndex().row():
            flags = QItemSelectionModel.SelectionFlag
            self.list.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)
            self.list.scrollTo(index)

    def _row_changed(self, current: QModelIndex) -> None:
        row = self._sorted.mapToSource(current).row()
        if row >= 0 and row != self._picked:
            self.pick(row)


class FrontModel(QAbstractTableModel):
    """The points as rows: number of the option, and the two measures of the axes."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._front: Front | None = None
        self._axes: tuple[Measure, Measure] = (Measure.COST, Measure.TRAVEL)
        self._numbers: dict[int, int] = {}
        self._writer: Writer | None = None

    def show_front(
        self,
        front: Front,
        axes: tuple[Measure, Measure],
        numbers: dict[int, int],
        writer: Writer,
    ) -> None:
        """Show other points, measures or units."""
        self.beginResetModel()
        self._front, self._axes, self._numbers, self._writer = front, axes, numbers, writer
        self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        """How many points there are."""
        inside = parent is not None and parent.isValid()
        return 0 if self._front is None or inside else len(self._front.choices)

    def columnCount(self, parent: Index | None = None) -> int:
        """Number, across, up."""
        return 3

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Words, or a number to sort by."""
        if self._front is None or self._writer is None:
            return None
        row, column = index.row(), index.column()
        if column == 0:
            number = self._numbers.get(row, 0)
            if role == Qt.ItemDataRole.DisplayRole:
                return f"◆ {number}" if number else "●"
            return (number or len(self._numbers) + 1) if role == SORT_ROLE else None
        measure = self._axes[column - 1]
        value = float(self._front.shown[measure][row])
        if role == Qt.ItemDataRole.DisplayRole:
            return self._writer.measure(measure, value)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return value if role == SORT_ROLE else None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """The measures' words."""
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self.tr("No.") if section == 0 else label_of(self._axes[section - 1])
        return None


def _shown(front: Front, measure: Measure, writer: Writer) -> NDArray[np.float64]:
    """The figures of an axis in the unit shown."""
    values = np.asarray(front.shown[measure], dtype=np.float64)
    return writer.figures.array(values, MEASURES[measure].kind or Kind.RATIO)


def _measure_box(name: str, first: Measure) -> QComboBox:
    box = QComboBox()
    scrolls_past(box)
    for measure in Measure:
        box.addItem(label_of(measure), measure)
    box.setCurrentIndex(list(Measure).index(first))
    box.setAccessibleName(name)
    box.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return box


def _measure_of(box: QComboBox) -> Measure:
    # Qt hands back plain text.
    return Measure(box.currentData())


def _list(name: str) -> QTableView:
    table = QTableView()
    table.setAccessibleName(name)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setTabKeyNavigation(False)
    table.setShowGrid(False)
    table.setSortingEnabled(True)
    table.verticalHeader().hide()
    table.verticalHeader().setDefaultSectionSize(26)
    header = table.horizontalHeader()
    header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
    header.setHighlightSections(False)
    return table
