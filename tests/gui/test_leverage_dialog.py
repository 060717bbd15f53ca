"""Leverage from readings: typed, pasted, shown with what is left over, and taken over at once."""

import numpy as np
import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from fitplanner.documents.machine import LeverageTable, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.planning.profile_check import check_profile
from fitplanner.planning.resolve import reference
from fitplanner.quantities import UnitSystem
from fitplanner.ui.linkage.readings import LeverageDialog
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.panels.linkage import LinkageTable
from tests import factories
from tests.gui.figures_fixture import figures
from tests.gui.shell import open_window, retype

LEFT = Qt.MouseButton.LeftButton
MACHINE: MachineProfile = load_library().profiles["duncarrow-250"]


def opened(qtbot: QtBot) -> tuple[MainWindow, LeverageDialog]:
    window = open_window(qtbot, factories.job(machine=MACHINE))
    form = figures(window, "rear")
    table = next(one for one in form.findChildren(LinkageTable) if one.parent() is form)
    QTest.mouseClick(table.read, LEFT)
    dialog = table.readings()
    assert dialog is not None and dialog.isVisible()
    dialog.activateWindow()
    qtbot.waitUntil(dialog.isActiveWindow)
    return window, dialog


def sheet(rows: int = 11, error: float = 0.3) -> list[tuple[float, float]]:
    wheel = np.linspace(0.0, 250.0, rows)
    shock = reference(MACHINE).machine.leverage.evaluate(wheel)[0]
    shock[1:] += np.random.default_rng(3).normal(0.0, error, rows - 1)
    return [(float(y), round(float(s), 1)) for y, s in zip(wheel, shock, strict=True)]


def text_of(rows: list[tuple[float, float]], separator: str = "\t", mark: str = ".") -> str:
    lines = (separator.join(f"{each:g}" for each in row) for row in rows)
    return "\n".join(lines).replace(".", mark)


def cell(dialog: LeverageDialog, row: int, column: int) -> str:
    item = dialog.table.item(row, column)
    assert item is not None
    return item.text().replace("\N{NO-BREAK SPACE}", " ")


def type_cell(dialog: LeverageDialog, row: int, column: int, text: str) -> None:
    """As somebody types: into the editor of the current cell, ended by Enter."""
    dialog.table.setCurrentCell(row, column)
    dialog.table.setFocus()
    QTest.keyClicks(dialog.table, text[:1])
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    QTest.keyClicks(editor, text[1:])
    QTest.keyClick(editor, Qt.Key.Key_Return)
    # The editor hands its text over once the key is done with.
    QCoreApplication.processEvents()


def test_rows_are_typed_one_after_another(qtbot: QtBot) -> None:
    window, dialog = opened(qtbot)
    assert not dialog.take.isEnabled() and dialog.table.rowCount() == 1
    assert "longer link rods" in dialog.replaced.text()
    for row, pair in enumerate(((0, 0), (125, 44.6), (250, 91))):
        for column, value in enumerate(pair):
            type_cell(dialog, row, column, f"{value:g}")
        assert dialog.table.rowCount() == row + 2
    assert dialog.take.isEnabled() and dialog.message.text() == ""
    assert cell(dialog, 1, 2).endswith(" mm")
    assert window.session.job == factories.job(machine=MACHINE)


@pytest.mark.parametrize(("separator", "mark"), [("\t", "."), ("\t", ","), (";", ","), (" ", ",")])
def test_a_sheet_is_pasted_and_taken_over_in_one_step(
    qtbot: QtBot, separator: str, mark: str
) -> None:
    window, dialog = opened(qtbot)
    before, rows = window.session.job, sheet()
    heading = separator.join(("Wheel", "Shock")) + "\n"
    QGuiApplication.clipboard().setText(heading + text_of(rows, separator, mark))
    QTest.keyClick(dialog.table, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    found = dialog.found()
    assert found is not None and dialog.message.text() == ""
    assert dialog.plots.points()[1] == pytest.approx(list(found.off_mm))
    QTest.mouseClick(dialog.take, LEFT)
    rear = window.session.job.machine.rear
    assert isinstance(rear.linkage, LeverageTable)
    assert rear.linkage.read_wheel_mm == [row[0] for row in rows]
    assert rear.linkage.read_shock_mm == [row[1] for row in rows]
    assert rear.leverage_factor == found.factor and not dialog.isVisible()
    window.commands["undo"].trigger()
    assert window.session.job == before


def test_the_button_pastes_too_and_a_bad_paste_changes_nothing(qtbot: QtBot) -> None:
    _, dialog = opened(qtbot)
    dialog.table.paste_text(text_of(sheet()))
    kept = dialog.table.rows()
    QGuiApplication.clipboard().setText("0\t0\n25\t8\nbump\t9")
    button = next(one for one in dialog.findChildren(QPushButton) if "Paste" in one.text())
    QTest.mouseClick(button, LEFT)
    assert dialog.message.text() == (
        "Not pasted. Row 3: 'bump' is not a number: write for example 57.5 mm"
    )
    assert dialog.table.rows() == kept


def test_the_row_that_does_not_fit_is_marked_and_named(qtbot: QtBot) -> None:
    _, dialog = opened(qtbot)
    rows = sheet()
    rows[4] = (rows[4][0], rows[4][1] + 5.0)
    dialog.table.paste_text(text_of(rows))
    assert "Row 5 does not go with the others" in dialog.summary.text()
    assert dialog.summary.meaning() == "caution"
    marks = [
        item.data(Qt.ItemDataRole.DecorationRole) is not None
        for row in range(len(rows))
        if (item := dialog.table.item(row, 2)) is not None
    ]
    assert marks == [row == 4 for row in range(len(rows))]
    dialog.table.setCurrentCell(4, 0)
    dialog.table.remove_rows()
    assert "does not go" not in dialog.summary.text() and dialog.take.isEnabled()


def test_a_cell_that_cannot_be_read_keeps_its_text(qtbot: QtBot) -> None:
    _, dialog = opened(qtbot)
    dialog.table.paste_text(text_of(sheet()))
    type_cell(dialog, 3, 1, "x7")
    assert cell(dialog, 3, 1) == "x7" and "Row 4: 'x7' is not a number" in dialog.message.text()
    assert not dialog.take.isEnabled() and dialog.found() is None
    type_cell(dialog, 3, 1, "26.5")
    assert dialog.message.text() == "" and dialog.take.isEnabled()


def test_a_missing_figure_is_asked_for(qtbot: QtBot) -> None:
    _, dialog = opened(qtbot)
    dialog.table.paste_text(text_of(sheet()))
    type_cell(dialog, 11, 0, "251")
    assert dialog.message.text() == "Row 12: Shock travel is missing"


def test_readings_that_end_too_early_are_told_in_the_unit_shown(qtbot: QtBot) -> None:
    window, dialog = opened(qtbot)
    dialog.table.paste_text(text_of(sheet()[:6]))
    assert "The readings end at 125 mm" in dialog.message.text()
    window.set_system(UnitSystem.INCH)
    assert "The readings end at 4.92 in" in dialog.message.text()
    assert cell(dialog, 1, 0) == "0.984"


def test_inches_keep_what_was_pasted_in_millimetres(qtbot: QtBot) -> None:
    window, dialog = opened(qtbot)
    dialog.table.paste_text(text_of(sheet()))
    metric = dialog.table.rows()
    window.set_system(UnitSystem.INCH)
    assert dialog.table.rows() == metric and dialog.found() is not None
    assert cell(dialog, 0, 2).endswith(" in")
    window.set_system(UnitSystem.METRIC)
    assert dialog.table.rows() == metric


def test_a_sharper_reading_error_narrows_the_band(qtbot: QtBot) -> None:
    _, dialog = opened(qtbot)
    dialog.table.paste_text(text_of(sheet(error=0.05)))
    wide = dialog.found()
    retype(dialog.spread, "0.1")
    sharp = dialog.found()
    assert wide is not None and sharp is not None
    assert sharp.factor.spread < 0.5 * wide.factor.spread


def test_enter_in_a_field_takes_nothing_over(qtbot: QtBot) -> None:
    window, dialog = opened(qtbot)
    dialog.table.paste_text(text_of(sheet()))
    dialog.spread.setFocus()
    QTest.keyClick(dialog.spread.line_edit, Qt.Key.Key_Return)
    assert dialog.isVisible() and window.session.job == factories.job(machine=MACHINE)


def test_kept_readings_are_there_when_it_is_opened_again(qtbot: QtBot) -> None:
    window, dialog = opened(qtbot)
    dialog.table.paste_text(text_of(sheet()))
    rows = dialog.table.rows()
    QTest.mouseClick(dialog.take, LEFT)
    form = figures(window, "rear")
    table = next(one for one in form.findChildren(LinkageTable) if one.parent() is form)
    QTest.mouseClick(table.read, LEFT)
    assert dialog.isVisible() and dialog.table.rows() == rows


def test_what_was_typed_is_there_after_it_was_closed_by_mistake(qtbot: QtBot) -> None:
    window, dialog = opened(qtbot)
    dialog.table.paste_text(text_of(sheet()[:4]))
    rows = dialog.table.rows()
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    form = figures(window, "rear")
    table = next(one for one in form.findChildren(LinkageTable) if one.parent() is form)
    QTest.mouseClick(table.read, LEFT)
    assert dialog.isVisible() and dialog.table.rows() == rows
    assert window.figures is not None
    window.figures.discard()
    assert dialog.table.rows() == []


def test_a_paste_goes_in_from_the_current_row(qtbot: QtBot) -> None:
    _, dialog = opened(qtbot)
    rows = sheet()
    dialog.table.paste_text(text_of(rows[:5]))
    dialog.table.setCurrentCell(5, 0)
    dialog.table.paste_text(text_of(rows[5:]))
    assert dialog.table.rows() == rows


def test_a_table_pasted_takes_the_place_of_all_rows_and_can_be_taken_back(qtbot: QtBot) -> None:
    _, dialog = opened(qtbot)
    rows, other = sheet(), sheet(6)
    dialog.table.paste_text(text_of(rows))
    place = dialog._paste.pos()
    dialog.table.setCurrentCell(2, 0)
    dialog.table.paste_text(text_of(other))
    assert dialog.table.rows() == other
    assert "all 11 rows" in dialog.swept.text() and dialog._paste.pos() == place
    QTest.mouseClick(dialog.swept.button, LEFT)
    assert dialog.table.rows() == rows and dialog.swept.isHidden()
    dialog.table.setCurrentCell(2, 0)
    dialog.table.paste_text("51\t18")
    assert dialog.table.rows() == [*rows[:2], (51.0, 18.0), *rows[3:]]


def test_the_row_that_does_not_fit_is_left_out_by_one_click(qtbot: QtBot) -> None:
    window, dialog = opened(qtbot)
    rows = sheet()
    rows[4] = (rows[4][0], rows[4][1] + 5.0)
    dialog.table.paste_text(text_of(rows))
    assert dialog.take.text() == "Use it with row 5 all the same"
    QTest.mouseClick(dialog.summary.button, LEFT)
    assert dialog.table.rows() == [*rows[:4], *rows[5:]]
    assert dialog.take.text() == "Use this leverage" and dialog.summary.button.isHidden()
    QTest.mouseClick(dialog.swept.button, LEFT)
    QTest.mouseClick(dialog.take, LEFT)
    machine = window.session.job.machine
    assert "row 5 does not go" in machine.rear.leverage_factor.origin
    findings = {each.key: each for each in check_profile(machine)}
    assert findings["rear.leverage_factor"].severity == "caution"


def test_the_words_have_the_band_that_is_drawn(qtbot: QtBot) -> None:
    _, dialog = opened(qtbot)
    dialog.table.paste_text(text_of(sheet()))
    found = dialog.found()
    assert found is not None
    said = dialog.summary.text().replace("\N{NO-BREAK SPACE}", " ")
    for at, where in ((0, "hanging"), (-1, "bottomed")):
        words = f"{found.leverage[at]:.2f} ± {found.spread[at] * 100:.1f} % {where}"
        assert words in said
    assert f"± {found.factor.spread * 100:.1f} % on the mean, which is what the plan takes" in said


def test_ratios_among_the_readings_are_recognised(qtbot: QtBot) -> None:
    _, dialog = opened(qtbot)
    dialog.table.paste_text("0\t2.9\n60\t2.8\n125\t2.7\n250\t2.5")
    assert "leverage ratios and not shock travel" in dialog.message.text()
    assert not dialog.take.isEnabled()


def test_ratios_are_pasted_into_the_table_of_the_page(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    form = figures(window, "rear")
    table = next(one for one in form.findChildren(LinkageTable) if one.parent() is form)
    before = window.session.job
    travel = before.machine.rear.travel_mm.value
    QGuiApplication.clipboard().setText(f"0\t2.9\n{travel / 2:g}\t2.7\n{travel:g}\t2.5")
    form.window().activateWindow()
    qtbot.waitUntil(form.isActiveWindow)
    table.table.setFocus()
    QTest.keyClick(table.table, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    rear = window.session.job.machine.rear
    assert isinstance(rear.linkage, LeverageTable) and rear.linkage.leverage == [2.9, 2.7, 2.5]
    assert rear.leverage_factor.origin == "leverage table pasted, 3 rows"
    window.commands["undo"].trigger()
    assert window.session.job == before
    QGuiApplication.clipboard().setText(f"0\t0\n{travel / 2:g}\t44\n{travel:g}\t91")
    table.paste()
    assert "Leverage from readings" in table.message.text()
    assert window.session.job == before
    table.layouts.activated.emit(1)
    table.paste()
    assert "choose 'Leverage as a table' first" in table.message.text()
