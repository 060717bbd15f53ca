"""Owns one option as a card: why it stands there, what the feet do, what to fit, its figures.

Refuses to act: it says which button was pressed.
"""

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.plan import Plan
from fitplanner.planning.search.options import Measure, Option
from fitplanner.ui.options.words import (
    Writer,
    failing,
    feet,
    hint_of,
    label_of,
    raised,
    to_fit,
    value_of,
)
from fitplanner.ui.theme import colours_of, figure_font
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.text import Text

_SHOWN = (
    Measure.FOOTING, Measure.TRAVEL, Measure.STEERING, Measure.CLEARANCE,
    Measure.LEGROOM, Measure.COST, Measure.HOURS, Measure.UNDO,
)  # fmt: skip
_PER_ROW = 4


class OptionCard(Card):
    """One option; `number` 0 shows none."""

    use_wanted = Signal(object)
    compare_wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self.option: Option | None = None
        self._badge = Badge(self)
        self._reason = Text(bold=True, scale=1.1)
        self._feet = Text()
        self._fit = Text()
        self._look = Text(bold=True)
        self._names: dict[Measure, Text] = {}
        self._values: dict[Measure, Text] = {}
        self.use_button = QPushButton(self.tr("Use this option"), self)
        self.compare_button = QPushButton(self.tr("Compare"), self)
        self.use_button.clicked.connect(self._use)
        self.compare_button.clicked.connect(self._compare)
        self._lay_out()

    def _lay_out(self) -> None:
        words = QVBoxLayout()
        words.setSpacing(4)
        words.addWidget(self._reason)
        words.addWidget(self._feet)
        words.addWidget(self._fit)
        words.addWidget(self._look)
        words.addStretch(1)
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(0)
        for place, measure in enumerate(_SHOWN):
            row, column = divmod(place, _PER_ROW)
            name = Text(faint=True, wrap=False)
            value = Text(bold=True, wrap=False)
            name.set_hint(hint_of(measure))
            self._names[measure], self._values[measure] = name, value
            grid.addWidget(name, 3 * row, column)
            grid.addWidget(value, 3 * row + 1, column)
            grid.setColumnMinimumWidth(column, 76)
        grid.setRowMinimumHeight(2, 6)
        grid.setRowStretch(5, 1)
        buttons = QVBoxLayout()
        buttons.setSpacing(6)
        buttons.addWidget(self.use_button)
        buttons.addWidget(self.compare_button)
        buttons.addStretch(1)
        whole = QHBoxLayout()
        whole.setSpacing(14)
        whole.addWidget(self._badge, 0, Qt.AlignmentFlag.AlignTop)
        whole.addLayout(words, 1)
        whole.addLayout(grid)
        whole.addLayout(buttons)
        self.body.addLayout(whole)

    def show_option(
        self,
        option: Option,
        machine: MachineProfile,
        writer: Writer,
        *,
        number: int = 0,
        reason: str = "",
        in_use: bool = False,
    ) -> None:
        """Show `option`; `reason` stands in for its own."""
        self.option = option
        told = reason or option.reason
        told = f"{told[:1].upper()}{told[1:]}"
        self._badge.set_number(number)
        self._reason.setText(told)
        lines = to_fit(option.choices, machine, writer.figures, new_stand=option.new_stand)
        self._fit.setText("\n".join(lines))
        self.show_plan(None)
        for measure, value in self._values.items():
            self._names[measure].setText(label_of(measure))
            value.setText(writer.measure(measure, value_of(option.measures, measure)))
        self.use_button.setText(self.tr("In use ✓") if in_use else self.tr("Use this option"))
        self.use_button.setDisabled(in_use)
        for button in (self.use_button, self.compare_button):
            button.setAccessibleName(f"{button.text()}: {told}")

    def show_plan(self, plan: Plan | None) -> None:
        """Say what the option's own plan says: what the feet do, and which checks fail.

        Until it is there, what the search's measures tell.
        """
        if self.option is None:
            return
        self._feet.setText(self.tr("Feet on the ground: …") if plan is None else feet(plan))
        lines = raised(self.option.measures) if plan is None else failing(plan)
        self._look.setText("\n".join(lines))
        self._look.setVisible(bool(lines))

    def texts(self) -> list[str]:
        """Reason, feet, what to fit, what to look at, then the figures in their order."""
        values = [f"{self._names[m].text()}: {v.text()}" for m, v in self._values.items()]
        words = (self._reason, self._feet, self._fit, self._look)
        return [*(word.text() for word in words), *values]

    def _use(self) -> None:
        self.use_wanted.emit(self.option)

    def _compare(self) -> None:
        self.compare_wanted.emit(self.option)


class Badge(QWidget):
    """A number in a diamond: the shape that marks the option in the plot."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._number = 0
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.hide()

    def set_number(self, number: int) -> None:
        """Show a number, or nothing for 0."""
        self._number = number
        self.setVisible(number > 0)
        self.update()

    def sizeHint(self) -> QSize:
        """Room for one digit."""
        return QSize(30, 30)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint shape and number."""
        colours = colours_of(self.palette())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(15, 15)
        painter.rotate(45)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colours.colour("accent"))
        painter.drawRect(QRectF(-10, -10, 20, 20))
        painter.rotate(-45)
        painter.setPen(QPen(colours.colour("on_accent")))
        painter.setFont(figure_font(self.font(), bold=True))
        painter.drawText(QRectF(-15, -15, 30, 30), Qt.AlignmentFlag.AlignCenter, str(self._number))
        painter.end()
