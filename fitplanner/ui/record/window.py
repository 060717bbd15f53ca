"""Owns the window of the record: every closed job's prediction against its tape, bias and spread,
the worst misses, and what the shop learned of each way.

Refuses to change any plan: what was learned is shown, and its sentence can be copied.
"""

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QCloseEvent, QGuiApplication, QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from fitplanner.planning.measured.history import Past, PastJob, WayShare
from fitplanner.planning.plan import Band
from fitplanner.planning.rider import NORMAL_90
from fitplanner.quantities import Kind, UnitSystem, to_display
from fitplanner.ui import texts
from fitplanner.ui.record.plot import Point, RecordPlot
from fitplanner.ui.record.reading import Answer, Jobs, Progress, Reader
from fitplanner.ui.tape.words import banded, fine
from fitplanner.ui.widgets.band_bars import BandBars, BandRow
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.text import Text

_FIRST_SIZE, _LEAST_SIZE = QSize(1200, 760), QSize(960, 560)
_ROW = Qt.ItemDataRole.UserRole


class RecordWindow(QDialog):
    """The record; it reads the jobs when it is shown, and again on request."""

    def __init__(
        self, jobs: Jobs, parent: QWidget | None = None, reader: Reader | None = None
    ) -> None:
        super().__init__(parent)
        self._system = UnitSystem.METRIC
        self._answer: Answer | None = None
        self._row = -1
        self.reader = reader or Reader(jobs, parent=self)
        self.setWindowTitle(self.tr("Record: predicted and delivered"))
        self.setWindowFlag(Qt.WindowType.WindowMaximizeButtonHint)
        self.notice = Text(parent=self)
        self.bar = QProgressBar(self)
        self.bar.setRange(0, 0)
        self.bar.setTextVisible(False)
        self.bar.setFixedHeight(8)
        self.cancel_button = QPushButton(self.tr("&Stop"), self)
        self.again_button = QPushButton(self.tr("&Read again"), self)
        self.plot = RecordPlot(self)
        self.summary = Text(parent=self)
        self.details = Text(parent=self)
        self.worst = QListWidget(self)
        self.ways = BandBars(name=self.tr("Delivered share of the nominal amount"))
        self._ways_note = Text(faint=True, parent=self)
        self.factors = QListWidget(self)
        self.copy_button = QPushButton(self.tr("&Copy the sentence"), self)
        self.left_out = Text(faint=True, parent=self)
        self._lay_out()
        self.reader.answered.connect(self._take)
        self.reader.told.connect(self._note)
        self.plot.picked.connect(self.pick)
        self.worst.itemActivated.connect(self._miss_chosen)
        self.worst.itemClicked.connect(self._miss_chosen)
        self.factors.currentRowChanged.connect(self._show_buttons)
        self.copy_button.clicked.connect(self._copy)
        self.cancel_button.clicked.connect(self.reader.stop)
        self.again_button.clicked.connect(self.read)
        self.setMinimumSize(_LEAST_SIZE)
        self.resize(_FIRST_SIZE)
        self._show()

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.notice, 1)
        top.addWidget(self.bar)
        top.addWidget(self.cancel_button)
        top.addWidget(self.again_button)
        self.bar.setFixedWidth(140)
        drops = QVBoxLayout()
        drops.addWidget(Text(self.tr("The seat's drop on its wheels"), bold=True, scale=1.1))
        drops.addWidget(self.summary)
        drops.addWidget(self.plot, 1)
        drops.addWidget(
            Text(
                self.tr(
                    "Dashed: both agree. Tinted: nine jobs in ten, by those so far. Lines across: "
                    "what was predicted. Triangle: outside it."
                ),
                faint=True,
            )
        )
        picked = Card(self.tr("The job picked"), parent=self)
        picked.body.addWidget(self.details)
        self.details.setMinimumHeight(3 * self.fontMetrics().lineSpacing())
        worst = Card(self.tr("The worst misses"), parent=self)
        worst.body.addWidget(self.worst)
        ways = Card(self.tr("What the tape showed of each way"), parent=self)
        ways.body.addWidget(self._ways_note)
        ways.body.addWidget(self.ways)
        factors = Card(self.tr("What was learned, for the next quote"), parent=self)
        self._factors_note = Text(
            self.tr(
                "A plan uses it only where somebody asks for it, under “Why”. Any sentence can be "
                "copied; quote by the share of the nominal amount."
            ),
            faint=True,
        )
        factors.body.addWidget(self._factors_note)
        factors.body.addWidget(self.factors)
        row = QHBoxLayout()
        row.addWidget(self.copy_button)
        row.addStretch(1)
        factors.body.addLayout(row)
        for rows in (self.worst, self.factors):
            rows.setWordWrap(True)
            rows.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.worst.setAccessibleName(self.tr("The worst misses"))
        self.factors.setAccessibleName(self.tr("What was learned"))
        self.worst.setFixedHeight(5 * (self.fontMetrics().lineSpacing() + 4) + 6)
        self.factors.setMinimumHeight(110)
        beside = QWidget(self)
        column = QVBoxLayout(beside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        for card in (picked, worst, ways, factors):
            column.addWidget(card)
        column.addWidget(self.left_out)
        column.addStretch(1)
        scroll = QScrollArea(self)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(beside)
        both = QHBoxLayout()
        both.setSpacing(10)
        both.addLayout(drops, 1)
        both.addWidget(scroll, 1)
        close = QPushButton(self.tr("C&lose"), self)
        close.clicked.connect(self.close)
        below = QHBoxLayout()
        below.addStretch(1)
        below.addWidget(close)
        for button in (self.cancel_button, self.again_button, self.copy_button, close):
            button.setAutoDefault(False)
        whole = QVBoxLayout(self)
        whole.setSpacing(10)
        whole.addLayout(top)
        whole.addLayout(both, 1)
        whole.addLayout(below)

    # What comes from outside.

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        if system is not self._system:
            self._system = system
            self._show()

    def read(self) -> None:
        """Work through the jobs, those already known at little cost."""
        self._busy(self.tr("Reading the jobs …"))
        self.reader.read()

    def past(self) -> Past | None:
        """The record shown."""
        return None if self._answer is None else self._answer.past

    def pick(self, row: int) -> None:
        """Show one job by its row."""
        self._row = row
        self.plot.ring(row)
        self._show_details()

    def shut(self) -> None:
        """End the thread; the window is not used again."""
        self.reader.close()

    # Showing.

    def _figures(self) -> Figures:
        return Figures.of(self._system, self.locale())

    def _busy(self, words: str) -> None:
        self.notice.setText(words)
        self.bar.setVisible(True)
        self.cancel_button.setVisible(True)
        self.again_button.setVisible(False)

    def _note(self, progress: Progress) -> None:
        self._busy(
            self.tr("Looked through {seen} jobs, {counted} of them closed and read …").format(
                seen=progress.seen, counted=progress.counted
            )
        )

    def _take(self, answer: Answer) -> None:
        self._answer = answer
        count = len(answer.past.jobs)
        if answer.problem:
            words = self.tr("The jobs could not be read: {why}").format(why=answer.problem)
        elif answer.cancelled:
            words = self.tr("Stopped after {n} closed jobs; the record is not whole.").format(
                n=count
            )
        elif count:
            words = self.tr("{n} closed jobs that were read before and after.").format(n=count)
        else:
            words = self.tr(
                "No closed job yet: a job counts once it is measured or handed over, with the "
                "seat read on its wheels before and after the work."
            )
        self.notice.setText(words)
        self._row = 0 if count else -1
        self._show()

    def _show(self) -> None:
        busy = self.reader.busy
        for part in (self.bar, self.cancel_button):
            part.setVisible(busy)
        self.again_button.setVisible(not busy)
        figures, past = self._figures(), self.past()
        jobs = () if past is None else past.jobs
        self.summary.setText("" if past is None else figures.sentence(past.record.told))
        self._show_plot(past, figures)
        self._show_worst(past, figures)
        self._show_ways(past, figures)
        self._show_details()
        out = () if self._answer is None else self._answer.left_out
        self.left_out.setText(
            self.tr("Left out: {jobs}").format(jobs="; ".join(out)) if out else ""
        )
        self.left_out.setVisible(bool(out))
        self.plot.setEnabled(bool(jobs))
        self._show_buttons()

    def _show_plot(self, past: Past | None, figures: Figures) -> None:
        def shown(value_mm: float) -> float:
            return to_display(value_mm, Kind.LENGTH, self._system)

        jobs = () if past is None else past.jobs
        bias = 0.0 if past is None else past.record.bias_mm or 0.0
        spread = 0.0 if past is None else past.record.spread_mm or 0.0
        self.plot.show_points(
            [
                Point(
                    shown(each.drop.predicted.value),
                    shown(each.drop.predicted.low),
                    shown(each.drop.predicted.high),
                    shown(each.drop.delivered.value),
                    each.drop.inside is not False,
                )
                for each in jobs
            ],
            shown(bias),
            shown(NORMAL_90 * spread),
            self._row,
        )
        self.plot.name_axes(
            figures.headed(self.tr("Predicted")),
            figures.headed(self.tr("Delivered")),
            figures.decimal_mark,
        )

    def _show_worst(self, past: Past | None, figures: Figures) -> None:
        self.worst.clear()
        if past is None:
            return
        for miss in past.record.worst:
            words = self.tr("{reference}: {off} against {predicted} predicted").format(
                reference=miss.reference or self.tr("no reference"),
                off=fine(figures, miss.off_mm, Kind.LENGTH, signed=True),
                predicted=fine(figures, miss.predicted_mm, Kind.LENGTH),
            )
            item = QListWidgetItem(words)
            row = next(
                (
                    row
                    for row, each in enumerate(past.jobs)
                    if (each.closed.reference, each.closed.delivered_mm)
                    == (miss.reference, miss.delivered_mm)
                ),
                -1,
            )
            item.setData(_ROW, row)
            self.worst.addItem(item)

    def _show_ways(self, past: Past | None, figures: Figures) -> None:
        ways = () if past is None else past.ways
        self._ways_note.setText(
            self.tr(
                "Shares of the nominal amount: what comes down at the seat, on its wheels, of the "
                "sizes on the parts. Line: by physics alone. Diamond: with what the tape showed of "
                "this way at this shop, and its band. Behind it: from how many jobs."
            )
            if ways
            else self.tr("Nothing learned yet.")
        )
        self.ways.show_rows([_way_row(each, figures) for each in ways])
        self.factors.clear()
        for each in ways:
            head = f"{texts.label(each.kind)}. {figures.sentence(each.told)}"
            self.factors.addItem(head)
        self.factors.setVisible(bool(ways))

    def _show_details(self) -> None:
        past = self.past()
        if past is None or not 0 <= self._row < len(past.jobs):
            self.details.setText(self.tr("Click a point of the plot."))
            return
        self.details.setText(self._job_words(past.jobs[self._row], self._figures()))

    def _job_words(self, each: PastJob, figures: Figures) -> str:
        drop = each.drop
        head = " · ".join(
            part for part in (each.closed.reference, each.title, each.machine, each.rider) if part
        )
        verdict = self.tr("inside") if drop.inside is not False else self.tr("outside")
        return self.tr(
            "{head}\nPredicted {predicted}, delivered {delivered}: {verdict}. Planned {planned}."
        ).format(
            head=head,
            predicted=banded(figures, drop.predicted),
            delivered=banded(figures, drop.delivered),
            verdict=verdict,
            planned=fine(figures, drop.planned_mm, Kind.LENGTH),
        )

    def _miss_chosen(self, item: QListWidgetItem) -> None:
        self.pick(item.data(_ROW))

    def _show_buttons(self) -> None:
        self.copy_button.setEnabled(self.factors.currentRow() >= 0)

    def _copy(self) -> None:
        item = self.factors.currentItem()
        if item is not None:
            QGuiApplication.clipboard().setText(item.text())

    def showEvent(self, event: QShowEvent) -> None:
        """Read what was closed while nobody looked."""
        super().showEvent(event)
        if not event.spontaneous():
            self.read()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Nobody waits for an answer any more."""
        self.reader.stop()
        super().closeEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Figures follow the locale."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.LocaleChange and hasattr(self, "left_out"):
            self._show()


def _way_row(each: WayShare, figures: Figures) -> BandRow:
    def percent(value: float) -> str:
        return figures.text(value, Kind.PERCENT)

    line = Band(each.physics, each.physics, each.physics)
    count = each.learned.count
    return BandRow(
        words=f"{texts.label(each.way)}, {texts.label(each.kind)}",
        predicted=line,
        delivered=each.shown,
        inside=None,
        figures=f"{percent(each.physics)} → {percent(each.shown.value)}",
        verdict=f"({count})",
        hint=figures.sentence(each.told),
    )
