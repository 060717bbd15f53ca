"""Assumption rules against machines of the literature, each with its source beside it.

The sets stand in `resources/rules/published.json` with their citations; all were read second hand
and all are road machines, while the rules are for machines that go off the road. Where that
difference is the error, the test says by how much, so that nobody takes it for agreement.
"""

import json
from math import cos, degrees, tan
from pathlib import Path

import pytest

from fitplanner import paths
from fitplanner.documents.codec import load
from fitplanner.documents.machine import EngineShape, MachineKind
from fitplanner.library.rules import Rule, load_rules, published_error
from fitplanner.library.rules.document import SPECS, address, for_kind
from fitplanner.library.rules.published import PUBLISHED
from fitplanner.mechanics.lamps import HEADLAMP_UN, HEADLAMP_US, REAR_PLATE_EU
from fitplanner.planning.rider import NORMAL_90

LITERATURE = json.loads(
    (Path(__file__).parents[1] / "files" / "literature.json").read_text("utf-8")
)
SETS = load(PUBLISHED, (paths.resources() / "rules" / "published.json").read_text("utf-8")).sets
RULES = {rule.key: rule for rule in load_rules().rules}


def test_the_sets_are_those_of_the_literature() -> None:
    """Each figure as its source has it, or worked out from what the source has."""
    sharp_2001, sharp_1994, book = (each.figures | each.given for each in SETS[:3])
    read = LITERATURE["suspended_2001"]
    assert sharp_2001["catalogue.wheelbase_mm"] == read["wheelbase_mm"]
    assert sharp_2001["catalogue.rake_deg"] == pytest.approx(degrees(read["rake_rad"]), abs=1e-3)
    assert sharp_2001["wheels.front_stiffness_n_mm"] == read["front_tyre_n_mm"]
    assert sharp_2001["wheels.rear_stiffness_n_mm"] == read["rear_tyre_n_mm"]
    assert sharp_2001["masses.front_unsprung_kg"] == read["front_unsprung_kg"]
    assert sharp_2001["masses.rear_unsprung_kg"] == read["rear_unsprung_kg"]
    assert sharp_2001["rear.arm_length_mm"] == read["pivot_mm"][0] - read["rear_axle_mm"][0]
    # The steering axis meets the ground ahead of the front contact point by the trail.
    x, z = read["steering_axis_point_mm"]
    trail = x + z * tan(read["rake_rad"]) - read["wheelbase_mm"]
    assert sharp_2001["catalogue.trail_mm"] == pytest.approx(trail, abs=0.5)
    total = sum(part["kg"] for part in read["sprung"]) + 17.5 + 25.6
    assert sharp_2001["masses.running_order_kg"] == pytest.approx(total - 72.0, abs=0.1)

    read = LITERATURE["rigid_1994"]
    assert sharp_1994["catalogue.rake_deg"] == pytest.approx(degrees(read["rake_rad"]), abs=1e-3)
    over_ground = read["normal_trail_mm"] / cos(read["rake_rad"])
    assert sharp_1994["catalogue.trail_mm"] == pytest.approx(over_ground, abs=0.1)
    assert sharp_1994["wheels.front_radius_mm"] == read["front_radius_mm"]

    read = LITERATURE["with_and_without_rider"]
    assert book["masses.running_order_kg"] == read["empty"]["kg"]
    assert book["masses.mass_height_mm"] == read["empty"]["at_mm"][1]
    share = read["empty"]["at_mm"][0] / read["wheelbase_mm"]
    assert book["masses.front_share"] == pytest.approx(share, abs=1e-4)


HELD = {
    "rake": 5.0,  # 29.8 degrees on the machine of 2001, of another age
    "front-share": 2.0,
    "front-unsprung": 2.5,
    "rear-unsprung": 2.0,
    "front-tyre-stiffness": 2.0,
    "rear-tyre-stiffness": 1.0,
    "mass-height": 2.0,
}
"""Rules that carry over to road machines: how many of their own spreads they may be off."""


@pytest.mark.parametrize("key", HELD)
def test_rules_that_carry_over_hold_within_their_spread(key: str) -> None:
    rule = RULES[key]
    found = published_error(rule)
    assert found is not None
    for each in found.comparisons:
        assert abs(each.off) <= HELD[key] * own_spread(rule, each.told)


def own_spread(rule: Rule, told: float) -> float:
    return max(*rule.spread.values(), max(rule.share.values()) * told)


def test_trail_where_the_wheel_is_as_large_as_off_the_road() -> None:
    """A wheel of 336 mm lies near the 345 of the rule; with 294 the axle sits nearer the axis."""
    found = published_error(RULES["trail"])
    assert found is not None
    by_published = {each.published: each.off for each in found.comparisons}
    assert abs(by_published[105.4]) < 5.0
    assert abs(by_published[106.5]) < 8.0
    assert by_published[117.6] == pytest.approx(-36.3, abs=0.5)


def test_the_centre_of_mass_stands_higher_off_the_road() -> None:
    """Of 39 machines of all sorts 0.342 of the wheelbase, of sporting ones 0.389; here 0.40."""
    found = published_error(RULES["mass-height"])
    assert found is not None
    assert found.machines == 42
    share = {each.published: each.told for each in found.comparisons}
    assert share[342.0] == pytest.approx(400.0)
    assert all(each.off > 0 for each in found.comparisons)


def test_what_does_not_carry_over_is_off_by_what_the_window_says() -> None:
    """Short travel has short swing-arms, and road tyres are small: shown, not hidden."""
    for key, machines, mean in (
        ("arm-length", 1, 215.6),
        ("front-radius", 3, 27.0),
        ("rear-radius", 3, 12.3),
    ):
        found = published_error(RULES[key])
        assert found is not None
        assert found.machines == machines
        assert found.mean_off == pytest.approx(mean, abs=0.1)


TYRES = (
    ("trail", "80/100-21", "front"),
    ("enduro", "90/90-21", "front"),
    ("enduro", "140/80-18", "rear"),
    ("motocross", "80/100-21", "front"),
    ("motocross", "120/80-19", "rear"),
    ("motocross", "110/90-19", "rear"),
    ("dual_sport", "90/90-21", "front"),
    ("dual_sport", "120/90-18", "rear"),
    ("dual_sport", "130/80-17", "rear"),
    ("adventure", "90/90-21", "front"),
    ("adventure", "150/70-18", "rear"),
    ("adventure", "150/70-17", "rear"),
    ("child", "60/100-14", "front"),
    ("child", "70/100-17", "front"),
    ("child", "80/100-12", "rear"),
    ("child", "90/100-14", "rear"),
)


@pytest.mark.parametrize(("kind", "size", "end"), TYRES)
def test_tyres_of_usual_sizes_lie_in_their_rule_s_band(kind: str, size: str, end: str) -> None:
    """Height by the size's own designation: width times aspect ratio, over the rim in inches.

    Source: the designation of ISO 5751. Which sizes are usual is common practice, no source.
    """
    section, rim = size.split("-")
    width, aspect = (float(part) for part in section.split("/"))
    radius = width * aspect / 100.0 + float(rim) * 25.4 / 2.0
    rule = RULES[f"{end}-radius"]
    told, spread = (for_kind(amount, MachineKind(kind)) for amount in (rule.constant, rule.spread))
    assert abs(radius - told) <= NORMAL_90 * spread


@pytest.mark.parametrize(
    "kind",
    [each for each in MachineKind if each not in (MachineKind.MOTOCROSS, MachineKind.CHILD)],
)
def test_lamps_and_plate_stand_where_the_regulations_have_them(kind: MachineKind) -> None:
    """Headlamp: UN Regulation No. 53 and 49 CFR 571.108; plate: Directive 93/94/EEC."""
    new = load_rules().new_profile(id="new", name="New", kind=kind, engine=EngineShape.SINGLE)
    lamp = new.lamps.headlamp_z_mm.value
    for window in (HEADLAMP_UN, HEADLAMP_US):
        assert window.lowest_mm <= lamp <= window.highest_mm
    assert new.lamps.plate_z_mm.value >= REAR_PLATE_EU.lowest_mm


def test_a_rule_that_nobody_published_says_so() -> None:
    assert published_error(RULES["seat-place"]) is None
    assert published_error(RULES["wheelbase"]) is None  # a road machine's is no guide


def test_every_set_is_cited_and_says_how_it_was_read() -> None:
    for each in SETS:
        assert "second hand" in each.read
        for name, value in (each.given | each.figures).items():
            spec = SPECS[address(name)]
            assert spec.low <= value <= spec.high
