"""Owns the panel to the left: the job's title, stage and reference, then rider, machine, ways."""

from collections.abc import Mapping

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.plan import Plan
from fitplanner.quantities import UnitSystem
from fitplanner.ui.fields import TextEntry
from fitplanner.ui.forms import Fold, plain_label
from fitplanner.ui.going_on import GoingOn
from fitplanner.ui.panels.machine import MachinePanel
from fitplanner.ui.panels.rider import RiderPanel
from fitplanner.ui.panels.ways import WaysPanel
from fitplanner.ui.shop.stage import StageEntry
from fitplanner.ui.undo import History

WIDTH = 368


class InputPanel(QScrollArea):
    """Everything that is asked to plan a job."""

    def __init__(
        self,
        history: History,
        profiles: Mapping[str, MachineProfile],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.setFixedWidth(WIDTH)
        content = QWidget(self)
        self.going_on = GoingOn(content)
        self.title = TextEntry(history, ("title",), self.tr("Job"), 200, content)
        self.title.setPlaceholderText(self.tr("What the job is called"))
        label = plain_label(self.tr("&Job"), content)
        label.setBuddy(self.title)
        self.stage = StageEntry(history, content)
        self.stage.set_help(self.tr("How far the job has come through the shop"))
        self.reference = TextEntry(history, ("reference",), self.tr("Reference"), 40, content)
        self.reference.setPlaceholderText(self.tr("Reference"))
        self.reference.set_help(self.tr("The shop's own number or word for the job"))
        self.rider = RiderPanel(history, content)
        self.machine = MachinePanel(history, profiles, content)
        self.ways = WaysPanel(history, content)
        self.machine_fold = Fold(self.tr("Machine"), self.machine, content)
        column = QVBoxLayout(content)
        column.setContentsMargins(12, 8, 10, 12)
        column.setSpacing(8)
        column.addWidget(self.going_on)
        column.addWidget(label)
        column.addWidget(self.title)
        row = QHBoxLayout()
        row.addWidget(self.stage, 1)
        row.addWidget(self.reference, 1)
        column.addLayout(row)
        column.addWidget(Fold(self.tr("Rider"), self.rider, content))
        column.addWidget(self.machine_fold)
        column.addWidget(Fold(self.tr("Ways to lower"), self.ways, content))
        column.addStretch(1)
        self.setWidget(content)
        self._parts = (
            self.title,
            self.stage,
            self.reference,
            self.rider,
            self.machine,
            self.ways,
        )

    def show_job(self, job: Job) -> None:
        """Show what `job` holds."""
        for part in self._parts:
            part.show_job(job)

    def show_plan(self, plan: Plan | None) -> None:
        """Show in empty fields what the planner chose or estimated."""
        self.rider.show_plan(plan)
        self.ways.show_plan(plan)

    def show_problem(self, text: str) -> None:
        """Say at the machine why it cannot be built; "" where it can."""
        self.machine.show_problem(text)
        if text:
            self.machine_fold.head.setChecked(True)

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        for part in self._parts:
            part.set_system(system)

    def start_over(self) -> None:
        """Another job is on the table: forget text that was not taken, and go to the top."""
        for part in self._parts:
            part.discard()
        self.verticalScrollBar().setValue(0)
