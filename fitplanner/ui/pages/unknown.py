"""Owns the page of what is not known: bands, how likely the checks hold, what to measure next.

The account is worked out on a thread of its own, only while the page is looked at; until it is
there the page says so, and an account of an older plan is shown faint. Refuses new figures.
"""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from PySide6.QtWidgets import QVBoxLayout, QWidget

from fitplanner.documents.job import Job
from fitplanner.planning.plan import Band, Plan, Severity
from fitplanner.planning.unknown.account import Chance, KnownBand, Measure, Unknown
from fitplanner.quantities import Kind, UnitSystem, of_100
from fitplanner.ui import texts
from fitplanner.ui.newest import Newest
from fitplanner.ui.pages.page import Page
from fitplanner.ui.widgets.bars import BarRow, BarRows
from fitplanner.ui.widgets.card import Card, Columns
from fitplanner.ui.widgets.figure_table import Cell, Column, FigureTable
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.text import Text

log = logging.getLogger(__name__)

_SIDE_BY_SIDE = 1100
_LEAST_SHARE = 0.005

Account = Callable[[Job, Plan], Unknown]


@dataclass(frozen=True)
class Question:
    """Of which job and plan the account is wanted."""

    job: Job
    plan: Plan


@dataclass(frozen=True)
class Told:
    """The account, or why there is none: no machine, or a fault of the program."""

    unknown: Unknown | None = None
    problem: str = ""
    fault: str = ""


def _told(question: object, account: Account | None) -> Told:
    """Work the account out; whatever happens is an answer."""
    assert isinstance(question, Question)
    # Imported with the first question, so that the window does not wait for it.
    from fitplanner.planning.evaluate import UnsolvableError
    from fitplanner.planning.unknown.engine import unknown

    try:
        return Told((account or unknown)(question.job, question.plan))
    except UnsolvableError as error:
        return Told(problem=str(error))
    except Exception as error:
        log.exception("the account of the unknown could not be worked out")
        return Told(fault=f"{type(error).__name__}: {error}")


class UnknownPage(Page):
    """What the plan rests on, and how firmly."""

    def __init__(self, parent: QWidget | None = None, account: Account | None = None) -> None:
        super().__init__(parent)
        self._job: Job | None = None
        self._asked: Plan | None = None
        self._answer: Told | None = None
        self.worker = Newest(partial(_told, account=account), "unknown", self)
        self.worker.answered.connect(self._take)
        self._state = Text(faint=True)
        self._body = QWidget()
        self._body.hide()
        self._bands_note, self._bands = Text(faint=True), BarRows(name=self.tr("Bands"))
        self._chances_note = Text(faint=True)
        self._chances = BarRows(name=self.tr("How likely the checks hold"))
        self._surely = Text(faint=True)
        self._next_note, self._next = Text(), BarRows(name=self.tr("What to measure next"))
        self._shares_note = Text(faint=True)
        self._shares = FigureTable(name=self.tr("Shares of what is not known"))
        self._assumed_note = Text(faint=True)
        self._assumed = FigureTable(name=self.tr("Assumed figures"))
        self._lay_out_cards()

    def _lay_out_cards(self) -> None:
        cards = []
        for title, parts in (
            (self.tr("What to measure next"), (self._next_note, self._next)),
            (
                self.tr("How likely the checks hold"),
                (self._chances_note, self._chances, self._surely),
            ),
            (self.tr("How sure the plan's figures are"), (self._bands_note, self._bands)),
            (self.tr("What the uncertainty comes from"), (self._shares_note, self._shares)),
            (self.tr("Assumed, not read anywhere"), (self._assumed_note, self._assumed)),
        ):
            card = Card(title)
            for part in parts:
                card.body.addWidget(part)
            cards.append(card)
        column = self.column
        column.addWidget(self._state)
        column.addWidget(self._body)
        inner = QVBoxLayout(self._body)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(column.spacing())
        inner.addWidget(Columns(cards[0], cards[1], enough=_SIDE_BY_SIDE))
        inner.addWidget(Columns(cards[2], cards[3], enough=_SIDE_BY_SIDE))
        inner.addWidget(cards[4])

    def show_job(self, job: Job) -> None:
        """Take the job whose plan is shown next."""
        self._job = job

    def close_work(self) -> None:
        """End the thread."""
        self.worker.close()

    def state(self) -> str:
        """What the page says of its own work; "" where all is there."""
        return "" if self._state.isHidden() else self._state.text()

    def render_plan(self, plan: Plan) -> None:
        """Show the account of `plan`, or have it worked out."""
        if self._asked is plan:
            self._show()
        elif self._job is not None:
            self._asked, self._answer = plan, None
            self.worker.ask(Question(self._job, plan))
            self._show_state(self.tr("Working it out …"))

    def _take(self, question: Question, answer: Told) -> None:
        if question.plan is self._asked:
            self._answer = answer
            self._show()

    def _show_state(self, words: str) -> None:
        self._state.setText(words)
        self._state.setVisible(bool(words))
        self._body.setEnabled(not words)

    def _show(self) -> None:
        answer = self._answer
        if answer is None:
            return
        if answer.unknown is None:
            if answer.fault:
                what = self.tr("This could not be worked out because of a fault in the program:")
            else:
                what = self.tr(
                    "With its figures as far off as they may be, no machine comes about:"
                )
            self._show_state(f"{what} {answer.fault or answer.problem}")
            self._body.hide()
            return
        self._show_state("")
        self._body.show()
        found, figures = answer.unknown, self.figures()
        self._show_next(found, figures)
        self._show_chances(found)
        self._show_bands(found, figures)
        self._show_shares(found, figures)
        self._show_assumed(found, figures)

    def _show_next(self, found: Unknown, figures: Figures) -> None:
        half, left = (
            _half(value, figures) for value in (found.footing_half_mm, found.half_with_all_mm)
        )
        if not found.measure_next:
            words = self.tr(
                "The footing is known to {half}, nine times in ten; no single careful reading "
                "would narrow that."
            )
        else:
            words = self.tr(
                "The footing is known to {half}, nine times in ten. Each bar is what is left of "
                "that after one careful reading; all of it done, {left} is left."
            )
        self._next_note.setText(words.format(half=half, left=left))
        self._next.show_rows(
            [
                BarRow(
                    _act_words(act, figures),
                    _half(act.left_mm, figures),
                    0.0,
                    act.left_mm / act.half_mm,
                    hint=self.tr("Known to {now}, by a careful reading to {careful}").format(
                        now=_give_or_take(act.spread, figures, act.kind),
                        careful=_give_or_take(act.careful, figures, act.kind),
                    ),
                )
                for act in found.measure_next
            ]
        )

    def _show_chances(self, found: Unknown) -> None:
        self._chances_note.setText(
            self.tr("Out of 100 machines and riders that fit what is known, the plan unchanged.")
        )
        open_ones = [each for each in found.chances if each.chance is not None and not each.certain]
        shown = sorted(
            (each for each in open_ones if _of_100(each) < 100), key=lambda each: each.chance or 0.0
        )
        self._chances.show_rows(
            [
                BarRow(
                    each.title,
                    self.tr("{n} of 100").format(n=_of_100(each)),
                    0.0,
                    each.chance or 0.0,
                    _role(each),
                    hint=self.tr("Holds in {n} of 100 cases").format(n=_of_100(each)),
                )
                for each in shown
            ]
        )
        self._surely.setText("\n".join(_others(found, len(open_ones) - len(shown))))

    def _show_bands(self, found: Unknown, figures: Figures) -> None:
        note = self.tr(
            "Nine of ten of {n} machines lie between both figures; all bars have one scale. "
            "{unsure} figures are not known exactly."
        ).format(n=found.samples - found.left_out, unsure=found.unsure)
        if found.left_out:
            note += " " + self.tr(
                "{n} more were drawn that could not stand and are left out: the spreads are wide."
            ).format(n=found.left_out)
        self._bands_note.setText(note)
        reach = max((max(b.high - b.value, b.value - b.low) for b in _planned(found)), default=1.0)
        full = 2.1 * max(reach, 1.0)
        self._bands.show_rows([_band_row(each, figures, full) for each in found.bands])

    def _show_shares(self, found: Unknown, figures: Figures) -> None:
        self._shares_note.setText(
            self.tr("How much of the doubt in two figures comes from each unknown.")
        )
        rows: list[list[Cell | str]] = [
            [
                Cell(
                    share.label,
                    faint=share.address is None,
                    hint=self.tr("Alone {alone} of the footing's").format(
                        alone=figures.text(share.footing_first, Kind.PERCENT)
                    ),
                ),
                figures.text(share.footing_total, Kind.PERCENT),
                figures.text(share.seat_total, Kind.PERCENT),
            ]
            for share in found.shares
            if share.address is None or max(share.footing_total, share.seat_total) >= _LEAST_SHARE
        ]
        self._shares.show_rows(
            [
                Column(figures=False, stretch=1),
                Column(self.tr("Footing")),
                Column(self.tr("Seat on its wheels"), least=90),
            ],
            rows,
        )

    def _show_assumed(self, found: Unknown, figures: Figures) -> None:
        self._assumed_note.setText(
            self.tr("Filled in by a rule or by habit. What is read off the machine replaces it.")
            if found.assumed
            else self.tr("Nothing.")
        )
        self._assumed.setVisible(bool(found.assumed))
        self._assumed.show_rows(
            [
                Column(self.tr("Figure"), figures=False, stretch=2),
                Column(self.tr("Assumed")),
                Column(self.tr("Give or take")),
                Column(self.tr("By which rule"), figures=False, stretch=3),
            ],
            [
                [
                    each.label,
                    figures.text(each.value, each.kind, decimals=_decimals(each.kind)),
                    _give_or_take(each.spread, figures, each.kind) if each.spread else "–",
                    Cell(figures.sentence(each.rule), faint=True),
                ]
                for each in found.assumed
            ],
        )


def _decimals(kind: Kind) -> int | None:
    """Shares of a few per cent need a digit more."""
    return 1 if kind is Kind.PERCENT else None


def _half(value_mm: float, figures: Figures) -> str:
    """Half a band; tenths of a millimetre tell one reading's worth from another's."""
    decimals = None if figures.system is UnitSystem.INCH else 1
    return f"±\N{NO-BREAK SPACE}{figures.text(value_mm, decimals=decimals)}"


def _give_or_take(value: float, figures: Figures, kind: Kind) -> str:
    return f"±\N{NO-BREAK SPACE}{figures.text(value, kind, decimals=_decimals(kind))}"


def _planned(found: Unknown) -> list[Band]:
    return [each.planned for each in found.bands]


def _act_words(act: Measure, figures: Figures) -> str:
    words = f"{act.label}: {texts.lower_first(figures.sentence(act.act))}."
    words += f" {act.worth}." if act.worth else ""
    if act.expected is None:
        return words
    expected = f"{figures.text(act.expected.value)} ({_range(act.expected, figures)})"
    return f"{words} Expected: {expected}."


def _of_100(chance: Chance) -> int:
    return of_100(chance.chance or 0.0)


def _role(chance: Chance) -> str:
    if chance.severity is Severity.NOTE or _of_100(chance) >= 90:
        return "note"
    return "stop" if chance.severity is Severity.STOP else "caution"


def _others(found: Unknown, always: int) -> list[str]:
    certain = [each for each in found.chances if each.certain]
    lines = []
    if always:
        lines.append(f"{always} more hold in all cases.")
    if certain:
        lines.append(f"{len(certain)} do not hang on any uncertain figure.")
    left = [each.title for each in found.chances if each.chance is None]
    if left:
        lines.append(f"Not followed: {', '.join(texts.lower_first(title) for title in left)}.")
    return lines


def _band_row(known: KnownBand, figures: Figures, full: float) -> BarRow:
    band, stock = known.planned, known.stock
    hint = ""
    if stock is not None:
        hint = f"Stock {figures.text(stock.value)} ({_range(stock, figures)})"
    return BarRow(
        known.label,
        f"{figures.text(band.value)} ({_range(band, figures)})".replace(" ", "\N{NO-BREAK SPACE}"),
        0.5 + (band.low - band.value) / full,
        0.5 + (band.high - band.value) / full,
        hint=hint,
    )


def _range(band: Band, figures: Figures) -> str:
    return f"{figures.bare(band.low)} to {figures.bare(band.high)}"
