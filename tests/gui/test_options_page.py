"""The page of options: what is shown, and what happens on a press."""

import gc
import subprocess
import sys
import weakref
from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.documents.shop_shares import DeliveredShare, ShopShares
from fitplanner.planning.account import account
from fitplanner.planning.checks.standing import OLD_STAND
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Severity
from fitplanner.planning.search.options import Measure, Priorities
from fitplanner.planning.search.ranking import option_at, ranked
from fitplanner.quantities import UnitSystem
from fitplanner.ui import texts
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.options.card import OptionCard
from fitplanner.ui.options.searching import Searcher
from fitplanner.ui.options.words import Writer, left_open
from fitplanner.ui.pages.options import OptionsPage
from fitplanner.ui.widgets.money import money_text
from tests import factories
from tests.gui import found_fixture, plan_fixture
from tests.gui.found_fixture import FakeSearch
from tests.gui.looking import plain, words
from tests.gui.options_fixture import BRITISH, Opened, opened, slow
from tests.gui.shell import open_window, wait_for_plan

__all__ = ["opened", "slow"]

# What is shown.


def test_a_card_says_why_what_and_all_figures(opened: Opened) -> None:
    page = opened.settled()
    # The order of the sliders in the middle is not the test's matter: find it by its reason.
    card = next(c for c in page.cards() if c.option and c.option.measures.cost == 412.0)
    text = plain("\n".join(card.texts()))
    for part in (
        "Extension limiter, fork 25.0 mm", "Lower seat 25.0 mm",
        "Fork spring 8.20 N/mm, preload 10.0 mm", "Reach to spare: 6 mm", "Travel kept: 92 %",
        "Trail change: 4.0 mm", "Clearance: 318 mm", "Knee angle: 76.0°", "Price: £412",
        "Work: 4.5 h", "Work that can be undone: 75 %",
    ):  # fmt: skip
        assert part in text
    assert "Shock" not in text, "a spring that stays is no work"
    page.set_system(UnitSystem.INCH)
    inches = plain("\n".join(card.texts()))
    # 1 in = 25.4 mm exactly (international yard and pound agreement).
    assert f"Clearance: {318.0 / 25.4:.2f} in" in inches and " mm" not in inches


def test_a_card_says_what_its_own_plan_says(opened: Opened) -> None:
    page = opened.settled()
    opened.qtbot.waitUntil(lambda: not page.plans.busy)
    for card in [*page.cards(), page.front.picked]:
        assert card.option is not None
        plan = evaluate(opened.job.replace(choices=card.option.choices))
        need = plan.requirement
        feet, look = card.texts()[1], card.texts()[3]
        assert feet.startswith(texts.label(need.stock.footing))
        assert texts.label(need.planned.footing) in feet
        assert feet.endswith(f"as wanted: {texts.chance_words(need.chance)}")
        for check in plan.checks:
            grave = check.severity is not Severity.NOTE and check.key != OLD_STAND
            assert (check.title in look) == (grave and not check.holds)


def test_the_plan_as_it_is_set_has_its_price_over_the_options(opened: Opened) -> None:
    page = opened.settled()
    assert page._plan is not None
    of = account(opened.job, page._plan, Rates(hourly=55.0, currency="GBP"))
    told = next(text for text in words(page) if text.startswith("The plan as it is set now"))
    assert plain(money_text(of.cost, BRITISH, "GBP")) in told


def test_a_stand_that_is_too_long_is_among_what_to_fit(qtbot: QtBot) -> None:
    job, page = factories.job(), OptionCard()
    qtbot.addWidget(page)
    option = found_fixture.options(job)[1]
    for new_stand in (False, True):
        page.show_option(
            replace(option, new_stand=new_stand),
            job.machine,
            Writer.of(UnitSystem.METRIC, BRITISH, "GBP"),
        )
        assert ("Side-stand shortened" in page.texts()[2]) == new_stand


def test_money_is_in_the_shop_s_currency(opened: Opened) -> None:
    page = opened.settled()
    page.set_rates(Rates(hourly=55.0, currency="EUR"))
    assert any(text.startswith("€180.50") for text in words(page))


def test_the_limits_say_what_they_ruled_out(opened: Opened) -> None:
    page = opened.settled()
    assert page.excluded.texts() == [
        "4,120 combinations fell to the full-bump gap at the rear",
        "17 combinations fell to the full-bump gap at the front",
    ]


def test_where_nothing_fits_the_least_that_would_have_to_give_is_told(qtbot: QtBot) -> None:
    one = Opened(qtbot, FakeSearch(found_fixture.nothing_fits))
    page = one.settled()
    assert page.texts()[0] == "None of 41,200 combinations stays within all limits"
    assert not page.cards() and not page.front.isVisible()
    reasons = [plain(card.texts()[0]) for card in page.relaxations.cards()]
    assert reasons == [
        "Nearest: if the full-bump gap at the rear gave way by 4.0 mm",
        "If travel left to bump at the rear gave way by 3.0 %",
    ]
    with qtbot.waitSignal(page.use_wanted) as used:
        page.relaxations.cards()[0].use_button.click()
    assert used.args == [found_fixture.options(one.search.asked[0].job)[0].choices]
    page.close_search()


def test_sliders_rank_anew_without_a_new_search(opened: Opened) -> None:
    page = opened.settled()
    for key, slider in page.priorities.sliders.items():
        slider.setValue(4 if key == "price" else 0)
    opened.qtbot.waitUntil(lambda: page.cards()[0].option is not None and first_cost(page) == 100.0)
    for key, slider in page.priorities.sliders.items():
        slider.setValue(4 if key == "travel" else 0)
    opened.qtbot.waitUntil(lambda: first_cost(page) == 245.0)
    assert len(opened.search.asked) == 1
    assert page.priorities.priorities() == Priorities(travel=1, steering=0, comfort=0, price=0)


def first_cost(page: OptionsPage) -> float:
    option = page.cards()[0].option
    assert option is not None
    return option.measures.cost


def test_ranking_proposes_points_of_the_front_with_their_own_figures() -> None:
    job = factories.job()
    found = found_fixture.found(job)
    again = ranked(found, job.machine, Priorities(price=1.0))
    assert 1 <= len(again.options) <= 6
    for option in again.options:
        row = found.front.choices.index(option.choices)
        assert option.measures == option_at(found.front, row).measures
    assert ranked(found_fixture.nothing_fits(job), job.machine, Priorities()).options == ()


# The plot and the list.


def test_points_stand_where_the_figures_say_and_shapes_tell_them_apart(opened: Opened) -> None:
    page = opened.settled()
    plot = page.front.plot
    assert plot is not None
    shown = found_fixture.front(opened.job).shown
    drawn = plot.points()
    assert len(drawn["diamond"][0]) == len(page.cards())
    together = np.concatenate([drawn["disc"][0], drawn["diamond"][0]])
    np.testing.assert_allclose(np.sort(together), np.sort(shown[Measure.COST]))
    page.front.across.setCurrentIndex(list(Measure).index(Measure.CLEARANCE))
    page.set_system(UnitSystem.INCH)
    drawn = plot.points()
    together = np.concatenate([drawn["disc"][0], drawn["diamond"][0]])
    np.testing.assert_allclose(np.sort(together), np.sort(shown[Measure.CLEARANCE]) / 25.4)


def test_a_click_picks_the_point_under_it(opened: Opened) -> None:
    page = opened.settled()
    front, plot = page.front, page.front.plot
    assert plot is not None
    front.up.setCurrentIndex(list(Measure).index(Measure.COST))
    front.across.setCurrentIndex(list(Measure).index(Measure.TRAVEL))
    QCoreApplication.processEvents()
    for row in (4, 10, 2):
        x, y = plot.place_of(row)
        at = QPoint(round(x), round(y))
        QTest.mouseClick(plot.canvas(), Qt.MouseButton.LeftButton, pos=at)
        assert front.picked_row == row
        choices = found_fixture.front(opened.search.asked[0].job).choices[row]
        assert front.picked.option is not None and front.picked.option.choices == choices
        ring = plot.points()["ring"]
        assert ring[0][0] == pytest.approx(page_shown(opened, Measure.TRAVEL)[row] * 100)


def page_shown(opened: Opened, measure: Measure) -> np.ndarray:
    return found_fixture.front(opened.job).shown[measure]


def test_arrow_keys_in_the_list_pick_too(opened: Opened) -> None:
    front = opened.settled().front
    front.list.setFocus()
    before = front.picked_row
    QTest.keyClick(front.list, Qt.Key.Key_Down)
    after = front.picked_row
    assert after != before
    assert front.picked.option is not None
    assert front.picked.option.choices == front_choices(opened)[after]
    QTest.keyClick(front.list, Qt.Key.Key_Up)
    assert front.picked_row == before


def front_choices(opened: Opened) -> tuple[object, ...]:
    return found_fixture.front(opened.search.asked[0].job).choices


def test_the_list_sorts_by_its_figures_and_names_them(opened: Opened) -> None:
    front = opened.settled().front
    proposed = [front.list.model().index(row, 0).data() for row in range(4)]
    assert proposed == ["◆ 1", "◆ 2", "◆ 3", "●"]
    front.list.sortByColumn(1, Qt.SortOrder.AscendingOrder)
    model = front.list.model()
    first = plain(model.index(0, 1).data())
    assert first == "£100"
    last = plain(model.index(model.rowCount() - 1, 1).data())
    assert last == "£412"
    heads = [model.headerData(n, Qt.Orientation.Horizontal) for n in range(3)]
    assert heads == ["No.", "Price", "Travel kept"]


def test_the_plotting_library_waits_for_the_first_options() -> None:
    probe = (
        "import sys; import fitplanner.ui.pages; import fitplanner.ui.main_window; "
        "print('pyqtgraph' in sys.modules)"
    )
    told = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "False"


# What a press does.


def window_with(qtbot: QtBot, search: FakeSearch, job: Job | None = None) -> MainWindow:
    window = open_window(qtbot, job)
    page = window.pages.options
    page.searcher._search = search  # the window builds its own searcher
    page.rest.setInterval(0)
    window.pages.setCurrentWidget(page)
    qtbot.waitUntil(lambda: len(page.cards()) > 0)
    return window


def test_an_option_is_used_as_one_step_that_can_be_undone(qtbot: QtBot) -> None:
    search = FakeSearch(found_fixture.found)
    window = window_with(qtbot, search, factories.job(choices={"fuel_share": 0.5}))
    page, before = window.pages.options, window.session.job
    card = page.cards()[0]
    assert card.option is not None
    wanted = card.option.choices
    QTest.mouseClick(card.use_button, Qt.MouseButton.LeftButton)
    assert window.session.job.choices == wanted.replace(fuel_share=0.5)
    assert card.use_button.text() == "In use ✓" and not card.use_button.isEnabled()
    assert page.name_of(window.session.job.choices) == card.option.reason
    wait_for_plan(qtbot, window)
    assert window.plan == evaluate(window.session.job)
    qtbot.waitUntil(lambda: not page.rest.isActive())
    assert len(search.asked) == 1, "the same question has the same answer"
    window.commands["undo"].trigger()
    assert window.session.job == before
    assert page.name_of(before.choices) == ""
    assert card.use_button.isEnabled()


def test_using_an_option_keeps_the_list_also_where_amounts_by_hand_are_kept(qtbot: QtBot) -> None:
    search = FakeSearch(found_fixture.found)
    job = factories.job(choices={"lower_seat_mm": 25.0})
    window = window_with(qtbot, search, job)
    page = window.pages.options
    QTest.keyClick(page.keep_box, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: len(search.asked) == 2 and not page.searcher.busy)
    QTest.mouseClick(page.cards()[0].use_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not page.rest.isActive())
    QCoreApplication.processEvents()
    assert len(search.asked) == 2
    assert page.cards()[1].isEnabled()


def test_compare_opens_the_comparison_with_the_option(qtbot: QtBot) -> None:
    window = window_with(qtbot, FakeSearch(found_fixture.found))
    card = window.pages.options.cards()[1]
    assert card.option is not None
    QTest.mouseClick(card.compare_button, Qt.MouseButton.LeftButton)
    assert window.compare is not None and window.compare.isVisible()
    # The stock machine and the plan stand there already.
    item = window.compare.shelf.items[2]
    assert item.job.choices == card.option.choices
    assert item.job.rider == window.session.job.rider
    qtbot.waitUntil(lambda: item_planned(window))


def item_planned(window: MainWindow) -> bool:
    return window.compare is not None and not window.compare.shelf.busy


def engine_page(qtbot: QtBot, job: Job) -> OptionsPage:
    """A page that has asked the engine itself."""
    page = OptionsPage()
    page.setLocale(BRITISH)
    qtbot.addWidget(page)
    page.rest.setInterval(0)
    page.show_plan(evaluate(job))
    page.show_job(job)
    with qtbot.waitSignal(page.searcher.answered, timeout=60_000):
        page.show()
    page.close_search()
    return page


def short_search(**rider: float) -> Job:
    """A job on a machine that accepts few ways, so that a search is short."""
    job = factories.job(rider=rider)
    ways = job.machine.ways.replace(raised_stanchions=None)
    return job.replace(machine=job.machine.replace(ways=ways))


@pytest.mark.slow
def test_each_option_of_the_engine_holds_as_a_plan_of_its_own(qtbot: QtBot) -> None:
    job = short_search(inside_leg_mm=830.0)
    page = engine_page(qtbot, job)
    assert page.cards()
    for card in page.cards():
        assert card.option is not None
        plan = evaluate(job.replace(choices=card.option.choices))
        assert plan.requirement.reached
        knee = next(c.planned for c in plan.consequences if c.label == "Knee angle on the pegs")
        assert card.option.measures.knee_deg == pytest.approx(knee, abs=0.05)


def test_the_engine_says_what_would_have_to_give(qtbot: QtBot) -> None:
    page = engine_page(qtbot, short_search(inside_leg_mm=760.0))
    assert not page.cards()
    (card, *_) = page.relaxations.cards()
    assert card.texts()[0].startswith("Nearest: if the wanted footing gave way by")


# Widgets.


def test_the_page_leaves_nothing_behind(qtbot: QtBot) -> None:
    search = FakeSearch(found_fixture.found)
    page = OptionsPage(searcher=Searcher(search))
    page.searcher.setParent(page)
    page.rest.setInterval(0)
    page.show_plan(plan_fixture.plan())
    page.show_job(factories.job())
    with qtbot.waitSignal(page.searcher.answered):
        page.show()
    assert page.cards()
    page.close_search()
    gone = weakref.ref(page)
    page.close()
    page.deleteLater()
    del page
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    assert gone() is None


def test_left_open_keeps_load_and_wishes() -> None:
    choices = factories.job(
        choices={"fork_limiter_mm": 20.0, "pitch_wish_deg": -0.5, "luggage_rear_kg": 8.0}
    ).choices
    free = left_open(choices)
    assert free.fork_limiter_mm is None
    assert (free.pitch_wish_deg, free.luggage_rear_kg) == (-0.5, 8.0)


@pytest.mark.parametrize("planned_for", [False, True])
def test_options_say_where_the_shop_s_experience_is_planned_for(
    qtbot: QtBot, planned_for: bool
) -> None:
    row = DeliveredShare(way="lower_seat", share=0.9, low=0.8, high=1.0, count=3)
    kind = factories.machine_profile().kind
    shares = ShopShares(kind=kind, jobs=3, shares=[row], planned_for=planned_for)
    one = Opened(qtbot, FakeSearch(found_fixture.found), factories.job(shop_shares=shares))
    told = " ".join(one.settled().texts())
    one.close()
    assert ("as this shop's jobs came out" in told) is planned_for
