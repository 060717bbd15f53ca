"""A field to type in, with a neighbour to go to."""

from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from fitplanner.quantities import Kind
from fitplanner.ui.widgets.quantity_field import QuantityField
from tests.gui.looking import POINT


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
