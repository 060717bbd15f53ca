"""Owns the window in which a spring's rate is found from the spring in the hand.

What it says reaches the job in one step, rate and lengths together, when it is taken over.
Refuses to compute: `planning.spring_found` does.
"""

from typing import Literal

from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.base import Figure
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.documents.machine import Fork, Rear
from fitplanner.mechanics.spring_readings import Read
from fitplanner.planning.leverage_found import ReadingsError
from fitplanner.planning.spring_found import SpringFound, far_off
from fitplanner.quantities import Kind, QuantityError, UnitSystem
from fitplanner.session.edits import replace_at
from fitplanner.ui.fields import words_of
from fitplanner.ui.spring.dimensions import DimensionsPage
from fitplanner.ui.spring.press import PressPage
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION, NOTE
from fitplanner.ui.widgets.message_line import MessageLine
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.text import Text

End = Literal["fork", "rear"]


class SpringButton(QPushButton):
    """Leads from a form to the window; a field of the form that holds nothing itself."""

    def __init__(self, history: History, end: End, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setText(self.tr("Rate from the spring in the hand…"))
        self.setAutoDefault(False)
        self._history = history
        self._end: End = end
        self._system = UnitSystem.METRIC
        self._window: SpringWindow | None = None
        self.clicked.connect(self.open_window)

    def open_window(self) -> None:
        """Open the window."""
        if self._window is None:
            self._window = SpringWindow(self._history, self._end, self)
            self._window.addActions(self.window().actions())
        self._window.set_system(self._system)
        self._window.show_job(self._history.job)
        self._window.show()
        self._window.raise_()
        self._window.activateWindow()

    def spring_window(self) -> "SpringWindow | None":
        """The window, once it was opened."""
        return self._window

    def show_job(self, job: Job) -> None:
        """Another profile may have another spring."""
        if self._window is not None:
            self._window.show_job(job)

    def discard(self) -> None:
        """What was typed was of another job's spring."""
        if self._window is not None:
            self._window.close()
            self._window.deleteLater()
            self._window = None

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        if self._window is not None:
            self._window.set_system(system)


class SpringWindow(QDialog):
    """Two ways to a rate, and what it is."""

    def __init__(self, history: History, end: End, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        fork, shock = self.tr("Fork spring in the hand"), self.tr("Shock spring in the hand")
        self.setWindowTitle(fork if end == "fork" else shock)
        self._history = history
        self._end: End = end
        self._system = UnitSystem.METRIC
        self._found: SpringFound | None = None
        self.dimensions = DimensionsPage(self)
        self.press = PressPage(self)
        self.tabs = QTabWidget(self)
        self.tabs.addTab(_framed(self.dimensions), self.tr("From its dimensions"))
        self.tabs.addTab(_framed(self.press), self.tr("From a press or a scale"))
        self.rate = Text("", scale=1.6, bold=True, wrap=False, parent=self)
        self.lengths = Text("", parent=self)
        self.held = Text("", faint=True, parent=self)
        self.message = MessageLine(self)
        self.remarks = Remark(self)
        # No box of buttons: it would make one of them answer to Enter in a field.
        self.take = QPushButton(self.tr("Use this spring"), self)
        cancel = QPushButton(self.tr("Cancel"), self)
        for button in (self.take, cancel):
            button.setAutoDefault(False)
        care = Remark(self)
        care.show_text(self._caution(), CAUTION)
        column = QVBoxLayout(self)
        column.addWidget(care)
        column.addWidget(self.tabs, 1)
        for each in (self.rate, self.lengths, self.held, self.message, self.remarks):
            column.addWidget(each)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.take)
        foot.addWidget(cancel)
        column.addLayout(foot)
        self.resize(820, 620)
        self.take.clicked.connect(self._take)
        cancel.clicked.connect(self.close)
        self.tabs.currentChanged.connect(self._work_out)
        self.dimensions.changed.connect(self._work_out)
        self.press.changed.connect(self._work_out)
        self.press.pasted.connect(self._pasted)

    def _caution(self) -> str:
        press = self.tr(
            "Press a spring only in a press that guides it, behind a guard: pressed by hand, in a "
            "vice or with a car jack it flies out."
        )
        if self._end == "fork":
            first = self.tr(
                "A fork spring pushes its cap out: take it out by the maker's book, and the rate "
                "is that of one spring."
            )
        else:
            first = self.tr(
                "A shock's spring comes off with the maker's tool, by somebody trained for it; "
                "the damper stays shut."
            )
        return f"{first} {press}"

    # What it follows.

    def show_job(self, job: Job) -> None:
        """Show what the job's machine has now."""
        part = self._part(job)
        self.press.set_solid(part.spring_solid_mm.value)
        rate = part.spring_rate_n_mm
        figures = self._figures()
        text = self.tr("In the profile now: {rate} ± {band}").format(
            rate=figures.text(rate.value, Kind.SPRING_RATE, decimals=2),
            band=figures.text(rate.spread, Kind.SPRING_RATE, decimals=2),
        )
        self.held.setText(text)
        self._work_out()

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        self.dimensions.set_system(system)
        self.press.set_system(system)
        self.show_job(self._history.job)

    def found(self) -> SpringFound | None:
        """What the readings say; None while they say nothing."""
        return self._found

    # Working out.

    def _page(self) -> DimensionsPage | PressPage:
        return self.dimensions if self.tabs.currentIndex() == 0 else self.press

    def _work_out(self) -> None:
        page, self._found, why = self._page(), None, ""
        try:
            why = page.complaint()
            if not why:
                self._found = page.answer()
        except QuantityError as refusal:
            why = str(refusal)
        except ReadingsError as refusal:
            why = self._figures().sentence(str(refusal))
        self._show(why)

    def _show(self, why: str) -> None:
        found, figures = self._found, self._figures()
        self.message.show_text(why)
        self.take.setEnabled(found is not None)
        self.press.show_found(found if self._page() is self.press else None, figures)
        if found is None:
            self.rate.setText(self.tr("Rate –"))
            self.lengths.setText("" if why else self._page().wanted())
            self.remarks.show_text("")
            return
        self.rate.setText(
            self.tr("Rate {rate} ± {band}").format(
                rate=figures.bare(found.rate_n_mm.value, Kind.SPRING_RATE, decimals=2),
                band=figures.text(found.rate_n_mm.spread, Kind.SPRING_RATE, decimals=2),
            )
        )
        lengths = (
            (self.tr("free length {length}"), found.free_mm),
            (self.tr("solid length {length}"), found.solid_mm),
        )
        taken = [words.format(length=self._length(read)) for words, read in lengths if read]
        taken_over = self.tr("Taken over with it: {lengths}.").format(lengths=", ".join(taken))
        kept = " ".join((taken_over if taken else "", self._kept(found))).strip()
        self.lengths.setText(kept)
        far = far_off(found.rate_n_mm.value, self._held().spring_rate_n_mm.value)
        said = [far, *found.remarks] if far else found.remarks
        # No tick: that readings go together does not say that this is the right spring.
        self.remarks.show_text(
            "\n".join(figures.sentence(each) for each in said),
            CAUTION if far or found.cautious else NOTE,
        )

    def _kept(self, found: SpringFound) -> str:
        """That lengths which were not read are those of the spring before."""
        names = {
            "spring_free_mm": self.tr("free length"),
            "spring_solid_mm": self.tr("solid length"),
        }
        kept = [names[key] for key in found.kept(self._present())]
        words = self.tr("Not read: {lengths}. What the profile has is of the spring before and ")
        words += self.tr("stays as an estimate.")
        return words.format(lengths=", ".join(kept)) if kept else ""

    def _held(self) -> Fork | Rear:
        return self._part(self._history.job)

    def _present(self) -> dict[str, Figure]:
        part = self._held()
        keys = ("spring_rate_n_mm", "spring_free_mm", "spring_solid_mm")
        return {key: getattr(part, key) for key in keys}

    def _length(self, read: Read) -> str:
        figures = self._figures()
        band = figures.text(read.spread, decimals=1)
        return f"{figures.bare(read.value, decimals=1)} ± {band}"

    def _pasted(self, why: str) -> None:
        if why:
            self.message.show_text(self.tr("Not pasted. {why}").format(why=why))

    def _take(self) -> None:
        if self._found is None:
            return
        job = self._history.job
        figures = self._found.figures(self._page().origin(), self._present())
        try:
            for key, figure in figures.items():
                job = replace_at(job, ("machine", self._end, key), figure)
        except DocumentError as refusal:
            self.message.show_text(words_of(refusal, ("machine", self._end)))
        else:
            self._history.change(job, self.windowTitle())
            self.close()

    def _part(self, job: Job) -> Fork | Rear:
        return job.machine.fork if self._end == "fork" else job.machine.rear

    def _figures(self) -> Figures:
        return Figures.of(self._system, self.locale())


def _framed(page: QWidget) -> QWidget:
    frame = QWidget()
    column = QVBoxLayout(frame)
    column.addWidget(page)
    if isinstance(page, DimensionsPage):
        column.addStretch(1)
    return frame
