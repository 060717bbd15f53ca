"""Owns the way of a comparison to paper: which paper, the preview, and the PDF file.

Refuses to know what stands on the page.
"""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QPushButton, QWidget

from fitplanner.store.files import StoreError
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.exports import PDF, stem_of, with_extension
from fitplanner.ui.printing.comparison import ComparisonSheet
from fitplanner.ui.printing.pages import preview, write_pages
from fitplanner.ui.printing.paper import Paper, paper_of


class PaperRow(QWidget):
    """The choice of paper with the buttons beside it; `sheet` gives the page, None for none."""

    def __init__(
        self,
        sheet: Callable[[], ComparisonSheet | None],
        dialogs: Dialogs,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._sheet, self._dialogs = sheet, dialogs
        self.box = QComboBox(self)
        for paper in Paper:
            self.box.addItem(paper.value, paper)
        self.box.setCurrentText(paper_of(self.locale()).value)
        self.box.setAccessibleName(self.tr("Paper"))
        self.print_button = QPushButton(self.tr("&Print…"), self)
        self.pdf_button = QPushButton(self.tr("Save as P&DF…"), self)
        self.print_button.clicked.connect(self._print)
        self.pdf_button.clicked.connect(self._save_pdf)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        for part in (self.box, self.print_button, self.pdf_button):
            row.addWidget(part)

    def save_pdf(self, path: Path) -> None:
        """Write the page to `path`; a failure is told."""
        sheet = self._sheet()
        if sheet is None:
            return
        try:
            write_pages(path, sheet, Paper(self.box.currentData()))
        except StoreError as error:
            self._dialogs.refuse(error)

    def _print(self) -> None:
        sheet = self._sheet()
        if sheet is not None:
            preview(self, sheet, Paper(self.box.currentData()), self.window().windowTitle())

    def _save_pdf(self) -> None:
        sheet = self._sheet()
        if sheet is None:
            return
        proposal = Path(f"{stem_of(sheet.title, self.tr('comparison'))}{PDF}")
        path = with_extension(self._dialogs, self._dialogs.choose_pdf(proposal), PDF)
        if path is not None:
            self.save_pdf(path)
