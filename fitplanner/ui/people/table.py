"""Owns the table of setups: a letter and a tick for its line, seat, shares with bands, price.

Refuses to choose what a row says.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtWidgets import (
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QWidget,
)

from fitplanner.ui.widgets.text import tip
from fitplanner.ui.widgets.tree import show_rows_alone

_LINE, _SETUP, *_FIGURES = range(7)
_KEY = Qt.ItemDataRole.UserRole
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_PAD = 7
_LEAST_WIDTH = 640
# What the style keeps free beside words; a line too many is better than words cut off.
_MARGIN = 16
_ROOMY = (
    f"QTreeView::item {{ padding: {_PAD // 2}px {_PAD}px; }} "
    f"QHeaderView::section {{ padding: 5px {_PAD}px; border: none; background: palette(button); }}"
)


@dataclass(frozen=True)
class TableRow:
    """One setup in finished words."""

    key: str
    letter: str
    words: str
    figures: Sequence[str]
    hint: str
    ticked: bool


class _Wrapped(QStyledItemDelegate):
    """Words that take more lines where their column is narrow."""

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """As tall as the words are in the column's present width."""
        hint = super().sizeHint(option, index)
        tree = self.parent()
        assert isinstance(tree, QTreeWidget)
        room = QRect(0, 0, max(tree.columnWidth(index.column()) - 2 * _PAD - _MARGIN, 80), 10_000)
        box = tree.fontMetrics().boundingRect(room, Qt.TextFlag.TextWordWrap, str(index.data()))
        return QSize(hint.width(), box.height() + _PAD)


class PeopleTable(QTreeWidget):
    """Setups below each other."""

    picked = Signal(str)
    """The key of the row that is chosen now."""
    ticked = Signal(str, bool)
    """A row whose line is to be drawn, or no longer."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Setups and who reaches"))
        self.setColumnCount(7)
        self.setRootIsDecorated(False)
        self.setIndentation(0)
        self.setWordWrap(True)
        self.setMinimumWidth(_LEAST_WIDTH)
        show_rows_alone(self, _ROOMY, wide=_SETUP)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setItemDelegateForColumn(_SETUP, _Wrapped(self))
        self.header().sectionResized.connect(self.scheduleDelayedItemsLayout)
        self.currentItemChanged.connect(self._pick)
        self.itemChanged.connect(self._tick)

    def show_rows(
        self, heads: Sequence[tuple[str, str]], rows: Sequence[TableRow], chosen: str
    ) -> None:
        """Show rows under heads and their hints; `chosen` is the key of the row picked."""
        self.blockSignals(True)
        self.clear()
        self.setHeaderLabels([self.tr("Line"), self.tr("Setup"), *(words for words, _ in heads)])
        for column, (_, hint) in zip(_FIGURES, heads, strict=True):
            self.headerItem().setTextAlignment(column, _RIGHT)
            self.headerItem().setToolTip(column, tip(hint))
        for row in rows:
            item = QTreeWidgetItem([row.letter, row.words, *row.figures])
            item.setData(_LINE, _KEY, row.key)
            item.setCheckState(
                _LINE, Qt.CheckState.Checked if row.ticked else Qt.CheckState.Unchecked
            )
            item.setToolTip(_SETUP, tip(row.hint))
            for column in _FIGURES:
                item.setTextAlignment(column, _RIGHT)
            self.addTopLevelItem(item)
            if row.key == chosen:
                self.setCurrentItem(item)
        self.blockSignals(False)

    def texts(self) -> list[list[str]]:
        """What stands in the rows."""
        return [[item.text(column) for column in range(7)] for item in self.items()]

    def items(self) -> list[QTreeWidgetItem]:
        """The rows."""
        found = (self.topLevelItem(at) for at in range(self.topLevelItemCount()))
        return [item for item in found if item is not None]

    def _pick(self, item: QTreeWidgetItem | None) -> None:
        if item is not None:
            self.picked.emit(item.data(_LINE, _KEY))

    def _tick(self, item: QTreeWidgetItem, column: int) -> None:
        if column == _LINE:
            self.ticked.emit(
                item.data(_LINE, _KEY), item.checkState(_LINE) == Qt.CheckState.Checked
            )
