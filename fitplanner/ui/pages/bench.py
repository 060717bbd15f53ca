"""Owns the page of the bench: the steps in working order, how many are done, ticking and noting.

What is ticked or noted goes to the job at once and changes no plan. Refuses steps of its own:
`planning.bench` has them.
"""

from collections.abc import Sequence
from itertools import groupby

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QProgressBar, QPushButton, QVBoxLayout, QWidget

from fitplanner.documents.job import Job
from fitplanner.planning.bench import Step, no_longer, steps
from fitplanner.planning.plan import Plan
from fitplanner.session.edits import tick_edit
from fitplanner.ui.bench.notes import tick_of
from fitplanner.ui.bench.row import HABIT, StepRow
from fitplanner.ui.pages.page import Page
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.caution_line import CautionLine
from fitplanner.ui.widgets.mark import STOP
from fitplanner.ui.widgets.text import Text


class BenchPage(Page):
    """The steps of the job at hand."""

    sheet_wanted = Signal()
    """The bench sheet is to be printed."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._history = history
        self._planned: Job | None = None
        self._job: Job | None = None
        self._steps: dict[str, Step] = {}
        self._rows: dict[str, StepRow] = {}
        self._cards: list[Card] = []
        self._said = Text(bold=True, scale=1.4)
        self._bar = QProgressBar(self)
        # As high as a field, an empty one looks like a field to write in.
        self._bar.setFixedSize(180, 8)
        self._bar.setTextVisible(False)
        self._bar.setAccessibleName(self.tr("Steps done"))
        self.sheet_button = QPushButton(self.tr("Bench &sheet…"), self)
        self.sheet_button.clicked.connect(self.sheet_wanted)
        self._stopped, self._gone = CautionLine(STOP), CautionLine()
        head = Card()
        row = QHBoxLayout()
        row.setSpacing(12)
        row.addWidget(self._said, 1)
        row.addWidget(self._bar)
        row.addWidget(self.sheet_button)
        head.body.addLayout(row)
        head.body.addWidget(self._stopped)
        head.body.addWidget(self._gone)
        self._sections = QVBoxLayout()
        self._sections.setSpacing(self.column.spacing())
        self.column.addWidget(head)
        self.column.addLayout(self._sections)
        foot = self.tr("{mark} Common practice, no source: the maker's book goes first.")
        self.column.addWidget(Text(foot.format(mark=HABIT), faint=True))

    # What comes from outside.

    def show_job(self, job: Job) -> None:
        """The job at hand changed; only its ticks and readings are shown before its plan comes."""
        before, self._job = self._job, job
        if before is None or (before.ticks, before.readings) != (job.ticks, job.readings):
            self._refresh()

    def show_planned(self, job: Job) -> None:
        """Take the job whose plan is shown next."""
        self._planned = job

    def render_plan(self, plan: Plan) -> None:
        """Show the steps of the plan with what the job at hand has of them."""
        if self._planned is None or self._job is None:
            return
        job = self._planned.with_shop_of(self._job)
        found = steps(job, plan)
        if [step.key for step in found] != list(self._steps):
            self._build(found)
        self._steps = {step.key: step for step in found}
        figures = self.figures()
        for number, step in enumerate(found, 1):
            row = self._rows[step.key]
            row.show_step(number, step, figures)
            row.note.show_job(job)
        self._show_progress(found)
        stopped = [f"{check.title}. {figures.sentence(check.reason)}" for check in plan.stopped_by]
        gone = [figures.sentence(text) for text in no_longer(job, found)]
        self._stopped.show_caution(self.tr("Do not build it like this"), "\n".join(stopped))
        self._stopped.setVisible(bool(stopped))
        self._gone.show_caution(self.tr("Ticked, but not in the plan any more"), "\n".join(gone))
        self._gone.setVisible(bool(gone))

    # What is shown.

    def rows(self) -> dict[str, StepRow]:
        """The steps shown by their keys, in order."""
        return self._rows

    def texts(self) -> list[str]:
        """What the head of the page says."""
        lines = (self._stopped, self._gone)
        return [self._said.text(), *(line.text() for line in lines if line.text())]

    def _show_progress(self, found: Sequence[Step]) -> None:
        done = sum(step.done for step in found)
        changed = sum(bool(step.was) for step in found)
        words = self.tr("{done} of {all} done").format(done=done, all=len(found))
        if changed:
            words = self.tr("{words}, {n} of them changed since").format(words=words, n=changed)
        self._said.setText(words)
        self._bar.setRange(0, len(found))
        self._bar.setValue(done)

    def _build(self, found: Sequence[Step]) -> None:
        """Lay rows and sections out anew; a row whose step stays is kept with what is typed."""
        kept = {step.key: self._rows.pop(step.key, None) for step in found}
        for row in self._rows.values():
            row.hide()
            row.deleteLater()
        self._rows = {}
        old, self._cards = self._cards, []
        for section, group in groupby(found, key=lambda step: step.section):
            card = Card(section.value)
            for place, step in enumerate(group):
                if place:
                    card.body.addWidget(_line())
                row = kept[step.key] or self._new_row(step.key)
                card.body.addWidget(row)
                self._rows[step.key] = row
            self._sections.addWidget(card)
            self._cards.append(card)
        for card in old:
            self._sections.removeWidget(card)
            card.hide()
            card.deleteLater()

    def _new_row(self, key: str) -> StepRow:
        row = StepRow(self._history, key)
        row.ticked.connect(self._tick)
        return row

    # Acting.

    def _tick(self, key: str, done: bool) -> None:
        """Take down that a step is done as it stands now, or that it is not."""
        step, job = self._steps[key], self._history.job
        words = self.tr("Tick step {n}") if done else self.tr("Take the tick off step {n}")
        tick = tick_of(job, key).replace(done=done, said=step.said if done else "")
        self._history.end_step()
        self._history.edit(tick_edit(job, tick), words.format(n=list(self._steps).index(key) + 1))
        self._history.end_step()


def _line() -> QFrame:
    line = QFrame()
    line.setFrameShape(QFrame.Shape.HLine)
    line.setFrameShadow(QFrame.Shadow.Plain)
    line.setForegroundRole(line.palette().ColorRole.Mid)
    return line
