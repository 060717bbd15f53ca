"""Plans side by side: the rows, their differences, the columns and the pictures to one scale."""

import gc
import threading
import weakref
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QCoreApplication, QEvent, QLocale, QRectF, Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.account import account
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import STATE_NAMES, Caution, Plan
from fitplanner.quantities import Kind, UnitSystem, figure_in_text
from fitplanner.report.compare import (
    MOST_COLUMNS,
    OTHER,
    Cell,
    Comparison,
    Entry,
    Row,
    compare,
    open_choices,
    stock_choices,
)
from fitplanner.ui.compare.pictures import alone, cameras
from fitplanner.ui.compare.window import CompareWindow
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.picture import plain_mm
from fitplanner.ui.picture.layout import arrange
from tests import factories
from tests.gui import plan_fixture
from tests.gui.shell import library, open_window

BRITISH = QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom)
METRIC, INCH = UnitSystem.METRIC, UnitSystem.INCH


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def money(amount: float) -> str:
    return f"£{amount:.2f}"


def compared(*plans: Plan, system: UnitSystem = METRIC, mark: str = ".") -> Comparison:
    entries = [Entry(f"Plan {n}", factories.job(), plan) for n, plan in enumerate(plans)]
    return compare(entries, system, money=money, decimal_mark=mark)


def row(comparison: Comparison, label: str) -> Row:
    rows = [each for section in comparison.sections for each in section.rows]
    return next(each for each in rows if each.label == label)


# Rows and differences.


def test_the_stock_column_is_the_stock_machine() -> None:
    job = factories.job()
    plan = evaluate(job.replace(choices=stock_choices(job)))
    for name in STATE_NAMES:
        before, after = getattr(plan.states.stock, name), getattr(plan.states.planned, name)
        assert after.seat_height_mm == pytest.approx(before.seat_height_mm, abs=1e-6)
    assert all(way.amount_mm == 0.0 for way in plan.ways)
    of = account(job, plan, Rates(hourly=60.0))
    assert (of.cost, of.hours, of.undo) == (0.0, 0.0, 1.0)


def test_a_difference_is_that_of_the_figures_beside_it() -> None:
    first = plan_fixture.plan()
    second = replace(
        first, delivered=replace(first.delivered, on_wheels_mm=replace_band(first, 43.6))
    )
    cells = row(compared(first, second), "Lower than its stock, by the tape").cells
    # 41 and 43.6 are read as 41 and 44, so the difference reads 3, not 2.6.
    assert cells == (Cell("41 mm"), Cell("44 mm", "+3 mm"))
    assert cells[1].words == "44 mm (+3 mm)"
    inches = row(compared(first, second, system=INCH), "Lower than its stock, by the tape").cells
    assert inches[1].text == f"{43.6 / 25.4:.2f} in"


def replace_band(plan: Plan, value: float) -> object:
    return replace(plan.delivered.on_wheels_mm, value=value)


def test_words_that_differ_bear_a_sign_and_those_that_agree_do_not() -> None:
    plan = plan_fixture.plan()
    need = plan.requirement
    other = replace(plan, requirement=replace(need, planned=need.stock, reached=False))
    comparison = compared(plan, other)
    assert row(comparison, "Feet on the ground").cells[1].words == f"{OTHER} Toes of both feet"
    assert row(comparison, "As wanted").cells == (Cell("Yes"), Cell("No", OTHER))
    assert not row(comparison, "Shock preload").differs


def test_what_only_one_fits_is_a_dash_elsewhere() -> None:
    plan = plan_fixture.plan()
    bare = replace(plan, ways=tuple(replace(way, amount_mm=0.0) for way in plan.ways))
    comparison = compared(bare, plan)
    assert row(comparison, "Extension limiter, fork").cells == (Cell("–"), Cell("50.8 mm", OTHER))
    labels = [each.label for section in comparison.sections for each in section.rows]
    assert "Lower seat" not in labels, "fitted by neither"


def test_prices_hours_and_shares_tell_their_differences() -> None:
    plan, job = plan_fixture.plan(), factories.job()
    entries = [
        Entry("Stock machine", job, plan, 0.0, 0.0, None),
        Entry("One", job, plan, 180.5, 3.0, 0.9),
        Entry("Two", job, plan, None, None, 0.75),
    ]
    comparison = compare(entries, METRIC, money=money, decimal_mark=",")
    assert [cell.words for cell in row(comparison, "Price").cells] == [
        "£0.00", "£180.50 (+£180.50)", "≠ –",
    ]  # fmt: skip
    assert [cell.text for cell in row(comparison, "Working time").cells] == ["0,0 h", "3,0 h", "–"]
    shares = compare(entries[1:], METRIC, money=money)
    assert row(shares, "Can be undone with the old parts").cells[1] == Cell("75 %", "−15 points")


def test_cautions_of_all_plans_stand_once_and_in_the_order_of_the_work() -> None:
    first, mid, last = Caution("A", "first"), Caution("B", "second"), Caution("Z", "last")
    plans = [
        replace(plan_fixture.plan(), cautions=found)
        for found in ((first, last), (first, mid, last), (mid, last))
    ]
    assert compared(*plans).cautions == (("A", "first"), ("B", "second"), ("Z", "last"))


def test_what_was_not_known_names_the_columns_and_follows_the_units() -> None:
    plan = plan_fixture.plan()
    reach = f"Reach taken as {figure_in_text(254.0, Kind.LENGTH)}"
    plans = [replace(plan, assumptions=found) for found in (("A",), ("A", reach), ("A", reach))]
    assert compared(*plans, system=INCH).unknown == (
        "A",
        "Columns 2 and 3: Reach taken as 10.00 in",
    )


def test_columns_for_different_riders_say_so() -> None:
    job, plan = factories.job(), plan_fixture.plan()
    heavier = job.replace(rider=job.rider.replace(mass_kg=90.0))
    same = compare([Entry("a", job, plan), Entry("b", job, plan)], METRIC, money=money)
    assert same.rider.startswith("Test rider, inside leg 790 mm, 75.0 kg")
    apart = compare([Entry("a", job, plan), Entry("b", heavier, plan)], METRIC, money=money)
    assert "different figures of the rider" in apart.rider


@given(st.integers(min_value=0, max_value=7))
def test_one_to_four_columns_and_no_more(count: int) -> None:
    entries = [Entry("a", factories.job(), plan_fixture.plan())] * count
    if 1 <= count <= MOST_COLUMNS:
        made = compare(entries, METRIC, money=money)
        rows = [each for section in made.sections for each in section.rows]
        assert {len(each.cells) for each in rows} == {count}
        assert not any(each.differs for each in rows)
    else:
        with pytest.raises(ValueError, match="side by side"):
            compare(entries, METRIC, money=money)


def test_every_figure_of_a_column_comes_from_its_plan() -> None:
    job = factories.job()
    plan = evaluate(job)
    comparison = compare([Entry("a", job, plan)], METRIC, money=money)
    at = plan.states.planned
    for label, value in (
        ("Seat height, rider stopped", at.stopped.seat_height_mm),
        ("Trail, rider up", at.rider_up.trail_mm),
        ("Rider sag, rear", plan.springs["rear"].sag.rider_mm),
    ):
        assert row(comparison, label).cells[0].text == f"{value:.0f} mm"
    for section in comparison.sections:
        if section.title != "Price and work":
            assert all(cell.text for each in section.rows for cell in each.cells)


# The window.


class Held:
    """The job that the window asks for."""

    def __init__(self, job: Job) -> None:
        self.job = job

    def __call__(self) -> Job:
        return self.job


def opened(
    qtbot: QtBot, job: Job | None = None, planner: Callable[[Job], Plan] = evaluate
) -> tuple[CompareWindow, Held]:
    held = Held(job or factories.job())
    window = CompareWindow(held, library(), Dialogs(None), planner=planner)  # type: ignore[arg-type]
    window.setLocale(BRITISH)
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    return window, held


def planned(qtbot: QtBot, window: CompareWindow) -> None:
    qtbot.waitUntil(lambda: not window.shelf.busy)


def titles(window: CompareWindow) -> list[str]:
    return [head.texts()[0].split("  ", 1)[1] for head in window.heads()]


def test_stock_plan_and_another_machine_stand_side_by_side(qtbot: QtBot) -> None:
    job = factories.job(choices={"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0})
    window, _ = opened(qtbot, job)
    window.stock_button.click()
    window.plan_button.click()
    window.add_machine(library()["other-bike"])
    planned(qtbot, window)
    assert titles(window) == ["Stock machine", "Plan of this job", "As the planner chooses"]
    stock, plan, other = window.shelf.items
    assert stock.job.choices == stock_choices(job)
    assert plan.job == job
    assert other.job.machine.id == "other-bike" and other.job.rider == job.rider
    assert other.job.choices == open_choices(job.choices)
    texts = [plain(text) for text in window.table.texts()]
    place = texts.index("Extension limiter, fork")
    assert texts[place + 1 : place + 3] == ["–", "≠ 30.0 mm"]
    window.close_shelf()


def test_plans_are_worked_out_away_from_the_window(qtbot: QtBot) -> None:
    threads: list[int] = []

    def planner(job: Job) -> Plan:
        threads.append(threading.get_ident())
        return evaluate(job)

    window, _ = opened(qtbot, planner=planner)
    window.add_plan()
    planned(qtbot, window)
    assert threads and threads[0] != threading.get_ident()
    window.close_shelf()


def test_four_are_the_most_and_none_stands_twice(qtbot: QtBot) -> None:
    window, held = opened(qtbot)
    window.add_plan()
    window.add_plan()
    assert len(window.shelf.items) == 1
    for amount in (10.0, 15.0, 20.0, 25.0):
        held.job = held.job.replace(choices=held.job.choices.replace(fork_limiter_mm=amount))
        window.add_plan()
    assert len(window.shelf.items) == MOST_COLUMNS
    assert "Four columns are the most" in window.notice()
    assert not window.plan_button.isEnabled() and not window.stock_button.isEnabled()
    window.close_shelf()


def test_columns_are_moved_and_taken_away_with_keys(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.add_stock()
    window.add_plan()
    planned(qtbot, window)
    first, last = window.heads()
    assert not first.left.isEnabled() and not last.right.isEnabled()
    QTest.keyClick(last.left, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: titles(window) == ["Plan of this job", "Stock machine"])
    QTest.keyClick(window.heads()[0].close_button, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: titles(window) == ["Stock machine"])
    QTest.keyClick(window.heads()[0].close_button, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: not window.shelf.items)
    assert window.comparison is None and not window.pdf_button.isEnabled()
    window.close_shelf()


def test_cells_that_differ_are_bold_and_others_can_be_hidden(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.add_stock()
    window.add_plan()
    planned(qtbot, window)
    comparison = window.comparison
    assert comparison is not None
    rows = [each for section in comparison.sections for each in section.rows]
    differing = [cell.words for each in rows for cell in each.cells if cell.change]
    assert differing and window.table.bold_texts() == differing
    window.differing_box.click()
    assert len(window.table.texts()) == 3 * sum(each.differs for each in rows)
    window.close_shelf()


def test_units_and_rates_are_followed(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.add_stock()
    window.set_system(INCH)
    window.set_rates(Rates(hourly=60.0, currency="EUR"))
    planned(qtbot, window)
    texts = [plain(text) for text in window.table.texts()]
    assert not any(text.endswith(" mm") for text in texts)
    assert texts[texts.index("Price") + 1] == "€0"
    window.close_shelf()


def test_a_rider_who_changed_is_told_and_worked_out_again(qtbot: QtBot) -> None:
    window, held = opened(qtbot)
    window.add_plan()
    planned(qtbot, window)
    assert window.notice() == ""
    held.job = held.job.replace(rider=held.job.rider.replace(mass_kg=60.0))
    window.refresh()
    assert "have changed" in window.notice()
    window.rider_button.click()
    planned(qtbot, window)
    assert window.notice() == ""
    (item,) = window.shelf.items
    assert item.job.rider.mass_kg == 60.0 and item.plan == evaluate(held.job)
    window.close_shelf()


def test_a_column_without_a_plan_says_why(qtbot: QtBot) -> None:
    window, _ = opened(qtbot, factories.job(rider={"mass_kg": None}))
    window.add_plan()
    planned(qtbot, window)
    assert "mass" in window.heads()[0].texts()[1]
    assert window.comparison is None and not window.print_button.isEnabled()
    window.close_shelf()


def test_another_job_clears_the_columns(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    window.commands["compare"].trigger()
    assert window.compare is not None and window.compare.isVisible()
    window.compare.add_plan()
    planned(qtbot, window.compare)
    window.commands["new"].trigger()
    assert window.compare.shelf.items == ()


def test_the_window_leaves_nothing_behind(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.add_stock()
    window.add_plan()
    planned(qtbot, window)
    window.close_shelf()
    gone = weakref.ref(window)
    window.close()
    window.deleteLater()
    del window
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    assert gone() is None


# Pictures.


def test_pictures_have_one_scale_and_one_ground(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.add_stock()
    window.add_machine(library()["other-bike"])
    planned(qtbot, window)
    for width in (900, 1500):
        window.resize(width, 760)
        for state in range(len(STATE_NAMES)):
            window.states.setCurrentIndex(state)
            scales = window.pictures.scales()
            assert len(scales) == 2 and scales[0] == pytest.approx(scales[1], rel=1e-9)
            assert window.pictures.grab().width() > 0
    window.close_shelf()


@pytest.mark.parametrize("sizes", [[(200, 200), (300, 200)], [(400, 260)] * 4])
def test_the_scale_is_that_of_the_tightest_picture(sizes: list[tuple[int, int]]) -> None:
    job = factories.job()
    scene = evaluate(job).pictures.side["stopped"]
    small = evaluate(job.replace(choices=stock_choices(job))).pictures.side["full_bump"]
    places = [(QRectF(0, 0, *size), alone((scene, small)[n % 2])) for n, size in enumerate(sizes)]
    font = QFont()
    found = cameras(places, plain_mm, font)
    layouts = [
        arrange(rect, scene, plain_mm, font, camera)
        for (rect, scene), camera in zip(places, found, strict=True)
    ]
    assert max(one.scale for one in layouts) == pytest.approx(min(one.scale for one in layouts))
    assert max(camera.zoom for camera in found) == pytest.approx(1.0), "no room is wasted"
    assert all(camera.zoom <= 1.0 + 1e-9 for camera in found), "nothing is cut off"
    grounds = [one.rect.bottom() - one.ground_y for one in layouts]
    assert max(grounds) == pytest.approx(min(grounds), abs=0.5)


def test_a_picture_alone_shows_no_before() -> None:
    scene = evaluate(factories.job()).pictures.side["stopped"]
    assert scene.before and len(scene.heights) == 2
    bare = alone(scene)
    assert not bare.before and bare.change is None
    (height,) = bare.heights
    assert height.value_mm == scene.heights[-1].value_mm
    assert alone(scene, measured=False).heights == ()
