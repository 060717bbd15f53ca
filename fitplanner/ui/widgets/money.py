"""Owns how amounts of money are written: in the shop's own currency, as the locale does.

Refuses to exchange one currency for another: a price is a plain number.
"""

import re
from functools import cache

from PySide6.QtCore import QLocale

_ISO = QLocale.CurrencySymbolFormat.CurrencyIsoCode
_SPACE = "\N{NO-BREAK SPACE}"


def money_text(amount: float, locale: QLocale, currency: str = "") -> str:
    """An amount, for example "€1,240" or "£389.90"; full amounts stand without hundredths.

    `currency` is an ISO 4217 code; "" is the currency of the locale.
    """
    decimals = 0 if abs(amount - round(amount)) < 0.005 else 2
    text = locale.toCurrencyString(float(amount), currency_symbol(locale, currency), decimals)
    # A code of letters keeps its distance from the figure.
    return re.sub(r"(?<=[A-Z])(?=\d)", _SPACE, text)


def currency_symbol(locale: QLocale, currency: str = "") -> str:
    """The sign of a currency; its code where the sign could stand for another one."""
    if currency in ("", locale.currencySymbol(_ISO)):
        return locale.currencySymbol()
    return _signs().get(currency, currency)


@cache
def _signs() -> dict[str, str]:
    """Signs that belong to one currency alone, by its code."""
    owners: dict[str, set[str]] = {}
    anything = (
        QLocale.Language.AnyLanguage, QLocale.Script.AnyScript, QLocale.Country.AnyCountry
    )  # fmt: skip
    for locale in QLocale.matchingLocales(*anything):
        owners.setdefault(locale.currencySymbol(), set()).add(locale.currencySymbol(_ISO))
    return {
        next(iter(codes)): sign
        for sign, codes in owners.items()
        if len(codes) == 1 and len(sign) == 1
    }
