"""The printed page: its size, its text read back, its drawings, and files that fail."""

from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
from PySide6.QtCore import QLocale, QRectF, QTimer
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from fitplanner.documents.preferences import Rates
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan
from fitplanner.quantities import Kind, UnitSystem, format_quantity
from fitplanner.report.compare import Comparison, Entry, compare, stock_choices
from fitplanner.store.files import StoreError
from fitplanner.ui.compare.window import CompareWindow
from fitplanner.ui.printing.comparison import ComparisonSheet
from fitplanner.ui.printing.pages import preview, write_pages
from fitplanner.ui.printing.paper import Paper, paper_of
from fitplanner.ui.texts import chance_words
from fitplanner.ui.theme import FONT_FAMILY
from tests import factories
from tests.gui.looking import squeezed
from tests.gui.shell import Answers, library

MM_PER_POINT = 25.4 / 72.0
# ISO 216, A4 on its side; ANSI/ASME Y14.1 size A (Letter, 8 1/2 by 11 in) on its side.
SIDES_MM = {Paper.A4: (297.0, 210.0), Paper.LETTER: (11 * 25.4, 8.5 * 25.4)}
EVERY = pytest.mark.parametrize(
    ("paper", "system"),
    [(paper, system) for paper in Paper for system in (UnitSystem.METRIC, UnitSystem.INCH)],
)


def entries(count: int) -> list[Entry]:
    """Stock machine, a plan by hand, the planner's own, and another machine."""
    job = factories.job(choices={"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0})
    free = factories.job()
    jobs = [
        ("Stock machine", job.replace(choices=stock_choices(job))),
        ("Keeps the most travel of all that reach", job),
        ("Cheapest", free),
        ("As the planner chooses", free.replace(machine=library()["other-bike"])),
    ]
    return [
        Entry(title, of, evaluate(of), 120.5 * number, 1.5 * number, 0.75 if number else None)
        for number, (title, of) in enumerate(jobs[:count])
    ]


def sheet_of(found: list[Entry], system: UnitSystem) -> tuple[Comparison, ComparisonSheet]:
    comparison = compare(found, system, money=lambda amount: f"€{amount:.2f}", chance=chance_words)

    def length(value_mm: float) -> str:
        return format_quantity(value_mm, Kind.LENGTH, system)

    scenes = [entry.plan.pictures.side["stopped"] for entry in found]
    return comparison, ComparisonSheet(comparison, scenes, length, "Stopped")


@EVERY
def test_the_page_says_every_row_and_can_be_searched(
    qapp: QApplication, tmp_path: Path, paper: Paper, system: UnitSystem
) -> None:
    comparison, sheet = sheet_of(entries(4), system)
    file = tmp_path / "page.pdf"
    write_pages(file, sheet, paper)
    reader = pypdf.PdfReader(file)
    assert len(reader.pages) == 1
    (page,) = reader.pages
    sides = [float(side) * MM_PER_POINT for side in page.mediabox[2:]]
    assert sides == pytest.approx(SIDES_MM[paper], abs=0.4)
    assert reader.metadata is not None and reader.metadata.title == sheet.title
    text = squeezed(page.extract_text())
    told = [comparison.title, comparison.rider, *comparison.notes]
    told += [column.title for column in comparison.columns]
    told += [column.machine for column in comparison.columns]
    for section in comparison.sections:
        told.append(section.title)
        for row in section.rows:
            told += [row.label, *(cell.words for cell in row.cells)]
    told += [words for caution in comparison.cautions for words in caution]
    told += list(comparison.unknown)
    missing = [words for words in told if squeezed(words) not in text]
    assert missing == []
    assert ("in" in text) and (system is UnitSystem.METRIC or "mm" not in text)


def test_the_drawings_are_lines_and_the_font_is_the_bundled_one(
    qapp: QApplication, tmp_path: Path
) -> None:
    _, sheet = sheet_of(entries(2), UnitSystem.METRIC)
    file = tmp_path / "page.pdf"
    write_pages(file, sheet, Paper.A4)
    (page,) = pypdf.PdfReader(file).pages
    assert list(page.images) == []
    fonts = {str(font.get_object()["/BaseFont"]) for font in page["/Resources"]["/Font"].values()}
    assert fonts and all(FONT_FAMILY in name for name in fonts)
    assert len(page.get_contents().get_data()) > 50_000  # type: ignore[union-attr]


@pytest.mark.parametrize("paper", list(Paper))
def test_the_longest_page_stays_on_its_paper(
    qapp: QApplication, tmp_path: Path, paper: Paper
) -> None:
    # Every check failing and long words in all columns: more than a real job ever brings.
    found = [replace(entry, plan=worst(entry.plan)) for entry in entries(4)]
    _, sheet = sheet_of(found, UnitSystem.INCH)
    file = tmp_path / "page.pdf"
    write_pages(file, sheet, paper)
    reader = pypdf.PdfReader(file)
    places: list[tuple[float, float]] = []

    def note(text: str, cm: list[float], tm: list[float], *_: object) -> None:
        if text.strip():
            at = pypdf._text_extraction.mult(tm, cm)  # type: ignore[attr-defined]
            places.append((at[4], at[5]))

    reader.pages[0].extract_text(visitor_text=note)
    wide, high = (side / MM_PER_POINT for side in SIDES_MM[paper])
    assert len(places) > 100
    assert all(20.0 < x < wide - 20.0 and 20.0 < y < high - 20.0 for x, y in places)


def worst(plan: Plan) -> Plan:
    return replace(
        plan,
        checks=tuple(replace(check, holds=False) for check in plan.checks[:9]),
        assumptions=(*plan.assumptions, "One more thing that nobody has measured yet, " * 6),
    )


def test_pictures_are_painted_where_there_is_room(qapp: QApplication) -> None:
    _, sheet = sheet_of(entries(3), UnitSystem.METRIC)
    image = QImage(1684, 1190, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.scale(2, 2)
    (page,) = sheet.pages(painter, QRectF(25, 25, 792, 545))
    page(painter)
    painter.end()
    tyre = QColor("#2b2f34")
    columns = {
        x for x in range(0, image.width(), 3) for y in range(150, 600, 3)
        if image.pixelColor(x, y) == tyre
    }  # fmt: skip
    # Two wheels in each of three pictures: six runs of columns with tyre in them.
    runs = sum(1 for x in columns if not any(x - gap in columns for gap in (3, 6, 9, 12, 15)))
    assert runs >= 6
    border = [image.pixelColor(x, 1185).name() for x in range(0, 1684, 7)]
    assert set(border) == {"#ffffff"}


def test_the_preview_shows_one_page(qtbot: QtBot) -> None:
    from PySide6.QtPrintSupport import QPrintPreviewDialog, QPrintPreviewWidget

    _, sheet = sheet_of(entries(2), UnitSystem.METRIC)
    parent = QWidget()
    qtbot.addWidget(parent)
    pages: list[int] = []

    def look() -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, QPrintPreviewDialog):
            QTimer.singleShot(20, look)
            return
        pages.append(dialog.findChildren(QPrintPreviewWidget)[0].pageCount())
        dialog.reject()

    QTimer.singleShot(0, look)
    preview(parent, sheet, Paper.A4, "Comparison")
    assert pages == [1]


# Files.


def test_a_file_that_cannot_be_written_is_told_and_the_old_one_stays(
    qapp: QApplication, tmp_path: Path
) -> None:
    _, sheet = sheet_of(entries(1), UnitSystem.METRIC)
    with pytest.raises(StoreError, match="cannot be written"):
        write_pages(tmp_path / "no such folder" / "page.pdf", sheet, Paper.A4)
    folder = tmp_path / "page.pdf"
    folder.mkdir()
    with pytest.raises(StoreError):
        write_pages(folder, sheet, Paper.A4)
    assert folder.is_dir()


def test_the_window_saves_where_the_user_says_and_tells_a_failure(
    qtbot: QtBot, tmp_path: Path
) -> None:
    class AnswersPdf(Answers):
        to_pdf: Path | None = None
        proposed: Path | None = None

        def choose_pdf(self, proposal: Path) -> Path | None:
            self.proposed = proposal
            return self.to_pdf

    dialogs = AnswersPdf(None)  # type: ignore[arg-type]
    job = factories.job(title='A/B: "drop"')
    window = CompareWindow(lambda: job, library(), dialogs)
    qtbot.addWidget(window)
    window.set_rates(Rates(hourly=60.0, currency="EUR"))
    window.add_stock()
    qtbot.waitUntil(lambda: not window.shelf.busy)
    window.paper.pdf_button.click()
    assert dialogs.proposed == Path("AB drop.pdf") and not dialogs.told
    dialogs.to_pdf = tmp_path / "page.pdf"
    window.paper.box.setCurrentText("Letter")
    window.paper.pdf_button.click()
    (page,) = pypdf.PdfReader(dialogs.to_pdf).pages
    assert float(page.mediabox[2]) == pytest.approx(792.0)
    dialogs.to_pdf = tmp_path / "nowhere" / "page.pdf"
    window.paper.pdf_button.click()
    assert "cannot be written" in dialogs.told[0]
    window.close_shelf()


def test_paper_is_that_of_the_region() -> None:
    # CLDR paper size: US-Letter in the United States, A4 in Germany and Great Britain.
    country, language = QLocale.Country, QLocale.Language
    assert paper_of(QLocale(language.English, country.UnitedStates)) is Paper.LETTER
    assert paper_of(QLocale(language.English, country.UnitedKingdom)) is Paper.A4
    assert paper_of(QLocale(language.German, country.Germany)) is Paper.A4
