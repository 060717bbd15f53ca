"""Torques from the maker's manual, entered at the machine's figures."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.documents.torque import Fastener, Torque
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.panels.torques import TorquesForm
from tests import factories
from tests.gui.shell import open_window, retype

AXLE = Torque(fastener=Fastener.FRONT_AXLE, words="60 N·m", source="Manual of the tests, p. 7")
LINK = Torque(fastener=Fastener.LINK, words="45 N·m", source="Manual of the tests, p. 9")


def torques(qtbot: QtBot, window: MainWindow) -> TorquesForm:
    window.show_figures()
    dialog = window.figures
    assert dialog is not None
    dialog.activateWindow()
    qtbot.waitUntil(dialog.isActiveWindow)
    dialog.show_section("torques")
    form = dialog.form()
    assert isinstance(form, TorquesForm)
    return form


def kept(window: MainWindow) -> list[Torque]:
    return window.session.job.machine.torques


def test_torques_are_kept_as_written_in_the_order_of_the_work(qtbot: QtBot) -> None:
    window = open_window(qtbot)
    form = torques(qtbot, window)
    for each in (LINK, AXLE):
        row = form.rows[each.fastener]
        retype(row.torque, each.words)
        assert each not in kept(window)
        retype(row.source, f" {each.source} ")
    assert kept(window) == [AXLE, LINK]
    QTest.keyClick(form.rows[Fastener.FRONT_AXLE].source, Qt.Key.Key_Return)
    window.commands["undo"].trigger()
    assert kept(window) == [LINK]
    assert form.rows[Fastener.FRONT_AXLE].torque.text() == ""


@pytest.mark.parametrize(
    ("words", "source", "why"),
    [
        ("60 N·m", "", "the book and its page"),
        ("", "p. 7", "as the book writes it"),
        ("tight", "p. 7", "such as 60 N·m"),
    ],
)
def test_half_a_torque_is_not_kept_and_not_lost(
    qtbot: QtBot, words: str, source: str, why: str
) -> None:
    window = open_window(qtbot)
    form = torques(qtbot, window)
    row, other = form.rows[Fastener.SEAT], form.rows[Fastener.LINK]
    retype(row.torque, words)
    retype(row.source, source)
    assert row.message.text() == "", "still being typed"
    retype(other.torque, LINK.words)
    retype(other.source, LINK.source)
    assert kept(window) == [LINK]
    assert why in row.message.text()
    assert "seat bolts" in window.headline.refused_text()
    assert (row.torque.text(), row.source.text()) == (words, source)
    window.commands["undo"].trigger()
    assert (row.torque.text(), row.source.text(), row.message.text()) == ("", "", "")
    assert kept(window) == [LINK] and window.headline.refused_text() == ""


def test_a_torque_that_is_emptied_goes(qtbot: QtBot) -> None:
    machine = factories.machine_profile(torques=[AXLE, LINK])
    window = open_window(qtbot, factories.job(machine=machine))
    row = torques(qtbot, window).rows[Fastener.FRONT_AXLE]
    assert (row.torque.text(), row.source.text()) == (AXLE.words, AXLE.source)
    retype(row.torque, "")
    assert kept(window) == [AXLE, LINK]
    retype(row.source, "")
    assert kept(window) == [LINK]
