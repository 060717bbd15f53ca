"""Owns the pages of one paper: head, page breaks, page numbers, and what stands at the foot.

Refuses what a paper says (`report.papers`) and devices (`pages`).
"""

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QDate, QLocale, QRectF
from PySide6.QtGui import QPageLayout, QPainter
from PySide6.QtWidgets import QApplication

from fitplanner.report.papers.paper import Paper
from fitplanner.ui.printing import pen
from fitplanner.ui.printing.pages import PaintPage
from fitplanner.ui.printing.paper import Paper as Size
from fitplanner.ui.printing.paper import upright
from fitplanner.ui.printing.pen import ALERT, FAINT, PLAIN, STRONG, Style
from fitplanner.ui.printing.strips import Maker, PaintPicture, Strip

_SIZES = (1.0, 0.96, 0.92, 0.88, 0.84, 0.8, 0.76, 0.72, 0.68, 0.64, 0.6, 0.56, 0.52)
_LONG_SIZES = (1.0, 0.96, 0.92)
_GOOD_PICTURE, _LEAST_PICTURE = 170.0, 120.0
_FOOT = 26.0
_NAME = Style(pen.TITLE, bold=True)


def _no_picture(painter: QPainter, rect: QRectF, caption: str, size: float) -> None:
    """For papers without one."""


class PaperSheet:
    """One paper, ready to be painted on pages of any size."""

    def __init__(
        self,
        paper: Paper,
        picture: PaintPicture = _no_picture,
        locale: QLocale | None = None,
    ) -> None:
        self._paper = paper
        self._picture = picture
        self._locale = locale or QLocale()

    @property
    def title(self) -> str:
        """What names the file and the print job."""
        return ", ".join(filter(None, (self._paper.name, self._paper.title or self._reference)))

    @property
    def _reference(self) -> str:
        return self._paper.reference

    def layout(self, paper: Size) -> QPageLayout:
        """Upright."""
        return upright(paper)

    def pages(self, painter: QPainter, page: QRectF) -> list[PaintPage]:
        """A function for each page that paints it on `page`, in points."""
        size, pages = self._fit(painter, page)
        inner = QRectF(0, 0, page.width() / size, page.height() / size)

        def painting(number: int) -> PaintPage:
            def paint(painter: QPainter) -> None:
                painter.save()
                painter.translate(page.topLeft())
                painter.scale(size, size)
                y = self._head(painter, inner, first=number == 0)
                for strip in pages[number]:
                    strip.paint(painter, y)
                    y += strip.height
                self._foot(painter, inner, number + 1, len(pages))
                painter.restore()

            return paint

        return [painting(number) for number in range(len(pages))]

    def _fit(self, painter: QPainter, page: QRectF) -> tuple[float, list[list[Strip]]]:
        """Text size and the strips of each page.

        A paper of one page takes the largest text that leaves a good picture, else a small one;
        where even the smallest text does not do, it takes a second page. A longer paper takes text
        that is a little smaller where that saves a page; room for notes alone makes no page.
        """
        if not self._paper.one_page:
            found = [(size, self._laid(painter, page, size, 0.0)) for size in _LONG_SIZES]
            size, pages = min(found, key=lambda each: len(each[1]))
            if len(pages) > 1 and all(strip.room for strip in pages[-1]):
                pages.pop()
            return size, pages
        for least in (_GOOD_PICTURE, _LEAST_PICTURE):
            for size in _SIZES:
                pages = self._laid(painter, page, size, least)
                if len(pages) == 1:
                    return size, pages
        return size, pages

    def _laid(
        self, painter: QPainter, page: QRectF, size: float, least_picture: float
    ) -> list[list[Strip]]:
        """The strips of each page at one size of text."""
        width, height = page.width() / size, page.height() / size
        head = self._head_height(painter, width, first=True)
        later = self._head_height(painter, width, first=False)
        maker = Maker(painter, width, self._picture, least_picture / size, size)
        room = height - self._foot_height(painter, width)
        pages = broken(list(maker.strips(self._paper.blocks)), room - head, room - later)
        left = room - head - sum(strip.height for strip in pages[0])
        pages[0] = [
            strip
            if strip.stretch is None
            else maker.pictured(strip.stretch, strip.height + max(left, 0.0))
            for strip in pages[0]
        ]
        return pages

    # Head and foot.

    def _told(self) -> list[tuple[Style, str]]:
        """Lines of the head under the paper's name."""
        reference = _tr("Reference: {reference}").format(reference=self._reference or "__________")
        return [(Style(pen.HEADING, bold=True), self._paper.title), (PLAIN, reference)]

    def _head_height(self, painter: QPainter, width: float, *, first: bool) -> float:
        if not first:
            return pen.height(painter, STRONG, width, "X") + 8
        high = pen.height(painter, _NAME, width, self._paper.name) + 3
        high += sum(pen.height(painter, style, width, text) for style, text in self._told())
        half = (width - 14) / 2
        pairs = self._pairs()
        high += sum(max(pen.height(painter, PLAIN, half, text) for text in pair) for pair in pairs)
        if self._paper.remark:
            high += pen.height(painter, ALERT, width, self._paper.remark) + 2
        return high + 8

    def _pairs(self) -> list[list[str]]:
        """The head's facts, two on a row."""
        facts = [f"{fact.label}: {fact.value}" for fact in self._paper.head]
        return [facts[n : n + 2] for n in range(0, len(facts), 2)]

    def _head(self, painter: QPainter, inner: QRectF, *, first: bool) -> float:
        """Paint the head; returns where the strips begin."""
        width = inner.width()
        end = self._head_height(painter, width, first=first)
        if not first:
            facts = (fact.value for fact in self._paper.head)
            about = self._paper.title or next(facts, "")
            pen.write(painter, STRONG, 0, 0, width, self._named(painter, width, about))
            pen.rule(painter, 0, width, end - 5, pen.INK, 0.8)
            return end
        date = self._locale.toString(QDate.currentDate(), QLocale.FormatType.ShortFormat)
        pen.write(painter, FAINT, 0, 4, width, date, right=True)
        pen.write(painter, _NAME, 0, 0, width, self._paper.name)
        y = pen.height(painter, _NAME, width, self._paper.name) + 3
        for style, text in self._told():
            pen.write(painter, style, 0, y, width, text)
            y += pen.height(painter, style, width, text)
        half = (width - 14) / 2
        for pair in self._pairs():
            for column, text in enumerate(pair):
                pen.write(painter, PLAIN, column * (half + 14), y, half, text)
            y += max(pen.height(painter, PLAIN, half, text) for text in pair)
        if self._paper.remark:
            pen.write(painter, ALERT, 0, y + 1, width, self._paper.remark)
        pen.rule(painter, 0, width, end - 4, pen.INK, 1.2)
        return end

    def _named(self, painter: QPainter, width: float, about: str) -> str:
        """Name, title and reference on one line; of a long title so much as leaves the others."""
        around = " · ".join(filter(None, (self._paper.name, "", self._reference)))
        if not about:
            return around
        left = width - pen.advance(painter, STRONG, f"{around} · ")
        named = (self._paper.name, pen.cut(painter, STRONG, left, about), self._reference)
        return " · ".join(filter(None, named))

    def _foot_height(self, painter: QPainter, width: float) -> float:
        return pen.height(painter, FAINT, width, self._paper.foot) + _FOOT

    def _foot(self, painter: QPainter, inner: QRectF, number: int, count: int) -> None:
        width = inner.width()
        high = self._foot_height(painter, width)
        y = inner.bottom() - high + 8
        pen.rule(painter, 0, width, y, pen.RULE)
        pen.write(painter, FAINT, 0, y + 3, width, self._paper.foot)
        last = inner.bottom() - pen.height(painter, FAINT, width, "X")
        pen.write(painter, FAINT, 0, last, width / 2, QApplication.applicationDisplayName())
        words = _tr("Page {number} of {count}").format(number=number, count=count)
        pen.write(painter, FAINT, width / 2, last, width / 2, words, right=True)


def broken(strips: Sequence[Strip], first: float, later: float) -> list[list[Strip]]:
    """Strips on pages: those that keep together go over together, a table's head stands again,
    spare ones are left out where a page is full.

    A strip higher than a page stands alone on one.
    """
    pages: list[list[Strip]] = [[]]
    left = first
    for group in _groups(strips):
        high = sum(strip.height for strip in group)
        if high > left and group[0].spare:
            continue
        if high > left and pages[-1]:
            pages.append([])
            left = later
            again = group[0].head
            if again is not None:
                group = [again, *group]
                high += again.height
        pages[-1] += group
        left -= high
    return pages


def _groups(strips: Sequence[Strip]) -> list[list[Strip]]:
    """Strips that must stand on one page."""
    groups: list[list[Strip]] = []
    open_group = False
    for strip in strips:
        if open_group:
            groups[-1].append(strip)
        else:
            groups.append([strip])
        open_group = strip.keep
    return groups


def _tr(text: str) -> str:
    return QCoreApplication.translate("Printing", text)
