"""Owns the window “Which machine fits?”: the library ranked for the rider at hand.

It follows the job's rider while it is open. Refuses to compute: rows come from the planning room,
on a thread of their own.
"""

from collections.abc import Mapping

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.planning.fleet import Doing, FleetRow
from fitplanner.quantities import UnitSystem
from fitplanner.ui import texts
from fitplanner.ui.fleet import words
from fitplanner.ui.fleet.asking import FleetAnswer, FleetAsker, FleetQuestion
from fitplanner.ui.fleet.marks import doing_icon
from fitplanner.ui.forms import tip
from fitplanner.ui.theme import figure_font
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.text import Text
from fitplanner.ui.widgets.tree import PAD, Wrapped, show_rows_alone

_MACHINE, _DROP, _FEET, _WHAT, _HOURS, _PRICE = range(6)
_ROW = Qt.ItemDataRole.UserRole
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_ROOMY = (
    f"QTreeView::item {{ padding: {PAD // 2}px {PAD}px; }} "
    f"QHeaderView::section {{ padding: 5px {PAD}px; border: none; background: palette(button); }}"
)
_LEAST_SIZE = QSize(980, 480)
_FIRST_SIZE = QSize(1200, 740)


class FleetWindow(QDialog):
    """Machines by what must be done to them, the least first."""

    rates_wanted = Signal()
    """The user wants to change the shop's figures."""

    def __init__(
        self,
        history: History,
        profiles: Mapping[str, MachineProfile],
        parent: QWidget | None = None,
        asker: FleetAsker | None = None,
    ) -> None:
        super().__init__(parent)
        self._history = history
        self._profiles = profiles
        self._system = UnitSystem.METRIC
        self._rates = Rates()
        self._answer: FleetAnswer | None = None
        self._asked: FleetQuestion | None = None
        self.asker = asker or FleetAsker(tuple(profiles.values()), parent=self)
        self.setWindowTitle(self.tr("Which machine fits?"))
        self.setWindowFlag(Qt.WindowType.WindowMaximizeButtonHint)
        self.rider = Text(parent=self)
        self.notice = Text(faint=True, parent=self)
        self.tree = QTreeWidget(self)
        self.details = Text(parent=self)
        self.rates_button = QPushButton(self.tr("P&rices…"), self)
        self.plan_button = QPushButton(self.tr("&Plan on this machine"), self)
        close = QPushButton(self.tr("&Close"), self)
        self._lay_out(close)
        for button in (self.rates_button, close):
            button.setAutoDefault(False)
        self.plan_button.setDefault(True)
        self.plan_button.setToolTip(
            tip(
                self.tr(
                    "Puts the job on this machine with these amounts, as set by hand; "
                    "one step of undo"
                )
            )
        )
        self.asker.told.connect(self._take)
        self.asker.answered.connect(self._take)
        self.tree.currentItemChanged.connect(self._show_details)
        self.tree.itemDoubleClicked.connect(self._plan)
        self.plan_button.clicked.connect(self._plan)
        self.rates_button.clicked.connect(self.rates_wanted)
        close.clicked.connect(self.close)
        self.setMinimumSize(_LEAST_SIZE)
        self.resize(_FIRST_SIZE)

    def _lay_out(self, close: QPushButton) -> None:
        tree = self.tree
        tree.setAccessibleName(self.tr("Machines by what must be done"))
        tree.setColumnCount(6)
        tree.setRootIsDecorated(False)
        tree.setItemsExpandable(False)
        tree.setIndentation(0)
        tree.setWordWrap(True)
        tree.setIconSize(QSize(20, 20))
        show_rows_alone(tree, _ROOMY, wide=_WHAT)
        tree.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        tree.setItemDelegateForColumn(_WHAT, Wrapped(tree))
        tree.header().sectionResized.connect(tree.scheduleDelayedItemsLayout)
        top = QHBoxLayout()
        top.addWidget(self.rider, 1)
        top.addWidget(self.rates_button, 0, Qt.AlignmentFlag.AlignTop)
        card = Card(parent=self)
        card.body.addWidget(self.details)
        self.details.setMinimumHeight(3 * self.fontMetrics().lineSpacing())
        below = QHBoxLayout()
        below.addWidget(
            Text(
                self.tr(
                    "Each row is the least work that reaches: seat and boots before the "
                    "suspension, then the least travel lost, then the price; springs suit the "
                    "rider in any case. The plan of a job is made otherwise, seat and suspension "
                    "together and soles only by hand, so its price differs until you plan on the "
                    "row. A shorter shock, link rods and smaller tyres are not tried here. All "
                    "rows are by physics alone, without the shop's experience."
                ),
                faint=True,
                parent=self,
            ),
            1,
        )
        below.addWidget(self.plan_button)
        below.addWidget(close)
        whole = QVBoxLayout(self)
        whole.setSpacing(10)
        whole.addLayout(top)
        whole.addWidget(self.notice)
        whole.addWidget(tree, 1)
        whole.addWidget(card)
        whole.addLayout(below)

    # What comes from outside.

    def show_job(self, job: Job) -> None:
        """Rank for the job's rider, once the window can be seen."""
        self.rider.setText(words.rider_line(job.rider, self._figures()))
        self._ask()

    def list_machines(self) -> None:
        """Rank the library as it is now."""
        self.asker.profiles = tuple(self._profiles.values())
        self._asked = None
        self._ask()

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        self.rider.setText(words.rider_line(self._history.job.rider, self._figures()))
        self._show_rows()

    def set_rates(self, rates: Rates) -> None:
        """Price with other figures of the shop."""
        self._rates = rates
        self._ask()

    def shut(self) -> None:
        """End the thread; the window is not used again."""
        self.asker.close()

    def rows(self) -> tuple[FleetRow, ...]:
        """The rows shown."""
        return () if self._answer is None else self._answer.rows

    def row(self) -> FleetRow | None:
        """The row that is chosen."""
        item = self.tree.currentItem()
        row: FleetRow | None = None if item is None else item.data(_MACHINE, _ROW)
        return row

    def choose(self, machine: str) -> None:
        """Choose the row of a machine by its profile's id."""
        for item in self._items():
            if item.data(_MACHINE, _ROW).profile.id == machine:
                self.tree.setCurrentItem(item)

    # Asking and showing.

    def _figures(self) -> Figures:
        return Figures.of(self._system, self.locale())

    def _ask(self) -> None:
        if not self.isVisible():
            return
        job = self._history.job
        load = Choices(
            fuel_share=job.choices.fuel_share,
            luggage_front_kg=job.choices.luggage_front_kg,
            luggage_rear_kg=job.choices.luggage_rear_kg,
            feet_share=job.choices.feet_share,
        )
        question = FleetQuestion(job.rider, load, self._rates)
        if question != self._asked:
            self._asked = question
            self._tell(self.tr("Working through the library…"))
            self.asker.ask(question)

    def _take(self, answer: FleetAnswer) -> None:
        self._answer = answer
        if answer.missing:
            needed = ", ".join(answer.missing)
            self._tell(self.tr("Still to be entered for the rider: {what}").format(what=needed))
        elif answer.fault is not None:
            self._tell(
                self.tr(
                    "The library could not be ranked because of a fault in the program: {why}. "
                    "It was written to the log."
                ).format(why=answer.fault)
            )
        else:
            self._tell("" if answer.rows else self.tr("The library holds no machine."))
        self._show_rows()

    def _tell(self, text: str) -> None:
        self.notice.setText(text)
        self.notice.setVisible(bool(text))

    def _show_rows(self) -> None:
        kept = self.row()
        figures = self._figures()
        self.tree.setHeaderLabels(
            [
                self.tr("Machine"),
                figures.headed(self.tr("To come down")),
                self.tr("Feet on the ground"),
                self.tr("What to do"),
                self.tr("Hours"),
                self.tr("Price"),
            ]
        )
        for column in (_DROP, _HOURS, _PRICE):
            self.tree.headerItem().setTextAlignment(column, _RIGHT)
        self.tree.clear()
        for doing in Doing:
            rows = [row for row in self.rows() if row.doing is doing]
            if rows:
                self._add_group(doing, rows, figures)
        self.tree.expandAll()
        if kept is not None:
            self.choose(kept.profile.id)
        if self.row() is None and (items := self._items()):
            self.tree.setCurrentItem(items[0])
        self._show_details()

    def _add_group(self, doing: Doing, rows: list[FleetRow], figures: Figures) -> None:
        title = f"{words.group_title(doing)}  ({len(rows)})"
        head = QTreeWidgetItem([title])
        head.setFlags(Qt.ItemFlag.ItemIsEnabled)
        head.setIcon(_MACHINE, doing_icon(doing, self.palette()))
        head.setFont(_MACHINE, figure_font(self.tree.font(), bold=True))
        self.tree.addTopLevelItem(head)
        head.setFirstColumnSpanned(True)
        possible = doing is not Doing.IMPOSSIBLE
        for row in rows:
            name = row.profile.name
            if row.profile.id == self._history.job.machine.id:
                name = self.tr("{name} (this job)").format(name=name)
            item = QTreeWidgetItem(
                [
                    name,
                    words.drop(row, figures),
                    words.footing(row),
                    words.fitted(row, figures),
                    words.hours(row, self.locale()) if possible else "–",
                    words.money(row.price, self.locale(), self._rates) if possible else "–",
                ]
            )
            item.setData(_MACHINE, _ROW, row)
            for column in (_DROP, _HOURS, _PRICE):
                item.setTextAlignment(column, _RIGHT)
            item.setToolTip(_MACHINE, tip(texts.label(row.profile.kind)))
            item.setToolTip(_WHAT, tip(item.text(_WHAT)))
            head.addChild(item)

    def _items(self) -> list[QTreeWidgetItem]:
        heads = [self.tree.topLevelItem(i) for i in range(self.tree.topLevelItemCount())]
        return [
            head.child(i) for head in heads if head is not None for i in range(head.childCount())
        ]

    def _show_details(self) -> None:
        row = self.row()
        self.plan_button.setEnabled(row is not None)
        if row is None:
            self.details.setText("")
            return
        text = words.details(row, self._figures(), self.locale(), self._rates)
        self.details.setText(f"{row.profile.name}: {text}")

    def _plan(self) -> None:
        row = self.row()
        if row is None:
            return
        job = self._history.job.replace(machine=row.profile, choices=row.choices)
        name = self.tr("Machine: {name}").format(name=row.profile.name)
        self._history.change(job, name)
        self.close()

    def showEvent(self, event: QShowEvent) -> None:
        """Rank what has changed while nobody looked."""
        super().showEvent(event)
        self._ask()

    def hideEvent(self, event: QHideEvent) -> None:
        """Nobody waits for an answer any more."""
        super().hideEvent(event)
        if self.asker.busy:
            self.asker.forget()
            self._asked = None

    def changeEvent(self, event: QEvent) -> None:
        """Icons follow the colours, figures the locale."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.LocaleChange):
            self._show_rows()
