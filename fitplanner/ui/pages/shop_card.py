"""Owns the card that says, on request, what the shop's closed jobs would have made of the plan.

Refuses to read jobs (`ui.by_shop`) and to change the job by itself: it says what is wanted.
"""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QProgressBar, QPushButton, QWidget

from fitplanner.planning.plan import Plan
from fitplanner.ui.forms import tip
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.text import Text


class ShopCard(Card):
    """Two switches, and in words what follows."""

    beside_wanted = Signal(bool)
    """Whether it shall stand beside the plan; it is asked for anew each time."""
    planning_wanted = Signal(bool)
    """Whether the plan shall be made for it."""
    stop_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self.set_title(self.tr("As this shop's jobs came out"))
        self.beside = QCheckBox(self.tr("Show it beside the plan"), self)
        self.beside.setToolTip(
            tip(
                self.tr(
                    "Reads the shop's closed jobs and says what the parts of this plan would have "
                    "delivered there. The plan itself stays as it is."
                )
            )
        )
        self.planned = QCheckBox(self.tr("Plan for it"), self)
        self.planned.setToolTip(
            tip(
                self.tr(
                    "Chooses sizes with which the seat comes down enough in that case too. It is "
                    "kept with the job, stands on its papers, and can be undone."
                )
            )
        )
        self.again = QPushButton(self.tr("Ask the shop again"), self)
        self.stop = QPushButton(self.tr("Stop"), self)
        self.bar = QProgressBar(self)
        self.bar.setRange(0, 0)
        self.bar.setTextVisible(False)
        self.bar.setFixedSize(120, 8)
        self._told = Text(parent=self)
        row = QHBoxLayout()
        row.setSpacing(16)
        for part in (self.beside, self.planned, self.again, self.bar, self.stop):
            row.addWidget(part)
        row.addStretch(1)
        self.body.addLayout(row)
        self.body.addWidget(self._told)
        self._note = ""
        self._busy = False
        self.beside.clicked.connect(self.beside_wanted)
        self.planned.clicked.connect(self.planning_wanted)
        self.again.clicked.connect(self._ask_again)
        self.stop.clicked.connect(self.stop_wanted)

    def text(self) -> str:
        """What is said."""
        return self._told.text()

    def show_plan(self, plan: Plan, figures: Figures) -> None:
        """Show what the plan holds of it."""
        found = plan.by_shop
        self.beside.setChecked(found is not None)
        self.planned.setChecked(found is not None and found.planned_for)
        self.planned.setEnabled(found is not None)
        self.again.setVisible(found is not None and not self._busy)
        if found is None:
            words = self._note or self.tr("Not asked for: this plan is by physics alone.")
        else:
            by = plan.delivered.on_wheels_mm
            words = self.tr("By physics: {drop} ({low} to {high}). {told}").format(
                drop=figures.text(by.value),
                low=figures.text(by.low),
                high=figures.text(by.high),
                told=figures.sentence(found.told),
            )
            if self._note:
                words = f"{words}\n{self._note}"
        self._told.setText(words)

    def show_progress(self, words: str, *, busy: bool) -> None:
        """Say how far the asking is, or how it ended; `show_plan` follows."""
        self._note, self._busy = words, busy
        self.bar.setVisible(busy)
        self.stop.setVisible(busy)
        self.beside.setEnabled(not busy)
        if busy:
            self.again.hide()
            self._told.setText(words)

    def _ask_again(self) -> None:
        self.beside_wanted.emit(True)
