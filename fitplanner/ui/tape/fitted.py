"""Owns what the readings say of the machine: misfits, corrected figures, the drop, what is next.

Refuses to change the job: it says that the user wants the measured machine.
"""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from fitplanner.planning.measured.account import Correction, Fit
from fitplanner.ui.tape.words import banded
from fitplanner.ui.widgets.bars import BarRow, BarRows
from fitplanner.ui.widgets.card import Card, Columns
from fitplanner.ui.widgets.figure_table import Column, FigureTable
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION, NOTE
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.text import Text, tip

_SIDE_BY_SIDE, _FIRST, _REMARKS = 1100, 8, 6


class FittedView(QWidget):
    """The cards below the readings before the work."""

    plan_wanted = Signal()
    """Plan on the measured machine, or fit it anew."""
    profile_wanted = Signal()
    """Go back to the machine as it was before its readings were worked in."""
    reading_wanted = Signal(object, object)
    """The `Place` and `MeasuredState` of a reading that is to be taken next."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._fit: Fit | None = None
        self._figures = Figures()
        self._all = False
        says = Card(self.tr("What the readings say"), parent=self)
        self.remarks = [Remark(says) for _ in range(_REMARKS)]
        for each in self.remarks:
            says.body.addWidget(each)
        self._quiet = Text(parent=says)
        self._drops = FigureTable(name=self.tr("Drop of the seat"))
        self.plan_button = QPushButton(says)
        self.back_button = QPushButton(self.tr("&Back to the figures before"), says)
        self.plan_button.setToolTip(
            tip(
                self.tr(
                    "Puts the corrected figures into this job and sets readings aside that do not "
                    "fit; one step of undo"
                )
            )
        )
        buttons = QHBoxLayout()
        for button in (self.plan_button, self.back_button):
            button.setAutoDefault(False)
            buttons.addWidget(button)
        buttons.addStretch(1)
        says.body.addWidget(self._quiet)
        says.body.addWidget(self._drops)
        says.body.addLayout(buttons)
        ahead = Card(self.tr("What to read next"), parent=self)
        self._next_note, self.next = Text(faint=True), BarRows(name=self.tr("What to read next"))
        ahead.body.addWidget(self._next_note)
        ahead.body.addWidget(self.next)
        figures = Card(self.tr("The machine's figures, before and after"), parent=self)
        self._note = Text(faint=True)
        self._table = FigureTable(name=self.tr("Corrected figures"))
        self.more_button = QPushButton(figures)
        self.more_button.setAutoDefault(False)
        more = QHBoxLayout()
        more.addWidget(self.more_button)
        more.addStretch(1)
        figures.body.addWidget(self._note)
        figures.body.addWidget(self._table)
        figures.body.addLayout(more)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(Columns(says, ahead, enough=_SIDE_BY_SIDE, parent=self))
        column.addWidget(figures)
        self.plan_button.clicked.connect(self.plan_wanted)
        self.back_button.clicked.connect(self.profile_wanted)
        self.more_button.clicked.connect(self._more)
        self.next.picked.connect(self._want_reading)

    def show_fit(self, fit: Fit, figures: Figures, *, worked_in: bool, anew: bool) -> None:
        """Show `fit`; `worked_in` where the plan rests on the measured machine already.

        `anew` where that machine does not know the readings as they are now.
        """
        self._fit, self._figures = fit, figures
        said = [(each, CAUTION) for each in fit.misfits]
        said += [(each, NOTE) for each in (fit.aside, *fit.told) if each]
        if anew:
            how = self.tr(
                "The plan rests on a measured machine that does not know the readings as they are "
                "now: fit it anew."
            )
            said.insert(0, (how, CAUTION))
        elif worked_in:
            how = self.tr(
                "The plan rests on the measured machine; what was corrected then is below. The "
                "button goes back to the figures before."
            )
            said.insert(0, (how, NOTE))
        for place, each in enumerate(self.remarks):
            words, meaning = said[place] if place < len(said) else ("", NOTE)
            each.show_text(figures.sentence(words), meaning)
        used = sum(each.used for each in fit.readings)
        self._quiet.setText(
            self.tr("All readings fit one machine.") if used and not fit.misfits else ""
        )
        self._quiet.setVisible(bool(self._quiet.text()) and not worked_in)
        self.plan_button.setText(
            self.tr("&Fit the machine anew") if anew else self.tr("&Plan on the measured machine")
        )
        self.plan_button.setVisible(anew or not worked_in)
        self.plan_button.setEnabled(anew or bool(fit.corrections))
        self.back_button.setVisible(worked_in)
        self._drops.show_rows(
            [
                Column(self.tr("Drop of the seat"), figures=False, stretch=1),
                Column(self.tr("By the profile")),
                Column(self.tr("By the readings")),
            ],
            [
                [each.label, banded(figures, each.before), banded(figures, each.after)]
                for each in fit.drops
            ],
        )
        self._show_next(fit, figures)
        self._show_corrections()

    def remark_texts(self) -> list[str]:
        """The sentences shown."""
        return [each.text() for each in self.remarks if each.text()]

    def corrections(self) -> list[list[str]]:
        """The table of figures as shown."""
        return self._table.texts()

    def drops(self) -> list[list[str]]:
        """The table of drops as shown."""
        return self._drops.texts()

    def next_texts(self) -> list[tuple[str, str]]:
        """What to read next, with what is left of the band."""
        return self.next.texts()

    def _show_next(self, fit: Fit, figures: Figures) -> None:
        if not fit.next_readings:
            self._next_note.setText(self.tr("No further reading would narrow the drop's band."))
        else:
            half = figures.text(fit.next_readings[0].half_mm, decimals=1)
            self._next_note.setText(
                self.tr(
                    "The drop, stopped, is known to ± {half}, nine times in ten. Each bar is what "
                    "is left of that after one careful reading."
                ).format(half=half)
            )
        self.next.show_rows(
            [
                BarRow(
                    f"{each.label}: {figures.sentence(each.act)}",
                    f"± {figures.text(each.left_mm, decimals=1)}",
                    0.0,
                    each.left_mm / each.half_mm,
                    hint=self.tr("Go to this reading"),
                    leads=True,
                )
                for each in fit.next_readings
            ]
        )

    def _want_reading(self, row: int) -> None:
        if self._fit is not None:
            wanted = self._fit.next_readings[row]
            self.reading_wanted.emit(wanted.place, wanted.state)

    def _show_corrections(self) -> None:
        fit, figures = self._fit, self._figures
        if fit is None:
            return
        ranked = sorted(fit.corrections, key=_weight, reverse=True)
        shown = ranked if self._all else ranked[:_FIRST]
        self._note.setText(
            self.tr("Bands hold nine times in ten. What moved or narrowed most comes first.")
            if ranked
            else self.tr("The readings correct no figure yet.")
        )
        self._table.setVisible(bool(ranked))
        self._table.show_rows(
            [
                Column(self.tr("Figure"), figures=False, stretch=1),
                Column(self.tr("Before")),
                Column(self.tr("After")),
            ],
            [
                [
                    each.label,
                    _written(figures, each, before=True),
                    _written(figures, each, before=False),
                ]
                for each in shown
            ],
        )
        self.more_button.setVisible(len(ranked) > _FIRST)
        words = self.tr("Show fewer") if self._all else self.tr("Show all {n}")
        self.more_button.setText(words.format(n=len(ranked)))

    def _more(self) -> None:
        self._all = not self._all
        self._show_corrections()


def _written(figures: Figures, each: Correction, *, before: bool) -> str:
    return banded(figures, each.before_band if before else each.after_band, each.kind)


def _weight(each: Correction) -> float:
    """How much of its spread a figure moved, or lost."""
    spread = each.before.spread or 1.0
    moved = abs(each.after.value - each.before.value) / spread
    return max(moved, 1.0 - each.after.spread / spread)
