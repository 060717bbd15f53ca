"""The large figures above the pages: what they say, and that they keep their place."""

from dataclasses import replace

import pytest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from fitplanner.body.reach import Footing
from fitplanner.documents.bench import MeasuredState, Place, Reading, Stage, When
from fitplanner.planning.plan import Band, ByShop
from fitplanner.quantities import UnitSystem
from fitplanner.ui.pages import (
    Headline,
)
from fitplanner.ui.theme import ThemeMode, apply_theme
from tests import factories
from tests.gui import plan_fixture
from tests.gui.looking import cut_off, shown, words

METRIC, KGF, INCH = UnitSystem


def test_the_headline_says_need_tape_seat_feet_and_the_worst_check(qtbot: QtBot) -> None:
    line = Headline()
    shown(qtbot, line, height=110)
    line.show_plan(plan_fixture.plan())
    text = " | ".join(line.texts()).replace("\N{NO-BREAK SPACE}", " ")
    for part in (
        "42 mm", "33 to 51 mm", "41 mm", "on its wheels; sizes of the parts: 51 mm", "905 → 864 mm",
        "Toes of both feet → balls of both feet", "Fails: Lean when parked",
        "Stop, 3.9° too little", "41 mm lower",
    ):  # fmt: skip
        assert part in text
    line.set_system(INCH)
    text = " | ".join(line.texts()).replace("\N{NO-BREAK SPACE}", " ")
    for length_mm in (42.0, 41.0, 864.0):
        assert f"{length_mm / 25.4:.2f} in" in text
    assert "mm" not in text


def test_the_headline_counts_what_else_fails_and_says_when_nothing_does(qtbot: QtBot) -> None:
    line = Headline()
    shown(qtbot, line, height=110)
    plan = plan_fixture.plan()
    line.show_plan(plan)
    assert any("2 more" in text for text in line.texts())
    line.show_plan(replace(plan, checks=tuple(c for c in plan.checks if c.holds)))
    assert "None fails" in line.texts()


def test_a_headline_that_is_not_shown_claims_no_room(qtbot: QtBot) -> None:
    line = Headline()
    qtbot.addWidget(line)
    line.resize(60, 20)
    line.show_plan(plan_fixture.plan())
    assert line.minimumHeight() == 0
    line.resize(900, 20)
    with qtbot.waitExposed(line):
        line.show()
    assert 80 <= line.height() <= 140


@pytest.mark.parametrize("system", [METRIC, INCH])
def test_the_headline_keeps_its_height_whatever_it_says(
    qtbot: QtBot, qapp: QApplication, system: UnitSystem
) -> None:
    """As wide as in a window of 1280 by 800, with the longest words."""
    line = Headline()
    line.set_system(system)
    shown(qtbot, line, width=890, height=60)
    heights = set()
    plan = plan_fixture.plan()
    for need in (
        plan.requirement,
        replace(plan.requirement, wanted=Footing.BOTH_TOES, chance=0.45, reached=False),
        replace(
            plan.requirement,
            wanted=Footing.BOTH_BALLS,
            chance=0.53,
            reached=False,
            stock=replace(plan.requirement.stock, footing=Footing.NONE),
            planned=replace(plan.requirement.planned, footing=Footing.ONE_FOOT_FLAT),
        ),
    ):
        line.show_plan(replace(plan, requirement=need))
        qapp.processEvents()
        assert cut_off(line) == []
        heights.add(line.height())
    assert len(heights) == 1
    # More than that is never cut off, also with an entry that is not used.
    line.show_plan(plan_fixture.long_winded(plan))
    line.show_refused(["Inside leg: “30” is not used; planned with 780 mm"])
    qapp.processEvents()
    assert cut_off(line) == []
    line.show_plan(plan)
    line.show_refused([])
    qapp.processEvents()
    assert {line.minimumHeight()} == heights


def test_the_headline_says_what_is_to_spare_and_how_likely_the_footing_is(qtbot: QtBot) -> None:
    line = Headline()
    shown(qtbot, line, height=110)
    plan = plan_fixture.plan()
    need = replace(
        plan.requirement, drop_mm=Band(0.0, -9.0, 9.0), spare_mm=Band(12.0, 3.0, 21.0), chance=0.53
    )
    line.show_plan(replace(plan, requirement=need))
    text = " | ".join(line.texts()).replace("\N{NO-BREAK SPACE}", " ")
    assert text.startswith("None | 12 mm to spare, likely 3 to 21 mm")
    assert "as wanted: as likely as not (53 of 100)" in text
    line.show_plan(replace(plan, requirement=replace(need, reached=False, chance=0.12)))
    text = " | ".join(line.texts()).replace("\N{NO-BREAK SPACE}", " ")
    assert "wanted: balls of both feet, unlikely (12 of 100)" in text


def test_a_machine_that_comes_up_is_said_to_stand_higher(qtbot: QtBot) -> None:
    line = Headline()
    shown(qtbot, line, height=110)
    plan = plan_fixture.plan()
    delivered = replace(plan.delivered, on_wheels_mm=Band(-5.0, -8.0, -2.0), nominal_mm=-4.0)
    before = plan.states.stock.on_wheels.seat_height_mm
    higher = replace(plan.states.planned.on_wheels, seat_height_mm=before + 5.0)
    states = replace(plan.states, planned=replace(plan.states.planned, on_wheels=higher))
    line.show_plan(replace(plan, delivered=delivered, states=states))
    text = " | ".join(line.texts()).replace("\N{NO-BREAK SPACE}", " ")
    assert "5 mm higher | on its wheels; sizes of the parts: 4 mm higher" in text
    assert "\N{MINUS SIGN}" not in text
    assert "Lower by the tape" not in words(line)


def test_the_headline_names_entries_that_are_not_used(qtbot: QtBot, qapp: QApplication) -> None:
    line = Headline()
    shown(qtbot, line, width=890, height=110)
    line.show_plan(plan_fixture.plan())
    lines = [f"Entry {n}: “x” is not used; planned with {n} mm" for n in range(4)]
    line.show_refused(lines)
    qapp.processEvents()
    assert line.refused_text().splitlines() == [*lines[2:], "and 2 more"]
    assert cut_off(line) == []
    line.show_missing(["Body mass of the rider"])
    assert line.refused_text()
    # The red is that of the appearance, also of one chosen later.
    label = next(one for one in line.findChildren(QLabel) if one.text() == line.refused_text())
    for mode in (ThemeMode.DARK, ThemeMode.LIGHT):
        colours = apply_theme(qapp, mode)
        qapp.processEvents()
        assert label.palette().windowText().color() == colours.colour("stop")
    line.show_refused([])
    assert line.refused_text() == ""


def reading(when: When, value: float) -> Reading:
    at = {"place": Place.SEAT, "state": MeasuredState.ON_WHEELS}
    return Reading(when=when, value=value, **at)


def test_once_a_job_is_closed_the_tape_speaks_and_the_plan_is_called_one(qtbot: QtBot) -> None:
    line = Headline()
    shown(qtbot, line, height=110)
    line.show_plan(plan_fixture.plan())
    read = [reading(When.BEFORE, 900.0), reading(When.AFTER, 866.0)]
    line.show_job(factories.job(readings=read, stage=Stage.IN_WORK))
    assert "41\N{NO-BREAK SPACE}mm" in line.texts()
    line.show_job(factories.job(readings=read, stage=Stage.HANDED_OVER))
    text = " | ".join(line.texts()).replace("\N{NO-BREAK SPACE}", " ")
    assert "34 mm | delivered, on its wheels; planned 41 mm lower" in text
    assert "planned, as wanted: likely (80 of 100)" in text
    line.set_system(INCH)
    assert f"{34.0 / 25.4:.2f}\N{NO-BREAK SPACE}in" in line.texts()


@pytest.mark.parametrize("by_hand", [False, True])
def test_planned_for_the_shop_s_jobs_the_chance_is_theirs(qtbot: QtBot, by_hand: bool) -> None:
    line = Headline()
    shown(qtbot, line, height=110)
    shop = ByShop(
        jobs=8, planned_for=True, on_wheels_mm=Band(35.0, 30.0, 40.0), reached=False, unlearned=(),
        told="", chance=0.2, stopped_mm=34.0, spare_mm=-6.0, by_hand=by_hand,
    )  # fmt: skip
    line.show_plan(replace(plan_fixture.plan(), by_shop=shop))
    text = " | ".join(line.texts()).replace("\N{NO-BREAK SPACE}", " ")
    assert "as the jobs here came out: unlikely (20 of 100)" in text
    assert ("planned with the shop's experience: 35 mm" in text) is not by_hand
    assert ("sizes by hand; as 8 jobs here came out: 35 mm" in text) is by_hand
    line.show_plan(replace(plan_fixture.plan(), by_shop=replace(shop, planned_for=False)))
    assert "likely (80 of 100) by physics alone" in " ".join(line.texts()).replace(
        "\N{NO-BREAK SPACE}", " "
    )


def test_a_plan_that_falls_short_leads_to_the_options(qtbot: QtBot) -> None:
    line = Headline()
    shown(qtbot, line, width=890, height=110)
    plan = plan_fixture.plan()
    need = replace(plan.requirement, drop_mm=Band(35.0, 24.0, 47.0))
    line.show_plan(replace(plan, requirement=replace(need, reached=False)))
    assert "look at Options" in line.texts()[1]
    line.show_plan(replace(plan, requirement=replace(need, reached=True)))
    assert "Options" not in " ".join(line.texts())
