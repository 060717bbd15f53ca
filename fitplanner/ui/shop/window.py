"""Owns the window “Jobs”: all jobs of the shop, those changed last first.

It reads on the shop's own thread, a part at a time, and stays usable with any number of jobs.
Refuses to change anything itself: the counter does.
"""

import dataclasses
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QAction, QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QMenu,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from fitplanner.store.files import StoreError
from fitplanner.store.shop.records import GoneError, Query, Row
from fitplanner.ui.forms import tip
from fitplanner.ui.shop.counter import Counter
from fitplanner.ui.shop.desk import Desk, Reply
from fitplanner.ui.shop.filters import Filters
from fitplanner.ui.shop.model import (
    CHANGED,
    MACHINE,
    REFERENCE,
    RIDER,
    SORTS,
    STAGE,
    TITLE,
    WHO,
    JobsModel,
)
from fitplanner.ui.shop.tables import ROOMY
from fitplanner.ui.theme import figure_font
from fitplanner.ui.widgets.card import Card
from fitplanner.ui.widgets.text import Text

if TYPE_CHECKING:
    from fitplanner.store.shop import Shop

PART = 200
_LEAST_SIZE = QSize(1020, 420)
_FIRST_SIZE = QSize(1200, 680)
_WIDTHS = {STAGE: 130, RIDER: 170, MACHINE: 200, REFERENCE: 100, CHANGED: 155, WHO: 110}


@dataclass(frozen=True)
class _Search:
    """A question for the shop."""

    query: Query

    def __call__(self, shop: "Shop") -> tuple[list[Row], int]:
        return shop.find(self.query), shop.count(self.query)


class JobsWindow(QDialog):
    """The list, its filters, and what can be done with a job."""

    def __init__(
        self,
        desk: Desk,
        counter: Counter,
        whole_shop: list[QAction],
        parent: QWidget | None = None,
    ) -> None:
        """`whole_shop` are the commands that are about no single job."""
        super().__init__(parent)
        self._desk = desk
        self._counter = counter
        self._wanted: str | None = None
        self._shown: Query | None = None
        self.setWindowTitle(self.tr("Jobs of the shop"))
        self.setWindowFlag(Qt.WindowType.WindowMaximizeButtonHint)
        self.questions = desk.questions(self)
        self.filters = Filters(self)
        self.model = JobsModel(self)
        self.table = QTableView(self)
        self.said = Text(faint=True, parent=self)
        self.fault = _Strip(self.tr("&Try again"), self)
        self.place_button = self.fault.add(self.tr("Another &place…"))
        self.restore_button = self.fault.add(self.tr("&Restore a backup…"))
        self.begin_button = self.fault.add(self.tr("&Begin with no job"))
        self.visiting = _Strip(self.tr("Back to &my own shop"), self)
        self.empty = _Strip(self.tr("&Look around in an invented shop"), self)
        self.open_button = QPushButton(self.tr("&Open"), self)
        self.new_button = QPushButton(self.tr("&New job"), self)
        self.history_button = QPushButton(self.tr("&History…"), self)
        self.erase_button = QPushButton(self.tr("&Erase rider…"), self)
        self.shop_button = QPushButton(self.tr("&Shop"), self)
        self.close_button = QPushButton(self.tr("&Close"), self)
        self.table_action = QAction(self.tr("&Export table (CSV)…"), self)
        self.table_action.setEnabled(False)
        menu = QMenu(self.shop_button)
        menu.addAction(self.table_action)
        menu.addSeparator()
        menu.addActions(whole_shop)
        self.shop_button.setMenu(menu)
        self._set_up_table()
        self._lay_out()
        self._connect()
        self.setMinimumSize(_LEAST_SIZE)
        self.resize(_FIRST_SIZE)

    def _set_up_table(self) -> None:
        table = self.table
        table.setAccessibleName(self.tr("Jobs"))
        table.setModel(self.model)
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setTabKeyNavigation(False)
        table.setShowGrid(False)
        table.setWordWrap(False)
        table.setStyleSheet(ROOMY)
        table.setFont(figure_font(table.font()))
        table.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        down = table.verticalHeader()
        down.hide()
        # All rows alike: none is measured, so that ten thousand cost what ten do.
        down.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        down.setDefaultSectionSize(self.fontMetrics().lineSpacing() + 12)
        head = table.horizontalHeader()
        head.setHighlightSections(False)
        head.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        for column, width in _WIDTHS.items():
            head.resizeSection(column, width)
        head.setSectionResizeMode(TITLE, QHeaderView.ResizeMode.Stretch)
        head.setSectionsClickable(True)
        head.setSortIndicatorShown(True)
        head.setSortIndicator(CHANGED, Qt.SortOrder.DescendingOrder)
        head.setToolTip(tip(self.tr("Click to sort by it; click again to turn the order round")))
        table.installEventFilter(self)

    def _lay_out(self) -> None:
        below = QHBoxLayout()
        buttons = (self.open_button, self.new_button, self.history_button, self.erase_button)
        for button in buttons:
            below.addWidget(button)
        below.addStretch(1)
        below.addWidget(self.shop_button)
        below.addWidget(self.close_button)
        for button in (*buttons, self.shop_button, self.close_button):
            button.setAutoDefault(False)
        whole = QVBoxLayout(self)
        whole.setSpacing(10)
        whole.addWidget(self.visiting)
        whole.addWidget(self.filters)
        whole.addWidget(self.fault)
        whole.addWidget(self.empty)
        whole.addWidget(self.table, 1)
        whole.addWidget(self.said)
        whole.addLayout(below)
        self.history_button.setToolTip(tip(self.tr("Who changed what and when; any version opens")))
        self.erase_button.setToolTip(
            tip(self.tr("Takes the rider's name out of all jobs and their history"))
        )
        self.visiting.show_text(
            self.tr("An invented shop to look around in. Nothing here touches your own jobs.")
        )
        self.fault.set_tone("caution")
        self.fault.hide()
        self.empty.hide()

    def _connect(self) -> None:
        self.filters.changed.connect(self.refresh)
        self.filters.list_wanted.connect(self._go_to_list)
        self.questions.answered.connect(self._take)
        self.model.more_wanted.connect(self._ask_more)
        self.table.horizontalHeader().sortIndicatorChanged.connect(self.refresh)
        self.table.doubleClicked.connect(self._open)
        self.table.selectionModel().currentRowChanged.connect(self._show_chosen)
        self._counter.changed.connect(self.refresh)
        self._desk.moved.connect(self._moved)
        self.open_button.clicked.connect(self._open)
        self.new_button.clicked.connect(self._new)
        self.history_button.clicked.connect(self._show_history)
        self.erase_button.clicked.connect(self._erase)
        self.table_action.triggered.connect(self._export)
        self.close_button.clicked.connect(self.close)
        self.fault.wanted.connect(self.refresh)
        self.place_button.clicked.connect(self._counter.choose_place)
        self.restore_button.clicked.connect(self._counter.restore_gone)
        self.begin_button.clicked.connect(self._counter.begin)
        self.visiting.wanted.connect(self._counter.go_home)
        self.empty.wanted.connect(self._counter.visit)

    # The list.

    def row(self) -> Row | None:
        """The job that is chosen."""
        index = self.table.currentIndex()
        return self.model.rows[index.row()] if index.isValid() else None

    def refresh(self) -> None:
        """Look again."""
        if self.isVisible():
            row = self.row()
            self._wanted = None if row is None else row.id
            self.said.setText(self.tr("Looking…"))
            self.questions.ask(_Search(dataclasses.replace(self._query(), limit=PART)))

    def _query(self) -> Query:
        """What the fields look for, in the order of the heads."""
        head = self.table.horizontalHeader()
        return dataclasses.replace(
            self.filters.query(),
            sort=SORTS[head.sortIndicatorSection()],
            ascending=head.sortIndicatorOrder() is Qt.SortOrder.AscendingOrder,
        )

    def _ask_more(self) -> None:
        if self.questions.busy or self._shown is None:
            # What is on its way shows another list.
            self.model.stop()
            return
        part = dataclasses.replace(self._shown, offset=len(self.model.rows))
        self.questions.ask(_Search(part))

    def _take(self, search: _Search, reply: Reply) -> None:
        error = reply.error
        if error is not None:
            self.model.stop()
            self.fault.show_text(_fault_words(error))
            for button in (self.restore_button, self.begin_button):
                button.setVisible(isinstance(error, GoneError))
            if isinstance(error, GoneError):
                self.model.show([], 0)
                self.empty.hide()
            self.said.setText("")
            self.fault.show()
            return
        assert isinstance(reply.value, tuple)
        rows, total = reply.value
        self.fault.hide()
        if search.query.offset:
            self.model.add(rows, total)
        else:
            self._shown = search.query
            self.model.show(rows, total)
            self._choose_again()
        self._show_count()

    def _choose_again(self) -> None:
        row = -1 if self._wanted is None else self.model.row_of(self._wanted)
        if self.model.rows:
            self.table.selectRow(max(row, 0))
        self._show_chosen()

    def _show_count(self) -> None:
        total, narrowed = self.model.total, self.filters.narrows()
        self.table_action.setEnabled(total > 0)
        none = total == 0 and not narrowed
        self.empty.show_text(
            self.tr(
                "No job is kept here yet. What you save comes here; a file is taken in by “Shop”."
            )
        )
        self.empty.setVisible(none and not self._desk.visiting)
        if total:
            self.said.setText(self.tr("Jobs: {n}").format(n=self.locale().toString(total)))
        else:
            self.said.setText("" if none else self.tr("No job fits; leave out a word or a filter."))

    def _show_chosen(self) -> None:
        row = self.row()
        for button in (self.open_button, self.history_button):
            button.setEnabled(row is not None)
        self.erase_button.setEnabled(row is not None and row.rider_id is not None)

    def _moved(self) -> None:
        """Another database: the counter has the list asked for anew."""
        self.visiting.setVisible(self._desk.visiting)
        self.model.show([], 0)

    # Deeds.

    def _open(self) -> None:
        row = self.row()
        if row is not None and self._counter.open(row.id):
            self.close()

    def _new(self) -> None:
        if self._counter.new():
            self.close()

    def _show_history(self) -> None:
        row = self.row()
        if row is not None and self._counter.show_history(row):
            self.close()

    def _erase(self) -> None:
        row = self.row()
        if row is not None:
            self._counter.erase_rider(row)

    def _export(self) -> None:
        said = self._counter.export(self._query())
        if said:
            self.said.setText(said)

    def _go_to_list(self) -> None:
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter in the list opens the job."""
        keys = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        pressed = event.key() if isinstance(event, QKeyEvent) else None
        if pressed in keys and event.type() == QEvent.Type.KeyPress and watched is self.table:
            self._open()
            return True
        return super().eventFilter(watched, event)

    def showEvent(self, event: QShowEvent) -> None:
        """Look at what was changed while nobody looked."""
        super().showEvent(event)
        self.visiting.setVisible(self._desk.visiting)
        if not event.spontaneous():
            # Words of the last time would leave jobs out of what looks like all of them.
            self.filters.words.clear()
        self.filters.words.setFocus(Qt.FocusReason.OtherFocusReason)
        self._show_chosen()
        self.refresh()


class _Strip(Card):
    """Words with one thing to do about them."""

    def __init__(self, button: str, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self._words = Text(parent=self)
        self.button = QPushButton(button, self)
        self.button.setAutoDefault(False)
        self.wanted = self.button.clicked
        self._row = QHBoxLayout()
        self._row.addWidget(self._words, 1, Qt.AlignmentFlag.AlignVCenter)
        self._row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        self.body.addLayout(self._row)

    def add(self, words: str) -> QPushButton:
        """One more thing to do."""
        button = QPushButton(words, self)
        button.setAutoDefault(False)
        self._row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        return button

    def text(self) -> str:
        """The words as shown."""
        return self._words.text()

    def show_text(self, text: str) -> None:
        """Say something else."""
        self._words.setText(text)


def _fault_words(error: Exception) -> str:
    if isinstance(error, StoreError):
        return str(error)
    return f"{type(error).__name__}: {error}"
