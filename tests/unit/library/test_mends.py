"""A mend as data: what it puts where, what it keeps, and that it never touches a rule's figures."""

from typing import Any

import pytest
from pydantic import ValidationError

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.machine import LeverageTable, LinkagePoints, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.library.slips import lint
from fitplanner.library.slips.finding import Change, Finding, mended
from fitplanner.quantities import UnitSystem, fill
from tests import factories


def finding(*changes: Change) -> Finding:
    return Finding("fork.preload_mm", "caution", "Odd.", "Mend.", changes, "Mend it")


def only(profile: MachineProfile) -> Finding:
    (found,) = lint(profile)
    return found


def test_a_converted_figure_keeps_source_and_spread_and_says_what_it_was() -> None:
    inches = Figure(
        value=0.3, spread=0.4, source=Source.MEASURED, origin="12 May", note="depth gauge"
    )
    slipped = factories.machine_profile(fork={"preload_mm": inches})
    whole = mended(slipped, only(slipped))
    assert whole.fork.preload_mm == Figure(
        value=7.62,
        spread=0.4,
        source=Source.MEASURED,
        origin="12 May",
        typed="0.3 in",
        note="depth gauge; read as in: 0.3",
    )
    assert lint(whole) == ()
    assert slipped.fork.preload_mm is inches


def test_exchanged_figures_take_their_spread_and_source_along() -> None:
    true = factories.machine_profile()
    front, rear = true.wheels.front_section_mm, factories.measured(140.0, 2.0)
    slipped = factories.machine_profile(wheels={"front_section_mm": rear, "rear_section_mm": front})
    wheels = mended(slipped, only(slipped)).wheels
    assert (wheels.front_section_mm.value, wheels.rear_section_mm.value) == (80.0, 140.0)
    assert wheels.front_section_mm.source is Source.MAKER
    assert wheels.rear_section_mm.spread == 2.0
    assert wheels.rear_section_mm.note == "exchanged"


def test_figures_of_one_section_change_together() -> None:
    """The table ends where the travel does: one alone would be refused."""
    table = LeverageTable(wheel_travel_mm=[0.0, 130.0, 260.0], leverage=[3.1, 2.8, 2.4])
    changes = Change(("rear", "linkage"), table), Change(("rear", "travel_mm"), 260.0)
    rear = mended(factories.machine_profile(), finding(*changes)).rear
    assert rear.linkage == table and rear.travel_mm.value == 260.0
    with pytest.raises(ValidationError, match="table ends at 260"):
        mended(factories.machine_profile(), finding(changes[0]))


def test_a_mend_that_the_document_refuses_is_never_offered() -> None:
    # 12 mm of foam is no cm: 120 mm is; 1.2 mm as a decimal mark would be refused.
    slipped = factories.machine_profile(seat={"foam_mm": 12.0, "foam_squash_mm": 6.0})
    for found in lint(slipped):
        assert not found.changes or mended(slipped, found) != slipped


def _by_rule(value: float) -> Figure:
    return Figure(value=value, spread=1.0, source=Source.ASSUMED, rule="as its kind has it")


@pytest.mark.parametrize(
    "changes",
    [
        {"fork": {"bump_gap_mm": _by_rule(3.0)}},
        {"masses": {"front_unsprung_kg": _by_rule(8.0)}},
        {"rear": {"gas_pressure_kpa": _by_rule(10.0)}},
    ],
)
def test_a_figure_by_rule_is_no_slip_by_itself(changes: dict[str, Any]) -> None:
    assert lint(factories.machine_profile(**changes)) == ()


def test_where_rule_and_typing_disagree_the_typed_figure_is_told_and_mended() -> None:
    """The rule may follow from the typed figure; nobody typed the rule's."""
    arm = _by_rule(590.0)
    slipped = factories.machine_profile(
        rear={"arm_length_mm": arm}, catalogue={"wheelbase_mm": 1041.0}
    )
    found = only(slipped)
    assert found.key == "catalogue.wheelbase_mm"
    assert all(change.address != ("rear", "arm_length_mm") for change in found.changes)


def test_several_slips_are_found_one_after_the_other() -> None:
    slipped = factories.machine_profile(
        fork={"preload_mm": 0.3}, rear={"gas_pressure_kpa": 10.0}, seat={"x_mm": 900.0}
    )
    found = lint(slipped)
    assert {each.key for each in found} == {
        "fork.preload_mm",
        "rear.gas_pressure_kpa",
        "seat.x_mm",
    }
    for each in found:
        slipped = mended(slipped, each)
    assert lint(slipped) == ()
    assert slipped.seat.x_mm.value == 540.0 and slipped.rear.gas_pressure_kpa.value == 1000.0


def test_words_and_button_carry_figures_for_every_unit_system() -> None:
    found = only(factories.machine_profile(rear={"gas_pressure_kpa": 10.0}))
    assert fill(found.action, UnitSystem.METRIC) == "Take as bar: 1000 kPa"
    assert fill(found.action, UnitSystem.INCH) == "Take as bar: 145.0 psi"
    assert "{" not in fill(found.text + found.mend, UnitSystem.INCH)


def test_what_its_spread_explains_is_no_slip() -> None:
    """0.486 of the wheelbase, where 0.48 is the most that is usual: 9 mm more."""
    exact, rough = (factories.measured(700.0, spread) for spread in (1.0, 12.0))
    assert only(factories.machine_profile(rear={"arm_length_mm": exact})).key == (
        "rear.arm_length_mm"
    )
    assert lint(factories.machine_profile(rear={"arm_length_mm": rough})) == ()


@pytest.mark.parametrize("spread", [4.0, 6.0])
def test_beside_an_assumed_figure_there_is_twice_the_room(spread: float) -> None:
    """10 mm over the usual: one and a half spreads of 6 mm are too few, three of 4 mm enough."""
    arm = factories.measured(701.0, spread)
    base = factories.maker(1440.0)
    assert lint(factories.machine_profile(rear={"arm_length_mm": arm}))
    assumed = base.replace(source=Source.ASSUMED, rule="as its kind has it")
    profile = factories.machine_profile(
        rear={"arm_length_mm": arm}, catalogue={"wheelbase_mm": assumed}
    )
    assert lint(profile) == ()


def test_a_table_by_rule_is_never_mended() -> None:
    factor = Figure(value=1.0, spread=0.05, source=Source.ASSUMED, rule="as its kind has it")
    table = LeverageTable(wheel_travel_mm=[0.0, 150.0, 300.0], leverage=[2.4, 2.8, 3.1])
    turned = factories.machine_profile(rear={"linkage": table})
    assert only(turned).changes[0].address == ("rear", "linkage")
    assert lint(factories.machine_profile(rear={"linkage": table, "leverage_factor": factor})) == ()


def maker(value: float, spread: float) -> Figure:
    return Figure(value=value, spread=spread, source=Source.MAKER)


@pytest.mark.parametrize(
    ("spread", "share"),
    [
        (6.04, 0.02),  # as a sheet's figure comes by its spread: 2 % of the value
        (12.0, 12.0 / 302.0),  # typed together with it, in the same unit
    ],
)
def test_a_spread_that_was_misread_with_its_figure_is_converted_along(
    spread: float, share: float
) -> None:
    slipped = factories.machine_profile(rear={"spring_rate_n_mm": maker(302.0, spread)})
    change = Change(("rear", "spring_rate_n_mm"), 52.888, "read as lbf/in: 302", "302 lbf/in")
    rate = mended(slipped, finding(change)).rear.spring_rate_n_mm
    assert rate.value == 52.888 and rate.spread == pytest.approx(share * 52.888, rel=1e-3)


def test_pounds_taken_for_kilograms_bring_their_spread_along() -> None:
    slipped = factories.machine_profile(masses={"running_order_kg": maker(262.0, 2.62)})
    change = Change(("masses", "running_order_kg"), 118.84, "read as lb: 262", "262 lb")
    mass = mended(slipped, finding(change)).masses.running_order_kg
    assert mass.spread == pytest.approx(1.1884)


def test_digits_are_exchanged_in_the_per_cent_that_were_typed() -> None:
    slipped = factories.machine_profile(masses={"running_order_fuel_share": 0.021})
    said = " ".join(fill(each.mend, UnitSystem.METRIC) for each in lint(slipped))
    assert "exchanged, enter 20" not in said.replace("\N{NO-BREAK SPACE}", " ")


def test_no_mend_is_offered_where_one_wrong_digit_fits_better() -> None:
    true = factories.machine_profile()
    assert true.rear.pivot_height_mm.value > 400.0
    found = only(factories.machine_profile(rear={"pivot_height_mm": 252.0}))
    assert found.key == "rear.pivot_height_mm" and not found.changes and not found.action
    assert "read the figure again" in found.mend


def test_a_joint_with_its_decimal_mark_one_place_off_is_found_and_mended() -> None:
    for machine in load_library().profiles.values():
        drawn = machine.rear.linkage
        if not isinstance(drawn, LinkagePoints):
            continue
        far = [drawn.frame_eye_mm[0], drawn.frame_eye_mm[1] * 10]
        rear = machine.rear.replace(linkage=drawn.replace(frame_eye_mm=far))
        slipped = machine.replace(rear=rear)
        assert lint(machine) == ()
        found = only(slipped)
        assert found.key == "rear.linkage.frame_eye_mm" and found.severity == "stop"
        back = mended(slipped, found).rear.linkage
        assert isinstance(back, LinkagePoints)
        assert back.frame_eye_mm == pytest.approx(drawn.frame_eye_mm)


def test_a_length_out_of_range_is_told_with_its_tenth() -> None:
    with pytest.raises(ValidationError, match=r"10\.5.mm lies outside 20.mm to 200.mm"):
        factories.machine_profile(catalogue={"trail_mm": 10.5})
