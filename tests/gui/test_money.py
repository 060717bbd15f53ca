"""Amounts of money in the shop's currency, as the locale writes them."""

import pytest
from PySide6.QtCore import QLocale
from pytestqt.qtbot import QtBot

from fitplanner.ui.widgets.money import currency_symbol, money_text

SPACE = "\N{NO-BREAK SPACE}"


@pytest.mark.parametrize(
    ("place", "amount", "currency", "written"),
    [
        ("en_GB", 1240.0, "", "£1,240"),
        ("en_GB", 389.9, "EUR", "€389.90"),
        ("en_GB", 1240.0, "CAD", f"CAD{SPACE}1,240"),
        ("de_DE", 1057.0, "EUR", f"1.057{SPACE}€"),
        # Some locales set the sign right behind the figure; it keeps its distance.
        ("lu_CD", 1057.0, "EUR", f"1.057{SPACE}€"),
        # No region, no habit: a plain figure and the code that the shop chose, if it chose one.
        ("C", 1057.0, "EUR", f"1057{SPACE}EUR"),
        ("C", 1057.5, "", "1057.50"),
        # The program's font has no Afghani sign, and nobody can see the Cape Verdean one.
        ("en_GB", 12345.0, "AFN", f"AFN{SPACE}12,345"),
        ("pt_CV", 20.0, "", f"20{SPACE}CVE"),
    ],
)
def test_an_amount(qtbot: QtBot, place: str, amount: float, currency: str, written: str) -> None:
    assert money_text(amount, QLocale(place), currency) == written


def test_no_amount_breaks_over_two_lines(qtbot: QtBot) -> None:
    for place in ("fr_FR", "sv_SE", "es_ES", "pl_PL", "de_CH", "ja_JP", "C"):
        for currency in ("", "EUR", "SEK", "USD"):
            assert " " not in money_text(12345.5, QLocale(place), currency)


def test_a_code_stands_where_the_sign_could_be_another_currency(qtbot: QtBot) -> None:
    assert currency_symbol(QLocale("en_US")) == "$"
    assert currency_symbol(QLocale("en_GB"), "USD") == "USD"
    assert currency_symbol(QLocale("C"), "EUR") == "EUR"
