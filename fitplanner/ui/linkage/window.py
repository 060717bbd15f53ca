"""Owns the window in which the rear linkage is drawn, moved through its travel and changed.

Every change goes through the history, so that the plan follows; while a joint is dragged only
the newest place is worked out. A place at which the joints do not go together is refused, and
the drawing stays where it was. Refuses to compute: `planning.linkage` does.
"""

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSlider,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.documents.machine import LinkagePoints, MachineProfile, Rear
from fitplanner.planning.joints import joint_names, refused
from fitplanner.planning.linkage import LinkageMotion, linkage_motion, odd_leverage
from fitplanner.planning.resolve import LinkageError, UnsolvableError
from fitplanner.quantities import Kind, UnitSystem
from fitplanner.session.edits import Edit, replace_at
from fitplanner.ui.fields import words_of
from fitplanner.ui.forms import note_label, plain_label, set_note
from fitplanner.ui.linkage.cells import LINKAGE
from fitplanner.ui.linkage.plots import MotionPlots
from fitplanner.ui.linkage.view import LinkageView
from fitplanner.ui.panels.linkage import LinkageTable
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.message_line import MessageLine
from fitplanner.ui.widgets.text import Text

_TABLE_WIDTH = 420


class LinkageWindow(QDialog):
    """Drawing, table and plots of one linkage."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Rear linkage"))
        self._history = history
        self._system = UnitSystem.METRIC
        self._motion: LinkageMotion | None = None
        self._before: LinkageMotion | None = None
        self._solved: tuple[MachineProfile, LinkageMotion] | None = None
        self._shown: MachineProfile | None = None
        self._opened: Rear | None = None
        self._wanted: tuple[str, float, float] | None = None
        # Moves that come faster than they can be worked out: the newest is taken.
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(0)
        self.view = LinkageView(self)
        self.table = LinkageTable(history, self, opens=False)
        self.table.setFixedWidth(_TABLE_WIDTH)
        self.plots = MotionPlots(self)
        self.message = MessageLine(self)
        self.slider = QSlider(Qt.Orientation.Horizontal, self)
        self.slider.setAccessibleName(self.tr("Wheel travel"))
        self.readout = Text("", wrap=False, parent=self)
        self._hint = note_label(self)
        close = QPushButton(self.tr("Keep and close"), self)
        self.give_up = QPushButton(self.tr("Put back and close"), self)
        self.give_up.setToolTip(self.tr("The linkage as it was when this window was opened"))
        for button in (close, self.give_up):
            button.setAutoDefault(False)
        self._lay_out(close)
        self.resize(1180, 720)
        close.clicked.connect(self.close)
        self.give_up.clicked.connect(self._give_up)
        self.slider.valueChanged.connect(self._show_place)
        self.view.moved.connect(self._want)
        self.view.dropped.connect(self._end_move)
        self.view.picked.connect(self.table.pick)
        self.table.picked.connect(self.view.pick)
        self._soon.timeout.connect(self._move)

    def _lay_out(self, close: QWidget) -> None:
        travel = QHBoxLayout()
        words = QLabel(self.tr("&Wheel travel"), self)
        words.setBuddy(self.slider)
        travel.addWidget(words)
        travel.addWidget(self.slider, 1)
        drawing = QVBoxLayout()
        drawing.addWidget(self.view, 1)
        drawing.addLayout(travel)
        drawing.addWidget(self.readout)
        side = QVBoxLayout()
        side.addWidget(self.table, 1)
        side.addWidget(self._hint)
        top = QHBoxLayout()
        top.setSpacing(14)
        top.addLayout(drawing, 1)
        top.addLayout(side)
        foot = QHBoxLayout()
        foot.addWidget(plain_label(self.tr("Dashed: as it was when this window was opened."), self))
        foot.addStretch(1)
        foot.addWidget(self.give_up)
        foot.addWidget(close)
        column = QVBoxLayout(self)
        column.addLayout(top, 3)
        column.addWidget(self.message)
        column.addWidget(self.plots, 2)
        column.addLayout(foot)

    # What it follows.

    def open_with(self, job: Job) -> None:
        """Begin anew with the linkage of `job`; later ones are held against it."""
        self._shown = self._before = None
        self._opened = job.machine.rear
        self.slider.setValue(0)
        self.show_job(job)
        self._before = self._motion

    def show_job(self, job: Job) -> None:
        """Show the linkage of the job's machine."""
        self.table.show_job(job)
        if job.machine is self._shown:
            return
        self._shown = job.machine
        try:
            self._motion = self._solve(job.machine)
        except UnsolvableError as error:
            self._motion = None
            self.message.show_text(self._why(error))
        else:
            if self._wanted is None:
                self.message.show_text(odd_leverage(self._motion))
        self._show()

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        self.table.set_system(system)
        self.view.set_system(system)
        self._show()

    def motion(self) -> LinkageMotion | None:
        """What is drawn and plotted; None while the joints do not go together."""
        return self._motion

    def closeEvent(self, event: QCloseEvent) -> None:
        self._end_move()
        super().closeEvent(event)

    def _give_up(self) -> None:
        """Put the linkage and how well it is known back, in one step, and close."""
        self._wanted = None
        self.table.discard()
        job, was = self._history.job, self._opened
        if was is not None:
            rear = job.machine.rear.replace(
                linkage=was.linkage, leverage_factor=was.leverage_factor
            )
            if rear != job.machine.rear:
                try:
                    self._history.change(replace_at(job, LINKAGE[:2], rear), self.windowTitle())
                except DocumentError as refusal:
                    self.message.show_text(words_of(refusal, LINKAGE))
                    return
        self.close()

    # Moving a joint.

    def _want(self, joint: str, x_mm: float, z_mm: float) -> None:
        self.slider.setValue(0)
        self._wanted = joint, x_mm, z_mm
        if not self._soon.isActive():
            self._soon.start()

    def _end_move(self) -> None:
        if self._wanted is not None:
            self._move()
        self._history.end_step()

    def _move(self) -> None:
        """Put the joint at the newest place wanted, where the joints go together there."""
        if self._wanted is None:
            return
        joint, x, z = self._wanted
        # A tenth of a millimetre is finer than anybody reads a joint's place.
        edit = Edit((*LINKAGE, joint), [round(x, 1), round(z, 1)])
        try:
            job = replace_at(self._history.job, edit.address, edit.value)
            self._solved = job.machine, linkage_motion(job.machine)
        except DocumentError as refusal:
            self.message.show_text(words_of(refusal, LINKAGE))
        except UnsolvableError as error:
            self.message.show_text(self._why(error, joint))
            if self._motion is None:
                # There is no good place to stay at.
                self._history.edit(edit, self.table.words)
        else:
            self.message.show_text(odd_leverage(self._solved[1]))
            self._history.edit(edit, self.table.words)
        self._wanted = None

    def _solve(self, machine: MachineProfile) -> LinkageMotion:
        if self._solved is not None and self._solved[0] == machine:
            return self._solved[1]
        return linkage_motion(machine)

    def _why(self, error: UnsolvableError, moved: str = "") -> str:
        """What is wrong with the joints, or with the place to which one was to be `moved`."""
        if not isinstance(error, LinkageError):
            return str(error)
        text = error.fault.text
        if moved and self._motion is not None:
            names = joint_names(self._history.job.machine.rear.linkage.layout)
            text = refused(names[moved], error.fault)
        return self._figures().sentence(text)

    # Showing.

    def _figures(self) -> Figures:
        return Figures.of(self._system, self.locale())

    def _show(self) -> None:
        if self._shown is None:
            return
        linkage, motion = self._shown.rear.linkage, self._motion
        drawn = isinstance(linkage, LinkagePoints)
        hint = self.tr(
            "Drag a joint, or pick it and use the arrow keys: with Shift in large steps, with "
            "Ctrl in small ones. Joints stand where they are with the wheel hanging."
        )
        set_note(self._hint, hint if drawn else "")
        if isinstance(linkage, LinkagePoints):
            names = joint_names(linkage.layout)
            joints = {key: getattr(linkage, key) for key in names}
            self.view.show_joints(
                linkage.layout, names, joints, {} if motion is None else motion.places_mm
            )
        else:
            self.view.show_words(
                self.tr("This leverage is a table. Choose a layout on the right to draw joints.")
            )
        self.slider.setEnabled(motion is not None)
        if motion is None:
            self.plots.clear()
            self.readout.setText("")
            return
        self.slider.setRange(0, len(motion.rise_mm) - 1)
        self.slider.setPageStep(len(motion.rise_mm) // 10)
        self.plots.show_motion(motion, self._before, self._figures())
        self._show_place(self.slider.value())

    def _show_place(self, at: int) -> None:
        motion, figures = self._motion, self._figures()
        if motion is None:
            return
        self.view.show_place(at)
        self.plots.show_place(at)
        words = self.tr(
            "Wheel {wheel}   shock {shock}   leverage {leverage}   wheel rate {rate}   "
            "spring force {force}"
        )
        self.readout.setText(
            words.format(
                wheel=figures.text(float(motion.rise_mm[at])),
                shock=figures.text(float(motion.shock_mm[at]), decimals=1),
                leverage=figures.text(float(motion.leverage[at]), Kind.RATIO),
                rate=figures.text(float(motion.wheel_rate_n_mm[at]), Kind.SPRING_RATE),
                force=figures.text(float(motion.spring_n[at]), Kind.FORCE),
            )
        )
