"""Owns what is known of the figure in use: as typed, spread, source, from where, note, rule.

One small form for each figure that was looked at, kept, so that nothing typed in it is lost.
Refuses the figure's value; its own field has that.
"""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from fitplanner.documents.base import Figure, FigureSpec, Source
from fitplanner.documents.errors import Address
from fitplanner.documents.job import Job
from fitplanner.library.rules import Rules
from fitplanner.library.stages import caution, how
from fitplanner.planning.unsaid import SEAT_HEIGHT, unsaid_spread_mm
from fitplanner.quantities import UnitSystem, fill
from fitplanner.session.edits import Edit, value_at
from fitplanner.ui import texts
from fitplanner.ui.fields import SpreadEntry, TextEntry
from fitplanner.ui.forms import plain_label
from fitplanner.ui.panels.section import source_entry, spread_entry
from fitplanner.ui.profiles.manner import figure_of, is_assumed, provenance
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION
from fitplanner.ui.widgets.remark import Remark
from fitplanner.ui.widgets.text import Text


class FigureDetails(QStackedWidget):
    """The figure in use."""

    def __init__(self, history: History, rules: Rules, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._history = history
        self._rules = rules
        self._system = UnitSystem.METRIC
        self._forms: dict[Address, _DetailForm] = {}
        self._hint = Text(
            self.tr("Go into a field: here stands where its figure is from and how sure it is."),
            faint=True,
            parent=self,
        )
        self.addWidget(self._hint)

    def form(self) -> "_DetailForm | None":
        """The form of the figure in use."""
        shown = self.currentWidget()
        return shown if isinstance(shown, _DetailForm) else None

    def show_figure(self, address: Address, spec: FigureSpec, *, how_told: bool = False) -> None:
        """Turn to a figure; `how_told`: how it is taken stands elsewhere already."""
        if address not in self._forms:
            form = self._forms[address] = _DetailForm(
                self._history, self._rules, address, spec, how_told=how_told
            )
            form.set_system(self._system)
            self.addWidget(form)
        self._forms[address].show_job(self._history.job)
        self.setCurrentWidget(self._forms[address])

    def show_job(self, job: Job) -> None:
        """Show what `job` knows of them."""
        for form in self._forms.values():
            form.show_job(job)

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        for form in self._forms.values():
            form.set_system(system)

    def turn_to(self, field: QWidget) -> None:
        """Turn to the form that holds `field`, where one does."""
        for form in self._forms.values():
            if form.isAncestorOf(field):
                self.setCurrentWidget(form)

    def rest(self) -> None:
        """No figure is in use."""
        self.setCurrentWidget(self._hint)

    def start_over(self) -> None:
        """Another profile is on the table."""
        self.rest()
        for form in self._forms.values():
            form.discard()


class _DetailForm(QWidget):
    def __init__(
        self,
        history: History,
        rules: Rules,
        address: Address,
        spec: FigureSpec,
        *,
        how_told: bool,
    ) -> None:
        super().__init__()
        self._how_told = how_told
        self._address, self._spec, self._rules = address, spec, rules
        self._system = UnitSystem.METRIC
        self._job: Job | None = None
        self._history = history
        self._figure: Figure | None = None
        self._measured: Figure | None = None
        self.title = Text(spec.label, bold=True, wrap=False, parent=self)
        self.was = Remark(self)
        """The measured figure that another one took the place of, and the way back to it."""
        self.was.acted.connect(self._take_back)
        self.said = Text(parent=self)
        self.spread: SpreadEntry = spread_entry(history, address, spec, self)
        self.source = source_entry(history, address, spec, self)
        self.origin = _FigureText(history, address, "origin", self.tr("From"), 200, self)
        self.note = _FigureText(history, address, "note", self.tr("Note"), 2000, self)
        self.caution = Remark(self)
        self.caution.show_text("" if how_told else caution(_key(address)), CAUTION)
        self._origin_label = plain_label("", self)
        self._known = QWidget(self)
        grid = QGridLayout(self._known)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(3)
        grid.setHorizontalSpacing(8)
        rows = (
            (plain_label(self.tr("S&pread (±)"), self), self.spread),
            (plain_label(self.tr("S&ource"), self), self.source),
            (self._origin_label, self.origin),
            (plain_label(self.tr("Note"), self), self.note),
        )
        for row, (label, field) in enumerate(rows):
            label.setBuddy(field)
            grid.addWidget(label, row // 2, 2 * (row % 2))
            grid.addWidget(field, row // 2, 2 * (row % 2) + 1)
        grid.setColumnStretch(1, 1)
        grid.setColumnStretch(3, 1)
        self.spread.set_help(self.tr("One standard deviation: two cases of three lie closer"))
        self._fields = (self.spread, self.source, self.origin, self.note)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        top = QHBoxLayout()
        top.addWidget(self.title, 0, Qt.AlignmentFlag.AlignTop)
        top.addWidget(self.was, 1)
        column.addLayout(top)
        column.addWidget(self.said)
        column.addWidget(self.caution)
        column.addWidget(self._known)
        column.addStretch(1)

    def show_job(self, job: Job) -> None:
        self._job = job
        figure = figure_of(job, self._address)
        self._follow(figure)
        for field in self._fields:
            field.show_job(job)
        # An assumed figure is its rule's alone.
        self._known.setVisible(figure is not None and not is_assumed(figure))
        source = Source.ASSUMED if figure is None else figure.source
        self._origin_label.setText(_origin_word(self, source))
        self._origin_label.setBuddy(self.origin)
        self.said.setText(" ".join(filter(None, (self._said(figure), self._unsaid(job)))))
        self.said.setVisible(bool(self.said.text()))

    def set_system(self, system: UnitSystem) -> None:
        self._system = system
        self.spread.set_system(system)
        if self._job is not None:
            self.show_job(self._job)

    def discard(self) -> None:
        self.spread.discard()
        self._figure = self._measured = None
        self.was.show_text("")

    def _follow(self, figure: Figure | None) -> None:
        """Keep a measured figure in sight while one that is no better stands in its place."""
        before, self._figure = self._figure, figure
        if figure is not None and figure.source is Source.MEASURED:
            self._measured = None
        elif before is not None and before.source is Source.MEASURED:
            self._measured = before
        was = self._measured
        if was is None:
            self.was.show_text("")
            return
        figures = Figures.of(self._system, self.locale())
        words = self.tr("Was: {source}, {value} ± {spread}").format(
            source=texts.lower_first(provenance(was, self.locale())),
            value=figures.text(was.value, self._spec.kind),
            spread=figures.text(was.spread, self._spec.kind),
        )
        self.was.show_text(words, CAUTION, self.tr("Take it back"))

    def _take_back(self) -> None:
        self._history.end_step()
        self._history.edit(Edit(self._address, self._measured), self._spec.label)
        self._history.end_step()

    def _unsaid(self, job: Job) -> str:
        """What the state that no sheet says adds to the seat height's spread."""
        more_mm = unsaid_spread_mm(job.machine)
        if self._address[1:] != SEAT_HEIGHT or more_mm == 0.0:
            return ""
        words = self.tr(
            "The sheet does not say in which state: planned as on its wheels, and ± {more} less "
            "sure (assumption)."
        )
        return words.format(more=Figures.of(self._system, self.locale()).text(more_mm))

    def _said(self, figure: Figure | None) -> str:
        figures = Figures.of(self._system, self.locale())
        how_to = fill(how(_key(self._address)), self._system, decimal_mark=figures.decimal_mark)
        help = "" if self._how_told else f"{how_to}. "
        if figure is None:
            return help + self.tr("Not given; the machine plans without it.")
        value = figures.text(figure.value, self._spec.kind)
        if is_assumed(figure):
            rule = self._rules.for_(_key(self._address))
            says = "" if rule is None else rule.says
            words = self.tr("Assumed: {value}. Rule: {says}. A value typed takes its place.")
            said = words.format(value=value, says=says.rstrip("."))
            return help + fill(said, self._system, decimal_mark=figures.decimal_mark)
        if figure.typed and figure.typed != value.replace("\N{NO-BREAK SPACE}", " "):
            return help + self.tr("Typed as {typed}, taken as {value}.").format(
                typed=figure.typed, value=value
            )
        return help.strip()


class _FigureText(TextEntry):
    """A text of the figure at `address`; empty where there is no figure."""

    def __init__(
        self,
        history: History,
        address: Address,
        key: str,
        words: str,
        longest: int,
        parent: QWidget,
    ) -> None:
        super().__init__(history, (*address, key), words, longest, parent)

    def _read_job(self, job: Job) -> str:
        figure: Figure | None = value_at(job, self.address[:-1])
        return "" if figure is None else str(getattr(figure, str(self.address[-1])))


def _key(address: Address) -> tuple[str, str]:
    """Section and key of a figure."""
    return str(address[-2]), str(address[-1])


def _origin_word(widget: QWidget, source: Source) -> str:
    """What the origin says, by source."""
    return {
        Source.MAKER: widget.tr("Which sheet"),
        Source.MEASURED: widget.tr("Measured on"),
        Source.ESTIMATED: widget.tr("Estimated from"),
        Source.ASSUMED: widget.tr("Assumed from"),
    }[source]
