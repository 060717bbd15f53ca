"""The editor of machine profiles: what is typed, what is assumed, and what they are good for."""

import json
import threading
from datetime import date

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from fitplanner import paths
from fitplanner.documents.base import Figure, Source
from fitplanner.documents.machine import CatalogueState, LeverageTable, MachineKind
from fitplanner.library.stages import STAGES
from fitplanner.quantities import UnitSystem
from fitplanner.session.edits import Edit, value_at
from fitplanner.ui.panels.assumed import AssumedLabel, OfferEntry
from fitplanner.ui.panels.linkage import LinkageTable
from fitplanner.ui.panels.state import StateEntry
from fitplanner.ui.profiles import asking
from fitplanner.ui.profiles.asking import Heights
from fitplanner.ui.profiles.editor import ProfileEditor
from fitplanner.ui.profiles.form import OriginLabel
from fitplanner.ui.spring.window import SpringButton
from tests.gui.editor_fixture import enter, entry, figure, new_machine, settled, tab
from tests.gui.shell import retype


def test_every_figure_of_a_profile_stands_on_exactly_one_page(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    for page in editor.stages:
        page.build()
    shown = [
        field.address[1:]
        for page in editor.stages
        for form in page.forms
        for field in form.entries()
    ]
    assert sorted(shown) == sorted(address for stage in STAGES for address in stage.figures)


def test_a_catalogue_page_is_typed_straight_down(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    assert editor.head.name.hasFocus()
    QTest.keyClicks(QApplication.focusWidget(), "Test mule 300")
    for _ in ("kind", "engine", "note", "state", "seat height"):
        tab()
    for text in ("34 1/2 in", "1455", "27", "108"):
        QTest.keyClicks(QApplication.focusWidget(), text)
        tab()
    seat = figure(editor, "catalogue", "seat_height_mm")
    assert seat.value == pytest.approx(876.3)
    assert (seat.source, seat.typed, seat.rule) == (Source.MAKER, "34 1/2 in", "")
    assert seat.spread > 0
    assert figure(editor, "catalogue", "wheelbase_mm").typed == "1455 mm"
    assert figure(editor, "catalogue", "trail_mm").value == 108.0
    assert editor.draft.profile.name == "Test mule 300"
    assert editor.draft.profile.id == "test-mule-300"


def test_tab_leads_from_the_name_straight_down_any_page(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    for page in editor.stages:
        editor.tabs.setCurrentWidget(page)
        editor.head.note.setFocus()
        tab()
        form = page.forms[0]
        first = form.fields[0]
        assert isinstance(first, QWidget) and first.isAncestorOf(QApplication.focusWidget())
        passed = []
        while (
            len(passed) < len(form.entries()) + 3
            and QApplication.focusWidget() is not form.entries()[-1].line_edit
        ):
            passed.append(QApplication.focusWidget())
            tab()
        assert QApplication.focusWidget() is form.entries()[-1].line_edit


def test_enter_leads_to_the_next_figure_where_the_text_was_taken(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    seat = enter(editor, "catalogue", "seat_height_mm", "900")
    QTest.keyClick(seat.line_edit, Qt.Key.Key_Return)
    wheelbase = entry(editor, "catalogue", "wheelbase_mm")
    assert wheelbase.line_edit.hasFocus()
    QTest.keyClicks(wheelbase.line_edit, "wide")
    QTest.keyClick(wheelbase.line_edit, Qt.Key.Key_Return)
    assert wheelbase.line_edit.hasFocus() and wheelbase.message()


def test_an_assumed_figure_says_so_in_words_and_letters(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    field = entry(editor, "catalogue", "wheelbase_mm")
    assumed = figure(editor, "catalogue", "wheelbase_mm")
    assert assumed.rule and assumed.source is Source.ASSUMED
    assert field.text() == "" and field.line_edit.placeholderText() == f"{assumed.value:.0f}"
    assert field.line_edit.font().italic()
    words = [origin.text() for origin in origins(editor) if origin.isVisible()]
    assert words and all("assumed" in each or each == "" for each in words)
    enter(editor, "catalogue", "wheelbase_mm", "1400")
    assert not field.line_edit.font().italic()


def origins(editor: ProfileEditor) -> list[OriginLabel]:
    return editor.findChildren(OriginLabel)


def test_an_emptied_field_goes_back_to_its_rule(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    before = figure(editor, "rear", "arm_length_mm")
    field = enter(editor, "rear", "arm_length_mm", "600")
    assert figure(editor, "rear", "arm_length_mm").value == 600.0
    QTest.keyClick(field.line_edit, Qt.Key.Key_Return)
    retype(field, "")
    assert figure(editor, "rear", "arm_length_mm") == before
    # The rule follows what it rests on.
    enter(editor, "catalogue", "wheelbase_mm", "1300")
    assert figure(editor, "rear", "arm_length_mm").value < before.value


def test_what_is_assumed_follows_in_the_same_step_of_undo(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    blank = editor.draft.profile
    enter(editor, "catalogue", "wheelbase_mm", "1300")
    typed = editor.draft.profile
    assert typed.rear.arm_length_mm != blank.rear.arm_length_mm
    editor.commands["undo"].trigger()
    assert editor.draft.profile == blank
    editor.commands["redo"].trigger()
    assert editor.draft.profile == typed


def test_bad_text_stays_with_the_reason_and_undo_puts_it_back_first(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    field = enter(editor, "catalogue", "seat_height_mm", "90 apples")
    QTest.keyClick(field.line_edit, Qt.Key.Key_Return)
    assert field.text() == "90 apples" and "apples" in field.message()
    assert "assumed" in field.message() and "90 apples" in editor.beside.refused.text()
    assert figure(editor, "catalogue", "seat_height_mm").rule
    enter(editor, "catalogue", "wheelbase_mm", "1400")
    assert field.text() == "90 apples"
    editor.commands["undo"].trigger()
    assert field.text() == "" and editor.beside.refused.text() == ""
    assert figure(editor, "catalogue", "wheelbase_mm").value == 1400.0


def test_the_kind_sets_what_is_assumed_and_what_is_usual(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    enter(editor, "catalogue", "seat_height_mm", "850")
    rules, before = editor.draft.rules, editor.draft.profile
    editor.head.kind.setFocus()
    while editor.draft.profile.kind is not MachineKind.CHILD:
        QTest.keyClick(editor.head.kind, Qt.Key.Key_Down)
    after = editor.draft.profile
    assert after.catalogue.seat_height_mm == before.catalogue.seat_height_mm
    assert after.masses.running_order_kg.value < before.masses.running_order_kg.value
    assert after.ways == rules.offers[MachineKind.CHILD].ways


def test_at_the_tape_a_figure_is_measured_today(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    field = enter(editor, "seat", "width_mm", "9 1/2 in")
    measured = figure(editor, "seat", "width_mm")
    assert measured.value == pytest.approx(241.3)
    assert (measured.source, measured.origin) == (Source.MEASURED, date.today().isoformat())
    assert measured.spread == 3.0  # a careful reading, see `library.acts`
    settled(qtbot, editor)
    taping = next(page.taping for page in editor.stages if page.taping is not None)
    assert taping.title.text() == field.words
    sight = taping.view.sight()
    assert sight is not None and sight.taping is not None
    (left, _), (right, _) = sight.taping.start, sight.taping.end
    assert right - left == pytest.approx(241.3)


def test_the_side_of_a_tyre_gives_radius_and_width(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    enter(editor, "wheels", "front_radius_mm", "90/90-21")
    enter(editor, "wheels", "rear_section_mm", "140/80 R 18")
    front = figure(editor, "wheels", "front_radius_mm")
    assert front.value == pytest.approx(21 * 25.4 / 2 + 81) and front.typed == "90/90-21"
    assert figure(editor, "wheels", "rear_section_mm").value == 140.0


def test_a_longer_travel_is_not_held_back_by_an_assumed_leverage(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    enter(editor, "rear", "travel_mm", "350")
    rear = editor.draft.profile.rear
    assert rear.travel_mm.value == 350.0 and isinstance(rear.linkage, LeverageTable)
    assert rear.linkage.wheel_travel_mm[-1] == 350.0 and rear.leverage_factor.rule


def test_a_leverage_that_was_typed_is_no_longer_assumed(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    entry(editor, "rear", "leverage_factor")
    table = editor.stages[2].findChild(LinkageTable)
    assert isinstance(table, LinkageTable)
    assert "assumed" in table._heading.text() and table.table.font().italic()
    item = table.table.item(1, 1)
    assert item is not None
    item.setText("2.95")
    assert "assumed" not in table._heading.text() and not table.table.font().italic()
    rear = editor.draft.profile.rear
    assert isinstance(rear.linkage, LeverageTable) and rear.linkage.leverage[1] == 2.95
    assert not rear.leverage_factor.rule and rear.leverage_factor.source is not Source.ASSUMED
    enter(editor, "catalogue", "wheelbase_mm", "1400")
    assert editor.draft.profile.rear.linkage == rear.linkage


def test_spread_source_and_note_of_the_figure_in_use(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    enter(editor, "catalogue", "seat_height_mm", "880")
    editor.commands["details"].trigger()
    form = editor.details.form()
    assert form is not None and form.spread.line_edit.hasFocus()
    retype(form.spread, "8")
    retype(form.origin, "sheet of spring")
    retype(form.note, "tall seat")
    QTest.keyClick(form.source, Qt.Key.Key_Down)
    seat = figure(editor, "catalogue", "seat_height_mm")
    assert (seat.value, seat.spread, seat.source) == (880.0, 8.0, Source.MEASURED)
    assert (seat.origin, seat.note) == ("sheet of spring", "tall seat")
    entry(editor, "catalogue", "wheelbase_mm").setFocus()
    rule = editor.draft.rules.for_(("catalogue", "wheelbase_mm"))
    form = editor.details.form()
    assert form is not None and rule is not None and rule.says.rstrip(".") in form.said.text()
    assert not form.spread.isVisible()


def test_heights_follow_and_say_what_is_a_guess(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    assert (
        "seat height" in editor.beside.needed.text() and "wheelbase" in editor.beside.needed.text()
    )
    before = editor.beside.strip.texts()
    assert len(before) == 3
    wide = width(editor.beside.strip.heights)
    enter(editor, "catalogue", "seat_height_mm", "850")
    settled(qtbot, editor)
    assert editor.beside.strip.texts()[0].replace("\N{NO-BREAK SPACE}", " ").endswith("850 mm")
    assert "seat height" not in editor.beside.needed.text()
    assert width(editor.beside.strip.heights) < wide
    editor.set_system(UnitSystem.INCH)
    assert editor.beside.strip.texts()[0].replace("\N{NO-BREAK SPACE}", " ").endswith("33.46 in")


def width(heights: Heights | None) -> float:
    assert heights is not None
    return heights.bands["rider_up"].high - heights.bands["rider_up"].low


def test_a_group_leads_to_its_first_figure(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    heights = editor.beside.strip.heights
    assert heights is not None and heights.groups
    halves = [group.half_mm for group in heights.groups]
    assert halves == sorted(halves, reverse=True)
    group = next(each for each in heights.groups if each.stage.key == "manual")
    editor.beside.strip.groups.picked.emit(heights.groups.index(group))
    section, key = group.figures[0]
    assert editor.tabs.currentWidget() is editor.stages[2]
    assert entry(editor, section, key).line_edit.hasFocus()


def test_the_heights_are_of_the_rider_of_the_job_where_wanted(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    common = editor.beside.strip.heights
    editor.beside.strip.riders.setFocus()
    QTest.keyClick(editor.beside.strip.riders, Qt.Key.Key_Down)
    settled(qtbot, editor)
    own = editor.beside.strip.heights
    assert common is not None and own is not None
    assert own.bands["rider_up"].value != common.bands["rider_up"].value
    assert own.bands["on_wheels"].value == pytest.approx(common.bands["on_wheels"].value, abs=2.0)


def test_a_late_answer_never_stands_for_a_newer_figure(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    editor = new_machine(qtbot)
    gate, shown = threading.Event(), []
    work = asking.heights_of

    def slow(question: object) -> Heights:
        gate.wait(20)
        return work(question)

    monkeypatch.setattr(editor.asker._heights, "_work", slow)
    editor.asker.answered.connect(shown.append)
    enter(editor, "catalogue", "seat_height_mm", "850")
    enter(editor, "catalogue", "seat_height_mm", "820")
    assert editor.beside.strip.head.text() != ""
    gate.set()
    settled(qtbot, editor)
    assert [round(each.bands["on_wheels"].value) for each in shown] == [820]
    assert editor.beside.strip.head.text() == ""


def test_a_slip_is_told_at_its_figure_and_mended_with_one_key(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    below = entry(editor, "masses", "tank_l")
    place = below.mapTo(editor, QPoint())
    enter(editor, "masses", "running_order_kg", "310")
    settled(qtbot, editor)
    # What is said of a figure moves none of them: somebody may be aiming at the next.
    assert below.mapTo(editor, QPoint()) == place
    assert editor.tabs.tabText(0).endswith("(1)") and "slip" in editor.beside.found.text()
    form = next(form for form in editor.stages[0].forms if "running_order_kg" in form.remarks)
    remark = form.remarks["running_order_kg"]
    assert remark.isVisible() and "lb" in remark.button.text()
    assert remark.text().count("Mass in running order") == 1
    remark.button.setFocus()
    QTest.keyClick(remark.button, Qt.Key.Key_Space)
    settled(qtbot, editor)
    mass = figure(editor, "masses", "running_order_kg")
    # 310 avoirdupois pounds of 0.45359237 kg.
    assert mass.value == pytest.approx(140.61, abs=0.01) and mass.typed == "310 lb"
    assert editor.beside.found.text() == "" and not remark.isVisible()
    # What rests on the mass followed; one step takes both back.
    editor.commands["undo"].trigger()
    assert figure(editor, "masses", "running_order_kg").value == 310.0


def test_a_figure_that_lacks_its_unit_is_taken_with_one_key(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    field = enter(editor, "catalogue", "seat_height_mm", "37")
    QTest.keyClick(field.line_edit, Qt.Key.Key_Return)
    assert field.has_bad_text() and editor.tabs.tabText(0).endswith("(1)")
    form = next(form for form in editor.stages[0].forms if "seat_height_mm" in form.remarks)
    remark = form.remarks["seat_height_mm"]
    assert remark.isVisible() and remark.button.text() == "Take as 37 in"
    settled(qtbot, editor)
    assert remark.button.text() == "Take as 37 in"
    remark.button.setFocus()
    QTest.keyClick(remark.button, Qt.Key.Key_Space)
    settled(qtbot, editor)
    seat = figure(editor, "catalogue", "seat_height_mm")
    # 37 inches of 25.4 mm.
    assert seat.value == pytest.approx(939.8) and seat.typed == "37 in"
    assert not field.has_bad_text() and not remark.isVisible()
    assert not editor.tabs.tabText(0).endswith(")")


def test_figures_that_give_no_machine_are_told_and_nothing_is_lost(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    enter(editor, "rear", "pivot_height_mm", "690")
    enter(editor, "rear", "arm_length_mm", "260")
    settled(qtbot, editor)
    heights = editor.beside.strip.heights
    assert heights is not None and heights.problem
    assert editor.beside.strip.problem.isVisible() and not editor.beside.strip.table.isVisible()
    assert figure(editor, "rear", "arm_length_mm").value == 260.0


def test_rules_of_the_shop_are_used_and_unusable_ones_told(qtbot: QtBot) -> None:
    file = paths.rules_file()
    file.parent.mkdir(parents=True, exist_ok=True)
    rule = {"says": "As on our floor", "source": "our floor", "spread": 8}
    rules = [
        {**rule, "key": "wheelbase", "target": "catalogue.wheelbase_mm", "constant": 1432},
        {**rule, "key": "rake", "target": "catalogue.no_such_figure", "constant": 26},
    ]
    file.write_text(
        json.dumps({"format": "fitplanner-rules", "schema_version": 1, "rules": rules}), "utf-8"
    )
    editor = new_machine(qtbot)
    assert (
        "no_such_figure" in editor.beside.unused_rules.text()
        and editor.beside.unused_rules.isVisible()
    )
    assert figure(editor, "catalogue", "wheelbase_mm").value == 1432.0
    assert figure(editor, "catalogue", "rake_deg").value > 26.0


def test_a_sheet_that_does_not_say_the_state_is_a_choice_with_a_wider_spread(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    enter(editor, "catalogue", "seat_height_mm", "900")
    origin = next(one for one in origins(editor) if one._address[-1] == "seat_height_mm")
    before = origin.text()
    state = editor.findChild(StateEntry)
    assert state is not None and state.itemText(state.count() - 1) == "Not stated"
    state.setFocus()
    QTest.keyClick(state, Qt.Key.Key_End)
    catalogue = editor.draft.profile.catalogue
    assert (catalogue.state, catalogue.state_known) == (CatalogueState.ON_WHEELS, False)
    assert origin.text() != before
    entry(editor, "catalogue", "seat_height_mm").setFocus()
    form = editor.details.form()
    assert form is not None and "does not say in which state" in form.said.text()
    editor.commands["undo"].trigger()
    assert state.currentText() != "Not stated"
    assert editor.draft.profile.catalogue.state_known and origin.text() == before


def test_what_the_rules_offer_looks_assumed_until_it_is_typed(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    assert editor.draft.profile.ways.fork_limiter is not None
    assert editor.draft.profile.ways.fork_limiter.assumed
    for place, address in (
        (5, ("machine", "ways", "fork_limiter", "hours")),
        (6, ("machine", "springs", "shock", "parts")),
        (6, ("machine", "stand_work", "hours")),
    ):
        editor.tabs.setCurrentIndex(place)
        form = editor.tabs.widget(place)
        field = next(one for one in form.findChildren(OfferEntry) if one.address == address)
        words = next(one for one in form.findChildren(AssumedLabel) if one._address == address[:-1])
        assert field.line_edit.font().italic() and words.text() == "assumed"
        retype(field, "7")
        assert not field.line_edit.font().italic() and words.text() == ""
        offer = value_at(editor.session.job, address[:-1])
        assert (getattr(offer, address[-1]), offer.assumed) == (7.0, False)
        editor.commands["undo"].trigger()
        assert words.text() == "assumed"
        retype(field, "many")
        assert value_at(editor.session.job, address[:-1]).assumed
        editor.commands["undo"].trigger()


def test_a_measured_figure_typed_over_stays_in_sight_and_comes_back(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    measured = Figure(
        value=931.0, spread=2.0, source=Source.MEASURED, origin="2026-11-05", note="cold tyres"
    )
    edit = Edit(("machine", "catalogue", "seat_height_mm"), measured)
    editor.history.edit(edit, "Seat height")
    field = entry(editor, "catalogue", "seat_height_mm")
    field.setFocus()
    retype(field, "935")
    assert figure(editor, "catalogue", "seat_height_mm").source is Source.MAKER
    form = editor.details.form()
    assert form is not None and form.was.isVisible()
    assert "measured" in form.was.text() and "931\N{NO-BREAK SPACE}mm" in form.was.text()
    # It is still there when somebody comes back to the figure.
    entry(editor, "catalogue", "wheelbase_mm").setFocus()
    field.setFocus()
    form.was.button.click()
    assert figure(editor, "catalogue", "seat_height_mm") == measured
    assert not form.was.isVisible() and field.text() == "931"
    editor.commands["undo"].trigger()
    assert figure(editor, "catalogue", "seat_height_mm").value == 935.0 and form.was.isVisible()


def test_a_tyres_size_typed_as_the_radius_tells_the_width_too(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    enter(editor, "wheels", "front_radius_mm", "80/100-21")
    radius, width = (figure(editor, "wheels", f"front_{key}_mm") for key in ("radius", "section"))
    # Half a rim of 21 in and a height of 100 % of 80 mm.
    assert radius.value == pytest.approx(21 * 25.4 / 2 + 80.0) and width.value == 80.0
    assert radius.typed == width.typed == "80/100-21" and width.source is Source.MAKER
    origin = next(one for one in origins(editor) if one._address[-1] == "front_radius_mm")
    assert "80/100-21" in origin.text()
    QTest.keyClick(entry(editor, "wheels", "front_radius_mm").line_edit, Qt.Key.Key_Return)
    enter(editor, "wheels", "front_radius_mm", "90/90-21")
    assert figure(editor, "wheels", "front_section_mm").value == 90.0
    editor.commands["undo"].trigger()
    editor.commands["undo"].trigger()
    assert figure(editor, "wheels", "front_section_mm").rule
    # A width that somebody knows stays.
    enter(editor, "wheels", "rear_section_mm", "122")
    enter(editor, "wheels", "rear_radius_mm", "110/100-18")
    assert figure(editor, "wheels", "rear_section_mm").value == 122.0


def test_from_where_leads_to_something_that_can_be_seen(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    editor.tabs.setCurrentIndex(5)
    editor.commands["details"].trigger()
    assert editor.tabs.currentWidget() is editor.stages[0]
    assert "Assumed" in editor.beside.says.text() and editor.beside.says.isVisible()
    enter(editor, "catalogue", "seat_height_mm", "900").setFocus()
    editor.commands["details"].trigger()
    form = editor.details.form()
    assert form is not None and form.spread.line_edit.hasFocus()


def test_tab_goes_through_the_buttons_of_the_spring_rates(qtbot: QtBot) -> None:
    editor = new_machine(qtbot)
    entry(editor, "catalogue", "seat_height_mm").setFocus()
    passed = set()
    for _ in range(40):
        passed.add(QApplication.focusWidget())
        tab()
    buttons = editor.stages[0].findChildren(SpringButton)
    assert len(buttons) == 2 and passed.issuperset(buttons)
