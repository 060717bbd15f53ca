"""Owns the look of one step on the screen: box, words, large figures, cautions, torque, note.

A row is kept while its step is in the plan, so that nothing that is typed in it is lost. Refuses
to change the job: it says what was ticked.
"""

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from fitplanner.planning.bench import Quantity, Step, TorqueLine
from fitplanner.quantities import Kind
from fitplanner.ui.bench.notes import NoteEntry
from fitplanner.ui.undo import History
from fitplanner.ui.widgets.caution_line import CautionLine
from fitplanner.ui.widgets.figures import Figures
from fitplanner.ui.widgets.text import Text
from fitplanner.ui.widgets.tick_box import TickBox

FIGURE_SCALE = 2.0
"""Digits stand 16 minutes of arc high at one metre on a usual screen: the least that is read
without effort (ISO 9241-303, from memory)."""
WORDS_SCALE = 1.2
_NOTE_WIDTH, _NUMBER_WIDTH, _TILE_WIDTH = 220, 30, 156
_MOST_PROMPTS = 2
HABIT = "†"


class Tile(QWidget):
    """A figure to work to, with its name below."""

    def __init__(self) -> None:
        super().__init__()
        self._value = Text(scale=FIGURE_SCALE, bold=True, wrap=False)
        self._label = Text(faint=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._value)
        column.addWidget(self._label)
        column.addStretch(1)

    def show_quantity(
        self, quantity: Quantity, figures: Figures, *, faint: bool, taped: bool
    ) -> None:
        """Show it; a faint one is done, lengths of a `taped` one are those of a tape."""
        self._value.setText(
            _written(quantity.value, quantity.kind, quantity.decimals, figures, taped=taped)
        )
        self._value.set_look(bold=True, faint=faint)
        self._label.setText(quantity.label)

    def least_width(self) -> int:
        """How wide it has to be for its figure to stand whole."""
        return max(_TILE_WIDTH, self._value.sizeHint().width())

    def words(self) -> tuple[str, str]:
        """Figure and name as shown."""
        return self._value.text(), self._label.text()


class Tiles(QWidget):
    """Figures side by side, as many as there is room for."""

    def __init__(self) -> None:
        super().__init__()
        self._tiles: list[Tile] = []
        self._arranged = (0, 0, 0)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 4, 0, 2)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(6)

    def show_quantities(
        self, quantities: Sequence[Quantity], figures: Figures, *, faint: bool, taped: bool
    ) -> None:
        """Show these."""
        while len(self._tiles) > len(quantities):
            tile = self._tiles.pop()
            self._grid.removeWidget(tile)
            tile.hide()
            tile.deleteLater()
        while len(self._tiles) < len(quantities):
            self._tiles.append(Tile())
        for tile, quantity in zip(self._tiles, quantities, strict=True):
            tile.show_quantity(quantity, figures, faint=faint, taped=taped)
        self._arrange()
        self.setVisible(bool(quantities))

    def words(self) -> list[tuple[str, str]]:
        """Figures and names as shown."""
        return [tile.words() for tile in self._tiles]

    def minimumSizeHint(self) -> QSize:
        """One figure wide: those side by side must not hold the page wider than it is."""
        return QSize(self._arranged[1], super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Arrange for the width."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        wide = max((tile.least_width() for tile in self._tiles), default=_TILE_WIDTH)
        gap = self._grid.horizontalSpacing()
        per_row = max(1, (self.width() + gap) // (wide + gap))
        arranged = (len(self._tiles), wide, per_row)
        if arranged == self._arranged:
            return
        self._grid.setColumnStretch(self._arranged[2], 0)
        self._grid.setColumnStretch(per_row, 1)
        self._arranged = arranged
        for number, tile in enumerate(self._tiles):
            tile.setFixedWidth(wide)
            self._grid.addWidget(tile, number // per_row, number % per_row)


class StepRow(QWidget):
    """One step."""

    ticked = Signal(str, bool)
    """Key of the step, and whether it is done as it stands now."""

    def __init__(self, history: History, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._key = key
        self.box = TickBox()
        self.box.clicked.connect(self._box_clicked)
        self._number = Text(bold=True, scale=WORDS_SCALE, wrap=False)
        self._number.setFixedWidth(_NUMBER_WIDTH)
        self._words = Text(scale=WORDS_SCALE)
        self._tools = Text(faint=True)
        self.tiles = Tiles()
        self._changed = CautionLine(scale=WORDS_SCALE)
        self.again_button = QPushButton(_tr("Done as it is now"))
        self.again_button.clicked.connect(self._again_clicked)
        self._cautions: list[CautionLine] = []
        self._torque = Text(scale=WORDS_SCALE)
        self._read = Text(faint=True)
        self.note = NoteEntry(history, key, _tr("Note"))
        self.note.setFixedWidth(_NOTE_WIDTH)
        self._lay_out()

    def _lay_out(self) -> None:
        changed = self._changed_line = QWidget()
        line = QHBoxLayout(changed)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(self._changed, 1)
        line.addWidget(self.again_button, 0, Qt.AlignmentFlag.AlignTop)
        self._caution_column = QVBoxLayout()
        self._caution_column.setSpacing(2)
        column = QVBoxLayout()
        column.setSpacing(3)
        for widget in (self._words, self._tools, changed, self.tiles):
            column.addWidget(widget)
        column.addLayout(self._caution_column)
        column.addWidget(self._torque)
        column.addWidget(self._read)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 6, 0, 8)
        row.setSpacing(8)
        top = Qt.AlignmentFlag.AlignTop
        row.addWidget(self.box, 0, top)
        row.addWidget(self._number, 0, top)
        row.addLayout(column, 1)
        row.addSpacing(8)
        row.addWidget(self.note, 0, top)

    def show_step(self, number: int, step: Step, figures: Figures) -> None:
        """Show the step as the plan and the job have it now."""
        words = figures.sentence(step.text)
        self.box.setChecked(step.done)
        self.box.setAccessibleName(_tr("Step {n}: {words}").format(n=number, words=words))
        self._number.setText(str(number))
        self._words.setText(f"{words}\N{NO-BREAK SPACE}{HABIT}" if step.habit else words)
        faint = step.done and not step.was
        self._words.set_look(faint=faint)
        _show(self._tools, _tr("Tools: {tools}"), tools=", ".join(step.tools))
        self._show_changed(step, figures)
        self.tiles.show_quantities(step.quantities, figures, faint=faint, taped=step.taped)
        self._show_cautions([figures.sentence(each.text) for each in step.cautions])
        self._torque.setText(_torque_words(step.torques))
        self._torque.setVisible(bool(step.torques))
        read = [
            f"{blank.label} {_written(blank.value, blank.kind, 1, figures, taped=step.taped)}"
            for blank in step.blanks
            if blank.value is not None and blank.kind is not None
        ]
        _show(self._read, _tr("Read: {readings}"), readings="; ".join(read))
        prompts = [blank.label for blank in step.blanks if blank.value is None]
        short = 0 < len(prompts) <= _MOST_PROMPTS
        self.note.setPlaceholderText("; ".join(prompts) if short else _tr("Note"))
        self.note.setAccessibleName(_tr("Note at step {n}").format(n=number))
        self.note.words = self.note.accessibleName()

    def words(self) -> list[str]:
        """All that is said beside the figures."""
        lines = (self._words, self._tools, self._torque, self._read)
        said = [line.text() for line in lines if line.text()]
        said += [caution.text() for caution in self._cautions]
        return [*said, self.changed_words()] if self.changed_words() else said

    def changed_words(self) -> str:
        """What is said of a step that is not what was ticked; "" where it is."""
        return self._changed.text()

    def _show_changed(self, step: Step, figures: Figures) -> None:
        was = figures.sentence(step.was)
        words = _tr("Changed since it was ticked. Then: {was}").format(was=was) if was else ""
        self._changed.show_caution("", words)
        self._changed_line.setVisible(bool(was))

    def _show_cautions(self, texts: Sequence[str]) -> None:
        while len(self._cautions) > len(texts):
            line = self._cautions.pop()
            self._caution_column.removeWidget(line)
            line.hide()
            line.deleteLater()
        while len(self._cautions) < len(texts):
            line = CautionLine(scale=WORDS_SCALE)
            self._caution_column.addWidget(line)
            self._cautions.append(line)
        for line, text in zip(self._cautions, texts, strict=True):
            line.show_caution("", text)

    def _box_clicked(self, done: bool) -> None:
        self.ticked.emit(self._key, done)

    def _again_clicked(self) -> None:
        self.ticked.emit(self._key, True)


def _written(
    value: float, kind: Kind, decimals: int | None, figures: Figures, *, taped: bool
) -> str:
    if taped and kind is Kind.LENGTH:
        return figures.tape(value, decimals=decimals)
    return figures.text(value, kind, decimals=decimals)


def _torque_words(lines: Sequence[TorqueLine]) -> str:
    """Quoted torques with their source, and what has to be looked up; never a made-up one."""
    said = [
        _tr("Torque, {what}: {torque} ({source})").format(
            what=line.label, torque=line.words, source=line.source
        )
        for line in lines
        if line.words
    ]
    missing = ", ".join(line.label for line in lines if not line.words)
    if missing:
        said.append(_tr("Torque from the maker's manual: {what}").format(what=missing))
    return "\n".join(said)


def _show(line: Text, words: str, **what: str) -> None:
    """Show the words with what belongs in them, or nothing where that is empty."""
    filled = all(what.values())
    line.setText(words.format(**what) if filled else "")
    line.setVisible(filled)


def _tr(text: str) -> str:
    return QCoreApplication.translate("Bench", text)
