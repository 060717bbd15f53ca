"""Owns the one-line entry of a quantity with its unit.

The field holds the exact canonical value and shows it in the unit of the current system; text
is read only when the person changes it. Text that cannot be taken stays where it is and is
explained, and the value held before the typing began is in force again: nothing half-typed stays.
Refuses: any knowledge of what the value is for; `judge` is for those who have it.
"""

import math

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QWidget

from fitplanner.quantities import (
    Kind,
    QuantityError,
    UnitSystem,
    display_unit,
    format_for_entry,
    from_display,
    parse_quantity,
    to_display,
    unit_label,
)
from fitplanner.ui.widgets.field_mark import FieldMark
from fitplanner.ui.widgets.figures import decimal_mark
from fitplanner.ui.widgets.limits import Limits
from fitplanner.ui.widgets.message_line import MessageBubble
from fitplanner.ui.widgets.text import tip

# Half-typed text is not scolded: the message waits until the typing rests.
TYPING_REST_MS = 700
WHEEL_NOTCH = 120
PAGE_STEPS = 10
# All fields of a form keep the same room for the unit, so that their edges stand in line.
WIDEST_UNIT = "kgf/mm"
_PLAIN_KEYS = (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
_STEPS_OF_KEY = {
    Qt.Key.Key_Up: 1,
    Qt.Key.Key_Down: -1,
    Qt.Key.Key_PageUp: PAGE_STEPS,
    Qt.Key.Key_PageDown: -PAGE_STEPS,
}


class QuantityField(QWidget):
    """An entry field for one quantity; all values are canonical floats.

    `minimum` and `maximum` bound what may be typed, not what `set_value` shows. An `optional`
    field may be left empty and then holds None. `name` is read out by a screen reader.
    """

    meant_below = False
    """Whether what may be meant is offered below the field, where a bubble would cover it."""

    edited = Signal(object)
    """The value in force now, or None for an empty field: with each change typed, and once more
    when what was typed is refused."""
    bad_text = Signal(str)
    """Why the text cannot be taken, said again when the field is entered; empty when mended."""
    told = Signal(str)
    """What the field says now that the typing rests; empty when there is nothing to say."""

    def __init__(
        self,
        kind: Kind,
        *,
        minimum: float | None = None,
        maximum: float | None = None,
        optional: bool = False,
        name: str = "",
        system: UnitSystem = UnitSystem.METRIC,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._kind = kind
        self._limits = Limits(
            kind,
            -math.inf if minimum is None else minimum,
            math.inf if maximum is None else maximum,
        )
        self._optional = optional
        self._system = system
        self._value: float | None = None
        # What stands in the field when nobody has typed since, and the value that it stands for:
        # the one to go back to when text is refused.
        self._shown_text = ""
        self._shown_value: float | None = None
        self._typed_error = ""
        self._caution = ""
        self._help = ""
        self._empty_words = ""
        self._message = ""
        self._wheel = 0

        self._line = QLineEdit(self)
        self._line.setAlignment(Qt.AlignmentFlag.AlignRight)
        self._unit = QLabel(self)
        self._unit.setMinimumWidth(self._unit.fontMetrics().horizontalAdvance(WIDEST_UNIT))
        self._mark = FieldMark(self._line, self)
        self._bubble = MessageBubble(self)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(TYPING_REST_MS)
        entry = QHBoxLayout(self)
        entry.setContentsMargins(0, 0, 0, 0)
        entry.addWidget(self._line, 1)
        entry.addWidget(self._unit)

        self.setFocusProxy(self._line)
        self.setFocusPolicy(self._line.focusPolicy())
        self._line.installEventFilter(self)
        self._line.textEdited.connect(self._take)
        self._line.returnPressed.connect(self.end_typing)
        self._rest.timeout.connect(self._show_message)
        self.set_name(name)
        self._repaint()

    # What the pages call. None of these emits `edited`.

    def value(self) -> float | None:
        """The canonical value in force, also while bad text stands in the field."""
        return self._value

    def settled(self) -> float | None:
        """The value from before the typing began, in force again when the text is refused."""
        return self._shown_value

    def set_value(self, value: float | None) -> None:
        """Show `value`; an equal value leaves alone what is being typed."""
        if value is not None and not math.isfinite(value):
            raise ValueError(f"a field cannot show {value!r}")
        if value == self._value:
            return
        self._value = None if value is None else float(value)
        self.discard_typing()

    def discard_typing(self) -> None:
        """Put the text of the held value back, for instance when another job is opened."""
        self._remember_shown()
        self._line.setText(self._shown_text)
        self._set_typed_error("")

    def set_system(self, system: UnitSystem) -> None:
        """Show the held value in another unit system; bad text stays and is judged anew."""
        if system is self._system:
            return
        self._system = system
        self._repaint()

    def set_placeholder(self, text: str) -> None:
        """What the empty field shows, for instance an estimate."""
        self._line.setPlaceholderText(text)

    def set_name(self, name: str) -> None:
        """What a screen reader calls the field; use the label's words."""
        self._line.setAccessibleName(name)
        self.setAccessibleName(name)

    def set_help(self, text: str) -> None:
        """What is asked for, as a tooltip while nothing is wrong."""
        self._help = text
        self._describe()

    def set_caution(self, text: str) -> None:
        """Mark a value that can be held but should not be; "" takes the mark away."""
        self._caution = text
        self._describe()
        self._show_message()

    def set_empty_words(self, text: str) -> None:
        """What holds while the field is empty, such as "chosen by the planner"."""
        self._empty_words = text
        if self._message:
            self._show_message()

    def judge(self, value: float | None) -> None:
        """Raise QuantityError where `value`, well written, cannot be taken all the same."""

    def error(self) -> str:
        """What is wrong with the text, or ""."""
        return self._typed_error

    def stand_in(self) -> str:
        """What holds while the text cannot be taken, for example "planned with 780 mm"."""
        if self._value is None:
            return self._empty_words or self.tr("left empty")
        held = f"{self._entry_text(self._value)} {self._unit.text()}".strip()
        return self.tr("planned with {value}").format(value=held)

    def has_bad_text(self) -> bool:
        """Whether the text in the field could not be taken."""
        return bool(self._typed_error)

    def text(self) -> str:
        """The text in the field as it stands."""
        return self._line.text()

    def message(self) -> str:
        """What the field says of its text now that the typing rests, or ""."""
        return self._message

    def meant(self) -> str:
        """What stands there with the one unit with which it could be taken; else ""."""
        if not self._typed_error:
            return ""
        return self._limits.meant(self.text().strip(), self._system, self._decimal_mark())

    def take_meant(self) -> None:
        """Take the text with that unit."""
        if meant := self.meant():
            self._line.setText(meant)
            self._take(meant)
            self.end_typing()

    @property
    def line_edit(self) -> QLineEdit:
        """The inner editor, for tab order and for tests that type."""
        return self._line

    # Reading.

    def _take(self, text: str) -> None:
        try:
            value = self._read(text)
            self.judge(value)
        except QuantityError as refusal:
            value = self._shown_value
            self._set_typed_error(str(refusal))
            self._rest.start()
        else:
            self._set_typed_error("")
        self._hold(value)

    def _hold(self, value: float | None) -> None:
        if value != self._value:
            self._value = value
            self.edited.emit(value)

    def _read(self, text: str) -> float | None:
        """The value of `text`; raises QuantityError."""
        typed = text.strip()
        # Text put back as it was stands for the exact value, not for its rounded display.
        if typed == self._shown_text and (self._shown_value is not None or self._optional):
            return self._shown_value
        if self._optional and not typed:
            return None
        value = self._parse(typed)
        if not self._limits.hold(value):
            raise QuantityError(self._limits.refusal(typed, self._system, self._decimal_mark()))
        return self._limits.nearest(value)

    def _parse(self, typed: str) -> float:
        """The canonical value of text; raises QuantityError."""
        return parse_quantity(typed, self._kind, self._system, decimal_mark=self._decimal_mark())

    def end_typing(self) -> None:
        """Typing has ended: explain bad text at once, write good text in the usual form."""
        if self._typed_error or self._line.text() != self._shown_text:
            self._take(self._line.text())
        if self._typed_error:
            self._show_message()
        elif self._line.text() != self._shown_text:
            self.discard_typing()

    def _step_by(self, count: int) -> None:
        """Go `count` round steps up or down; bad text and an empty field are left alone."""
        if self._value is None or self._typed_error:
            return
        step = display_unit(self._kind, self._system).step
        place = to_display(self._value, self._kind, self._system) / step
        start = math.floor(place + 1e-6) if count > 0 else math.ceil(place - 1e-6)
        shown = round((start + count) * step, 10)
        value = self._limits.nearest(from_display(shown, self._kind, self._system))
        if (value - self._value) * count <= 0:
            return
        try:
            self.judge(value)
        except QuantityError as refusal:
            self._line.setText(self._entry_text(value))
            self._set_typed_error(str(refusal))
            self._hold(self._shown_value)
            self._show_message()
            return
        self._hold(value)
        self.discard_typing()

    # Showing.

    def _repaint(self) -> None:
        """Show the held value in the present unit and decimal mark."""
        self._unit.setText(unit_label(self._kind, self._system))
        if not self._typed_error:
            self.discard_typing()
            self._describe()
            return
        self._remember_shown()
        try:
            self._read(self._line.text())
        except QuantityError as refusal:
            self._set_typed_error(str(refusal))
        else:
            self._set_typed_error(
                self.tr("Press Enter to take '{typed}' in {unit}").format(
                    typed=self._line.text().strip(), unit=self._unit.text()
                )
            )
        self._show_message()

    def _remember_shown(self) -> None:
        self._shown_value = self._value
        self._shown_text = "" if self._value is None else self._entry_text(self._value)

    def _decimal_mark(self) -> str:
        return decimal_mark(self.locale())

    def _entry_text(self, value: float) -> str:
        return format_for_entry(value, self._kind, self._system, decimal_mark=self._decimal_mark())

    def _set_typed_error(self, text: str) -> None:
        if text == self._typed_error:
            return
        self._typed_error = text
        self._describe()
        if not text:
            self._rest.stop()
            self._show_message()
        self.bad_text.emit(text)

    def _describe(self) -> None:
        """Tell tooltip and screen reader what is wrong, or else what may be typed."""
        wrong = self._typed_error or self._caution
        text = wrong or self._help
        self._line.setToolTip(tip(text))
        limits = self._limits.text(self._system, self._decimal_mark())
        self._line.setAccessibleDescription(wrong or limits or self._unit.text())

    def _show_message(self) -> None:
        """Say what is wrong now: in the bubble while the field is in use, by its mark always."""
        message = ""
        if self._typed_error:
            message = self.tr("{error}; until then {stand_in}").format(
                error=self._typed_error, stand_in=self.stand_in()
            )
        self._mark.show(wrong=bool(message), doubtful=bool(self._caution))
        self._show_bubble(message if self._line.hasFocus() else "")
        if message != self._message:
            self._message = message
            self.told.emit(message)

    def _show_bubble(self, message: str) -> None:
        self._bubble.show_text("" if self.meant_below and self.meant() else message)

    def changeEvent(self, event: QEvent) -> None:
        """Another appearance has another tint."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and (self._message or self._caution):
            self._show_message()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Steps, the end of typing and a change of the decimal mark, seen at the inner editor."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._on_key(event)
        if isinstance(event, QWheelEvent) and self._line.hasFocus():
            self._wheel += event.angleDelta().y()
            notches = int(self._wheel / WHEEL_NOTCH)
            self._wheel -= notches * WHEEL_NOTCH
            if notches:
                self._step_by(notches)
            event.accept()
            return True
        if isinstance(event, QFocusEvent) and event.lostFocus():
            self._wheel = 0
            # The field's own context menu does not end the typing.
            if event.reason() != Qt.FocusReason.PopupFocusReason:
                self.end_typing()
                self._bubble.hide()
        elif isinstance(event, QFocusEvent) and event.gotFocus():
            self._show_bubble(self._message)
            if self._typed_error:
                self.bad_text.emit(self._typed_error)
        elif event.type() == QEvent.Type.LocaleChange:
            self._repaint()
        return super().eventFilter(watched, event)

    def _on_key(self, event: QKeyEvent) -> bool:
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_Escape and self._typed_error:
            self.discard_typing()
            return True
        if key in _STEPS_OF_KEY and event.modifiers() in _PLAIN_KEYS:
            self._step_by(_STEPS_OF_KEY[key])
            return True
        return False
