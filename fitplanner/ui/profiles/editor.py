"""Owns the window in which one machine profile is made and mended.

Field, edit, draft; then picture, seat heights and findings, each on a thread of its own. Every
figure is typed on the page of its stage. Refuses to compute, and files: `Shelving` has them.
"""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QAction, QCloseEvent, QKeySequence
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QTabWidget,
    QToolBar,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.base import Source
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.rules import Rules
from fitplanner.library.slips.finding import Finding
from fitplanner.library.stages import CATALOGUE, MANUAL, PARTS, STAGES, TAPE, missing_required
from fitplanner.quantities import UnitSystem
from fitplanner.session.session import Session
from fitplanner.ui import texts
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.icons import icon
from fitplanner.ui.panels.offers import OffersForm
from fitplanner.ui.panels.spring_prices import SpringPricesForm
from fitplanner.ui.panels.torques import TorquesForm
from fitplanner.ui.profiles.asking import Group, Heights, ProfileAsker, Question, Sketch
from fitplanner.ui.profiles.beside import Beside
from fitplanner.ui.profiles.details import FigureDetails
from fitplanner.ui.profiles.draft import NEW_NAME, Draft
from fitplanner.ui.profiles.entry import StageEntry
from fitplanner.ui.profiles.head import Head
from fitplanner.ui.profiles.later import Later
from fitplanner.ui.profiles.leaving import Leaving
from fitplanner.ui.profiles.machines import Machines
from fitplanner.ui.profiles.manner import Manner, today
from fitplanner.ui.profiles.pages import StagePage, show_counts
from fitplanner.ui.profiles.shelving import Shelving
from fitplanner.ui.slips import Slips, slips_among, slips_line
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.mark import CAUTION, NOTE
from fitplanner.ui.widgets.tabs import Tabs
from fitplanner.ui.widgets.text import tip

_DETAILS_HEIGHT = 132


class ProfileEditor(QDialog):
    """One profile on the table."""

    use_wanted = Signal(object)
    """The profile is to be the machine of the job at hand."""

    def __init__(
        self,
        rules: Rules,
        machines: Machines,
        shelving: Shelving,
        dialogs: Dialogs,
        job: Callable[[], Job],
        parent: QWidget | None = None,
    ) -> None:
        """`job` is the one at hand, for the heights of its rider."""
        super().__init__(parent)
        self._job = job
        self._system = UnitSystem.METRIC
        self._findings: tuple[Finding, ...] = ()
        self._shut = False
        self.draft = Draft(rules, machines.ids, self)
        self.history = self.draft.history
        self._leaving = Leaving(self.draft, shelving, dialogs, self)
        self.asker = ProfileAsker(self)
        self.slips = Slips(self)
        self.commands = {name: QAction(self) for name in ("save", "undo", "redo", "use", "details")}
        self.head = Head(self.history, self)
        self.stages = [
            StagePage(self.history, stage, manner, self)
            for stage, manner in zip(STAGES, _manners(rules, self), strict=True)
        ]
        self._besides = (
            Later(lambda: TorquesForm(self.history), self.history, self),
            Later(lambda: OffersForm(self.history, machines), self.history, self),
            Later(lambda: SpringPricesForm(self.history), self.history, self),
        )
        self.tabs = QTabWidget(self)
        self.beside = Beside(self)
        self.beside.unused_rules.show_text("\n".join(rules.broken), CAUTION)
        self.details = FigureDetails(self.history, rules, self)
        self.setWindowFlag(Qt.WindowType.WindowMaximizeButtonHint)
        self._lay_out()
        self._connect()
        self.resize(1264, 760)
        self._unsubscribe = self.draft.session.subscribe(self._changed)
        self.set_system(self._system)
        self._changed(self.session.job)

    @property
    def session(self) -> Session:
        """The session of the draft."""
        return self.draft.session

    # Profiles.

    def begin(
        self,
        profile: MachineProfile | None = None,
        base: MachineProfile | None = None,
        *,
        new: bool = False,
        unsaved: bool = False,
        says: str = "",
    ) -> bool:
        """Put a profile on the table, or one of which nothing is known; see `Draft.begin`.

        `says` is told of it. Whether the one before could be left.
        """
        if not self.may_leave():
            return False
        begun = profile or self.draft.blank()
        self.draft.begin(begun, base, new=new or profile is None, unsaved=unsaved)
        self.beside.says.show_text(says, NOTE)
        self.details.start_over()
        for page in self.stages:
            page.discard()
        for form in self._besides:
            form.discard()
        self.tabs.setCurrentIndex(0)
        self.head.name.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def save(self) -> bool:
        """Put the profile on the shelf; whether it is there now."""
        return self._leaving.save()

    def may_leave(self) -> bool:
        """Whether the profile can be left: saved, or given up by the user."""
        return self._leaving.may_leave()

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        self.beside.picture.set_formatter(Figures.of(system, self.locale()).length)
        for page in self.stages:
            page.set_system(system)
        for form in self._besides:
            form.set_system(system)
        self.beside.strip.set_system(system)
        self.details.set_system(system)
        self._show_findings(self._findings)

    def refresh(self) -> None:
        """The job at hand is another one: its rider may be too, and its machine."""
        self._show_use()
        if self.beside.strip.riders.currentIndex() == 1 and self.isVisible():
            self._ask()

    def shut(self) -> None:
        """End what is worked out; call it once."""
        self._shut = True
        self._unsubscribe()
        self.asker.close()
        self.slips.close()
        # Tabs, fields and steps of undo still tell of their going, when this window may be gone.
        for part in self.findChildren(QObject):
            part.blockSignals(True)

    # Layout.

    def _lay_out(self) -> None:
        bar = QToolBar(self)
        bar.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        keys = QKeySequence.StandardKey
        for name, words, key in (
            ("save", self.tr("&Save"), keys.Save),
            ("undo", self.tr("&Undo"), keys.Undo),
            ("redo", self.tr("&Redo"), keys.Redo),
            ("use", self.tr("Use in this &job"), "Ctrl+Return"),
            ("details", self.tr("&From where?"), "F2"),
        ):
            action = self.commands[name]
            action.setText(words)
            action.setShortcut(QKeySequence(key))
            self.addAction(action)
            bar.addAction(action)
        self._repaint()
        self.tabs.setTabBar(Tabs(self.tabs))
        self.tabs.setDocumentMode(True)
        # Tab goes straight down from the name to the figures; Ctrl+Tab and the marked letters turn.
        self.tabs.tabBar().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        for page in self.stages:
            self.tabs.addTab(page, "")
        titles = (self.tr("T&orques"), self.tr("Wa&ys to lower"), self.tr("P&rices"))
        for form, title in zip(self._besides, titles, strict=True):
            self.tabs.addTab(form, title)
        for page in self.stages:
            page.follow(self.head.note)
        self.stages[0].build()
        left = QVBoxLayout()
        left.addWidget(self.head)
        left.addWidget(self.tabs, 1)
        self.details.setFixedHeight(_DETAILS_HEIGHT)
        left.addWidget(self.details)
        row = QHBoxLayout()
        row.setSpacing(12)
        row.addLayout(left, 1)
        row.addWidget(self.beside)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(10, 4, 4, 8)
        whole.addWidget(bar)
        whole.addLayout(row, 1)

    def _connect(self) -> None:
        for name, slot in {
            "save": self.save,
            "undo": self.history.undo,
            "redo": self.history.redo,
            "use": self._use,
            "details": self._to_details,
        }.items():
            self.commands[name].triggered.connect(slot)
        for page in self.stages:
            page.entered.connect(self._entered)
            page.remark_made.connect(self.beside.add_remark)
            page.wanted.connect(self.tabs.setCurrentWidget)
        self._leaving.field_wanted.connect(self._go_to)
        self.history.stack.indexChanged.connect(self._show_steps)
        self.history.refusals.changed.connect(self._show_steps)
        self.asker.sketched.connect(self._sketched)
        self.asker.answered.connect(self._answered)
        self.slips.found.connect(self._show_findings)
        self.tabs.currentChanged.connect(self._turned)
        self.beside.strip.rider_chosen.connect(self._ask)
        self.beside.strip.group_picked.connect(self._to_group)

    # What the draft does.

    def _changed(self, job: Job) -> None:
        self.head.show_job(job)
        for page in self.stages:
            page.show_job(job)
        for form in self._besides:
            form.show_job(job)
        self.details.show_job(job)
        self.slips.show_job(job)
        profile = self.draft.profile
        missing = ", ".join(texts.lower_first(self.tr(each)) for each in missing_required(profile))
        words = self.tr("Still a guess until typed from the sheet: {labels}.")
        self.beside.needed.show_text(words.format(labels=missing) if missing else "", NOTE)
        name = self.tr("New machine") if profile.name == NEW_NAME else profile.name
        if self.draft.base is not None:
            name = self.tr("{name}, revision {n}").format(name=name, n=self.draft.base.revision)
        self.setWindowTitle(f"{name.replace('[*]', '[*][*]')}[*]")
        self._show_steps()
        self._show_use()
        self._ask()

    def _show_use(self) -> None:
        """The job keeps its own copy; it can be given this one where that differs."""
        self.commands["use"].setEnabled(self._job().machine != self.draft.profile)

    def _ask(self) -> None:
        common = self.beside.strip.riders.currentIndex() == 0
        self.beside.strip.show_waiting()
        self.asker.ask(Question(self.draft.profile, None if common else self._job()))

    def _sketched(self, sketch: Sketch) -> None:
        self.beside.picture.set_scene(sketch.side)
        for page in self.stages:
            page.show_sketch(sketch)

    def _answered(self, heights: Heights) -> None:
        self.beside.strip.show_heights(heights)

    def _show_findings(self, findings: tuple[Finding, ...]) -> None:
        self._findings = findings
        for page in self.stages:
            page.show_findings(findings, self._system)
        show_counts(self.tabs, self.stages, slips_among(self._findings))
        self.beside.found.show_text(slips_line(findings, beside=True), CAUTION)

    def _show_steps(self) -> None:
        undo, stack = self.history.undo_words(), self.history.stack
        self.commands["undo"].setEnabled(undo is not None)
        self.commands["redo"].setEnabled(stack.canRedo())
        self.commands["undo"].setToolTip(tip(self.tr("Undo: {words}").format(words=undo or "")))
        show_counts(self.tabs, self.stages, slips_among(self._findings))
        lines = self.history.refusals.lines()
        self.beside.refused.show_text("\n".join(lines), NOTE)
        self.setWindowModified(self._leaving.unsaved)

    # What the user does.

    def _turned(self) -> None:
        """Of another page another figure is in use, or none."""
        page = self.tabs.currentWidget()
        self.details.setVisible(page in self.stages)
        entry = page.entry_in_use() if isinstance(page, StagePage) else None
        if entry is None:
            self.details.rest()
        else:
            self._entered(entry)

    def _entered(self, entry: StageEntry) -> None:
        page = self.tabs.currentWidget()
        told = isinstance(page, StagePage) and page.taping is not None
        self.details.show_figure(entry.address, entry.spec, how_told=told)

    def _to_details(self) -> None:
        """Go to where the figure in use is from; of none in use, to the page's first."""
        page = self.tabs.currentWidget()
        if not isinstance(page, StagePage):
            page = self.stages[0]
            self.tabs.setCurrentWidget(page)
        if self.details.form() is None:
            page.go_to(("machine", *page.stage.figures[0]))
        form = self.details.form()
        if form is not None and form.spread.isVisible():
            form.spread.setFocus(Qt.FocusReason.ShortcutFocusReason)
        elif form is not None:
            self.beside.says.show_text(f"{form.title.text()}: {form.said.text()}", NOTE)

    def _go_to(self, field: QWidget) -> None:
        """Take the keys to a field, on whichever page it is."""
        for place in range(self.tabs.count()):
            if self.tabs.widget(place).isAncestorOf(field):
                self.tabs.setCurrentIndex(place)
        self.details.turn_to(field)
        field.setFocus(Qt.FocusReason.OtherFocusReason)

    def _to_group(self, group: Group) -> None:
        for section, key in group.figures:
            for place, page in enumerate(self.stages):
                if page.entry(("machine", section, key)) is not None:
                    self.tabs.setCurrentIndex(place)
                    page.go_to(("machine", section, key))
                    return

    def _use(self) -> None:
        self.history.end_step()
        self.use_wanted.emit(self.draft.profile)

    def changeEvent(self, event: QEvent) -> None:
        """Another appearance has pictures of another colour."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._repaint()

    def _repaint(self) -> None:
        for name in ("save", "undo", "redo"):
            self.commands[name].setIcon(icon(name, self.palette()))

    def reject(self) -> None:
        """Escape closes nothing: half a profile must not be lost to a key."""

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask for unsaved changes."""
        if not self._shut and not self.may_leave():
            event.ignore()
            return
        # What was given up must not come back with the window.
        self.session.start(self.session.job)
        event.accept()

    def sizeHint(self) -> QSize:
        """All of a catalogue page on a small screen."""
        return QSize(1264, 760)


def _manners(rules: Rules, words: QWidget) -> tuple[Manner, ...]:
    """What typing means at each stage, in their order."""
    book = words.tr("workshop manual")
    found = {
        CATALOGUE: Manner(rules, Source.MAKER, lambda: ""),
        TAPE: Manner(rules, Source.MEASURED, today),
        MANUAL: Manner(rules, Source.MAKER, lambda: book),
        PARTS: Manner(rules, Source.MEASURED, today),
    }
    return tuple(found[stage] for stage in STAGES)
