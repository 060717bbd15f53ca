"""Owns the page of heights: what the tape, and the geometry, read in each state.

Refuses to compare with limits; the checks do that.
"""

from dataclasses import dataclass

from PySide6.QtWidgets import QWidget

from fitplanner.planning.plan import STATE_NAMES, Plan, StateFigures
from fitplanner.quantities import Kind
from fitplanner.ui import texts
from fitplanner.ui.pages.page import Page
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.figure_table import Cell, Column, FigureTable
from fitplanner.ui.widgets.figures import Figures


@dataclass(frozen=True)
class _Quantity:
    """A figure of a state as a column: heading, hint, attribute, kind and digits."""

    heading: str
    hint: str
    field: str
    kind: Kind = Kind.LENGTH
    decimals: int | None = None


_GEOMETRY = (
    _Quantity("Fork in", "Compression along the fork, from its stock full extension",
              "fork_compression_mm"),
    _Quantity("Rear wheel up", "Rise of the rear wheel, from its stock full extension",
              "rear_compression_mm"),
    _Quantity("Rake", "Steering axis from the vertical", "rake_deg", Kind.ANGLE, 1),
    _Quantity("Trail", "Contact point behind the steering axis, on the ground", "trail_mm"),
    _Quantity("Wheelbase", "Contact point to contact point", "wheelbase_mm"),
    _Quantity("Front load", "What the front wheel carries", "front_load_n", Kind.FORCE),
    _Quantity("Rear load", "What the rear wheel carries", "rear_load_n", Kind.FORCE),
)  # fmt: skip


class HeightsPage(Page):
    """Seat heights first, then suspension, steering and loads."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        seat = Card(self.tr("Seat height by the tape"))
        self._seat = FigureTable(name=self.tr("Seat height by the tape"))
        seat.body.addWidget(self._seat)
        rest = Card(self.tr("Suspension, steering and loads: stock → planned"))
        self._rest = FigureTable(name=self.tr("Suspension, steering and loads"))
        rest.body.addWidget(self._rest)
        self.column.addWidget(seat)
        self.column.addWidget(rest)

    def tables(self) -> tuple[FigureTable, FigureTable]:
        """Seat heights, and the rest."""
        return self._seat, self._rest

    def render_plan(self, plan: Plan) -> None:
        """Show each state, stock and planned."""
        figures = self.figures()
        pairs = {
            name: (getattr(plan.states.stock, name), getattr(plan.states.planned, name))
            for name in STATE_NAMES
        }
        stopped = STATE_NAMES.index("stopped")
        self._seat.show_rows(
            [
                Column(self.tr("State"), figures=False, stretch=2),
                Column(figures.headed(self.tr("Stock")), stretch=1),
                Column(figures.headed(self.tr("Planned")), stretch=1),
                Column(figures.headed(self.tr("Change")), stretch=1),
                Column(self.tr("How it stands"), figures=False, stretch=3),
            ],
            [self._seat_row(name, *pair, figures) for name, pair in pairs.items()],
            emphasised=[stopped],
        )
        self._rest.show_rows(
            [
                Column(self.tr("State"), figures=False, stretch=1),
                *(
                    Column(figures.headed(each.heading, each.kind), stretch=1, hint=each.hint)
                    for each in _GEOMETRY
                ),
            ],
            [self._rest_row(name, *pair, figures) for name, pair in pairs.items()],
            emphasised=[stopped],
        )

    def _seat_row(
        self, name: str, stock: StateFigures, planned: StateFigures, figures: Figures
    ) -> list[Cell | str]:
        change = figures.difference(stock.seat_height_mm, planned.seat_height_mm)
        return [
            Cell(texts.state_label(name), hint=texts.state_hint(name)),
            figures.bare(stock.seat_height_mm),
            Cell(figures.bare(planned.seat_height_mm), bold=True),
            figures.text(change, signed=True, with_unit=False),
            Cell(self._stands(planned, figures), faint=True),
        ]

    def _rest_row(
        self, name: str, stock: StateFigures, planned: StateFigures, figures: Figures
    ) -> list[Cell | str]:
        return [
            Cell(texts.state_label(name), hint=texts.state_hint(name)),
            *(
                figures.change(
                    getattr(stock, each.field),
                    getattr(planned, each.field),
                    each.kind,
                    decimals=each.decimals,
                    with_unit=False,
                )
                for each in _GEOMETRY
            ),
        ]

    def _stands(self, planned: StateFigures, figures: Figures) -> str:
        """Ends that touch their stops, and the lean on the stand."""
        parts = []
        if planned.front_stop and planned.front_stop == planned.rear_stop:
            parts.append(
                self.tr("both ends {stop}").format(stop=texts.stop_label(planned.front_stop))
            )
        else:
            for end, stop in (("front", planned.front_stop), ("rear", planned.rear_stop)):
                if stop:
                    parts.append(f"{texts.end_label(end).lower()} {texts.stop_label(stop)}")
        if planned.lean_deg is not None:
            parts.append(
                self.tr("leans {angle}").format(angle=figures.text(planned.lean_deg, Kind.ANGLE))
            )
        return ", ".join(parts)
