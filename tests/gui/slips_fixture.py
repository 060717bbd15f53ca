"""What tests of slips share: the check is awaited, and a section of the figures shown."""

from pytestqt.qtbot import QtBot

from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.panels.figures import FiguresDialog
from fitplanner.ui.panels.section import SectionForm


def settle(qtbot: QtBot, window: MainWindow) -> None:
    qtbot.waitUntil(lambda: not window.slips.busy and not window.planner.busy, timeout=20_000)


def form_of(window: MainWindow, section: str) -> tuple[FiguresDialog, SectionForm]:
    window.show_figures()
    dialog = window.figures
    assert dialog is not None
    dialog.show_section(section)
    form = dialog.form()
    assert isinstance(form, SectionForm)
    return dialog, form
