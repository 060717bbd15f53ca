"""Rules on machines of which the rest is hidden: do they stand, and do the bands hold the truth?

The hidden machines are the library's own, which are invented, and the rules were written with
them in view. So this holds rules and library to each other; it says nothing of real machines.
What does is in `tests/published/test_rules.py`.
"""

from collections.abc import Iterator

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.codec import MACHINE, dump, load
from fitplanner.documents.machine import EngineShape, MachineKind, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.library.rules import load_rules
from fitplanner.library.rules.document import SPECS, Address
from fitplanner.library.stages import STAGES
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.profile_check import check_profile, common_job
from fitplanner.planning.rider import NORMAL_90
from tests.forgetful import forget, plans_with_little_known

RULES = load_rules()
PROFILES = load_library().profiles
STAGES_KNOWN = pytest.mark.parametrize("stages", range(len(STAGES)))


@STAGES_KNOWN
@pytest.mark.parametrize("name", PROFILES)
def test_a_machine_filled_in_stands_like_a_motorcycle(name: str, stages: int) -> None:
    full = PROFILES[name]
    found = check_profile(forget(RULES, full, STAGES[:stages]))
    own = {finding.key for finding in check_profile(full)}
    assert [each for each in found if each.severity == "stop"] == []
    assert len([each for each in found if each.key not in own]) <= 1


ANY_FIGURES = st.dictionaries(
    st.sampled_from([rule.address for rule in RULES.rules]), st.floats(0.0, 1.0), max_size=12
)


@given(st.sampled_from(list(MachineKind)), ANY_FIGURES)
def test_whatever_is_known_the_rest_is_filled_in_or_the_trouble_is_named(
    kind: MachineKind, known: dict[Address, float]
) -> None:
    """Figures anywhere in what a document takes give a whole profile.

    Refused is only more travel than a known leverage covers, as in any profile.
    """
    new = RULES.new_profile(id="new", name="New", kind=kind, engine=EngineShape.TWIN)
    sections: dict[str, dict[str, Figure]] = {}
    for (section, key), share in known.items():
        spec = SPECS[section, key]
        read = Figure(value=spec.low + share * (spec.high - spec.low), source=Source.MEASURED)
        sections.setdefault(section, {})[key] = read
    try:
        told = new.replace(
            **{name: getattr(new, name).replace(**each) for name, each in sections.items()}
        )
        filled = RULES.fill(told)
    except ValueError as refused:
        assert "leverage: the table ends" in str(refused)
        assert {("rear", "travel_mm"), ("rear", "leverage_factor")} <= known.keys()
        return
    assert RULES.fill(filled) == filled
    assert load(MACHINE, dump(filled)) == filled
    for (section, key), spec in SPECS.items():
        figure = getattr(getattr(filled, section), key)
        if figure is None:
            continue
        assert spec.low <= figure.value <= spec.high
        assert np.isfinite(figure.spread)
        assert bool(figure.rule) == ((section, key) not in known)


@pytest.mark.parametrize("kind", list(MachineKind))
def test_a_machine_plans_from_the_first_moment(kind: MachineKind) -> None:
    new = RULES.new_profile(id="new", name="New", kind=kind, engine=EngineShape.SINGLE)
    plan = evaluate(common_job(new))
    assert np.isfinite(plan.requirement.drop_mm.value)
    assert plan.requirement.drop_mm.high - plan.requirement.drop_mm.low > 20.0


def hidden_and_told(stages: int) -> Iterator[tuple[str, Figure, Figure]]:
    """Each assumed figure by its rule's key, with the one that was hidden."""
    for full in PROFILES.values():
        poor = forget(RULES, full, STAGES[:stages])
        for rule in RULES.rules:
            hidden, told = (_figure(each, *rule.address) for each in (full, poor))
            if hidden is not None and told is not None and told.rule:
                yield rule.key, hidden, told


def _figure(profile: MachineProfile, section: str, key: str) -> Figure | None:
    found: Figure | None = getattr(getattr(profile, section), key)
    return found


@STAGES_KNOWN
def test_nine_of_ten_hidden_figures_lie_in_their_rule_s_band(stages: int) -> None:
    rows = list(hidden_and_told(stages))
    inside = [abs(hidden.value - told.value) <= NORMAL_90 * told.spread for _, hidden, told in rows]
    assert len(rows) > 100
    assert sum(inside) / len(rows) >= 0.88


@pytest.mark.slow
@pytest.mark.parametrize("stages", [1, 2, 3])
def test_bands_of_a_poor_profile_hold_what_the_plan_delivers(stages: int) -> None:
    held: dict[str, list[bool]] = {}
    for each in plans_with_little_known(RULES, STAGES[:stages], 44, seed=21, samples=500):
        for key in each.bands:
            held.setdefault(key, []).append(each.held(key))
    everything = [one for rows in held.values() for one in rows]
    assert sum(everything) / len(everything) >= 0.87
    for key in ("drop_needed", "seat_rider_up", "seat_stopped"):
        # Of 44, nine of ten: binomial, 1 in 1,000 would be below 0.75.
        assert sum(held[key]) / len(held[key]) >= 0.75
