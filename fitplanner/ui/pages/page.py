"""Owns what all pages share: the plan shown, its units, and drawing only what can be seen.

A page that is hidden keeps the latest plan and lays it out when it is shown. Refuses to compute
any figure.
"""

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from fitplanner.planning.plan import Plan
from fitplanner.quantities import UnitSystem
from fitplanner.ui.widgets.card import GAP, Columns
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.text import Text


class Page(QScrollArea):
    """A page that scrolls up and down only; subclasses fill `column` and have `render_plan`."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plan: Plan | None = None
        self._system = UnitSystem.METRIC
        self._stale = True
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        inner = QWidget(self)
        outer = QVBoxLayout(inner)
        outer.setContentsMargins(GAP, GAP, GAP, GAP)
        self._empty = Text(
            self.tr("Nothing to show yet: the figures above say what is still needed."),
            faint=True,
            parent=inner,
        )
        self._filled = QWidget(inner)
        self._filled.hide()
        self.column = QVBoxLayout(self._filled)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(GAP)
        outer.addWidget(self._empty)
        outer.addWidget(self._filled)
        outer.addStretch(1)
        self.setWidget(inner)

    def show_plan(self, plan: Plan | None) -> None:
        """Show `plan`, or that there is none yet."""
        if plan is not self._plan:
            self._plan = plan
            self._refresh()

    def set_system(self, system: UnitSystem) -> None:
        """Show all figures in another unit system."""
        if system is not self._system:
            self._system = system
            self._refresh()

    def figures(self) -> Figures:
        """How this page writes figures now."""
        return Figures.of(self._system, self.locale())

    def render_plan(self, plan: Plan) -> None:
        """Lay `plan` out; called only while the page can be seen."""
        raise TypeError(f"{type(self).__name__} does not say how it shows a plan")

    def _refresh(self) -> None:
        self._stale = True
        if self.isVisible():
            self._lay_out()

    def _lay_out(self) -> None:
        if not self._stale:
            return
        self._stale = False
        if self._plan is not None:
            self.render_plan(self._plan)
        self._filled.setVisible(self._plan is not None)
        self._empty.setVisible(self._plan is None)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what came while the page was hidden."""
        self._lay_out()
        super().showEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Arrange side by side what there is room for."""
        super().resizeEvent(event)
        for columns in self._filled.findChildren(Columns):
            columns.fit(self.viewport().width())

    def changeEvent(self, event: QEvent) -> None:
        """Another locale may have another decimal mark."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.LocaleChange:
            self._refresh()
