"""The plan as the shop's closed jobs came out: asked for on the page of reasons, seen, undone."""

import pytest
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import Stage
from fitplanner.documents.job import Job
from fitplanner.documents.rider import Rider
from fitplanner.library.loader import load_library
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.pages.shop_card import ShopCard
from tests import factories
from tests.gui.shell import answers, open_window, wait_for_plan


def trail() -> Job:
    """On a machine of a kind that the invented shop has closed jobs of."""
    library = load_library()
    rider: Rider = library.riders["ilka"]
    return Job(rider=rider, machine=library.profiles["brackwell-250"])


def opened(qtbot: QtBot, job: Job) -> tuple[MainWindow, ShopCard]:
    window = open_window(qtbot, job)
    window.desk.visit("Opening")
    window.pages.setCurrentWidget(window.pages.why)
    return window, window.pages.why.shop


def asked(qtbot: QtBot, window: MainWindow) -> None:
    window.pages.why.shop.beside.click()
    reader = window.by_shop.reader
    assert reader is not None
    qtbot.waitUntil(lambda: not reader.busy, timeout=60_000)


def test_it_is_asked_for_planned_for_and_taken_back(qtbot: QtBot) -> None:
    window, card = opened(qtbot, trail())
    assert "by physics alone" in card.text() and not card.planned.isEnabled()
    plain = window.plan
    asked(qtbot, window)
    wait_for_plan(qtbot, window)
    held = window.session.job.shop_shares
    assert held is not None and held.jobs == 6 and not held.planned_for
    assert "6 closed jobs" in card.text() and card.beside.isChecked()
    assert any("as 6 jobs here came out" in words for words in window.headline.texts())
    assert window.plan is not None and plain is not None
    assert window.plan.ways == plain.ways
    card.planned.click()
    wait_for_plan(qtbot, window)
    assert window.session.job.shop_shares == held.replace(planned_for=True)
    assert any("planned with the shop's experience" in text for text in window.headline.texts())
    window.commands["undo"].trigger()
    window.commands["undo"].trigger()
    wait_for_plan(qtbot, window)
    assert window.session.job.shop_shares is None
    assert "by physics alone" in card.text() and not card.beside.isChecked()


def test_a_shop_without_such_machines_says_so_and_leaves_the_job(qtbot: QtBot) -> None:
    window = open_window(qtbot, trail())
    window.pages.setCurrentWidget(window.pages.why)
    card = window.pages.why.shop
    asked(qtbot, window)
    assert window.session.job.shop_shares is None
    assert "tells nothing of this kind" in card.text() and not card.beside.isChecked()


def test_a_shop_out_of_reach_says_why(qtbot: QtBot) -> None:
    window = open_window(qtbot, trail())
    window.pages.setCurrentWidget(window.pages.why)
    window.desk._setting = "nowhere.invalid:1/none"
    card = window.pages.why.shop
    asked(qtbot, window)
    assert "could not be read" in card.text() and not card.beside.isChecked()


@pytest.mark.parametrize("agrees", [False, True])
def test_what_was_agreed_is_not_planned_anew_without_a_word(qtbot: QtBot, agrees: bool) -> None:
    from tests.unit.planning.test_by_shop import shares

    job = factories.job(stage=Stage.AGREED, shop_shares=shares(0.9))
    window = open_window(qtbot, job)
    answers(window).replace_agreed = agrees
    window.pages.setCurrentWidget(window.pages.why)
    card = window.pages.why.shop
    card.planned.click()
    held = window.session.job.shop_shares
    assert held is not None and held.planned_for is agrees
    assert card.planned.isChecked() is agrees or agrees
    assert answers(window).asked
