"""Owns the page of springs: front and rear side by side, rate, preload, sags and neighbours.

Refuses to choose: what was chosen and what yields stands in the plan.
"""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from fitplanner.planning.plan import End, Plan, SagFigures, SpringOption, SpringPlan
from fitplanner.quantities import Kind
from fitplanner.ui.pages.page import Page
from fitplanner.ui.widgets.card import Card, Columns
from fitplanner.ui.widgets.figure_table import Cell, Column, FigureTable
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION, OK, Mark
from fitplanner.ui.widgets.sag_bar import SagBar, SagPicture
from fitplanner.ui.widgets.text import RIGHT, Text

_SIDE_BY_SIDE = 860
RATE = Kind.SPRING_RATE


class SpringsPage(Page):
    """One card for each end."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._ends: dict[End, _EndCard] = {"front": _EndCard(), "rear": _EndCard()}
        self.column.addWidget(
            Columns(self._ends["front"], self._ends["rear"], enough=_SIDE_BY_SIDE)
        )
        self.column.addWidget(
            Text(
                self.tr(
                    "In the bars: the outlined part is the window, the filled pointer the plan "
                    "with the band that friction leaves, the hollow pointer below the stock "
                    "machine. Windows are common practice and can be changed for this job."
                ),
                faint=True,
            )
        )

    def render_plan(self, plan: Plan) -> None:
        """Show both ends."""
        for end, card in self._ends.items():
            card.show_spring(plan.springs[end], self.figures())

    def options(self, end: End) -> FigureTable:
        """The table of neighbours at one end."""
        return self._ends[end].options


class _EndCard(Card):
    def __init__(self) -> None:
        super().__init__()
        self._rate = Text(bold=True, scale=1.5, wrap=False)
        self._preload = Text(bold=True, scale=1.5, wrap=False, align=RIGHT)
        self._rate_below = Text(faint=True)
        self._preload_below = Text(faint=True, align=RIGHT)
        for left, right in (
            (self._rate, self._preload), (self._rate_below, self._preload_below),
        ):  # fmt: skip
            row = QHBoxLayout()
            row.setSpacing(12)
            row.addWidget(left, 1)
            row.addWidget(right, 1)
            self.body.addLayout(row)
        self._free = _SagRows(self.tr("Free sag"), self.tr("On its wheels, no rider"))
        self._rider = _SagRows(self.tr("Rider sag"), self.tr("Rider seated, feet on the pegs"))
        self.body.addWidget(self._free)
        self.body.addWidget(self._rider)
        self._yields = Text()
        self._pulls = Text()
        self.body.addWidget(self._yields)
        self.body.addWidget(self._pulls)
        self.body.addWidget(Text(self.tr("Springs that can be bought"), bold=True))
        self.options = FigureTable(name=self.tr("Springs that can be bought"))
        self.body.addWidget(self.options)
        self.body.addStretch(1)

    def show_spring(self, spring: SpringPlan, figures: Figures) -> None:
        front = spring.end == "front"
        self.set_title(self.tr("Front: fork") if front else self.tr("Rear: shock"))
        self._rate.setText(figures.text(spring.rate_n_mm, RATE))
        legs = ""
        if front:
            legs = self.tr("one leg") if spring.legs == 1 else self.tr("each of two legs")
        self._rate_below.setText(
            _line(
                legs,
                self.tr("by hand") if spring.rate_by_hand else "",
                self.tr("ideal {rate}").format(rate=figures.text(spring.ideal[0], RATE))
                if spring.ideal
                else "",
                self.tr("stock {rate}").format(rate=figures.text(spring.stock_rate_n_mm, RATE)),
            )
        )
        self._preload.setText(
            self.tr("{amount} preload").format(amount=figures.text(spring.preload_mm, decimals=1))
        )
        self._preload_below.setText(
            _line(
                self.tr("by hand") if spring.preload_by_hand else "",
                self.tr("ideal {amount}").format(amount=figures.text(spring.ideal[1], decimals=1))
                if spring.ideal
                else "",
                self.tr("stock {amount}").format(
                    amount=figures.text(spring.stock_preload_mm, decimals=1)
                ),
            )
        )
        scale = 1.15 * max(
            spring.rider_window_mm[1], spring.sag.rider_band_mm[1], spring.stock_sag.rider_mm
        )
        sag, stock = spring.sag, spring.stock_sag
        chosen = next((option for option in spring.options if option.chosen), None)
        for rows, free in ((self._free, True), (self._rider, False)):
            window = spring.free_window_mm if free else spring.rider_window_mm
            value = sag.free_mm if free else sag.rider_mm
            fits = window[0] <= value <= window[1]
            if chosen is not None:
                fits = chosen.free_ok if free else chosen.rider_ok
            rows.show_sag(
                SagPicture(
                    value,
                    sag.free_band_mm if free else sag.rider_band_mm,
                    window,
                    stock.free_mm if free else stock.rider_mm,
                    scale,
                ),
                sag,
                figures,
                fits=fits,
            )
        self._yields.setText(figures.sentence(spring.yields))
        self._yields.setVisible(bool(spring.yields))
        self._pulls.setText(figures.sentence(spring.pulls))
        self._pulls.setVisible(bool(spring.pulls))
        self._show_options(spring, figures)

    def _show_options(self, spring: SpringPlan, figures: Figures) -> None:
        self.options.show_rows(
            [
                Column(figures.headed(self.tr("Rate"), RATE), figures=False, stretch=1, least=104),
                Column(figures.headed(self.tr("Preload"))),
                Column(figures.headed(self.tr("Free sag")), hint=_OPTION_HINT),
                Column(figures.headed(self.tr("Rider sag")), hint=_OPTION_HINT),
                Column(figures.headed(self.tr("Reserve")), hint=_RESERVE_HINT),
            ],
            [
                self._option_row(option, figures, by_hand=spring.rate_by_hand)
                for option in spring.options
            ],
            emphasised=[n for n, option in enumerate(spring.options) if option.chosen],
        )

    def _option_row(
        self, option: SpringOption, figures: Figures, *, by_hand: bool
    ) -> list[Cell | str]:
        taken = self.tr("by hand") if by_hand else self.tr("chosen")
        words = ", ".join(
            word
            for word, said in (
                (taken, option.chosen), (self.tr("stock"), option.stock),
            )
            if said
        )  # fmt: skip
        rate = figures.bare(option.rate_n_mm, RATE)
        return [
            Cell(f"{rate}  {words}".rstrip(), bold=option.chosen),
            Cell(figures.bare(option.preload_mm, decimals=1), bold=option.chosen),
            self._marked(figures.bare(option.free_sag_mm), option.free_ok, option.chosen),
            self._marked(figures.bare(option.rider_sag_mm), option.rider_ok, option.chosen),
            Cell(figures.bare(option.reserve_mm), bold=option.chosen),
        ]

    def _marked(self, figure: str, fits: bool, chosen: bool) -> Cell:
        hint = self.tr("inside its window") if fits else self.tr("outside its window")
        return Cell(f"{figure} {'✓' if fits else '✗'}", bold=chosen, hint=hint)


class _SagRows(QWidget):
    """Figure and verdict, the bar, and the shares below it."""

    def __init__(self, name: str, hint: str) -> None:
        super().__init__()
        self._name = Text(name, wrap=False)
        self._name.set_hint(hint)
        self._figure = Text(bold=True, wrap=False)
        self._mark = Mark(side=16)
        self._verdict = Text(wrap=False, align=RIGHT)
        self._bar = SagBar()
        self._shares = Text(faint=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        column.setSpacing(2)
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self._name)
        row.addWidget(self._figure)
        row.addStretch(1)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self._verdict)
        column.addLayout(row)
        column.addWidget(self._bar)
        column.addWidget(self._shares)

    def show_sag(
        self, picture: SagPicture, sag: SagFigures, figures: Figures, *, fits: bool
    ) -> None:
        low, high = picture.window_mm
        planned = picture.planned_mm
        self._figure.setText(figures.text(planned))
        self._mark.set_meaning(OK if fits else CAUTION)
        over = planned > high
        if fits:
            verdict = self.tr("inside")
        else:
            miss = planned - high if over else low - planned
            much = figures.text(miss, decimals=1 if miss < 1.0 else None)
            verdict = (self.tr("{much} over") if over else self.tr("{much} under")).format(
                much=much
            )
        self._verdict.setText(
            self.tr("window {low} to {high}: {verdict}").format(
                low=figures.bare(low), high=figures.text(high), verdict=verdict
            )
        )
        self._bar.show_sag(picture)
        self._bar.setAccessibleName(f"{self._name.text()} {self._figure.text()}, {verdict}")
        self._shares.setText(
            self.tr(
                "{remaining} of the {left} of travel that remain, {share} of stock. Friction "
                "leaves it between {least} and {most}. Stock machine: {stock}."
            ).format(
                remaining=figures.text(planned / sag.travel_mm, Kind.PERCENT),
                left=figures.text(sag.travel_mm),
                share=figures.text(planned / sag.stock_travel_mm, Kind.PERCENT),
                least=figures.bare(min(picture.band_mm)),
                most=figures.text(max(picture.band_mm)),
                stock=figures.text(picture.stock_mm),
            )
        )


_OPTION_HINT = "✓ inside its window, ✗ outside"
_RESERVE_HINT = "Bottoming reserve: the drop height that uses up the travel, without damping"


def _line(*parts: str) -> str:
    return " · ".join(part for part in parts if part)
