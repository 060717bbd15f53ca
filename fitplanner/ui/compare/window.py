"""Owns the window of the comparison: its columns, pictures and rows, and the way to paper.

Refuses to compute: rows come from the report, plans from the shelf.
"""

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QShowEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.job import Choices, Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.outline import Scene
from fitplanner.planning.plan import STATE_NAMES, Plan
from fitplanner.planning.search.options import Option
from fitplanner.quantities import UnitSystem
from fitplanner.report.compare import Comparison, compare, open_choices, stock_choices
from fitplanner.ui import texts
from fitplanner.ui.compare.heads import ColumnHead
from fitplanner.ui.compare.paper import PaperRow
from fitplanner.ui.compare.pictures import PictureRow
from fitplanner.ui.compare.shelf import Item, Shelf
from fitplanner.ui.compare.table import COLUMN_GAP, LABEL_WIDTH, ComparisonTable
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.printing.comparison import ComparisonSheet
from fitplanner.ui.widgets.card import GAP
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.money import money_text
from fitplanner.ui.widgets.text import Text

FIRST_STATE = "stopped"
_HEAD_HEIGHT = 84


class CompareWindow(QDialog):
    """Up to four plans for one rider."""

    def __init__(
        self,
        job: Callable[[], Job],
        profiles: Mapping[str, MachineProfile],
        dialogs: Dialogs,
        parent: QWidget | None = None,
        planner: Callable[[Job], Plan] | None = None,
        named: Callable[[Choices], str] | None = None,
    ) -> None:
        """`named` says by which option a job's choices were taken, "" by none."""
        super().__init__(parent)
        self.setWindowTitle(self.tr("Compare"))
        self.setWindowFlag(Qt.WindowType.WindowMaximizeButtonHint)
        self._job, self._profiles = job, profiles
        self._named = named or _unnamed
        self._system = UnitSystem.METRIC
        self._rates = Rates()
        self._heads: list[ColumnHead] = []
        self._comparison: Comparison | None = None
        self.shelf = Shelf(planner, self._prepare, self)
        self.stock_button = QPushButton(self.tr("Add &stock machine"))
        self.plan_button = QPushButton(self.tr("Add &this plan"))
        self.machine_button = QPushButton(self.tr("Add another &machine"))
        self._machines = QMenu(self)
        self.machine_button.setMenu(self._machines)
        self.rider_button = QPushButton(self.tr("&Work out for the rider as known now"))
        self.paper = PaperRow(self.sheet, dialogs)
        self.states = QComboBox()
        self.differing_box = QCheckBox(self.tr("Only rows that di&ffer"))
        self.pictures = PictureRow()
        self.table = ComparisonTable()
        self._rider = Text()
        self._notice = Text(bold=True)
        self._notes = Text(faint=True)
        self._empty = Text(
            self.tr(
                "Nothing to compare yet. Add the stock machine or the plan of this job, or press "
                "“Compare” at one of the options."
            ),
            faint=True,
        )
        self._lay_out()
        self._connect()
        self.list_machines()
        self.resize(1180, 780)
        self._show()

    # Layout.

    def _lay_out(self) -> None:
        for button in (*self.findChildren(QPushButton), *self.paper.findChildren(QPushButton)):
            button.setAutoDefault(False)
        for name in STATE_NAMES:
            self.states.addItem(texts.state_label(name), name)
        self.states.setCurrentIndex(STATE_NAMES.index(FIRST_STATE))
        self.states.setAccessibleName(self.tr("State shown"))
        top = QHBoxLayout()
        top.setSpacing(8)
        for button in (self.stock_button, self.plan_button, self.machine_button):
            top.addWidget(button)
        top.addStretch(1)
        top.addWidget(self.paper)
        notice = QHBoxLayout()
        notice.addWidget(self._notice, 1)
        notice.addWidget(self.rider_button)
        self._head_row = QHBoxLayout()
        self._head_row.setSpacing(COLUMN_GAP)
        self.pictures.set_gap(COLUMN_GAP)
        pictures = QHBoxLayout()
        pictures.setSpacing(COLUMN_GAP)
        pictures.addWidget(self._side_panel())
        pictures.addWidget(self.pictures, 1)
        scroll = QScrollArea()
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        scroll.setWidget(self.table)
        bar = scroll.verticalScrollBar().sizeHint().width() + COLUMN_GAP
        self.table.setContentsMargins(0, 0, COLUMN_GAP, 0)
        for fixed in (self._head_row, pictures):
            fixed.setContentsMargins(0, 0, bar, 0)
        self._content = QWidget()
        inside = QVBoxLayout(self._content)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.setSpacing(8)
        inside.addWidget(self._notes)
        inside.addLayout(self._head_row)
        inside.addLayout(pictures, 5)
        inside.addWidget(scroll, 8)
        column = QVBoxLayout(self)
        column.setContentsMargins(GAP, GAP, GAP, GAP)
        column.setSpacing(8)
        column.addLayout(top)
        column.addLayout(notice)
        column.addWidget(self._empty)
        column.addWidget(self._content, 1)
        column.addStretch(0)

    def _side_panel(self) -> QWidget:
        """What stands left of the pictures."""
        side = QWidget()
        side.setFixedWidth(LABEL_WIDTH)
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        label = QLabel(self.tr("State in the p&ictures"))
        label.setBuddy(self.states)
        column.addWidget(label)
        column.addWidget(self.states)
        column.addWidget(Text(self.tr("All pictures have one scale."), faint=True))
        column.addStretch(1)
        column.addWidget(self.differing_box)
        column.addWidget(
            Text(self.tr("Bold with a change or ≠: unlike the first column."), faint=True)
        )
        return side

    def _connect(self) -> None:
        self.shelf.changed.connect(self._show)
        self.stock_button.clicked.connect(self.add_stock)
        self.plan_button.clicked.connect(self.add_plan)
        self._machines.triggered.connect(self._machine_chosen)
        self.rider_button.clicked.connect(self._work_out_again)
        self.states.currentIndexChanged.connect(self._show_pictures)
        self.differing_box.toggled.connect(self._show_table)

    # Columns.

    def add_stock(self) -> None:
        """Add the machine of the job as it stands in the showroom."""
        job = self._job()
        stock = job.replace(choices=stock_choices(job))
        self._add(self.tr("Stock machine"), stock)

    def add_plan(self) -> None:
        """Add the plan of the job as it is now."""
        job = self._job()
        title, name = self.tr("Plan of this job"), self._named(job.choices)
        if name:
            title = self.tr("{title}: {option}").format(
                title=title, option=f"{name[:1].lower()}{name[1:]}"
            )
        self._add(title, job)

    def begin(self) -> None:
        """Where there is nothing to compare yet: the stock machine first, then the plan."""
        if len(self.shelf.items) < 2:
            self.add_stock()
            stock = stock_choices(self._job())
            for item in self.shelf.items:
                if item.job.choices == stock:
                    self.shelf.move(item.key, -len(self.shelf.items))
        if len(self.shelf.items) < 2:
            self.add_plan()

    def add_option(self, job: Job, option: Option) -> None:
        """Add an option; `job` carries its choices."""
        reason = option.reason or self.tr("Picked by you")
        self._add(f"{reason[:1].upper()}{reason[1:]}", job)

    def _add(self, title: str, job: Job) -> None:
        full = self.shelf.full
        if not self.shelf.add(title, job) and full:
            self._notice.setText(self.tr("Four columns are the most: take one away first."))
            self._notice.show()

    def add_machine(self, profile: MachineProfile) -> None:
        """Add another machine for this rider, all ways left to the planner."""
        job = self._job()
        other = job.replace(machine=profile, choices=open_choices(job.choices))
        self._add(self.tr("As the planner chooses"), other)

    def clear(self) -> None:
        """Forget all columns: another rider is at the counter."""
        self.shelf.clear()

    def refresh(self) -> None:
        """The job changed: say whether columns are out of date."""
        self._show_notice()

    def set_system(self, system: UnitSystem) -> None:
        """Show quantities in another unit system."""
        self._system = system
        self._show()

    def set_rates(self, rates: Rates) -> None:
        """Take the shop's own rate and currency."""
        self._rates = rates
        self._show()

    def list_machines(self) -> None:
        """Offer the library as it is now; columns that stand there keep their machines."""
        self._machines.clear()
        for profile in self._profiles.values():
            action = self._machines.addAction(profile.name.replace("&", "&&"))
            action.setData(profile.id)

    def close_shelf(self) -> None:
        """End the thread of the plans."""
        self.shelf.close()

    def _machine_chosen(self, action: QAction) -> None:
        profile = self._profiles.get(action.data())
        if profile is not None:
            self.add_machine(profile)

    def _work_out_again(self) -> None:
        self.shelf.work_out_for(self._job().rider)

    def _prepare(self, plan: Plan) -> None:
        """Have the first picture drawn up on the shelf's thread."""
        _ = plan.pictures.side[FIRST_STATE]

    # Showing.

    def heads(self) -> list[ColumnHead]:
        """The heads of the columns from the left."""
        return self._heads

    @property
    def comparison(self) -> Comparison | None:
        """The rows shown, once all plans are there."""
        return self._comparison

    def notice(self) -> str:
        """What the line over the columns says."""
        return self._notice.text()

    def _show(self) -> None:
        items = self.shelf.items
        self._empty.setVisible(not items)
        self._content.setVisible(bool(items))
        for button in (self.stock_button, self.plan_button, self.machine_button):
            button.setDisabled(self.shelf.full)
        self._show_heads(items)
        self._compare(items)
        self._show_notice()
        self.paper.setEnabled(self._comparison is not None)
        self._show_pictures()
        self._show_table()

    def _show_heads(self, items: tuple[Item, ...]) -> None:
        while self._heads:
            head = self._heads.pop()
            self._head_row.removeWidget(head)
            head.hide()
            head.deleteLater()
        if self._head_row.count() == 0:
            self._rider.setFixedWidth(LABEL_WIDTH)
            self._head_row.addWidget(self._rider)
        for place, item in enumerate(items):
            head = ColumnHead(item, place, len(items))
            head.setFixedHeight(_HEAD_HEIGHT)
            head.moved.connect(self.shelf.move, Qt.ConnectionType.QueuedConnection)
            head.removed.connect(self.shelf.remove, Qt.ConnectionType.QueuedConnection)
            self._head_row.addWidget(head, 1)
            self._heads.append(head)

    def _compare(self, items: tuple[Item, ...]) -> None:
        """Only what has a plan can be compared; what has none says why in its head."""
        entries = [item.entry(item.plan, self._rates) for item in items if item.plan is not None]
        whole = bool(items) and len(entries) == len(items)
        self._comparison = None
        if whole:
            figures = Figures.of(self._system, self.locale())
            self._comparison = compare(
                entries,
                self._system,
                money=self._money,
                chance=texts.chance_words,
                decimal_mark=figures.decimal_mark,
            )
        self._rider.setText("" if self._comparison is None else self._comparison.rider)
        notes = () if self._comparison is None else self._comparison.notes
        self._notes.setText(" ".join(notes))
        self._notes.setVisible(bool(notes))

    def _money(self, amount: float) -> str:
        return money_text(amount, self.locale(), self._rates.currency)

    def _show_notice(self) -> None:
        rider = self._job().rider.replace(name="")
        old = any(item.job.rider.replace(name="") != rider for item in self.shelf.items)
        words = self.tr("The rider's figures have changed since these columns were added.")
        self._notice.setText(words if old else "")
        self._notice.setVisible(old)
        self.rider_button.setVisible(old)

    def _scenes(self) -> list[Scene | None]:
        name = self.states.currentData()
        return [
            None if item.plan is None else item.plan.pictures.side[name]
            for item in self.shelf.items
        ]

    def _show_pictures(self) -> None:
        self.pictures.show_scenes(self._scenes(), Figures.of(self._system, self.locale()).length)

    def _show_table(self) -> None:
        self.table.show_comparison(self._comparison, only_differing=self.differing_box.isChecked())

    def showEvent(self, event: QShowEvent) -> None:
        """Have something to compare as soon as the window is seen."""
        super().showEvent(event)
        if not event.spontaneous():
            self.begin()

    # Paper.

    def sheet(self) -> ComparisonSheet | None:
        """The page to print, once all plans are there."""
        if self._comparison is None:
            return None
        return ComparisonSheet(
            self._comparison,
            self._scenes(),
            Figures.of(self._system, self.locale()).length,
            texts.state_label(self.states.currentData()),
        )


def _unnamed(_: Choices) -> str:
    """No option was taken."""
    return ""
