"""Owns the table in which entries of a job stand with their values in several versions."""

from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTreeWidget, QTreeWidgetItem, QWidget

from fitplanner.ui.shop.words import Line
from fitplanner.ui.theme import figure_font
from fitplanner.ui.widgets.text import tip

_PAD = 8
ROOMY = (
    f"QTreeView::item, QTableView::item {{ padding: 4px {_PAD}px; }} "
    f"QHeaderView::section {{ padding: 5px {_PAD}px 5px {_PAD + 3}px; border: none; "
    "background: palette(button); }"
)


class LineTable(QTreeWidget):
    """One row for each entry; a value that is not the first one's stands out."""

    def __init__(self, name: str, heads: list[str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setRootIsDecorated(False)
        self.setIndentation(0)
        self.setAllColumnsShowFocus(True)
        self.setUniformRowHeights(True)
        self.setStyleSheet(ROOMY)
        self.setFont(figure_font(self.font()))
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHeaderLabels(heads)
        head = self.header()
        head.setSectionsMovable(False)
        head.setStretchLastSection(True)
        for column in range(len(heads)):
            head.setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)

    def show_lines(self, lines: list[Line]) -> None:
        """Show other lines."""
        self.clear()
        strong = figure_font(self.font(), bold=True)
        for line in lines:
            item = QTreeWidgetItem([line.entry, *line.values])
            for column, value in enumerate(line.values, 1):
                item.setToolTip(column, tip(value))
                if column > 1 and value != line.values[0]:
                    item.setFont(column, strong)
            item.setToolTip(0, tip(line.entry))
            self.addTopLevelItem(item)

    def texts(self) -> list[list[str]]:
        """The rows as read."""
        items = [self.topLevelItem(row) for row in range(self.topLevelItemCount())]
        return [
            [item.text(column) for column in range(self.columnCount())]
            for item in items
            if item is not None
        ]
