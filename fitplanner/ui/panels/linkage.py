"""Owns the rear linkage in a form: its layout, its cells, and the way to its drawing and readings.

Both windows are built, and their code loaded, when they are first wanted. Refuses to compute:
another layout is made by `planning.linkage`.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QKeySequence, QShortcut
from PySide6.QtWidgets import QComboBox, QPushButton, QWidget

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.planning.leverage_found import ReadingsError, with_leverage
from fitplanner.planning.linkage import LAYOUTS, entered, made_up, rear_in_layout
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.quantities import Kind, QuantityError, UnitSystem
from fitplanner.quantities.pasted import read_columns
from fitplanner.session.edits import replace_at
from fitplanner.ui.linkage.cells import LinkageCells
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.wheel import scrolls_past

_REAR = ("machine", "rear")

if TYPE_CHECKING:
    from fitplanner.ui.linkage.readings import LeverageDialog
    from fitplanner.ui.linkage.window import LinkageWindow


class LinkageTable(LinkageCells):
    """The linkage of the job's machine in whatever layout it is."""

    def __init__(
        self, history: History, parent: QWidget | None = None, *, opens: bool = True
    ) -> None:
        """`opens`: it leads to the windows in which a linkage is drawn and readings are taken."""
        super().__init__(history, parent)
        self._window: LinkageWindow | None = None
        self._readings: LeverageDialog | None = None
        self.layouts = QComboBox(self)
        self.layouts.setAccessibleName(self.tr("Layout of the rear linkage"))
        self.layouts.addItems([self._layout_words(each) for each in LAYOUTS])
        scrolls_past(self.layouts)
        self.note = Remark(self)
        self.draw = QPushButton(self.tr("Draw the linkage…"), self)
        self.read = QPushButton(self.tr("Leverage from readings…"), self)
        for button in (self.draw, self.read):
            button.setAutoDefault(False)
            button.setVisible(opens)
            self.buttons.addWidget(button)
        self.column.insertWidget(0, self.layouts)
        self.column.insertWidget(self.column.count() - 1, self.note)
        self.draw.clicked.connect(self.open_drawing)
        self.read.clicked.connect(self.open_readings)
        self.layouts.activated.connect(self._choose_layout)
        self.note.acted.connect(self._say_entered)
        paste = QShortcut(QKeySequence(QKeySequence.StandardKey.Paste), self.table)
        paste.setContext(Qt.ShortcutContext.WidgetShortcut)
        paste.activated.connect(self.paste)

    def open_drawing(self) -> None:
        """Open the window in which the linkage is drawn."""
        from fitplanner.ui.linkage.window import LinkageWindow

        if self._window is None:
            self._window = LinkageWindow(self._history, self)
            self._window.addActions(self.window().actions())
        self._window.set_system(self._system)
        if not self._window.isVisible():
            self._window.open_with(self._history.job)
        self._window.show()
        self._window.raise_()
        self._window.activateWindow()

    def open_readings(self) -> None:
        """Open the window in which leverage is found from readings."""
        from fitplanner.ui.linkage.readings import LeverageDialog

        if self._readings is None:
            self._readings = LeverageDialog(self._history, self)
        self._readings.set_system(self._system)
        if not self._readings.isVisible():
            self._readings.open_with(self._history.job)
        self._readings.show()
        self._readings.raise_()
        self._readings.activateWindow()

    def drawing(self) -> "LinkageWindow | None":
        """The window with the drawing, once it was opened."""
        return self._window

    def readings(self) -> "LeverageDialog | None":
        """The window for readings, once it was opened."""
        return self._readings

    def show_job(self, job: Job) -> None:
        """Show the linkage of the job's machine, here and in the windows."""
        self._show_made_up(made_up(job.machine.rear))
        self.layouts.setCurrentIndex(LAYOUTS.index(job.machine.rear.linkage.layout))
        super().show_job(job)
        for shown in (self._window, self._readings):
            if shown is not None:
                shown.show_job(job)

    def discard(self) -> None:
        """Forget what was typed: another job is on the table."""
        super().discard()
        if self._window is not None:
            self._window.open_with(self._history.job)
        if self._readings is not None:
            self._readings.start_over(self._history.job)

    def set_system(self, system: UnitSystem) -> None:
        """Show lengths in another unit system."""
        super().set_system(system)
        for shown in (self._window, self._readings):
            if shown is not None:
                shown.set_system(system)

    def _choose_layout(self, index: int) -> None:
        job = self._history.job
        try:
            rear = rear_in_layout(job.machine, LAYOUTS[index])
            self._history.change(replace_at(job, _REAR, rear), self.words)
        except (UnsolvableError, DocumentError) as refusal:
            self.layouts.setCurrentIndex(LAYOUTS.index(job.machine.rear.linkage.layout))
            self._tell(str(refusal))

    def paste(self) -> None:
        """Take a leverage table from the clipboard in the place of all rows, as one step."""
        job = self._history.job
        if job.machine.rear.linkage.layout != "table":
            self._tell(
                self.tr(
                    "Not pasted: only a leverage table is. Joints are typed cell by cell; for a "
                    "table choose 'Leverage as a table' first."
                )
            )
            return
        figures = Figures.of(self._system, self.locale())
        try:
            rows = read_columns(
                QGuiApplication.clipboard().text(),
                (Kind.LENGTH, Kind.RATIO),
                self._system,
                decimal_mark=figures.decimal_mark,
            )
            wheel, leverage = zip(*rows, strict=True)
            travel = job.machine.rear.travel_mm.value
            rear = with_leverage(job.machine.rear, wheel, leverage, travel)
            LinkageCells.discard(self)
            self._history.change(replace_at(job, _REAR, rear), self.words)
        except ReadingsError as refusal:
            self._not_pasted(figures.sentence(str(refusal)))
        except (QuantityError, DocumentError) as refusal:
            self._not_pasted(str(refusal))

    def _not_pasted(self, why: str) -> None:
        self._tell(self.tr("Not pasted. {why}").format(why=why))

    def _say_entered(self) -> None:
        job = self._history.job
        self._history.change(replace_at(job, _REAR, entered(job.machine.rear)), self.words)

    def _show_made_up(self, is_made_up: bool) -> None:
        words = self.tr(
            "Leverage of made-up joints, assumed with a wide spread, and not this machine's: put "
            "each joint where it stands on the machine, then say so. Undo brings back the "
            "leverage that was there before."
        )
        action = self.tr("The joints are this machine's")
        self.note.show_text(words if is_made_up else "", CAUTION, action if is_made_up else "")

    def _layout_words(self, layout: str) -> str:
        return {
            "table": self.tr("Leverage as a table"),
            "direct": self.tr("Shock straight on the swing-arm"),
            "rocker_on_frame": self.tr("Rocker on the frame, rod to the swing-arm"),
            "rocker_on_arm": self.tr("Rocker on the swing-arm, rod to the frame"),
        }[layout]
