"""The machine: chosen from the library, and all its figures, offers and its linkage."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QCheckBox,
    QTableWidget,
)
from pytestqt.qtbot import QtBot

from fitplanner.documents.base import Figure, Section, Source
from fitplanner.documents.job import Choices
from fitplanner.quantities import UnitSystem
from fitplanner.ui.fields import FigureEntry, SourceEntry, SpreadEntry
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.panels.linkage import LinkageTable
from fitplanner.ui.panels.offers import OffersForm
from fitplanner.ui.widgets.quantity_field import QuantityField
from tests import factories
from tests.gui.figures_fixture import SECTIONS, field_of, figures
from tests.gui.shell import entry, open_window, retype, wait_for_plan


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
