"""Text that a field cannot take: it stays, it is explained, and nothing half-typed is in force."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.quantities import Kind, QuantityError, UnitSystem
from fitplanner.ui.widgets.message_line import MessageBubble
from fitplanner.ui.widgets.quantity_field import QuantityField
from tests.gui.field_form import leave, retype, shown


def test_bad_text_stays_and_is_explained(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH))
    form.field.set_value(870.0)
    retype(form.field, "57.5.2")
    assert "'57.5.2' is not a number" in form.faults[-1]
    assert form.field.error() == form.faults[-1]
    assert form.field.has_bad_text()
    leave(form)
    assert form.field.text() == "57.5.2"
    assert form.field.message() == f"{form.faults[-1]}; until then planned with 870 mm"
    # "57.5" was a length on the way, but nobody meant it.
    assert form.field.value() == 870.0 == form.values[-1]
    form.field.setFocus()
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Backspace)
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Backspace)
    assert form.faults[-1] == ""
    assert form.field.message() == ""
    assert not form.field.line_edit.toolTip()


def test_half_typed_text_is_not_scolded_until_the_typing_rests(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH, minimum=500.0, maximum=1100.0))
    QTest.keyClicks(form.field.line_edit, "8")
    assert form.field.message() == ""
    QTest.keyClicks(form.field.line_edit, "70")
    assert form.field.message() == ""
    QTest.keyClicks(form.field.line_edit, "0")
    qtbot.waitUntil(lambda: "8700" in form.field.message())
    assert form.values == [870.0, None]
    assert form.field.message().endswith("until then left empty")


@pytest.mark.parametrize("text", ["5000", "320 lbf", "60 x", "6e1"])
def test_nothing_half_typed_stays_in_force(qtbot: QtBot, text: str) -> None:
    field = QuantityField(Kind.SPRING_RATE, minimum=5.0, maximum=350.0, optional=True)
    form = shown(qtbot, field)
    field.set_value(52.0)
    retype(field, text)
    assert field.has_bad_text() and field.value() == 52.0 == form.values[-1]
    # What was good when the field was left is the new value to go back to.
    retype(field, "60")
    leave(form)
    field.setFocus()
    retype(field, text)
    assert field.value() == 60.0


def test_a_bare_number_out_of_range_is_asked_for_its_unit(qtbot: QtBot) -> None:
    field = QuantityField(Kind.LENGTH, minimum=350.0, maximum=1100.0)
    form = shown(qtbot, field)
    field.set_value(780.0)
    retype(field, "34")
    assert "34 in? Write the unit, or 350 to 1100 mm" in field.error()
    retype(field, "40")
    assert "40 cm or 40 in?" in field.error()
    retype(field, "34 mm")
    assert "?" not in field.error() and "350 to 1100 mm" in field.error()
    retype(field, "34in.")
    assert form.values[-1] == pytest.approx(863.6) and field.error() == ""


def test_the_message_moves_nothing_and_goes_when_the_field_is_left(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH))
    form.resize(400, 300)
    form.field.set_value(870.0)
    before = form.other.geometry(), form.field.geometry()
    retype(form.field, "x")
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Return)
    bubble = form.findChild(MessageBubble)
    assert bubble is not None and bubble.isVisible()
    assert form.rect().contains(bubble.geometry())
    assert not bubble.geometry().intersects(form.field.geometry())
    assert (form.other.geometry(), form.field.geometry()) == before
    leave(form)
    assert not bubble.isVisible() and form.field.message()
    form.field.setFocus()
    assert bubble.isVisible()
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Escape)
    assert not bubble.isVisible()


def test_a_value_out_of_range_is_refused_in_the_unit_shown(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH, minimum=500.0, maximum=1100.0))
    form.field.set_value(870.0)
    form.field.set_system(UnitSystem.INCH)
    retype(form.field, "57")
    assert form.field.value() == 870.0
    assert form.values == []
    # 500 mm is 19.68503... in and 1100 mm is 43.30708... in: both rounded into the range.
    assert "19.7 to 43.3 in" in form.field.error()
    leave(form)
    assert form.field.text() == "57"
    form.field.setFocus()
    retype(form.field, "43.307")
    assert form.values[-1] == pytest.approx(43.307 * 25.4)
    assert form.field.error() == ""


def test_a_limit_may_be_typed_in_another_unit(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.ANGLE, maximum=30, optional=True))
    QTest.keyClicks(form.field.line_edit, "30")
    assert form.values[-1] == 30
    lengths = shown(qtbot, QuantityField(Kind.LENGTH, minimum=304.8, maximum=304.8))
    QTest.keyClicks(lengths.field.line_edit, "12 in")
    assert lengths.values == [304.8]


def test_bad_text_is_judged_anew_in_the_new_unit(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH, minimum=500.0, maximum=1100.0))
    form.field.set_value(870.0)
    retype(form.field, "34")
    form.field.set_system(UnitSystem.INCH)
    assert form.field.text() == "34"
    assert form.field.value() == 870.0
    assert "Press Enter" in form.field.message()
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Return)
    assert form.values == [pytest.approx(863.6)]
    assert form.field.error() == ""


def test_another_value_from_outside_replaces_bad_text(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH))
    QTest.keyClicks(form.field.line_edit, "57x")
    form.field.set_value(870.0)
    assert form.field.text() == "870"
    assert form.field.error() == ""
    assert form.faults[-1] == ""


def test_escape_puts_the_held_value_back(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH))
    form.field.set_value(870.0)
    retype(form.field, "x")
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Escape)
    assert form.field.text() == "870"
    assert form.field.error() == ""


def test_arrow_keys_leave_bad_and_empty_text_alone(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH, optional=True))
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Up)
    assert form.field.text() == ""
    QTest.keyClicks(form.field.line_edit, "x")
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Up)
    assert form.field.text() == "x"
    assert form.values == []


class Judge(QuantityField):
    """Takes no length above 871 mm, for a reason of its own."""

    def judge(self, value: float | None) -> None:
        if value is not None and value > 871.0:
            raise QuantityError("the table ends at 871 mm")


def test_a_value_that_is_judged_wrong_is_refused_like_bad_text(qtbot: QtBot) -> None:
    form = shown(qtbot, Judge(Kind.LENGTH))
    form.field.set_value(870.0)
    retype(form.field, "872")
    assert form.field.error() == "the table ends at 871 mm"
    assert form.field.value() == 870.0
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Escape)
    for _ in range(2):
        QTest.keyClick(form.field.line_edit, Qt.Key.Key_Up)
    assert form.field.text() == "872" and form.field.value() == 871.0
    assert form.field.message().endswith("until then planned with 871 mm")
