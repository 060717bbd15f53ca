"""Owns paper: its size, writing a page to a PDF file, and the print preview.

A page is painted in points (1/72 inch) on the area within the margins, with the bundled font.
Refuses to know what stands on a page.
"""

from collections.abc import Callable
from enum import Enum
from pathlib import Path

from PySide6.QtCore import QIODevice, QLocale, QMarginsF, QRectF, QSaveFile
from PySide6.QtGui import (
    QFont,
    QPagedPaintDevice,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
)
from PySide6.QtWidgets import QApplication, QWidget

from fitplanner.store.files import StoreError
from fitplanner.ui.theme import FONT_FAMILY, bundled_fonts

POINTS_PER_INCH = 72.0
MARGIN_MM = 9.0
_RESOLUTION = 1200

Paint = Callable[[QPainter, QRectF], None]


class Paper(Enum):
    """Sizes of paper in use at workshops; the value is the name."""

    A4 = "A4"
    LETTER = "Letter"


_SIZES = {Paper.A4: QPageSize.PageSizeId.A4, Paper.LETTER: QPageSize.PageSizeId.Letter}


def paper_of(locale: QLocale) -> Paper:
    """The paper usual where inches are."""
    system = QLocale.MeasurementSystem.ImperialUSSystem
    return Paper.LETTER if locale.measurementSystem() is system else Paper.A4


def paper_font(size: int, *, bold: bool = False) -> QFont:
    """The bundled font, in units of the page.

    Without its contextual and tabular forms: text made of these cannot be copied from a PDF.
    """
    families = bundled_fonts()
    font = QFont(families[0] if families else FONT_FAMILY)
    font.setPixelSize(size)
    font.setBold(bold)
    font.setFeature(QFont.Tag("calt"), 0)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


def landscape(paper: Paper) -> QPageLayout:
    """The sheet on its side, with the program's margins."""
    return QPageLayout(
        QPageSize(_SIZES[paper]),
        QPageLayout.Orientation.Landscape,
        QMarginsF(MARGIN_MM, MARGIN_MM, MARGIN_MM, MARGIN_MM),
        QPageLayout.Unit.Millimeter,
    )


def write_pdf(path: Path, paint: Paint, paper: Paper, title: str) -> None:
    """Write one page to `path`, whole or not at all.

    Raises:
        StoreError: it could not be written; a file that stood there before is intact.
    """
    file = QSaveFile(str(path))
    if not file.open(QIODevice.OpenModeFlag.WriteOnly):
        raise _failure(path, file)
    writer = QPdfWriter(file)
    writer.setTitle(title)
    writer.setCreator(QApplication.applicationDisplayName())
    writer.setResolution(_RESOLUTION)
    writer.setPageLayout(landscape(paper))
    _paint_on(writer, paint)
    if not file.commit():
        raise _failure(path, file)


def preview(parent: QWidget, paint: Paint, paper: Paper, title: str) -> None:
    """Show the page as it will be printed, with the printer's own settings."""
    # Loaded when first wanted: looking for printers takes a while.
    from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(title)
    printer.setPageLayout(landscape(paper))
    dialog = QPrintPreviewDialog(printer, parent)
    dialog.setWindowTitle(title)
    dialog.resize(1000, 760)

    def repaint(device: QPrinter) -> None:
        _paint_on(device, paint)

    dialog.paintRequested.connect(repaint)
    dialog.exec()
    dialog.deleteLater()


def _paint_on(device: QPagedPaintDevice, paint: Paint) -> None:
    painter = QPainter(device)
    per_point = device.logicalDpiX() / POINTS_PER_INCH
    painter.scale(per_point, per_point)
    inside = device.pageLayout().paintRect(QPageLayout.Unit.Point)
    paint(painter, QRectF(0.0, 0.0, inside.width(), inside.height()))
    painter.end()


def _failure(path: Path, file: QSaveFile) -> StoreError:
    return StoreError(
        "The file cannot be written", path, f"{file.errorString()}; choose another place."
    )
