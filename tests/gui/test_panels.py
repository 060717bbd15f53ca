"""The panels: every figure of the job can be entered, and nothing typed is lost or believed."""

import random

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QCheckBox,
    QComboBox,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QWidget,
)
from pytestqt.qtbot import QtBot

from fitplanner.body.inside_leg import estimate_inside_leg
from fitplanner.body.reach import Footing
from fitplanner.documents.base import Figure, Section, Source
from fitplanner.documents.job import Choices
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.rider import Rider, RidingStyle
from fitplanner.library.styles import sag_windows
from fitplanner.quantities import UnitSystem
from fitplanner.ui.fields import ChoiceEntry, FigureEntry, SourceEntry, SpreadEntry
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.panels.figures import FiguresDialog, SectionForm
from fitplanner.ui.panels.linkage import LinkageTable
from fitplanner.ui.panels.offers import OffersForm
from fitplanner.ui.widgets.quantity_field import QuantityField
from fitplanner.ui.widgets.text import tip
from tests import factories
from tests.gui.shell import entry, library, open_window, retype, wait_for_plan

SECTIONS = [
    key
    for key, field in MachineProfile.model_fields.items()
    if isinstance(field.annotation, type) and issubclass(field.annotation, Section)
]


def choose(window: MainWindow, address: tuple[str, str], value: object) -> None:
    """Pick `value` in a choice by keys, as a person would from the list."""
    box = next(one for one in window.inputs.findChildren(ChoiceEntry) if one.address == address)
    box.setFocus()
    row = box._values.index(value)
    while box.currentIndex() != row:
        key = Qt.Key.Key_Down if box.currentIndex() < row else Qt.Key.Key_Up
        QTest.keyClick(box, key)


def figures(window: MainWindow, section: str) -> SectionForm:
    window.show_figures()
    dialog = window.figures
    assert isinstance(dialog, FiguresDialog)
    dialog.show_section(section)
    form = dialog.form()
    assert isinstance(form, SectionForm)
    return form


def field_of(form: SectionForm, key: str, kind: type[QuantityField]) -> QuantityField:
    return next(
        one for one in form.findChildren(kind) if type(one) is kind and one.address[-1] == key
    )


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
    from tests.gui.test_quantity_field import turn_wheel  # the same wheel as there

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


# Machine.


def test_another_machine_keeps_the_rider_and_can_be_taken_back(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    first = window.session.job
    chooser = window.inputs.machine.chooser
    chooser.setFocus()
    QTest.keyClick(chooser, Qt.Key.Key_Down)
    chosen = window.session.job
    assert chosen.machine.id != first.machine.id and chosen.rider == first.rider
    wait_for_plan(qtbot, window)
    assert window.plan is not None
    window.commands["undo"].trigger()
    assert window.session.job == first
    assert chooser.currentText() == first.machine.name


def test_another_machine_forgets_every_amount_and_undo_brings_all_back(qtbot: QtBot) -> None:
    chosen = Choices(thicker_sole_mm=10.0, lower_seat_mm=20.0, shock_preload_mm=8.0)
    window = open_window(qtbot, factories.job(choices=chosen))
    rate = entry(window, "choices", "shock_rate_n_mm")
    retype(rate, "5000")
    chooser = window.inputs.machine.chooser
    chooser.setFocus()
    QTest.keyClick(chooser, Qt.Key.Key_Down)
    assert window.session.job.machine.id == "other-bike"
    assert window.session.job.choices == Choices()
    assert rate.text() == "" and window.headline.refused_text() == ""
    window.commands["undo"].trigger()
    assert window.session.job == factories.job(choices=chosen)


def test_a_machine_unknown_to_the_library_is_shown_by_its_name(qtbot: QtBot) -> None:
    window = open_window(qtbot, profiles={})
    assert window.inputs.machine.chooser.placeholderText() == "Trail bike of the tests"


@pytest.mark.parametrize("section", SECTIONS)
def test_every_figure_of_the_machine_is_shown_with_value_spread_and_source(
    qtbot: QtBot, section: str
) -> None:
    window = open_window(qtbot)
    form = figures(window, section)
    part: Section = getattr(window.session.job.machine, section)
    for spec in part.specs():
        figure: Figure | None = getattr(part, spec.key)
        value = field_of(form, spec.key, FigureEntry)
        spread = field_of(form, spec.key, SpreadEntry)
        source = next(one for one in form.findChildren(SourceEntry) if one.address[-2] == spec.key)
        assert value.value() == (None if figure is None else figure.value)
        assert spread.value() == (None if figure is None else figure.spread)
        assert source.isEnabled() == spread.isEnabled() == (figure is not None)
    assert window.session.job == factories.job()


def test_a_figure_typed_in_the_shop_counts_as_measured(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    form = figures(window, "seat")
    width = field_of(form, "width_mm", FigureEntry)
    retype(width, "220")
    assert window.session.job.machine.seat.width_mm == Figure(
        value=220.0, spread=5.0, source=Source.MEASURED
    )
    retype(field_of(form, "width_mm", SpreadEntry), "2")
    assert window.session.job.machine.seat.width_mm.spread == 2.0
    window.commands["undo"].trigger()
    window.commands["undo"].trigger()
    assert window.session.job == factories.job() and width.text() == "235"


def test_a_refused_figure_keeps_its_origin_and_leaves_no_step(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    form = figures(window, "rear")
    travel = field_of(form, "travel_mm", FigureEntry)
    before = window.session.job.machine.rear.travel_mm
    # "29" and "290" are travels on the way.
    retype(travel, "290x")
    assert window.session.job == factories.job()
    retype(travel, "290")
    assert window.session.job.machine.rear.travel_mm.source is Source.MEASURED
    retype(travel, f"{before.value:g}")
    assert window.session.job == factories.job() and not window.commands["undo"].isEnabled()


def test_an_optional_figure_can_be_filled_and_emptied(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    form = figures(window, "seat")
    arc, spread = (field_of(form, "arc_mm", kind) for kind in (FigureEntry, SpreadEntry))
    assert not spread.isEnabled()
    retype(arc, "2000")
    present = window.session.job.machine.seat.arc_mm
    assert present is not None and present.value == 2000.0 and spread.isEnabled()
    retype(arc, "")
    assert window.session.job.machine.seat.arc_mm is None and not spread.isEnabled()


def test_a_figure_refused_by_the_document_stays_with_the_reason(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    form = figures(window, "rear")
    travel = field_of(form, "travel_mm", FigureEntry)
    # Longer than the leverage table reaches.
    retype(travel, "320")
    QTest.keyClick(travel.line_edit, Qt.Key.Key_Return)
    assert "table ends" in travel.message() and travel.text() == "320"
    assert window.session.job == factories.job()
    retype(entry(window, "rider", "mass_kg"), "80")
    assert travel.text() == "320" and travel.error()
    retype(travel, "290")
    assert travel.error() == "" and window.session.job.machine.rear.travel_mm.value == 290.0


def test_back_to_the_library_undoes_all_changed_figures_at_once(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    retype(field_of(figures(window, "seat"), "width_mm", FigureEntry), "220")
    retype(field_of(figures(window, "fork"), "travel_mm", FigureEntry), "280")
    dialog = window.figures
    assert dialog is not None and dialog.reset.isEnabled()
    QTest.mouseClick(dialog.reset, Qt.MouseButton.LeftButton)
    assert window.session.job.machine == factories.machine_profile()
    assert not dialog.reset.isEnabled()
    window.commands["undo"].trigger()
    assert window.session.job.machine.fork.travel_mm.value == 280.0


def test_offers_of_the_machine_can_be_changed(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    window.show_figures()
    dialog = window.figures
    assert dialog is not None
    dialog.show_section("ways")
    form = dialog.form()
    assert isinstance(form, OffersForm)
    most = next(
        one
        for one in form.findChildren(QuantityField)
        if getattr(one, "address", ()) == ("machine", "ways", "fork_limiter", "maximum_mm")
    )
    retype(most, "40")
    offer = window.session.job.machine.ways.fork_limiter
    assert offer is not None and offer.maximum_mm == 40.0
    switch = next(one for one in form.findChildren(QCheckBox) if "fork" in one.text())
    QTest.keyClick(switch, Qt.Key.Key_Space)
    assert window.session.job.machine.ways.fork_limiter is None
    assert not most.isEnabled() and most.text() == ""
    assert not entry(window, "choices", "fork_limiter_mm").isVisible()
    QTest.keyClick(switch, Qt.Key.Key_Space)
    assert window.session.job.machine.ways == factories.machine_profile().ways


# Linkage.


def linkage(window: MainWindow) -> LinkageTable:
    table = figures(window, "rear").findChild(LinkageTable)
    assert isinstance(table, LinkageTable)
    return table


def put(table: QTableWidget, row: int, column: int, text: str) -> None:
    item = table.item(row, column)
    assert item is not None
    item.setText(text)


def test_leverage_is_changed_cell_by_cell(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    part = linkage(window)
    put(part.table, 2, 1, "2.9")
    assert window.session.job.machine.rear.linkage.leverage[2] == 2.9
    window.set_system(UnitSystem.INCH)
    assert part.table.item(1, 0).text() == "1.969"
    put(part.table, 1, 0, "2")
    assert window.session.job.machine.rear.linkage.wheel_travel_mm[1] == pytest.approx(50.8)


@pytest.mark.parametrize("text", ["", "x", "-1", "40", "1e9"])
def test_bad_leverage_stays_in_its_cell_with_the_reason(qtbot: QtBot, text: str) -> None:
    window = open_window(qtbot)
    part = linkage(window)
    put(part.table, 2, 1, text)
    assert "Rear linkage" in window.headline.refused_text()
    assert part.message.text() and part.table.item(2, 1).text() == text
    assert window.session.job == factories.job()
    put(part.table, 3, 1, "2.8")
    assert part.table.item(2, 1).text() == text and part.message.text()
    put(part.table, 2, 1, "2.94")
    assert part.message.text() == "" == window.headline.refused_text()


def test_undo_puts_a_refused_cell_back(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    part = linkage(window)
    before = part.table.item(2, 1).text()
    put(part.table, 2, 1, "x")
    assert f"“x” is not used; planned with {before}" in window.headline.refused_text()
    window.commands["undo"].trigger()
    assert part.table.item(2, 1).text() == before
    assert window.headline.refused_text() == "" == part.message.text()


def test_rows_of_the_leverage_table_come_and_go(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    part = linkage(window)
    part.table.setCurrentCell(1, 0)
    QTest.mouseClick(part.add, Qt.MouseButton.LeftButton)
    curve = window.session.job.machine.rear.linkage
    assert curve.wheel_travel_mm[1:4] == [50.0, 75.0, 100.0]
    assert curve.leverage[2] == pytest.approx((3.03 + 2.94) / 2)
    QTest.mouseClick(part.remove, Qt.MouseButton.LeftButton)
    assert window.session.job == factories.job()
    # Without its last row the table would no longer cover the wheel's travel.
    part.table.setCurrentCell(6, 0)
    QTest.mouseClick(part.remove, Qt.MouseButton.LeftButton)
    assert part.message.text() and window.session.job == factories.job()


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
