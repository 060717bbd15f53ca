"""Owns how each block of a paper becomes strips: what may stand alone on a page, and its look.

A strip is never cut. Refuses to break pages: `sheet` does.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from fitplanner.report.papers.paper import (
    Block,
    Fact,
    Facts,
    Grid,
    Heading,
    Line,
    Picture,
    Ruled,
    Task,
    Words,
)
from fitplanner.ui.printing import pen
from fitplanner.ui.printing.pen import ALERT, FAINT, PLAIN, STRONG, Style

Paint = Callable[[QPainter, float], None]

_GAP, _PAD, _END = 4.0, 3.0, 4.0
_BOX, _NUMBER = 10.0, 18.0
_INDENT = _BOX + 5.0 + _NUMBER
_FACTS_SHARE, _COLUMN_GAP = 0.40, 14.0
_LINE_HEIGHT, _MOST_COLUMNS = 17.0, 3
_FIGURE_RULE, _WORD_RULE = 48.0, 90.0
_RULED_HEIGHT, _FEWEST_RULED = 20.0, 2
_SIGN = 9.0


@dataclass(frozen=True)
class Strip:
    """A part that stays in one piece.

    `keep`: the next strip stands on the same page. `head`: what stands again where a page begins
    with this strip. `stretch`: the picture that takes what the page has left, at least `height`.
    `spare`: left out where the page is full. `room`: to write on, and no page by itself.
    """

    height: float
    paint: Paint
    keep: bool = False
    head: "Strip | None" = None
    stretch: Picture | None = None
    spare: bool = False
    room: bool = False


PaintPicture = Callable[[QPainter, QRectF, str, float], None]
"""Paints the picture with its caption; the last is the size of the paper's text, 1 for full."""


@dataclass(frozen=True)
class Maker:
    """Makes strips for a width; `painter` measures, `picture` paints the picture."""

    painter: QPainter
    width: float
    picture: PaintPicture
    least_picture: float
    size: float = 1.0

    def strips(self, blocks: Sequence[Block]) -> Iterator[Strip]:
        """The strips of all blocks, from the top."""
        for block in blocks:
            match block:
                case Heading():
                    yield self._heading(block)
                case Words():
                    yield self._words(block)
                case Task():
                    yield self._task(block)
                case Grid():
                    yield from self._grid(block)
                case Facts():
                    yield self._facts(block)
                case Ruled():
                    yield from self._ruled(block)
                case Picture():
                    yield self._picture(block)

    def _high(self, style: Style, width: float, text: str) -> float:
        return pen.height(self.painter, style, width, text)

    def _heading(self, block: Heading) -> Strip:
        style = Style(pen.HEADING, bold=True)
        high = self._high(style, self.width, block.text)

        def paint(painter: QPainter, y: float) -> None:
            pen.write(painter, style, 0, y + 7, self.width, block.text)
            pen.rule(painter, 0, self.width, y + 7 + high + 1, pen.INK, 0.8)

        return Strip(high + 12, paint, keep=True)

    def _words(self, block: Words) -> Strip:
        if block.tone == "caution":
            high = self._caution(block.text, self.width)

            def paint_caution(painter: QPainter, y: float) -> None:
                self._paint_caution(painter, 0, y, self.width, block.text)

            return Strip(high, paint_caution)
        style = {"strong": Style(pen.TEXT + 1, bold=True), "quiet": FAINT}.get(block.tone, PLAIN)
        high = self._high(style, self.width, block.text)

        def paint(painter: QPainter, y: float) -> None:
            pen.write(painter, style, 0, y + 1, self.width, block.text)

        return Strip(high + _GAP, paint)

    def _caution(self, text: str, width: float) -> float:
        return self._high(ALERT, width - _SIGN - _GAP, text) + 2

    def _paint_caution(
        self, painter: QPainter, x: float, y: float, width: float, text: str
    ) -> None:
        pen.triangle(painter, x, y + 1, _SIGN)
        pen.write(painter, ALERT, x + _SIGN + _GAP, y, width - _SIGN - _GAP, text)

    # A step.

    def _task(self, task: Task) -> Strip:
        left = _INDENT if task.number else _BOX + 5.0
        wide = self.width - left
        facts_wide = wide * _FACTS_SHARE if task.facts else 0.0
        text_wide = wide - facts_wide - (_COLUMN_GAP if task.facts else 0.0)
        # The mark never stands alone on a line.
        words = f"{task.text}\N{NO-BREAK SPACE}{task.mark}".rstrip()
        tools = f"Tools: {task.tools}" if task.tools else ""
        noted = f"Noted: {task.noted}" if task.noted else ""
        parts = [(PLAIN, words), (FAINT, tools), (STRONG, noted)]
        texts = [(style, text, self._high(style, text_wide, text)) for style, text in parts]
        rows = [self._fact_height(fact, facts_wide) for fact in task.facts]
        upper = max(sum(high for *_, high in texts), sum(rows), _BOX)
        cautions = [(text, self._caution(text, wide)) for text in task.cautions]
        torque_head = self._high(FAINT, wide, task.torques_from) + 3 if task.torques else 0.0
        blocks = [
            (lines, self._columns(lines, wide)) for lines in (task.torques, task.lines) if lines
        ]
        lower = torque_head + sum(
            _LINE_HEIGHT * -(-len(lines) // per_row) for lines, per_row in blocks
        )
        middle = sum(high + 1 for _, high in cautions)

        def paint(painter: QPainter, y: float) -> None:
            y += _PAD
            pen.box(painter, 0.5, y + 0.5, _BOX - 1, ticked=task.ticked)
            pen.write(painter, STRONG, _BOX + 5, y, _NUMBER, task.number)
            at = y
            for style, text, high in texts:
                pen.write(painter, style, left, at, text_wide, text)
                at += high
            at = y
            for fact, high in zip(task.facts, rows, strict=True):
                self._paint_fact(painter, self.width - facts_wide, at, facts_wide, fact)
                at += high
            at = y + upper
            for text, high in cautions:
                self._paint_caution(painter, left, at + 1, wide, text)
                at += high + 1
            if task.torques:
                pen.write(painter, FAINT, left, at + 3, wide, task.torques_from)
                at += torque_head
            for lines, per_row in blocks:
                self._paint_lines(painter, left, at, wide, lines, per_row)
                at += _LINE_HEIGHT * -(-len(lines) // per_row)
            pen.rule(painter, 0, self.width, y + upper + middle + lower + _END, pen.LINE)

        return Strip(_PAD + upper + middle + lower + _END, paint)

    # Facts and lines to write on.

    @staticmethod
    def _value_width(painter: QPainter, fact: Fact, width: float) -> float:
        return min(pen.advance(painter, STRONG, fact.value) + 2, 0.6 * width)

    def _fact_height(self, fact: Fact, width: float) -> float:
        value = self._value_width(self.painter, fact, width)
        label = self._high(PLAIN, width - value - _GAP, fact.label)
        return max(label, self._high(STRONG, value, fact.value)) + 1

    def _paint_fact(self, painter: QPainter, x: float, y: float, width: float, fact: Fact) -> None:
        value = self._value_width(painter, fact, width)
        pen.write(painter, Style(ink=pen.QUIET), x, y, width - value - _GAP, fact.label)
        pen.write(painter, STRONG, x + width - value, y, value, fact.value, right=True)

    def _columns(self, lines: Sequence[Line], width: float) -> int:
        """How many lines stand side by side, so that each keeps room to write."""
        if not lines:
            return 1
        longest = max(
            pen.advance(self.painter, FAINT, line.label)
            + pen.advance(self.painter, FAINT, line.unit)
            + max(
                _FIGURE_RULE if line.unit else _WORD_RULE,
                pen.advance(self.painter, STRONG, line.value) + 8,
            )
            + _COLUMN_GAP
            for line in lines
        )
        return max(1, min(_MOST_COLUMNS, int((width + _COLUMN_GAP) / longest)))

    def _paint_lines(
        self,
        painter: QPainter,
        x: float,
        y: float,
        width: float,
        lines: Sequence[Line],
        per_row: int,
    ) -> None:
        cell = (width + _COLUMN_GAP) / per_row
        for number, line in enumerate(lines):
            row, column = divmod(number, per_row)
            at = x + column * cell
            self._paint_line(painter, at, y + row * _LINE_HEIGHT, cell - _COLUMN_GAP, line)

    def _paint_line(self, painter: QPainter, x: float, y: float, width: float, line: Line) -> None:
        label = pen.advance(painter, FAINT, line.label) + _GAP
        unit = pen.advance(painter, FAINT, line.unit) + _GAP if line.unit else 0.0
        pen.write(painter, FAINT, x, y + 4, label + 2, line.label)
        pen.rule(painter, x + label, x + width - unit, y + 14)
        pen.write(painter, STRONG, x + label + 2, y + 2.5, width - label - unit, line.value)
        pen.write(painter, FAINT, x + width - unit + _GAP, y + 4, unit + 2, line.unit)

    def _facts(self, block: Facts) -> Strip:
        half = (self.width - _COLUMN_GAP) / 2
        pairs = [block.facts[n : n + 2] for n in range(0, len(block.facts), 2)]
        rows = [max(self._fact_height(fact, half) for fact in pair) for pair in pairs]
        per_row = self._columns(block.lines, self.width)
        lower = _LINE_HEIGHT * -(-len(block.lines) // per_row)

        def paint(painter: QPainter, y: float) -> None:
            for pair, high in zip(pairs, rows, strict=True):
                for column, fact in enumerate(pair):
                    x = column * (half + _COLUMN_GAP)
                    self._paint_fact(painter, x, y + 1, half, fact)
                y += high
            self._paint_lines(painter, 0, y, self.width, block.lines, per_row)

        return Strip(sum(rows) + lower + _GAP, paint)

    # Tables.

    def _grid(self, grid: Grid) -> Iterator[Strip]:
        head = self._row(grid, grid.heads, head=True)
        if any(grid.heads):
            yield head
        for number, row in enumerate(grid.rows):
            last = grid.total and number == len(grid.rows) - 1
            yield self._row(
                grid,
                row,
                strong=last,
                keep=grid.total and number == len(grid.rows) - 2,
                under=head,
            )

    def _row(
        self,
        grid: Grid,
        cells: Sequence[str],
        *,
        head: bool = False,
        strong: bool = False,
        keep: bool = False,
        under: Strip | None = None,
    ) -> Strip:
        style = Style(pen.SMALL, bold=True, ink=pen.QUIET) if head else STRONG if strong else PLAIN
        edges = [self.width * sum(grid.widths[:n]) for n in range(len(cells))]
        wides = [self.width * share - 10 for share in grid.widths]
        high = max(self._high(style, wide, text) for wide, text in zip(wides, cells, strict=True))

        def paint(painter: QPainter, y: float) -> None:
            for x, wide, text, right in zip(edges, wides, cells, grid.right, strict=True):
                pen.write(painter, style, x, y + _PAD, wide, text, right=right)
            ink = pen.RULE if head or keep else pen.LINE
            pen.rule(painter, 0, self.width, y + high + 2 * _PAD, ink)

        return Strip(high + 2 * _PAD + 0.5, paint, keep=head or keep, head=under)

    # Room.

    def _ruled(self, block: Ruled) -> Iterator[Strip]:
        head = self._high(STRONG, self.width, block.label)

        def paint(painter: QPainter, y: float) -> None:
            pen.write(painter, STRONG, 0, y + 8, self.width, block.label)

        def paint_line(painter: QPainter, y: float) -> None:
            pen.rule(painter, 0, self.width, y + _RULED_HEIGHT)

        yield Strip(10 + head, paint, keep=True, room=True)
        for number in range(block.lines):
            few = number < _FEWEST_RULED
            keep = number < _FEWEST_RULED - 1
            yield Strip(_RULED_HEIGHT, paint_line, keep=keep, spare=not few, room=True)

    def _picture(self, block: Picture) -> Strip:
        return self.pictured(block, self.least_picture)

    def pictured(self, block: Picture, high: float) -> Strip:
        """The picture as high as the page has room for."""

        def paint(painter: QPainter, y: float) -> None:
            self.picture(painter, QRectF(0, y, self.width, high), block.caption, self.size)

        return Strip(high, paint, stretch=block)
