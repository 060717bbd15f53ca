"""Owns the page on which a spring's lengths under known forces are typed or pasted."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from fitplanner.planning.spring_found import SpringFound, by_press
from fitplanner.quantities import Kind, QuantityError, UnitSystem, unit_label
from fitplanner.ui.spring.entries import ReadingForm
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import NOTE
from fitplanner.ui.widgets.reading_table import Column, ReadingTable
from fitplanner.ui.widgets.remark import Remark

_LENGTH = ((0.0, 10.0), 0.5)
_FORCE = {Kind.FORCE: ((0.0, 200.0), 3.0), Kind.MASS: ((0.0, 20.0), 0.3)}
_SCALE = ((0.0, 0.2), 0.01)
_FREE = ((20.0, 900.0), (1.0, 20.0))


class PressPage(QWidget):
    """A table of lengths and forces, and how well both are read."""

    changed = Signal()
    pasted = Signal(str)
    """A paste was refused, and why; "" when it was taken."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._system = UnitSystem.METRIC
        self._solid_mm = 0.0
        self.table = ReadingTable(
            self.tr("Readings"), self._columns(Kind.FORCE), self.tr("Off the line"), self
        )
        paste = QPushButton(self.tr("Paste from a spreadsheet"), self)
        remove = QPushButton(self.tr("Take the row out"), self)
        self.form = ReadingForm(self)
        self.forces = self.form.add_choice(self.tr("Forces read in"), self._force_units())
        self.length_spread = self.form.add_single(
            self.tr("Each length"), Kind.LENGTH, _LENGTH[0], _LENGTH[1]
        )
        self.force_spread = {
            kind: self.form.add_single(self.tr("Each force"), kind, *_FORCE[kind])
            for kind in _FORCE
        }
        self.scale = self.form.add_single(
            self.tr("The scale as a whole"),
            Kind.PERCENT,
            *_SCALE,
            help=self.tr("By how much it may read everything too high or too low"),
        )
        self.free = self.form.add_reading(
            self.tr("Free length, if read"), Kind.LENGTH, *_FREE, optional=True
        )
        self.swept = Remark(self)
        tools = QHBoxLayout()
        for button in (paste, remove):
            button.setAutoDefault(False)
            tools.addWidget(button)
        tools.addStretch(1)
        left, right = QVBoxLayout(), QVBoxLayout()
        # The buttons stand above what grows and shrinks, so that they stay where they are.
        left.addLayout(tools)
        left.addWidget(self.table, 1)
        left.addWidget(self.swept)
        right.addWidget(self.form)
        right.addStretch(1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(16)
        row.addLayout(left, 1)
        row.addLayout(right)
        paste.clicked.connect(self.table.paste)
        remove.clicked.connect(self.table.remove_rows)
        self.table.changed.connect(self.changed)
        self.table.pasted.connect(self.pasted)
        self.table.swept.connect(self._swept)
        self.swept.acted.connect(self.table.put_back)
        self.form.changed.connect(self.changed)
        self.forces.currentIndexChanged.connect(self._other_force)
        self._other_force()

    def set_solid(self, solid_mm: float) -> None:
        """The profile's solid length, near which no reading should stand."""
        self._solid_mm = solid_mm

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        self.form.set_system(system)
        self.table.set_system(system)
        for index, label in enumerate(self._force_units().values()):
            self.forces.setItemText(index, label)

    def answer(self) -> SpringFound | None:
        """What the readings say, or None while there are none.

        Raises:
            QuantityError: a cell cannot be read.
            ReadingsError: no rate follows from them.
        """
        rows = self.table.rows()
        if not rows:
            return None
        lengths, forces = (list(column) for column in zip(*rows, strict=True))
        kind = self._kind()
        return by_press(
            lengths,
            forces,
            in_kg=kind is Kind.MASS,
            length_spread_mm=self.length_spread.value() or 0.0,
            force_spread=self.force_spread[kind].value() or 0.0,
            scale_spread=self.scale.value() or 0.0,
            free_mm=self.free.read(),
            solid_mm=self._solid_mm,
        )

    def show_found(self, found: SpringFound | None, figures: Figures) -> None:
        """Say of each reading how far it is off the line."""
        told = (
            []
            if found is None
            else [
                (figures.text(off, Kind.FORCE, decimals=1, signed=True), row in found.misfits[:1])
                for row, off in enumerate(found.off_n)
            ]
        )
        self.table.show_told(told)

    def complaint(self) -> str:
        """Why a field's text cannot be taken; "" where all can."""
        return self.form.complaint()

    def wanted(self) -> str:
        """What has to be read."""
        return self.tr("Two lengths or more, each with its force, give the rate.")

    def origin(self) -> str:
        """What was read, in the units in which it was typed."""
        try:
            rows = self.table.rows()
        except QuantityError:
            return ""
        figures = Figures.of(self._system, self.locale())
        shortest, longest = min(row[0] for row in rows), max(row[0] for row in rows)
        return self.tr("pressed, {count} readings from {longest} to {shortest} long").format(
            count=len(rows), longest=figures.text(longest), shortest=figures.text(shortest)
        )

    def _swept(self, words: str) -> None:
        self.swept.show_text(words, NOTE, self.tr("Put back") if words else "")

    def _kind(self) -> Kind:
        return Kind(self.forces.currentData())

    def _columns(self, force: Kind) -> tuple[Column, Column]:
        return Column(self.tr("Length"), Kind.LENGTH), Column(self.tr("Force"), force)

    def _force_units(self) -> dict[Kind, str]:
        press, scale = self.tr("{unit}, a press"), self.tr("{unit}, a scale")
        return {
            Kind.FORCE: press.format(unit=unit_label(Kind.FORCE, self._system)),
            Kind.MASS: scale.format(unit=unit_label(Kind.MASS, self._system)),
        }

    def _other_force(self) -> None:
        kind = self._kind()
        for each, field in self.force_spread.items():
            self.form.set_row_shown(field, each is kind)
        self.table.set_columns(self._columns(kind))
