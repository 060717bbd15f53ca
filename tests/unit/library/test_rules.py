"""Assumption rules: what they fill in, what they leave alone, and how a bad one is told."""

import json
from pathlib import Path
from typing import Any

import pytest

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import (
    EngineShape,
    LeverageTable,
    MachineKind,
    MachineProfile,
)
from fitplanner.library.loader import load_library
from fitplanner.library.rules import Address, Rules, load_rules
from fitplanner.library.rules.document import LEVERAGE, SPECS, Rule
from fitplanner.planning.profile_check import check_profile
from fitplanner.planning.resolve import reference
from tests import factories

KINDS = pytest.mark.parametrize("kind", list(MachineKind))
TRAVEL: Address = ("rear", "travel_mm")


@pytest.fixture(scope="module")
def rules() -> Rules:
    return load_rules()


def new(rules: Rules, kind: MachineKind = MachineKind.TRAIL) -> MachineProfile:
    return rules.new_profile(id="new", name="New", kind=kind, engine=EngineShape.SINGLE)


def figure(profile: MachineProfile, address: Address) -> Figure:
    found = getattr(getattr(profile, address[0]), address[1])
    assert isinstance(found, Figure)
    return found


def known(profile: MachineProfile, address: Address, value: float) -> MachineProfile:
    """The profile with one figure measured."""
    section = getattr(profile, address[0])
    read = Figure(value=value, spread=1.0, source=Source.MEASURED)
    return profile.replace(**{address[0]: section.replace(**{address[1]: read})})


def test_every_figure_has_one_rule_but_for_some_optional_ones(rules: Rules) -> None:
    without = {
        key for address, spec in SPECS.items() for key in [spec.key] if not rules.for_(address)
    }
    assert without == {
        "kit_oil_volume_ml",
        "kit_limiter_mm",
        "collar_pitch_mm",
        "arc_mm",
        "lower_seat_width_mm",
    }
    assert all(rule.says and rule.source for rule in rules.rules)


@KINDS
def test_a_new_profile_is_complete_assumed_and_without_a_slip(
    rules: Rules, kind: MachineKind
) -> None:
    profile = new(rules, kind)
    for rule in rules.rules:
        assumed = figure(profile, rule.address)
        assert (assumed.source, assumed.rule) == (Source.ASSUMED, rule.key)
        assert assumed.spread > 0
    assert check_profile(profile) == ()
    assert reference(profile).machine


@KINDS
def test_filling_in_again_changes_nothing(rules: Rules, kind: MachineKind) -> None:
    profile = new(rules, kind)
    assert rules.fill(profile) == profile


def test_what_is_known_stays_and_what_rests_on_it_follows(rules: Rules) -> None:
    before = new(rules)
    after = rules.fill(known(before, ("catalogue", "wheelbase_mm"), 1500.0))
    assert figure(after, ("catalogue", "wheelbase_mm")).source is Source.MEASURED
    arm = rules.for_(("rear", "arm_length_mm"))
    assert arm is not None
    # The rule of the arm is a share of the wheelbase; so must its figure be.
    grown = figure(after, arm.address).value / figure(before, arm.address).value
    assert grown == pytest.approx(1500.0 / before.catalogue.wheelbase_mm.value, rel=1e-3)
    assert figure(after, arm.address).spread < figure(before, arm.address).spread


def test_profiles_without_a_rule_are_left_alone(rules: Rules) -> None:
    for profile in load_library().profiles.values():
        assert rules.fill(profile) == profile


def test_the_leverage_table_goes_with_its_factor(rules: Rules) -> None:
    profile = rules.fill(known(new(rules), TRAVEL, 333.0))
    table = profile.rear.linkage
    assert isinstance(table, LeverageTable)
    assert table.wheel_travel_mm[-1] == 333.0
    drawn = load_library().profiles["fellstrid-350"]
    kept = rules.fill(known(drawn, TRAVEL, 280.0))
    assert kept.rear.linkage == drawn.rear.linkage


def test_an_emptied_field_is_told_what_it_would_become(rules: Rules) -> None:
    profile = factories.machine_profile()
    for address in SPECS:
        told = rules.assumed(profile, address)
        if told is None:
            continue
        section = getattr(profile, address[0])
        emptied = profile.replace(**{address[0]: section.replace(**{address[1]: told})})
        assert figure(rules.fill(emptied), address) == told


def test_optional_figures_left_empty_stay_empty(rules: Rules) -> None:
    profile = new(rules)
    wheels = profile.wheels.replace(front_stiffness_n_mm=None)
    assert rules.fill(profile.replace(wheels=wheels)).wheels.front_stiffness_n_mm is None
    assert rules.assumed(profile, ("rear", "collar_pitch_mm")) is None


def test_spread_holds_what_the_figure_rests_on(rules: Rules) -> None:
    profile = new(rules)
    exact = known(profile, TRAVEL, profile.rear.travel_mm.value)
    sharp = exact.replace(rear=exact.rear.replace(travel_mm=Figure(value=300.0)))
    blunt = exact.replace(rear=exact.rear.replace(travel_mm=Figure(value=300.0, spread=30.0)))
    height = ("rear", "pivot_height_mm")
    narrow, wide = (rules.assumed(each, height) for each in (sharp, blunt))
    assert narrow is not None
    assert wide is not None
    assert wide.spread > narrow.spread + 3.0
    assert wide.value == narrow.value


def test_figures_that_contradict_each_other_are_refused_with_their_name(rules: Rules) -> None:
    with pytest.raises(DocumentError, match="Name"):
        rules.new_profile(id="new", name="", kind=MachineKind.TRAIL, engine=EngineShape.TWIN)


def shop(tmp_path: Path, *given: dict[str, Any], **envelope: Any) -> Path:
    file = tmp_path / "rules.json"
    whole = {"format": "fitplanner-rules", "schema_version": 1, "rules": list(given), **envelope}
    file.write_text(json.dumps(whole), encoding="utf-8")
    return file


ARM = {
    "key": "arm-length",
    "target": "rear.arm_length_mm",
    "says": "Ours are longer",
    "source": "our own floor",
    "terms": [{"times": 0.42, "of": "catalogue.wheelbase_mm"}],
    "spread": 8,
}


def test_a_shop_replaces_a_single_rule(tmp_path: Path) -> None:
    rules = load_rules(shop(tmp_path, ARM))
    assert rules.broken == ()
    profile = new(rules)
    base = profile.catalogue.wheelbase_mm.value
    assert profile.rear.arm_length_mm.value == pytest.approx(0.42 * base, rel=1e-3)
    shipped = new(load_rules())
    assert profile.masses == shipped.masses


def test_the_readme_s_example_is_a_rule(tmp_path: Path) -> None:
    readme = Path(__file__).parents[3] / "README.md"
    example = readme.read_text("utf-8").split("```json\n")[1].split("```")[0]
    rules = load_rules(shop(tmp_path, *json.loads(example)["rules"]))
    arm = rules.for_(("rear", "arm_length_mm"))
    assert rules.broken == ()
    assert arm is not None
    assert arm.says in example


def test_a_drawn_linkage_that_does_not_go_together_is_told(rules: Rules) -> None:
    drawn = load_library().profiles["duncarrow-250"]
    rate = rules.assumed(drawn, ("rear", "spring_rate_n_mm"))
    assert rate is not None
    assert rate.value == pytest.approx(drawn.rear.spring_rate_n_mm.value, abs=1.7 * rate.spread)
    long = known(drawn, TRAVEL, 399.0)
    with pytest.raises(DocumentError, match=r"Shock spring rate.*linkage: its joints"):
        rules.assumed(long, ("rear", "spring_rate_n_mm"))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"key": "arm"}, ["Key", "fitplanner rules"]),
        ({"target": "rear.arm"}, ["Target", "rear.arm", "section.key"]),
        ({"target": "rear.travel_mm"}, ["Target", "rear.arm_length_mm"]),
        ({"spread": -1}, ["Spread", "0 or more"]),
        ({"spread": "wide"}, ["Spread", "number"]),
        ({"spread": {"scooter": 1}}, ["Spread", "scooter", "enduro"]),
        ({"spread": {"enduro": 1}}, ["Spread", "trail", "others"]),
        ({"says": ""}, ["Says", "empty"]),
        ({"colour": "red"}, ["Colour", "take it out"]),
        ({"terms": [{"of": "catalogue.length"}]}, ["catalogue.length", "section.key"]),
        ({"terms": [{"of": "import os"}]}, ["import os", "trail_mm"]),
        ({"terms": [{"of": "seat.arc_mm"}]}, ["seat.arc_mm", "left empty"]),
        ({"terms": [{"of": "trail_mm"}]}, ["trail_mm", "offset_mm"]),
        ({"terms": [{"of": "rear.arm_length_mm"}]}, ["own figure"]),
        ({"terms": [{"of": "shock_stroke_mm"}]}, ["own figure"]),
        ({"terms": [{"of": "rear.spring_rate_n_mm"}]}, ["circle", "rear.arm_length_mm"]),
        ({"curve": [3, 2]}, ["curve"]),
    ],
)
def test_a_broken_rule_is_told_and_the_shipped_one_stays(
    tmp_path: Path, change: dict[str, Any], words: list[str]
) -> None:
    rules = load_rules(shop(tmp_path, {**ARM, **change}))
    assert len(rules.broken) == 1
    for word in ["rules.json", str({**ARM, **change}["key"]), *words]:
        assert word in rules.broken[0]
    assert rules.rules == load_rules().rules


def test_coefficients_beyond_all_measure_are_told(tmp_path: Path) -> None:
    huge = {"times": 1e308, "of": "catalogue.wheelbase_mm"}
    rules = load_rules(shop(tmp_path, {**ARM, "terms": [huge, huge]}))
    with pytest.raises(DocumentError, match=r'Swing-arm length.*"arm-length" comes to no number'):
        new(rules)
    wide = load_rules(shop(tmp_path, {**ARM, "share": 1e300}))
    spec = SPECS["rear", "arm_length_mm"]
    assert new(wide).rear.arm_length_mm.spread <= spec.high - spec.low


def test_one_broken_rule_does_not_take_the_others_along(tmp_path: Path) -> None:
    good = {**ARM, "says": "Ours"}
    bad = {**ARM, "key": "tank", "target": "masses.tank_l", "terms": 3}
    rules = load_rules(shop(tmp_path, bad, good))
    arm = rules.for_(("rear", "arm_length_mm"))
    assert arm is not None
    assert arm.says == "Ours"
    assert len(rules.broken) == 1


def test_a_broken_file_leaves_the_shipped_rules(tmp_path: Path) -> None:
    file = tmp_path / "rules.json"
    for text in ("{", "[]", '{"format": "fitplanner-job", "schema_version": 2}'):
        file.write_text(text, encoding="utf-8")
        rules = load_rules(file)
        assert rules.rules == load_rules().rules
        assert "rules.json" in rules.broken[0]


def test_no_shop_file_is_no_fault(tmp_path: Path) -> None:
    assert load_rules(tmp_path / "none.json").broken == ()


def test_rules_must_cover_a_profile() -> None:
    shipped = load_rules()
    with pytest.raises(ValueError, match=r"no rule fills in rear\.arm_length_mm"):
        Rules((r for r in shipped.rules if r.key != "arm-length"), shipped.offers)
    rest = {k: v for k, v in shipped.offers.items() if k is not MachineKind.CHILD}
    with pytest.raises(ValueError, match="no usual offers for child"):
        Rules(shipped.rules, rest)
    with pytest.raises(ValueError, match=r"two rules fill in rear\.arm_length_mm"):
        Rules([*shipped.rules, Rule.model_validate(ARM)], shipped.offers)


def test_leverage_needs_its_curve() -> None:
    with pytest.raises(ValueError, match="curve"):
        Rule.model_validate({**ARM, "target": ".".join(LEVERAGE)})
