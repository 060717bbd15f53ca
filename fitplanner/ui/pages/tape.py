"""Owns the page of the tape measure: the guided series, the readings, what they say, the proof.

The fit runs on a thread of its own and only while the page is looked at; the readings follow every
change at once. Refuses new figures and silent changes: the measured machine is planned on, and a
stage is set, when the user says so.
"""

from functools import partial

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from fitplanner.documents.bench import MeasuredState, Place, Stage, When
from fitplanner.documents.job import Job
from fitplanner.planning.bench.steps import steps
from fitplanner.planning.measured.account import ReadingTold
from fitplanner.planning.measured.basis import back, changed_since
from fitplanner.planning.plan import Plan
from fitplanner.quantities import UnitSystem
from fitplanner.ui import texts
from fitplanner.ui.newest import Newest
from fitplanner.ui.pages.page import Page
from fitplanner.ui.tape.asking import Fitter, Prover, Question, Told, answer_to
from fitplanner.ui.tape.edits import put_stage
from fitplanner.ui.tape.fitted import FittedView
from fitplanner.ui.tape.guide import Guide
from fitplanner.ui.tape.listing import Listing
from fitplanner.ui.tape.proved import ProvedView
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.card import Card, Columns
from fitplanner.ui.widgets.tabs import Tabs
from fitplanner.ui.widgets.text import Text

_SIDE_BY_SIDE = 1300


class TapePage(Page):
    """Measured before the work, measured after it."""

    def __init__(
        self,
        history: History,
        parent: QWidget | None = None,
        fitter: Fitter | None = None,
        prover: Prover | None = None,
    ) -> None:
        super().__init__(parent)
        self._history = history
        self._planned: Job | None = None
        self._asked: tuple[Plan, When] | None = None
        self._answers: dict[When, tuple[Job, Told]] = {}
        work = partial(answer_to, fitter=fitter, prover=prover)
        self.worker = Newest(work, "tape", self)
        self.worker.answered.connect(self._take)
        self.switch = Tabs(self)
        self.switch.setDrawBase(False)
        self.switch.setExpanding(False)
        self.switch.setAccessibleName(self.tr("Before or after the work"))
        self.switch.addTab(self.tr("Before the work"))
        self.switch.addTab(self.tr("After the work"))
        self._state = Text(faint=True, wrap=False, parent=self)
        self.guide = Guide(history, self)
        self.listing = Listing(history, self)
        self.fitted = FittedView(self)
        self.proved = ProvedView(self)
        take = Card(parent=self)
        take.body.addWidget(self.guide)
        taken = Card(parent=self)
        taken.body.addWidget(self.listing)
        self._problem = Text(parent=self)
        self._problem.hide()
        top = QHBoxLayout()
        top.addWidget(self.switch)
        top.addStretch(1)
        top.addWidget(self._state)
        self.column.addLayout(top)
        self.column.addWidget(Columns(take, taken, enough=_SIDE_BY_SIDE, parent=self))
        self.column.addWidget(self._problem)
        self.column.addWidget(self.fitted)
        self.column.addWidget(self.proved)
        self.fitted.hide()
        self.proved.hide()
        self.switch.currentChanged.connect(self._switched)
        self.listing.correct_wanted.connect(self.guide.correct)
        self.fitted.reading_wanted.connect(self._go_to)
        self.fitted.plan_wanted.connect(self._plan_on_measured)
        self.fitted.profile_wanted.connect(self._back_to_profile)
        self.proved.stage_wanted.connect(self._set_stage)

    @property
    def when(self) -> When:
        """Before or after the work."""
        return list(When)[self.switch.currentIndex()]

    def set_when(self, when: When) -> None:
        """Turn to before or after the work."""
        self.switch.setCurrentIndex(list(When).index(when))

    def show_job(self, job: Job) -> None:
        """Show the readings of the job at hand, and have new ones worked out; no plan follows."""
        self.guide.show_job(job)
        self._show_readings()
        planned = self._planned
        if planned is None or planned.planned_on() != job.planned_on():
            return
        self._planned = planned.with_shop_of(job)
        if (planned.readings, planned.fitted) != (job.readings, job.fitted):
            self._asked = None
            self._refresh()
        elif (planned.stage, planned.ticks) != (job.stage, job.ticks):
            self._show_answer()

    def show_planned(self, job: Job) -> None:
        """Take the job whose plan is shown next."""
        self._planned = job

    def set_system(self, system: UnitSystem) -> None:
        """Show all figures in another unit system."""
        self.guide.set_system(system)
        changed = system is not self._system
        super().set_system(system)
        if changed:
            self._show_readings()

    def start_over(self) -> None:
        """Another job is on the table."""
        self._answers = {}
        self.guide.start_over()
        self._show_answer()

    def close_work(self) -> None:
        """End the thread."""
        self.worker.close()

    def state(self) -> str:
        """What the page says of its own work; "" where all is there."""
        return self._state.text() or ("" if self._problem.isHidden() else self._problem.text())

    def render_plan(self, plan: Plan) -> None:
        """Draw the machine of `plan`, and have its readings worked out."""
        self.guide.show_plan(plan)
        self._show_readings()
        self._show_answer()
        self._ask(plan)

    def _ask(self, plan: Plan) -> None:
        wanted = plan, self.when
        if self._planned is None or (
            self._asked is not None and self._asked[0] is plan and self._asked[1] is self.when
        ):
            return
        self._asked = wanted
        self._state.setText(self.tr("Working it out …"))
        self.worker.ask(Question(self._planned, plan, self.when))

    def _take(self, question: Question, answer: Told) -> None:
        self._answers[question.when] = (question.job, answer)
        if self._asked is not None and question.plan is self._asked[0]:
            self._state.setText("")
        self._show_readings()
        self._show_answer()

    def _switched(self) -> None:
        self.guide.set_when(self.when)
        self._show_readings()
        self._show_answer()
        self._stale = True
        if self.isVisible():
            self._lay_out()

    def _told(self) -> dict[int, ReadingTold]:
        """What the newest answer says of the job's readings, by row.

        Of readings that it did not know yet it says nothing; those that moved keep what was said.
        """
        job, answer = self._answers.get(self.when, (None, None))
        if job is None or answer is None or answer.fit is None:
            return {}
        open_rows = list(answer.fit.readings)
        found = {}
        for row, reading in enumerate(self._history.job.readings):
            for place, told in enumerate(open_rows):
                if told.reading == reading:
                    found[row] = open_rows.pop(place)
                    break
        return found

    def _show_readings(self) -> None:
        told = self._told()
        self.listing.show_readings(self._history.job, self.when, told, self.figures())
        self.guide.show_wrong(frozenset(row for row, each in told.items() if not each.fits))

    def _show_answer(self) -> None:
        job, answer = self._answers.get(self.when, (None, None))
        fit = None if answer is None else answer.fit
        proof = None if answer is None else answer.proof
        self._problem.setVisible(answer is not None and fit is None)
        if answer is not None and fit is None:
            what = (
                self.tr("The readings could not be worked out because of a fault in the program:")
                if answer.fault
                else self.tr("No machine near these readings can be worked out:")
            )
            self._problem.setText(f"{what} {answer.fault or answer.problem}")
        before = self.when is When.BEFORE
        self.fitted.setVisible(before and fit is not None)
        self.proved.setVisible(not before and proof is not None)
        if before and fit is not None and job is not None:
            self.fitted.show_fit(
                fit,
                self.figures(),
                worked_in=job.fitted is not None,
                anew=changed_since(job),
            )
        if proof is not None and not before:
            self.proved.show_proof(proof, self.figures(), self._history.job.stage, self._ticked())
        for columns in self._filled.findChildren(Columns):
            columns.fit(self.viewport().width())

    def _ticked(self) -> tuple[int, int]:
        """Steps of the bench sheet that are ticked, and all of them."""
        if self._asked is None or self._planned is None:
            return 0, 0
        rows = steps(self._planned.with_shop_of(self._history.job), self._asked[0])
        return sum(each.done for each in rows), len(rows)

    def _go_to(self, place: Place, state: MeasuredState) -> None:
        self.guide.go_to(place, state)
        self.verticalScrollBar().setValue(0)

    def _plan_on_measured(self) -> None:
        job, answer = self._answers.get(When.BEFORE, (None, None))
        present = self._history.job
        if answer is None or answer.fit is None or job is None:
            return
        if (job.readings, job.machine, job.fitted) != (
            present.readings,
            present.machine,
            present.fitted,
        ):
            # The newest readings are still being worked out; the button comes back with them.
            return
        # Loaded with the first fit, so that the window does not wait for it.
        from fitplanner.planning.measured.fitting import planned_on

        words = self.fitted.plan_button.text().replace("&", "")
        self._history.change(planned_on(present, answer.fit), words)

    def _back_to_profile(self) -> None:
        self._history.change(back(self._history.job), self.tr("Back to the figures before"))

    def _set_stage(self, stage: Stage) -> None:
        words = self.tr("Stage: {stage}").format(stage=texts.label(stage))
        put_stage(self._history, stage, words)

    def changeEvent(self, event: QEvent) -> None:
        """Marks in the list follow the appearance."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "listing"):
            self._show_readings()
