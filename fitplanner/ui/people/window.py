"""Owns the window “Who reaches it?”: shares of women and men for one machine, stock and lowered.

It follows the job's rider for boots, gear and load. Refuses to compute: answers come from the
planning room, on a thread of their own.
"""

from collections.abc import Mapping

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.customers import Customers
from fitplanner.documents.job import Job
from fitplanner.documents.machine import INVENTED, MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.planning.people.crowd import GROUPS
from fitplanner.planning.people.setups import Sort
from fitplanner.planning.people.shares import Found, Question, Row
from fitplanner.quantities import UnitSystem
from fitplanner.report import people as say
from fitplanner.report.papers.write import Writer
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.people.asked import Asked
from fitplanner.ui.people.asking import Answer, PeopleAsker, Progress
from fitplanner.ui.people.drawing import chart_of, letters
from fitplanner.ui.people.needed import NeededCard
from fitplanner.ui.people.plot import PeoplePlot
from fitplanner.ui.people.table import PeopleTable, TableRow
from fitplanner.ui.people.taking import Taken, Taking
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.money import money_text
from fitplanner.ui.widgets.text import Text

_FIRST_SIZE, _LEAST_SIZE = QSize(1260, 770), QSize(1060, 600)
_STOCK = f"{Sort.STOCK.value}:0"


class PeopleWindow(QDialog):
    """One machine, its setups, and who of the customers reaches the ground."""

    customers_wanted = Signal()
    """The user wants to change the shop's figures of its customers."""

    def __init__(
        self,
        history: History,
        profiles: Mapping[str, MachineProfile],
        dialogs: Dialogs,
        parent: QWidget | None = None,
        asker: PeopleAsker | None = None,
    ) -> None:
        super().__init__(parent)
        self._history = history
        self._dialogs = dialogs
        self._system = UnitSystem.METRIC
        self._rates = Rates()
        self._customers = Customers()
        self._asked: Question | None = None
        self._found: Found | None = None
        self._picked = _STOCK
        self._drawn: dict[str, bool] = {}
        self.asker = asker or PeopleAsker(parent=self)
        self.setWindowTitle(self.tr("Who reaches it?"))
        self.setWindowFlag(Qt.WindowType.WindowMaximizeButtonHint)
        self.choices = Asked(profiles, self)
        self.choices.show_job(history.job)
        self.customers_button = QPushButton(self.tr("C&ustomers…"), self)
        self.notice = Text(parent=self)
        self.bar = QProgressBar(self)
        self.stop_button = QPushButton(self.tr("&Stop"), self)
        self.sentence = Text(scale=1.15, bold=True, parent=self)
        self.plot = PeoplePlot(self)
        self.table = PeopleTable(self)
        self.remark = Text(parent=self)
        self.own = Text(parent=self)
        self.needs = NeededCard(self)
        self.taking = Taking(dialogs, self)
        self._lay_out()
        self._connect()
        self.setMinimumSize(_LEAST_SIZE)
        self.resize(_FIRST_SIZE)
        self._show()

    # Building.

    def _lay_out(self) -> None:
        asked = QHBoxLayout()
        asked.addWidget(self.choices, 1)
        asked.addWidget(self.customers_button)
        self.bar.setRange(0, 100)
        self.bar.setTextVisible(False)
        self.bar.setFixedSize(140, 8)
        work = QHBoxLayout()
        work.addWidget(self.notice, 1)
        work.addWidget(self.bar)
        work.addWidget(self.stop_button)
        beside = QWidget(self)
        column = QVBoxLayout(beside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self.table, 1)
        column.addWidget(self.own)
        column.addWidget(self.remark)
        column.addWidget(self.needs)
        drawn = QWidget(self)
        under = QVBoxLayout(drawn)
        under.setContentsMargins(0, 0, 0, 0)
        under.addWidget(self.plot, 1)
        under.addWidget(
            Text(
                self.tr("{read} Tinted: what the machine's own figures leave open.").format(
                    read=say.PICTURE_WORDS
                ),
                faint=True,
                parent=self,
            )
        )
        halves = QSplitter(Qt.Orientation.Horizontal, self)
        halves.addWidget(drawn)
        halves.addWidget(beside)
        halves.setChildrenCollapsible(False)
        halves.setSizes([480, 780])
        halves.setStretchFactor(0, 2)
        halves.setStretchFactor(1, 3)
        close = QPushButton(self.tr("&Close"), self)
        close.clicked.connect(self.close)
        below = QGridLayout()
        below.addWidget(Text(say.SURVEY_WORDS, faint=True, parent=self), 0, 0)
        below.setColumnStretch(0, 1)
        buttons = (*self.taking.buttons, close)
        for at, button in enumerate(buttons, start=1):
            below.addWidget(button, 0, at, Qt.AlignmentFlag.AlignBottom)
        for button in (*buttons, self.stop_button, self.customers_button):
            button.setAutoDefault(False)
        whole = QVBoxLayout(self)
        whole.setSpacing(8)
        whole.addLayout(asked)
        whole.addWidget(self.sentence)
        whole.addLayout(work)
        whole.addWidget(halves, 1)
        whole.addLayout(below)

    def _connect(self) -> None:
        self.asker.told.connect(self._note)
        self.asker.answered.connect(self._take)
        self.choices.changed.connect(self._ask)
        self.table.picked.connect(self.pick)
        self.table.ticked.connect(self._tick)
        self.stop_button.clicked.connect(self._stop_or_go_on)
        self.customers_button.clicked.connect(self.customers_wanted)

    # What comes from outside.

    def show_job(self, job: Job) -> None:
        """Ask for the job's machine, boots and load, once the window can be seen."""
        self.choices.show_job(job)
        self._ask()

    def list_machines(self) -> None:
        """Offer the library as it is now."""
        self.choices.show_job(self._history.job)
        self._ask()

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        if system is not self._system:
            self._system = system
            self._show()

    def set_rates(self, rates: Rates) -> None:
        """Price with other figures of the shop."""
        self._rates = rates
        self._ask()

    def set_customers(self, customers: Customers) -> None:
        """Ask of other customers."""
        self._customers = customers
        self._ask()

    def shut(self) -> None:
        """End the thread; the window is not used again."""
        self.asker.close()

    def found(self) -> Found | None:
        """The answer shown."""
        return self._found

    def pick(self, key: str) -> None:
        """Compare the setup with this key with the stock machine."""
        if key != self._picked:
            self._picked = key
            self._show_picked()

    # Asking.

    def _ask(self) -> None:
        if not self.isVisible():
            return
        question = self.choices.question(self._history.job, self._customers, self._rates)
        if question != self._asked:
            self._asked = question
            self.asker.ask(question)
            # What was answered before belongs to another question.
            self._found = None
            self._show()
            self._busy(0.0)

    def _busy(self, share: float) -> None:
        words = self.tr("Seating the customers…")
        if self._found is not None and self._found.question == self._asked:
            words = self.tr("Looking for options…")
        self.notice.setText(words)
        self.bar.setValue(round(100 * share))
        self._show_busy()

    def _show_busy(self) -> None:
        busy = self.asker.busy
        stopped = not busy and self._found is not None and not self._found.complete
        self.bar.setVisible(busy)
        self.stop_button.setText(self.tr("&Go on") if stopped else self.tr("&Stop"))
        self.stop_button.setVisible(busy or stopped)

    def _stop_or_go_on(self) -> None:
        if self.asker.busy:
            self.asker.stop()
        else:
            self._ask()

    def _note(self, progress: Progress) -> None:
        if progress.found is not None:
            self._found = progress.found
            self._show()
        self._busy(progress.share)

    def _take(self, answer: Answer) -> None:
        self._found = answer.found
        if answer.problem:
            self.notice.setText(answer.problem)
        elif answer.fault is not None:
            self.notice.setText(
                self.tr(
                    "The shares could not be worked out because of a fault in the program: {why}. "
                    "It was written to the log."
                ).format(why=answer.fault)
            )
        elif answer.found is not None:
            self.notice.setText(say.options_note(answer.found))
            if not answer.found.complete:
                # Asked again, it begins anew.
                self._asked = None
        self._show()

    # Showing.

    def _figures(self) -> Figures:
        return Figures.of(self._system, self.locale())

    def _writer(self) -> Writer:
        return Writer(
            self._system,
            lambda amount: money_text(amount, self.locale(), self._rates.currency),
            self._figures().decimal_mark,
        )

    def _row(self) -> Row | None:
        rows = () if self._found is None else self._found.rows
        return next((row for row in rows if row.candidate.key == self._picked), None)

    def _ticked(self, row: Row) -> bool:
        return self._drawn.get(row.candidate.key, row.candidate.sort is not Sort.WAY)

    def _tick(self, key: str, on: bool) -> None:
        self._drawn[key] = on
        self._show_picked()

    def _show(self) -> None:
        self._show_busy()
        found, write = self._found, self._writer()
        if found is not None and found.rows and self._row() is None:
            self._picked = found.rows[0].candidate.key
        rows = [] if found is None else [self._table_row(row, found, write) for row in found.rows]
        self.table.show_rows(self._heads(found), rows, self._picked)
        self.needs.show_rows([] if found is None else say.needed_rows(found, write))
        self._show_picked()

    def _heads(self, found: Found | None) -> list[tuple[str, str]]:
        """Headings of the figures, each with what it means."""
        seat = "" if found is None else say.seat_hint(found, self._writer())
        share = self.tr("Who reaches; in brackets what the machine's figures leave open")
        return [
            (self._figures().headed(self.tr("Seat,\nstopped")), seat),
            (self.tr("Women\nof 100"), share),
            (self.tr("Men\nof 100"), share),
            (self.tr("All\nof 100"), say.mix_hint(self._customers)),
            (self.tr("Price"), self.tr("Work and parts of the setup, once")),
        ]

    def _table_row(self, row: Row, found: Found, write: Writer) -> TableRow:
        words = say.described(row, found.question.machine, write)
        if row.stop:
            words = f"{words}\n{say.BREAKS}"
        return TableRow(
            key=row.candidate.key,
            letter=letters(found)[row.candidate.key],
            words=words,
            figures=[
                self._figures().bare(row.seat_mm),
                *(say.hundred(row.shares[group]) for group in GROUPS),
                say.hundred(row.all),
                write.money(row.price),
            ],
            hint=". ".join(filter(None, (row.candidate.reason, say.stop_note(row, write)))),
            ticked=self._ticked(row),
        )

    def _show_picked(self) -> None:
        found, row = self._found, self._row()
        if found is None or row is None:
            self.sentence.setText("")
            self.remark.setText("")
            self.own.setText("")
            self.plot.show_chart(None, self._figures())
            self.taking.show(None)
            return
        self.sentence.setText(say.told(found, row))
        lines = [row.candidate.reason, say.stop_note(row, self._writer())]
        if found.question.machine.invented:
            lines.append(INVENTED)
        self.remark.setText(" ".join(f"{each.rstrip('.')}." for each in lines if each))
        self.own.setText(say.own_words(row, self._writer()))
        ticked = [each.candidate.key for each in found.rows if self._ticked(each)]
        rider = self._history.job.rider
        chart = chart_of(found, ticked, self._picked, rider, self._figures())
        self.plot.show_chart(chart, self._figures())
        self.taking.show(
            Taken(found, row, chart, self.plot.picture, self._writer(), self._figures())
        )

    def showEvent(self, event: QShowEvent) -> None:
        """Work out what has changed while nobody looked."""
        super().showEvent(event)
        self._ask()

    def hideEvent(self, event: QHideEvent) -> None:
        """Nobody waits for an answer any more."""
        super().hideEvent(event)
        if self.asker.busy:
            self.asker.forget()
            self._asked = None
            self._show_busy()

    def changeEvent(self, event: QEvent) -> None:
        """Figures follow the locale."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.LocaleChange and hasattr(self, "taking"):
            self._show()
