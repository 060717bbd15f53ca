"""Owns what the figures so far are good for: seat heights with their bands, and what widens them.

Refuses computing; `asking` answers. While an answer is out of date it says so.
"""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QVBoxLayout, QWidget

from fitplanner.quantities import UnitSystem
from fitplanner.ui import texts
from fitplanner.ui.forms import plain_label
from fitplanner.ui.panels.section import section_title
from fitplanner.ui.profiles.asking import Heights
from fitplanner.ui.widgets.bars import BarRow, BarRows
from fitplanner.ui.widgets.figure_table import Cell, Column, FigureTable
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import STOP
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.text import Text


class PlanStrip(QWidget):
    """The plan of the profile as it stands."""

    rider_chosen = Signal(int)
    """For whom the heights are: 0 a common rider, 1 the rider of the job at hand."""
    group_picked = Signal(object)
    """The group of missing figures that the user wants to fill in."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._system = UnitSystem.METRIC
        self.heights: Heights | None = None
        self.riders = QComboBox(self)
        self.riders.addItems([self.tr("a common rider"), self.tr("the rider of this job")])
        self.riders.setAccessibleName(self.tr("Rider of the seat heights"))
        self.riders.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.head = Text(bold=True, parent=self)
        self.problem = Remark(self)
        self.table = FigureTable(name=self.tr("Seat heights"), parent=self)
        self.why = Text(faint=True, parent=self)
        self.groups = BarRows(name=self.tr("What the band comes from"), parent=self)
        row = QHBoxLayout()
        row.addWidget(plain_label(self.tr("Seat heights with"), self))
        row.addWidget(self.riders)
        row.addStretch(1)
        row.addWidget(self.head)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addLayout(row)
        column.addWidget(self.problem)
        column.addWidget(self.table)
        column.addWidget(self.why)
        column.addWidget(self.groups)
        self.riders.activated.connect(self.rider_chosen)
        self.groups.picked.connect(self._pick)

    def show_waiting(self) -> None:
        """An answer is worked out; what stands here is of the figures before."""
        self.head.setText(self.tr("working out…"))

    def show_heights(self, heights: Heights) -> None:
        """Show an answer."""
        self.heights = heights
        self.head.setText("")
        self._show()

    def set_system(self, system: UnitSystem) -> None:
        """Show lengths in another unit system."""
        self._system = system
        self._show()

    def texts(self) -> list[str]:
        """The heights as they are read, with their states."""
        heights, figures = self.heights, Figures.of(self._system, self.locale())
        if heights is None:
            return []
        return [
            f"{texts.state_label(state)}: {figures.text(band.value)}"
            for state, band in heights.bands.items()
        ]

    def _show(self) -> None:
        heights = self.heights
        if heights is None:
            return
        self.problem.show_text(heights.problem, STOP)
        for part in (self.table, self.why, self.groups):
            part.setVisible(not heights.problem)
        if heights.problem:
            return
        figures = Figures.of(self._system, self.locale())
        self.table.show_rows(
            [
                Column(self.tr("State"), figures=False, stretch=1),
                Column(figures.headed(self.tr("Seat"))),
                Column(
                    figures.headed(self.tr("9 of 10 lie in")),
                    hint=self.tr("The 90 % band that follows from the spreads of all figures"),
                ),
            ],
            [
                [
                    Cell(texts.state_label(state), hint=texts.state_hint(state)),
                    Cell(figures.bare(band.value), bold=True),
                    f"{figures.bare(band.low)} – {figures.bare(band.high)}",
                ]
                for state, band in heights.bands.items()
            ],
        )
        widest = max((each.half_mm for each in heights.groups), default=0.0) or 1.0
        rows: Sequence[BarRow] = [
            BarRow(
                f"{section_title(each.section)} ({texts.lower_first(self.tr(each.stage.title))})",
                f"± {figures.text(each.half_mm)}",
                0.0,
                each.half_mm / widest,
                hint=self.tr("{n} figures that nobody read yet").format(n=len(each.figures)),
                leads=True,
            )
            for each in heights.groups
        ]
        self.why.setText(
            self.tr("What is still assumed widens the rider-up band; pick a row to fill it in:")
            if rows
            else self.tr("Nothing assumed widens these bands by more than half a millimetre.")
        )
        self.groups.show_rows(rows)

    def _pick(self, place: int) -> None:
        if self.heights is not None:
            self.group_picked.emit(self.heights.groups[place])
