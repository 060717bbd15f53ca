"""Owns what the window shows of a plan: the pictures with their state, and the pages.

A page is filled when it is looked at; the one with the curves is not even made before, because
its plotting library takes as long to load as the rest of the window.
"""

from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QSizePolicy,
    QSplitter,
    QTabWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.planning.plan import STATE_NAMES, Plan
from fitplanner.quantities import Kind, UnitSystem, format_quantity
from fitplanner.ui import texts
from fitplanner.ui.forms import tip
from fitplanner.ui.picture import FrontView, PictureView

FIRST_STATE = "stopped"


class Pictures(QWidget):
    """Side view in a chosen state, and the view from the front."""

    state_changed = Signal(str)
    """The state now shown."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plan: Plan | None = None
        self._system = UnitSystem.METRIC
        self._state = FIRST_STATE
        self.side = PictureView(self)
        self.side.setAccessibleName(self.tr("Side view"))
        self.front = FrontView(self)
        self.front.setAccessibleName(self.tr("Front view, stopped"))
        self.buttons: dict[str, QToolButton] = {}
        self._group = QButtonGroup(self)
        states = QHBoxLayout()
        states.setSpacing(2)
        for name in STATE_NAMES:
            button = QToolButton(self)
            button.setText(texts.state_label(name))
            button.setToolTip(tip(texts.state_hint(name)))
            button.setCheckable(True)
            button.setObjectName(name)
            self._group.addButton(button)
            self.buttons[name] = button
            states.addWidget(button)
        self.buttons[self._state].setChecked(True)
        states.addStretch(1)
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
        views.setStretchFactor(1, 1)
        views.setSizes([640, 240])
        views.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addLayout(states)
        column.addWidget(views, 1)
        self._group.buttonClicked.connect(self._choose)
        self.set_system(self._system)

    @property
    def state(self) -> str:
        """The state shown in the side view."""
        return self._state

    def show_plan(self, plan: Plan | None) -> None:
        """Show the pictures of `plan`, or none."""
        self._plan = plan
        for name, button in self.buttons.items():
            button.setEnabled(plan is not None and name in plan.pictures.side)
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

    def _choose(self, button: QToolButton) -> None:
        self._state = button.objectName()
        self._show_side()
        self.state_changed.emit(self._state)

    def _show_side(self) -> None:
        scenes = {} if self._plan is None else self._plan.pictures.side
        self.side.set_scene(scenes.get(self._state))


class Page(Protocol):
    """What the window asks of a page; pages are widgets."""

    def show_plan(self, plan: Plan | None) -> None: ...

    def set_system(self, system: UnitSystem) -> None: ...


class Pages(QTabWidget):
    """The pages below the pictures."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._makers: list[Callable[[], QWidget]] = []
        self._made: dict[int, Page] = {}
        self._stale: set[int] = set()
        self._plan: Plan | None = None
        self._system = UnitSystem.METRIC
        self.setDocumentMode(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        # A page that is added first becomes current at once, before the window is complete.
        with QSignalBlocker(self):
            for title, maker in self._contents():
                holder = QWidget(self)
                column = QVBoxLayout(holder)
                column.setContentsMargins(0, 0, 0, 0)
                self._makers.append(maker)
                self.addTab(holder, title)
        self.currentChanged.connect(self._bring_up_to_date)

    def _contents(self) -> tuple[tuple[str, Callable[[], QWidget]], ...]:
        from fitplanner.ui.pages import ChecksPage, HeightsPage, SpringsPage, WhyPage, WorkPage

        return (
            (self.tr("&Checks"), ChecksPage),
            (self.tr("&Heights"), HeightsPage),
            (self.tr("S&prings"), SpringsPage),
            (self.tr("&Work"), WorkPage),
            (self.tr("Wh&y"), WhyPage),
            (self.tr("Cur&ves"), _curves_page),
        )

    def show_plan(self, plan: Plan | None) -> None:
        """Show `plan`, or nothing."""
        self._plan = plan
        self._stale = set(range(self.count()))
        self._bring_up_to_date(self.currentIndex())

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        for page in self._made.values():
            page.set_system(system)

    def page(self) -> Page:
        """The page looked at."""
        return self._made[self.currentIndex()]

    def _bring_up_to_date(self, index: int) -> None:
        page = self._made.get(index)
        if page is None:
            page = self._made[index] = self._make(index)
            self._stale.add(index)
        if index in self._stale:
            self._stale.discard(index)
            page.show_plan(self._plan)

    def _make(self, index: int) -> Page:
        widget = self._makers[index]()
        holder = self.widget(index).layout()
        assert holder is not None
        holder.addWidget(widget)
        page: Page = widget  # type: ignore[assignment]
        page.set_system(self._system)
        return page


def _curves_page() -> QWidget:
    from fitplanner.ui.pages.curves import CurvesPage

    return CurvesPage()
