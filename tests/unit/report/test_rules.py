"""Rules as printed: every one with its statement, source and what the literature says."""

import pytest

from fitplanner.library.rules import Rule, load_rules, published_error
from fitplanner.quantities import UnitSystem
from fitplanner.report.rules import rules_text

RULES = load_rules().rules


def text_of(rule: Rule, system: UnitSystem = UnitSystem.METRIC) -> str:
    return rules_text([(rule, published_error(rule))], system)


def test_every_rule_says_what_it_is() -> None:
    text = rules_text([(rule, published_error(rule)) for rule in RULES])
    for rule in RULES:
        assert f"\n{rule.key}: " in f"\n{text}"
        assert f"  {rule.says}.\n  Value: " in text
        assert f"  Source: {rule.source}\n" in text
    assert text.count("  Published: ") == len(RULES)


def test_an_error_is_shown_in_the_shop_s_units_with_its_source() -> None:
    arm = next(rule for rule in RULES if rule.key == "arm-length")
    assert "Published: 1 machine, off by +216 mm in the mean" in text_of(arm)
    assert "[1] 400 mm, by the rule 616 mm" in text_of(arm)
    assert "[1] R. S. Sharp and D. J. N. Limebeer" in text_of(arm)
    assert "[1] 15.75 in, by the rule 24.24 in" in text_of(arm, UnitSystem.INCH)


@pytest.mark.parametrize(
    ("changes", "line"),
    [
        ({"constant": 7}, "Value: 7"),
        ({"constant": {"child": 5, "others": 7}}, "Value: [child 5, others 7]"),
        (
            {"constant": -35, "terms": [{"of": "seat.x_mm"}], "least": 0},
            "Value: -35 + seat.x_mm, at least 0",
        ),
        (
            {"terms": [{"of": "seat.x_mm"}, {"times": -1, "of": "seat.foam_mm"}], "most": 900},
            "Value: seat.x_mm − seat.foam_mm, at most 900",
        ),
        (
            {"terms": [{"times": 0.4, "of": "trail_mm", "given": {"offset_mm": 60}}]},
            "Value: 0.4 × trail_mm (offset_mm 60)",
        ),
        ({"share": 0.1}, "Spread, one standard deviation: 10% of the value"),
        (
            {"spread": 2, "share": 0.1},
            "Spread, one standard deviation: 2 and 10% of the value",
        ),
        ({}, "Spread, one standard deviation: 0"),
    ],
)
def test_a_value_reads_as_it_is_worked_out(changes: dict[str, object], line: str) -> None:
    rule = Rule.model_validate(
        {
            "key": "peg-place",
            "target": "controls.peg_x_mm",
            "says": "Pegs are somewhere",
            "source": "invented for this test",
            **changes,
        }
    )
    assert f"  {line}\n" in text_of(rule)
