"""Every kind of finding is seen once in the window, mended by its button, and gone after."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.documents.base import Figure, Section, Source
from fitplanner.documents.machine import LeverageTable, MachineProfile
from fitplanner.library.slips.finding import mended
from fitplanner.ui.fields import SourceEntry
from tests import factories
from tests.gui.shell import open_window
from tests.gui.slips_fixture import form_of, settle

TRUE = factories.machine_profile()
TABLE = TRUE.rear.linkage
assert isinstance(TABLE, LeverageTable)
LEVERAGE = TABLE.leverage


def table(leverage: list[float]) -> dict[str, Any]:
    return {"rear": {"linkage": TABLE.model_copy(update={"leverage": leverage})}}


SLIPS: list[tuple[str, str, dict[str, Any], str]] = [
    ("unit", "fork.bump_gap_mm", {"fork": {"bump_gap_mm": 3.8}}, "Take as cm: 38 mm"),
    ("unit", "rear.gas_pressure_kpa", {"rear": {"gas_pressure_kpa": 10.0}}, "Take as bar"),
    ("unit", "masses.tank_l", {"masses": {"tank_l": 2.378}}, "Take as US gallons"),
    ("wrong way", "masses.payload_kg", {"masses": {"payload_kg": 68.0}}, "Enter 149.9 kg"),
    ("digits", "stand.pivot_x_mm", {"stand": {"pivot_x_mm": 250.0}}, "Enter 520 mm"),
    ("share", "lamps.dip_percent", {"lamps": {"dip_percent": -0.00012}}, "Enter"),
    ("slope", "stand.angle_deg", {"stand": {"angle_deg": 46.6}}, "Enter 25.0°"),
    ("half", "rear.rod_diameter_mm", {"rear": {"rod_diameter_mm": 8.0}}, "Enter 16 mm"),
    (
        "both legs",
        "fork.displaced_area_mm2",
        {"fork": {"displaced_area_mm2": 2600.0}},
        "Enter 1300",
    ),
    ("legs", "fork.spring_rate_n_mm", {"fork": {"spring_legs": 2}}, "One leg holds a spring"),
    (
        "exchanged",
        "wheels.front_section_mm",
        {"wheels": {"front_section_mm": 140.0, "rear_section_mm": 80.0}},
        "Exchange both figures",
    ),
    ("other end", "controls.peg_x_mm", {"controls": {"peg_x_mm": 880.0}}, "Enter 560 mm"),
    ("sign", "lamps.plate_x_mm", {"lamps": {"plate_x_mm": 230.0}}, "Enter −230 mm"),
    (
        "offset",
        "catalogue.trail_mm",
        {"catalogue": {"trail_mm": 61.7}},
        "Take as the fork's offset: trail 107 mm",
    ),
    ("shock's travel", "rear.travel_mm", {"rear": {"travel_mm": 107.0}}, "Enter 300 mm"),
    ("inverse", "rear.linkage", table([1 / each for each in LEVERAGE]), "Take as shock travel"),
    ("upside down", "rear.linkage", table(LEVERAGE[::-1]), "Turn the leverage round"),
    ("row", "rear.linkage", table([*LEVERAGE[:3], 3.3, *LEVERAGE[4:]]), "Enter 2.83 in row 4"),
    ("state", "catalogue.state", {"stand": {"length_mm": 370.0}}, "Taken"),
]
"""What it is, where it is told, the slip, and how the button begins."""


@pytest.mark.slow
def test_every_kind_of_finding_is_seen_mended_by_its_button_and_gone(qtbot: QtBot) -> None:
    window = open_window(qtbot, factories.job(machine=TRUE))
    settle(qtbot, window)
    for what, place, changes, action in SLIPS:
        slipped = factories.machine_profile(**changes)
        window.history.change(factories.job(machine=slipped), what)
        settle(qtbot, window)
        section, _, key = place.partition(".")
        _, form = form_of(window, section)
        remark = form.remarks[key]
        assert remark.isVisible(), what
        assert remark.text().endswith("."), what
        assert remark.button.text().replace("\N{NO-BREAK SPACE}", " ").startswith(action), what
        assert remark.button.isVisible() and remark.button.isEnabled(), what
        finding = next(each for each in window.slips.findings if each.figure == (section, key))
        QTest.mouseClick(remark.button, Qt.MouseButton.LeftButton)
        assert window.session.job.machine == mended(slipped, finding), what
        settle(qtbot, window)
        assert not remark.isVisible(), what
        assert all(each.severity == "note" for each in window.slips.findings), what
        window.commands["undo"].trigger()
        assert window.session.job.machine == slipped, what


def test_the_button_is_reached_by_tab_from_its_figure(qtbot: QtBot) -> None:
    window = open_window(
        qtbot, factories.job(machine=factories.machine_profile(fork={"preload_mm": 0.3}))
    )
    settle(qtbot, window)
    dialog, form = form_of(window, "fork")
    source = next(one for one in form.findChildren(SourceEntry) if one.address[-2] == "preload_mm")
    source.setFocus()
    QTest.keyClick(source, Qt.Key.Key_Tab)
    button = form.remarks["preload_mm"].button
    assert dialog.focusWidget() is button
    QTest.keyClick(button, Qt.Key.Key_Space)
    focus = dialog.focusWidget()
    assert focus is not None and form.isAncestorOf(focus) and focus is not button
    settle(qtbot, window)
    assert not form.remarks["preload_mm"].isVisible()


def test_a_finding_without_a_likely_mend_has_no_button(qtbot: QtBot) -> None:
    slipped = factories.machine_profile(rear={"spring_rate_n_mm": 110.0})
    window = open_window(qtbot, factories.job(machine=slipped))
    settle(qtbot, window)
    _, form = form_of(window, "rear")
    remark = form.remarks["spring_rate_n_mm"]
    assert remark.isVisible() and not remark.button.isVisible()


def test_figures_by_rule_raise_no_slip(qtbot: QtBot) -> None:
    """A machine of which only the bare sheet is known: the rest is by rule, each within reason."""
    sections: dict[str, Section] = {}
    for name in ("masses", "fork", "rear"):
        section: Section = getattr(TRUE, name)
        figures = {
            spec.key: figure.replace(source=Source.ASSUMED, rule="as its kind has it")
            for spec in section.specs()
            if isinstance(figure := getattr(section, spec.key), Figure)
        }
        sections[name] = section.replace(**figures)
    profile: MachineProfile = TRUE.replace(**sections)
    window = open_window(qtbot, factories.job(machine=profile))
    settle(qtbot, window)
    assert window.slips.findings == ()
