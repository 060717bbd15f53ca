"""Owns the page of curves: wheel force and leverage through the travel.

Nothing of the plotting library is loaded before the page is first seen. Refuses to draw
anything but the plan's own series.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from fitplanner.planning.plan import Plan, Series
from fitplanner.quantities import Kind
from fitplanner.ui.pages.page import Page
from fitplanner.ui.widgets.card import Columns

if TYPE_CHECKING:
    from fitplanner.ui.pages.plots import PlotCard

_SIDE_BY_SIDE = 860


class CurvesPage(Page):
    """Force at either wheel, and leverage."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._cards: tuple[PlotCard, ...] = ()

    def cards(self) -> "tuple[PlotCard, ...]":
        """Front force, rear force, leverage; empty before the page was first seen."""
        return self._cards

    def render_plan(self, plan: Plan) -> None:
        """Show stock and planned curves."""
        if not self._cards:
            self._build()
        front, rear, leverage = self._cards
        figures = self.figures()
        force = (self.tr("Force at the wheel"), Kind.FORCE)
        rise = self.tr("Travel from stock full extension")
        forces = plan.plots.wheel_force
        front.show_series(self._named(forces["front"]), (rise, Kind.LENGTH), force, figures)
        rear.show_series(self._named(forces["rear"]), (rise, Kind.LENGTH), force, figures)
        leverage.show_series(
            self._named(plan.plots.leverage),
            (rise, Kind.LENGTH),
            (self.tr("Wheel travel per shock travel"), Kind.RATIO),
            figures,
        )

    def _named(self, series: Sequence[Series]) -> list[tuple[str, Series]]:
        """Each series with the words of the key."""
        words = {
            "stock": self.tr("Stock"),
            "planned": self.tr("Planned"),
            "leverage": self.tr("As the plan uses it"),
            "table": self.tr("Points of the profile"),
        }
        return [(words.get(each.name, each.name), each) for each in series]

    def _build(self) -> None:
        from fitplanner.ui.pages.plots import PlotCard

        self._cards = (
            PlotCard(self.tr("Front wheel"), from_zero=True),
            PlotCard(self.tr("Rear wheel"), from_zero=True),
            PlotCard(self.tr("Leverage, rear"), from_zero=False),
        )
        forces = Columns(*self._cards[:2], enough=_SIDE_BY_SIDE)
        forces.fit(self.viewport().width())
        self.column.addWidget(forces)
        self.column.addWidget(self._cards[2])
