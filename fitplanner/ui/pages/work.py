"""Owns the page of work: what to fit, what changes with it, and the cautions at their step.

Refuses instructions for the work itself: the maker's book has those.
"""

from collections.abc import Iterable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from fitplanner.planning.plan import Caution, Consequence, Plan, WayAmount
from fitplanner.ui import texts
from fitplanner.ui.pages.page import Page
from fitplanner.ui.widgets.card import GAP, Card, Columns
from fitplanner.ui.widgets.figure_table import Cell, Column, FigureTable
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION, Mark
from fitplanner.ui.widgets.text import Text

_SIDE_BY_SIDE = 1250
_LEAST_MM = 0.05
_FIGURE_WIDTH = 76


class WorkPage(Page):
    """What to fit on top, then one card for each topic."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._fit = _TableCard(self.tr("What to fit"))
        self._unused = Text(faint=True)
        self._fit.body.addWidget(self._unused)
        self._before = _TableCard(self.tr("Before the work"))
        self._before.table.hide()
        self._before.set_tone(CAUTION)
        self._halves = (QVBoxLayout(), QVBoxLayout())
        sides = []
        for half in self._halves:
            side = QWidget()
            side.setLayout(half)
            half.setContentsMargins(0, 0, 0, 0)
            half.setSpacing(GAP)
            sides.append(side)
        self.column.addWidget(self._fit)
        self.column.addWidget(self._before)
        self.column.addWidget(Columns(*sides, enough=_SIDE_BY_SIDE))
        self._topics: dict[str, _TableCard] = {}

    def topics(self) -> dict[str, FigureTable]:
        """The tables by topic, in the plan's order."""
        return {topic: card.table for topic, card in self._topics.items()}

    def ways(self) -> FigureTable:
        """The table of what to fit."""
        return self._fit.table

    def caution_texts(self) -> list[tuple[str, str]]:
        """Card's title and text of each caution shown."""
        cards = (self._fit, self._before, *self._topics.values())
        return [(card.title(), text) for card in cards for text in card.cautions()]

    def render_plan(self, plan: Plan) -> None:
        """Show ways, topics and cautions."""
        figures = self.figures()
        topics: dict[str, list[Consequence]] = {}
        for each in plan.consequences:
            topics.setdefault(each.topic, []).append(each)
        at_topic, at_way, before = _placed(plan, topics)
        self._show_ways(plan.ways, at_way, figures)
        self._before.show_cautions(before, figures, with_step=True)
        self._before.setVisible(bool(before))
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
            card.show_cautions(at_topic.get(topic, ()), figures)

    def _show_ways(
        self, ways: Sequence[WayAmount], cautions: Sequence[Caution], figures: Figures
    ) -> None:
        used = [way for way in ways if abs(way.amount_mm) >= _LEAST_MM]
        self._fit.table.setVisible(bool(used))
        self._fit.table.show_rows(
            [
                Column(figures=False, stretch=4),
                Column(self.tr("Amount"), hint=self.tr("As marked on the part, or as set")),
                Column(self.tr("Axle"), hint=self.tr("How far it moves the axle")),
                Column(self.tr("Seat alone"), hint=self.tr("How far it moves the seat alone")),
                Column(self.tr("Chosen"), figures=False),
                Column(figures=False, stretch=5),
            ],
            [
                [
                    Cell(way.label, bold=True, hint=texts.hint(way.way)),
                    Cell(figures.text(way.amount_mm, decimals=1), bold=True),
                    figures.text(way.axle_mm) if abs(way.axle_mm) >= _LEAST_MM else "–",
                    figures.text(way.seat_mm) if abs(way.seat_mm) >= _LEAST_MM else "–",
                    self.tr("by hand") if way.by_hand else self.tr("by the plan"),
                    Cell(figures.sentence(way.note), faint=True),
                ]
                for way in used
            ],
        )
        idle = [way.label for way in ways if way.offered and way not in used]
        absent = [way.label for way in ways if not way.offered and way not in used]
        lines = []
        if not used:
            lines.append(self.tr("Nothing: the machine stays as it is."))
        if idle:
            lines.append(self.tr("Not used: {ways}.").format(ways=", ".join(idle)))
        if absent:
            lines.append(
                self.tr("Not offered on this machine: {ways}.").format(ways=", ".join(absent))
            )
        self._unused.setText("\n".join(lines))
        self._unused.setVisible(bool(lines))
        self._fit.show_cautions(cautions, figures, with_step=True)

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
        self._cautions: list[_CautionLine] = []

    def show_cautions(
        self, cautions: Sequence[Caution], figures: Figures, *, with_step: bool = False
    ) -> None:
        while len(self._cautions) > len(cautions):
            line = self._cautions.pop()
            self.body.removeWidget(line)
            line.deleteLater()
        while len(self._cautions) < len(cautions):
            line = _CautionLine()
            self.body.addWidget(line)
            self._cautions.append(line)
        for line, caution in zip(self._cautions, cautions, strict=True):
            line.show_caution(caution.step if with_step else "", figures.sentence(caution.text))

    def cautions(self) -> list[str]:
        return [line.text() for line in self._cautions]


class _CautionLine(QWidget):
    """Triangle, step and words."""

    def __init__(self) -> None:
        super().__init__()
        self._step = Text(bold=True)
        self._words = Text()
        words = QVBoxLayout()
        words.setSpacing(1)
        words.addWidget(self._step)
        words.addWidget(self._words)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 4, 0, 0)
        row.setSpacing(8)
        row.addWidget(Mark(CAUTION), 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(words, 1)

    def show_caution(self, step: str, text: str) -> None:
        self._step.setText(self.tr("Caution: {step}").format(step=step) if step else "Caution")
        self._words.setText(text)

    def text(self) -> str:
        return self._words.text()


def _placed(
    plan: Plan, topics: Iterable[str]
) -> tuple[dict[str, list[Caution]], list[Caution], list[Caution]]:
    """Cautions by topic, those of the ways, and those that stand before everything."""
    by_name = {topic.casefold(): topic for topic in topics}
    ways = {word.casefold() for way in plan.ways for word in (way.way.value, way.label)}
    at_topic: dict[str, list[Caution]] = {}
    at_way, before = [], []
    for caution in plan.cautions:
        step = caution.step.casefold()
        if step in by_name:
            at_topic.setdefault(by_name[step], []).append(caution)
        elif step in ways:
            at_way.append(caution)
        else:
            before.append(caution)
    return at_topic, at_way, before


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
