"""Owns the printed page of a comparison: one sheet on its side, pictures to one scale.

Text is as large as lets everything stand on one page. Refuses to work anything out: its rows are
those of the report.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication, QDate, QLocale, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPageLayout, QPainter, QPen
from PySide6.QtWidgets import QApplication

from fitplanner.outline import Scene
from fitplanner.report.compare import Comparison
from fitplanner.ui.compare.pictures import alone, cameras
from fitplanner.ui.picture import FormatLength, paint_scene
from fitplanner.ui.picture.layout import arrange
from fitplanner.ui.printing.pages import PaintPage
from fitplanner.ui.printing.paper import POINTS_PER_INCH, Paper, on_its_side, paper_font

_TEXT, _SMALL, _HEAD, _TITLE = 8, 7, 9, 13
_SECTION, _LABEL, _GAP, _PAD = 62.0, 132.0, 6.0, 1.4
_SIZES = (1.15, 1.1, 1.05, 1.0, 0.96, 0.92, 0.88, 0.84, 0.8, 0.76, 0.72, 0.68, 0.64, 0.6)
_GOOD_PICTURE, _LEAST_PICTURE = 150.0, 105.0
_MM_PER_POINT = 25.4 / POINTS_PER_INCH
# A picture is laid out for a screen; on paper its words are this much smaller.
_PICTURE = 0.62

_INK, _QUIET, _LINE = QColor("#1b2126"), QColor("#545b62"), QColor("#c4c4be")
_WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop


@dataclass(frozen=True)
class _Heights:
    """How high each part of the page is, in its own units."""

    title: float
    heads: float
    rows: tuple[tuple[float, ...], ...]
    foot: float

    @property
    def all(self) -> float:
        """Without the pictures."""
        return self.title + self.heads + sum(map(sum, self.rows)) + self.foot + 3 * _GAP


class ComparisonSheet:
    """One comparison, ready to be painted on paper of any size."""

    def __init__(
        self,
        comparison: Comparison,
        scenes: Sequence[Scene | None],
        format_length: FormatLength,
        state: str,
        locale: QLocale | None = None,
    ) -> None:
        self._comparison = comparison
        self._scenes = [None if scene is None else alone(scene) for scene in scenes]
        self._write = format_length
        self._state = state
        self._locale = locale or QLocale()

    @property
    def title(self) -> str:
        """The page's title."""
        return self._comparison.title

    def layout(self, paper: Paper) -> QPageLayout:
        """On its side."""
        return on_its_side(paper)

    def pages(self, painter: QPainter, page: QRectF) -> list[PaintPage]:
        """The function that paints its one page on `page`, in points."""
        return [lambda painter: self._paint(painter, page)]

    def _paint(self, painter: QPainter, page: QRectF) -> None:
        painter.save()
        painter.translate(page.topLeft())
        size, inner, heights = self._fit(painter, page)
        painter.scale(size, size)
        y = self._title(painter, inner, heights.title)
        y = self._heads(painter, inner, y, heights.heads)
        room = QRectF(0, y, inner.width(), inner.height() - heights.all)
        self._pictures(painter, room, size)
        y = self._rows(painter, inner, room.bottom() + _GAP, heights.rows)
        self._foot(painter, QRectF(0, y + _GAP, inner.width(), heights.foot))
        painter.restore()

    def _fit(self, painter: QPainter, page: QRectF) -> tuple[float, QRectF, _Heights]:
        """The largest text with good pictures, else with small ones."""
        tried = []
        for size in _SIZES:
            inner = QRectF(0, 0, page.width() / size, page.height() / size)
            heights = self._measure(painter, inner)
            left = (inner.height() - heights.all) * size
            tried.append((left, size, inner, heights))
            if left >= (_GOOD_PICTURE if size > 0.9 else _LEAST_PICTURE):
                break
        left, size, inner, heights = tried[-1]
        return size, inner, heights

    # Columns.

    def _column(self, inner: QRectF, number: int) -> QRectF:
        """Left edge and width of a plan's column."""
        count = len(self._comparison.columns)
        width = (inner.width() - _SECTION - _LABEL) / count
        left = _SECTION + _LABEL + number * width
        return QRectF(left, 0, width - _GAP, 0)

    def _measure(self, painter: QPainter, inner: QRectF) -> _Heights:
        of = self._comparison
        text, bold = paper_font(_TEXT), paper_font(_TEXT, bold=True)
        width = self._column(inner, 0).width()
        heads = [
            _height(painter, paper_font(_HEAD, bold=True), width, _head(n, column.title))
            + _height(painter, text, width, column.machine)
            for n, column in enumerate(of.columns, 1)
        ]
        rows = tuple(
            tuple(
                2 * _PAD
                + max(
                    _height(painter, text, _LABEL - _GAP, row.label),
                    *(
                        _height(painter, bold if c.change else text, width, c.words)
                        for c in row.cells
                    ),
                )
                for row in section.rows
            )
            for section in of.sections
        )
        title = _height(painter, paper_font(_TITLE, bold=True), inner.width(), of.title)
        rider = _height(painter, text, inner.width(), _below_title(of))
        foot = self._foot(painter, QRectF(0, 0, inner.width(), 0), measure=True)
        return _Heights(title + rider + _GAP, max(heads) + _GAP, rows, foot)

    # Parts, from the top.

    def _title(self, painter: QPainter, inner: QRectF, height: float) -> float:
        of = self._comparison
        date = self._locale.toString(QDate.currentDate(), QLocale.FormatType.ShortFormat)
        right = " · ".join(part for part in (QApplication.applicationDisplayName(), date) if part)
        _write(painter, paper_font(_SMALL), _QUIET, inner, right, _RIGHT)
        y = _write(painter, paper_font(_TITLE, bold=True), _INK, inner, of.title)
        _write(painter, paper_font(_TEXT), _INK, inner.translated(0, y), _below_title(of))
        return height

    def _heads(self, painter: QPainter, inner: QRectF, y: float, height: float) -> float:
        text = paper_font(_TEXT)
        for number, column in enumerate(self._comparison.columns):
            box = self._column(inner, number)
            box = QRectF(box.left(), y, box.width(), height)
            bold = paper_font(_HEAD, bold=True)
            used = _write(painter, bold, _INK, box, _head(number + 1, column.title))
            _write(painter, text, _QUIET, box.translated(0, used), column.machine)
        return y + height

    def _pictures(self, painter: QPainter, room: QRectF, size: float) -> None:
        places = [
            (self._screen(self._column(room, number), room), scene)
            for number, scene in enumerate(self._scenes)
            if scene is not None
        ]
        font = paper_font(_TEXT)
        found = cameras(places, self._write, font)
        painter.save()
        painter.scale(_PICTURE, _PICTURE)
        painter.setFont(font)
        scale = 0.0
        for (rect, scene), camera in zip(places, found, strict=True):
            paint_scene(painter, rect, scene, format_length=self._write, camera=camera)
            scale = arrange(rect, scene, self._write, font, camera).scale
        painter.restore()
        words = [_tr("State in the pictures: {state}").format(state=self._state.lower())]
        if scale:
            ratio = 1 / (scale * _PICTURE * size * _MM_PER_POINT)
            words.append(_tr("All to one scale, about 1 : {n}").format(n=round(ratio)))
        words.append(_tr("Bold with a change or ≠: unlike column 1"))
        side = QRectF(0, room.top(), _SECTION + _LABEL - 2 * _GAP, room.height())
        _write(painter, paper_font(_SMALL), _QUIET, side, "\n".join(words))

    @staticmethod
    def _screen(column: QRectF, room: QRectF) -> QRectF:
        """A picture's rectangle in the units in which it is painted."""
        height = max(room.height(), 1.0)
        edges = (column.left(), room.top(), column.width(), height)
        return QRectF(*(edge / _PICTURE for edge in edges))

    def _rows(
        self, painter: QPainter, inner: QRectF, y: float, heights: Sequence[Sequence[float]]
    ) -> float:
        text, bold = paper_font(_TEXT), paper_font(_TEXT, bold=True)
        for section, of_rows in zip(self._comparison.sections, heights, strict=True):
            if not section.rows:
                continue
            _rule(painter, 0.0, inner.width(), y, _QUIET)
            box = QRectF(0, y + _PAD, _SECTION - _GAP, sum(of_rows))
            _write(painter, bold, _INK, box, section.title)
            for number, (row, height) in enumerate(zip(section.rows, of_rows, strict=True)):
                if number:
                    _rule(painter, _SECTION, inner.width(), y, _LINE)
                label = QRectF(_SECTION, y + _PAD, _LABEL - _GAP, height)
                _write(painter, text, _QUIET, label, row.label)
                for place, cell in enumerate(row.cells):
                    at = self._column(inner, place)
                    box = QRectF(at.left(), y + _PAD, at.width(), height)
                    _write(painter, bold if cell.change else text, _INK, box, cell.words)
                y += height
        _rule(painter, 0.0, inner.width(), y, _QUIET)
        return y

    def _foot(self, painter: QPainter, box: QRectF, *, measure: bool = False) -> float:
        """Cautions to the left, what was not known to the right; returns the height."""
        of = self._comparison
        cautions = " ".join(f"{step}: {text}" for step, text in of.cautions)
        unknown = " ".join(f"{_sentence(text)}" for text in of.unknown) or _tr("Nothing.")
        blocks = (
            (0.0, 0.6, _tr("Cautions"), cautions),
            (0.6, 0.4, _tr("What was not known"), unknown),
        )
        highest = 0.0
        for left, share, heading, words in blocks:
            width = share * box.width() - (_GAP if left == 0.0 else 0.0)
            bold, small = paper_font(_SMALL, bold=True), paper_font(_SMALL)
            top = _height(painter, bold, width, heading)
            highest = max(highest, top + _height(painter, small, width, words))
            if not measure:
                at = QRectF(box.left() + left * box.width(), box.top(), width, box.height())
                _write(painter, bold, _INK, at, heading)
                _write(painter, small, _INK, at.translated(0, top), words)
        return highest


def _below_title(of: Comparison) -> str:
    """Whom it was worked out for, and what holds for all columns."""
    return "\n".join((of.rider, " ".join(of.notes))).strip()


def _head(number: int, title: str) -> str:
    return f"{number}  {title}"


def _sentence(text: str) -> str:
    return text if text.endswith(".") else f"{text}."


def _height(painter: QPainter, font: QFont, width: float, text: str) -> float:
    painter.setFont(font)
    return painter.boundingRect(QRectF(0, 0, width, 1e4), int(_WRAP), text).height()


def _write(
    painter: QPainter,
    font: QFont,
    colour: QColor,
    box: QRectF,
    text: str,
    flags: Qt.AlignmentFlag | None = None,
) -> float:
    """Write from the top of `box`; returns the height used."""
    painter.setFont(font)
    painter.setPen(colour)
    room = QRectF(box.left(), box.top(), box.width(), 1e4)
    how = int(_WRAP) if flags is None else int(flags)
    used = painter.boundingRect(room, how, text)
    painter.drawText(room, how, text)
    return used.height()


def _rule(painter: QPainter, left: float, right: float, y: float, colour: QColor) -> None:
    painter.setPen(QPen(colour, 0.4))
    painter.drawLine(QPointF(left, y), QPointF(right, y))


def _tr(text: str) -> str:
    return QCoreApplication.translate("Printing", text)
