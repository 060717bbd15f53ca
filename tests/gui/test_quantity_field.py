"""The entry field of a quantity, driven by keys as a person would."""

import gc
import math
import weakref

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.quantities import Kind, UnitSystem
from fitplanner.ui.widgets.quantity_field import QuantityField
from tests.gui.field_form import leave, retype, shown
from tests.gui.looking import COMMA, POINT
from tests.gui.shell import turn_wheel

METRIC, INCH = UnitSystem.METRIC, UnitSystem.INCH


def test_typing_emits_each_value_live(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH, optional=True))
    QTest.keyClicks(form.field.line_edit, "87.5 cm")
    # "87.5 c" is not a length: what was held before the typing is back until it is mended.
    assert form.values == [8.0, 87.0, 87.5, None, 875.0]
    assert form.field.value() == 875.0
    leave(form)
    assert form.field.text() == "875"
    assert form.values[-1] == 875.0


def test_setting_a_value_emits_nothing(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH))
    form.field.set_value(870.0)
    form.field.set_system(INCH)
    form.field.set_value(None)
    assert form.values == []
    assert form.faults == []


def test_enter_in_an_untouched_field_changes_nothing(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH))
    form.field.set_value(57.1499)
    assert form.field.text() == "57.15"
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Return)
    leave(form)
    assert form.field.value() == 57.1499
    assert form.values == []


def test_text_put_back_gives_the_exact_value_again(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH))
    form.field.set_value(57.1499)
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_End)
    QTest.keyClicks(form.field.line_edit, "9")
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Backspace)
    assert form.values == [57.159, 57.1499]


@pytest.mark.parametrize("value", [1 / 3, 870.123456789, 57.1499, -12.345])
def test_units_there_and_back_leave_every_bit(qtbot: QtBot, value: float) -> None:
    field = QuantityField(Kind.LENGTH)
    qtbot.addWidget(field)
    field.set_value(value)
    before = field.text()
    field.set_system(INCH)
    assert field.text() != before
    field.set_system(METRIC)
    assert field.value() == value
    assert field.text() == before


def test_the_decimal_mark_is_that_of_the_widget(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.MASS, optional=True), COMMA)
    QTest.keyClicks(form.field.line_edit, "57,5")
    assert form.values[-1] == 57.5
    retype(form.field, "57.5")
    assert "comma" in form.field.error()
    retype(form.field, "61,25")
    leave(form)
    assert form.field.text() == "61,25"
    form.setLocale(POINT)
    assert form.field.text() == "61.25"
    assert form.field.value() == 61.25


def test_only_an_optional_field_may_be_emptied(qtbot: QtBot) -> None:
    optional = shown(qtbot, QuantityField(Kind.MASS, optional=True))
    optional.field.set_value(70.0)
    retype(optional.field, "")
    assert optional.values == [None]
    needed = shown(qtbot, QuantityField(Kind.MASS))
    needed.field.set_value(70.0)
    retype(needed.field, "")
    assert needed.values == []
    assert needed.field.value() == 70.0
    assert "Nothing is written" in needed.field.error()


def test_erasing_what_was_typed_into_a_needed_empty_field_is_a_fault(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.MASS))
    QTest.keyClicks(form.field.line_edit, "7")
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Backspace)
    assert form.values == [7.0, None]
    assert form.field.has_bad_text()


def test_an_equal_value_from_outside_leaves_the_typing_alone(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH))
    form.field.edited.connect(form.field.set_value)
    QTest.keyClicks(form.field.line_edit, "5 ft 4")
    assert form.field.text() == "5 ft 4"
    assert form.field.line_edit.cursorPosition() == 6
    retype(form.field, "57x")
    form.field.set_value(form.field.value())
    assert form.field.text() == "57x"


def test_arrow_keys_go_to_round_values_and_stop_at_the_limit(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH, maximum=872.5))
    form.field.set_value(870.3)
    for _ in range(5):
        QTest.keyClick(form.field.line_edit, Qt.Key.Key_Up)
    assert form.values == [871.0, 872.0, 872.5]
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Down)
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_PageDown)
    assert form.values[3:] == [872.0, 862.0]


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [(500.0, None, "at least 500 mm"), (None, 500.0, "at most 500 mm"), (None, None, "mm")],
)
def test_one_limit_or_none_is_told_too(
    qtbot: QtBot, low: float | None, high: float | None, text: str
) -> None:
    field = QuantityField(Kind.LENGTH, minimum=low, maximum=high)
    qtbot.addWidget(field)
    assert field.line_edit.accessibleDescription() == text


def test_the_wheel_works_only_in_the_field_with_the_focus(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH))
    form.field.set_value(870.0)
    turn_wheel(form.field.line_edit, 60)
    assert form.values == []
    turn_wheel(form.field.line_edit, 60)
    turn_wheel(form.field.line_edit, -240)
    assert form.values == [871.0, 869.0]
    leave(form)
    event = turn_wheel(form.field.line_edit, 120)
    assert form.field.value() == 869.0
    assert not event.isAccepted()


def test_help_and_caution_stand_in_the_tooltip_of_the_field(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH))
    form.field.set_help("Floor to <crotch>")
    assert "Floor to &lt;crotch&gt;" in form.field.line_edit.toolTip()
    form.field.set_caution("More than this machine accepts")
    assert "More than" in form.field.line_edit.toolTip()
    QTest.keyClicks(form.field.line_edit, "x")
    assert "is not a number" in form.field.line_edit.toolTip()
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Escape)
    form.field.set_caution("")
    assert "Floor to" in form.field.line_edit.toolTip()


def test_typed_marks_do_not_become_a_picture_in_the_tooltip(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH))
    QTest.keyClicks(form.field.line_edit, "<img src=x>")
    assert "<img" not in form.field.line_edit.toolTip()
    assert "&lt;img" in form.field.line_edit.toolTip()


def test_a_screen_reader_is_told_name_limits_and_fault(qtbot: QtBot) -> None:
    field = QuantityField(Kind.LENGTH, name="Inside leg", minimum=500.0, maximum=1100.0)
    form = shown(qtbot, field)
    reader = QAccessible.queryAccessibleInterface(field.line_edit)
    assert reader.text(QAccessible.Text.Name) == "Inside leg"
    assert reader.text(QAccessible.Text.Description) == "500 to 1100 mm"
    QTest.keyClicks(form.field.line_edit, "x")
    assert "is not a number" in reader.text(QAccessible.Text.Description)


def test_a_value_that_is_not_finite_is_a_mistake_of_the_caller(qtbot: QtBot) -> None:
    field = QuantityField(Kind.LENGTH)
    qtbot.addWidget(field)
    with pytest.raises(ValueError, match="nan"):
        field.set_value(math.nan)


def test_nothing_keeps_a_closed_field_alive(qtbot: QtBot) -> None:
    field = QuantityField(Kind.LENGTH)
    gone = weakref.ref(field)
    field.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    del field
    gc.collect()
    assert gone() is None


@pytest.mark.parametrize(
    ("typed", "meant"), [("37", "37 in"), ("870", ""), ("37 ft", ""), ("9", "")]
)
def test_a_bare_number_may_be_meant_in_the_one_unit_that_fits(
    qtbot: QtBot, typed: str, meant: str
) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH, minimum=500.0, maximum=1200.0))
    form.field.set_value(800.0)
    retype(form.field, typed)
    assert form.field.meant() == meant
    form.field.take_meant()
    assert form.field.value() == pytest.approx(939.8 if meant else {"870": 870.0}.get(typed, 800.0))
