"""Owns what the window shows of a plan: the pictures with their state, and the pages."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QSplitter,
    QTabWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.plan import STATE_NAMES, Plan
from fitplanner.quantities import UnitSystem
from fitplanner.ui import texts
from fitplanner.ui.forms import tip
from fitplanner.ui.pages import (
    ChecksPage,
    CurvesPage,
    HeightsPage,
    Page,
    SpringsPage,
    WhyPage,
    WorkPage,
)
from fitplanner.ui.picture import FrontView, PictureView
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.tabs import Tabs

if TYPE_CHECKING:
    from fitplanner.ui.pages.bench import BenchPage
    from fitplanner.ui.pages.options import OptionsPage
    from fitplanner.ui.pages.tape import TapePage
    from fitplanner.ui.pages.unknown import UnknownPage

FIRST_STATE = "stopped"


class Pictures(QWidget):
    """Machine and rider in a chosen state, from the side and from the front."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plan: Plan | None = None
        self._system = UnitSystem.METRIC
        self._state = FIRST_STATE
        self.side = PictureView(self)
        self.side.setAccessibleName(self.tr("Side view"))
        self.front = FrontView(self)
        self.front.setAccessibleName(self.tr("Front view"))
        self.states = Tabs(self)
        self.states.setAccessibleName(self.tr("State shown"))
        self.states.setDrawBase(False)
        self.states.setExpanding(False)
        for row, name in enumerate(STATE_NAMES):
            self.states.addTab(texts.state_label(name))
            self.states.setTabToolTip(row, tip(texts.state_hint(name)))
        self.states.setCurrentIndex(STATE_NAMES.index(self._state))
        states = QHBoxLayout()
        states.addWidget(self.states, 1)
        whole = QToolButton(self)
        whole.setText(self.tr("Whole picture"))
        whole.setAutoRaise(True)
        whole.clicked.connect(self.side.reset_view)
        whole.clicked.connect(self.front.reset_view)
        states.addWidget(whole)
        views = QSplitter(Qt.Orientation.Horizontal, self)
        views.addWidget(self.side)
        views.addWidget(self.front)
        views.setStretchFactor(0, 3)
        views.setStretchFactor(1, 2)
        views.setSizes([530, 360])
        views.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(states)
        column.addWidget(views, 1)
        self.states.currentChanged.connect(self._choose)
        self.set_system(self._system)

    @property
    def state(self) -> str:
        """The state shown."""
        return self._state

    def prepare(self, plan: Plan) -> None:
        """Have the pictures that will be shown drawn up; may be called on any thread."""
        _ = plan.pictures.side[self._state], plan.pictures.front[self._state]

    def show_plan(self, plan: Plan | None) -> None:
        """Show the pictures of `plan`, or none."""
        self._plan = plan
        self._show_state()

    def set_system(self, system: UnitSystem) -> None:
        """Write lengths in another unit system."""
        self._system = system
        figures = Figures.of(system, self.locale())
        self.side.set_formatter(figures.length)
        self.front.set_formatter(figures.length)

    def _choose(self, row: int) -> None:
        self._state = STATE_NAMES[row]
        self._show_state()

    def _show_state(self) -> None:
        pictures = None if self._plan is None else self._plan.pictures
        self.side.set_scene(None if pictures is None else pictures.side[self._state])
        self.front.set_scene(None if pictures is None else pictures.front[self._state])


class Halves(QSplitter):
    """Pictures over pages. In a low window the pages come first; a higher one helps both."""

    def __init__(
        self, upper: QWidget, lower: QWidget, kept: str, parent: QWidget | None = None
    ) -> None:
        """Share the room as in `kept`, which a former `kept()` said; "" for the usual shares."""
        super().__init__(Qt.Orientation.Vertical, parent)
        self._kept = kept
        self.addWidget(upper)
        self.addWidget(lower)
        self.setStretchFactor(0, 1)
        self.setStretchFactor(1, 1)
        self.setSizes([270, 463])
        self.setChildrenCollapsible(False)
        if kept:
            self.restoreState(QByteArray.fromBase64(kept.encode()))
        self.splitterMoved.connect(self._moved)

    def kept(self) -> str:
        """The shares as the user set them, in base64; "" where he never did."""
        return self._kept

    def _moved(self) -> None:
        self._kept = bytes(self.saveState().toBase64().data()).decode()


class Pages(QTabWidget):
    """The pages below the pictures; one that is not looked at waits with its work.

    The pages that work things out by themselves are built when they are first looked at: most
    jobs never need them, and the window starts sooner without.
    """

    rates_wanted = Signal()
    """The user wants to set the shop's rate and currency."""
    use_wanted = Signal(object)
    """The choices of an option that the user took."""
    compare_wanted = Signal(object, object)
    """A job and an option of it to be put beside others."""
    sheet_wanted = Signal()
    """The bench sheet is to be printed."""

    def __init__(
        self,
        history: History,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._history = history
        self.setTabBar(Tabs(self))
        self.setDocumentMode(True)
        self._plan: Plan | None = None
        self._planned: Job | None = None
        self._job: Job | None = None
        self._system = UnitSystem.METRIC
        self._rates = Rates()
        self._options: OptionsPage | None = None
        self._unknown: UnknownPage | None = None
        self._tape: TapePage | None = None
        self._bench: BenchPage | None = None
        self._unknown_place, self._options_place = QWidget(self), QWidget(self)
        self._tape_place, self._bench_place = QWidget(self), QWidget(self)
        self._work = WorkPage(self)
        self._work.price.rates_wanted.connect(self.rates_wanted)
        self.why = WhyPage(self)
        self._pages: list[Page] = [
            ChecksPage(self),
            HeightsPage(self),
            SpringsPage(self),
            self._work,
            self.why,
            CurvesPage(self),
        ]
        checks, heights, springs, work, why, curves = self._pages
        tabs: tuple[tuple[QWidget, str], ...] = (
            (checks, self.tr("&Checks")),
            (heights, self.tr("&Heights")),
            (springs, self.tr("S&prings")),
            (work, self.tr("&Work")),
            (why, self.tr("Wh&y")),
            (self._unknown_place, self.tr("Not &known")),
            (curves, self.tr("Cur&ves")),
            (self._options_place, self.tr("&Options")),
            (self._bench_place, self.tr("&Bench")),
            (self._tape_place, self.tr("&Tape")),
        )
        for page, title in tabs:
            self.addTab(page, title)
        self.currentChanged.connect(self._looked_at)

    @property
    def options(self) -> "OptionsPage":
        """The page of options; built when it is first wanted."""
        from fitplanner.ui.pages.options import OptionsPage

        if self._options is None:
            page = self._options = OptionsPage(self)
            page.use_wanted.connect(self.use_wanted)
            page.compare_wanted.connect(self.compare_wanted)
            page.set_rates(self._rates)
            if self._job is not None:
                page.show_job(self._job)
            self._put(page, self._options_place)
        return self._options

    @property
    def unknown(self) -> "UnknownPage":
        """The page of what is not known; built when it is first wanted."""
        from fitplanner.ui.pages.unknown import UnknownPage

        if self._unknown is None:
            page = self._unknown = UnknownPage(self)
            if self._planned is not None:
                page.show_job(self._planned)
            self._put(page, self._unknown_place)
        return self._unknown

    @property
    def bench(self) -> "BenchPage":
        """The page of the bench; built when it is first wanted."""
        from fitplanner.ui.pages.bench import BenchPage

        if self._bench is None:
            page = self._bench = BenchPage(self._history, self)
            page.sheet_wanted.connect(self.sheet_wanted)
            if self._job is not None:
                page.show_job(self._job)
            if self._planned is not None:
                page.show_planned(self._planned)
            self._put(page, self._bench_place)
        return self._bench

    def option_name(self, choices: Choices) -> str:
        """By which option these choices were taken; "" by none."""
        return "" if self._options is None else self._options.name_of(choices)

    @property
    def tape(self) -> "TapePage":
        """The page of the tape measure; built when it is first wanted."""
        from fitplanner.ui.pages.tape import TapePage

        if self._tape is None:
            page = self._tape = TapePage(self._history, self)
            if self._planned is not None:
                page.show_planned(self._planned)
            page.show_job(self._history.job)
            self._put(page, self._tape_place)
        return self._tape

    def show_job(self, job: Job) -> None:
        """The job at hand changed; its plan may follow."""
        self._job = job
        self._work.show_quote(job.quote)
        if self._bench is not None:
            self._bench.show_job(job)
        if self._options is not None:
            self._options.show_job(job)
        if self._tape is not None:
            self._tape.show_job(job)

    def start_over(self) -> None:
        """Another job is on the table: forget what was typed and not taken."""
        if self._tape is not None:
            self._tape.start_over()

    def set_rates(self, rates: Rates) -> None:
        """Take the shop's own figures for prices."""
        self._rates = rates
        self._work.set_rates(rates)
        if self._options is not None:
            self._options.set_rates(rates)

    def show_plan(self, plan: Plan | None, job: Job | None = None) -> None:
        """Show `plan` of `job`, or nothing."""
        self._plan, self._planned = plan, job
        if job is not None:
            self._work.show_job(job)
            if self._unknown is not None:
                self._unknown.show_job(job)
            if self._tape is not None:
                self._tape.show_planned(job)
            if self._bench is not None:
                self._bench.show_planned(job)
        for page in self._pages:
            page.show_plan(plan)

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        for page in self._pages:
            page.set_system(system)

    def close_work(self) -> None:
        """End what the pages still work out."""
        if self._options is not None:
            self._options.close_search()
        if self._unknown is not None:
            self._unknown.close_work()
        if self._tape is not None:
            self._tape.close_work()

    def _looked_at(self, index: int) -> None:
        place = self.widget(index)
        if place is self._options_place:
            _ = self.options
        elif place is self._unknown_place:
            _ = self.unknown
        elif place is self._bench_place:
            _ = self.bench
        elif place is self._tape_place:
            _ = self.tape

    def _put(self, page: Page, place: QWidget) -> None:
        """Let the page stand where its place was kept."""
        index, current = self.indexOf(place), self.currentWidget() is place
        title = self.tabText(index)
        page.set_system(self._system)
        page.show_plan(self._plan)
        self._pages.append(page)
        self.blockSignals(True)
        self.removeTab(index)
        self.insertTab(index, page, title)
        if current:
            self.setCurrentIndex(index)
        self.blockSignals(False)
        place.deleteLater()
