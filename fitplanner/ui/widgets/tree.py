"""Owns how a list of rows with columns is set up: chosen one by one, never edited or dragged; and
words that take more lines where their column is narrow.

Refuses what stands in it.
"""

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
)

from fitplanner.ui.theme import figure_font

PAD = 8
"""Space beside the words of a cell."""

Index = QModelIndex | QPersistentModelIndex


class Wrapped(QStyledItemDelegate):
    """Words that take a second line where their column is narrow."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As tall as the words are in the column's present width."""
        hint = super().sizeHint(option, index)
        tree = self.parent()
        assert isinstance(tree, QTreeWidget)
        room = QRect(0, 0, max(tree.columnWidth(index.column()) - 2 * PAD - 4, 80), 10_000)
        flags = Qt.TextFlag.TextWordWrap
        font = index.data(Qt.ItemDataRole.FontRole) or tree.font()
        box = QFontMetrics(font).boundingRect(room, flags, str(index.data()))
        return QSize(hint.width(), box.height() + PAD)


def show_rows_alone(tree: QTreeWidget, look: str, *, wide: int) -> None:
    """Set up a tree with its columns; `look` is its style, the column `wide` takes what is left."""
    tree.setAllColumnsShowFocus(True)
    tree.setStyleSheet(look)
    tree.setFont(figure_font(tree.font()))
    tree.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    tree.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    head = tree.header()
    head.setSectionsMovable(False)
    head.setStretchLastSection(False)
    for column in range(tree.columnCount()):
        head.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
    head.setSectionResizeMode(wide, QHeaderView.ResizeMode.Stretch)
