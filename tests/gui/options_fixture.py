"""A page of options that is seen, over a search that its test answers."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QLocale
from pytestqt.qtbot import QtBot

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.ui.options.searching import Searcher
from fitplanner.ui.pages.options import OptionsPage
from tests import factories
from tests.gui import found_fixture, plan_fixture
from tests.gui.found_fixture import FakeSearch

BRITISH = QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom)
GERMAN = QLocale(QLocale.Language.German, QLocale.Country.Germany)


class Opened:
    """A page that is seen, its search, and the job on it."""

    def __init__(self, qtbot: QtBot, search: FakeSearch, job: Job | None = None) -> None:
        self.search, self.qtbot = search, qtbot
        self.page = OptionsPage(searcher=Searcher(search))
        self.page.searcher.setParent(self.page)
        self.page.rest.setInterval(0)
        self.page.setLocale(BRITISH)
        self.page.set_rates(Rates(hourly=55.0, currency="GBP"))
        self.page.resize(900, 700)
        self.job = job or factories.job()
        qtbot.addWidget(self.page)
        self.page.show_plan(plan_fixture.plan())
        self.page.show_job(self.job)
        with qtbot.waitExposed(self.page):
            self.page.show()

    def close(self) -> None:
        """End the search and let go of the page: the plot's menus live as long as it does."""
        self.page.close_search()
        del self.page

    def settled(self) -> OptionsPage:
        """The page once a search has begun and ended."""
        self.qtbot.waitUntil(lambda: bool(self.search.asked))
        self.qtbot.waitUntil(lambda: not self.page.searcher.busy)
        return self.page

    def asked(self, count: int) -> found_fixture.Asked:
        """The question number `count`, once it was put."""
        self.qtbot.waitUntil(lambda: len(self.search.asked) >= count)
        return self.search.asked[count - 1]


@pytest.fixture
def opened(qtbot: QtBot) -> Iterator[Opened]:
    one = Opened(qtbot, FakeSearch(found_fixture.found))
    yield one
    one.close()


@pytest.fixture
def slow(qtbot: QtBot) -> Iterator[Opened]:
    one = Opened(qtbot, FakeSearch())
    yield one
    for asked in one.search.asked:
        asked.end(found_fixture.found(asked.job))
    one.close()
