"""A profile from elsewhere is plain text wherever it is shown: nothing in it is read as markup.

Qt takes text for rich where it looks so: in labels, tooltips and item tips. Every widget and every
row of the windows is asked; a picture named in such text would be loaded from the disk.
"""

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdf
import pytest
from PySide6.QtCore import QAbstractItemModel, QAbstractListModel, QModelIndex, Qt
from PySide6.QtGui import QAction
from PySide6.QtGui import Qt as RichText
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QComboBox,
    QLabel,
    QMenu,
    QMenuBar,
    QMessageBox,
    QTextEdit,
    QWidget,
)
from pytestqt.qtbot import QtBot

from fitplanner.documents import codec
from fitplanner.documents.errors import DocumentError, refusal
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.preferences import Rates
from fitplanner.documents.torque import Fastener, Torque
from fitplanner.planning.account import account
from fitplanner.planning.evaluate import evaluate
from fitplanner.quantities import UnitSystem
from fitplanner.report.papers import Writer, bench_sheet, fit_sheet
from fitplanner.report.sheet_csv import plan_csv
from fitplanner.store.profiles import Shelf
from fitplanner.ui.dialogs import Dialogs
from fitplanner.ui.printing.before_after import BeforeAfter
from fitplanner.ui.printing.pages import write_pages
from fitplanner.ui.printing.paper import Paper
from fitplanner.ui.printing.sheet import PaperSheet
from fitplanner.ui.profiles.replacing import ReplacingDialog
from fitplanner.ui.profiles.wording import import_words
from fitplanner.ui.widgets.figures import Figures
from tests import factories
from tests.gui.looking import squeezed
from tests.gui.shell import open_window, press, wait_for_plan

IMAGE = '<img src="file:///etc/hostname">'
HOSTILE = f"<b>P</b>{IMAGE}&amp;{{0}}{{length|5}}%s"


def hostile(id: str = "plover-300", more: str = "") -> MachineProfile:
    """A profile with odd text at every place for text."""
    text = HOSTILE + more
    base = factories.machine_profile()
    sections: dict[str, Any] = {}
    for key in ("catalogue", "fork", "rear", "seat"):
        section = getattr(base, key)
        specs = [spec.key for spec in type(section).specs()]
        figures = {
            each: figure.replace(note=text, origin=text, spread=1.0)
            for each in specs
            if (figure := getattr(section, each)) is not None
        }
        sections[key] = section.replace(**figures)
    offers = {
        way: offer.replace(note=text)
        for way in type(base.ways).model_fields
        if (offer := getattr(base.ways, way)) is not None
    }
    torques = [
        Torque(fastener=each, words=f"5 N·m {IMAGE}"[:40], source=text[:200]) for each in Fastener
    ]
    return base.replace(
        id=id,
        name=text[:120],
        note=text,
        torques=torques,
        ways=base.ways.replace(**offers),
        **sections,
    )


def indexes(model: QAbstractItemModel, parent: QModelIndex) -> Iterator[QModelIndex]:
    for row in range(model.rowCount(parent)):
        # Of a list Qt keeps the count of columns to itself.
        columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(parent)
        for column in range(columns):
            index = model.index(row, column, parent)
            yield index
            if column == 0:
                yield from indexes(model, index)


def shows_tips(holder: object) -> bool:
    return not isinstance(holder, QMenu | QMenuBar) or (
        isinstance(holder, QMenu) and holder.toolTipsVisible()
    )


def rich_texts(window: QWidget) -> Iterator[tuple[str, str]]:
    """Every text of a window that Qt would read as markup."""
    for widget in (window, *window.findChildren(QWidget)):
        name = f"{type(widget).__name__}"
        yield name, widget.toolTip()
        yield name, widget.whatsThis()
        if isinstance(widget, QLabel) and widget.textFormat() != Qt.TextFormat.PlainText:
            yield name, widget.text()
        if isinstance(widget, QTextEdit):
            yield name, widget.toHtml()
        if isinstance(widget, QAbstractItemView | QComboBox):
            model = widget.model()
            if model is not None:
                for index in indexes(model, QModelIndex()):
                    yield f"{name} row", str(index.data(Qt.ItemDataRole.ToolTipRole) or "")
    for action in window.findChildren(QAction):
        if any(map(shows_tips, action.associatedObjects())):
            yield "action", action.toolTip()


def markup(window: QWidget) -> list[tuple[str, str]]:
    """What would be read as markup although it came from the file."""
    return [
        (where, text)
        for where, text in rich_texts(window)
        if RichText.mightBeRichText(text) and ("<b>P" in text or "<img" in text)
    ]


def words(window: QWidget) -> str:
    """All that can be read in a window."""
    said = [label.text() for label in window.findChildren(QLabel)]
    for view in window.findChildren(QAbstractItemView):
        model = view.model()
        if model is not None:
            said += [str(index.data() or "") for index in indexes(model, QModelIndex())]
    return "\n".join(said)


def test_the_walk_sees_what_would_be_rich(qtbot: QtBot) -> None:
    """Otherwise the tests below could not fail."""
    window = QWidget()
    qtbot.addWidget(window)
    QLabel(HOSTILE, window)
    assert [where for where, _ in markup(window)] == ["QLabel"]
    window.setToolTip(HOSTILE)
    box = QComboBox(window)
    box.addItem("plain")
    box.setItemData(0, HOSTILE, Qt.ItemDataRole.ToolTipRole)
    assert {where for where, _ in markup(window)} >= {"QWidget", "QLabel", "QComboBox row"}


def test_no_window_reads_a_profile_as_markup(qtbot: QtBot, tmp_path: Path) -> None:
    shelf = Shelf(tmp_path / "home" / "profiles", make=True)
    shelf.save(hostile(), None)
    (shelf.folder / f"odd{'<b>P<'}.json").write_text('{"<b>P</b>": 1, "<b>P</b>": 2}')
    profiles = {one.id: one for one in (hostile("first"), hostile("second", " two"))}
    window = open_window(qtbot, factories.job(machine=hostile("first")), profiles=profiles)
    qtbot.waitUntil(lambda: window.inputs.machine.shelf.text() != "", timeout=20_000)
    chooser = window.inputs.machine.chooser
    chooser.activated.emit(chooser.findData("second"))
    wait_for_plan(qtbot, window)
    for command in ("figures", "compare", "fleet", "machines", "paper_bench"):
        press(window, command)
    fleet = window.fleet
    assert fleet is not None and window.figures is not None
    qtbot.waitUntil(lambda: len(fleet.rows()) == 3, timeout=20_000)
    office = window.side.office
    assert office is not None
    office.edit(hostile("first"))
    for row in range(window.figures._list.count()):
        window.figures._list.setCurrentRow(row)
    for page in range(window.pages.count()):
        window.pages.setCurrentIndex(page)
    qtbot.waitUntil(lambda: not office.editor.asker.busy, timeout=20_000)
    shown = [each for each in QApplication.topLevelWidgets() if each.isWindow()]
    assert len(shown) > 5
    assert sum(HOSTILE[:20] in words(each) for each in shown) >= 4
    found = [where for each in shown for where in markup(each)]
    assert found == []
    office.editor.close()
    office.list.close()


def test_the_dialogs_show_it_as_it_is(qtbot: QtBot) -> None:
    mine, theirs = hostile(), hostile(more="!")
    dialog = ReplacingDialog(
        mine, theirs, theirs, import_words(shipped=False), Figures(), (), effects=lambda _: None
    )
    qtbot.addWidget(dialog)
    dialog.show()
    assert HOSTILE[:40] in words(dialog)
    assert markup(dialog) == []
    dialog.reject()
    box = Dialogs(dialog)._box(QMessageBox.Icon.Warning, HOSTILE, HOSTILE)
    qtbot.addWidget(box)
    assert markup(box) == []
    box.close()


def test_paper_and_table_carry_it_as_it_is(qtbot: QtBot, tmp_path: Path) -> None:
    """On paper every mark is a letter; in a table nothing begins like a formula."""
    name = "=1+1 <b>P</b>"
    choices = {"fork_limiter_mm": 30.0, "shock_limiter_mm": 12.0}
    job = factories.job(machine=hostile().replace(name=name), choices=choices)
    plan = evaluate(job)
    write = Writer(UnitSystem.METRIC, lambda amount: f"{amount:.2f}")

    def length(value_mm: float) -> str:
        return f"{value_mm:.0f} mm"

    for paper in (
        bench_sheet(job, plan, write),
        fit_sheet(job, plan, account(job, plan, Rates()), write),
    ):
        sheet = PaperSheet(paper, BeforeAfter(plan.pictures.side["stopped"], length))
        path = tmp_path / "sheet.pdf"
        write_pages(path, sheet, Paper.A4)
        read = pypdf.PdfReader(path)
        text = squeezed("".join(page.extract_text() for page in read.pages))
        assert squeezed("<b>P</b>") in text
        images = [image for page in read.pages for image in page.images]
        assert len(images) <= 1
    table = plan_csv(plan, job, UnitSystem.METRIC).decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(table)))
    cells = [cell for row in rows for cell in row]
    assert f"'{name}" in cells
    assert not [cell for cell in cells if cell[:1] in "=@" and cell]


def test_an_export_of_it_reads_back(tmp_path: Path) -> None:
    path = tmp_path / "odd.json"
    Shelf(tmp_path).export(hostile(), path)
    assert codec.load_machine(path.read_text("utf-8")) == hostile()


def test_a_message_is_titled_once_and_begins_with_a_capital(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    parent = QWidget()
    qtbot.addWidget(parent)
    told: list[tuple[str, str]] = []
    dialogs = Dialogs(parent)
    monkeypatch.setattr(dialogs, "tell", lambda what, more="", **_: told.append((what, more)))
    with pytest.raises(DocumentError) as refused:
        codec.load_job(codec.dump(factories.machine_profile()))
    dialogs.refuse(refused.value)
    dialogs.refuse_profile(refusal("this is wrong"))
    assert all(each[:1].isupper() for pair in told for each in pair)
    title = dialogs._box(QMessageBox.Icon.Warning, "A", "").windowTitle()
    assert title == QApplication.applicationDisplayName()
