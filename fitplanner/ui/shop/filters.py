"""Owns the fields by which jobs are looked up: words, stage and days."""

from datetime import date, timedelta

from PySide6.QtCore import QDate, QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QDateEdit,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QWidget,
)

from fitplanner.documents.bench import Stage
from fitplanner.store.shop.records import Query
from fitplanner.ui import texts
from fitplanner.ui.widgets.text import tip

REST_MS = 120
_OPEN = tuple(one for one in Stage if one is not Stage.HANDED_OVER)


class Filters(QWidget):
    """One row of fields; `query` is what they say."""

    changed = Signal()
    """Another query, a moment after the last key."""
    list_wanted = Signal()
    """The user wants to go on from the words to the list."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = QLineEdit(self)
        self.words.setPlaceholderText(self.tr("Rider, telephone, machine, job or reference"))
        self.words.setAccessibleName(self.tr("Look for"))
        self.words.setClearButtonEnabled(True)
        self.words.setMaxLength(200)
        self.words.installEventFilter(self)
        self.stage = QComboBox(self)
        self.stage.setAccessibleName(self.tr("Stage"))
        self.stage.addItem(self.tr("All stages"), ())
        self.stage.addItem(self.tr("Not handed over yet"), _OPEN)
        for one in Stage:
            self.stage.addItem(texts.label(one), (one,))
        self.days = QComboBox(self)
        self.days.setAccessibleName(self.tr("Changed"))
        self.days.setToolTip(tip(self.tr("When the job was changed last")))
        for words, back in (
            (self.tr("Changed at any time"), None),
            (self.tr("Changed today"), 0),
            (self.tr("In the last 7 days"), 6),
            (self.tr("In the last 30 days"), 29),
            (self.tr("In the last 365 days"), 364),
            (self.tr("Between…"), -1),
        ):
            self.days.addItem(words, back)
        self.since, self.until = _day(self), _day(self)
        self.since.setAccessibleName(self.tr("From"))
        self.until.setAccessibleName(self.tr("To"))
        self.since.setDate(QDate.currentDate().addDays(-30))
        self.dash = QLabel("–", self)
        self.all_button = QPushButton(self.tr("Show &all"), self)
        self.all_button.setAutoDefault(False)
        self.all_button.setToolTip(tip(self.tr("Takes away the words and every filter")))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.words, 1)
        for part in (self.stage, self.days, self.since, self.dash, self.until, self.all_button):
            row.addWidget(part)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self.changed)
        self.words.textChanged.connect(self._rest.start)
        self.words.textChanged.connect(self._show_days)
        self.all_button.clicked.connect(self.clear)
        for box in (self.stage, self.days):
            box.currentIndexChanged.connect(self._chosen)
        for day in (self.since, self.until):
            day.dateChanged.connect(self._chosen)
        self._show_days()

    def query(self) -> Query:
        """What is looked for."""
        since, until = self._span()
        return Query(
            words=self.words.text(), stages=self.stage.currentData(), since=since, until=until
        )

    def clear(self) -> None:
        """Leave no job out."""
        for box in (self.stage, self.days):
            box.setCurrentIndex(0)
        self.words.clear()

    def narrows(self) -> bool:
        """Whether the fields leave any job out."""
        query = self.query()
        return bool(query.words.strip() or query.stages or query.since or query.until)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The key down in the words leads to the list."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            keys = (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter)
            if watched is self.words and event.key() in keys:
                self.list_wanted.emit()
                return True
        return super().eventFilter(watched, event)

    def _span(self) -> tuple[date | None, date | None]:
        back = self.days.currentData()
        if back is None:
            return None, None
        if back >= 0:
            return date.today() - timedelta(days=back), None
        first, last = sorted((_date(self.since), _date(self.until)))
        return first, last

    def _chosen(self) -> None:
        self._show_days()
        self._rest.stop()
        self.changed.emit()

    def _show_days(self) -> None:
        for part in (self.since, self.dash, self.until):
            part.setVisible(self.days.currentData() == -1)
        self.all_button.setVisible(self.narrows())


def _day(parent: QWidget) -> QDateEdit:
    field = QDateEdit(QDate.currentDate(), parent)
    field.setCalendarPopup(True)
    return field


def _date(field: QDateEdit) -> date:
    day = field.date()
    return date(day.year(), day.month(), day.day())
