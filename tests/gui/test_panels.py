"""The panels: every figure of the job can be entered, and nothing typed is lost or believed."""

import random

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QWidget,
)
from pytestqt.qtbot import QtBot

from fitplanner.body.inside_leg import estimate_inside_leg
from fitplanner.body.reach import Footing
from fitplanner.documents.job import Choices
from fitplanner.documents.rider import Rider, RidingStyle
from fitplanner.library.styles import sag_windows
from fitplanner.planning.context import CHOSEN_WAYS
from fitplanner.quantities import UnitSystem
from fitplanner.ui.fields import ChoiceEntry, FigureEntry
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.widgets.quantity_field import QuantityField
from fitplanner.ui.widgets.text import tip
from tests import factories
from tests.gui.figures_fixture import SECTIONS, field_of, figures
from tests.gui.shell import entry, library, open_window, retype, turn_wheel, wait_for_plan


def choose(window: MainWindow, address: tuple[str, str], value: object) -> None:
    """Pick `value` in a choice by keys, as a person would from the list."""
    box = next(one for one in window.inputs.findChildren(ChoiceEntry) if one.address == address)
    box.setFocus()
    row = box._values.index(value)
    while box.currentIndex() != row:
        key = Qt.Key.Key_Down if box.currentIndex() < row else Qt.Key.Key_Up
        QTest.keyClick(box, key)


# Rider.


def test_every_field_of_rider_and_choices_can_be_entered(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    addresses = {
        getattr(one, "address", None)
        for kind in (QuantityField, QComboBox, QLineEdit)
        for one in window.inputs.findChildren(kind)
    }
    for room, model in (("rider", Rider), ("choices", Choices)):
        assert {(room, key) for key in model.model_fields} <= addresses


def test_an_inside_leg_left_empty_shows_its_estimate(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    leg = entry(window, "rider", "inside_leg_mm")
    assert leg.line_edit.placeholderText() == ""
    retype(leg, "")
    wait_for_plan(qtbot, window)
    expected = float(estimate_inside_leg(1680.0).value_mm)
    assert leg.line_edit.placeholderText() == f"about {expected:.0f}"
    note = window.inputs.rider.estimate_text()
    assert "stimated" in note and f"{expected:.0f} mm" in note
    retype(leg, "742")
    wait_for_plan(qtbot, window)
    assert leg.line_edit.placeholderText() == "" and window.inputs.rider.estimate_text() == ""


def test_a_wish_is_chosen_by_keys_and_taken_back(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    choose(window, ("rider", "footing"), Footing.BOTH_FLAT)
    assert window.session.job.rider.footing is Footing.BOTH_FLAT
    window.commands["undo"].trigger()
    assert window.session.job.rider.footing is Footing.BOTH_BALLS


def test_the_wheel_over_a_choice_that_is_not_in_use_changes_nothing(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    job = window.session.job
    entry(window, "rider", "mass_kg").line_edit.setFocus()

    for box in window.inputs.findChildren(QComboBox):
        turn_wheel(box, -120)
    assert window.session.job is job


def test_out_of_the_believable_range_is_said_at_the_field(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    field = entry(window, "rider", "stature_mm")
    retype(field, "168")
    QTest.keyClick(field.line_edit, Qt.Key.Key_Return)
    assert "900 to 2200 mm" in field.message()
    assert window.session.job.rider.stature_mm == 1680.0


def test_a_refused_inside_leg_leaves_the_measured_one_in_force(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    job, plan = window.session.job, window.plan
    leg = entry(window, "rider", "inside_leg_mm")
    retype(leg, "30")
    QTest.keyClick(leg.line_edit, Qt.Key.Key_Return)
    wait_for_plan(qtbot, window)
    assert window.session.job == job and window.plan == plan
    held = f"{job.rider.inside_leg_mm:.0f} mm"
    assert "30 in?" in leg.message() and leg.message().endswith(f"planned with {held}")
    line = window.headline.refused_text()
    assert line == f"Inside leg: “30” is not used; planned with {held}"
    window.set_system(UnitSystem.INCH)
    assert " in" in window.headline.refused_text() and "mm" not in window.headline.refused_text()
    retype(leg, "30.5")
    assert window.headline.refused_text() == ""


def test_a_refused_entry_says_what_stands_in_where_nothing_was_typed(qtbot: QtBot) -> None:
    window = open_window(qtbot, factories.job(rider={"inside_leg_mm": None}))
    estimate = f"{float(estimate_inside_leg(1680.0).value_mm):.0f}"
    leg = entry(window, "rider", "inside_leg_mm")
    retype(leg, "30")
    QTest.keyClick(leg.line_edit, Qt.Key.Key_Return)
    assert f"planned with about {estimate} mm, from the stature" in leg.message()
    rate = entry(window, "choices", "shock_rate_n_mm")
    retype(rate, "5000")
    QTest.keyClick(rate.line_edit, Qt.Key.Key_Return)
    assert window.session.job.choices.shock_rate_n_mm is None
    assert rate.message().endswith("the planner's choice")
    lines = window.headline.refused_text().splitlines()
    assert [line.split(":")[0] for line in lines] == ["Inside leg", "Shock spring rate"]


@pytest.mark.parametrize("text", ["5000", "320 lbf"])
def test_a_refused_rate_never_leaves_a_part_of_itself_in_the_plan(qtbot: QtBot, text: str) -> None:
    window = open_window(qtbot, factories.job(choices=Choices(shock_rate_n_mm=52.0)))
    rate = entry(window, "choices", "shock_rate_n_mm")
    retype(rate, text)
    # At once, and not only when the typing rests.
    assert window.session.job.choices.shock_rate_n_mm == 52.0
    assert window.headline.refused_text() == ""
    QTest.keyClick(rate.line_edit, Qt.Key.Key_Return)
    assert f"“{text}” is not used; planned with 52 N/mm" in window.headline.refused_text()


def test_undo_puts_refused_text_back_before_it_takes_a_step(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    first = window.session.job
    undo = window.commands["undo"]
    retype(entry(window, "rider", "gear_mass_kg"), "9")
    leg, mass = entry(window, "rider", "inside_leg_mm"), entry(window, "rider", "mass_kg")
    before = leg.text(), mass.text()
    retype(mass, "7o")
    retype(leg, "30")
    mass.line_edit.setFocus()
    # The field in use first, then the other one, then the step.
    assert "Body mass" in undo.text()
    QTest.keyClick(mass.line_edit, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert (leg.text(), mass.text()) == ("30", before[1])
    assert "Inside leg" in undo.text()
    undo.trigger()
    assert (leg.text(), mass.text()) == before and window.headline.refused_text() == ""
    assert window.session.job.rider.gear_mass_kg == 9.0
    undo.trigger()
    assert window.session.job == first and not undo.isEnabled()


def test_undo_reaches_refused_text_where_there_is_no_step(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    leg = entry(window, "rider", "inside_leg_mm")
    before = leg.text()
    retype(leg, "30")
    window.commands["undo"].trigger()
    assert leg.text() == before and not window.commands["undo"].isEnabled()


def test_no_footing_can_be_wished_for_but_not_named_as_one(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    box = next(
        one
        for one in window.inputs.findChildren(ChoiceEntry)
        if one.address == ("rider", "footing")
    )
    names = [box.itemText(row) for row in range(box.count())]
    assert "None wanted" in names and "No foot safely down" not in names
    choose(window, ("rider", "footing"), Footing.NONE)
    wait_for_plan(qtbot, window)
    texts = window.headline.texts()
    assert "no footing is wanted" in texts and "none wanted" in texts


def test_fields_explain_themselves_as_their_labels_do(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    assert "book" in entry(window, "rider", "inside_leg_mm").line_edit.toolTip()
    limiter = entry(window, "choices", "fork_limiter_mm").line_edit
    assert "in steps of" in limiter.toolTip()
    form = figures(window, "seat")
    for spec in window.session.job.machine.seat.specs():
        shown = field_of(form, spec.key, FigureEntry).line_edit.toolTip()
        assert shown == tip(spec.help)


# Ways.


def test_empty_ways_show_what_the_planner_chose(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    assert window.plan is not None
    for way in window.plan.ways:
        shown = entry(window, "choices", f"{way.way}_mm").line_edit.placeholderText()
        left = way.way not in CHOSEN_WAYS
        told = "Left to Options." in window.inputs.ways.remark(way.way)
        assert told == (left and way.offered)
        if left:
            assert (shown, way.amount_mm) == ("none", 0.0)
            continue
        assert shown == f"auto: {way.amount_mm:.2f}".rstrip("0").rstrip(".")
    rate = window.plan.springs["rear"].rate_n_mm
    shown = entry(window, "choices", "shock_rate_n_mm").line_edit.placeholderText()
    assert float(shown.removeprefix("auto: ")) == pytest.approx(rate, abs=5e-4)


def test_a_way_by_hand_and_back_to_the_planner(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    field = entry(window, "choices", "fork_limiter_mm")
    retype(field, "30")
    wait_for_plan(qtbot, window)
    assert window.plan is not None
    way = next(one for one in window.plan.ways if one.way == "fork_limiter")
    assert way.by_hand and way.amount_mm == 30.0
    # The small cross in the field empties it.
    cross = field.line_edit.findChild(QAbstractButton)
    assert cross is not None
    QTest.mouseClick(cross, Qt.MouseButton.LeftButton)
    assert window.session.job.choices.fork_limiter_mm is None


def test_a_way_that_the_machine_does_not_accept_is_named_not_offered(qtbot: QtBot) -> None:
    other = library()["other-bike"]
    window = open_window(qtbot, factories.job(machine=other))
    seat = entry(window, "choices", "lower_seat_mm")
    assert not seat.isVisible() and "Lower seat" in window.inputs.ways.missing_text()
    assert entry(window, "choices", "fork_limiter_mm").isVisible()
    # An amount that came with the job can still be emptied.
    window.session.start(
        factories.job(machine=other, choices=Choices(lower_seat_mm=20.0)), unsaved=True
    )
    assert seat.isVisible() and seat.text() == "20"
    assert "Lower seat" not in window.inputs.ways.missing_text()


def test_own_sag_windows_start_from_the_style_and_keep_their_order(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    panel = window.inputs.ways.sag
    low = entry(window, "windows", "rider_rear", "low")
    assert not low.isVisible()
    panel.own.setFocus()
    QTest.keyClick(panel.own, Qt.Key.Key_Space)
    assert window.session.job.windows == sag_windows(RidingStyle.TRAIL)
    assert low.isVisible() and low.text() == "30"
    retype(low, "32")
    windows = window.session.job.windows
    assert windows is not None and windows.rider_rear.low == pytest.approx(0.32)
    retype(low, "50")
    QTest.keyClick(low.line_edit, Qt.Key.Key_Return)
    assert "above" in low.message() and low.text() == "50"
    # Nothing that was good on the way stays in the job.
    assert window.session.job.windows == sag_windows(RidingStyle.TRAIL)
    assert window.headline.refused_text()
    QTest.keyClick(panel.own, Qt.Key.Key_Space)
    assert window.session.job.windows is None
    assert window.headline.refused_text() == ""


def test_an_amount_that_the_machine_does_not_accept_is_marked(qtbot: QtBot) -> None:
    offer = factories.machine_profile().ways.fork_limiter
    assert offer is not None
    window = open_window(qtbot)
    field, most = entry(window, "choices", "fork_limiter_mm"), offer.maximum_mm
    retype(field, f"{most:g}")
    assert "accepts" not in window.inputs.ways.remark("fork_limiter")
    retype(field, f"{most + 5:g}")
    assert f"accepts: up to {most:g} mm" in window.inputs.ways.remark("fork_limiter")
    assert f"up to {most:g} mm" in field.line_edit.toolTip()
    assert window.session.job.choices.fork_limiter_mm == most + 5
    window.set_system(UnitSystem.INCH)
    assert f"{most / 25.4:.2f} in" in window.inputs.ways.remark("fork_limiter")
    retype(field, "")
    assert "accepts" not in window.inputs.ways.remark("fork_limiter")


# Reach by keys, and robustness.


def test_every_field_can_be_reached_by_tab_and_has_a_name(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    first = window.inputs.title
    first.setFocus()
    reached: list[QWidget] = []
    for _ in range(200):
        focus = window.focusWidget()
        reached.append(focus)
        QTest.keyClick(focus, Qt.Key.Key_Tab)
        if window.focusWidget() is first:
            break
    fields = [
        one
        for kind in (QLineEdit, QComboBox)
        for one in window.inputs.findChildren(kind)
        if one.isEnabled() and one.isVisible()
    ]
    assert set(fields) <= set(reached)
    assert all(one.accessibleName() for one in fields)
    order = [one for one in reached if one in fields]
    tops = [one.mapTo(window.inputs.widget(), QPoint(0, 0)).y() for one in order]
    assert tops == sorted(tops)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3))
def test_random_clicks_and_typing_never_end_the_window(qtbot: QtBot, seed: int) -> None:
    chance = random.Random(seed)
    window = open_window(qtbot)
    window.show_figures()
    dialog = window.figures
    assert dialog is not None
    texts = ["0", "12", "-3", "75 kg", "2 1/4 in", "x", "", "1e400", "999999", "30,5", "<b>"]
    for _ in range(150):
        root = chance.choice([window.inputs, window.inputs, dialog, window.pages])
        kinds = (QLineEdit, QComboBox, QPushButton, QAbstractButton, QTableWidget)
        targets = [
            one
            for one in root.findChildren(chance.choice(kinds))
            if one.isVisible() and one.isEnabled()
        ]
        if not targets:
            continue
        target = chance.choice(targets)
        if isinstance(target, QLineEdit) and not target.isReadOnly():
            retype(target, chance.choice(texts))
            QTest.keyClick(target, chance.choice([Qt.Key.Key_Return, Qt.Key.Key_Up]))
        elif isinstance(target, QComboBox):
            QTest.keyClick(target, chance.choice([Qt.Key.Key_Up, Qt.Key.Key_Down]))
        elif isinstance(target, QTableWidget) and target.rowCount():
            row = chance.randrange(target.rowCount())
            target.setCurrentCell(row, chance.randrange(target.columnCount()))
            target.currentItem().setText(chance.choice(texts))
        elif isinstance(target, QAbstractButton):
            QTest.mouseClick(target, Qt.MouseButton.LeftButton)
        match chance.randrange(12):
            case 0:
                window.commands["undo"].trigger()
            case 1:
                window.commands["redo"].trigger()
            case 2:
                window.set_system(chance.choice(list(UnitSystem)))
            case 3:
                dialog.show()
                dialog.show_section(chance.choice([*SECTIONS, "ways"]))
        qtbot.wait(0)
    wait_for_plan(qtbot, window)
    answer = window.answer
    assert answer is not None and answer.fault is None
    while window.commands["undo"].isEnabled():
        window.commands["undo"].trigger()
    assert window.session.job == factories.job()
