"""The window of the papers: each paper, what one lacks, sizes and units, PDF files, the table."""

import csv
import io
from pathlib import Path

import pypdf
import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fitplanner.documents.bench import MeasuredState, Place, Reading, Tick, When
from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.planning.plan import Plan
from fitplanner.quantities import UnitSystem
from fitplanner.session.edits import replace_at
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.printing.papers import Sheet
from fitplanner.ui.printing.view import Fit
from fitplanner.ui.printing.window import PaperWindow
from tests import factories
from tests.gui.shell import answers, open_window, wait_for_plan

CHOICES = {"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0}
COMMANDS = {
    Sheet.FIT: ("paper_fit", "Fit sheet"),
    Sheet.BENCH: ("paper_bench", "Bench sheet"),
    Sheet.ORDER: ("paper_order", "Order to the suspension specialist"),
    Sheet.PARTS: ("paper_parts", "Parts list"),
}
AFTER = Reading(
    when=When.AFTER, place=Place.SEAT, state=MeasuredState.ON_WHEELS, value=880.0, typed="880"
)


def open_papers(
    qtbot: QtBot, job: Job | None = None, command: str = "paper_fit"
) -> tuple[MainWindow, PaperWindow]:
    window = open_window(
        qtbot, job or factories.job(title='Two "fingers" lower', reference="26-17", choices=CHOICES)
    )
    window.commands[command].trigger()
    papers = window.papers.window
    assert papers is not None
    settle(qtbot, papers)
    return window, papers


def settle(qtbot: QtBot, papers: PaperWindow) -> None:
    qtbot.waitUntil(lambda: not papers.busy, timeout=20_000)


def saved(qtbot: QtBot, papers: PaperWindow, path: Path) -> pypdf.PdfReader:
    papers.save_pdf(path)
    qtbot.waitUntil(lambda: papers.texts()[1].startswith("Saved"), timeout=20_000)
    return pypdf.PdfReader(path)


def words_of(reader: pypdf.PdfReader) -> str:
    """All words with one space between them, for figures and cells have spaces of their own."""
    return " ".join("\n".join(page.extract_text() for page in reader.pages).split())


@pytest.mark.parametrize("sheet", list(COMMANDS))
def test_each_paper_opens_from_its_command_and_is_saved(
    qtbot: QtBot, tmp_path: Path, sheet: Sheet
) -> None:
    command, name = COMMANDS[sheet]
    _, papers = open_papers(qtbot, command=command)
    assert papers.isVisible() and papers.sheet is sheet and papers.texts()[0] == ""
    pages = papers.view.pages()
    reader = saved(qtbot, papers, tmp_path / "paper.pdf")
    assert len(reader.pages) == len(pages) > 0
    assert all(page.width() > 300 and page.height() > page.width() for page in pages)
    assert name in words_of(reader) and "26-17" in words_of(reader)


def test_a_paper_with_nothing_on_it_says_so(qtbot: QtBot) -> None:
    job = factories.job(choices={"fork_limiter_mm": 0.0, "shock_limiter_mm": 0.0})
    window, papers = open_papers(qtbot, job, "paper_order")
    assert papers.texts()[0].startswith("No specialist's work in this plan")
    assert papers.view.pages() == [] and not papers.pdf_button.isEnabled()
    assert not papers.print_button.isEnabled() and not papers.view.isVisible()
    # The plan changes while the window is open.
    job = replace_at(window.session.job, ("choices", "shock_limiter_mm"), 12.0)
    window.history.change(job, "Change an amount")
    wait_for_plan(qtbot, window)
    settle(qtbot, papers)
    assert papers.texts()[0] == "" and len(papers.view.pages()) == 1


def test_without_a_plan_the_window_says_what_to_do(qtbot: QtBot) -> None:
    job = factories.job()
    _, papers = open_papers(qtbot, job.replace(rider=job.rider.replace(mass_kg=None)))
    assert papers.texts()[0].startswith("Nothing to print yet")
    assert not papers.pdf_button.isEnabled()


def test_papers_follow_ticks_units_price_and_size(qtbot: QtBot, tmp_path: Path) -> None:
    window, papers = open_papers(qtbot)
    window.settings.change(rates=Rates(hourly=0.0, currency="EUR"))
    window._show_preferences(window.settings.preferences)
    settle(qtbot, papers)
    cheap = words_of(saved(qtbot, papers, tmp_path / "1.pdf"))
    window.settings.change(rates=Rates(hourly=9000.0, currency="EUR"))
    window.set_system(UnitSystem.INCH)
    papers.size_box.setCurrentText("Letter")
    settle(qtbot, papers)
    papers._said.setText("")
    reader = saved(qtbot, papers, tmp_path / "2.pdf")
    dear = words_of(reader)
    assert float(reader.pages[0].mediabox[2]) == pytest.approx(612.0)
    assert "€" in dear or "EUR" in dear
    assert cheap.split("Price")[1][:40] != dear.split("Price")[1][:40]
    assert " in" in dear and " mm" not in dear
    papers.choose(Sheet.BENCH)
    tick = Tick(step="lift", noted="Front strap renewed")
    window.history.change(window.session.job.replace(ticks=[tick]), "Tick")
    settle(qtbot, papers)
    papers._said.setText("")
    bench = words_of(saved(qtbot, papers, tmp_path / "3.pdf"))
    assert "Noted: Front strap renewed" in bench


def test_a_step_changed_since_it_was_ticked_says_so_on_paper(qtbot: QtBot, tmp_path: Path) -> None:
    ticks = [
        Tick(step="fork-limiter", said="Limiter, each leg {length|20|.1}"),
        Tick(step="rods", said="Longer by {length|4|.1}"),
    ]
    _, papers = open_papers(qtbot, factories.job(choices=CHOICES, ticks=ticks), "paper_bench")
    words = words_of(saved(qtbot, papers, tmp_path / "1.pdf"))
    assert "Changed since it was ticked. Then: Limiter, each leg 20.0 mm" in words
    assert "Ticked, but not in the plan any more: Longer by 4.0 mm" in words


def test_the_file_is_proposed_with_the_jobs_name_in_the_last_folder(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window, papers = open_papers(qtbot)
    window.files.folder = str(tmp_path)
    asked = answers(window)
    papers.pdf_button.click()
    assert asked.proposed == [tmp_path / "Fit sheet, Two fingers lower.pdf"]
    asked.to_export = tmp_path / "there" / "paper"
    papers.pdf_button.click()
    qtbot.waitUntil(lambda: bool(asked.told), timeout=20_000)
    assert "cannot be written" in asked.told[0]
    (tmp_path / "there").mkdir()
    papers.pdf_button.click()
    qtbot.waitUntil(lambda: papers.texts()[1].startswith("Saved"), timeout=20_000)
    assert (tmp_path / "there" / "paper.pdf").exists()
    assert window.files.folder == str(tmp_path / "there")
    # The order leaves the shop: the job's title may carry a name.
    asked.replace = False
    before = (tmp_path / "there" / "paper.pdf").read_bytes()
    papers.choose(Sheet.ORDER)
    settle(qtbot, papers)
    papers.pdf_button.click()
    assert asked.proposed[-1].name == "Order to the suspension specialist, 26-17.pdf"
    assert asked.asked == [str(tmp_path / "there" / "paper.pdf")]
    assert papers.texts()[1] == ""
    assert (tmp_path / "there" / "paper.pdf").read_bytes() == before


def test_pages_are_drawn_as_finely_as_they_are_shown(qtbot: QtBot) -> None:
    _, papers = open_papers(qtbot)
    view = papers.view
    for act in (view.zoom_in, view.zoom_out, view.zoom_out):
        act()
        settle(qtbot, papers)
        (page,) = view.pages()
        assert page.width() == pytest.approx(view._table.page.width(), abs=2)
    view.set_fit(Fit.PAGE)
    settle(qtbot, papers)
    assert view._table.page.height() <= view.viewport().height()
    for _ in range(20):
        view.zoom_in()
    settle(qtbot, papers)
    assert view.zoom == pytest.approx(3.0) and view.dots_per_inch <= 300.0


def test_printing_hands_all_pages_over_in_the_background(qtbot: QtBot, tmp_path: Path) -> None:
    from PySide6.QtPrintSupport import QPrinter

    from fitplanner.ui.printing.paper import Paper, upright

    _, papers = open_papers(qtbot, command="paper_bench")
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    printer.setPageLayout(upright(Paper.A4))
    papers.print_on(printer)
    qtbot.waitUntil(lambda: papers.texts()[1].startswith("Handed"), timeout=20_000)
    reader = pypdf.PdfReader(tmp_path / "printed.pdf")
    assert len(reader.pages) == len(papers.view.pages())


def test_asking_for_the_printer_can_be_given_up(qtbot: QtBot) -> None:
    from PySide6.QtPrintSupport import QPrintDialog

    _, papers = open_papers(qtbot)
    seen: list[str] = []

    def give_up() -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, QPrintDialog):
            QTimer.singleShot(20, give_up)
            return
        seen.append(dialog.printer().docName())
        dialog.reject()

    QTimer.singleShot(0, give_up)
    papers.print_button.click()
    assert seen == ['Fit sheet, Two "fingers" lower'] and papers.texts() == ["", ""]


@pytest.mark.expects_log
def test_a_fault_is_said_in_place_of_the_paper(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> object:
        raise LookupError("nothing of that name")

    monkeypatch.setattr("fitplanner.ui.printing.papers.parts_list", broken)
    _, papers = open_papers(qtbot, command="paper_parts")
    assert "nothing of that name" in papers.texts()[0]
    papers.choose(Sheet.FIT)
    settle(qtbot, papers)
    assert papers.texts()[0] == "" and papers.pdf_button.isEnabled()


class _Proof:
    """The least that a proof has to say."""

    readings = drops = checks = misfits = ()
    complete = True
    tell = ("The seat came down by {length|42}.",)
    look_at = ""

    class lean:  # noqa: N801
        before_deg, after_deg, restored = 11.0, None, None
        wanted, before_read = False, True


def test_the_proof_is_offered_once_something_was_measured_after_the_work(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Plan] = []

    def prove(job: Job, plan: Plan) -> object:
        asked.append(plan)
        return _Proof()

    window, papers = open_papers(qtbot)
    action = window.commands["paper_proof"]
    assert not action.isVisible() and Sheet.PROOF not in papers._shown
    window.papers.prove = prove  # type: ignore[assignment]
    papers._prove = prove  # type: ignore[assignment]
    window.history.change(window.session.job.replace(readings=[AFTER]), "Reading")
    assert action.isVisible() and papers.sheets.count() == len(Sheet)
    action.trigger()
    settle(qtbot, papers)
    words = words_of(saved(qtbot, papers, tmp_path / "proof.pdf"))
    assert "The seat came down by 42 mm." in words and asked == [window.plan]
    papers.view.zoom_in()
    papers.size_box.setCurrentText("Letter")
    settle(qtbot, papers)
    assert len(asked) == 1, "another zoom or size proves nothing anew"
    window.history.undo()
    assert not action.isVisible() and papers.sheets.count() == len(Sheet) - 1
    settle(qtbot, papers)


# The table.


def test_the_plan_is_exported_as_a_table(qtbot: QtBot, tmp_path: Path) -> None:
    window = open_window(qtbot, factories.job(title="=Two/lower", choices=CHOICES))
    window.files.folder = str(tmp_path)
    asked = answers(window)
    asked.to_export = tmp_path / "plan"
    window.commands["table"].trigger()
    assert asked.proposed == [tmp_path / "Twolower.csv"]
    text = (tmp_path / "plan.csv").read_bytes().decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(text)))
    assert rows[0][0] == "section" and rows[1][:4] == ["Job", "Title", "", "'=Two/lower"]
    assert any(row[1] == "Extension limiter, fork" and row[3] == "30.0" for row in rows)
    asked.to_export = tmp_path / "nowhere" / "x" / "plan.csv"
    (tmp_path / "nowhere").write_text("a file, no folder")
    window.commands["table"].trigger()
    assert "cannot be written" in asked.told[0] or "choose another" in asked.told[0]


def test_without_a_plan_there_is_no_table(qtbot: QtBot) -> None:
    job = factories.job()
    window = open_window(qtbot, job.replace(rider=job.rider.replace(mass_kg=None)))
    window.commands["table"].trigger()
    assert answers(window).told == ["There is no plan yet that could be exported.\n"]
    assert answers(window).proposed == []
