"""Owns the guided series: one reading at a time, how it is taken, and the field that takes it.

Text stays at its step until it is taken; text that cannot be taken stays with the reason, and
undo puts it away first. Refuses to say what the tape should show.
"""

from PySide6.QtCore import QEvent, QObject, QSignalBlocker, QSize, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.bench import MeasuredState, Place, Reading, Settled, When
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.planning.measured.series import SETTLING, Step, following, step_of, steps
from fitplanner.planning.plan import Plan
from fitplanner.quantities import QuantityError, UnitSystem, unit_label
from fitplanner.ui.fields import JobUndoes
from fitplanner.ui.tape.edits import put_readings
from fitplanner.ui.tape.sights import sight_of
from fitplanner.ui.tape.typed import read_typed
from fitplanner.ui.tape.view import TapeView
from fitplanner.ui.tape.words import reading_title
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.figures import decimal_mark
from fitplanner.ui.widgets.limits import Limits
from fitplanner.ui.widgets.mark import CAUTION, OK, mark_icon
from fitplanner.ui.widgets.message_line import MessageLine
from fitplanner.ui.widgets.text import Text, quoted

_STEPS_WIDTH, _ICON = 214, 16


class Guide(QWidget):
    """Steps, drawing, sentence and field."""

    def __init__(self, history: History, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._history = history
        self._plan: Plan | None = None
        self._system = UnitSystem.METRIC
        self._when = When.BEFORE
        self._step = steps(self._when)[0]
        self._settled = Settled.ANYHOW
        self._correcting: int | None = None
        self._corrected: Reading | None = None
        self._drafts: dict[tuple[When, Step], str] = {}
        self._wrong: frozenset[int] = frozenset()
        self.words = self.tr("Reading")

        self.list = QListWidget(self)
        self.view = TapeView(self)
        self._title = Text(bold=True, scale=1.1, parent=self)
        self._how = Text(parent=self)
        self._rest_label = QLabel(self.tr("Came to &rest"), self)
        self.rest = QComboBox(self)
        self.field = QLineEdit(self)
        self._unit = QLabel(self)
        self.take_button = QPushButton(self)
        self.skip_button = QPushButton(self.tr("S&kip"), self)
        self._message = MessageLine(self)
        self._taken = Text(faint=True, parent=self)
        self._lay_out()
        self.list.currentRowChanged.connect(self._chosen)
        self.rest.activated.connect(self._rested)
        self.field.returnPressed.connect(self.take)
        self.field.textEdited.connect(self._typing)
        self.take_button.clicked.connect(self.take)
        self.skip_button.clicked.connect(self._skip)
        self._fill_list()
        self._show_step()

    def _lay_out(self) -> None:
        self.list.setAccessibleName(self.tr("Readings to take"))
        self.list.setFixedWidth(_STEPS_WIDTH)
        self.list.setIconSize(QSize(_ICON, _ICON))
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        # In the order of `Settled`: what an item carries comes back from Qt as plain text.
        self.rest.addItems([self.tr("As it came"), self.tr("Pushed down"), self.tr("Lifted")])
        self._rest_label.setBuddy(self.rest)
        self.rest.setToolTip(
            self.tr("Read both pushed down and lifted: friction then no longer blurs the reading")
        )
        self.field.setMaxLength(60)
        self.field.setMinimumWidth(110)
        self.field.setAccessibleName(self.tr("What the tape shows"))
        self._undo_keys = JobUndoes(self)
        self.field.installEventFilter(self._undo_keys)
        self.field.installEventFilter(self)
        self.take_button.setAutoDefault(False)
        self.skip_button.setAutoDefault(False)
        rest = QHBoxLayout()
        rest.addWidget(self._rest_label)
        rest.addWidget(self.rest)
        rest.addStretch(1)
        entry = QHBoxLayout()
        entry.addWidget(self.field, 1)
        entry.addWidget(self._unit)
        buttons = QHBoxLayout()
        buttons.addWidget(self.take_button)
        buttons.addWidget(self.skip_button)
        buttons.addStretch(1)
        beside = QVBoxLayout()
        beside.setSpacing(8)
        beside.addWidget(self._title)
        beside.addWidget(self._how)
        beside.addLayout(rest)
        beside.addLayout(entry)
        beside.addWidget(self._message)
        beside.addLayout(buttons)
        beside.addWidget(self._taken)
        beside.addStretch(1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(12)
        row.addWidget(self.list)
        row.addWidget(self.view, 3, Qt.AlignmentFlag.AlignTop)
        row.addLayout(beside, 4)

    # What comes from outside.

    @property
    def when(self) -> When:
        """Before or after the work."""
        return self._when

    @property
    def step(self) -> Step:
        """The step at hand."""
        return self._step

    def set_when(self, when: When) -> None:
        """Go through the readings before or after the work; what was typed waits at its step."""
        if when is not self._when:
            self._keep_draft()
            self._stop_correcting()
            self._when = when
            self._step = steps(when)[0]
            self._settled = Settled.ANYHOW
            self._fill_list()
            self._show_step()

    def show_job(self, job: Job) -> None:
        """Tick what has been read and counts."""
        row = self._correcting
        if row is not None and not (
            row < len(job.readings) and job.readings[row] == self._corrected
        ):
            self._stop_correcting()
            self._show_step()
        self._tick()

    def show_plan(self, plan: Plan) -> None:
        """Draw the machine of `plan`."""
        self._plan = plan
        self._show_sight()

    def set_system(self, system: UnitSystem) -> None:
        """Take bare figures in another unit system."""
        if system is not self._system:
            self._system = system
            self._unit.setText(unit_label(self._step.kind, system))

    def show_wrong(self, rows: frozenset[int]) -> None:
        """Mark the steps of readings that do not fit, by their rows in the job."""
        self._wrong = rows
        self._tick()

    def correct(self, row: int) -> None:
        """Let the field replace a reading of the job."""
        reading = self._history.job.readings[row]
        self.set_when(reading.when)
        self._keep_draft()
        self._step, self._settled = step_of(reading), reading.settled
        self._correcting, self._corrected = row, reading
        self._show_step()
        self.field.setText(reading.typed)
        self.field.setFocus()
        self.field.selectAll()

    def go_to(self, place: Place, state: MeasuredState) -> None:
        """Let a reading be taken next."""
        places = [(each.place, each.state) for each in steps(self._when)]
        self._chosen(places.index((place, state)))
        self.field.setFocus()

    def message(self) -> str:
        """Why the text is not taken, or ""."""
        return "" if self._message.isHidden() else self._message.text()

    def start_over(self) -> None:
        """Another job is on the table: forget what was typed."""
        self._drafts = {}
        self._tell("")
        self._stop_correcting()
        self.field.clear()
        self._step, self._settled = steps(self._when)[0], Settled.ANYHOW
        self._show_step()

    def discard(self) -> None:
        """Put text away that could not be taken."""
        kept = self._corrected
        self.field.setText("" if kept is None else kept.typed)
        self._tell("")

    def end_typing(self) -> None:
        """A reading is judged when it is taken."""

    def typed_in(self) -> QWidget:
        """The field of the reading."""
        return self.field

    def refused_line(self) -> str:
        """That the text is not used."""
        if not self.message():
            return ""
        return self.tr("{title}: {text} is not taken").format(
            title=self._step.title, text=quoted(self.field.text())
        )

    # Taking.

    def take(self) -> None:
        """Take what the field holds and go on."""
        typed = self.field.text().strip()
        step, settled = self._step, self._settled if self._step.rubs else Settled.ANYHOW
        try:
            value = read_typed(
                typed,
                Limits(step.kind, step.low, step.high),
                self._system,
                decimal_mark=decimal_mark(self.locale()),
            )
            self._put(value, typed, settled)
        except (QuantityError, DocumentError) as refusal:
            self._tell(str(refusal))
            self.field.setFocus()
            self.field.selectAll()
            return
        self._tell("")
        self.field.clear()
        self._drafts.pop((self._when, step), None)
        if self._correcting is not None:
            self._stop_correcting()
            self._show_step()
        else:
            self._go_on()
        self.field.setFocus()

    def _put(self, value: float, typed: str, settled: Settled) -> None:
        readings = list(self._history.job.readings)
        row, step = self._correcting, self._step
        if row is None:
            readings.append(
                Reading(
                    when=self._when,
                    place=step.place,
                    state=step.state,
                    settled=settled,
                    value=value,
                    spread=step.spread,
                    typed=typed,
                )
            )
            words = self.tr("Reading: {title}").format(title=reading_title(readings[-1]))
        else:
            readings[row] = readings[row].replace(value=value, typed=typed, settled=settled)
            words = self.tr("Correct: {title}").format(title=reading_title(readings[row]))
            # The list changes under the correction itself.
            self._corrected = readings[row]
        put_readings(self._history, readings, words)

    def _go_on(self) -> None:
        ahead = following(self._step, self._settled, self._when)
        if ahead is None:
            self._show_step()
            return
        self._step, self._settled = ahead
        self._show_step()

    def _skip(self) -> None:
        if self._correcting is not None:
            self._stop_correcting()
            self.field.clear()
            self._show_step()
            return
        self._keep_draft()
        row = steps(self._when).index(self._step) + 1
        self._step = steps(self._when)[row % len(steps(self._when))]
        self._show_step()
        self.field.setFocus()

    # Showing.

    def _chosen(self, row: int) -> None:
        if row < 0:
            return
        self._keep_draft()
        self._stop_correcting()
        self._step = steps(self._when)[row]
        self._show_step()

    def _rested(self, row: int) -> None:
        self._settled = list(Settled)[row]
        self._show_step()
        self.field.setFocus()

    def _typing(self, text: str) -> None:
        self._tell("")

    def _keep_draft(self) -> None:
        self._tell("")
        if self._correcting is None:
            self._drafts[self._when, self._step] = self.field.text()
        self.field.clear()

    def _stop_correcting(self) -> None:
        if self._correcting is not None:
            self._correcting = self._corrected = None
            self.field.clear()

    def _fill_list(self) -> None:
        with QSignalBlocker(self.list):
            self.list.clear()
            for each in steps(self._when):
                self.list.addItem(QListWidgetItem(each.title))
        high = self.list.sizeHintForRow(0) * self.list.count() + 2 * self.list.frameWidth()
        self.list.setFixedHeight(max(high, self.view.sizeHint().height()))
        self._tick()

    def _tick(self) -> None:
        found = self._history.job.readings
        for row, step in enumerate(steps(self._when)):
            item = self.list.item(row)
            own = [n for n, each in enumerate(found) if self._is_of(step, each)]
            read = any(not found[n].set_aside for n in own)
            meaning = CAUTION if self._wrong.intersection(own) else OK if read else ""
            # An empty icon keeps the words in line.
            item.setIcon(mark_icon(meaning, self.palette()))
            item.setText(f"{step.title}  ×{len(own)}" if len(own) > 1 else step.title)
        texts = [each.typed for each in found if self._is_of(self._step, each)]
        self._taken.setText(
            self.tr("Taken: {readings}").format(readings="; ".join(texts)) if texts else ""
        )

    def _is_of(self, step: Step, reading: Reading) -> bool:
        return reading.when is self._when and step.takes(reading)

    def _show_step(self) -> None:
        step = self._step
        with QSignalBlocker(self.list):
            self.list.setCurrentRow(steps(self._when).index(step))
        with QSignalBlocker(self.rest):
            self.rest.setCurrentIndex(list(Settled).index(self._settled))
        for part in (self._rest_label, self.rest):
            part.setVisible(step.rubs)
        fixing = self._correcting is not None
        title = self.tr("Correct: {title}").format(title=step.title) if fixing else step.title
        self._title.setText(title)
        settling = SETTLING[self._settled] if step.rubs else ""
        self._how.setText(f"{step.told(self._when)} {settling}".strip())
        self._unit.setText(unit_label(step.kind, self._system))
        self.take_button.setText(self.tr("&Replace") if fixing else self.tr("&Take and go on"))
        self.skip_button.setText(self.tr("Leave it") if fixing else self.tr("S&kip"))
        if not fixing and not self.field.text():
            self.field.setText(self._drafts.get((self._when, step), ""))
        self._show_sight()
        self._tick()

    def _show_sight(self) -> None:
        if self._plan is not None:
            settled = self._settled if self._step.rubs else Settled.ANYHOW
            self.view.show_sight(sight_of(self._plan, self._step, self._when, settled))

    def _tell(self, text: str) -> None:
        self._message.show_text(text)
        self._history.refusals.note(self, bool(text))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Escape leaves a correction, or puts text away that could not be taken."""
        if watched is self.field and isinstance(event, QKeyEvent):
            pressed = event.type() == QEvent.Type.KeyPress
            if pressed and event.key() == Qt.Key.Key_Escape:
                if self._correcting is not None:
                    self._skip()
                elif self.message():
                    self.discard()
                else:
                    return False
                return True
        return False

    def changeEvent(self, event: QEvent) -> None:
        """Marks follow the appearance."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._tick()
