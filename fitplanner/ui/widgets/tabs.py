"""Owns the look of tabs: the picked one is bold and underlined, in any appearance."""

from PySide6.QtCore import QRect, QSize
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QStyle, QStyleOptionTab, QStylePainter, QTabBar

from fitplanner.ui.theme import colours_of

LINE_PX = 3


class Tabs(QTabBar):
    """Tabs as the style draws them, with the picked one plain to see without its colour."""

    def tabSizeHint(self, index: int) -> QSize:
        """Room for the text in bold, so that no tab moves when another one is picked."""
        size, text = super().tabSizeHint(index), self.tabText(index)
        plain, bold = (
            metrics.size(0, text.replace("&", "")).width()
            for metrics in (self.fontMetrics(), QFontMetrics(self._bold()))
        )
        return size + QSize(max(bold - plain, 0), 0)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the picked tab last, over its neighbours."""
        painter = QStylePainter(self)
        picked = self.currentIndex()
        rows = [row for row in range(self.count()) if row != picked]
        for row in [*rows, *([picked] if picked >= 0 else [])]:
            option = QStyleOptionTab()
            self.initStyleOption(option, row)
            if row != picked:
                painter.drawControl(QStyle.ControlElement.CE_TabBarTab, option)
                continue
            painter.setFont(self._bold())
            painter.drawControl(QStyle.ControlElement.CE_TabBarTab, option)
            self._underline(painter, self.tabRect(row))

    def _underline(self, painter: QPainter, tab: QRect) -> None:
        line = QRect(tab.left() + 1, tab.bottom() - LINE_PX + 1, tab.width() - 2, LINE_PX)
        painter.fillRect(line, colours_of(self.palette()).colour("accent"))

    def _bold(self) -> QFont:
        font = QFont(self.font())
        font.setBold(True)
        return font
