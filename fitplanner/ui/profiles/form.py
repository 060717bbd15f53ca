"""Owns the figures of one section as they stand on a page of the editor.

A row has its field and, in a word, how far the figure may be off and where it comes from; the
rest is told of the figure in use, see `details`. Refuses which figures belong to which page.
"""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from fitplanner.documents.base import FigureSpec
from fitplanner.documents.errors import Address
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.slips.finding import Finding
from fitplanner.library.tyres import tyre_size
from fitplanner.quantities import Kind, UnitSystem
from fitplanner.ui.fields import FigureEntry
from fitplanner.ui.forms import plain_label, tip
from fitplanner.ui.panels.section import SectionForm, section_title
from fitplanner.ui.profiles.entry import StageEntry
from fitplanner.ui.profiles.manner import Manner, is_assumed, provenance, shown_figure
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.text import Text

_ORIGIN_WIDTH = 124
_FINE_MM = 2.0
_LABEL_WIDTH = 116


class StageForm(SectionForm):
    """Some figures of one section, typed in one manner."""

    entered = Signal(object)
    """The address of the figure in use."""
    remark_made = Signal(object)
    """A remark on one of the figures, to be put beside the page."""
    mend_wanted = Signal()
    """A mend is about to be carried out here."""

    def __init__(
        self,
        history: History,
        section: str,
        manner: Manner,
        parent: QWidget | None = None,
        *,
        keys: Sequence[str],
        heading: str | None = None,
    ) -> None:
        """`heading` stands over it, left out: that of the section."""
        self._manner = manner
        super().__init__(history, section, parent, keys=keys)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setVerticalSpacing(1)
        self._grid.setHorizontalSpacing(8)
        self._grid.setColumnMinimumWidth(0, _LABEL_WIDTH)
        words = section_title(section) if heading is None else heading
        if words:
            head = plain_label(words, self)
            font = head.font()
            font.setBold(True)
            head.setFont(font)
            self._grid.addWidget(head, 0, 0, 1, 5)

    def entries(self) -> list[StageEntry]:
        """The fields of figures, from the top."""
        return [each for each in self.fields if isinstance(each, StageEntry)]

    def show_findings(self, findings: tuple[Finding, ...], system: UnitSystem) -> None:
        """Say below each figure what is odd about it; the section's others stand elsewhere."""
        here = (*(self._keys or ()), "")
        super().show_findings(tuple(one for one in findings if one.figure[1] in here), system)

    def _place(self, remark: Remark, key: str) -> None:
        """Beside the page: a field must not move while somebody aims at it."""
        self.remark_made.emit(remark)

    def _named(self, key: str, words: str) -> str:
        model = MachineProfile.model_fields[self._section].annotation
        field = getattr(model, "model_fields", {}).get(key)
        label = getattr(field, "title", None)
        named = not label or words.startswith(label)
        return words if named or not words else f"{label}: {words}"

    def _mend(self) -> None:
        self.mend_wanted.emit()
        super()._mend()

    def _heads(self) -> tuple[str, ...]:
        return ()

    def _value_entry(self, address: Address, spec: FigureSpec) -> FigureEntry:
        entry = StageEntry(self._history, address, spec, self._manner, self)
        entry.entered.connect(self.entered)
        return entry

    def _add_origin(self, row: int, address: Address, spec: FigureSpec) -> None:
        origin = OriginLabel(address, spec, self)
        origin.setFixedWidth(_ORIGIN_WIDTH)
        # On the line of the field, also where the figure's name takes two.
        origin.setMinimumHeight(self.entries()[-1].sizeHint().height())
        origin.setAlignment(Qt.AlignmentFlag.AlignVCenter)
        self._grid.addWidget(origin, row, 2, Qt.AlignmentFlag.AlignTop)
        self.fields.append(origin)


class OriginLabel(Text):
    """Spread and source of a figure in a word; the tooltip says more."""

    def __init__(self, address: Address, spec: FigureSpec, parent: QWidget) -> None:
        super().__init__(wrap=False, faint=True, scale=0.92, parent=parent)
        self._address = address
        self._spec = spec
        self._system = UnitSystem.METRIC
        self._job: Job | None = None
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Preferred)

    def show_job(self, job: Job) -> None:
        """Show where the figure comes from."""
        self._job = job
        figure = shown_figure(job, self._address)
        if figure is None:
            self.setText("")
            self.set_hint("")
            return
        figures = Figures.of(self._system, self.locale())
        word = SHORT[figure.source]
        # A spread is told as fine as it takes to be more than nothing.
        fine = 1 if self._spec.kind is Kind.LENGTH and figure.spread < _FINE_MM else None
        spread = figures.bare(figure.spread, self._spec.kind, decimals=fine)
        # A size from the tyre's side stays in sight: the field holds what it comes to.
        size = figure.typed if tyre_size(figure.typed) else ""
        self.setText(f"{size} {self.tr(word)}" if size else f"± {spread} {self.tr(word)}")
        font = self.font()
        font.setItalic(is_assumed(figure))
        self.setFont(font)
        said = [provenance(figure, self.locale())]
        if figure.typed:
            said.append(self.tr("typed as {text}").format(text=figure.typed))
        if figure.note:
            said.append(figure.note)
        self.setToolTip(tip(". ".join(said)))

    def discard(self) -> None:
        """Nothing is typed here."""

    def set_system(self, system: UnitSystem) -> None:
        """Show the spread in another unit system."""
        self._system = system
        if self._job is not None:
            self.show_job(self._job)


SHORT = {"maker": "sheet", "measured": "measured", "estimated": "estimated", "assumed": "assumed"}
"""Sources in one word each."""
