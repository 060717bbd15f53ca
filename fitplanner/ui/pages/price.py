"""Owns the card with what a plan costs: each job with its hours and parts, and their sum.

Refuses to compute: the account has every figure.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QWidget

from fitplanner.documents.preferences import Rates
from fitplanner.quantities import format_hours
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.figure_table import Cell, Column, FigureTable
from fitplanner.ui.widgets.figures import decimal_mark
from fitplanner.ui.widgets.money import money_text
from fitplanner.ui.widgets.text import Text

if TYPE_CHECKING:
    from fitplanner.planning.account import Account, Line


class PriceCard(Card):
    """The price of the plan as it is set."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self.set_title(self.tr("What it costs"))
        self.table = FigureTable(name=self.tr("What it costs"))
        self._note = Text(faint=True)
        self.body.addWidget(self.table)
        self.body.addWidget(self._note)

    def show_account(self, of: "Account", rates: Rates, locale: QLocale) -> None:
        """Show hours, parts and price at the shop's `rates`."""

        def money(amount: float) -> str:
            return money_text(amount, locale, rates.currency)

        def hours(value: float) -> str:
            text = format_hours(value, decimal_mark=decimal_mark(locale))
            return text.replace(" ", "\N{NO-BREAK SPACE}")

        def row(line: "Line") -> list[Cell | str]:
            return [
                line.label,
                hours(line.hours) if line.hours else "–",
                money(line.parts) if line.parts else "–",
                Cell(self.tr("done on the way, its hours do not count"), faint=True)
                if line.shared
                else "",
            ]

        self.table.show_rows(
            [
                Column(figures=False, stretch=4),
                Column(self.tr("Hours"), least=76),
                Column(self.tr("Parts"), least=76),
                Column(figures=False, stretch=6),
            ],
            [
                *map(row, of.lines),
                [
                    Cell(self.tr("Price"), bold=True),
                    hours(of.hours),
                    money(of.parts),
                    Cell(
                        self.tr("{price} at {rate} an hour").format(
                            price=money(of.cost), rate=money(rates.hourly)
                        ),
                        bold=True,
                    ),
                ],
            ],
        )
        self._note.setText(
            self.tr(
                "The plan as it is set now; the cheapest that reaches the ground is among the "
                "options. Hours and parts are those of the machine's profile; an hour for the "
                "side-stand is assumed where it says nothing else."
            )
        )
