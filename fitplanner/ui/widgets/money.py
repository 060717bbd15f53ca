"""Owns how amounts of money are written: in the shop's own currency, as the locale does.

Refuses to exchange one currency for another: a price is a plain number.
"""

import re
import unicodedata
from functools import cache

from PySide6.QtCore import QLocale
from PySide6.QtGui import QFont, QRawFont

from fitplanner.ui.theme import bundled_fonts

_ISO = QLocale.CurrencySymbolFormat.CurrencyIsoCode
_SPACE = "\N{NO-BREAK SPACE}"


def money_text(amount: float, locale: QLocale, currency: str = "") -> str:
    """An amount, for example "€1,240" or "£389.90"; full amounts stand without hundredths.

    `currency` is an ISO 4217 code; "" is the currency of the locale. A locale without a currency
    of its own has no habit of writing one: a plain figure, then the code.
    """
    decimals = 0 if abs(amount - round(amount)) < 0.005 else 2
    if not locale.currencySymbol(_ISO):
        number = f"{amount:.{decimals}f}".replace(".", locale.decimalPoint())
        return f"{number}{_SPACE}{currency}".rstrip()
    text = locale.toCurrencyString(float(amount), currency_symbol(locale, currency), decimals)
    # A code of letters, and a sign that comes last, keep their distance from the figure.
    text = re.sub(r"(?<=[A-Z])(?=\d)|(?<=\d)(?=[^\W\d])|(?<=\d)(?=[€₩₪₫₱₹₽])", _SPACE, text)
    return text.replace(" ", _SPACE)


def lacks_currency(locale: QLocale, currency: str) -> bool:
    """Whether amounts stand without any currency: the shop set none, and the locale has none."""
    return not (currency or locale.currencySymbol(_ISO))


def currency_symbol(locale: QLocale, currency: str = "") -> str:
    """The sign of a currency; its code where the sign could stand for another one.

    The code as well where the program's own font has no such sign.
    """
    own = locale.currencySymbol(_ISO)
    if currency in ("", own):
        sign = locale.currencySymbol()
        return sign if _writable(sign) else own
    return _signs().get(currency, currency) if own else currency


@cache
def _writable(sign: str) -> bool:
    """Whether a sign can be seen, with the font that comes with the program."""
    if any(unicodedata.category(letter) in ("Cf", "Zs") for letter in sign):
        return False
    families = bundled_fonts()
    font = QRawFont.fromFont(QFont(families[0])) if families else None
    return font is None or all(font.supportsCharacter(ord(letter)) for letter in sign)


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
        if len(codes) == 1 and len(sign) == 1 and _writable(sign)
    }
