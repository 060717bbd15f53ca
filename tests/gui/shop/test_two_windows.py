"""Two windows on one database: the second saver is told, shown both, and chooses."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import MeasuredState, Place, Reading, Stage, Tick, When
from fitplanner.documents.job import Fitted, Job
from fitplanner.quantities import UnitSystem
from fitplanner.session.edits import replace_at
from fitplanner.store.shop import Shop
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.shop.conflict import Choice, ConflictDialog
from fitplanner.ui.shop.words import lines
from fitplanner.ui.widgets.figures import Figures
from tests import factories
from tests.gui.shell import answers, press
from tests.gui.shop.people import FIGURES, add, changed, kept_jobs, named, opened

# Two windows on one database.


def two_windows(qtbot: QtBot, job: Job) -> tuple[MainWindow, MainWindow]:
    """Both have the same job open; the first saved a change, and so did not the second."""
    (key,) = add(job)
    first, second = opened(qtbot, key), opened(qtbot, key)
    first.settings.change(user_name="Maud")
    changed(first, ("rider", "mass_kg"), 81.0)
    press(first, "save")
    changed(second, ("rider", "mass_kg"), 64.5)
    changed(second, ("note",), "mine")
    return first, second


def test_the_second_to_save_sees_both_and_may_cancel(qtbot: QtBot) -> None:
    first, second = two_windows(qtbot, named("Ilka"))
    answers(second).choices = [Choice.CANCEL]
    press(second, "save")
    assert answers(second).asked == ["conflict with Maud"]
    rows = {line.entry: line.values for line in answers(second).seen}
    assert rows == {
        "Note": ("–", "mine", "–"),
        "Rider: Body mass": ("75 kg", "64.5 kg", "81 kg"),
    }
    assert second.session.unsaved and second.session.job.rider.mass_kg == 64.5
    assert kept_jobs() == [first.session.job]


def test_mine_over_theirs_leaves_theirs_in_the_history(qtbot: QtBot) -> None:
    _, second = two_windows(qtbot, named("Ilka"))
    answers(second).choices = [Choice.MINE]
    press(second, "save")
    assert not second.session.unsaved
    with Shop.open() as shop:
        (row,) = shop.find()
        assert shop.get(row.id).job == second.session.job
        masses = [shop.version(row.id, n).rider.mass_kg for n in (1, 2, 3)]
    assert masses == [75.0, 81.0, 64.5]


def test_theirs_is_taken_and_undo_brings_mine_back(qtbot: QtBot) -> None:
    first, second = two_windows(qtbot, named("Ilka"))
    mine = second.session.job
    answers(second).choices = [Choice.THEIRS]
    press(second, "save")
    assert second.session.job == first.session.job and not second.session.unsaved
    press(second, "undo")
    assert second.session.job == mine and second.session.unsaved
    press(second, "save")
    assert kept_jobs() == [mine]
    assert len(answers(second).asked) == 1


def test_mine_as_a_new_job_stands_beside_theirs(qtbot: QtBot) -> None:
    first, second = two_windows(qtbot, named("Ilka"))
    answers(second).choices = [Choice.AS_NEW]
    press(second, "save")
    assert kept_jobs() == [second.session.job, first.session.job]
    assert not second.session.unsaved


def test_somebody_faster_again_is_asked_about_again(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = two_windows(qtbot, named("Ilka"))
    ask = answers(second).ask_conflict
    answers(second).choices = [Choice.MINE, Choice.MINE]

    def meanwhile(*told: Any) -> Choice:
        if not answers(second).asked:
            changed(first, ("rider", "mass_kg"), 90.0)
            press(first, "save")
        return ask(*told)

    monkeypatch.setattr(second.dialogs, "ask_conflict", meanwhile)
    press(second, "save")
    assert len(answers(second).asked) == 2
    assert kept_jobs() == [second.session.job]
    with Shop.open() as shop:
        assert shop.find()[0].revision == 4


def test_nothing_of_ones_own_to_save_shows_the_newer_version(qtbot: QtBot) -> None:
    (key,) = add(named("Ilka"))
    first, second = opened(qtbot, key), opened(qtbot, key)
    newer = changed(first, ("note",), "newer")
    press(first, "save")
    press(second, "save")
    assert second.session.job == newer and not second.session.unsaved
    assert answers(second).asked == []


def test_the_conflict_is_shown_in_words_and_no_key_decides_it(qtbot: QtBot) -> None:
    add(named("Ilka"))
    with Shop.open() as shop:
        base = shop.get(shop.find()[0].id)
        mine = base.job.replace(stage=Stage.AGREED)
        shop.erase_rider(str(base.rider_id), "Maud")
        theirs = shop.get(base.id)
    dialog = ConflictDialog(base, mine, theirs, FIGURES)
    qtbot.addWidget(dialog)
    dialog.show()
    assert "Maud saved this job" in dialog.head.text()
    assert "erased" in dialog.more.text()
    rows = dialog.table.texts()
    assert ["Stage", "Asked", "Agreed", "Asked"] in rows
    assert ["Rider: Name", "Ilka", "Ilka", "–"] in rows
    QTest.keyClick(dialog.table, Qt.Key.Key_Return)
    assert dialog.isVisible()
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.choice is Choice.CANCEL and not dialog.isVisible()
    dialog.show()
    dialog.buttons[Choice.MINE].click()
    assert dialog.choice is Choice.MINE


# Words.


def test_differences_are_said_in_the_unit_shown() -> None:
    job = factories.job()
    fork = job.machine.fork
    preload = fork.preload_mm.replace(value=25.4, spread=2.54)
    other = job.replace(
        machine=job.machine.replace(fork=fork.replace(preload_mm=preload)),
        choices=job.choices.replace(fork_limiter_mm=25.4),
    )
    rows = {one.entry: one.values for one in lines(Figures(UnitSystem.INCH), job, other)}
    assert rows["Extension limiter, fork"] == ("left to the planner", "1 in")
    assert rows["Machine: Fork preload"][1] == "1 ± 0.1 in, Measured"


def test_a_figure_whose_note_alone_was_changed_is_told_by_it() -> None:
    job = factories.job()
    fork = job.machine.fork
    other = job.replace(
        machine=job.machine.replace(
            fork=fork.replace(preload_mm=fork.preload_mm.replace(note="read twice"))
        )
    )
    (line,) = lines(FIGURES, job, other)
    assert line.values[0].endswith("(–)") and line.values[1].endswith("(read twice)")


def test_a_long_note_shows_where_it_was_gone_on_with() -> None:
    start = "The rider comes on Fridays only, " * 4
    job = factories.job().replace(note=start + "call first.")
    others = job.replace(note=start + "call first.\nPaid."), job.replace(note="")
    (line,) = lines(FIGURES, job, *others)
    assert [len(value) < 50 for value in line.values] == [True] * 3
    assert line.values[0].startswith("…") and line.values[0].endswith("call first.")
    assert line.values[1].endswith("call first. Paid.") and line.values[2] == "–"


def test_another_machine_is_one_line_and_rows_are_counted() -> None:
    job = factories.job()
    reading = Reading(when=When.AFTER, place=Place.SEAT, state=MeasuredState.RIDER_UP, value=845.0)
    other = job.replace(
        machine=job.machine.replace(id="other", name="Other bike"),
        readings=[reading],
        ticks=[Tick(step="fork-out", noted="left leg")],
    )
    rows = {one.entry: one.values for one in lines(FIGURES, job, other)}
    assert rows["Machine"] == (job.machine.name, "Other bike")
    assert rows["Reading 1"][0] == "–" and "845" in rows["Reading 1"][1]
    assert rows["Step 1"][1] == "fork-out: done, left leg"
    assert len(rows) == 3


def test_what_a_machine_was_fitted_from_is_one_line() -> None:
    job = factories.job()
    reading = Reading(
        when=When.BEFORE, place=Place.SEAT, state=MeasuredState.ON_WHEELS, value=930.0
    )
    one = job.replace(fitted=Fitted(machine=job.machine, readings=[reading]))
    higher = factories.machine_profile(catalogue={"seat_height_mm": 940.0})
    other = job.replace(fitted=Fitted(machine=higher, readings=[]))
    assert [each.entry for each in lines(FIGURES, job, one)] == ["Measured machine"]
    assert [each.entry for each in lines(FIGURES, one, other)] == ["Measured machine"]


def test_changes_that_do_not_overlap_are_both_kept(qtbot: QtBot) -> None:
    (key,) = add(named("Ilka"))
    first, second = opened(qtbot, key), opened(qtbot, key)
    changed(first, ("rider", "mass_kg"), 81.0)
    press(first, "save")
    changed(second, ("note",), "mine")
    answers(second).choices = [Choice.BOTH]
    press(second, "save")
    both = second.session.job
    assert (both.rider.mass_kg, both.note) == (81.0, "mine") and not second.session.unsaved
    assert kept_jobs() == [both]
    press(second, "undo")
    assert second.session.job.rider.mass_kg == 75.0 and second.session.job.note == "mine"


@pytest.mark.parametrize(("address", "value"), [(("note",), "mine"), (("rider", "mass_kg"), 64.0)])
def test_both_are_offered_only_where_nothing_overlaps(
    qtbot: QtBot, address: tuple[str, ...], value: object
) -> None:
    (key,) = add(named("Ilka"))
    with Shop.open() as shop:
        base = shop.get(key)
        theirs = shop.save(base, replace_at(base.job, ("rider", "mass_kg"), 81.0), "Maud")
    dialog = ConflictDialog(base, replace_at(base.job, address, value), theirs, FIGURES)
    qtbot.addWidget(dialog)
    dialog.show()
    assert dialog.buttons[Choice.BOTH].isVisible() is (address == ("note",))
