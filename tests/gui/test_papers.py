"""Papers on pages: both sizes and unit systems, read back from the PDF; breaks, boxes, failures."""

import re
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from fitplanner.documents.bench import Tick
from fitplanner.documents.job import Job
from fitplanner.documents.preferences import Rates
from fitplanner.documents.torque import Fastener, Torque
from fitplanner.planning.account import account
from fitplanner.planning.bench import order, steps
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.plan import Plan
from fitplanner.quantities import UnitSystem
from fitplanner.report.papers import (
    Paper,
    Writer,
    bench_sheet,
    fit_sheet,
    parts_list,
    specialist_order,
)
from fitplanner.report.papers.paper import (
    Block,
    Facts,
    Grid,
    Heading,
    Picture,
    Ruled,
    Task,
    Words,
)
from fitplanner.store.files import StoreError
from fitplanner.ui.printing.before_after import BeforeAfter
from fitplanner.ui.printing.pages import page_images, write_pages
from fitplanner.ui.printing.paper import Paper as Size
from fitplanner.ui.printing.sheet import PaperSheet, broken
from fitplanner.ui.printing.strips import Strip
from fitplanner.ui.theme import FONT_FAMILY
from fitplanner.ui.widgets.figures import Figures
from tests import factories
from tests.gui.looking import squeezed

MM_PER_POINT = 25.4 / 72.0
# ISO 216, A4; ANSI/ASME Y14.1 size A (Letter, 8 1/2 by 11 in).
SIDES_MM = {Size.A4: (210.0, 297.0), Size.LETTER: (8.5 * 25.4, 11 * 25.4)}
EVERY = pytest.mark.parametrize(
    ("size", "system"),
    [(size, system) for size in Size for system in (UnitSystem.METRIC, UnitSystem.INCH)],
)
CHOICES = {
    "fork_limiter_mm": 30.0,
    "shock_limiter_mm": 12.0,
    "raised_stanchions_mm": 5.0,
    "lower_seat_mm": 25.0,
    "fork_rate_n_mm": 7.0,
    "shock_rate_n_mm": 50.0,
}
QUOTED = Torque(fastener=Fastener.FORK_CAP, words="30 N·m", source="book, page 6-12")


@pytest.fixture(scope="module")
def case() -> tuple[Job, Plan]:
    job = factories.job(title="Two fingers lower", reference="26-17", choices=CHOICES)
    machine = job.machine.replace(torques=[QUOTED])
    ticks = [Tick(step="lift", noted="Front strap renewed"), Tick(step="fork-oil")]
    job = job.replace(machine=machine, ticks=ticks)
    return job, evaluate(job)


def writer(system: UnitSystem) -> Writer:
    return Writer(system, lambda amount: f"€{amount:.2f}")


def papers(job: Job, plan: Plan, system: UnitSystem) -> dict[str, Paper]:
    write, found = writer(system), order(job, plan)
    assert found is not None
    return {
        "bench": bench_sheet(job, plan, write),
        "order": specialist_order(found, write),
        "parts": parts_list(job, plan, write),
        "fit": fit_sheet(job, plan, account(job, plan, Rates()), write),
    }


def sheet(paper: Paper, plan: Plan, system: UnitSystem = UnitSystem.METRIC) -> PaperSheet:
    length = Figures(system).length
    return PaperSheet(paper, BeforeAfter(plan.pictures.side["stopped"], length))


def told(paper: Paper) -> list[str]:
    """Every word of a paper."""
    words = [paper.name, paper.title, paper.reference, paper.foot, paper.remark]
    words += [word for fact in paper.head for word in (fact.label, fact.value)]
    for block in paper.blocks:
        match block:
            case Heading() | Words():
                words.append(block.text)
            case Task():
                words += task_words(block)
            case Grid():
                words += [cell for row in (block.heads, *block.rows) for cell in row]
            case Facts():
                words += [word for fact in block.facts for word in (fact.label, fact.value)]
                words += [word for line in block.lines for word in (line.label, line.unit)]
            case Ruled():
                words.append(block.label)
            case Picture():
                words.append(block.caption)
    return [word for word in words if word]


def task_words(task: Task) -> list[str]:
    words = [task.text, task.torques_from, task.tools, task.noted, *task.cautions]
    words += [word for fact in task.facts for word in (fact.label, fact.value)]
    lines = (*task.lines, *task.torques)
    words += [word for line in lines for word in (line.label, line.value, line.unit)]
    return [word for word in words if word]


def places(page: pypdf.PageObject) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []

    def note(text: str, cm: list[float], tm: list[float], *_: object) -> None:
        if text.strip():
            at = pypdf._text_extraction.mult(tm, cm)  # type: ignore[attr-defined]
            found.append((at[4], at[5]))

    page.extract_text(visitor_text=note)
    return found


# Content.


@EVERY
@pytest.mark.parametrize("name", ["bench", "order", "parts", "fit"])
def test_every_word_is_on_the_paper_and_inside_its_page(
    qapp: QApplication,
    tmp_path: Path,
    case: tuple[Job, Plan],
    name: str,
    size: Size,
    system: UnitSystem,
) -> None:
    job, plan = case
    paper = papers(job, plan, system)[name]
    file = tmp_path / "paper.pdf"
    made = sheet(paper, plan, system)
    write_pages(file, made, size)
    reader = pypdf.PdfReader(file)
    assert reader.metadata is not None and reader.metadata.title == made.title
    texts = [squeezed(page.extract_text()) for page in reader.pages]
    missing = [word for word in told(paper) if squeezed(word) not in "".join(texts)]
    assert missing == []
    if system is UnitSystem.INCH:
        assert not re.search(r"\d\s*mm\b", " ".join(p.extract_text() for p in reader.pages))
    wide, high = (side / MM_PER_POINT for side in SIDES_MM[size])
    for number, (page, text) in enumerate(zip(reader.pages, texts, strict=True), 1):
        assert [float(side) for side in page.mediabox[2:]] == pytest.approx([wide, high], abs=1.2)
        assert f"Page{number}of{len(texts)}" in text
        assert squeezed(paper.name) in text
        if paper.title:
            assert squeezed(paper.title) in text
        assert squeezed(paper.foot) in text
        assert all(30.0 < x < wide - 30.0 and 24.0 < y < high - 24.0 for x, y in places(page))
        assert list(page.images) == [], "drawings are lines"
        fonts = page["/Resources"]["/Font"].values()
        assert all(FONT_FAMILY in str(font.get_object()["/BaseFont"]) for font in fonts)


@EVERY
def test_no_step_is_cut_by_the_end_of_a_page(
    qapp: QApplication, tmp_path: Path, case: tuple[Job, Plan], size: Size, system: UnitSystem
) -> None:
    job, plan = case
    # Notes of all lengths move the breaks through the sheet.
    for lines in (0, 2, 6):
        noted = " ".join(["Seen and noted by hand on the bench."] * lines)
        ticks = [Tick(step=step.key, noted=noted[:400]) for step in steps(job, plan)[:12]]
        paper = bench_sheet(job.replace(ticks=ticks), plan, writer(system))
        file = tmp_path / f"{lines}.pdf"
        write_pages(file, sheet(paper, plan, system), size)
        texts = [squeezed(page.extract_text()) for page in pypdf.PdfReader(file).pages]
        assert len(texts) > 1
        for block in paper.blocks:
            if isinstance(block, Task):
                words = [squeezed(word) for word in task_words(block)]
                assert any(all(word in text for word in words) for text in texts), block.text
        headings = [block.text for block in paper.blocks if isinstance(block, Heading)]
        for text in texts:
            for heading in headings:
                assert not text.split("†Common")[0].endswith(squeezed(heading))


def test_all_steps_of_the_plan_are_boxes_and_ticked_ones_show_it(
    qapp: QApplication, case: tuple[Job, Plan]
) -> None:
    job, plan = case
    paper = bench_sheet(job, plan, writer(UnitSystem.METRIC))
    tasks = [block for block in paper.blocks if isinstance(block, Task)]
    assert [task.number for task in tasks] == [
        str(number) for number in range(1, len(steps(job, plan)) + 1)
    ]
    assert [task.ticked for task in tasks].count(True) == 2

    def ink(ticked: bool) -> int:
        only = replace(paper, blocks=(replace(tasks[0], ticked=ticked),), head=(), remark="")
        (image,) = page_images(sheet(only, plan), Size.A4, 144.0)
        dark = QColor("#1b2126").rgb()
        area = [(x, y) for x in range(60, 110) for y in range(80, 260)]
        return sum(image.pixel(x, y) == dark for x, y in area)

    assert ink(True) > ink(False)


def test_torques_are_quoted_with_their_source_or_left_to_be_written_in(
    qapp: QApplication, case: tuple[Job, Plan]
) -> None:
    job, plan = case
    paper = bench_sheet(job, plan, writer(UnitSystem.METRIC))
    lines = [line for block in paper.blocks if isinstance(block, Task) for line in block.torques]
    assert [line for line in lines if line.value] == [
        line for line in lines if "book, page 6-12" in line.label
    ]
    assert [line.value for line in lines].count("30 N·m") == 1


def test_the_fit_sheet_is_one_page_however_much_there_is_to_mind(
    qapp: QApplication, tmp_path: Path, case: tuple[Job, Plan]
) -> None:
    job, plan = case
    worst = replace(
        plan,
        checks=tuple(replace(check, holds=False) for check in plan.checks[:12]),
        assumptions=(*plan.assumptions, "One more thing that nobody has measured yet, " * 6),
    )
    for size in Size:
        paper = fit_sheet(job, worst, account(job, worst, Rates()), writer(UnitSystem.INCH))
        file = tmp_path / f"{size.value}.pdf"
        write_pages(file, sheet(paper, worst, UnitSystem.INCH), size)
        reader = pypdf.PdfReader(file)
        assert len(reader.pages) == 1
        text = squeezed(reader.pages[0].extract_text())
        assert [word for word in told(paper) if squeezed(word) not in text] == []


def test_the_picture_shows_before_and_after_at_one_scale(
    qapp: QApplication, case: tuple[Job, Plan]
) -> None:
    _, plan = case

    length = Figures().length
    image = QImage(1600, 700, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.scale(2, 2)
    BeforeAfter(plan.pictures.side["stopped"], length)(painter, QRectF(0, 0, 800, 350), "", 1.0)
    painter.end()
    tyre = QColor("#2b2f34")
    spans = []
    for left in (0, 800):
        columns = [
            x for x in range(left, left + 800)
            if any(image.pixelColor(x, y) == tyre for y in range(200, 620, 3))
        ]  # fmt: skip
        spans.append(columns[-1] - columns[0])
    assert spans[0] > 200 and abs(spans[0] - spans[1]) <= 12


def test_room_for_notes_shrinks_before_it_takes_a_page() -> None:
    def strip(height: float, **more: bool) -> Strip:
        return Strip(height, lambda painter, y: None, **more)

    work = [strip(60.0)]
    notes = [
        strip(10.0, keep=True), strip(10.0, keep=True), strip(10.0),
        *(strip(10.0, spare=True) for _ in range(4)),
    ]  # fmt: skip
    (page,) = broken([*work, *notes], 105.0, 100.0)
    assert sum(each.height for each in page) == 100.0
    assert [len(page) for page in broken([*work, *notes], 85.0, 100.0)] == [1, 7]


# Devices.


def test_a_file_that_cannot_be_written_is_told_and_the_old_one_stays(
    qapp: QApplication, tmp_path: Path, case: tuple[Job, Plan]
) -> None:
    job, plan = case
    made = sheet(parts_list(job, plan, writer(UnitSystem.METRIC)), plan)
    with pytest.raises(StoreError, match="cannot be written"):
        write_pages(tmp_path / "no such folder" / "paper.pdf", made, Size.A4)
    folder = tmp_path / "paper.pdf"
    folder.mkdir()
    with pytest.raises(StoreError):
        write_pages(folder, made, Size.A4)
    assert folder.is_dir()


def test_a_long_table_repeats_its_head_on_the_next_page(
    qapp: QApplication, tmp_path: Path, case: tuple[Job, Plan]
) -> None:
    job, plan = case
    paper = parts_list(job, plan, writer(UnitSystem.METRIC))
    table = next(block for block in paper.blocks if isinstance(block, Grid))
    rows = tuple((f"Part-{n}-", "1", "", "–", "") for n in range(90))
    long = replace(paper, blocks=(replace(table, rows=(*rows, table.rows[-1])),))
    file = tmp_path / "long.pdf"
    write_pages(file, sheet(long, plan), Size.LETTER)
    texts = [squeezed(page.extract_text()) for page in pypdf.PdfReader(file).pages]
    assert len(texts) > 1 and all("Pieces" in text for text in texts)
    assert all(sum(f"Part-{n}-" in text for text in texts) == 1 for n in range(90))


# Breaking pages.


def paged(blocks: list[Block], tmp_path: Path, title: str = "T") -> list[str]:
    """The text of each page of a longer paper."""
    paper = Paper(
        name="Sheet", title=title, reference="R-1", head=(), blocks=tuple(blocks), foot="f"
    )
    file = tmp_path / "paper.pdf"
    write_pages(file, PaperSheet(paper), Size.A4)
    return [page.extract_text().replace("\t", " ") for page in pypdf.PdfReader(file).pages]


@pytest.mark.parametrize("count", range(36, 62))
def test_room_for_notes_never_makes_a_page_of_its_own(
    qapp: QApplication, tmp_path: Path, count: int
) -> None:
    steps: list[Block] = [Task(f"step {number}") for number in range(count)]
    pages = paged([*steps, Ruled("Notes", 6)], tmp_path)
    assert all("step" in page for page in pages)
    assert f"step {count - 1}" in pages[-1]
    assert f"Page {len(pages)} of {len(pages)}" in pages[-1]


def test_a_long_title_leaves_the_head_of_a_later_page_on_one_line(
    qapp: QApplication, tmp_path: Path
) -> None:
    steps: list[Block] = [Task(f"step {number}") for number in range(80)]
    _, second = paged(steps, tmp_path, "both feet down if at all possible, please, " * 4)[:2]
    head = second.splitlines()[0]
    assert head.startswith("Sheet · both feet") and head.endswith("… · R-1")
