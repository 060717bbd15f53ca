"""The page of the bench: ticking, noting, undo, what changed since, and no plan for a tick."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import MeasuredState, Place, Reading, Tick, When
from fitplanner.documents.job import Job
from fitplanner.documents.torque import Fastener, Torque
from fitplanner.planning.bench import steps
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan
from fitplanner.quantities import UnitSystem
from fitplanner.session.edits import replace_at
from fitplanner.store.files import open_job, save_job
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.pages.bench import BenchPage
from tests import factories
from tests.gui.looking import plain
from tests.gui.shell import open_window, wait_for_plan

CHOICES = {"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0}
QUOTED = Torque(fastener=Fastener.FORK_CAP, words="30 N·m", source="book, page 6-12")


class Counting:
    """Plans, and remembers for how many jobs."""

    def __init__(self) -> None:
        self.jobs: list[Job] = []

    def __call__(self, job: Job) -> Plan:
        self.jobs.append(job)
        return evaluate(job)


def open_bench(qtbot: QtBot, job: Job | None = None) -> tuple[MainWindow, BenchPage, Counting]:
    planner = Counting()
    window = open_window(qtbot, job or factories.job(choices=CHOICES), planner=planner)
    page = window.pages.bench
    window.pages.setCurrentWidget(page)
    qtbot.waitUntil(page.isVisible)
    return window, page, planner


def change(qtbot: QtBot, window: MainWindow, key: str, value: object) -> None:
    job = replace_at(window.session.job, ("choices", key), value)
    window.history.change(job, "Change an amount")
    wait_for_plan(qtbot, window)


def press(page: BenchPage, button: QAbstractButton) -> None:
    """Scroll to it, then click."""
    QApplication.processEvents()
    page.ensureWidgetVisible(button)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def click(page: BenchPage, key: str) -> None:
    press(page, page.rows()[key].box)


def test_all_steps_stand_in_order_under_their_sections_with_figures_and_cautions(
    qtbot: QtBot,
) -> None:
    job = factories.job(choices=CHOICES)
    job = job.replace(machine=job.machine.replace(torques=[QUOTED]))
    window, page, _ = open_bench(qtbot, job)
    assert window.plan is not None
    wanted = steps(job, window.plan)
    assert list(page.rows()) == [step.key for step in wanted]
    assert page.texts()[0] == f"0 of {len(wanted)} done"
    figures = page.figures()
    told: list[str] = []
    for step in wanted:
        row = page.rows()[step.key]
        assert [label for _, label in row.tiles.words()] == [one.label for one in step.quantities]
        words = "\n".join(row.words())
        assert figures.sentence(step.text) in words
        for caution in step.cautions:
            assert figures.sentence(caution.text) in words
            told.append(caution.text)
    assert sorted(told) == sorted(caution.text for caution in window.plan.cautions)
    (tile,) = page.rows()["fork-limiter"].tiles.words()
    assert tuple(map(plain, tile)) == ("30.0 mm", "Limiter, each leg")
    cap = "\n".join(page.rows()["clamps"].words())
    assert "Torque, fork cap: 30 N·m (book, page 6-12)" in cap
    assert "Torque from the maker's manual: lower clamp, upper clamp, front axle" in cap


def test_figures_are_read_from_a_metre_away_and_follow_the_units(qtbot: QtBot) -> None:
    window, page, _ = open_bench(qtbot)
    tile = page.rows()["fork-limiter"].tiles._tiles[0]
    high_px = QFontMetrics(tile._value.font()).capHeight()
    # 16 minutes of arc at 1 m are 4.65 mm; a usual screen has 96 pixels an inch.
    assert high_px / 96 * 25.4 >= 4.65
    window.set_system(UnitSystem.INCH)
    assert plain(tile.words()[0]) == "1.181 in"


def test_nothing_stands_past_the_edge_in_a_wide_window_made_narrow(qtbot: QtBot) -> None:
    window, page, _ = open_bench(qtbot)
    tiles = page.rows()["measure-before"].tiles
    places = []
    for width in (1920, 1280, 1100, 1920):
        window.resize(width, 800)
        qtbot.waitUntil(lambda wide=width: window.width() == wide)  # type: ignore[misc]
        for _ in range(3):
            QApplication.processEvents()
        assert page.widget().width() == page.viewport().width()
        assert all(tile.geometry().right() < tiles.width() for tile in tiles._tiles)
        assert all(tile._value.width() >= tile._value.sizeHint().width() for tile in tiles._tiles)
        places.append(len({tile.x() for tile in tiles._tiles}))
    assert places[0] == places[3] > places[1] > places[2]


def test_a_tick_is_kept_in_the_job_undone_and_never_plans(qtbot: QtBot, tmp_path: Path) -> None:
    window, page, planner = open_bench(qtbot)
    plan, shown = window.plan, page.rows()["lift"]
    click(page, "lift")
    click(page, "fork-open")
    ticks = window.session.job.ticks
    assert [tick.step for tick in ticks if tick.done] == ["lift", "fork-open"]
    assert page.texts()[0].startswith("2 of ") and shown.box.isChecked()
    assert page.rows()["lift"] is shown, "rows stay as they are"
    place = list(page.rows()).index("fork-open") + 1
    assert window.history.undo_words() == f"Tick step {place}"
    window.history.undo()
    assert [tick.step for tick in window.session.job.ticks] == ["lift"]
    assert not page.rows()["fork-open"].box.isChecked()
    window.history.redo()
    assert page.rows()["fork-open"].box.isChecked()
    click(page, "lift")
    assert [tick.step for tick in window.session.job.ticks] == ["fork-open"]
    assert len(planner.jobs) == 1 and not window.planner.busy and window.plan is plan
    save_job(window.session.job, tmp_path / "job.fit.json")
    assert window.answer is not None and window.answer.job is window.session.job
    assert open_job(tmp_path / "job.fit.json").ticks == window.session.job.ticks


def test_names_remarks_and_readings_start_no_plan_but_a_figure_does(qtbot: QtBot) -> None:
    window, page, planner = open_bench(qtbot)
    reading = Reading(
        when=When.BEFORE, place=Place.OIL_DRAINED, state=MeasuredState.EXTENDED, value=345.0
    )
    job = window.session.job
    for changed in (
        {"title": "Another"},
        {"reference": "26-17"},
        {"note": "Wants it by May"},
        {"readings": [reading]},
        {"rider": job.rider.replace(name="A. Rider", phone="555 0100")},
    ):
        window.history.change(window.session.job.replace(**changed), "Change")
    assert len(planner.jobs) == 1 and not window.planner.busy
    said = plain("\n".join(page.rows()["fork-drain"].words()))
    assert "Read: Drained, left leg 345.0 mL" in said
    change(qtbot, window, "fork_limiter_mm", 35.0)
    assert len(planner.jobs) == 2
    window.history.undo()
    wait_for_plan(qtbot, window)
    assert len(planner.jobs) == 3
    assert window.answer is not None and window.answer.job == window.session.job


def test_a_plan_on_its_way_is_shown_though_a_step_was_ticked_meanwhile(qtbot: QtBot) -> None:
    window, page, planner = open_bench(qtbot)
    job = replace_at(window.session.job, ("choices", "fork_limiter_mm"), 40.0)
    window.history.change(job, "Change an amount")
    click(page, "lift")
    wait_for_plan(qtbot, window)
    assert page.rows()["fork-limiter"].tiles.words()[0][0].startswith("40.0")
    assert page.rows()["lift"].box.isChecked() and len(planner.jobs) == 2


def test_a_note_is_typed_into_the_job_one_step_back_and_stays_with_its_step(qtbot: QtBot) -> None:
    window, page, planner = open_bench(qtbot)
    note = page.rows()["fork-drain"].note
    assert "Drained, left leg" in note.placeholderText()
    note.setFocus()
    QTest.keyClicks(note, "345 mL each")
    click(page, "fork-drain")
    assert window.session.job.ticks[0].noted == "345 mL each"
    assert window.session.job.ticks[0].done
    # Another spring, so other steps: the row with its note is the same one.
    change(qtbot, window, "fork_rate_n_mm", 7.0)
    assert "fork-spring" in page.rows()
    assert page.rows()["fork-drain"].note is note and note.text() == "345 mL each"
    window.history.undo()
    wait_for_plan(qtbot, window)
    window.history.undo()
    assert note.text() == "345 mL each" and not page.rows()["fork-drain"].box.isChecked()
    window.history.undo()
    assert note.text() == "" and window.session.job.ticks == []
    assert len(planner.jobs) == 3


def test_a_ticked_step_that_says_something_else_now_is_marked_until_done_again(
    qtbot: QtBot,
) -> None:
    window, page, _ = open_bench(qtbot)
    click(page, "fork-limiter")
    row = page.rows()["fork-limiter"]
    assert not row.changed_words() and not row.again_button.isVisible()
    change(qtbot, window, "fork_limiter_mm", 35.0)
    assert row.box.isChecked() and row.again_button.isVisible()
    assert row.changed_words() == ("Changed since it was ticked. Then: Limiter, each leg 30.0 mm")
    assert page.texts()[0].endswith("done, 1 of them changed since")
    press(page, row.again_button)
    assert not row.changed_words() and "changed" not in page.texts()[0]
    assert "{length|35|.1}" in window.session.job.ticks[0].said


def test_what_was_ticked_and_is_not_in_the_plan_any_more_is_said(qtbot: QtBot) -> None:
    window, page, _ = open_bench(qtbot)
    click(page, "fork-limiter")
    change(qtbot, window, "fork_limiter_mm", 0.0)
    assert "fork-limiter" not in page.rows()
    assert page.texts()[1] == "Limiter, each leg 30.0 mm"
    change(qtbot, window, "fork_limiter_mm", 30.0)
    assert page.rows()["fork-limiter"].box.isChecked() and len(page.texts()) == 1


def test_ticks_of_a_file_are_shown_and_steps_wait_for_a_plan(qtbot: QtBot) -> None:
    ticks = [Tick(step="lift", noted="Front strap renewed"), Tick(step="of another version")]
    _, page, _ = open_bench(qtbot, factories.job(choices=CHOICES, ticks=ticks))
    row = page.rows()["lift"]
    assert row.box.isChecked() and row.note.text() == "Front strap renewed"
    assert len(page.texts()) == 1


def test_what_a_file_says_of_a_tick_is_shown_as_plain_words(qtbot: QtBot) -> None:
    odd = "<img src=x> {of|1} {length|1.2.3} {0}"
    ticks = [Tick(step="lift", said=odd), Tick(step="gone", said=odd)]
    _, page, _ = open_bench(qtbot, factories.job(choices=CHOICES, ticks=ticks))
    assert page.rows()["lift"].changed_words().endswith(odd)
    assert page.texts()[1] == odd


def test_the_page_is_built_when_it_is_looked_at_and_asks_for_its_sheet(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    assert window.pages._bench is None
    tabs = window.pages.tabBar()
    row = next(n for n in range(tabs.count()) if tabs.tabText(n) == "&Bench")
    window.pages.setCurrentIndex(row)
    page = window.pages.bench
    assert window.pages.currentWidget() is page and page.rows()
    with qtbot.waitSignal(window.pages.sheet_wanted):
        page.sheet_button.click()
    assert window.papers.window is not None and window.papers.window.isVisible()
