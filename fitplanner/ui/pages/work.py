"""Owns the page of work: what to fit and what it costs, what changes with it, and the cautions.

Refuses instructions for the work itself: the maker's book has those.
"""

from collections.abc import Iterable, Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from fitplanner.documents.bench import Quote
from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.plan import Caution, Consequence, Plan, SpringPlan, WayAmount
from fitplanner.quantities import Kind
from fitplanner.ui import texts
from fitplanner.ui.pages.page import Page
from fitplanner.ui.pages.price import PriceCard
from fitplanner.ui.widgets.card import GAP, Card, Columns
from fitplanner.ui.widgets.caution_line import CautionLine
from fitplanner.ui.widgets.figure_table import Cell, Column, FigureTable
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION
from fitplanner.ui.widgets.text import Text

_SIDE_BY_SIDE = 1250
_LEAST_MM = 0.05
_FIGURE_WIDTH = 76
STAND_LENGTH = "Stand length, pivot to foot"
# Places of cautions that are no topic's name.
_BEFORE, _WAYS, _AFTER = "\0before", "\0ways", "\0after"


class WorkPage(Page):
    """What to fit on top, then one card for each topic."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._fit = _TableCard(self.tr("What to fit"))
        self._unused = Text(faint=True)
        self._fit.body.addWidget(self._unused)
        self._job: Job | None = None
        self._rates = Rates()
        self._quote: Quote | None = None
        self.price = PriceCard()
        self._before = _TableCard(self.tr("Before the work"))
        self._after = _TableCard(self.tr("Before it goes out again"))
        for card in (self._before, self._after):
            card.set_tone(CAUTION)
            card.table.hide()
        self._halves = (QVBoxLayout(), QVBoxLayout())
        sides = []
        for half in self._halves:
            side = QWidget()
            side.setLayout(half)
            half.setContentsMargins(0, 0, 0, 0)
            half.setSpacing(GAP)
            sides.append(side)
        self.column.addWidget(self._before)
        self.column.addWidget(self._fit)
        self.column.addWidget(self.price)
        self.column.addWidget(Columns(*sides, enough=_SIDE_BY_SIDE))
        self.column.addWidget(self._after)
        self._topics: dict[str, _TableCard] = {}

    def topics(self) -> dict[str, FigureTable]:
        """The tables by topic, in the plan's order."""
        return {topic: card.table for topic, card in self._topics.items()}

    def ways(self) -> FigureTable:
        """The table of what to fit."""
        return self._fit.table

    def caution_texts(self) -> list[tuple[str, str]]:
        """Card's title and text of each caution shown."""
        cards = (self._before, self._fit, *self._topics.values(), self._after)
        return [(card.title(), text) for card in cards for text in card.cautions()]

    def show_job(self, job: Job) -> None:
        """Take the job whose plan is shown next."""
        self._job = job

    def show_quote(self, quote: Quote | None) -> None:
        """Take what was agreed with the rider."""
        if quote != self._quote:
            self._quote = quote
            self._refresh()

    def set_rates(self, rates: Rates) -> None:
        """Take the shop's own rate and currency."""
        self._rates = rates
        self._refresh()

    def render_plan(self, plan: Plan) -> None:
        """Show ways, price, topics and cautions."""
        # Loaded with the first plan, so that the window does not wait for it.
        from fitplanner.planning.account import account

        figures = self.figures()
        self.price.setVisible(self._job is not None)
        if self._job is not None:
            of = account(self._job, plan, self._rates)
            self.price.show_account(of, self._rates, self.locale(), self._quote)
        topics: dict[str, list[Consequence]] = {}
        for each in plan.consequences:
            topics.setdefault(each.topic, []).append(each)
        at = _placed(plan, topics)
        self._show_ways(plan, at.pop(_WAYS, []), figures)
        for place, card in ((_BEFORE, self._before), (_AFTER, self._after)):
            cautions = at.pop(place, [])
            card.show_cautions(cautions, figures)
            card.setVisible(bool(cautions))
        if list(topics) != list(self._topics):
            self._rebuild(topics)
        for topic, rows in topics.items():
            card = self._topics[topic]
            card.table.show_rows(
                [
                    Column(figures=False, stretch=5),
                    Column(self.tr("Stock"), least=_FIGURE_WIDTH),
                    Column(self.tr("Planned"), least=_FIGURE_WIDTH),
                    Column(figures=False, stretch=6),
                ],
                [_row(row, figures) for row in rows],
            )
            card.show_cautions(at.get(topic, ()), figures)

    def _show_ways(self, plan: Plan, cautions: Sequence[Caution], figures: Figures) -> None:
        used = [way for way in plan.ways if abs(way.amount_mm) >= _LEAST_MM]
        self._fit.table.show_rows(
            [
                Column(figures=False, stretch=4),
                Column(
                    self.tr("Amount"), stretch=1, hint=self.tr("As marked on the part, or as set")
                ),
                Column(self.tr("At the axle"), stretch=1, hint=self.tr("How far the axle moves")),
                Column(
                    self.tr("At the seat"),
                    stretch=1,
                    hint=self.tr("How far this way alone moves the seat"),
                ),
                Column(self.tr("Chosen"), figures=False, least=84),
                Column(figures=False, stretch=5),
            ],
            [
                *(self._way_row(way, figures) for way in used),
                *(self._spring_row(spring, figures) for spring in plan.springs.values()),
                *self._stand_rows(plan, figures),
            ],
        )
        idle = [way.label for way in plan.ways if way.offered and way not in used]
        absent = [way.label for way in plan.ways if not way.offered and way not in used]
        lines = []
        if idle:
            lines.append(self.tr("Not used: {ways}.").format(ways="; ".join(idle)))
        if absent:
            lines.append(
                self.tr("Not offered on this machine: {ways}.").format(ways="; ".join(absent))
            )
        self._unused.setText("\n".join(lines))
        self._unused.setVisible(bool(lines))
        self._fit.show_cautions(cautions, figures)

    def _way_row(self, way: WayAmount, figures: Figures) -> list[Cell | str]:
        return [
            Cell(way.label, bold=True, hint=texts.hint(way.way)),
            Cell(figures.text(way.amount_mm, decimals=1), bold=True),
            figures.text(way.axle_mm) if abs(way.axle_mm) >= _LEAST_MM else "–",
            figures.text(way.seat_mm) if abs(way.seat_mm) >= _LEAST_MM else "–",
            self._chosen(way.by_hand),
            Cell(figures.sentence(way.note), faint=True),
        ]

    def _spring_row(self, spring: SpringPlan, figures: Figures) -> list[Cell | str]:
        front = spring.end == "front"
        rate = figures.text(spring.rate_n_mm, Kind.SPRING_RATE)
        stock = figures.text(spring.stock_rate_n_mm, Kind.SPRING_RATE)
        parts = [
            self.tr("the stock spring stays")
            if rate == stock
            else self.tr("stock {rate}").format(rate=stock),
            self.tr("preload {amount}, stock {stock}").format(
                amount=figures.text(spring.preload_mm, decimals=1),
                stock=figures.text(spring.stock_preload_mm, decimals=1),
            ),
        ]
        if front:
            parts.insert(0, self.tr("one leg") if spring.legs == 1 else self.tr("both legs"))
        return [
            Cell(self.tr("Fork spring") if front else self.tr("Shock spring"), bold=True),
            Cell(rate, bold=rate != stock),
            "–",
            "–",
            self._chosen(spring.rate_by_hand),
            Cell("; ".join(parts), faint=True),
        ]

    def _stand_rows(self, plan: Plan, figures: Figures) -> list[list[Cell | str]]:
        """The side-stand, where the old one would be too long."""
        from fitplanner.planning.account import new_stand

        lengths = [row for row in plan.consequences if row.label == STAND_LENGTH]
        if not new_stand(plan) or not lengths or lengths[0].planned is None:
            return []
        stock = "–" if lengths[0].stock is None else figures.text(lengths[0].stock)
        note = self.tr("{length} long in place of {stock} restores the stock lean").format(
            length=figures.text(lengths[0].planned), stock=stock
        )
        amount = (lengths[0].stock or 0.0) - lengths[0].planned
        return [
            [
                Cell(self.tr("Side-stand shortened"), bold=True),
                Cell(figures.text(amount, decimals=1), bold=True),
                "–",
                "–",
                self._chosen(False),
                Cell(note, faint=True),
            ]
        ]

    def _chosen(self, by_hand: bool) -> str:
        return self.tr("by hand") if by_hand else self.tr("by the plan")

    def _rebuild(self, topics: Iterable[str]) -> None:
        for half in self._halves:
            while (item := half.takeAt(0)) is not None:
                widget = item.widget()
                if widget is not None:
                    widget.hide()
                    widget.deleteLater()
        self._topics = {topic: _TableCard(topic[:1].upper() + topic[1:]) for topic in topics}
        middle = (len(self._topics) + 1) // 2
        for number, card in enumerate(self._topics.values()):
            self._halves[number >= middle].addWidget(card)
        for half in self._halves:
            half.addStretch(1)


class _TableCard(Card):
    """A table, and cautions below it."""

    def __init__(self, title: str) -> None:
        super().__init__(title)
        self.table = FigureTable(name=title)
        self.body.addWidget(self.table)
        self._cautions: list[CautionLine] = []

    def show_cautions(self, cautions: Sequence[Caution], figures: Figures) -> None:
        while len(self._cautions) > len(cautions):
            line = self._cautions.pop()
            self.body.removeWidget(line)
            line.deleteLater()
        while len(self._cautions) < len(cautions):
            line = CautionLine()
            self.body.addWidget(line)
            self._cautions.append(line)
        for line, caution in zip(self._cautions, cautions, strict=True):
            named = caution.step.casefold() == self.title().casefold()
            head = self.tr("Caution") if named else self.tr("Caution: {step}")
            line.show_caution(head.format(step=caution.step), figures.sentence(caution.text))

    def cautions(self) -> list[str]:
        return [line.text() for line in self._cautions]


def _placed(plan: Plan, topics: Iterable[str]) -> dict[str, list[Caution]]:
    """Cautions by the card at which they stand.

    That is the topic whose name begins with the step, else the ways where one of those in use
    names it; the rest stand before or after all of these, as the plan orders them.
    """
    names = list(topics)
    ways = [
        word.casefold()
        for way in plan.ways
        if abs(way.amount_mm) >= _LEAST_MM
        for word in (way.way.value, way.label)
    ]
    at: dict[str, list[Caution]] = {}
    aside = _BEFORE
    for caution in plan.cautions:
        step = caution.step.casefold()
        place = next((name for name in names if name.casefold().startswith(step)), None)
        if place is None and any(step in way for way in ways):
            place = _WAYS
        if place is not None:
            aside = _AFTER
        at.setdefault(place or aside, []).append(caution)
    return at


def _row(row: Consequence, figures: Figures) -> list[Cell | str]:
    def shown(value: float | None) -> str:
        return "–" if value is None else figures.text(value, row.kind, decimals=row.decimals)

    stock, planned = shown(row.stock), shown(row.planned)
    return [
        row.label,
        Cell(stock, faint=True),
        Cell(planned, bold=stock != planned),
        Cell(figures.sentence(row.note), faint=True),
    ]
