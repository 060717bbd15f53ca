"""Owns the window in which leverage is found from readings of wheel and shock travel.

What is typed or pasted is worked out at once; it reaches the job in one step when it is taken
over. Refuses to smooth: `planning.leverage_found` does.
"""

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.documents.machine import LeverageTable
from fitplanner.planning.leverage_found import LeverageFound, ReadingsError, leverage_found
from fitplanner.planning.linkage import LinkageMotion, linkage_motion
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.quantities import Kind, QuantityError, UnitSystem
from fitplanner.session.edits import replace_at
from fitplanner.ui.fields import words_of
from fitplanner.ui.forms import note_label, set_note
from fitplanner.ui.linkage.cells import LINKAGE
from fitplanner.ui.linkage.reading_plots import ReadingPlots
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION, NOTE, OK
from fitplanner.ui.widgets.message_line import MessageLine
from fitplanner.ui.widgets.quantity_field import QuantityField
from fitplanner.ui.widgets.reading_table import Column, ReadingTable
from fitplanner.ui.widgets.remark import Remark

READING_SPREAD_MM = 0.5
"""What a tape or a calliper on two eyes is off, one standard deviation: assumption."""
_TABLE_WIDTH = 440
_REAR = ("machine", "rear")


class LeverageDialog(QDialog):
    """Readings on the left, what they say on the right."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Leverage from readings"))
        self._history = history
        self._system = UnitSystem.METRIC
        self._found: LeverageFound | None = None
        self._shown: object = None
        self._present: LinkageMotion | None = None
        self._kept: list[tuple[float, float]] | None = None
        columns = (
            Column(self.tr("Wheel travel"), Kind.LENGTH),
            Column(self.tr("Shock travel"), Kind.LENGTH),
        )
        self.table = ReadingTable(self.tr("Readings"), columns, self.tr("Off the curve"), self)
        self.spread = QuantityField(
            Kind.LENGTH, minimum=0.05, maximum=5.0, name=self.tr("Reading error (±)"), parent=self
        )
        self.spread.set_value(READING_SPREAD_MM)
        self.spread.setFixedWidth(130)
        self.message = MessageLine(self)
        self.summary = Remark(self)
        self.swept = Remark(self)
        self.replaced = note_label(self)
        self.plots = ReadingPlots(self)
        self._paste = QPushButton(self.tr("Paste from a spreadsheet"), self)
        self._remove = QPushButton(self.tr("Take the row out"), self)
        # No box of buttons: it would make one of them answer to Enter in a field.
        self.take = QPushButton(self.tr("Use this leverage"), self)
        cancel = QPushButton(self.tr("Cancel"), self)
        for button in (self._paste, self._remove, self.take, cancel):
            button.setAutoDefault(False)
        self._lay_out(cancel)
        self.resize(1120, 700)
        self.take.clicked.connect(self._take)
        cancel.clicked.connect(self.close)
        self._paste.clicked.connect(self.table.paste)
        self._remove.clicked.connect(self.table.remove_rows)
        self.table.changed.connect(self._work_out)
        self.table.pasted.connect(self._pasted)
        self.table.swept.connect(self._swept)
        self.swept.acted.connect(self.table.put_back)
        self.summary.acted.connect(self._leave_out)
        self.spread.edited.connect(self._work_out)

    def _lay_out(self, cancel: QWidget) -> None:
        how, care = note_label(self), Remark(self)
        set_note(
            how,
            self.tr(
                "With the machine still on its stand, read from the hanging wheel up to its stop "
                "in eight or more steps: how far the axle has come straight up, and how much "
                "shorter the shock is between its eyes. The rows may stand in any order."
            ),
        )
        care.show_text(
            self.tr(
                "The spring comes off first, with the maker's tool, and a compressed spring can "
                "throw parts. Machine on a stand and strapped; hold the wheel with a jack or "
                "blocks, and keep hands out of the linkage."
            ),
            CAUTION,
        )
        error = QHBoxLayout()
        words = QLabel(self.tr("Reading &error (±), each"), self)
        words.setBuddy(self.spread)
        error.addWidget(words)
        error.addWidget(self.spread)
        error.addStretch(1)
        tools = QHBoxLayout()
        tools.addWidget(self._paste)
        tools.addWidget(self._remove)
        tools.addStretch(1)
        left = QVBoxLayout()
        # The buttons stand above what grows and shrinks, so that they stay where they are.
        left.addLayout(tools)
        left.addWidget(self.table, 1)
        left.addWidget(self.swept)
        left.addLayout(error)
        self.table.setFixedWidth(_TABLE_WIDTH)
        right = QVBoxLayout()
        right.addWidget(self.plots, 1)
        middle = QHBoxLayout()
        middle.setSpacing(14)
        middle.addLayout(left)
        middle.addLayout(right, 1)
        column = QVBoxLayout(self)
        column.addWidget(how)
        column.addWidget(care)
        column.addLayout(middle, 1)
        column.addWidget(self.message)
        column.addWidget(self.summary)
        column.addWidget(self.replaced)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.take)
        foot.addWidget(cancel)
        column.addLayout(foot)

    # What it follows.

    def open_with(self, job: Job) -> None:
        """Begin with the readings that the machine keeps; what was typed since stays typed."""
        linkage = job.machine.rear.linkage
        kept: list[tuple[float, float]] = []
        if isinstance(linkage, LeverageTable):
            kept = list(zip(linkage.read_wheel_mm, linkage.read_shock_mm, strict=True))
        if kept != self._kept:
            self._kept = kept
            self.table.set_rows(kept)
        self.show_job(job)

    def start_over(self, job: Job) -> None:
        """Another job is on the table: forget what was typed."""
        self._kept = None
        self.open_with(job)

    def show_job(self, job: Job) -> None:
        """Another travel of the machine asks for other readings."""
        drawn = not isinstance(job.machine.rear.linkage, LeverageTable)
        words = self.tr(
            "The joints of this linkage are entered: a table takes their place, and longer link "
            "rods can then no longer be worked out."
        )
        set_note(self.replaced, words if drawn else "")
        try:
            self._present = linkage_motion(job.machine)
        except UnsolvableError:
            self._present = None
        travel = job.machine.rear.travel_mm
        if travel is not self._shown:
            self._shown = travel
            self._work_out()

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        self.table.set_system(system)
        self.spread.set_system(system)
        self._work_out()

    def found(self) -> LeverageFound | None:
        """What the readings say; None while they say nothing."""
        return self._found

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.table.setFocus()
        self.table.setCurrentCell(0, 0)

    # Working out.

    def _work_out(self) -> None:
        self._found = None
        why = ""
        try:
            rows = self.table.rows()
            if rows:
                wheel, shock = (list(column) for column in zip(*rows, strict=True))
                self._found = leverage_found(
                    wheel,
                    shock,
                    spread_mm=self.spread.value() or READING_SPREAD_MM,
                    travel_mm=self._history.job.machine.rear.travel_mm.value,
                )
        except QuantityError as refusal:
            why = str(refusal)
        except ReadingsError as refusal:
            why = self._figures().sentence(str(refusal))
        self._show(why)

    def _figures(self) -> Figures:
        return Figures.of(self._system, self.locale())

    def _show(self, why: str) -> None:
        found, figures = self._found, self._figures()
        self.message.show_text(why)
        self.take.setEnabled(found is not None)
        misfit = found.misfits[0] + 1 if found is not None and found.misfits else 0
        self.take.setText(
            self.tr("Use it with row {row} all the same").format(row=misfit)
            if misfit
            else self.tr("Use this leverage")
        )
        if found is None:
            self.table.show_told([])
            self.summary.show_text("")
            self.plots.clear()
            return
        self.table.show_told(
            [
                (figures.text(off, decimals=1, signed=True), row in found.misfits[:1])
                for row, off in enumerate(found.off_mm)
            ]
        )
        remarks = [figures.sentence(each) for each in found.remarks]
        weight = CAUTION if misfit else NOTE if remarks else OK
        leave = self.tr("Leave row {row} out").format(row=misfit) if misfit else ""
        self.summary.show_text("\n".join([self._said(found), *remarks]), weight, leave)
        self.plots.show_found(found, self._present, figures)

    def _said(self, found: LeverageFound) -> str:
        """The curve at its ends with the band that is drawn there, and over the whole travel."""
        figures = self._figures()
        first, last = (
            f"{figures.text(float(found.leverage[at]), Kind.RATIO)} ± "
            f"{figures.text(float(found.spread[at]), Kind.PERCENT, decimals=1)}"
            for at in (0, -1)
        )
        return self.tr(
            "Leverage {first} hanging, {last} bottomed (one spread, as drawn); over the whole "
            "travel ± {band} on the mean, which is what the plan takes."
        ).format(
            first=first,
            last=last,
            band=figures.text(found.factor.spread, Kind.PERCENT, decimals=1),
        )

    def _swept(self, words: str) -> None:
        self.swept.show_text(words, NOTE, self.tr("Put back") if words else "")

    def _leave_out(self) -> None:
        if self._found is not None and self._found.misfits:
            self.table.leave_out(self._found.misfits[0])

    def _pasted(self, why: str) -> None:
        if why:
            self.message.show_text(self.tr("Not pasted. {why}").format(why=why))

    def _take(self) -> None:
        if self._found is None:
            return
        job = self._history.job
        rear = job.machine.rear.replace(
            linkage=self._found.table, leverage_factor=self._found.factor
        )
        try:
            self._history.change(replace_at(job, _REAR, rear), self.windowTitle())
        except DocumentError as refusal:
            self.message.show_text(words_of(refusal, LINKAGE))
        else:
            self.close()
