"""Owns the pages of the editor: which figures a catalogue page, a tape, a manual, parts tell.

A page is its figures by section, one or two columns of them, and beside those of the tape the
drawing of where it goes. Refuses the words for single figures.
"""

from collections.abc import Iterable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QTabWidget, QVBoxLayout, QWidget

from fitplanner.documents.errors import Address
from fitplanner.documents.job import Job
from fitplanner.library.slips.finding import Finding
from fitplanner.library.stages import CATALOGUE, MANUAL, PARTS, TAPE, Stage
from fitplanner.quantities import UnitSystem
from fitplanner.ui.profiles.asking import Sketch
from fitplanner.ui.profiles.entry import StageEntry
from fitplanner.ui.profiles.form import StageForm
from fitplanner.ui.profiles.manner import Manner
from fitplanner.ui.profiles.taping import TapingView
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.mark import CAUTION
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.text import Text

# What is no figure but stands with those of a stage: before its section's figures, and below all.
_BEFORE = {CATALOGUE.key: (("catalogue", "state"), ("fork", "spring_legs"))}
_COLUMN_WIDTH, _WIDEST_COLUMN = 454, 560
_BELOW = {MANUAL.key: ("rear", "linkage")}


class StagePage(QWidget):
    """The figures of one source; its fields are built when they are first wanted."""

    entered = Signal(object)
    """The `StageEntry` in use."""
    remark_made = Signal(object)
    """A remark on one of the figures, to be put beside the page."""
    wanted = Signal(object)
    """This page is to be in front: a figure on it is about to be mended."""

    def __init__(
        self, history: History, stage: Stage, manner: Manner, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.stage = stage
        self.taping: TapingView | None = None
        self.forms: list[StageForm] = []
        self._history, self._manner = history, manner
        self._system = UnitSystem.METRIC
        self._findings: tuple[Finding, ...] = ()
        self._before: QWidget | None = None
        self._by_address: dict[Address, StageEntry] = {}
        area = self._area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(10, 8, 4, 4)
        outer.setSpacing(6)
        outer.addWidget(Text(self.tr(stage.how), faint=True, parent=self))
        minding = Remark(self)
        minding.show_text(self.tr(stage.caution) if stage.caution else "", CAUTION)
        outer.addWidget(minding)
        row = QHBoxLayout()
        row.setSpacing(14)
        row.addWidget(area, 1)
        if stage in (TAPE, PARTS):
            self.taping = TapingView(self)
            area.setMinimumWidth(_COLUMN_WIDTH)
            row.addWidget(self.taping, 1)
        outer.addLayout(row, 1)

    def follow(self, before: QWidget) -> None:
        """Let Tab lead from `before` to the first field."""
        self._before = before

    def build(self) -> None:
        """Make the fields, once."""
        if self.forms:
            return
        inner = QWidget(self)
        count = 1 if self.taping else 2
        # In a wide window a field stays near its name.
        inner.setMaximumWidth(count * _WIDEST_COLUMN)
        rows = QVBoxLayout(inner)
        rows.setContentsMargins(0, 0, 6, 0)
        columns = QHBoxLayout()
        columns.setSpacing(10)
        rows.addLayout(columns)
        for group in _columns(_by_section(self.stage), count):
            column = QVBoxLayout()
            column.setSpacing(6)
            for section, keys in group:
                column.addWidget(self._form(section, keys, inner))
            column.addStretch(1)
            columns.addLayout(column, 1)
        if self.stage.key in _BELOW:
            section, key = _BELOW[self.stage.key]
            rows.addWidget(self._form(section, [key], inner, heading=""))
        rows.addStretch(1)
        self._area.setWidget(inner)
        _lead(self._before, inner)
        self.set_system(self._system)
        self.show_job(self._history.job)
        self.show_findings(self._findings, self._system)

    def _form(
        self, section: str, keys: list[str], parent: QWidget, heading: str | None = None
    ) -> StageForm:
        form = StageForm(self._history, section, self._manner, parent, keys=keys, heading=heading)
        form.entered.connect(self._entered)
        form.remark_made.connect(self.remark_made)
        form.mend_wanted.connect(self._wanted)
        self.forms.append(form)
        self._by_address |= {each.address: each for each in form.entries()}
        return form

    def showEvent(self, event: QShowEvent) -> None:
        """The fields are wanted."""
        self.build()
        super().showEvent(event)

    def entry(self, address: Address) -> StageEntry | None:
        """The field of a figure, if it stands on this page."""
        if address[1:] in self.stage.figures:
            self.build()
        return self._by_address.get(address)

    def entry_in_use(self) -> StageEntry | None:
        """The field that has the keys, if one has."""
        return next((one for one in self._by_address.values() if one.line_edit.hasFocus()), None)

    def go_to(self, address: Address) -> bool:
        """Take the keys to a figure; whether it stands here."""
        entry = self.entry(address)
        if entry is not None:
            entry.setFocus(Qt.FocusReason.OtherFocusReason)
            self._area.ensureWidgetVisible(entry)
        return entry is not None

    def scrolls(self) -> bool:
        """Whether it takes scrolling to see all of it."""
        return self._area.verticalScrollBar().maximum() > 0

    def count_of(self, slips: Iterable[tuple[str, str]]) -> int:
        """How many of these figures, and of those whose text is not taken, stand here."""
        refused = set[tuple[str, str]]().union(*(form.refused() for form in self.forms))
        return len(set(_all(self.stage)).intersection(slips) | refused)

    def show_job(self, job: Job) -> None:
        """Show the figures of the job's machine."""
        for form in self.forms:
            form.show_job(job)

    def show_findings(self, findings: tuple[Finding, ...], system: UnitSystem) -> None:
        """Say below each figure what is odd about it."""
        self._findings = findings
        for form in self.forms:
            form.show_findings(findings, system)

    def show_sketch(self, sketch: Sketch) -> None:
        """Draw the tape on another picture of the machine."""
        if self.taping is not None:
            self.taping.show_sketch(sketch)

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        for form in self.forms:
            for field in form.fields:
                field.set_system(system)
        if self.taping is not None:
            self.taping.set_system(system)

    def discard(self) -> None:
        """Forget typed text that was not taken."""
        for form in self.forms:
            for field in form.fields:
                field.discard()

    def _wanted(self) -> None:
        self.wanted.emit(self)

    def _entered(self, address: Address) -> None:
        entry = self._by_address[address]
        self._area.ensureWidgetVisible(entry)
        if self.taping is not None:
            self.taping.show_figure((str(address[-2]), str(address[-1])), entry.spec)
        self.entered.emit(entry)


def _lead(before: QWidget | None, inner: QWidget) -> None:
    """Let Tab go from `before` through the fields in their order, though they came later."""
    for field in inner.findChildren(QWidget):
        by_tab = field.focusPolicy() & Qt.FocusPolicy.TabFocus
        if by_tab and field.focusProxy() is None and field.window() is inner.window():
            if before is not None:
                QWidget.setTabOrder(before, field)
            before = field


def _all(stage: Stage) -> tuple[tuple[str, str], ...]:
    """Everything that is asked at a stage."""
    below = (_BELOW[stage.key],) if stage.key in _BELOW else ()
    return (*_BEFORE.get(stage.key, ()), *stage.figures, *below)


def _by_section(stage: Stage) -> list[tuple[str, list[str]]]:
    """Sections in the order in which they first come, with their keys."""
    found: dict[str, list[str]] = {}
    for section, key in (*_BEFORE.get(stage.key, ()), *stage.figures):
        found.setdefault(section, []).append(key)
    return list(found.items())


def _columns(
    sections: list[tuple[str, list[str]]], count: int
) -> list[list[tuple[str, list[str]]]]:
    """Sections dealt to columns of about the same height, in their order."""
    heights = [len(keys) + 1.5 for _, keys in sections]
    columns: list[list[tuple[str, list[str]]]] = [[] for _ in range(count)]
    whole, used = sum(heights), 0.0
    for section, height in zip(sections, heights, strict=True):
        place = min(int((used + 0.5 * height) / whole * count), count - 1)
        columns[place].append(section)
        used += height
    return columns


def show_counts(
    tabs: QTabWidget, pages: Sequence[StagePage], slips: Iterable[tuple[str, str]]
) -> None:
    """On each tab how many figures of its page look like slips or are not taken."""
    every = set(slips)
    for place, page in enumerate(pages):
        count, title = page.count_of(every), f"&{page.tr(page.stage.title)}"
        tabs.setTabText(place, f"{title} ({count})" if count else title)
