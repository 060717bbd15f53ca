"""Owns how a list of rows with columns is set up: chosen one by one, never edited or dragged.

Refuses what stands in it.
"""

from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTreeWidget

from fitplanner.ui.theme import figure_font


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
