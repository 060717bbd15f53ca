"""Owns what the window shows of a plan: the pictures with their state, and the pages."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QSplitter,
    QTabBar,
    QTabWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.planning.plan import STATE_NAMES, Plan
from fitplanner.quantities import Kind, UnitSystem, format_quantity
from fitplanner.ui import texts
from fitplanner.ui.forms import tip
from fitplanner.ui.pages import (
    ChecksPage,
    CurvesPage,
    HeightsPage,
    OptionsPage,
    Page,
    SpringsPage,
    UnknownPage,
    WhyPage,
    WorkPage,
)
from fitplanner.ui.picture import FrontView, PictureView

FIRST_STATE = "stopped"


class Pictures(QWidget):
    """Side view in a chosen state, and the view from the front."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plan: Plan | None = None
        self._system = UnitSystem.METRIC
        self._state = FIRST_STATE
        self.side = PictureView(self)
        self.side.setAccessibleName(self.tr("Side view"))
        self.front = FrontView(self)
        self.front.setAccessibleName(self.tr("Front view, stopped"))
        self.states = QTabBar(self)
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
        """The state shown in the side view."""
        return self._state

    def prepare(self, plan: Plan) -> None:
        """Have the pictures that will be shown drawn up; may be called on any thread."""
        _ = plan.pictures.side[self._state], plan.pictures.front

    def show_plan(self, plan: Plan | None) -> None:
        """Show the pictures of `plan`, or none."""
        self._plan = plan
        self.front.set_scene(None if plan is None else plan.pictures.front)
        self._show_side()

    def set_system(self, system: UnitSystem) -> None:
        """Write lengths in another unit system."""
        self._system = system
        mark = self.locale().decimalPoint()

        def length(value_mm: float) -> str:
            return format_quantity(value_mm, Kind.LENGTH, system, decimal_mark=mark)

        self.side.set_formatter(length)
        self.front.set_formatter(length)

    def _choose(self, row: int) -> None:
        self._state = STATE_NAMES[row]
        self._show_side()

    def _show_side(self) -> None:
        plan = self._plan
        self.side.set_scene(None if plan is None else plan.pictures.side[self._state])


class Pages(QTabWidget):
    """The pages below the pictures; one that is not looked at waits with its work."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setDocumentMode(True)
        self.options = OptionsPage(self)
        self.unknown = UnknownPage(self)
        self._pages: tuple[Page, ...] = (
            ChecksPage(self),
            HeightsPage(self),
            SpringsPage(self),
            WorkPage(self),
            WhyPage(self),
            self.unknown,
            CurvesPage(self),
            self.options,
        )
        titles = (
            self.tr("&Checks"),
            self.tr("&Heights"),
            self.tr("S&prings"),
            self.tr("&Work"),
            self.tr("Wh&y"),
            self.tr("Not &known"),
            self.tr("Cur&ves"),
            self.tr("&Options"),
        )
        for page, title in zip(self._pages, titles, strict=True):
            self.addTab(page, title)

    def show_plan(self, plan: Plan | None) -> None:
        """Show `plan`, or nothing."""
        for page in self._pages:
            page.show_plan(plan)

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        for page in self._pages:
            page.set_system(system)
