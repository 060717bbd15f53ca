"""Owns the table in which two profiles of one machine stand side by side, to tick what is taken.

A difference has a mark of its own and bold words, never a colour alone. Refuses to choose.
"""

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QTreeWidget,
    QTreeWidgetItem,
    QWidget,
)

from fitplanner.library.compare_profiles import Entry
from fitplanner.ui.profiles.began import Began
from fitplanner.ui.profiles.telling import entry_words
from fitplanner.ui.theme import figure_font
from fitplanner.ui.widgets.text import tip
from fitplanner.ui.widgets.tree import PAD, Wrapped

_ENTRY, _MINE, _MARK, _THEIRS, _BEGAN = range(5)
_ROLE = Qt.ItemDataRole.UserRole
_ROOMY = (
    f"QTreeView::item {{ padding: 4px {PAD}px; }} "
    f"QHeaderView::section {{ padding: 5px {PAD}px; border: none; background: palette(button); }}"
)
_DIFFERENT = "≠"
_SHOWN = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable


class Pair(QTreeWidget):
    """Entries by section, what stands on each side, and a mark where both differ."""

    def __init__(self, mine: str, theirs: str, parent: QWidget, began: str = "") -> None:
        """`began` heads the column of what both began with; "" where there is none."""
        super().__init__(parent)
        self.setAccessibleName(self.tr("Entries of both profiles"))
        self.setAllColumnsShowFocus(True)
        self.setWordWrap(True)
        self.setStyleSheet(_ROOMY)
        for column in (_MINE, _THEIRS, _BEGAN):
            self.setItemDelegateForColumn(column, Wrapped(self))
        self.setFont(figure_font(self.font()))
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHeaderLabels([self.tr("Entry: tick to take over"), mine, "", theirs, began])
        head = self.header()
        head.setSectionsMovable(False)
        for column in (_ENTRY, _MINE, _THEIRS, _BEGAN):
            head.setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
        head.setSectionResizeMode(_MARK, QHeaderView.ResizeMode.ResizeToContents)
        head.setStretchLastSection(False)
        # Read from left to right: what it was, what it is here, what it is there.
        head.moveSection(_BEGAN, _MINE)
        self.setColumnHidden(_BEGAN, not began)
        # Rows are as tall as their words need in the column's width.
        head.sectionResized.connect(self.scheduleDelayedItemsLayout)

    def add_group(self, words: str) -> QTreeWidgetItem:
        """Add a section."""
        item = QTreeWidgetItem([words])
        item.setFlags(Qt.ItemFlag.ItemIsEnabled)
        item.setFont(_ENTRY, self._strong())
        self.addTopLevelItem(item)
        item.setFirstColumnSpanned(True)
        return item

    def add_entry(
        self,
        group: QTreeWidgetItem,
        entry: Entry,
        sides: tuple[str, str],
        began: Began | None = None,
    ) -> None:
        """Add an entry to a section, with what stands on each side and what both began with.

        What is not as it began is bold, on either side; ticked where only theirs is another.
        """
        name, (mine, theirs) = entry_words(entry), sides
        was = "" if began is None else began.words
        item = QTreeWidgetItem([name, mine, _DIFFERENT if entry.differs else "", theirs, was])
        item.setData(_ENTRY, _ROLE, entry)
        item.setTextAlignment(_MARK, Qt.AlignmentFlag.AlignCenter)
        for column, words in ((_ENTRY, name), (_MINE, mine), (_THEIRS, theirs), (_BEGAN, was)):
            item.setToolTip(column, tip(words))
        item.setFlags(_SHOWN)
        if entry.differs:
            item.setFlags(_SHOWN | Qt.ItemFlag.ItemIsUserCheckable)
            theirs_alone = began is not None and began.theirs and not began.mine
            state = Qt.CheckState.Checked if theirs_alone else Qt.CheckState.Unchecked
            item.setCheckState(_ENTRY, state)
            if began is not None and began.mine:
                item.setFont(_MINE, self._strong())
            if began is None or began.theirs:
                item.setFont(_THEIRS, self._strong())
            item.setToolTip(_MARK, tip(self.tr("Both differ")))
            spoken = self.tr("{entry}: {mine} here, {theirs} there; both differ")
            accessible = Qt.ItemDataRole.AccessibleTextRole
            item.setData(_ENTRY, accessible, spoken.format(entry=name, mine=mine, theirs=theirs))
        group.addChild(item)

    def rows(self) -> Iterator[QTreeWidgetItem]:
        """All entries."""
        for place in range(self.topLevelItemCount()):
            group = self.topLevelItem(place)
            if group is not None:
                yield from (group.child(row) for row in range(group.childCount()))

    def show_only_differing(self, only: bool) -> None:
        """Show all entries, or those alone that differ."""
        for item in self.rows():
            item.setHidden(only and not item.data(_ENTRY, _ROLE).differs)
        for place in range(self.topLevelItemCount()):
            group = self.topLevelItem(place)
            if group is not None:
                shown = (not group.child(row).isHidden() for row in range(group.childCount()))
                group.setHidden(not any(shown))

    def ticked(self) -> list[Entry]:
        """The entries that are ticked."""
        checked = Qt.CheckState.Checked
        rows = (item for item in self.rows() if item.checkState(_ENTRY) == checked)
        return [item.data(_ENTRY, _ROLE) for item in rows]

    def _strong(self) -> QFont:
        return figure_font(self.font(), bold=True)
