"""A spring in the hand: typed or pasted, shown with its band, taken over in one step."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox
from pytestqt.qtbot import QtBot

from fitplanner.documents.base import Source
from fitplanner.mechanics.spring_readings import Across
from fitplanner.mechanics.springs import EndType, WireMaterial
from fitplanner.quantities import Kind, UnitSystem
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.spring.window import SpringButton, SpringWindow
from tests import factories
from tests.gui.figures_fixture import figures
from tests.gui.shell import open_window, retype

LEFT = Qt.MouseButton.LeftButton
# A shock spring of 11 mm wire, 68 mm outside, 9.5 coils of which two are closed: 101.7 N/mm.
RATE = 77_200 * 11.0**4 / (8 * 57.0**3 * 7.5)
PRESSED = "180\t2035\n170\t3050\n160\t4070\n150\t5085"


def opened(
    qtbot: QtBot, section: str = "rear", system: UnitSystem = UnitSystem.METRIC
) -> tuple[MainWindow, SpringWindow]:
    window = open_window(qtbot)
    window.set_system(system)
    button = figures(window, section).findChild(SpringButton)
    assert isinstance(button, SpringButton)
    QTest.mouseClick(button, LEFT)
    spring = button.spring_window()
    assert spring is not None and spring.isVisible()
    return window, spring


def choose(box: QComboBox, value: object) -> None:
    """Go to a choice by keys."""
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Home)
    while box.currentData() != value:
        before = box.currentIndex()
        QTest.keyClick(box, Qt.Key.Key_Down)
        assert box.currentIndex() != before


def type_dimensions(spring: SpringWindow, wire: str, diameter: str, coils: str) -> None:
    page = spring.dimensions
    for reading, text in ((page.wire, wire), (page.diameter, diameter), (page.coils, coils)):
        retype(reading.value, text)


def shown(spring: SpringWindow) -> str:
    return spring.rate.text().replace("\N{NO-BREAK SPACE}", " ")


def test_dimensions_give_a_rate_that_is_taken_over_in_one_step(qtbot: QtBot) -> None:
    window, spring = opened(qtbot)
    before = window.session.job
    assert not spring.take.isEnabled()
    type_dimensions(spring, "11", "68", "9.5")
    retype(spring.dimensions.free.value, "225")
    found = spring.found()
    assert found is not None and found.rate_n_mm.value == pytest.approx(RATE)
    assert shown(spring) == f"Rate {RATE:.2f} ± {found.rate_n_mm.spread:.2f} N/mm"
    assert "of the band" in spring.remarks.text()
    assert window.session.job == before
    QTest.mouseClick(spring.take, LEFT)
    rear = window.session.job.machine.rear
    assert rear.spring_rate_n_mm.value == pytest.approx(RATE, abs=1e-3)
    assert rear.spring_rate_n_mm.spread == pytest.approx(found.rate_n_mm.spread, abs=1e-3)
    assert rear.spring_rate_n_mm.source is Source.MEASURED
    assert rear.spring_rate_n_mm.origin == (
        "wire 11 mm, 68 mm outside, 9.5 coils all, tip to tip, chrome-silicon"
    )
    assert rear.spring_free_mm.value == 225.0 and rear.spring_solid_mm.value == 104.5
    assert not spring.isVisible()
    window.commands["undo"].trigger()
    assert window.session.job == before


def test_the_fork_has_its_own(qtbot: QtBot) -> None:
    window, spring = opened(qtbot, "fork")
    type_dimensions(spring, "4.8", "38", "33")
    QTest.mouseClick(spring.take, LEFT)
    job = window.session.job
    rate = 77_200 * 4.8**4 / (8 * 33.2**3 * 31)
    assert job.machine.fork.spring_rate_n_mm.value == pytest.approx(rate, abs=1e-3)
    assert job.machine.rear == factories.job().machine.rear
    # No free length was read: that of the profile stays, as what the spring before had.
    old, new = factories.job().machine.fork.spring_free_mm, job.machine.fork.spring_free_mm
    assert new.value == old.value and new.spread >= old.spread
    assert new.source is Source.ESTIMATED and new.origin == "of the spring before"


@pytest.mark.parametrize(("wire", "far"), [("9", False), ("4", True), ("14", True)])
def test_a_rate_far_from_the_profiles_is_a_caution_and_never_ticked(
    qtbot: QtBot, wire: str, far: bool
) -> None:
    _, spring = opened(qtbot)
    type_dimensions(spring, wire, "68", "9.5")
    assert ("in the profile: check the units" in spring.remarks.text()) is far
    assert spring.remarks.meaning() == ("caution" if far else "note")
    assert "Not read: free length" in spring.lengths.text()
    retype(spring.dimensions.free.value, "225")
    assert "Not read" not in spring.lengths.text()


def test_inches_are_kept_as_they_were_typed(qtbot: QtBot) -> None:
    window, spring = opened(qtbot, system=UnitSystem.INCH)
    type_dimensions(spring, "0.433", "2.677", "9.5")
    assert shown(spring).endswith("lbf/in")
    QTest.mouseClick(spring.take, LEFT)
    origin = window.session.job.machine.rear.spring_rate_n_mm.origin
    assert origin.startswith("wire 0.433 in, 2.677 in outside")


def test_how_it_was_read_changes_the_rate(qtbot: QtBot) -> None:
    _, spring = opened(qtbot)
    type_dimensions(spring, "11", "57", "7.5")
    page = spring.dimensions
    choose(page.across, Across.MIDDLE)
    choose(page.counted, False)
    found = spring.found()
    assert found is not None and found.rate_n_mm.value == pytest.approx(RATE)
    choose(page.material, WireMaterial.MUSIC)
    music = spring.found()
    assert music is not None and music.rate_n_mm.value == pytest.approx(RATE * 80_000 / 77_200)
    choose(page.ends, EndType.SQUARED)
    squared = spring.found()
    assert squared is not None and found.solid_mm is not None and squared.solid_mm is not None
    assert squared.solid_mm.value == pytest.approx(found.solid_mm.value + 11.0)


def test_a_better_calliper_narrows_the_band(qtbot: QtBot) -> None:
    _, spring = opened(qtbot)
    type_dimensions(spring, "11", "68", "9.5")
    wide = spring.found()
    retype(spring.dimensions.coils.spread, "0.05")
    sharp = spring.found()
    assert wide is not None and sharp is not None
    assert sharp.rate_n_mm.spread < wide.rate_n_mm.spread


def test_what_is_no_spring_is_said_and_typing_kept(qtbot: QtBot) -> None:
    window, spring = opened(qtbot)
    type_dimensions(spring, "11", "20", "9.5")
    assert "No spring has these dimensions" in spring.message.text()
    assert not spring.take.isEnabled() and spring.dimensions.diameter.value.text() == "20"
    retype(spring.dimensions.diameter.value, "68")
    assert spring.message.text() == "" and spring.take.isEnabled()
    retype(spring.dimensions.wire.value, "eleven")
    assert spring.message.text() and not spring.take.isEnabled()
    assert window.session.job == factories.job()


def test_a_rate_that_the_profile_refuses_is_said(qtbot: QtBot) -> None:
    window, spring = opened(qtbot)
    type_dimensions(spring, "4.5", "36", "45")
    QTest.mouseClick(spring.take, LEFT)
    assert "lies outside" in spring.message.text() and spring.isVisible()
    assert window.session.job == factories.job()


def test_enter_in_a_field_takes_nothing_over(qtbot: QtBot) -> None:
    window, spring = opened(qtbot)
    type_dimensions(spring, "11", "68", "9.5")
    QTest.keyClick(spring.dimensions.coils.value.line_edit, Qt.Key.Key_Return)
    assert spring.isVisible() and window.session.job == factories.job()


def test_a_press_gives_a_rate_from_pasted_readings(qtbot: QtBot) -> None:
    window, spring = opened(qtbot)
    spring.tabs.setCurrentIndex(1)
    spring.press.table.paste_text(f"length, mm\tforce, N\n{PRESSED}")
    found = spring.found()
    assert found is not None and found.rate_n_mm.value == pytest.approx(101.65, abs=0.1)
    item = spring.press.table.item(0, 2)
    assert item is not None and item.text().endswith("N")
    QTest.mouseClick(spring.take, LEFT)
    rate = window.session.job.machine.rear.spring_rate_n_mm
    assert rate.origin.replace("\N{NO-BREAK SPACE}", " ") == (
        "pressed, 4 readings from 180 mm to 150 mm long"
    )
    assert rate.source is Source.MEASURED and rate.spread > 0.0


def test_a_scale_reads_kilograms(qtbot: QtBot) -> None:
    _, spring = opened(qtbot)
    spring.tabs.setCurrentIndex(1)
    spring.press.table.paste_text("180\t200\n150\t500")
    press = spring.found()
    choose(spring.press.forces, Kind.MASS)
    scale = spring.found()
    assert press is not None and scale is not None
    assert scale.rate_n_mm.value == pytest.approx(press.rate_n_mm.value * 9.80665)
    assert "kg" in spring.press.table.horizontalHeaderItem(1).text()


def test_a_press_row_off_the_line_is_marked(qtbot: QtBot) -> None:
    _, spring = opened(qtbot)
    spring.tabs.setCurrentIndex(1)
    spring.press.table.paste_text("180\t2035\n170\t3050\n165\t3800\n160\t4070\n150\t5085")
    assert "Row 3 does not go with the others" in spring.remarks.text()
    assert spring.remarks.meaning() == "caution"


def test_a_bad_paste_says_its_row(qtbot: QtBot) -> None:
    _, spring = opened(qtbot)
    spring.tabs.setCurrentIndex(1)
    spring.press.table.paste_text("180\t2035\n170")
    assert spring.message.text().startswith("Not pasted. Row 2: 1 figure instead of 2")


def test_the_cautions_stand_there(qtbot: QtBot) -> None:
    from fitplanner.ui.widgets.remark import Remark

    for section, word in (("fork", "cap"), ("rear", "trained")):
        _, spring = opened(qtbot, section)
        said = " ".join(each.text() for each in spring.findChildren(Remark))
        assert word in said and "guides it" in said


def test_another_job_forgets_what_was_typed(qtbot: QtBot) -> None:
    window, spring = opened(qtbot)
    type_dimensions(spring, "11", "68", "9.5")
    assert window.figures is not None
    window.figures.discard()
    button = figures(window, "rear").findChild(SpringButton)
    assert isinstance(button, SpringButton) and button.spring_window() is None
    QTest.mouseClick(button, LEFT)
    fresh = button.spring_window()
    assert fresh is not None and fresh.dimensions.wire.value.text() == ""
