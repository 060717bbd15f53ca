"""Slips in the machine's figures are seen in the window, and never hold up the plan."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.documents.machine import INVENTED
from fitplanner.library.loader import load_library
from fitplanner.library.slips.finding import Change, Finding
from fitplanner.planning import profile_check
from fitplanner.quantities import UnitSystem
from fitplanner.ui.slips import slips_among, slips_line
from tests import factories
from tests.gui.shell import open_window
from tests.gui.slips_fixture import form_of, settle

SLIPPED = factories.job(
    machine=factories.machine_profile(rear={"spring_rate_n_mm": 110.0}, masses={"payload_kg": 60.0})
)


def test_slips_are_counted_in_the_panel_and_told_beside_their_figures(qtbot: QtBot) -> None:
    window = open_window(qtbot, SLIPPED)
    settle(qtbot, window)
    assert window.inputs.machine.slips.text().startswith("2 figures look like slips")
    window.show_figures()
    opened = window.figures
    assert opened is not None
    assert any(remark.isVisible() for remark in opened.form().remarks.values())
    dialog, form = form_of(window, "rear")
    assert dialog.slips.text().startswith("2 figures look like slips")
    remark = form.remarks["spring_rate_n_mm"]
    assert "would suit" in remark.text() and " N/mm" in remark.text()
    assert remark.meaning() == "caution" and remark.isVisible()
    assert "travel_mm" not in form.remarks
    window.set_system(UnitSystem.INCH)
    assert " lbf/in" in remark.text() and " N/mm" not in remark.text()
    assert "rider" in form_of(window, "masses")[1].remarks["payload_kg"].text()


def test_a_mended_figure_is_no_longer_told(qtbot: QtBot) -> None:
    window = open_window(qtbot, SLIPPED)
    settle(qtbot, window)
    dialog, form = form_of(window, "rear")
    window.history.change(factories.job(), "mended")
    settle(qtbot, window)
    assert not any(remark.isVisible() for remark in form.remarks.values())
    assert dialog.slips.text() == window.inputs.machine.slips.text() == ""
    window.history.undo()
    settle(qtbot, window)
    assert form.remarks["spring_rate_n_mm"].isVisible()


def test_the_one_slip_of_a_table_stands_below_the_table(qtbot: QtBot) -> None:
    table = factories.machine_profile().rear.linkage
    assert table.layout == "table"
    rough = [table.leverage[0], *(1.25 * each for each in table.leverage[1:2]), *table.leverage[2:]]
    job = factories.job(
        machine=factories.machine_profile(rear={"linkage": table.replace(leverage=rough)})
    )
    window = open_window(qtbot, job)
    settle(qtbot, window)
    assert "leverage" in form_of(window, "rear")[1].remarks["linkage"].text().lower()


def test_a_note_is_no_slip_and_a_table_is_one_figure() -> None:
    findings = tuple(
        Finding(key, severity, "", "")  # type: ignore[arg-type]
        for key, severity in (
            ("rear.linkage.leverage", "stop"),
            ("rear.linkage.leverage.3", "caution"),
            ("fork.travel_mm", "note"),
            ("catalogue", "stop"),
        )
    )
    assert slips_among(findings) == {("rear", "linkage"), ("catalogue", "")}


@pytest.mark.expects_log
def test_a_fault_in_the_check_costs_no_more_than_the_check(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_: object) -> tuple[Finding, ...]:
        raise ZeroDivisionError

    monkeypatch.setattr(profile_check, "check_profile", broken)
    window = open_window(qtbot, SLIPPED)
    settle(qtbot, window)
    assert window.plan is not None and window.inputs.machine.slips.text() == ""


def test_an_invented_machine_is_said_to_be_invented(qtbot: QtBot) -> None:
    shipped = load_library().profiles
    job = factories.job(machine=shipped["brackwell-250"])
    window = open_window(qtbot, job, profiles=shipped)
    assert window.inputs.machine.invented.text() == INVENTED
    dialog, _ = form_of(window, "seat")
    assert dialog.invented.text() == INVENTED
    window.history.change(factories.job(), "another machine")
    assert dialog.invented.text() == window.inputs.machine.invented.text() == ""
    settle(qtbot, window)


def test_the_likely_mend_is_one_key_and_one_step(qtbot: QtBot) -> None:
    slipped = factories.machine_profile(fork={"preload_mm": 0.3})
    window = open_window(qtbot, factories.job(machine=slipped))
    settle(qtbot, window)
    _, form = form_of(window, "fork")
    remark = form.remarks["preload_mm"]
    assert remark.button.isVisible() and remark.button.text() == "Take as inches: 7.6 mm"
    assert remark.button.accessibleName() == "Take as inches: 7.6 mm"
    assert "unusual" in remark.button.accessibleDescription()
    remark.button.setFocus()
    with qtbot.waitSignal(form.mended) as told:
        QTest.keyClick(remark.button, Qt.Key.Key_Space)
    assert told.args is not None and told.args[0].key == "fork.preload_mm"
    figure = window.session.job.machine.fork.preload_mm
    assert figure.value == pytest.approx(7.62) and figure.typed == "0.3 in"
    assert figure.note == "read as in: 0.3" and figure.source is slipped.fork.preload_mm.source
    assert not remark.button.isEnabled()
    settle(qtbot, window)
    assert not remark.isVisible() and window.inputs.machine.slips.text() == ""
    window.commands["undo"].trigger()
    assert window.session.job.machine == slipped
    settle(qtbot, window)
    assert remark.button.isEnabled() and remark.isVisible()


def test_a_mend_is_promised_only_where_one_stands() -> None:
    change = Change(("fork", "travel_mm"), 300.0)
    bare = Finding("fork.travel_mm", "caution", "Odd.", "Look.")
    with_mend = Finding("rear.travel_mm", "caution", "Odd.", "Mend.", (change,), "Mend it")
    assert slips_line(()) == ""
    assert slips_line((bare,)) == "1 figure looks like a slip; below it stands why."
    assert slips_line((with_mend,)).endswith("why, and its likely mend.")
    assert slips_line((bare, with_mend)).endswith("the likely mend where there is one.")
