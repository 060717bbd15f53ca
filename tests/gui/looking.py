"""How tests look at a page: in which locale, all its words, and whether any of them is cut off."""

import re

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.qtbot import QtBot

from fitplanner.ui.pages import (
    ChecksPage,
    CurvesPage,
    HeightsPage,
    SpringsPage,
    WhyPage,
    WorkPage,
)

POINT = QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom)
COMMA = QLocale(QLocale.Language.German, QLocale.Country.Germany)


PAGES = (ChecksPage, HeightsPage, SpringsPage, WorkPage, WhyPage, CurvesPage)
EVERY_PAGE = pytest.mark.parametrize("kind", PAGES)


def shown(
    qtbot: QtBot, page: QWidget, *, width: int = 900, height: int = 700, locale: QLocale = POINT
) -> None:
    """Put a page on the screen."""
    page.setLocale(locale)
    page.resize(width, height)
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()


def plain(text: str) -> str:
    """With spaces that may break a line: figures keep theirs together."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def stiff(text: str) -> str:
    """With spaces that keep a figure together."""
    return text.replace(" ", "\N{NO-BREAK SPACE}")


def squeezed(text: str) -> str:
    """Without any space: where a line breaks is not the text's matter."""
    return re.sub(r"\s+", "", text)


def words(page: QWidget) -> list[str]:
    """All texts that can be seen on a page, no-break spaces as plain ones."""
    return [plain(label.text()) for label in page.findChildren(QLabel) if label.isVisibleTo(page)]


def cut_off(page: QWidget) -> list[str]:
    """Texts of labels that have less room than they need."""
    return [
        label.text()
        for label in page.findChildren(QLabel)
        if label.isVisibleTo(page)
        and (
            label.height() < label.heightForWidth(label.width())
            if label.wordWrap()
            else label.width() < label.sizeHint().width()
            or label.height() < label.sizeHint().height()
        )
    ]
