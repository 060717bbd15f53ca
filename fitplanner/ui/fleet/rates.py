"""Owns the small dialog with the shop's own figures for prices."""

from PySide6.QtCore import QLocale
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.preferences import Rates
from fitplanner.ui.forms import note_label, set_note, tip
from fitplanner.ui.widgets.money import currency_symbol

_ISO = QLocale.CurrencySymbolFormat.CurrencyIsoCode


class RatesDialog(QDialog):
    """Hourly rate and currency."""

    def __init__(self, rates: Rates, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Prices of the shop"))
        fields = Rates.model_fields
        self.hourly = QDoubleSpinBox(self)
        self.hourly.setRange(0.0, 1e6)
        self.hourly.setDecimals(2)
        self.hourly.setSingleStep(5.0)
        self.hourly.setValue(rates.hourly)
        self.hourly.setToolTip(tip(fields["hourly"].description or ""))
        self.currency = QComboBox(self)
        own = self.locale().currencySymbol(_ISO)
        region = self.tr("As the region ({code})").format(code=own) if own else self.tr("None")
        self.currency.addItem(region, "")
        for code in sorted(_codes() | ({rates.currency} if rates.currency else set())):
            self.currency.addItem(code, code)
        self.currency.setCurrentIndex(self.currency.findData(rates.currency))
        self.currency.setMaxVisibleItems(16)
        self.currency.setToolTip(tip(fields["currency"].description or ""))
        explanation = note_label(self)
        set_note(
            explanation,
            self.tr(
                "Prices of parts are plain numbers in this currency; changing it changes no "
                "number. Hours and parts stand with each machine, under “Ways to lower” and "
                "“Prices of springs”."
            ),
        )
        form = QFormLayout()
        form.addRow(self.tr("&Hourly rate"), self.hourly)
        form.addRow(self.tr("&Currency"), self.currency)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel, self
        )
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addLayout(form)
        column.addWidget(explanation)
        column.addStretch(1)
        column.addWidget(buttons)
        self.currency.currentIndexChanged.connect(self._show_sign)
        self._show_sign()
        self.setMinimumWidth(380)

    def rates(self) -> Rates:
        """What is entered."""
        return Rates(hourly=self.hourly.value(), currency=self.currency.currentData())

    def _show_sign(self) -> None:
        sign = currency_symbol(self.locale(), self.currency.currentData())
        self.hourly.setSuffix(f" {sign}/h")


def _codes() -> set[str]:
    """ISO 4217 codes of all regions that Qt knows."""
    anything = (
        QLocale.Language.AnyLanguage, QLocale.Script.AnyScript, QLocale.Country.AnyCountry
    )  # fmt: skip
    found = {each.currencySymbol(_ISO) for each in QLocale.matchingLocales(*anything)}
    return {code for code in found if len(code) == 3 and code.isascii() and code.isalpha()}
