"""Owns the page of options: looking for them, the proposals, what was ruled out, and the plot.

The search runs on its own thread and begins anew, after a rest, when the page is looked at and
the job is another one. Refuses to change the job: it says which option is wanted.
"""

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.account import account
from fitplanner.planning.plan import Plan
from fitplanner.planning.search.options import Found, Option, Priorities
from fitplanner.planning.search.ranking import ranked
from fitplanner.ui.options.card import OptionCard
from fitplanner.ui.options.front import FrontCard
from fitplanner.ui.options.limits import ExcludedCard, RelaxationList
from fitplanner.ui.options.plans import OptionPlans
from fitplanner.ui.options.priorities import PrioritySliders
from fitplanner.ui.options.searching import Progress, Question, SearchAnswer, Searcher
from fitplanner.ui.options.words import Writer, by_hand, fixed, left_open, with_option
from fitplanner.ui.pages.page import Page
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.message_line import MessageLine
from fitplanner.ui.widgets.text import Text

REST_MS = 700


class OptionsPage(Page):
    """Options for the job at hand."""

    use_wanted = Signal(object)
    """The `Choices` of the option that the user took."""
    compare_wanted = Signal(object, object)
    """The `Job` with an option's choices, and the `Option`."""

    def __init__(
        self,
        parent: QWidget | None = None,
        searcher: Searcher | None = None,
        plans: OptionPlans | None = None,
    ) -> None:
        super().__init__(parent)
        self.searcher = searcher or Searcher(parent=self)
        self.plans = plans or OptionPlans(parent=self)
        self.plans.arrived.connect(self._show_plans)
        self.searcher.told.connect(self._progressed)
        self.searcher.answered.connect(self._answered)
        self._job: Job | None = None
        self._asked: Question | None = None
        self._ranked_for = Priorities()
        self._found: Found | None = None
        self._found_job: Job | None = None
        self._taken: tuple[Choices, Choices] | None = None
        self._names: list[tuple[Choices, str]] = []
        self._rates = Rates()
        self.rest = QTimer(self)
        self.rest.setSingleShot(True)
        self.rest.setInterval(REST_MS)
        self.rest.timeout.connect(self._search_if_new)
        self.priorities = PrioritySliders(self)
        self.priorities.changed.connect(self._rank)
        self.find_button = QPushButton(self.tr("&Find options"), self)
        self.find_button.clicked.connect(self.search)
        self.stop_button = QPushButton(self.tr("S&top"), self)
        self.stop_button.clicked.connect(self.searcher.stop)
        self.keep_box = QCheckBox(self.tr("Keep what is set by &hand"), self)
        self.keep_box.toggled.connect(self._search_if_new)
        self._bar = QProgressBar(self)
        self._said = Text(bold=True, scale=1.1)
        self._price = Text(faint=True)
        self._problem = MessageLine(self)
        self.relaxations = RelaxationList(self)
        self.excluded = ExcludedCard()
        self.front = FrontCard()
        self._cards: list[OptionCard] = []
        self._lay_out_parts()
        for part in (self.relaxations, self.front):
            part.use_wanted.connect(self._use)
            part.compare_wanted.connect(self._compare)
        self.front.shown.connect(self._show_plans)
        self._show_found()

    def _lay_out_parts(self) -> None:
        head = Card()
        row = QHBoxLayout()
        row.setSpacing(12)
        row.addWidget(self._said, 1)
        row.addWidget(self._bar)
        row.addWidget(self.keep_box)
        row.addWidget(self.stop_button)
        row.addWidget(self.find_button)
        self._bar.setRange(0, 100)
        self._bar.setFixedWidth(150)
        self._bar.setAccessibleName(self.tr("Search for options"))
        head.body.addLayout(row)
        head.body.addWidget(self._price)
        head.body.addWidget(self._problem)
        head.body.addWidget(self.priorities)
        self.column.addWidget(head)
        self.column.addWidget(self.relaxations)
        self._list = QVBoxLayout()
        self._list.setSpacing(8)
        self.column.addLayout(self._list)
        self.column.addWidget(self.front)
        self.column.addWidget(self.excluded)

    # What comes from outside.

    def show_job(self, job: Job) -> None:
        """Take another job; options are looked for after a rest, while the page is seen."""
        self._job = job
        self.keep_box.setVisible(fixed(self._asked_choices(job)))
        if self.isVisible():
            self.rest.start()
            self._show_found()

    def set_rates(self, rates: Rates) -> None:
        """Take the shop's own rate and currency."""
        if rates != self._rates:
            self._rates = rates
            self._refresh()
            if self.isVisible():
                self.rest.start()

    def render_plan(self, plan: Plan) -> None:
        """Show what was found, in the present units."""
        self._show_found()

    def showEvent(self, event: QShowEvent) -> None:
        """Look for options where the job is another one."""
        super().showEvent(event)
        # What was found while nobody looked is not drawn yet.
        self._show_found()
        self.rest.start()

    def name_of(self, choices: Choices) -> str:
        """By which name these choices were taken from the options; "" where they were not."""
        now = by_hand(choices)
        return next((name for taken, name in self._names[::-1] if by_hand(taken) == now), "")

    def close_search(self) -> None:
        """End the search, the plans and their threads."""
        self.rest.stop()
        self.searcher.close()
        self.plans.close()

    # Searching.

    def search(self) -> None:
        """Look for options now."""
        self.rest.stop()
        if self._job is None or self._plan is None:
            return
        self._asked = self._question(self._job)
        self._ranked_for = self.priorities.priorities()
        self.searcher.ask(self._asked, self._ranked_for)
        self._problem.show_text("")
        self._bar.setValue(0)
        self._show_state()
        self._show_found()

    def _search_if_new(self) -> None:
        """Look for options where the question is another one."""
        if not self.isVisible() or self._job is None or self._plan is None:
            return
        if self._asked is None or self._question(self._job) != self._asked:
            self.search()

    def _question(self, job: Job) -> Question:
        """What decides the answer; by default not what is set by hand."""
        choices = self._asked_choices(job)
        if not self.keep_box.isChecked():
            choices = left_open(choices)
        return Question(job.planned_on().replace(choices=choices), self._rates)

    def _asked_choices(self, job: Job) -> Choices:
        """The choices before an option was taken, while that option stands."""
        if self._taken is not None and by_hand(job.choices) == by_hand(self._taken[1]):
            return job.choices.replace(**by_hand(self._taken[0]))
        return job.choices

    def _progressed(self, progress: Progress) -> None:
        self._bar.setValue(round(100 * progress.share))
        if progress.best is not None and self._asked is not None:
            self._take(progress.best, self._asked)
        self._show_state()

    def _answered(self, answer: SearchAnswer) -> None:
        if answer.found is not None:
            self._take(answer.found, answer.question)
        elif answer.missing:
            self._problem.show_text(
                self.tr("Still to be entered: {what}").format(what=", ".join(answer.missing))
            )
        elif answer.problem:
            self._problem.show_text(answer.problem)
        else:
            self._problem.show_text(
                self.tr(
                    "The search ended because of a fault in the program: {why}. It was written to "
                    "the log."
                ).format(why=answer.fault)
            )
        self._show_state()
        self._show_found()

    def _take(self, found: Found, question: Question) -> None:
        self._found, self._found_job = found, question.job
        if self.priorities.priorities() == self._ranked_for:
            self._show_found()
        else:
            self._rank()

    def _rank(self) -> None:
        """Propose what the sliders ask for, out of what was found."""
        if self._found is not None and self._found_job is not None:
            wanted = self.priorities.priorities()
            self._found = ranked(self._found, self._found_job.machine, wanted)
        self._show_found()

    # Showing.

    def cards(self) -> list[OptionCard]:
        """The proposals shown, from the top."""
        return [card for card in self._cards if not card.isHidden()]

    def texts(self) -> list[str]:
        """What the head of the page says."""
        return [self._said.text(), self._problem.text()]

    def _writer(self) -> Writer:
        return Writer.of(self._system, self.locale(), self._rates.currency)

    def _show_state(self) -> None:
        busy, found = self.searcher.busy, self._found
        self._bar.setVisible(busy)
        self.stop_button.setVisible(busy)
        self.find_button.setVisible(not busy)
        writer = self._writer()
        if busy:
            best = found is not None and self._answers_job() and bool(found.options)
            self._said.setText(
                self.tr("Looking for options; the best so far stand below")
                if best
                else self.tr("Looking for options …")
            )
        elif found is None:
            self._said.setText(self.tr("Which ways to lower suit this rider best?"))
        elif not found.options:
            self._said.setText(
                self.tr("None of {n} combinations stays within all limits").format(
                    n=writer.count(found.candidates)
                )
            )
        else:
            words = self.tr("{n} options out of {fit} that fit, of {all} combinations")
            if len(found.options) == 1:
                words = self.tr("One option out of {fit} that fit, of {all} combinations")
            if not found.complete:
                words = self.tr("Stopped: the best options of those looked at so far")
            told = words.format(
                n=len(found.options),
                fit=writer.count(found.fitting),
                all=writer.count(found.candidates),
            )
            shares = None if self._job is None else self._job.shop_shares
            if shares is not None and shares.planned_for:
                by_shop = self.tr("the footing as this shop's jobs came out")
                told = f"{told}; {by_shop}"
            self._said.setText(told)

    def _answers_job(self) -> bool:
        """Whether what was found still answers the job at hand."""
        return self._job is not None and self._found_job == self._question(self._job).job

    def _show_found(self) -> None:
        found, job = self._found, self._job
        if not self.isVisible():
            return
        self._show_state()
        self._show_price()
        options = () if found is None else found.options
        while len(self._cards) < len(options):
            card = OptionCard()
            card.use_wanted.connect(self._use)
            card.compare_wanted.connect(self._compare)
            self._list.addWidget(card)
            self._cards.append(card)
        for card in self._cards[len(options) :]:
            card.hide()
        nothing = found is None or job is None
        self.excluded.setVisible(not nothing)
        self.front.setVisible(not nothing and bool(options))
        self.relaxations.setVisible(not nothing and not options)
        if found is None or job is None or self._found_job is None:
            return
        machine, writer = self._found_job.machine, self._writer()
        valid = self._answers_job()
        now = by_hand(job.choices)
        for number, (card, option) in enumerate(zip(self._cards, options, strict=False), 1):
            used = by_hand(option.choices) == now
            card.show_option(option, machine, writer, number=number, in_use=used)
            card.show()
            card.setEnabled(valid)
        self.excluded.show_found(found, writer)
        self.excluded.setEnabled(valid)
        if options:
            self.front.show_front(found.front, options, machine, writer)
            self.front.setEnabled(valid)
        else:
            self.relaxations.show_found(found, machine, writer)
            self.relaxations.setEnabled(valid)
        self._show_plans()

    def _show_plans(self) -> None:
        """Say on each card what its own plan says, as far as it is worked out."""
        cards = [*self.cards(), *self.relaxations.cards(), self.front.picked]
        shown = {card: card.option.choices for card in cards if card.option is not None}
        if self._found_job is None or not self.isVisible():
            return
        self.plans.want(self._found_job, list(shown.values()))
        for card, choices in shown.items():
            card.show_plan(self.plans.plan_of(choices))

    def _show_price(self) -> None:
        """What the plan costs as it is set: another question than what the options answer."""
        plan, job = self._plan, self._job
        self._price.setVisible(plan is not None and job is not None)
        if plan is None or job is None:
            return
        of = account(job, plan, self._rates)
        self._price.setText(
            self.tr(
                "The plan as it is set now costs {price}. The options try every way this machine "
                "accepts, soles, seats, rods and tyres included, and may cost less or more; each "
                "has the price of its own plan."
            ).format(price=self._writer().money(of.cost))
        )

    # Acting.

    def _use(self, option: Option) -> None:
        if self._job is not None:
            self._taken = (self._asked_choices(self._job), option.choices)
            self._names.append((option.choices, option.reason))
            self.use_wanted.emit(option.choices)

    def _compare(self, option: Option) -> None:
        if self._job is not None:
            self.compare_wanted.emit(with_option(self._job, option.choices), option)
