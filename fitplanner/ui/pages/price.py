"""Owns the card with what a plan costs: each job with its hours and parts, and their sum.

Refuses to compute: the account has every figure.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale, Signal
from PySide6.QtWidgets import QWidget

from fitplanner.documents.bench import Quote
from fitplanner.documents.preferences import Rates
from fitplanner.quantities import format_hours
from fitplanner.ui import texts
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.figure_table import Cell, Column, FigureTable
from fitplanner.ui.widgets.figures import decimal_mark
from fitplanner.ui.widgets.mark import CAUTION, NOTE
from fitplanner.ui.widgets.money import lacks_currency, money_text
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.text import Text

if TYPE_CHECKING:
    from fitplanner.planning.account import Account, Line


_SAME_PRICE = 0.005


class PriceCard(Card):
    """The price of the plan as it is set."""

    rates_wanted = Signal()
    """The user wants to set the shop's rate and currency."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self.set_title(self.tr("What it costs"))
        self.table = FigureTable(name=self.tr("What it costs"))
        self._note = Text(faint=True)
        self.unentered = Remark()
        self.no_currency = Remark()
        self.no_currency.acted.connect(self.rates_wanted)
        self.agreed = Text(bold=True)
        self.differs = Remark()
        self.body.addWidget(self.table)
        self.body.addWidget(self.no_currency)
        self.body.addWidget(self.unentered)
        self.body.addWidget(self.agreed)
        self.body.addWidget(self.differs)
        self.body.addWidget(self._note)

    def show_account(
        self, of: "Account", rates: Rates, locale: QLocale, quote: Quote | None = None
    ) -> None:
        """Show hours, parts and price at the shop's `rates`, beside what was agreed."""

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
                Cell(self._remark(line), faint=True),
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
        self.no_currency.show_text(
            self.tr("No currency is set.") if lacks_currency(locale, rates.currency) else "",
            NOTE,
            self.tr("Set the currency…"),
        )
        self.unentered.show_text(self._unentered(of), CAUTION)
        self._show_quote(of, rates, locale, quote)
        self._note.setText(
            self.tr(
                "The plan as it is set now; the cheapest that reaches the ground is among the "
                "options. Hours and parts are those of the machine's profile; an hour for the "
                "side-stand is assumed where it says nothing else."
            )
        )

    def _unentered(self, of: "Account") -> str:
        """That the price rests on hours and parts that nobody entered; "" where it does not."""
        if not of.assumed:
            return ""
        words = self.tr(
            "Hours and prices of the parts were never entered for this machine: {jobs}. Enter the "
            "shop's own under Figures of this machine before quoting."
        )
        return words.format(jobs=", ".join(map(texts.lower_first, of.assumed)))

    def _remark(self, line: "Line") -> str:
        said = (
            self.tr("assumed, never entered") if line.assumed else "",
            self.tr("done on the way, its hours do not count") if line.shared else "",
        )
        return "; ".join(filter(None, said))

    def _show_quote(
        self, of: "Account", rates: Rates, locale: QLocale, quote: Quote | None
    ) -> None:
        self.agreed.setVisible(quote is not None)
        if quote is None:
            self.differs.show_text("")
            return

        def money(amount: float) -> str:
            return money_text(amount, locale, quote.currency)

        hours = format_hours(quote.hours, decimal_mark=decimal_mark(locale))
        self.agreed.setText(
            self.tr("Agreed: {price} ({hours} at {rate} an hour, parts {parts})").format(
                price=money(quote.price),
                hours=hours.replace(" ", "\N{NO-BREAK SPACE}"),
                rate=money(quote.hourly),
                parts=money(quote.parts),
            )
        )
        same = abs(of.cost - quote.price) < _SAME_PRICE and rates.currency == quote.currency
        words = self.tr(
            "By the plan and the rates of today it would be {price}. What was agreed stays with "
            "the job until it is set back to planned."
        )
        price = money_text(of.cost, locale, rates.currency)
        self.differs.show_text("" if same else words.format(price=price), CAUTION)
