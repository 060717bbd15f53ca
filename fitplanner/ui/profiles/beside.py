"""Owns what stands beside the pages of the editor: the picture, what is said, the seat heights.

Refuses to work any of it out.
"""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from fitplanner.ui.picture import PictureView
from fitplanner.ui.profiles.strip import PlanStrip
from fitplanner.ui.widgets.remark import Remark

_WIDTH, _PICTURE_HEIGHT = 356, 232


class Beside(QScrollArea):
    """One column that scrolls."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QWidget(self)
        self.picture = PictureView(column)
        self.picture.setFixedHeight(_PICTURE_HEIGHT)
        self.picture.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.says = Remark(column)
        """What was done last, or what is on the table."""
        self.refused = Remark(column)
        """Which text is not used."""
        self.unused_rules = Remark(column)
        self.needed = Remark(column)
        self.found = Remark(column)
        self.strip = PlanStrip(column)
        self._remarks = QVBoxLayout()
        rows = QVBoxLayout(column)
        rows.setContentsMargins(0, 0, 6, 0)
        rows.setSpacing(8)
        told = (self.says, self.refused, self.unused_rules, self.needed, self.found)
        for part in (self.picture, *told):
            rows.addWidget(part)
        rows.addLayout(self._remarks)
        rows.addWidget(self.strip)
        rows.addStretch(1)
        self.setWidget(column)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFixedWidth(_WIDTH)

    def add_remark(self, remark: Remark) -> None:
        """Take in a remark on a figure, below how many there are."""
        self._remarks.addWidget(remark)
