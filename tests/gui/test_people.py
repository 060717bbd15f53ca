"""The window that says who reaches: what it shows, what it asks, and that it never waits."""

import threading
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fitplanner.body.reach import Footing
from fitplanner.body.survey import Population
from fitplanner.documents.customers import Customers
from fitplanner.documents.job import Job
from fitplanner.planning.people.crowd import bodies_of
from fitplanner.planning.people.setups import Sort, Springs
from fitplanner.planning.people.shares import ASKED_SHARES, Found, Question, Row
from fitplanner.planning.resolve import UnsolvableError
from fitplanner.quantities import UnitSystem, of_100
from fitplanner.report.papers.write import Writer
from fitplanner.report.people import PICTURE_WORDS, own_words
from fitplanner.session.session import Session
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.people.asking import PeopleAsker
from fitplanner.ui.people.chart import Chart
from fitplanner.ui.people.customers import CustomersDialog
from fitplanner.ui.people.window import PeopleWindow
from fitplanner.ui.theme import ThemeMode, apply_theme
from fitplanner.ui.undo import History
from tests.gui.looking import plain
from tests.gui.people_fixture import LIBRARY, answer, demo_job
from tests.gui.shell import Answers, answers, open_window, retype

IRISH = QLocale(QLocale.Language.English, QLocale.Country.Ireland)


def canned(question: Question, *, tell: Callable, cancelled: Callable) -> Found:
    """The answer known already, as if it were the one to this question."""
    return replace(answer(), question=question)


def wait(qtbot: QtBot, window: PeopleWindow) -> None:
    qtbot.waitUntil(lambda: not window.asker.busy, timeout=30_000)


def opened(
    qtbot: QtBot,
    work: Callable[..., Found] = canned,
    job: Job | None = None,
    *,
    answered: bool = True,
) -> tuple[PeopleWindow, Session]:
    """The window by itself, over a job."""
    session = Session(job or demo_job())
    asker = PeopleAsker(work)
    window = PeopleWindow(History(session), LIBRARY.profiles, Answers(), asker=asker)
    asker.setParent(window)
    window.setLocale(IRISH)
    qtbot.addWidget(window, before_close_func=lambda each: each.shut())
    session.subscribe(window.show_job)
    with qtbot.waitExposed(window):
        window.show()
    if answered:
        wait(qtbot, window)
    return window, session


def chart(window: PeopleWindow) -> Chart:
    shown = window.plot.chart()
    assert shown is not None
    return shown


def say_own(row: Row) -> str:
    return plain(own_words(row, Writer(UnitSystem.METRIC, str)))


def choose(window: PeopleWindow, row: int) -> None:
    window.table.setCurrentItem(window.table.items()[row])


def test_the_table_says_seat_shares_and_price(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    shown = [[plain(cell) for cell in row] for row in window.table.texts()]
    rows = answer().rows
    assert [row[0] for row in shown] == [chr(65 + at) for at in range(len(rows))]
    for cells, row in zip(shown, rows, strict=True):
        women = row.shares[Population.WOMEN]
        assert cells[2] == f"{row.seat_mm:.0f}"
        assert cells[3] == f"{of_100(women.value)} ({of_100(women.low)}–{of_100(women.high)})"
        assert cells[6].replace(",", "") == f"€{row.price:.0f}"
    assert shown[0][1] == "As it stands: springs as stock"
    assert shown[1][1].startswith("This job's plan: ")
    assert any(cells[1].startswith("Option 1: ") for cells in shown)
    assert any(cells[1].startswith("Alone: lower seat ") for cells in shown)


def test_the_sentence_compares_the_row_picked_with_stock(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    rows = answer().rows
    women, men = ([of_100(row.shares[group].value) for row in rows] for group in rows[0].shares)
    wish = "reach the ground with the balls of both feet as the machine stands"
    assert window.sentence.text() == f"Of 100 women {women[0]} {wish}. Of 100 men {men[0]}."
    at = next(n for n, row in enumerate(rows) if row.candidate.sort is Sort.OPTION)
    choose(window, at)
    assert window.sentence.text() == (
        f"Of 100 women {women[0]} {wish}, {women[at]} with option 1. "
        f"Of 100 men {men[0]} and {men[at]}."
    )
    assert "Invented" in window.remark.text()


def test_the_needed_seats_are_told_for_women_and_men(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    shown = [[plain(cell) for cell in row] for row in window.needs.table.texts()[1:]]
    for cells, each in zip(shown, answer().needed, strict=True):
        drop, seat = each.drop_mm[Population.WOMEN], each.seat_mm[Population.WOMEN]
        assert cells[:4] == [
            f"{of_100(each.share)} of 100",
            f"{drop:.0f} mm",
            f"{each.stopped_mm[Population.WOMEN]:.0f} mm",
            f"{seat:.0f} mm",
        ]
    assert shown[0][4] == "nothing"


def test_lines_follow_their_ticks_and_the_row_picked(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    rows = answer().rows
    usual = [at for at, row in enumerate(rows) if row.candidate.sort is not Sort.WAY]
    assert [line.letter for line in chart(window).lines] == [chr(65 + at) for at in usual]
    assert [line.picked for line in chart(window).lines] == [True] + [False] * (len(usual) - 1)
    way = len(usual)
    item = window.table.items()[way]
    item.setCheckState(0, Qt.CheckState.Checked)
    assert chr(65 + way) in [line.letter for line in chart(window).lines]
    item.setCheckState(0, Qt.CheckState.Unchecked)
    window.table.items()[1].setCheckState(0, Qt.CheckState.Unchecked)
    left = [line.letter for line in chart(window).lines]
    assert left == [chr(65 + at) for at in usual if at != 1]
    # The row picked is drawn in any case.
    choose(window, 1)
    picked = next(line for line in chart(window).lines if line.picked)
    assert picked.letter == "B"
    assert picked.half_mm == pytest.approx(1.644854 * rows[1].spread_mm)


def test_the_chart_holds_both_groups_and_the_rider(qtbot: QtBot) -> None:
    window, session = opened(qtbot)
    shown = chart(window)
    women, men = shown.groups
    assert (women.words, men.words) == ("women", "men")
    assert women.middle == pytest.approx(
        bodies_of(answer().question.customers, Population.WOMEN).middle[:2]
    )
    inner, outer = women.outlines
    assert np.ptp(inner[0]) < np.ptp(outer[0])
    rider = session.job.rider
    assert shown.person is not None
    assert (shown.person.stature_mm, shown.person.leg_mm) == (
        rider.stature_mm,
        rider.inside_leg_mm,
    )
    for line in shown.lines:
        left, right = line.pieces
        assert left[0].max() <= right[0].min()
        assert np.isfinite(np.concatenate([left[1], right[1]])).sum() > 200


def test_the_rider_s_own_need_is_drawn_and_told_for_the_row_picked(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    for at in (0, 1):
        choose(window, at)
        own, person = answer().rows[at].own, chart(window).person
        assert own is not None and person is not None
        assert person.needed_mm == own.leg_mm
        assert say_own(answer().rows[at]) == plain(window.own.text())
    assert "mass usual for a stature" in PICTURE_WORDS and "own mass" in PICTURE_WORDS


def test_heads_name_the_state_in_which_a_seat_is_measured(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    assert window.table.headerItem().text(2).split() == ["Seat,", "stopped,", "mm"]
    assert window.needs.table.texts()[0][2:4] == ["Seat, stopped", "Data sheet"]


def test_a_rider_of_unknown_stature_is_not_drawn(qtbot: QtBot) -> None:
    window, _ = opened(qtbot, job=demo_job(stature_mm=None))
    assert chart(window).person is None


def test_an_estimated_leg_has_its_wide_band(qtbot: QtBot) -> None:
    window, _ = opened(qtbot, job=demo_job(inside_leg_mm=None))
    person = chart(window).person
    assert person is not None
    assert person.high_mm - person.low_mm > 70


def test_inches(qtbot: QtBot) -> None:
    window, _ = opened(qtbot)
    window.set_system(UnitSystem.INCH)
    assert chart(window).x.endswith(", in")
    seat = answer().rows[0].seat_mm / 25.4
    assert window.table.texts()[0][2] == f"{seat:.2f}"
    assert all(" mm" not in plain(cell) for row in window.table.texts() for cell in row)


def test_each_choice_asks_another_question(qtbot: QtBot) -> None:
    asked: list[Question] = []

    def noted(question: Question, **more: Callable) -> Found:
        asked.append(question)
        return canned(question, **more)

    window, session = opened(qtbot, noted)
    choices = window.choices
    assert asked[-1].job is not None
    assert asked[-1].pattern.mass_kg is None
    for box, row, told in (
        (choices.footing, 0, lambda each: each.pattern.footing is Footing.BOTH_FLAT),
        (choices.springs, 1, lambda each: each.springs is Springs.REAR_SET),
        (choices.wanted, 2, lambda each: each.wanted == ASKED_SHARES[2]),
        (choices.machine, 1, lambda each: each.job is None),
    ):
        before = len(asked)
        box.setCurrentIndex(row)
        box.activated.emit(row)
        wait(qtbot, window)
        assert len(asked) == before + 1
        assert told(asked[-1])
    assert asked[-1].machine.name == choices.machine.currentText()
    window.set_customers(Customers(women_share=0.25))
    wait(qtbot, window)
    assert asked[-1].customers.women_share == 0.25
    # The rider's own wish, once it is another one, is the one asked about.
    rider = session.job.rider.replace(footing=Footing.BOTH_TOES)
    session.set_job(session.job.replace(rider=rider))
    wait(qtbot, window)
    assert asked[-1].pattern.footing is Footing.BOTH_TOES
    count = len(asked)
    session.set_job(session.job.replace(rider=rider.replace(name="Somebody")))
    assert not window.asker.busy
    assert len(asked) == count


def test_the_job_s_machine_stands_first_and_once(qtbot: QtBot) -> None:
    window, session = opened(qtbot)
    box = window.choices.machine
    names = [box.itemText(at) for at in range(box.count())]
    assert names[0] == f"{session.job.machine.name} (this job)"
    assert len(names) == len(LIBRARY.profiles)
    assert session.job.machine.name not in names


def test_rows_stand_before_options_and_a_stop_keeps_them(qtbot: QtBot) -> None:
    going, threads = threading.Event(), set()

    def slow(question: Question, *, tell: Callable, cancelled: Callable) -> Found:
        threads.add(threading.current_thread())
        rows = tuple(r for r in answer().rows if r.candidate.sort is not Sort.OPTION)
        so_far = replace(answer(), question=question, rows=rows, complete=False)
        tell(0.2, so_far)
        while not cancelled():
            going.wait(0.01)
        return so_far

    window, _ = opened(qtbot, slow, answered=False)
    qtbot.waitUntil(lambda: len(window.table.texts()) > 3, timeout=10_000)
    assert window.asker.busy
    assert window.bar.isVisible()
    assert window.notice.text() == "Looking for options…"
    QTest.mouseClick(window.stop_button, Qt.MouseButton.LeftButton)
    wait(qtbot, window)
    assert threading.main_thread() not in threads
    assert "Stopped before options" in window.notice.text()
    assert len(window.table.texts()) > 3
    assert not window.bar.isVisible()
    assert window.stop_button.text() == "&Go on"
    QTest.mouseClick(window.stop_button, Qt.MouseButton.LeftButton)
    assert window.asker.busy
    going.set()
    window.asker.stop()
    wait(qtbot, window)


def test_an_answer_leaves_with_its_question(qtbot: QtBot) -> None:
    waiting, calls = threading.Event(), []

    def slow(question: Question, *, tell: Callable, cancelled: Callable) -> Found:
        calls.append(question)
        if len(calls) > 1:
            waiting.wait(10)
        return canned(question, tell=tell, cancelled=cancelled)

    window, _ = opened(qtbot, slow)
    window.choices.machine.setCurrentIndex(2)
    window.choices.machine.activated.emit(2)
    assert window.found() is None
    assert window.sentence.text() == ""
    assert window.table.texts() == []
    assert window.plot.chart() is None
    waiting.set()
    wait(qtbot, window)
    assert window.sentence.text() != ""


def test_a_late_answer_never_stands_over_a_newer_question(qtbot: QtBot) -> None:
    first, done = threading.Event(), []

    def slow(question: Question, *, tell: Callable, cancelled: Callable) -> Found:
        if not done:
            done.append(question)
            first.wait(10)
            return replace(answer(), question=question, needed=())
        return canned(question, tell=tell, cancelled=cancelled)

    window, _ = opened(qtbot, slow, answered=False)
    window.choices.springs.setCurrentIndex(1)
    window.choices.springs.activated.emit(1)
    first.set()
    wait(qtbot, window)
    found = window.found()
    assert found is not None
    assert found.question.springs is Springs.REAR_SET
    assert found.needed


def test_hidden_it_asks_nothing_until_it_is_looked_at(qtbot: QtBot) -> None:
    window, session = opened(qtbot)
    window.hide()
    session.set_job(demo_job(gear_mass_kg=14.0))
    assert not window.asker.busy
    with qtbot.waitExposed(window):
        window.show()
    wait(qtbot, window)
    found = window.found()
    assert found is not None
    assert found.question.pattern.gear_mass_kg == 14.0


def test_a_machine_that_cannot_be_built_is_told(qtbot: QtBot) -> None:
    def none(question: Question, **more: Callable) -> Found:
        raise UnsolvableError("rear linkage: its joints do not go together")

    window, _ = opened(qtbot, none)
    assert window.notice.text() == "rear linkage: its joints do not go together"
    assert window.table.texts() == []
    assert not window.taking.table_button.isEnabled()


@pytest.mark.expects_log
def test_a_fault_is_told(qtbot: QtBot) -> None:
    def broken(question: Question, **more: Callable) -> Found:
        raise ZeroDivisionError("no seat")

    window, _ = opened(qtbot, broken)
    assert "no seat" in window.notice.text()


def test_the_real_work_answers_too(qtbot: QtBot) -> None:
    from fitplanner.planning.people.shares import who_reaches

    window, _ = opened(qtbot, who_reaches)
    found = window.found()
    assert found is not None
    assert found == answer()


def test_the_table_is_exported(qtbot: QtBot, tmp_path) -> None:
    window, _ = opened(qtbot)
    dialogs = window._dialogs
    assert isinstance(dialogs, Answers)
    dialogs.to_export = tmp_path / "reach"
    QTest.mouseClick(window.taking.table_button, Qt.MouseButton.LeftButton)
    text = (tmp_path / "reach.csv").read_text("utf-8-sig")
    assert text.count("\n") == 1 + len(answer().rows) + 2 * len(ASKED_SHARES) + 8
    assert "who reaches" in str(dialogs.proposed[-1])


def test_the_picture_goes_to_the_clipboard_in_light_colours(
    qtbot: QtBot, qapp: QApplication
) -> None:
    apply_theme(qapp, ThemeMode.DARK)
    window, _ = opened(qtbot)
    QTest.mouseClick(window.taking.copy_button, Qt.MouseButton.LeftButton)
    image = QGuiApplication.clipboard().image()
    assert image.width() >= 1200
    assert image.pixelColor(2, 2).lightnessF() > 0.8
    inks = {image.pixelColor(x, y).name() for x in range(0, 1800, 7) for y in range(0, 1300, 7)}
    assert len(inks) > 10
    apply_theme(qapp, ThemeMode.LIGHT)


@pytest.mark.parametrize("width", [1060, 1280, 1900])
@pytest.mark.parametrize("system", [UnitSystem.METRIC, UnitSystem.INCH])
def test_nothing_needs_a_bar_to_the_side(qtbot: QtBot, width: int, system: UnitSystem) -> None:
    window, _ = opened(qtbot)
    window.set_system(system)
    window.resize(width, 760)
    QTest.qWait(20)
    assert window.table.header().length() <= window.table.viewport().width()
    assert window.table.columnWidth(1) >= 130


# In the main window.


def shop(qtbot: QtBot) -> tuple[MainWindow, PeopleWindow]:
    window = open_window(qtbot, demo_job(), profiles=LIBRARY.profiles)
    window.commands["people"].trigger()
    people = window.side.people
    assert people is not None
    wait(qtbot, people)
    return window, people


def test_the_shop_s_own_customers_are_kept_and_asked_about(qtbot: QtBot) -> None:
    window, people = shop(qtbot)
    before = people.found()
    assert before is not None
    answers(window).customers = Customers(women_stature_mm=1680.0, women_share=0.3)
    QTest.mouseClick(people.customers_button, Qt.MouseButton.LeftButton)
    wait(qtbot, people)
    assert window.settings.preferences.customers.women_stature_mm == 1680.0
    after = people.found()
    assert after is not None
    women = Population.WOMEN
    assert after.rows[0].shares[women].value > before.rows[0].shares[women].value + 0.1
    assert people.table.headerItem().toolTip(5) != ""


def test_the_dialog_takes_figures_and_goes_back_to_the_survey_s(qtbot: QtBot) -> None:
    dialog = CustomersDialog(Customers(women_share=0.2), UnitSystem.METRIC)
    dialog.setLocale(IRISH)
    qtbot.addWidget(dialog)
    dialog.show()
    assert dialog.customers() == Customers(women_share=0.2)
    field = dialog.fields["men_stature_mm"]
    retype(field, "1790")
    assert dialog.customers().men_stature_mm == 1790.0
    retype(field, "17")
    assert not dialog.ok_button.isEnabled()
    QTest.mouseClick(dialog.survey_button, Qt.MouseButton.LeftButton)
    assert dialog.ok_button.isEnabled()
    assert dialog.customers() == Customers()


def test_the_page_holds_sentence_table_and_chart(qtbot: QtBot, tmp_path) -> None:
    import pypdf

    from fitplanner.report import people as say
    from fitplanner.report.people_taken import people_paper
    from fitplanner.ui.people.drawing import letters
    from fitplanner.ui.people.paper import sheet_of
    from fitplanner.ui.printing.pages import write_pages
    from fitplanner.ui.printing.paper import Paper

    window, _ = opened(qtbot)
    row = answer().rows[2]
    paper = people_paper(answer(), row, letters(answer()), window._writer())
    sheet = sheet_of(window, paper, chart(window), window._figures())
    for size in (Paper.A4, Paper.LETTER):
        write_pages(tmp_path / "reach.pdf", sheet, size)
        reader = pypdf.PdfReader(tmp_path / "reach.pdf")
        assert len(reader.pages) == 1
        text = " ".join(reader.pages[0].extract_text().split())
        for words in (say.told(answer(), row), "Inside leg, barefoot", "75 of 100", "Gordon et al"):
            assert words in text


def test_a_table_that_cannot_be_written_is_told(qtbot: QtBot, tmp_path) -> None:
    window, _ = opened(qtbot)
    dialogs = window._dialogs
    assert isinstance(dialogs, Answers)
    dialogs.to_export = tmp_path / "reach.csv"
    dialogs.to_export.mkdir()
    QTest.mouseClick(window.taking.table_button, Qt.MouseButton.LeftButton)
    assert "reach.csv" in " ".join(dialogs.told)
