"""Owns the window of the papers: which one, its pages as printed, the printer, and PDF files.

Papers follow the job, its plan and the units. They are made, saved and printed away from the
window's thread. Refuses what stands on them.
"""

import logging
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Preferences
from fitplanner.planning.evaluate import IncompleteError, UnsolvableError
from fitplanner.planning.plan import Plan
from fitplanner.store.files import StoreError
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.exports import PDF, with_extension
from fitplanner.ui.job_files import JobFiles
from fitplanner.ui.newest import Newest
from fitplanner.ui.printing.pages import page_images, paint_pages, write_pages
from fitplanner.ui.printing.paper import Paper, paper_of, upright
from fitplanner.ui.printing.papers import (
    Case,
    LackingError,
    Prover,
    Sheet,
    make_sheet,
    sheet_label,
)
from fitplanner.ui.printing.sheet import PaperSheet
from fitplanner.ui.printing.view import Fit, PageView
from fitplanner.ui.tasks import Errands
from fitplanner.ui.widgets.card import GAP
from fitplanner.ui.widgets.tabs import Tabs
from fitplanner.ui.widgets.text import Text

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Question:
    """A paper to be drawn on a size of sheet, so finely; `made` where it was made already."""

    sheet: Sheet
    case: Case
    size: Paper
    dots_per_inch: float
    made: PaperSheet | None = None


@dataclass(frozen=True)
class Drawn:
    """A paper with its pages; or, where there is none, the words why."""

    sheet: PaperSheet | None = None
    pages: list[QImage] = field(default_factory=list)
    why: str = ""


def drawn(question: object) -> Drawn:
    """Make and draw a paper; whatever happens is an answer."""
    assert isinstance(question, Question)
    try:
        sheet = question.made or make_sheet(question.sheet, question.case)
        return Drawn(sheet, page_images(sheet, question.size, question.dots_per_inch))
    except (LackingError, IncompleteError, UnsolvableError) as lacking:
        return Drawn(why=str(lacking))
    except Exception as error:
        log.exception("the paper could not be made")
        return Drawn(why=f"{type(error).__name__}: {error}")


class PaperWindow(QDialog):
    """The papers of the job at hand."""

    _done = Signal(str)

    def __init__(
        self,
        files: JobFiles,
        dialogs: Dialogs,
        parent: QWidget | None = None,
        prove: Prover | None = None,
    ) -> None:
        super().__init__(parent)
        self._files, self._dialogs, self._prove = files, dialogs, prove
        self._planned: tuple[Plan, Job] | None = None
        self._preferences = Preferences()
        self._drawn = Drawn()
        self._drawn_for: tuple[Sheet, Case] | None = None
        self._newest = Newest(drawn, "papers", self)
        self._newest.answered.connect(self._take)
        self._errands = Errands(self)
        self._errands.failed.connect(self._failed)
        self._done.connect(self._say)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(0)
        self._rest.timeout.connect(self._ask)
        self.sheets = Tabs(self)
        self.sheets.setAccessibleName(self.tr("Paper"))
        self.sheets.setDrawBase(False)
        self.sheets.setExpanding(False)
        self._shown = list[Sheet](each for each in Sheet if each is not Sheet.PROOF)
        for sheet in self._shown:
            self.sheets.addTab(sheet_label(sheet))
        self.size_box = QComboBox(self)
        self.size_box.setAccessibleName(self.tr("Size of the sheet"))
        for size in Paper:
            self.size_box.addItem(size.value, size)
        self.size_box.setCurrentText(paper_of(self.locale()).value)
        self.print_button = QPushButton(self.tr("&Print…"), self)
        self.pdf_button = QPushButton(self.tr("Save as P&DF…"), self)
        self.view = PageView(self)
        self._why = Text(scale=1.2)
        self._said = Text(faint=True)
        self._percent = QLabel(self)
        self._lay_out()
        self._connect()
        self.setWindowTitle(self.tr("Papers"))
        # Its head and foot have to be in reach on a low screen, too.
        room = self.screen().availableSize()
        self.resize(min(980, room.width() - 40), min(900, room.height() - 60))
        self._show_state()

    def _lay_out(self) -> None:
        for button in (self.print_button, self.pdf_button):
            button.setAutoDefault(False)
        top = QHBoxLayout()
        top.setSpacing(8)
        top.addWidget(self.sheets, 1)
        for widget in (self.size_box, self.print_button, self.pdf_button):
            top.addWidget(widget)
        reason = QWidget(self)
        around = QVBoxLayout(reason)
        around.setContentsMargins(GAP, GAP, GAP, GAP)
        around.addWidget(self._why)
        around.addStretch(1)
        self._pages = QStackedWidget(self)
        self._pages.addWidget(self.view)
        self._pages.addWidget(reason)
        self._zooms = QWidget(self)
        zooms = QHBoxLayout(self._zooms)
        zooms.setContentsMargins(0, 0, 0, 0)
        for words, name, slot in (
            ("–", self.tr("Smaller"), self.view.zoom_out),
            ("+", self.tr("Larger"), self.view.zoom_in),
            (self.tr("Page width"), "", self._fit_width),
            (self.tr("Whole page"), "", self._fit_page),
        ):
            tool = QToolButton(self)
            tool.setText(words)
            tool.setAccessibleName(name or words)
            tool.setToolTip(name)
            tool.clicked.connect(slot)
            zooms.addWidget(tool)
            if words == "–":
                zooms.addWidget(self._percent)
        bottom = QHBoxLayout()
        bottom.addWidget(self._said, 1)
        bottom.addWidget(self._zooms)
        column = QVBoxLayout(self)
        column.setContentsMargins(GAP, GAP, GAP, GAP)
        column.setSpacing(8)
        column.addLayout(top)
        column.addWidget(self._pages, 1)
        column.addLayout(bottom)

    def _connect(self) -> None:
        self.sheets.currentChanged.connect(self._chosen)
        self.size_box.currentIndexChanged.connect(self._resized)
        self.view.wanted.connect(self._rest.start)
        self.view.zoomed.connect(self._show_zoom)
        self.print_button.clicked.connect(self._print)
        self.pdf_button.clicked.connect(self._save_pdf)
        self._resized()

    # What comes from outside.

    @property
    def busy(self) -> bool:
        """Whether pages are still to come."""
        return self._rest.isActive() or self._newest.busy

    @property
    def sheet(self) -> Sheet:
        """The paper chosen."""
        return self._shown[max(self.sheets.currentIndex(), 0)]

    def choose(self, sheet: Sheet) -> None:
        """Show another paper."""
        if sheet in self._shown:
            self.sheets.setCurrentIndex(self._shown.index(sheet))

    def show_plan(self, planned: tuple[Plan, Job] | None) -> None:
        """Take the plan and the job that it belongs to, or that there is none."""
        self._planned = planned
        if planned is not None:
            self._offer_proof(self._prove is not None and planned[1].measured_after)
        self._rest.start()

    def set_preferences(self, preferences: Preferences) -> None:
        """Take units, rate and currency."""
        self._preferences = preferences
        self._rest.start()

    def shut(self) -> None:
        """End the threads, once everything is written."""
        self._rest.stop()
        self._newest.close()
        self._errands.close()

    def texts(self) -> list[str]:
        """What is said in place of pages, and of what was saved or printed."""
        return [self._why.text(), self._said.text()]

    def showEvent(self, event: object) -> None:
        """Catch up with what came while the window was closed."""
        super().showEvent(event)  # type: ignore[arg-type]
        self._rest.start()

    # Making.

    def _offer_proof(self, offered: bool) -> None:
        if offered == (Sheet.PROOF in self._shown):
            return
        if offered:
            self._shown.append(Sheet.PROOF)
            self.sheets.addTab(sheet_label(Sheet.PROOF))
        else:
            self.sheets.removeTab(self._shown.index(Sheet.PROOF))
            self._shown.remove(Sheet.PROOF)

    def _chosen(self) -> None:
        self._said.setText("")
        self.view.verticalScrollBar().setValue(0)
        self._rest.start()

    def _size(self) -> Paper:
        return Paper(self.size_box.currentData())

    def _resized(self) -> None:
        self.view.set_paper(upright(self._size()).fullRectPoints().toRectF().size())
        self._rest.start()

    def _ask(self) -> None:
        """Have the pages drawn, while they can be seen."""
        if self._planned is None:
            self._drawn, self._drawn_for = Drawn(), None
            self._show_state()
        elif self.isVisible():
            plan, job = self._planned
            system, rates = self._preferences.unit_system, self._preferences.rates
            case = Case(job, plan, system, rates, self.locale(), self._prove)
            # A proof takes a while: another zoom or size draws the one that is there.
            made = self._drawn.sheet if self._drawn_for == (self.sheet, case) else None
            dots_per_inch = self.view.dots_per_inch
            self._newest.ask(Question(self.sheet, case, self._size(), dots_per_inch, made))

    def _take(self, question: Question, answer: Drawn) -> None:
        if self._planned is not None:
            self._drawn, self._drawn_for = answer, (question.sheet, question.case)
            self._show_state()

    def _show_state(self) -> None:
        answer, why = self._drawn, self._drawn.why
        if self._planned is None:
            why = self.tr("Nothing to print yet: the window says what is still needed.")
        self._why.setText(why)
        self._pages.setCurrentIndex(int(bool(why)))
        self._zooms.setVisible(not why)
        self.view.show_pages(answer.pages)
        for button in (self.print_button, self.pdf_button):
            button.setEnabled(answer.sheet is not None)

    def _show_zoom(self, zoom: float) -> None:
        self._percent.setText(f"{100 * zoom:.0f} %")

    def _fit_width(self) -> None:
        self.view.set_fit(Fit.WIDTH)

    def _fit_page(self) -> None:
        self.view.set_fit(Fit.PAGE)

    # Paper and files.

    def _save_pdf(self) -> None:
        sheet = self._drawn.sheet
        if sheet is None:
            return
        proposal = self._files.proposal(sheet.title, PDF)
        path = with_extension(self._dialogs, self._dialogs.choose_pdf(proposal), PDF)
        if path is not None:
            self._files.folder = str(path.parent)
            self.save_pdf(path)

    def save_pdf(self, path: Path) -> None:
        """Write the paper shown to `path`; a failure is told."""
        sheet, size = self._drawn.sheet, self._size()
        if sheet is None:
            return
        told = self.tr("Saved: {path}").format(path=path)

        def save() -> None:
            write_pages(path, sheet, size)
            self._done.emit(told)

        self._said.setText(self.tr("Saving …"))
        self._errands.run(save)

    def _print(self) -> None:
        """Ask for the printer, then print."""
        # Loaded when first wanted: looking for printers takes a while.
        from PySide6.QtPrintSupport import QPrintDialog, QPrinter

        sheet = self._drawn.sheet
        if sheet is None:
            return
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setDocName(sheet.title)
        printer.setPageLayout(sheet.layout(self._size()))
        dialog = QPrintDialog(printer, self)
        if dialog.exec() == QDialog.DialogCode.Accepted:
            self.print_on(printer)
        dialog.deleteLater()

    def print_on(self, printer: "QPrinter") -> None:
        """Print the paper shown."""
        sheet = self._drawn.sheet
        if sheet is None:
            return
        told = self.tr("Handed to the printer.")

        def send() -> None:
            paint_pages(printer, sheet)
            self._done.emit(told)

        self._said.setText(self.tr("Printing …"))
        self._errands.run(send)

    def _say(self, words: str) -> None:
        self._said.setText(words)

    def _failed(self, error: Exception) -> None:
        self._said.setText("")
        if isinstance(error, StoreError):
            self._dialogs.refuse(error)
        else:
            log.error("a paper was not written", exc_info=error)
            self._dialogs.tell(self.tr("The paper could not be written."), str(error))
