"""Rules on machines of which the rest is hidden: do they stand, and do the bands hold the truth?

The hidden machines are the library's own, which are invented, and the rules were written with
them in view. So this holds rules and library to each other; it says nothing of real machines.
What does is in `tests/published/test_rules.py`.
"""

from collections.abc import Iterator

import pytest

from fitplanner.documents.base import Figure
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.library.rules import load_rules
from fitplanner.library.stages import STAGES
from fitplanner.planning.profile_check import check_profile
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
    for each in plans_with_little_known(RULES, STAGES[:stages], 66, seed=21, samples=500):
        for key in each.bands:
            held.setdefault(key, []).append(each.held(key))
    everything = [one for rows in held.values() for one in rows]
    assert sum(everything) / len(everything) >= 0.87
    for key in ("drop_needed", "seat_rider_up", "seat_stopped"):
        # Of 66, nine of ten: binomial, 1 in 1,000 would be below 0.77.
        assert sum(held[key]) / len(held[key]) >= 0.77
