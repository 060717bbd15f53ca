"""Owns the window: it puts panels, pictures and pages together and keeps data going one way.

Field, edit, history, session, job; then the planner, on its own thread; then the plan, shown
everywhere. Refuses to compute anything.
"""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QTimer
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QMainWindow,
    QSizePolicy,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Preferences, Theme
from fitplanner.planning.plan import Plan
from fitplanner.quantities import UnitSystem
from fitplanner.session.edits import with_machine
from fitplanner.session.session import Session
from fitplanner.ui.actions import Actions
from fitplanner.ui.arrivals import Arrivals
from fitplanner.ui.by_shop import ShopAsker
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.inputs import InputPanel
from fitplanner.ui.job_files import JobFiles
from fitplanner.ui.notice import Notice, reason_of
from fitplanner.ui.pages.headline import Headline
from fitplanner.ui.paper_desk import PaperDesk
from fitplanner.ui.profiles.machines import Machines
from fitplanner.ui.profiles.shelving import Shelving
from fitplanner.ui.settings import Settings
from fitplanner.ui.shop.counter import Counter
from fitplanner.ui.shop.desk import Desk
from fitplanner.ui.shop.stage import Stages
from fitplanner.ui.side_windows import SideWindows
from fitplanner.ui.slips import Slips, slips_among
from fitplanner.ui.tasks import Answer, Collector, Planner
from fitplanner.ui.undo import History
from fitplanner.ui.views import Halves, Pages, Pictures
from fitplanner.ui.wishes import Wishes

if TYPE_CHECKING:
    from fitplanner.library.slips.finding import Finding
    from fitplanner.ui.compare.window import CompareWindow
    from fitplanner.ui.fleet.window import FleetWindow
    from fitplanner.ui.panels.figures import FiguresDialog


class MainWindow(QMainWindow):
    """One job on the table."""

    def __init__(
        self,
        session: Session,
        profiles: Mapping[str, MachineProfile],
        settings: Settings,
        dialogs: Dialogs | None = None,
        planner: Planner | None = None,
        desk: Desk | None = None,
    ) -> None:
        super().__init__()
        self.session = session
        self.settings = settings
        self.dialogs = dialogs or Dialogs(self)
        self.wishes = Wishes(settings, self.dialogs, self)
        self.history = History(session, self)
        self.desk = desk or Desk(settings.preferences.shop_database)
        self.desk.setParent(self)
        self.files = JobFiles(session, self.history, self.dialogs, settings, self.desk, self)
        self.counter = Counter(session, self.files, self.desk, self.dialogs, settings, self)
        self.stages = Stages(self.history, self.dialogs, self._newest_answer, settings, self)
        self.planner = planner or Planner(parent=self)
        self.slips = Slips(self)
        self._collector = Collector(self)
        self.answer: Answer | None = None
        self._asked: Job | None = None
        self._closed = False

        self.machines = Machines(profiles)
        self.shelving = Shelving(self.machines, settings, self.dialogs, self)
        self.commands = Actions(self)
        self.papers = PaperDesk(self.commands, self.files, self.dialogs, self)
        self.inputs = InputPanel(self.history, self.machines, self)
        self.pictures = Pictures(self)
        self.notice = Notice(self)
        self._strip = QStackedWidget(self)
        self._strip.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.headline = Headline(self)
        self.pages = Pages(self.history, self)
        self.by_shop = ShopAsker(self.history, self.desk, self.stages, self.pages.why.shop, self)
        self.side = SideWindows(
            self,
            self.history,
            self.machines,
            self.shelving,
            self.dialogs,
            self.commands,
            self.desk,
            self.counter,
            self.pages.option_name,
        )
        self.arrivals = Arrivals(
            self.files, self.counter, self.side, settings, self.inputs.going_on, self
        )
        self._lay_out()
        self._connect()
        self.resize(1280, 800)
        self.restoreGeometry(QByteArray.fromBase64(settings.preferences.window_geometry.encode()))
        self._show_preferences(settings.preferences)
        self._unsubscribe = session.subscribe(self._job_changed)
        self._unlisted = self.machines.subscribe(self._list_machines)
        self.commands.show_recent(self.files.recent())
        self._show_steps()
        self._show_job(session.job)
        # The first plan is asked for once the window stands, which is sooner for both.
        QTimer.singleShot(0, self._ask)
        QTimer.singleShot(0, self.shelving.open)

    def _lay_out(self) -> None:
        lower = QWidget(self)
        column = QVBoxLayout(lower)
        column.setContentsMargins(0, 4, 0, 0)
        column.setSpacing(6)
        # One place for both, and an empty one until the first answer is there.
        for part in (QWidget(self), self.headline, self.notice):
            self._strip.addWidget(part)
        column.addWidget(self._strip)
        column.addWidget(self.pages, 1)
        self.halves = Halves(self.pictures, lower, self.settings.preferences.window_split, self)
        content = QWidget(self)
        row = QHBoxLayout(content)
        row.setContentsMargins(0, 0, 10, 8)
        row.setSpacing(10)
        row.addWidget(self.inputs)
        row.addWidget(self.halves, 1)
        self.setCentralWidget(content)

    def _connect(self) -> None:
        commands, files, side, counter = self.commands, self.files, self.side, self.counter
        for name, slot in {
            "new": files.new,
            "open": files.open,
            "save": files.save,
            "save_as": files.save_as,
            "quit": self.close,
            "undo": self.history.undo,
            "redo": self.history.redo,
            "jobs": side.show_jobs,
            "record": side.show_record,
            "take_in": counter.take_in,
            "back_up": counter.back_up,
            "restore": counter.restore,
            "place": counter.choose_place,
            "figures": side.show_figures,
            "machines": side.show_machines,
            "machines_place": self.shelving.choose_place,
            "new_machine": side.new_machine,
            "edit_machine": side.edit_machine,
            "compare": side.show_compare,
            "fleet": side.show_fleet,
            "people": side.show_people,
            "rates": self.wishes.ask_rates,
            "zoom_in": self.pictures.side.zoom_in,
            "zoom_out": self.pictures.side.zoom_out,
            "whole": self.pictures.side.reset_view,
            "cautions": self.wishes.show_cautions,
            "about": self.wishes.show_about,
        }.items():
            commands[name].triggered.connect(slot)
        commands.recent_chosen.connect(self._open_recent)
        commands.system_chosen.connect(self.wishes.set_system)
        commands.theme_chosen.connect(self.wishes.set_theme)
        files.replaced.connect(self._job_replaced)
        files.recent_changed.connect(self._recent_changed)
        self.history.stack.indexChanged.connect(self._show_steps)
        self.history.refusals.changed.connect(self._show_refusals)
        self.inputs.machine.figures_wanted.connect(side.show_figures)
        self.inputs.machine.new_wanted.connect(side.new_machine)
        self.inputs.machine.edit_wanted.connect(side.edit_machine)
        self.inputs.machine.library_wanted.connect(self._use_machine)
        side.machine_wanted.connect(self._use_machine)
        self.inputs.stage.wanted.connect(self.stages.want)
        side.rates_wanted.connect(self.wishes.ask_rates)
        self.pages.rates_wanted.connect(self.wishes.ask_rates)
        side.customers_wanted.connect(self.wishes.ask_customers)
        self.wishes.changed.connect(self._show_preferences)
        self.planner.answered.connect(self._answered)
        self.planner.prepare = self.pictures.prepare
        self.slips.found.connect(self._show_slips)
        self.shelving.changed.connect(self._show_shelf)
        self.pages.use_wanted.connect(self._use_option)
        self.pages.compare_wanted.connect(side.compare_option)
        self.pages.sheet_wanted.connect(self.papers.show_bench)
        self.by_shop.settled.connect(self.pages.why.show_shop)

    # What the user sets.

    def set_system(self, system: UnitSystem) -> None:
        """Show all quantities in another unit system; the job stays as it is."""
        self.wishes.set_system(system)

    def set_theme(self, theme: Theme) -> None:
        """Give the program another appearance."""
        self.wishes.set_theme(theme)

    def show_figures(self) -> None:
        """Open the window with all figures of the machine."""
        self.side.show_figures()

    @property
    def compare(self) -> "CompareWindow | None":
        """The window that puts plans side by side, once it was opened."""
        return self.side.compare

    @property
    def fleet(self) -> "FleetWindow | None":
        """The window that ranks the library, once it was opened."""
        return self.side.fleet

    @property
    def plan(self) -> Plan | None:
        """The plan shown, if there is one."""
        return None if self.answer is None else self.answer.plan

    @property
    def planned_job(self) -> Job | None:
        """The job that the plan shown is of."""
        return None if self.answer is None else self.answer.job

    @property
    def figures(self) -> "FiguresDialog | None":
        """The window with all figures, once it was opened."""
        return self.side.figures

    def _show_preferences(self, preferences: Preferences) -> None:
        system = preferences.unit_system
        self.commands.show_system(system)
        self.commands.show_theme(preferences.theme)
        for part in (self.inputs, self.pictures, self.headline, self.pages):
            part.set_system(system)
        self._show_refusals()
        self.pages.set_rates(preferences.rates)
        self.side.set_preferences(preferences)
        self.papers.set_preferences(preferences)

    # What the library does.

    def _list_machines(self) -> None:
        self.inputs.machine.list_machines()
        self.side.list_machines()

    def _show_shelf(self) -> None:
        self.inputs.machine.show_shelf(self.shelving.trouble())

    # What the job does.

    def _job_changed(self, job: Job) -> None:
        if self.answer is not None and self.answer.job.planned_on() == job.planned_on():
            # Nothing changed that a plan follows from: the answer is that to this job as well.
            self.answer = replace(self.answer, job=job)
        self._show_job(job)
        self._ask()

    def _show_job(self, job: Job) -> None:
        self.inputs.show_job(job)
        self.slips.show_job(job)
        self.headline.show_job(job)
        self.pages.show_job(job)
        self.side.show_job(job)
        self.papers.follow(self.plan, self.planned_job)
        self.arrivals.follow(job)
        self.setWindowTitle(f"{self._title(job).replace('[*]', '[*][*]')}[*]")
        self.setWindowModified(self.session.unsaved)

    def _title(self, job: Job) -> str:
        """What the job is called, and the machine where its name does not say so."""
        name, machine = self.files.name, job.machine.name
        if machine in name:
            return name
        return self.tr("{job} ({machine})").format(job=name, machine=machine)

    def _ask(self) -> None:
        """Ask for a plan where something that it follows from is another."""
        job = self.session.job
        question = job.planned_on()
        if question != self._asked and not self._closed:
            self._asked = question
            self.planner.ask(job)

    def _job_replaced(self) -> None:
        self.stages.forget()
        self.inputs.start_over()
        self.pages.start_over()
        self.by_shop.stop()
        self.side.start_over()

    def _answered(self, answer: Answer) -> None:
        if answer.job.planned_on() != self._asked:
            return
        # Something may have been noted meanwhile.
        self.answer = answer = replace(answer, job=self.session.job)
        for part in (self.inputs, self.pictures, self.headline):
            part.show_plan(answer.plan)
        self.pages.show_plan(answer.plan, answer.job)
        self.papers.follow(self.plan, self.planned_job)
        self.inputs.show_problem(answer.problem)
        reason = reason_of(answer)
        self.notice.show_text(reason)
        self._strip.setCurrentWidget(self.notice if reason else self.headline)
        if answer.missing:
            self.headline.show_missing(answer.missing)
        self.stages.go_on()

    def _newest_answer(self) -> Answer | None:
        return None if self.planner.busy else self.answer

    def _show_slips(self, findings: "tuple[Finding, ...]") -> None:
        self.inputs.machine.show_slips(len(slips_among(findings)))
        self.side.show_findings(findings)

    def _use_option(self, choices: Choices) -> None:
        from fitplanner.ui.options.words import with_option

        if not self.stages.may_replace():
            return
        self.history.change(with_option(self.session.job, choices), self.tr("Use an option"))

    def _use_machine(self, profile: MachineProfile) -> None:
        if self.stages.may_replace():
            words = self.tr("Machine: {name}").format(name=profile.name)
            self.history.change(with_machine(self.session.job, profile), words)

    def _show_steps(self) -> None:
        stack = self.history.stack
        undo = self.history.undo_words()
        self.commands.show_undo(undo or "", possible=undo is not None)
        self.commands.show_redo(stack.redoText(), possible=stack.canRedo())

    def _show_refusals(self) -> None:
        self.headline.show_refused(self.history.refusals.lines())
        self._show_steps()

    # Files and messages.

    def _open_recent(self, name: str) -> None:
        self.files.open_path(Path(name))

    def _recent_changed(self) -> None:
        self.commands.show_recent(self.files.recent())

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask for unsaved changes, then put everything away."""
        if self._closed:
            return
        if not (self.side.may_leave() and self.files.may_leave()):
            event.ignore()
            return
        self._closed = True
        self.arrivals.keep_last()
        geometry = bytes(self.saveGeometry().toBase64().data()).decode()
        self.settings.change(
            window_geometry=geometry,
            window_split=self.halves.kept(),
            last_folder=self.files.folder,
        )
        self._unsubscribe()
        self._unlisted()
        self.shelving.close()
        self.planner.close()
        self.slips.close()
        self.pages.close_work()
        self.by_shop.shut()
        self.side.close_work()
        self.papers.shut()
        self.desk.close(self.tr("Finishing what was begun…"))
        self.files.keeping.close()
        # Last, when no other thread is left.
        self._collector.close()
