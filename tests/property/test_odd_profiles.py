"""Profiles whose figures are believable one by one, and that no machine has: still an answer."""

from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from fitplanner.documents.base import Figure, Section
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.planning.common_figures import common_figures
from fitplanner.planning.profile_check import check_profile

PROFILES = load_library().profiles
PLACES = [
    (section, spec)
    for section, held in MachineProfile.model_fields.items()
    if isinstance(held.annotation, type) and issubclass(held.annotation, Section)
    for spec in held.annotation.specs()
]

few = settings(deadline=None, max_examples=20, suppress_health_check=[HealthCheck.too_slow])


@st.composite
def odd_profiles(draw: st.DrawFn) -> MachineProfile:
    """A profile of the library with some figures anywhere in their range, at any spread."""
    profile = PROFILES[draw(st.sampled_from(sorted(PROFILES)))]
    changes: dict[str, dict[str, Any]] = {}
    for section, spec in draw(st.lists(st.sampled_from(PLACES), min_size=1, max_size=12)):
        value = draw(st.sampled_from([spec.low, spec.high]) | st.floats(spec.low, spec.high))
        spread = draw(st.sampled_from([0.0, 1.0, 2 * abs(value)]))
        changes.setdefault(section, {})[spec.key] = Figure(value=value, spread=spread)
    try:
        return profile.replace(
            **{name: getattr(profile, name).replace(**each) for name, each in changes.items()}
        )
    except ValidationError:
        return profile


@pytest.mark.slow
@few
@given(profile=odd_profiles())
def test_every_profile_can_be_checked(profile: MachineProfile) -> None:
    for finding in check_profile(profile):
        assert finding.text and finding.mend


@pytest.mark.slow
@few
@given(profile=odd_profiles())
def test_every_profile_shows_a_common_rider_or_says_that_it_cannot(
    profile: MachineProfile,
) -> None:
    found = common_figures(profile)
    assert found is None or np.isfinite(found.drop_mm)


def test_a_spread_that_gives_no_machine_is_no_fault() -> None:
    """The swing-arm moved by its spread points forward."""
    rear = PROFILES["brackwell-250"].rear
    pivot = rear.pivot_height_mm.replace(spread=2 * rear.pivot_height_mm.value)
    rate = rear.spring_rate_n_mm.replace(value=3 * rear.spring_rate_n_mm.value)
    odd = PROFILES["brackwell-250"].replace(
        rear=rear.replace(pivot_height_mm=pivot, spring_rate_n_mm=rate)
    )
    assert check_profile(odd)
