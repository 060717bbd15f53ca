"""Owns the field of one figure of a profile under edit.

It stands empty while the figure is its rule's, with the rule's value in its place in slanted
letters; what is typed counts as the page says, and is kept as it was typed. Refuses rules.
"""

from dataclasses import replace

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QWidget

from fitplanner.documents.base import Figure, FigureSpec
from fitplanner.documents.errors import Address
from fitplanner.documents.job import Job
from fitplanner.library.tyres import tyre_size
from fitplanner.quantities import UnitSystem
from fitplanner.session.edits import Edit, value_at
from fitplanner.ui.fields import FigureEntry
from fitplanner.ui.profiles.manner import Manner, figure_of, is_assumed, with_unit
from fitplanner.ui.tape.typed import read_typed
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import Figures

# Where the size on the tyre's side may be typed, and what of it counts.
_TYRE_PARTS = {
    "front_radius_mm": "radius_mm",
    "rear_radius_mm": "radius_mm",
    "front_section_mm": "width_mm",
    "rear_section_mm": "width_mm",
}


_WIDTH_OF = {"front_radius_mm": "front_section_mm", "rear_radius_mm": "rear_section_mm"}


class StageEntry(FigureEntry):
    """The value of a figure as far as somebody knows it."""

    entered = Signal(object)
    """The field is in use: its address."""

    def __init__(
        self,
        history: History,
        address: Address,
        spec: FigureSpec,
        manner: Manner,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(history, address, replace(spec, optional=True), parent)
        self.spec = spec
        self._manner = manner
        self.line_edit.returnPressed.connect(self._go_on)
        if str(address[-1]) in _TYRE_PARTS:
            self.set_help(
                f"{spec.help}. ".lstrip(". ")
                + self.tr("Or the size on the tyre's side, such as 90/90-21")
            )

    def show_job(self, job: Job) -> None:
        super().show_job(job)
        self._show_stand_in(job)

    def set_system(self, system: UnitSystem) -> None:
        super().set_system(system)
        self._show_stand_in(self._history.job)

    def _show_stand_in(self, job: Job) -> None:
        """In the empty field the rule's value."""
        figure = figure_of(job, self.address)
        figures = Figures.of(self._system, self.locale())
        if figure is None:
            self.set_placeholder(self.tr("not given"))
            self.set_empty_words(self.tr("left empty"))
        else:
            value = figures.text(figure.value, self.spec.kind)
            self.set_placeholder(figures.bare(figure.value, self.spec.kind))
            self.set_empty_words(self.tr("planned with {value}, assumed").format(value=value))
        font = self.line_edit.font()
        slanted = self._read_job(job) is None and not self.text()
        if font.italic() != slanted:
            font.setItalic(slanted)
            self.line_edit.setFont(font)

    def _read_job(self, job: Job) -> float | None:
        figure = value_at(job, self.address)
        return None if figure is None or is_assumed(figure) else figure.value

    def _edit_of(self, value: float | None) -> Edit:
        job = self._history.job
        if self._read_job(job) == self.settled():
            self._before = figure_of(job, self.address)
        if value == self.settled():
            return Edit(self.address, self._before)
        if value is None:
            return Edit(self.address, self._manner.emptied(job, self.address))
        text = self.text().strip()
        if tyre_size(text) is None:
            text = with_unit(text, self.spec, self._system)
        figure = self._manner.typed(self.address, self.spec, value, text)
        return self._with_width(figure, text) or Edit(self.address, figure)

    def _with_width(self, radius: Figure, text: str) -> Edit | None:
        """A tyre's size typed as its radius tells the width too, unless a tape told that."""
        size, other = tyre_size(text), _WIDTH_OF.get(str(self.address[-1]))
        if size is None or other is None:
            return None
        wheels = self._history.job.machine.wheels
        present: Figure = getattr(wheels, other)
        by_size = tyre_size(present.typed) is not None
        spec = next(each for each in wheels.specs() if each.key == other)
        if not (is_assumed(present) or by_size) or not spec.low <= size.width_mm <= spec.high:
            return None
        width = self._manner.typed((*self.address[:-1], other), spec, size.width_mm, text)
        changed = wheels.replace(**{str(self.address[-1]): radius, other: width})
        return Edit(self.address[:-1], changed)

    def _parse(self, typed: str) -> float:
        part = _TYRE_PARTS.get(str(self.address[-1]))
        size = None if part is None else tyre_size(typed)
        if size is not None:
            value: float = getattr(size, str(part))
            return value
        return read_typed(typed, self._limits, self._system, decimal_mark=self._decimal_mark())

    def _go_on(self) -> None:
        """Enter leads to the next figure, where this one was taken."""
        if not self.has_bad_text():
            self.focusNextChild()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Tell which figure is in use."""
        if isinstance(event, QFocusEvent) and event.gotFocus():
            self.entered.emit(self.address)
        return super().eventFilter(watched, event)
