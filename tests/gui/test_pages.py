"""What the pages show of a plan: the figures, their units, their order, and nothing cut off."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fitplanner.body.reach import Footing
from fitplanner.planning.plan import STATE_NAMES, Caution, Severity
from fitplanner.quantities import Kind, UnitSystem, figure_in_text
from fitplanner.ui.pages import (
    ChecksPage,
    CurvesPage,
    Headline,
    HeightsPage,
    Page,
    SpringsPage,
    WhyPage,
    WorkPage,
)
from fitplanner.ui.pages.wording import limit_text, margin_text, value_text, worst_first
from fitplanner.ui.widgets.figures import Figures
from tests.gui import plan_fixture
from tests.gui.looking import COMMA, PAGES, POINT, shown, stiff, words

METRIC, KGF, INCH = UnitSystem


# Units and decimal marks. 1 in = 25.4 mm exactly (international yard and pound agreement).


@pytest.mark.parametrize("kind", [kind for kind in PAGES if kind is not CurvesPage])
def test_every_page_of_words_follows_the_unit_system(qtbot: QtBot, kind: type[Page]) -> None:
    page = kind()
    shown(qtbot, page)
    page.show_plan(plan_fixture.plan())
    before = words(page)
    page.set_system(INCH)
    after = words(page)
    assert before != after
    figures = [text for text in after if any(c.isdigit() for c in text) and len(text) < 24]
    assert not any("N/mm" in text or "kgf" in text for text in after if "asks for" not in text)
    assert not any(text.endswith((" mm", " N")) for text in figures)
    page.set_system(METRIC)
    assert words(page) == before


def test_rates_in_kgf_leave_lengths_in_mm(qtbot: QtBot) -> None:
    page = SpringsPage()
    shown(qtbot, page)
    page.show_plan(plan_fixture.plan())
    page.set_system(KGF)
    # 8.2 N/mm over 9.80665 N per kgf (standard gravity, ISO 80000-4).
    assert f"{8.2 / 9.80665:.2f} kgf/mm" in words(page)
    assert "34 mm" in words(page)


def test_figures_carry_the_locale_s_decimal_mark(qtbot: QtBot) -> None:
    page = SpringsPage()
    shown(qtbot, page, locale=COMMA)
    page.show_plan(plan_fixture.plan())
    assert "8,20 N/mm" in words(page)
    page.setLocale(POINT)
    assert "8.20 N/mm" in words(page)


def test_a_figure_inside_a_sentence_follows_too(qtbot: QtBot) -> None:
    plan = plan_fixture.plan()
    reason = f"Stock stood {figure_in_text(25.4, Kind.LENGTH)} higher."
    page = ChecksPage()
    shown(qtbot, page)
    page.show_plan(replace(plan, checks=(replace(plan.checks[1], reason=reason),)))
    assert "Stock stood 25 mm higher." in words(page)
    page.set_system(INCH)
    assert "Stock stood 1.00 in higher." in words(page)


# Checks.


def test_checks_that_fail_come_first_and_the_gravest_of_them_on_top(qtbot: QtBot) -> None:
    plan = plan_fixture.plan()
    page = ChecksPage()
    shown(qtbot, page)
    page.show_plan(plan)
    assert [check.key for check in page.shown_checks()] == ["stand", "sag", "free"]
    QTest.keyClick(page.holding_box(), Qt.Key.Key_Space)
    keys = [check.key for check in page.shown_checks()]
    assert keys[:3] == ["stand", "sag", "free"]
    assert sorted(keys) == sorted(check.key for check in plan.checks)
    assert "3 of 6 do not hold: 1 stop, 1 caution, 1 note" in words(page)


@given(st.lists(st.tuples(st.booleans(), st.sampled_from(Severity))))
def test_the_order_of_checks_never_lets_a_grave_one_sink(
    drawn: list[tuple[bool, Severity]],
) -> None:
    checks = [
        plan_fixture.check(str(number), severity, holds=holds)
        for number, (holds, severity) in enumerate(drawn)
    ]
    ordered = worst_first(checks)
    assert sorted(c.key for c in ordered) == sorted(c.key for c in checks)
    weight = {Severity.STOP: 0, Severity.CAUTION: 1, Severity.NOTE: 2}
    ranks = [(check.holds, weight[check.severity]) for check in ordered]
    assert ranks == sorted(ranks)


def test_limits_say_on_which_side_the_value_must_stay() -> None:
    plan, figures = plan_fixture.plan(), Figures()
    by_key = {check.key: check for check in plan.checks}
    lean, sag = by_key["stand"], by_key["sag"]
    assert limit_text(lean, figures) == "at least 7.0°"
    assert margin_text(lean, figures) == "3.9° too little"
    assert limit_text(sag, figures) == f"at most {stiff('87 mm')}"
    assert margin_text(sag, figures) == f"{stiff('7 mm')} too much"
    assert margin_text(by_key["bind"], figures) == f"{stiff('26 mm')} to spare"
    met = replace(sag, value=sag.limit, margin=0.0, holds=True)
    assert limit_text(met, figures) == f"limit {stiff('87 mm')}"
    assert margin_text(met, figures) == "at its limit"


@pytest.mark.parametrize(
    ("value", "told"),
    [
        (29.04, ("29.04 mm", "at most 29.00 mm", "0.04 mm too much")),
        (29.3, ("29.3 mm", "at most 29.0 mm", "0.3 mm too much")),
        (31.0, ("31 mm", "at most 29 mm", "2 mm too much")),
    ],
)
def test_a_value_just_past_its_limit_reads_unlike_it(
    value: float, told: tuple[str, str, str]
) -> None:
    sag = next(check for check in plan_fixture.plan().checks if check.key == "sag")
    past = replace(sag, value=value, limit=29.0, margin=29.0 - value, holds=False)
    texts = (value_text(past, Figures()), limit_text(past, Figures()), margin_text(past, Figures()))
    assert tuple(text.replace("\N{NO-BREAK SPACE}", " ") for text in texts) == told


def test_a_shorter_list_of_checks_leaves_none_behind(qtbot: QtBot) -> None:
    plan = plan_fixture.plan()
    page = ChecksPage()
    shown(qtbot, page)
    page.show_plan(plan)
    holding = plan_fixture.check("gap", Severity.STOP, holds=True)
    page.show_plan(replace(plan, checks=(holding,)))
    assert page.shown_checks() == []
    assert "All 1 checks hold" in words(page)
    page.holding_box().click()
    assert page.shown_checks() == [holding]


# What each page is for.


def test_a_missing_plan_says_what_is_needed(qtbot: QtBot) -> None:
    line = Headline()
    shown(qtbot, line, height=110)
    assert any("inside leg" in text for text in line.texts())
    line.show_missing(["Body mass of the rider"])
    assert line.texts()[0] == "Body mass of the rider"
    line.show_plan(plan_fixture.plan())
    assert "Body mass of the rider" not in line.texts()
    for kind in PAGES:
        page = kind()
        shown(qtbot, page)
        assert any("Nothing to show yet" in text for text in words(page))
        page.show_plan(plan_fixture.plan())
        assert not any("Nothing to show yet" in text for text in words(page))
        page.show_plan(None)
        assert len(words(page)) == 1


def test_heights_show_every_state_with_its_change_and_stops_in_words(qtbot: QtBot) -> None:
    page = HeightsPage()
    shown(qtbot, page)
    page.show_plan(plan_fixture.plan())
    seat, rest = page.tables()
    rows = seat.texts()
    assert rows[0][:4] == ["State", "Stock, mm", "Planned, mm", "Change, mm"]
    assert len(rows) == len(rest.texts()) == len(STATE_NAMES) + 1
    assert rows[4] == ["Stopped", "905", "864", "\N{MINUS SIGN}41", ""]
    assert rows[1][4] == "both ends topped out"
    assert rows[5][4] == "both ends bottomed"
    assert rows[6][4] == "leans 3.1°"
    heading = rest.texts()[0]
    on_wheels = dict(zip(heading, rest.texts()[2], strict=True))
    assert on_wheels["Wheelbase, mm"] == stiff("1440 → 1426")
    assert on_wheels["Rake, °"] == stiff("27.0 → 27.1")


def test_one_end_at_its_stop_is_named(qtbot: QtBot) -> None:
    plan = plan_fixture.plan()
    parked = replace(plan.states.planned.parked, rear_stop="topped out")
    states = replace(plan.states, planned=replace(plan.states.planned, parked=parked))
    page = HeightsPage()
    shown(qtbot, page)
    page.show_plan(replace(plan, states=states))
    assert page.tables()[0].texts()[6][4] == "rear topped out, leans 3.1°"


def test_springs_show_the_neighbours_and_which_windows_they_meet(qtbot: QtBot) -> None:
    plan = plan_fixture.plan()
    page = SpringsPage()
    shown(qtbot, page)
    page.show_plan(plan)
    for end, spring in plan.springs.items():
        rows = page.options(end).texts()[1:]
        assert len(rows) == len(spring.options)
        for row, option in zip(rows, spring.options, strict=True):
            taken = "by hand" if spring.rate_by_hand else "chosen"
            assert (taken in row[0], "stock" in row[0]) == (option.chosen, option.stock)
            assert ("✓" in row[2], "✓" in row[3]) == (option.free_ok, option.rider_ok)
            assert ("✗" in row[2], "✗" in row[3]) == (not option.free_ok, not option.rider_ok)
    shown_words = words(page)
    assert "window 13 to 33 mm: 1 mm over" in shown_words
    assert "window 55 to 68 mm: inside" in shown_words
    assert any(text.startswith("Free sag yields") for text in shown_words)


def test_work_shows_what_to_fit_with_amounts_and_what_is_left_out(qtbot: QtBot) -> None:
    page = WorkPage()
    shown(qtbot, page)
    page.show_plan(plan_fixture.plan())
    rows = {row[0]: row for row in page.ways().texts()[1:]}
    assert rows["Extension limiter, fork"][1] == stiff("50.8 mm")
    assert rows["Extension limiter, shock"][4] == "by hand"
    assert rows["Fork spring"][1] == stiff("8.20 N/mm")
    assert "the stock spring stays" in rows["Shock spring"][5]
    assert "Lower seat" not in rows
    assert any("Not offered on this machine: Lower seat." in text for text in words(page))


def test_consequences_stand_under_their_topic_stock_and_planned(qtbot: QtBot) -> None:
    plan = plan_fixture.plan()
    page = WorkPage()
    shown(qtbot, page)
    page.show_plan(plan)
    tables = page.topics()
    assert list(tables) == list(dict.fromkeys(row.topic for row in plan.consequences))
    assert sum(len(table.texts()) - 1 for table in tables.values()) == len(plan.consequences)
    assert tables["side-stand"].texts()[2][:3] == [
        "Stand length", stiff("308 mm"), stiff("267 mm"),
    ]  # fmt: skip
    assert tables["headlamp"].texts()[2][1:3] == [stiff("−1.2 %"), stiff("−1.0 %")]
    assert tables["clearance"].texts()[3][1] == "–"
    page.show_plan(replace(plan, consequences=plan.consequences[:1]))
    assert list(page.topics()) == ["fork oil"]


def test_each_caution_stands_once_and_at_its_step(qtbot: QtBot) -> None:
    plan = plan_fixture.plan()
    after = Caution("Test ride", "Ride slowly first.")
    page = WorkPage()
    shown(qtbot, page)
    page.show_plan(replace(plan, cautions=(*plan.cautions, after)))
    placed = page.caution_texts()
    assert sorted(text for _, text in placed) == sorted(
        caution.text for caution in (*plan.cautions, after)
    )
    where = {text: title for title, text in placed}
    assert where[plan.cautions[0].text] == "Before the work"
    assert where[plan.cautions[1].text] == "What to fit"
    assert where[plan.cautions[2].text] == "Fork oil"
    assert where[plan.cautions[3].text] == "Side-stand"
    assert where[after.text] == "Before it goes out again"


def test_why_walks_from_the_parts_to_the_tape(qtbot: QtBot) -> None:
    page = WhyPage()
    shown(qtbot, page)
    page.show_plan(plan_fixture.plan())
    rows = [(name, figure.replace("\N{NO-BREAK SPACE}", " ")) for name, figure in
            page.waterfall().texts()]  # fmt: skip
    assert rows[0][1] == "51 mm"
    assert rows[1:4] == [
        ("Geometry takes", "−2 mm"),
        ("Free sag gives", "+1 mm"),
        ("Preload takes", "−9 mm"),
    ]
    assert rows[4][1] == "41 mm"
    assert page.widest().texts()[0] == ("Inside leg", stiff("46 %"))
    # In brief; what to measure next is worked out on another page, by another rule.
    assert len(page.widest().texts()) == 3
    assert any("stands under “Not known”" in text for text in words(page))
    assert "What to measure next" not in words(page)
    assert any("20 %" in text and "\n" in text for text in words(page))


def test_why_shows_the_lean_only_where_one_foot_carries(qtbot: QtBot) -> None:
    plan = plan_fixture.plan()
    page = WhyPage()
    shown(qtbot, page)
    page.show_plan(plan)
    assert "Load on that foot" not in words(page)
    one = replace(
        plan.requirement.planned,
        footing=Footing.ONE_FOOT_FLAT,
        lean_deg=5.5,
        foot_load_n=610.0,
        weight_share=0.75,
    )
    page.show_plan(replace(plan, requirement=replace(plan.requirement, planned=one)))
    assert {"Load on that foot", "610 N", "75 %"} <= set(words(page))


def test_an_estimated_leg_is_called_too_uncertain_to_buy_parts_on(qtbot: QtBot) -> None:
    plan = plan_fixture.plan()
    page = WhyPage()
    shown(qtbot, page)
    page.show_plan(replace(plan, requirement=replace(plan.requirement, inside_leg_estimated=True)))
    assert any("Too wide to buy parts on" in text for text in words(page))


def test_curves_draw_the_plan_s_own_series_in_the_unit_shown(qtbot: QtBot) -> None:
    plan = plan_fixture.plan()
    page = CurvesPage()
    shown(qtbot, page)
    page.show_plan(plan)
    front, _, leverage = page.cards()
    stock = plan.plots.wheel_force["front"][0]
    drawn = front.curve_data()
    assert set(drawn) == {"stock", "planned"}
    np.testing.assert_array_equal(drawn["stock"][1], stock.y)
    assert front.axis_texts() == ["Travel from stock full extension, mm", "Force at the wheel, N"]
    page.set_system(INCH)
    # 1 lbf = 4.4482216152605 N exactly (from the pound and standard gravity).
    np.testing.assert_allclose(front.curve_data()["stock"][0], stock.x / 25.4, rtol=1e-12)
    np.testing.assert_allclose(
        front.curve_data()["stock"][1], stock.y / 4.4482216152605, rtol=1e-12
    )
    np.testing.assert_array_equal(leverage.curve_data()["planned"][1], plan.plots.leverage[1].y)
    only = replace(plan.plots, leverage=plan.plots.leverage[:1])
    page.show_plan(replace(plan, plots=only))
    assert set(leverage.curve_data()) == {"stock"}
    assert leverage.key_texts() == ["Stock"]
