"""Pages cut nothing off, keep nothing alive and do nothing for nothing."""

import gc
import subprocess
import sys
import weakref
from dataclasses import replace

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

from fitplanner.quantities import UnitSystem
from fitplanner.ui.pages import (
    CurvesPage,
    Headline,
    Page,
)
from fitplanner.ui.theme import ThemeMode, apply_theme
from tests.gui import plan_fixture
from tests.gui.looking import EVERY_PAGE, PAGES, cut_off, shown


@pytest.mark.parametrize("mode", [ThemeMode.LIGHT, ThemeMode.DARK])
@pytest.mark.parametrize("system", [UnitSystem.METRIC, UnitSystem.INCH])
@pytest.mark.parametrize("width", [880, 1500])
def test_no_text_is_cut_off(
    qtbot: QtBot, qapp: QApplication, width: int, system: UnitSystem, mode: ThemeMode
) -> None:
    apply_theme(qapp, mode)
    qapp.processEvents()
    plan = plan_fixture.long_winded(plan_fixture.plan())
    for kind in PAGES:
        page = kind()
        page.set_system(system)
        shown(qtbot, page, width=width)
        page.show_plan(plan)
        qapp.processEvents()
        inner = page.widget()
        assert inner.width() <= page.viewport().width()
        assert inner.minimumSizeHint().width() <= page.viewport().width()
        assert cut_off(page) == []
    line = Headline()
    line.set_system(system)
    shown(qtbot, line, width=width, height=80)
    line.show_plan(plan)
    qapp.processEvents()
    assert cut_off(line) == []


@EVERY_PAGE
def test_names_with_marks_in_them_stay_plain_text(qtbot: QtBot, kind: type[Page]) -> None:
    page = kind()
    shown(qtbot, page)
    page.show_plan(plan_fixture.plan())
    assert all(label.textFormat() is Qt.TextFormat.PlainText for label in page.findChildren(QLabel))


@EVERY_PAGE
def test_showing_plans_again_and_again_adds_no_widgets(qtbot: QtBot, kind: type[Page]) -> None:
    page = kind()
    shown(qtbot, page)
    plan = plan_fixture.plan()
    counts = []
    for number in range(6):
        page.show_plan(replace(plan, checks=plan.checks[: 3 + number % 2], summary=str(number)))
        page.set_system(UnitSystem.INCH if number % 2 else UnitSystem.METRIC)
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        counts.append(len(page.findChildren(QWidget)))
    assert counts[2:4] == counts[4:6]


@pytest.mark.parametrize("kind", [*PAGES, Headline])
def test_nothing_keeps_a_closed_page_alive(qtbot: QtBot, kind: type[QWidget]) -> None:
    page = kind()
    page.show()
    page.show_plan(plan_fixture.plan())  # type: ignore[attr-defined]
    gone = weakref.ref(page)
    page.close()
    page.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    del page
    gc.collect()
    assert gone() is None


def test_a_hidden_page_waits_until_it_is_shown(qtbot: QtBot) -> None:
    page = CurvesPage()
    qtbot.addWidget(page)
    page.show_plan(plan_fixture.plan())
    assert page.cards() == ()
    with qtbot.waitExposed(page):
        page.show()
    assert len(page.cards()) == 3


def test_the_plotting_library_is_not_loaded_with_the_pages() -> None:
    code = "import sys, fitplanner.ui.pages; sys.exit('pyqtgraph' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
