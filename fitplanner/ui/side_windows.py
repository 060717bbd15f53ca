"""Owns the windows beside the main one: all figures, comparison, library, who reaches, machines,
the shop's jobs and its record.

Each is built, and its code loaded, when it is first wanted: most jobs never need them.
"""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from fitplanner import paths
from fitplanner.documents.job import Choices, Job
from fitplanner.documents.preferences import Preferences
from fitplanner.ui.actions import Actions
from fitplanner.ui.beside import bring_up
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.profiles.machines import Machines
from fitplanner.ui.profiles.shelving import Shelving
from fitplanner.ui.shop.counter import Counter
from fitplanner.ui.shop.desk import Desk
from fitplanner.ui.undo import History

if TYPE_CHECKING:
    from fitplanner.library.slips.finding import Finding
    from fitplanner.planning.search.options import Option
    from fitplanner.ui.compare.window import CompareWindow
    from fitplanner.ui.fleet.window import FleetWindow
    from fitplanner.ui.panels.figures import FiguresDialog
    from fitplanner.ui.people.window import PeopleWindow
    from fitplanner.ui.profiles.office import Office
    from fitplanner.ui.record.window import RecordWindow
    from fitplanner.ui.shop.window import JobsWindow


class SideWindows(QObject):
    """At most one of each kind, over `window`."""

    machine_wanted = Signal(object)
    """The profile that is to be the machine of the job."""
    rates_wanted = Signal()
    """The user wants to change the shop's figures for prices."""
    customers_wanted = Signal()
    """The user wants to change the shop's figures of its customers."""

    def __init__(
        self,
        window: QWidget,
        history: History,
        profiles: Machines,
        shelving: Shelving,
        dialogs: Dialogs,
        commands: Actions,
        desk: Desk,
        counter: Counter,
        named: Callable[[Choices], str],
    ) -> None:
        """`named` says by which option choices were taken."""
        super().__init__(window)
        self._window = window
        self._history = history
        self._profiles = profiles
        self._shelving = shelving
        self._dialogs = dialogs
        self._commands = commands
        self._desk = desk
        self._counter = counter
        self._named = named
        self._preferences = Preferences()
        self._findings: tuple[Finding, ...] = ()
        self.figures: FiguresDialog | None = None
        self.compare: CompareWindow | None = None
        self.fleet: FleetWindow | None = None
        self.people: PeopleWindow | None = None
        self.jobs: JobsWindow | None = None
        self.record: RecordWindow | None = None
        self.office: Office | None = None

    # Opening.

    def show_figures(self) -> None:
        """Open the window with all figures of the machine."""
        from fitplanner.ui.panels.figures import FiguresDialog

        if self.figures is None:
            self.figures = FiguresDialog(self._history, self._profiles, self._window)
            self.figures.addActions([self._commands["undo"], self._commands["redo"]])
            self.figures.show_job(self._history.job)
            self.figures.show_findings(self._findings)
            self.set_preferences(self._preferences)
        bring_up(self.figures, self._window)

    def show_compare(self) -> None:
        """Open the window that puts plans side by side."""
        from fitplanner.ui.compare.window import CompareWindow

        if self.compare is None:
            self.compare = CompareWindow(
                self._job, self._profiles, self._dialogs, self._window, named=self._named
            )
            self.set_preferences(self._preferences)
        bring_up(self.compare, self._window)

    def show_fleet(self) -> None:
        """Open the window that ranks the library for the rider."""
        from fitplanner.ui.fleet.window import FleetWindow

        if self.fleet is None:
            self.fleet = FleetWindow(self._history, self._profiles, self._window)
            self.fleet.addActions([self._commands["undo"], self._commands["redo"]])
            self.fleet.rates_wanted.connect(self.rates_wanted)
            self.fleet.show_job(self._history.job)
            self.set_preferences(self._preferences)
        bring_up(self.fleet, self._window)

    def show_people(self) -> None:
        """Open the window that says who reaches the ground from a machine type."""
        from fitplanner.ui.people.window import PeopleWindow

        if self.people is None:
            self.people = PeopleWindow(self._history, self._profiles, self._dialogs, self._window)
            self.people.addActions([self._commands["undo"], self._commands["redo"]])
            self.people.customers_wanted.connect(self.customers_wanted)
            self.set_preferences(self._preferences)
        bring_up(self.people, self._window)

    def show_jobs(self) -> None:
        """Open the list of the shop's jobs."""
        from fitplanner.ui.shop.window import JobsWindow

        if self.jobs is None:
            whole_shop = [self._commands[name] for name in ("take_in", *self._commands.WHOLE_SHOP)]
            self.jobs = JobsWindow(self._desk, self._counter, whole_shop, self._window)
        bring_up(self.jobs, self._window)

    def show_record(self) -> None:
        """Open the shop's record: what was predicted, what the tape said after the work."""
        from fitplanner.ui.record.window import RecordWindow
        from fitplanner.ui.shop.closed import closed_jobs

        if self.record is None:
            self.record = RecordWindow(lambda: closed_jobs(self._desk), self._window)
            self.set_preferences(self._preferences)
        bring_up(self.record, self._window)

    def show_machines(self) -> None:
        """Open the list of machines."""
        self._office().show_list()

    def new_machine(self) -> None:
        """Open the editor with a machine of which nothing is known yet."""
        self._office().new()

    def take_in_machine(self, path: Path) -> None:
        """Take the profile of a file into the library, as the list's Import does."""
        self._office().importing.import_path(path)

    def edit_machine(self) -> None:
        """Open the editor with the job's machine as the job has it."""
        self._office().edit(self._history.job.machine)

    def go_on_with_machine(self) -> None:
        """Offer the profile that a former run left unsaved, if there is one."""
        if paths.profile_autosave_file().exists():
            self._office()

    def _office(self) -> "Office":
        from fitplanner.ui.profiles.office import Office

        if self.office is None:
            self.office = Office(
                self._profiles,
                self._shelving,
                self._dialogs,
                self._job,
                self._window,
            )
            self.office.use_wanted.connect(self.machine_wanted)
            self.set_preferences(self._preferences)
        return self.office

    # What they follow.

    def set_preferences(self, preferences: Preferences) -> None:
        """Units and prices."""
        self._preferences = preferences
        for shown in (
            self.figures,
            self.compare,
            self.fleet,
            self.people,
            self.record,
            self.office,
        ):
            if shown is not None:
                shown.set_system(preferences.unit_system)
        for priced in (self.compare, self.fleet, self.people):
            if priced is not None:
                priced.set_rates(preferences.rates)
        if self.people is not None:
            self.people.set_customers(preferences.customers)

    def list_machines(self) -> None:
        """The library is another one."""
        for shown in (self.figures, self.compare, self.fleet, self.people):
            if shown is not None:
                shown.list_machines()

    def show_job(self, job: Job) -> None:
        """The job at hand changed."""
        if self.compare is not None:
            self.compare.refresh()
        if self.fleet is not None:
            self.fleet.show_job(job)
        if self.people is not None:
            self.people.show_job(job)
        if self.figures is not None:
            self.figures.show_job(job)
        if self.office is not None:
            self.office.refresh()

    def show_findings(self, findings: "tuple[Finding, ...]") -> None:
        """What looks like a slip in the machine's figures."""
        self._findings = findings
        if self.figures is not None:
            self.figures.show_findings(findings)

    def compare_option(self, job: Job, option: "Option") -> None:
        """Put an option beside other plans."""
        self.show_compare()
        if self.compare is not None:
            self.compare.add_option(job, option)

    def start_over(self) -> None:
        """Another job is on the table."""
        if self.compare is not None:
            self.compare.clear()
        if self.figures is not None:
            self.figures.discard()

    def may_leave(self) -> bool:
        """Whether the program may end, as far as machines under edit go."""
        return self.office is None or self.office.may_leave()

    def close_work(self) -> None:
        """End what they still work out."""
        if self.office is not None:
            self.office.shut()
        if self.compare is not None:
            self.compare.close_shelf()
        if self.fleet is not None:
            self.fleet.shut()
        if self.people is not None:
            self.people.shut()
        if self.record is not None:
            self.record.shut()

    def _job(self) -> Job:
        return self._history.job
