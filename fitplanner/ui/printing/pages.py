"""Owns the way of a sheet's pages to a PDF file, a printer, the print preview, and images.

A page is painted in points (1/72 inch) on the area within the margins.

Refuses to know what stands on a page.
"""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QIODevice, QRectF, QSaveFile
from PySide6.QtGui import QImage, QPagedPaintDevice, QPageLayout, QPainter, QPdfWriter
from PySide6.QtWidgets import QApplication, QWidget

from fitplanner.store.files import StoreError
from fitplanner.ui.printing.paper import POINTS_PER_INCH, Paper

_RESOLUTION = 1200
_PREVIEW = (1000, 760)

PaintPage = Callable[[QPainter], None]


class Paged(Protocol):
    """What can be put on pages."""

    @property
    def title(self) -> str:
        """What names the file and the print job."""

    def layout(self, paper: Paper) -> QPageLayout:
        """How its pages lie on `paper`."""

    def pages(self, painter: QPainter, page: QRectF) -> Sequence[PaintPage]:
        """A function for each page that paints it on `page`, in points."""


def write_pages(path: Path, sheet: Paged, paper: Paper) -> None:
    """Write all pages to `path`, whole or not at all.

    Raises:
        StoreError: it could not be written; a file that stood there before is intact.
    """
    file = QSaveFile(str(path))
    if not file.open(QIODevice.OpenModeFlag.WriteOnly):
        raise _failure(path, file)
    writer = QPdfWriter(file)
    writer.setTitle(sheet.title)
    writer.setCreator(QApplication.applicationDisplayName())
    writer.setResolution(_RESOLUTION)
    writer.setPageLayout(sheet.layout(paper))
    paint_pages(writer, sheet)
    if not file.commit():
        raise _failure(path, file)


def page_images(sheet: Paged, paper: Paper, dots_per_inch: float = 110.0) -> list[QImage]:
    """Each page as an image, margins and all."""
    layout = sheet.layout(paper)
    scale = dots_per_inch / POINTS_PER_INCH
    full = layout.fullRect(QPageLayout.Unit.Point)
    inside = layout.paintRect(QPageLayout.Unit.Point)
    size = (full.size() * scale).toSize()

    def blank() -> QImage:
        image = QImage(size, QImage.Format.Format_RGB32)
        image.fill(0xFFFFFFFF)
        return image

    measuring = blank()
    painter = QPainter(measuring)
    painter.scale(scale, scale)
    paints = sheet.pages(painter, inside)
    count = len(paints)
    painter.end()
    images = []
    for number in range(count):
        image = blank()
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(scale, scale)
        paints[number](painter)
        painter.end()
        images.append(image)
    return images


def paint_pages(device: QPagedPaintDevice, sheet: Paged) -> None:
    """Paint all pages on a printer or a PDF file; may be called on any thread."""
    painter = QPainter(device)
    per_point = device.logicalDpiX() / POINTS_PER_INCH
    painter.scale(per_point, per_point)
    inside = device.pageLayout().paintRect(QPageLayout.Unit.Point)
    paints = sheet.pages(painter, QRectF(0.0, 0.0, inside.width(), inside.height()))
    for number, paint in enumerate(paints):
        if number:
            device.newPage()
        paint(painter)
    painter.end()


def preview(parent: QWidget, sheet: Paged, paper: Paper, name: str) -> None:
    """Show the pages as they will be printed, with the printer's own settings."""
    # Loaded when first wanted: looking for printers takes a while.
    from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(name)
    printer.setPageLayout(sheet.layout(paper))
    dialog = QPrintPreviewDialog(printer, parent)
    dialog.setWindowTitle(name)
    dialog.resize(*_PREVIEW)

    def repaint(device: QPrinter) -> None:
        paint_pages(device, sheet)

    dialog.paintRequested.connect(repaint)
    dialog.exec()
    dialog.deleteLater()


def _failure(path: Path, file: QSaveFile) -> StoreError:
    return StoreError(
        "The file cannot be written", path, f"{file.errorString()}; choose another place."
    )
