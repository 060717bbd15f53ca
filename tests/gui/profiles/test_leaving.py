"""Text that a field could not take is work: neither a save nor closing passes over it."""

from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fitplanner.quantities import UnitSystem
from fitplanner.store.profiles import Shelf
from fitplanner.ui.dialogs import Unsaved
from tests.gui.editor_fixture import enter, entry, figure, new_machine
from tests.gui.shell import answers, open_window, retype


def test_a_save_says_which_text_is_not_used_and_goes_back_to_it(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    retype(editor.head.name, "Mule")
    enter(editor, "catalogue", "seat_height_mm", "870")
    editor.commands["save"].trigger()
    editor.set_system(UnitSystem.INCH)
    # Millimetres in an inch field, and the hand still on it.
    field = enter(editor, "catalogue", "seat_height_mm", "935")
    assert editor.isWindowModified()
    entry(editor, "seat", "width_mm").setFocus()
    asked = answers(window)
    asked.save_without = False
    editor.commands["save"].trigger()
    assert "935" in asked.asked[-1] and "34.252 in" in asked.asked[-1]
    assert Shelf.at("").read().profiles["mule"].revision == 1
    assert field.line_edit.hasFocus() and field.text() == "935"
    assert editor.tabs.currentWidget() is editor.stages[0]
    assert editor.isWindowModified()


def test_saved_without_it_the_text_is_gone_and_the_figure_stays(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    retype(editor.head.name, "Mule")
    enter(editor, "catalogue", "wheelbase_mm", "wide")
    answers(window).save_without = True
    editor.commands["save"].trigger()
    assert answers(window).asked[-1].startswith("without")
    kept = Shelf.at("").read().profiles["mule"]
    assert kept.catalogue.wheelbase_mm == figure(editor, "catalogue", "wheelbase_mm")
    assert entry(editor, "catalogue", "wheelbase_mm").text() == ""
    assert not editor.isWindowModified() and not editor.beside.refused.text()


def test_closing_counts_a_refused_text_as_unsaved_work(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    retype(editor.head.name, "Mule")
    editor.commands["save"].trigger()
    field = enter(editor, "seat", "width_mm", "broad")
    asked = answers(window)
    asked.unsaved = Unsaved.CANCEL
    editor.close()
    assert editor.isVisible() and "broad" in asked.asked[-1]
    asked.unsaved, asked.save_without = Unsaved.SAVE, False
    editor.close()
    assert editor.isVisible() and QApplication.focusWidget() is field.line_edit
    asked.unsaved = Unsaved.DISCARD
    editor.close()
    assert not editor.isVisible()


def test_a_refused_spread_is_found_again_in_its_form(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    editor = new_machine(qtbot, window)
    retype(editor.head.name, "Mule")
    enter(editor, "catalogue", "seat_height_mm", "870").setFocus()
    form = editor.details.form()
    assert form is not None
    retype(form.spread, "some")
    entry(editor, "seat", "width_mm").setFocus()
    answers(window).save_without = False
    editor.commands["save"].trigger()
    assert form.spread.line_edit.hasFocus()
