"""Owns the page of reasons: how the need follows from the leg, how the drop divides, why the
tape shows less than the parts promise, what makes the figures uncertain and what is assumed.

Refuses new figures: all of them stand in the plan.
"""

from PySide6.QtWidgets import QWidget

from fitplanner.planning.plan import FootingFigures, Plan, Requirement, Split
from fitplanner.quantities import Kind
from fitplanner.ui import texts
from fitplanner.ui.pages.page import Page
from fitplanner.ui.pages.shop_card import ShopCard
from fitplanner.ui.widgets.bars import BarRow, BarRows
from fitplanner.ui.widgets.card import Card, Columns
from fitplanner.ui.widgets.figure_table import Cell, Column, FigureTable
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.text import Text

_SIDE_BY_SIDE = 1100
_MOST_NAMED = 3


class WhyPage(Page):
    """The reasons, each with its figures."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        reach = Card(self.tr("From the leg to the ground, stopped"))
        self._leg = Text()
        self._reach = FigureTable(name=self.tr("Reach"))
        reach.body.addWidget(self._leg)
        reach.body.addWidget(self._reach)

        split = Card(self.tr("How the drop divides"))
        self._split = FigureTable(name=self.tr("Split"))
        self._split_reason = Text()
        split.body.addWidget(self._split)
        split.body.addWidget(self._split_reason)

        delivered = Card(self.tr("What the parts promise and what the tape shows, on its wheels"))
        self._waterfall = BarRows(name=self.tr("Nominal and delivered"))
        self._delivered_reason = Text()
        delivered.body.addWidget(self._waterfall)
        delivered.body.addWidget(self._delivered_reason)

        widest = Card(self.tr("What makes the drop uncertain"))
        self._band = Text()
        self._widest = BarRows(name=self.tr("Shares of the uncertainty"))
        widest.body.addWidget(self._band)
        widest.body.addWidget(self._widest)

        assumed = Card(self.tr("Assumed"))
        self._assumed = Text()
        assumed.body.addWidget(self._assumed)

        self.column.addWidget(Columns(reach, split, enough=_SIDE_BY_SIDE))
        self.shop = ShopCard()
        self.column.addWidget(Columns(delivered, widest, enough=_SIDE_BY_SIDE))
        self.column.addWidget(self.shop)
        self.column.addWidget(assumed)

    def waterfall(self) -> BarRows:
        """The steps from nominal to delivered."""
        return self._waterfall

    def widest(self) -> BarRows:
        """What widens the band."""
        return self._widest

    def render_plan(self, plan: Plan) -> None:
        """Show every reason."""
        figures = self.figures()
        self._show_reach(plan.requirement, figures)
        self._show_split(plan.split, figures)
        self._show_delivered(plan, figures)
        self._show_widest(plan.requirement, figures)
        self.show_shop()
        self._assumed.setText(
            "\n".join(f"•  {figures.sentence(text)}" for text in plan.assumptions)
            or self.tr("Nothing.")
        )

    def show_shop(self) -> None:
        """Show again what the shop's jobs say of the plan."""
        if self._plan is not None:
            self.shop.show_plan(self._plan, self.figures())

    def _show_reach(self, need: Requirement, figures: Figures) -> None:
        leg = need.inside_leg_mm
        template = (
            self.tr(
                "Inside leg {leg}, estimated from the stature: {low} to {high} is possible. "
                "Too wide to buy parts on: measure it."
            )
            if need.inside_leg_estimated
            else self.tr("Inside leg {leg} ({low} to {high}). Wanted: {wanted}.")
        )
        self._leg.setText(
            template.format(
                leg=figures.text(leg.value),
                low=figures.bare(leg.low),
                high=figures.text(leg.high),
                wanted=texts.wanted_label(need.wanted).lower(),
            )
        )
        rows: list[list[Cell | str]] = [
            [label, figures.text(getattr(need.stock, field)),
             Cell(figures.text(getattr(need.planned, field)), bold=True)]
            for label, field in (
                (self.tr("Seat height, foam squashed"), "seat_mm"),
                (self.tr("From crotch over the seat's edge to the ground"), "half_arc_mm"),
                (self.tr("Heels lifted by"), "heel_lift_mm"),
                (self.tr("Toes short of the ground by"), "gap_mm"),
            )
        ]  # fmt: skip
        rows.insert(0, [
            self.tr("What reaches the ground"),
            texts.label(need.stock.footing),
            Cell(texts.label(need.planned.footing), bold=True),
        ])  # fmt: skip
        rows.insert(3, [
            self.tr("Leg to spare with flat feet"),
            figures.text(need.stock.margin_mm, signed=True),
            Cell(figures.text(need.planned.margin_mm, signed=True), bold=True),
        ])  # fmt: skip
        if _leans(need.stock) or _leans(need.planned):
            rows += [
                [label, _leaning(need.stock, field, kind, figures),
                 Cell(_leaning(need.planned, field, kind, figures), bold=True)]
                for label, field, kind in (
                    (self.tr("Lean onto one foot"), "lean_deg", Kind.ANGLE),
                    (self.tr("Load on that foot"), "foot_load_n", Kind.FORCE),
                    (self.tr("Of the rider's weight"), "weight_share", Kind.PERCENT),
                )
            ]  # fmt: skip
        self._reach.show_rows(
            [
                Column(figures=False, stretch=1),
                Column(self.tr("Stock")),
                Column(self.tr("Planned")),
            ],
            rows,
        )

    def _show_split(self, split: Split, figures: Figures) -> None:
        self._split.show_rows(
            [
                Column(figures=False, stretch=1),
                Column(),
            ],
            [
                [
                    self.tr("Front comes down, at the axle"),
                    _bold(figures.text(split.front_drop_mm)),
                ],
                [self.tr("Rear comes down, at the axle"), _bold(figures.text(split.rear_drop_mm))],
                [self.tr("Seat itself comes down"), _bold(figures.text(split.seat_drop_mm))],
                [
                    Cell(
                        self.tr("Seat's place between the axles"),
                        hint=self.tr("0 % over the rear contact point, 100 % over the front one"),
                    ),
                    _bold(figures.text(split.seat_share, Kind.PERCENT)),
                ],
                [
                    self.tr("Pitch change, nose up positive (wished {wish})").format(
                        wish=figures.text(split.pitch_wish_deg, Kind.ANGLE, signed=True)
                    ),
                    _bold(figures.text(split.pitch_change_deg, Kind.ANGLE, signed=True)),
                ],
            ],
        )
        self._split_reason.setText(figures.sentence(split.reason))
        self._split_reason.setVisible(bool(split.reason))

    def _show_delivered(self, plan: Plan, figures: Figures) -> None:
        delivered = plan.delivered
        tape = delivered.on_wheels_mm
        before, after = (
            each.on_wheels.seat_height_mm for each in (plan.states.stock, plan.states.planned)
        )
        # What people reckon up from the rows: heights from each other, one row the rest.
        tape_mm = figures.difference(after, before)
        steps = [
            (self.tr("Geometry takes"), self.tr("Geometry gives"), delivered.geometry_mm,
             self.tr("Fork angle, and the seat's place between the axles")),
            (self.tr("Free sag takes"), self.tr("Free sag gives"), delivered.rate_mm,
             self.tr("What is left of the travel, at the rates that are fitted")),
            (self.tr("Preload takes"), self.tr("Preload gives"), delivered.preload_mm,
             self.tr("Free sag at the new preload")),
        ]  # fmt: skip
        edges = [delivered.nominal_mm]
        for _, _, takes, _ in steps:
            edges.append(edges[-1] - takes)
        full = max(1.0, tape.high, *edges)
        rows = [
            BarRow(self.tr("Sizes on the parts, at the seat"), figures.text(delivered.nominal_mm),
                   0.0, delivered.nominal_mm / full, "stock")
        ]  # fmt: skip
        # The largest takes what rounding leaves over: there it changes least.
        last = max(range(len(steps)), key=lambda row: abs(steps[row][2]))
        others = [each[2] for row, each in enumerate(steps) if row != last]
        rest = figures.rest(delivered.nominal_mm, tape_mm, *others)
        for row, ((take, give, takes, hint), start, end) in enumerate(
            zip(steps, edges, edges[1:], strict=False)
        ):
            rows.append(
                BarRow(
                    take if takes >= 0 else give,
                    figures.text(-(rest if row == last else takes), signed=True),
                    max(start, 0.0) / full,
                    max(end, 0.0) / full,
                    "note" if takes >= 0 else "ok",
                    hint=hint,
                )
            )
        rows.append(
            BarRow(
                self.tr("Lower by the tape ({low} to {high})").format(
                    low=figures.bare(tape.low), high=figures.text(tape.high)
                ),
                figures.text(tape_mm),
                0.0,
                max(tape.value, 0.0) / full,
                bold=True,
                band=(max(tape.low, 0.0) / full, max(tape.high, 0.0) / full),
            )
        )
        self._waterfall.show_rows(rows)
        self._delivered_reason.setText(figures.sentence(delivered.reason))
        self._delivered_reason.setVisible(bool(delivered.reason))

    def _show_widest(self, need: Requirement, figures: Figures) -> None:
        drop = need.drop_mm
        self._band.setText(
            self.tr(
                "The drop needed lies between {low} and {high}, nine times in ten, mostly for "
                "these reasons. What to measure next, and its worth, stands under “Not known”."
            ).format(low=figures.bare(drop.low), high=figures.text(drop.high))
        )
        first = need.widest[:_MOST_NAMED]
        widest = max((share for _, share in first), default=1.0) or 1.0
        self._widest.show_rows(
            [
                BarRow(words, figures.text(share, Kind.PERCENT), 0.0, share / widest)
                for words, share in first
            ]
        )


def _bold(text: str) -> Cell:
    return Cell(text, bold=True)


def _leans(footing: FootingFigures) -> bool:
    return footing.lean_deg != 0.0 or footing.foot_load_n > 0.0


def _leaning(footing: FootingFigures, field: str, kind: Kind, figures: Figures) -> str:
    return figures.text(getattr(footing, field), kind) if _leans(footing) else "–"
