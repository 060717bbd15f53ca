"""The window that ranks the library: what it shows, what a press does, and that it never waits."""

import threading
from collections.abc import Callable

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QTreeWidgetItem
from pytestqt.qtbot import QtBot

from fitplanner.documents.job import Job
from fitplanner.documents.machine import INVENTED
from fitplanner.documents.preferences import Preferences, Rates
from fitplanner.library.loader import load_library
from fitplanner.planning.fleet import Doing, FleetRow, rank
from fitplanner.quantities import UnitSystem
from fitplanner.session.session import Session
from fitplanner.ui import texts
from fitplanner.ui.fleet.asking import FleetAsker
from fitplanner.ui.fleet.rates import RatesDialog
from fitplanner.ui.fleet.window import FleetWindow
from fitplanner.ui.fleet.words import group_title
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.theme import ThemeMode, apply_theme
from fitplanner.ui.undo import History
from tests.gui.looking import plain
from tests.gui.shell import answers, open_window, wait_for_plan

LIBRARY = load_library()
IRISH = QLocale(QLocale.Language.English, QLocale.Country.Ireland)
Ranker = Callable[..., tuple[FleetRow, ...]]


def demo_rider_job(**changes: object) -> Job:
    rider = LIBRARY.riders["ilka"].replace(**changes)
    return Job(rider=rider, machine=LIBRARY.profiles["brackwell-250"])


def wait(qtbot: QtBot, window: FleetWindow) -> None:
    qtbot.waitUntil(lambda: not window.asker.busy, timeout=20_000)


def opened(
    qtbot: QtBot, ranker: Ranker = rank, job: Job | None = None, *, answered: bool = True
) -> tuple[FleetWindow, Session]:
    """The window by itself, over a job."""
    session = Session(job or demo_rider_job())
    asker = FleetAsker(tuple(LIBRARY.profiles.values()), ranker)
    window = FleetWindow(History(session), LIBRARY.profiles, asker=asker)
    asker.setParent(window)
    window.setLocale(IRISH)
    qtbot.addWidget(window, before_close_func=lambda each: each.shut())
    session.subscribe(window.show_job)
    window.show_job(session.job)
    with qtbot.waitExposed(window):
        window.show()
    if answered:
        wait(qtbot, window)
    return window, session


def groups(window: FleetWindow) -> dict[str, list[list[str]]]:
    """Texts of every row by the title of its group, without the count."""
    tree = window.tree
    found = {}
    for head in map(tree.topLevelItem, range(tree.topLevelItemCount())):
        assert isinstance(head, QTreeWidgetItem)
        rows = [head.child(i) for i in range(head.childCount())]
        texts = [[plain(row.text(column)) for column in range(6)] for row in rows]
        found[head.text(0).rsplit("  (", 1)[0]] = texts
    return found


def test_machines_stand_in_groups_by_what_must_be_done(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    shown = groups(window)
    assert list(shown) == [group_title(doing) for doing in Doing]
    assert sum(map(len, shown.values())) == len(LIBRARY.profiles)
    for doing in Doing:
        names = [row[0].removesuffix(" (this job)") for row in shown[group_title(doing)]]
        assert names == [row.profile.name for row in window.rows() if row.doing is doing]
    for head in map(window.tree.topLevelItem, range(window.tree.topLevelItemCount())):
        assert isinstance(head, QTreeWidgetItem)
        assert not head.icon(0).isNull()
        assert head.isExpanded()


def test_a_row_says_drop_feet_work_hours_and_price(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    row = next(row for row in window.rows() if row.profile.id == "duncarrow-250")
    cells = next(
        texts for rows in groups(window).values() for texts in rows if "Duncarrow" in texts[0]
    )
    assert cells[1] == f"{row.drop_mm:.0f}"
    feet, likely = cells[2].split("\n")
    assert feet == "Toes of both feet → Balls of both feet"
    row = next(each for each in window.rows() if each.profile.id == "duncarrow-250")
    assert row.chance is not None, "the second answer brings it"
    assert likely == f"as wanted: {texts.chance_words(row.chance)}"
    assert "20 mm" in cells[3]
    assert cells[4] == f"{row.hours:.1f}"
    assert cells[5] == f"€{row.price:.0f}"


def test_the_rider_stands_at_the_head_in_the_units_of_the_user(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    assert "inside leg 814 mm" in plain(window.rider.text())
    assert "Balls of both feet" in window.rider.text()
    window.set_system(UnitSystem.INCH)
    # 814 mm are 32.05 in (25.4 mm to the inch, exactly).
    assert "inside leg 32.05 in" in plain(window.rider.text())
    assert window.tree.headerItem().text(1) == "To come down, in"


def test_what_is_not_possible_says_why_and_has_no_price(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    rows = groups(window)[group_title(Doing.IMPOSSIBLE)]
    child = next(row for row in rows if "Thimble" in row[0])
    assert child[3] == "Rider and luggage come to 70.0 kg, the machine may carry 65.0 kg"
    assert child[4:] == ["–", "–"]


def test_planning_on_a_machine_is_one_step_that_undo_takes_back(qtbot: QtBot) -> None:
    window, session = opened(qtbot)
    before = session.job
    window.choose("duncarrow-250")
    QTest.mouseClick(window.plan_button, Qt.MouseButton.LeftButton)
    assert session.job.machine == LIBRARY.profiles["duncarrow-250"]
    assert session.job.choices.thicker_sole_mm == 20.0
    assert session.job.rider is before.rider
    history = window._history
    assert history.stack.count() == 1
    history.undo()
    assert session.job == before


def test_the_keyboard_alone_is_enough(qtbot: QtBot) -> None:
    window, session = opened(qtbot)
    window.tree.setFocus()
    window.choose("merebrook-400")
    QTest.keyClick(window.tree, Qt.Key.Key_Down)
    chosen = window.row()
    assert chosen is not None
    assert chosen.profile.id != "merebrook-400"
    QTest.keyClick(window, Qt.Key.Key_Return)
    assert session.job.machine == chosen.profile


def test_the_choice_stays_when_the_rider_changes(qtbot: QtBot) -> None:
    window, session = opened(qtbot)
    window.choose("harrowgill-650")
    session.set_job(demo_rider_job(inside_leg_mm=780.0))
    wait(qtbot, window)
    row = window.row()
    assert row is not None
    assert row.profile.id == "harrowgill-650"
    assert row.drop_mm > 60.0


def test_a_rider_not_known_well_enough_is_asked_for(qtbot: QtBot) -> None:
    window, _ = opened(qtbot, job=demo_rider_job(mass_kg=None))
    assert window.notice.isVisibleTo(window)
    assert "body mass" in window.notice.text()
    assert not groups(window)
    assert not window.plan_button.isEnabled()


@pytest.mark.expects_log
def test_a_fault_is_told(qtbot: QtBot) -> None:
    def broken(*_: object, **__: object) -> tuple[FleetRow, ...]:
        raise ZeroDivisionError("no such luck")

    window, _ = opened(qtbot, broken)
    assert "no such luck" in window.notice.text()


def test_a_new_question_stops_the_old_one_and_the_window_never_waits(qtbot: QtBot) -> None:
    begun, threads, stopped = threading.Event(), [], []

    def slow(rider: object, profiles: object, rates: object, **more: object) -> object:
        threads.append(threading.current_thread())
        if len(threads) == 1:
            begun.set()
            cancelled = more["cancelled"]
            assert callable(cancelled)
            pause = threading.Event()
            while not cancelled():
                pause.wait(0.005)
            stopped.append(True)
            return ()
        return rank(rider, profiles, rates, **more)  # type: ignore[arg-type]

    window, session = opened(qtbot, slow, answered=False)  # type: ignore[arg-type]
    qtbot.waitUntil(begun.is_set)
    assert window.notice.text() == "Working through the library…"
    session.set_job(demo_rider_job(mass_kg=80.0))
    wait(qtbot, window)
    assert stopped == [True]
    assert threading.main_thread() not in threads
    assert len(window.rows()) == len(LIBRARY.profiles)
    assert not window.notice.isVisibleTo(window)


def test_amounts_of_the_job_ask_nothing_anew(qtbot: QtBot) -> None:
    asked = []

    def counted(*args: object, **more: object) -> tuple[FleetRow, ...]:
        asked.append(args)
        return rank(*args, **more)  # type: ignore[arg-type]

    window, session = opened(qtbot, counted)
    choices = session.job.choices.replace(lower_seat_mm=25.0)
    session.set_job(session.job.replace(choices=choices))
    wait(qtbot, window)
    assert len(asked) == 1
    session.set_job(session.job.replace(choices=choices.replace(luggage_rear_kg=20.0)))
    wait(qtbot, window)
    assert len(asked) == 2


def test_hidden_it_asks_nothing_until_it_is_looked_at(qtbot: QtBot) -> None:
    window, session = opened(qtbot)
    window.hide()
    session.set_job(demo_rider_job(mass_kg=90.0))
    assert not window.asker.busy
    with qtbot.waitExposed(window):
        window.show()
    wait(qtbot, window)
    assert any("90" in plain(text) for text in (window.rider.text(),))
    assert {row.choices.fuel_share for row in window.rows()} == {1.0}


@pytest.mark.parametrize("width", [980, 1280, 1900])
@pytest.mark.parametrize("system", [UnitSystem.METRIC, UnitSystem.INCH])
def test_nothing_needs_a_bar_to_the_side(qtbot: QtBot, width: int, system: UnitSystem) -> None:
    window, _ = opened(qtbot)
    window.set_system(system)
    window.resize(width, 720)
    QTest.qWait(20)
    head = window.tree.header()
    assert head.length() <= window.tree.viewport().width()
    assert window.tree.columnWidth(3) >= 150


def test_icons_follow_the_colours(qtbot: QtBot, qapp: QApplication) -> None:
    apply_theme(qapp, ThemeMode.LIGHT)
    window, _ = opened(qtbot)

    def first_icon() -> object:
        head = window.tree.topLevelItem(0)
        assert head is not None
        return head.icon(0).pixmap(20, 20).toImage()

    light = first_icon()
    apply_theme(qapp, ThemeMode.DARK)
    QTest.qWait(0)
    assert first_icon() != light
    apply_theme(qapp, ThemeMode.LIGHT)


def test_the_table_follows_the_colours(qtbot: QtBot, qapp: QApplication) -> None:
    apply_theme(qapp, ThemeMode.LIGHT)
    window, _ = opened(qtbot)
    apply_theme(qapp, ThemeMode.DARK)
    QTest.qWait(0)
    image = window.tree.viewport().grab().toImage()
    ground = image.pixelColor(image.width() - 2, image.height() - 2)
    assert ground == qapp.palette().base().color()
    apply_theme(qapp, ThemeMode.LIGHT)


def test_a_row_names_all_the_work_that_is_billed(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    told = {row[0]: row[3] for rows in groups(window).values() for row in rows}
    for row in window.rows():
        if row.doing is Doing.IMPOSSIBLE:
            continue
        name = row.profile.name
        text = told.get(name) or told[f"{name} (this job)"]
        assert ("side-stand shortened" in text) == row.new_stand
        assert ("to suit the weight" in text.lower()) == any((*row.springs, *row.preloads))
    assert any(row.new_stand for row in window.rows())


def test_the_details_say_that_a_machine_is_invented(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.choose("brackwell-250")
    assert window.details.text().endswith(INVENTED)


# In the main window.


def shop(qtbot: QtBot) -> MainWindow:
    window = open_window(qtbot, demo_rider_job(), profiles=LIBRARY.profiles)
    window.commands["fleet"].trigger()
    assert window.fleet is not None
    wait(qtbot, window.fleet)
    return window


def test_from_the_question_to_the_plan(qtbot: QtBot) -> None:
    window = shop(qtbot)
    assert window.fleet is not None
    window.fleet.choose("harrowgill-650")
    row = window.fleet.row()
    assert row is not None
    QTest.mouseClick(window.fleet.plan_button, Qt.MouseButton.LeftButton)
    wait_for_plan(qtbot, window)
    assert window.plan is not None
    assert window.plan.requirement.reached
    fitted = {way.way: way.amount_mm for way in window.plan.ways if way.amount_mm > 0}
    assert fitted == dict(row.amounts)
    assert "Machine: Harrowgill 650" in window.commands["undo"].text()


def test_an_hour_that_costs_more_makes_every_row_dearer(qtbot: QtBot) -> None:
    window = shop(qtbot)
    assert window.fleet is not None
    before = {row.profile.id: row for row in window.fleet.rows()}
    answers(window).rates = Rates(hourly=90.0, currency="CHF")
    window.commands["rates"].trigger()
    wait(qtbot, window.fleet)
    assert window.settings.preferences.rates == Rates(hourly=90.0, currency="CHF")
    default = Preferences().rates.hourly
    for row in window.fleet.rows():
        old = before[row.profile.id]
        assert row.price >= old.price
        if row.hours == old.hours:  # else the dearer hour made other work the cheapest
            assert row.price - old.price == pytest.approx(row.hours * (90.0 - default))
    prices = [texts[5] for rows in groups(window.fleet).values() for texts in rows]
    assert any("CHF" in price for price in prices)


def test_the_shops_figures_are_taken_as_they_are_entered(qtbot: QtBot) -> None:
    dialog = RatesDialog(Rates(hourly=72.5, currency="SEK"))
    dialog.setLocale(IRISH)
    qtbot.addWidget(dialog)
    assert dialog.rates() == Rates(hourly=72.5, currency="SEK")
    dialog.hourly.setValue(80.0)
    dialog.currency.setCurrentIndex(0)
    assert dialog.rates() == Rates(hourly=80.0, currency="")
    # ISO 4217: three capital letters; these are codes of the standard.
    codes = {dialog.currency.itemData(i) for i in range(dialog.currency.count())}
    assert {"EUR", "USD", "GBP", "JPY", "CHF"} <= codes


def test_spring_prices_are_figures_of_the_job(qtbot: QtBot) -> None:
    window = open_window(qtbot, demo_rider_job(), profiles=LIBRARY.profiles)
    window.show_figures()
    assert window.figures is not None
    window.figures.show_section("springs")
    entry = next(
        each
        for each in window.figures.form().fields
        if getattr(each, "address", None) == ("machine", "springs", "shock", "parts")
    )
    line = entry.line_edit  # type: ignore[attr-defined]
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, "150")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert window.session.job.machine.springs.shock.parts == 150.0
