"""Owns how amounts of money are written: in the shop's own currency, as its locale does.

Refuses to exchange one currency for another: a price is a plain number.
"""

from PySide6.QtCore import QLocale

_WHOLE = 0
_HUNDREDTHS = 2


def money_text(amount: float, locale: QLocale, symbol: str = "") -> str:
    """An amount, for example "€1,240" or "£389.90"; "" takes the symbol of the locale.

    Full amounts stand without hundredths.
    """
    decimals = _WHOLE if abs(amount - round(amount)) < 0.005 else _HUNDREDTHS
    return locale.toCurrencyString(float(amount), symbol, decimals)
