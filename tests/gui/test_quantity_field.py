"""The entry field of a quantity, driven by keys as a person would."""

import gc
import math
import weakref

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QLocale, QPoint, QPointF, Qt
from PySide6.QtGui import QAccessible, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from fitplanner.quantities import Kind, QuantityError, UnitSystem
from fitplanner.ui.widgets.message_line import MessageBubble
from fitplanner.ui.widgets.quantity_field import QuantityField
from tests.gui.looking import COMMA, POINT

METRIC, INCH = UnitSystem.METRIC, UnitSystem.INCH


class Form(QWidget):
    """A field with a neighbour to go to, and a record of what the field said."""

    def __init__(self, field: QuantityField, locale: QLocale) -> None:
        super().__init__()
        self.setLocale(locale)
        self.field = field
        self.other = QuantityField(Kind.MASS)
        self.values: list[float | None] = []
        self.faults: list[str] = []
        column = QVBoxLayout(self)
        column.addWidget(field)
        column.addWidget(self.other)
        field.edited.connect(self.values.append)
        field.bad_text.connect(self.faults.append)


def shown(qtbot: QtBot, field: QuantityField, locale: QLocale = POINT) -> Form:
    form = Form(field, locale)
    qtbot.addWidget(form)
    with qtbot.waitExposed(form):
        form.show()
    form.activateWindow()
    field.setFocus()
    qtbot.waitUntil(field.line_edit.hasFocus)
    return form


def retype(field: QuantityField, text: str) -> None:
    field.line_edit.selectAll()
    QTest.keyClick(field.line_edit, Qt.Key.Key_Delete)
    QTest.keyClicks(field.line_edit, text)


def leave(form: Form) -> None:
    form.other.setFocus()


def turn_wheel(target: QWidget, angle: int) -> QWheelEvent:
    event = QWheelEvent(
        QPointF(5, 5),
        QPointF(target.mapToGlobal(QPoint(5, 5))),
        QPoint(),
        QPoint(0, angle),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QCoreApplication.sendEvent(target, event)
    return event


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
    form.field.set_system(INCH)
    retype(form.field, "57")
    assert form.field.value() == 870.0
    assert form.values == []
    # 500 mm is 19.68503... in and 1100 mm is 43.30708... in: both rounded into the range.
    assert "19.686 to 43.307 in" in form.field.error()
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
    form.field.set_system(INCH)
    assert form.field.text() == "34"
    assert form.field.value() == 870.0
    assert "Press Enter" in form.field.message()
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Return)
    assert form.values == [pytest.approx(863.6)]
    assert form.field.error() == ""


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


def test_arrow_keys_leave_bad_and_empty_text_alone(qtbot: QtBot) -> None:
    form = shown(qtbot, QuantityField(Kind.LENGTH, optional=True))
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Up)
    assert form.field.text() == ""
    QTest.keyClicks(form.field.line_edit, "x")
    QTest.keyClick(form.field.line_edit, Qt.Key.Key_Up)
    assert form.field.text() == "x"
    assert form.values == []


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
