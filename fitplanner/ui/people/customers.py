"""Owns the small dialog with the shop's own figures of its customers."""

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFormLayout, QVBoxLayout, QWidget

from fitplanner.documents.customers import Customers
from fitplanner.quantities import UnitSystem
from fitplanner.report.people import SURVEY_WORDS
from fitplanner.ui.forms import note_label, set_note
from fitplanner.ui.widgets.quantity_field import QuantityField

_Buttons = QDialogButtonBox.StandardButton


class CustomersDialog(QDialog):
    """Share of women, and how tall women and men are."""

    def __init__(
        self, customers: Customers, system: UnitSystem, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Customers of the shop"))
        self.fields: dict[str, QuantityField] = {}
        form = QFormLayout()
        for spec in Customers.specs():
            field = QuantityField(
                spec.kind, minimum=spec.low, maximum=spec.high, name=spec.label, parent=self
            )
            field.set_system(system)
            field.set_help(spec.help)
            field.set_value(getattr(customers, spec.key))
            field.bad_text.connect(self._show_buttons)
            self.fields[spec.key] = field
            form.addRow(spec.label, field)
        survey = note_label(self)
        set_note(survey, SURVEY_WORDS)
        buttons = QDialogButtonBox(_Buttons.Ok | _Buttons.Cancel, self)
        self.survey_button = buttons.addButton(
            self.tr("&Survey's figures"), QDialogButtonBox.ButtonRole.ResetRole
        )
        self.ok_button = buttons.button(_Buttons.Ok)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self.survey_button.clicked.connect(self._reset)
        column = QVBoxLayout(self)
        column.addLayout(form)
        column.addWidget(survey)
        column.addStretch(1)
        column.addWidget(buttons)
        self.setMinimumWidth(460)

    def customers(self) -> Customers:
        """What is entered."""
        return Customers().replace(**{key: field.value() for key, field in self.fields.items()})

    def _reset(self) -> None:
        for key, field in self.fields.items():
            field.discard_typing()
            field.set_value(getattr(Customers(), key))

    def _show_buttons(self) -> None:
        self.ok_button.setEnabled(not any(each.has_bad_text() for each in self.fields.values()))
