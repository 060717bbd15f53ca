"""Owns the fields in which a spring's readings are typed: figure, spread, and how it was read.

Refuses the job: what is typed here reaches it when it is taken over.
"""

from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QWidget

from fitplanner.mechanics.spring_readings import Read
from fitplanner.quantities import Kind, UnitSystem, unit_label
from fitplanner.ui.forms import plain_label
from fitplanner.ui.widgets.quantity_field import QuantityField
from fitplanner.ui.widgets.text import tip
from fitplanner.ui.widgets.wheel import scrolls_past

_WIDTH = 140


class ReadingForm(QWidget):
    """Rows of a label, a figure, its spread, and a choice of how it was read."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setColumnStretch(4, 1)
        self._fields: list[QuantityField] = []
        self._kinds: dict[QuantityField, Kind] = {}
        self._labels: dict[QWidget, QLabel] = {}
        self._system = UnitSystem.METRIC
        for column, words in enumerate((self.tr("Reading"), self.tr("Spread (±)")), 1):
            head = plain_label(words, self)
            head.setForegroundRole(head.palette().ColorRole.PlaceholderText)
            self._grid.addWidget(head, 0, column)

    def add_reading(
        self,
        words: str,
        kind: Kind,
        limits: tuple[float, float],
        spread: tuple[float, float],
        *,
        optional: bool = False,
        help: str = "",
    ) -> "Reading":
        """A figure with its spread: first the usual one, then the most."""
        row = self._grid.rowCount()
        value = self._field(words, kind, *limits, optional=optional)
        off = self._field(
            self.tr("Spread: {words}").format(words=words), kind, 0.0, spread[1], optional=False
        )
        off.set_value(spread[0])
        value.set_help(help)
        self._label(words, value, row, help)
        self._grid.addWidget(value, row, 1)
        self._grid.addWidget(off, row, 2)
        return Reading(value, off)

    def add_single(
        self, words: str, kind: Kind, limits: tuple[float, float], usual: float, help: str = ""
    ) -> QuantityField:
        """A figure alone, in the column of spreads."""
        row = self._grid.rowCount()
        field = self._field(words, kind, *limits, optional=False)
        field.set_value(usual)
        field.set_help(help)
        self._label(words, field, row, help)
        self._grid.addWidget(field, row, 2)
        return field

    def add_choice(
        self, words: str, labels: Mapping[Any, str], *, beside: QuantityField | None = None
    ) -> QComboBox:
        """A choice, in a row of its own or beside a figure; its data are the values."""
        box = QComboBox(self)
        for value, label in labels.items():
            box.addItem(label, value)
        box.setAccessibleName(words)
        scrolls_past(box)
        box.currentIndexChanged.connect(self._tell)
        if beside is None:
            row = self._grid.rowCount()
            self._label(words, box, row, "")
            self._grid.addWidget(box, row, 1, 1, 3)
        else:
            row = self._grid.getItemPosition(self._grid.indexOf(beside))[0]  # type: ignore[index]
            self._grid.addWidget(box, row, 3)
        return box

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        for field in self._fields:
            field.set_system(system)

    def set_row_shown(self, field: QuantityField, shown: bool) -> None:
        """Show or hide a figure with its label."""
        field.setVisible(shown)
        self._labels[field].setVisible(shown)

    def typed(self, field: QuantityField) -> str:
        """What stands in a field, with its unit."""
        return f"{field.text().strip()} {unit_label(self._kinds[field], self._system)}".strip()

    def complaint(self) -> str:
        """Why a field's text cannot be taken; "" where all can."""
        return next((each.error() for each in self._fields if each.error()), "")

    def _field(
        self, words: str, kind: Kind, low: float, high: float, *, optional: bool
    ) -> QuantityField:
        field = QuantityField(
            kind, minimum=low, maximum=high, optional=optional, name=words, parent=self
        )
        field.setFixedWidth(_WIDTH)
        field.edited.connect(self._tell)
        field.bad_text.connect(self._tell)
        self._fields.append(field)
        self._kinds[field] = kind
        return field

    def _label(self, words: str, field: QWidget, row: int, help: str) -> None:
        label = plain_label(words.replace("&", "&&"), self)
        label.setBuddy(field)
        label.setToolTip(tip(help))
        self._labels[field] = label
        self._grid.addWidget(label, row, 0, Qt.AlignmentFlag.AlignVCenter)

    def _tell(self) -> None:
        self.changed.emit()


class Reading:
    """The two fields of one reading."""

    def __init__(self, value: QuantityField, spread: QuantityField) -> None:
        self.value = value
        self.spread = spread

    def read(self) -> Read | None:
        """The reading, or None while there is none."""
        value = self.value.value()
        return None if value is None else Read(value, self.spread.value() or 0.0)
