"""Stories of the shop: one job from the first question to the handing over, and found again."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMessageBox, QPushButton

from tests.e2e.person import (
    Part,
    Story,
    dialog,
    front,
    named,
    painted,
    perform,
    photograph,
    pick,
    planned,
    press,
    save_as,
    type_into,
    window,
)

TASK = "task.json"
"""What the test tells: the job, the notes by step, and what the tape shows, in words."""
TICKED = 5


def take_a_job_through_the_shop(folder: Path) -> Story:
    """Asked, planned, agreed, worked on, measured, proved, on paper, handed over."""
    task = json.loads((folder / TASK).read_text("utf-8"))
    seen: dict[str, Any] = {}
    yield planned
    yield from front()
    press(Qt.Key.Key_N, ctrl=True)
    yield lambda: window().session.job.rider.mass_kg is None
    pick("Machine", task["machine"])
    for name, text in task["fields"].items():
        type_into(name, text)
    yield planned
    press(Qt.Key.Key_S, ctrl=True)
    yield lambda: window().session.kept and not window().isWindowModified()
    seen["title"] = window().windowTitle()
    yield from _agree()
    yield from _work(folder, task, seen)
    yield from _measure(folder, task, seen)
    yield from _print(folder, seen)
    yield from front()
    press(Qt.Key.Key_S, ctrl=True)
    yield lambda: not window().isWindowModified()
    yield from _open_list()
    seen["list"] = _list_texts()
    yield from painted()
    photograph(folder, "shop-jobs.png", window().side.jobs)
    window().side.jobs.close()
    yield from front()
    press(Qt.Key.Key_Q, ctrl=True)
    return seen


def look_again(folder: Path) -> Story:
    """The next day the job is opened from the list."""
    yield planned
    yield from _open_list()
    seen: dict[str, Any] = {"list": _list_texts()}
    words = window().side.jobs.filters.words
    QTest.keyClick(words, Qt.Key.Key_Return)
    QTimer.singleShot(0, lambda: QTest.keyClick(window().side.jobs.table, Qt.Key.Key_Return))
    yield lambda: window().session.kept and planned()
    bench = _look_at(window().pages.bench)
    seen["ticked"] = [key for key, row in bench.rows().items() if row.box.isChecked()]
    seen["notes"] = {key: row.note.text() for key, row in bench.rows().items() if row.note.text()}
    seen["progress"] = bench.texts()[0]
    yield from painted()
    photograph(folder, "shop-bench-again.png")
    tape = _look_at(window().pages.tape)
    for number, when in enumerate(("before", "after")):
        tape.switch.setCurrentIndex(number)
        yield lambda: _told(tape)
        seen[when] = tape.listing.texts()
    yield from painted()
    photograph(folder, "shop-tape-again.png")
    seen["modified"] = window().isWindowModified()
    window().close()
    return seen


def _agree() -> Part:
    """The amounts are told to the rider, and fixed."""
    box = named("Stage", type(window().inputs.stage))
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Down)
    yield lambda: window().session.job.stage == "planned" and planned()
    QTimer.singleShot(0, lambda: QTest.keyClick(box, Qt.Key.Key_Down))
    yield lambda: dialog(QMessageBox)
    press(Qt.Key.Key_Return)
    yield lambda: window().session.job.stage == "agreed" and planned()


def _work(folder: Path, task: dict[str, Any], seen: dict[str, Any]) -> Part:
    """The first steps are done; one is noted beside."""
    bench = _look_at(window().pages.bench)
    yield lambda: bench.rows()
    for row in list(bench.rows().values())[:TICKED]:
        QTest.mouseClick(row.box, Qt.MouseButton.LeftButton)
    for key, note in task["notes"].items():
        field = bench.rows()[key].note
        field.setFocus()
        QTest.keyClicks(field, note)
    seen["progress"] = bench.texts()[0]
    yield planned
    yield from painted()
    photograph(folder, "shop-bench.png")


def _measure(folder: Path, task: dict[str, Any], seen: dict[str, Any]) -> Part:
    """The tape before the work, with one slip, and after it; then the stages that follow."""
    tape = _look_at(window().pages.tape)
    for title, text in task["before"]:
        _read(tape, title, task["slip"].get(title, text))
    yield lambda: _told(tape)
    seen["slips"] = [row for row in tape.listing.texts() if row[-1] == "does not fit"]
    seen["said"] = tape.fitted.remark_texts()
    yield from _scrolled_to(tape, tape.fitted)
    photograph(folder, "shop-slip.png")
    for title, text in task["before"]:
        if title in task["slip"]:
            yield from _correct(tape, title, text)
    seen["before"] = tape.listing.texts()
    tabs = tape.switch
    at = tabs.tabRect(1).center()
    QTest.mouseClick(tabs, Qt.MouseButton.LeftButton, pos=at)
    for title, text in task["after"]:
        _read(tape, title, text)
    yield lambda: _told(tape)
    seen["after"] = tape.listing.texts()
    seen["tell"] = tape.proved.tell_text()
    seen["lean"] = tape.proved.lean_text()
    yield from _scrolled_to(tape, tape.proved)
    photograph(folder, "shop-proof.png")
    button = tape.proved.stage_button
    seen["stages"] = []
    while button.isVisible():
        before = window().session.job.stage
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
        yield lambda before=before: window().session.job.stage != before and _told(tape)
        seen["stages"].append(window().session.job.stage.value)


def _print(folder: Path, seen: dict[str, Any]) -> Part:
    """Every paper is saved."""
    yield from front()
    press(Qt.Key.Key_P, ctrl=True)
    yield lambda: window().papers.window
    papers = window().papers.window
    seen["papers"] = []
    for number in range(papers.sheets.count()):
        if number:
            papers.sheets.setFocus()
            QTest.keyClick(papers.sheets, Qt.Key.Key_Right)
        yield lambda: not papers.busy and papers.pdf_button.isEnabled()
        seen["papers"].append(papers.sheets.tabText(papers.sheets.currentIndex()))
        _click_soon(papers.pdf_button)
        yield from save_as(folder / f"paper-{number}")
        yield lambda: papers.texts()[1].startswith("Saved")
    yield from painted()
    photograph(folder, "shop-papers.png", papers)
    papers.close()


def _look_at(page: Any) -> Any:
    """Turn to a page by its tab."""
    pages = window().pages
    bar = pages.tabBar()
    at: QPoint = bar.tabRect(pages.indexOf(page)).center()
    QTest.mouseClick(bar, Qt.MouseButton.LeftButton, pos=at)
    return page


def _scrolled_to(page: Any, part: Any) -> Part:
    """A part of a page is on the screen."""
    yield from painted()
    page.verticalScrollBar().setValue(part.mapTo(page.widget(), QPoint(0, 0)).y())
    yield from painted()


def _told(tape: Any) -> bool:
    """Whether everything is said of the readings at hand."""
    rows = tape.listing.texts()
    return planned() and not tape.worker.busy and all(row[-1] != "…" for row in rows)


def _read(tape: Any, title: str, text: str) -> None:
    """Pick a step and write down what the tape shows."""
    steps = tape.guide.list
    (item,) = steps.findItems(title, Qt.MatchFlag.MatchExactly)
    at = steps.visualItemRect(item).center()
    QTest.mouseClick(steps.viewport(), Qt.MouseButton.LeftButton, pos=at)
    QTest.keyClicks(tape.guide.field, text)
    QTest.keyClick(tape.guide.field, Qt.Key.Key_Return)


def _correct(tape: Any, title: str, text: str) -> Part:
    """Pick a reading in the list and write what it should have been."""
    tree = tape.listing.tree
    (item,) = tree.findItems(title, Qt.MatchFlag.MatchExactly)
    at = tree.visualItemRect(item).center()
    QTest.mouseClick(tree.viewport(), Qt.MouseButton.LeftButton, pos=at)
    QTest.mouseClick(tape.listing.correct_button, Qt.MouseButton.LeftButton)
    tape.guide.field.selectAll()
    QTest.keyClicks(tape.guide.field, text)
    QTest.keyClick(tape.guide.field, Qt.Key.Key_Return)
    yield lambda: _told(tape)


def _open_list() -> Part:
    yield from front()
    press(Qt.Key.Key_J, ctrl=True)
    yield lambda: window().side.jobs and window().side.jobs.model.rows


def _list_texts() -> list[list[str]]:
    """The list of jobs as it stands there."""
    model = window().side.jobs.model

    def row(number: int) -> Iterator[str]:
        for column in range(model.columnCount()):
            yield model.data(model.index(number, column))

    return [list(row(number)) for number in range(model.rowCount())]


def _click_soon(button: QPushButton) -> None:
    """A dialog that it opens does not hold up the story."""
    QTimer.singleShot(0, lambda: QTest.mouseClick(button, Qt.MouseButton.LeftButton))


if __name__ == "__main__":
    perform(take_a_job_through_the_shop, look_again)
