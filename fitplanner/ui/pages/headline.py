"""Owns the strip of large figures: what is needed, what the tape will show, what it gives.

Refuses detail: each figure's page has that.
"""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedLayout, QVBoxLayout, QWidget

from fitplanner.body.reach import Footing
from fitplanner.documents.job import Job
from fitplanner.planning.plan import Check, Plan, Requirement
from fitplanner.planning.taped import delivered_mm
from fitplanner.quantities import UnitSystem
from fitplanner.ui import texts
from fitplanner.ui.pages.wording import margin_text, meaning_of, title_of, word_of, worst_first
from fitplanner.ui.theme import colours_of
from fitplanner.ui.widgets.figures import ARROW, Figures
from fitplanner.ui.widgets.mark import NOTE, OK, Mark
from fitplanner.ui.widgets.message_line import MessageLine
from fitplanner.ui.widgets.text import Text

_FIGURE_SCALE = 1.6
_WORDS_SCALE = 1.15
# Kept free whatever is said, so that the pages below stay where they are.
_WORDS_LINES, _BELOW_LINES = 2, 3
_REFUSED_LINES = 2


class Headline(QWidget):
    """The strip; `show_missing` says what stands in the way of a plan."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plan: Plan | None = None
        self._taped_mm: float | None = None
        self._system = UnitSystem.METRIC
        self._needed = _Tile(self.tr("Drop needed"), large=True)
        self._delivered = _Tile(self.tr("Lower by the tape"), large=True)
        self._seat = _Tile(self.tr("Seat height, stopped"), large=True)
        self._feet = _Tile(self.tr("Feet on the ground"))
        self._worst = _Tile(self.tr("Worst check"), marked=True)
        figures = QWidget(self)
        row = QHBoxLayout(figures)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        for tile, share in (
            (self._needed, 10), (self._delivered, 11), (self._seat, 11),
            (self._feet, 15), (self._worst, 15),
        ):  # fmt: skip
            row.addWidget(tile, share)
        self._missing = _Tile(self.tr("Still needed"), marked=True)
        self._refused = MessageLine(self)
        self._refused.setContentsMargins(12, 0, 12, 8)
        self._stack = QStackedLayout()
        self._stack.addWidget(figures)
        self._stack.addWidget(self._missing)
        column = self._column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._stack, 1)
        column.addWidget(self._refused)
        self.show_plan(None)

    def show_plan(self, plan: Plan | None) -> None:
        """Show the plan's figures; None shows that some of the rider's are missing."""
        self._plan = plan
        if plan is None:
            self.show_missing(())
        else:
            self._render(plan)
            self._stack.setCurrentIndex(0)
            self._keep_height()

    def show_job(self, job: Job) -> None:
        """Take what the tape showed of it: once a job is closed, that stands before the plan."""
        taped = delivered_mm(job)
        if taped != self._taped_mm:
            self._taped_mm = taped
            self.set_system(self._system)

    def show_missing(self, missing: Sequence[str]) -> None:
        """Say what must still be known, or why no plan can be made."""
        self._plan = None
        words = list(missing) or [self.tr("stature or inside leg, and body mass, of the rider")]
        self._missing.show_words(
            "\n".join(words), self.tr("The plan follows as soon as this is filled in."), NOTE
        )
        self._stack.setCurrentIndex(1)
        self._keep_height()

    def show_refused(self, lines: Sequence[str]) -> None:
        """Say which entries are not in the plan, the latest last."""
        shown = list(lines[-_REFUSED_LINES:])
        if len(lines) > len(shown):
            shown.append(self.tr("and {n} more").format(n=len(lines) - len(shown)))
        self._refused.show_text("\n".join(shown))
        self._keep_height()

    def refused_text(self) -> str:
        """What is said of entries that are not in the plan, or ""."""
        return self._refused.text()

    def set_system(self, system: UnitSystem) -> None:
        """Show all figures in another unit system."""
        self._system = system
        if self._plan is not None:
            self._render(self._plan)
            self._keep_height()

    def texts(self) -> list[str]:
        """All words and figures shown, from left to right."""
        tiles = (self._needed, self._delivered, self._seat, self._feet, self._worst)
        shown = tiles if self._stack.currentIndex() == 0 else (self._missing,)
        return [text for tile in shown for text in tile.texts()]

    def _render(self, plan: Plan) -> None:
        figures = Figures.of(self._system, self.locale())
        self._render_needed(plan.requirement, figures)
        self._render_delivered(plan, figures)
        stock, planned = plan.states.stock.stopped, plan.states.planned.stopped
        change = _change(figures.difference(planned.seat_height_mm, stock.seat_height_mm), figures)
        self._seat.show_words(
            figures.change(stock.seat_height_mm, planned.seat_height_mm),
            change
            if self._taped_mm is None
            else self.tr("planned: {change}").format(change=change),
        )
        self._seat.set_hint(texts.state_hint("stopped"))
        self._render_feet(plan)
        self._render_worst(plan.checks, figures)

    def _render_needed(self, need: Requirement, figures: Figures) -> None:
        drop, spare = need.drop_mm, need.spare_mm
        if need.wanted is Footing.NONE:
            self._needed.show_words(self.tr("None"), self.tr("no footing is wanted"))
        elif drop.value > 0.0:
            below = self.tr("likely {band}").format(band=_band(drop.low, drop.high, figures))
            if figures.text(need.need_here_mm) != figures.text(drop.value):
                here = figures.text(need.need_here_mm).replace(" ", "\N{NO-BREAK SPACE}")
                below = self.tr("{here} with the new seat and sole").format(here=here)
            if not need.reached:
                below = self.tr("{more}; look at Options").format(more=below)
            self._needed.show_words(figures.text(drop.value), below)
        else:
            self._needed.show_words(
                self.tr("None"),
                self.tr("{spare} to spare, likely {band}").format(
                    spare=figures.text(spare.value), band=_band(spare.low, spare.high, figures)
                ),
            )
        self._needed.set_hint(
            self.tr("Least drop of the seat, stopped, for: {footing}").format(
                footing=texts.wanted_label(need.wanted)
            )
        )

    def _render_delivered(self, plan: Plan, figures: Figures) -> None:
        delivered = plan.delivered
        before, after = (
            each.on_wheels.seat_height_mm for each in (plan.states.stock, plan.states.planned)
        )
        # As the heights beside it are shown, which everybody takes from each other.
        drop_mm = figures.difference(after, before)
        nominal = delivered.nominal_mm
        below = self.tr("on its wheels; sizes of the parts: {nominal}").format(
            nominal=figures.text(nominal) if nominal >= 0.0 else _change(nominal, figures)
        )
        hint = figures.sentence(delivered.reason)
        if plan.by_shop is not None:
            by_shop = self.tr("by physics; as {jobs} jobs here came out: {drop}")
            if plan.by_shop.planned_for and not plan.by_shop.by_hand:
                by_shop = self.tr("by physics; planned with the shop's experience: {drop}")
            elif plan.by_shop.planned_for:
                by_shop = self.tr("by physics, sizes by hand; as {jobs} jobs here came out: {drop}")
            drop = figures.text(plan.by_shop.on_wheels_mm.value).replace(" ", "\N{NO-BREAK SPACE}")
            below = by_shop.format(jobs=plan.by_shop.jobs, drop=drop)
            hint = f"{hint}\n{figures.sentence(plan.by_shop.told)}"
        if self._taped_mm is not None:
            below = self.tr("delivered, on its wheels; planned {planned}").format(
                planned=_change(drop_mm, figures)
            )
            drop_mm = self._taped_mm
        lower = drop_mm >= 0.0
        self._delivered.set_caption(
            self.tr("Lower by the tape") if lower else self.tr("By the tape")
        )
        self._delivered.show_words(
            figures.text(drop_mm) if lower else _change(drop_mm, figures), below
        )
        self._delivered.set_hint(hint)

    def _render_feet(self, plan: Plan) -> None:
        need, shop = plan.requirement, plan.by_shop
        before, after = need.stock.footing, need.planned.footing
        words = texts.label(after)
        if before is not after:
            words = f"{texts.label(before)} {ARROW} {texts.lower_first(words)}"
        wanted = texts.lower_first(texts.wanted_label(need.wanted))
        if need.wanted is Footing.NONE:
            below = wanted
        elif need.reached:
            below = self.tr("as wanted: {chance}")
        else:
            below = self.tr("wanted: {footing}, {chance}")
        below = below.format(footing=wanted, chance=_stiff_cases(need.chance))
        if need.wanted is not Footing.NONE and shop is not None:
            # As those jobs came out where that was asked for; else the figure says what it is.
            below = self.tr("{chance} by physics alone").format(chance=below)
            if shop.planned_for:
                below = self.tr("as the jobs here came out: {chance}").format(
                    chance=_stiff_cases(shop.chance)
                )
        elif need.wanted is not Footing.NONE and self._taped_mm is not None:
            below = self.tr("planned, {words}").format(words=below)
        self._feet.show_words(words, below)
        self._feet.set_hint(texts.hint(after))

    def _render_worst(self, checks: Sequence[Check], figures: Figures) -> None:
        ordered = worst_first(checks)
        failing = [check for check in ordered if not check.holds]
        if not failing:
            self._worst.show_words(
                self.tr("None fails"), self.tr("all {n} hold").format(n=len(ordered)), OK
            )
            self._worst.set_hint("")
            return
        worst = failing[0]
        below = f"{word_of(worst)}, {margin_text(worst, figures)}"
        if len(failing) > 1:
            below = self.tr("{margin}; {n} more").format(margin=below, n=len(failing) - 1)
        self._worst.show_words(title_of(worst), below, meaning_of(worst))
        self._worst.set_hint(figures.sentence(worst.reason))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """A splitter knows nothing of wrapped words, so ask for the height that they take."""
        super().resizeEvent(event)
        self._keep_height()

    def showEvent(self, event: QShowEvent) -> None:
        """What came while hidden may take more lines."""
        super().showEvent(event)
        self._keep_height()

    def event(self, event: QEvent) -> bool:
        """Words deep inside took another number of lines: only now is their height known."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self._keep_height()
        return done

    def _keep_height(self) -> None:
        # A hidden widget may have any width.
        if self.isVisible():
            wanted = self._column.heightForWidth(self.width())
            self.setMinimumHeight(max(wanted, self._feet.room()))

    def changeEvent(self, event: QEvent) -> None:
        """Another locale may have another decimal mark."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.LocaleChange and self._plan is not None:
            self._render(self._plan)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the surface below the tiles and the lines between them."""
        colours = colours_of(self.palette())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colours.colour("line"), 1.0))
        painter.setBrush(colours.colour("panel"))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 6.0, 6.0)
        if self._stack.currentIndex() == 0:
            for tile in (self._delivered, self._seat, self._feet, self._worst):
                painter.drawLine(tile.x(), 12, tile.x(), tile.height() - 12)
        painter.end()


class _Tile(QWidget):
    """A caption, a figure or words, and a line that places them."""

    def __init__(self, caption: str, *, large: bool = False, marked: bool = False) -> None:
        super().__init__()
        self._caption = Text(caption, faint=True)
        scale = _FIGURE_SCALE if large else _WORDS_SCALE
        self._words = Text(scale=scale, bold=True, wrap=not large)
        self._below = Text(faint=True)
        self._mark = Mark(side=20)
        self._mark.setVisible(marked)
        column = self._column = QVBoxLayout(self)
        column.setContentsMargins(12, 8, 8, 8)
        column.setSpacing(2)
        column.addWidget(self._caption)
        row = QHBoxLayout()
        row.setSpacing(6)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._words, 1)
        column.addLayout(row)
        column.addWidget(self._below)
        column.addStretch(1)

    def room(self) -> int:
        """The height with all the lines that are kept free."""
        lines = (self._caption, 1), (self._words, _WORDS_LINES), (self._below, _BELOW_LINES)
        margins, gaps = self._column.contentsMargins(), 2 * self._column.spacing()
        text = sum(count * label.fontMetrics().lineSpacing() for label, count in lines)
        return text + margins.top() + margins.bottom() + gaps

    def set_caption(self, caption: str) -> None:
        self._caption.setText(caption)

    def show_words(self, words: str, below: str, meaning: str = "") -> None:
        self._words.setText(words)
        self._below.setText(below)
        self._mark.set_meaning(meaning)

    def set_hint(self, text: str) -> None:
        for part in (self._caption, self._words, self._below):
            part.set_hint(text)

    def texts(self) -> list[str]:
        return [self._words.text(), self._below.text()]


def _band(low: float, high: float, figures: Figures) -> str:
    return f"{figures.bare(low)} to {figures.text(high)}".replace(" ", "\N{NO-BREAK SPACE}")


def _change(drop: float, figures: Figures) -> str:
    text = f"{figures.text(abs(drop))} {'lower' if drop >= 0 else 'higher'}"
    return text.replace(" ", "\N{NO-BREAK SPACE}")


def _stiff_cases(chance: float) -> str:
    """The chance in words; its cases stay on one line."""
    word, bracket, cases = texts.chance_words(chance).partition("(")
    return word + bracket + cases.replace(" ", "\N{NO-BREAK SPACE}")
