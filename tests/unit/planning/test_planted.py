"""Planted slips are found, sound machines are left alone, and every rule shows itself once."""

from collections.abc import Callable, Iterator

import numpy as np
import pytest

from fitplanner.documents.machine import LeverageTable, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.library.slips.diagnosis import RULES
from fitplanner.library.slips.sign import SPECS, Sign, plain
from fitplanner.planning.profile_check import check_profile, solved_signs
from fitplanner.quantities import UnitSystem, fill
from tests.slipped import Changes, Key, made_up, planted, seen, sheet_only, slipped, sound

COUNT = 70


@pytest.mark.slow
@pytest.mark.parametrize(
    ("profiles", "least"),
    [(sound, 0.80), (made_up, 0.80), (sheet_only, 0.65)],
    ids=["shipped", "made up", "catalogue page only"],
)
def test_planted_slips_are_found(
    profiles: Callable[..., list[MachineProfile]], least: float
) -> None:
    slips, _ = planted(profiles(COUNT, seed=21), seed=22)
    told = [seen(slip, check_profile(slip.slipped)) for slip in slips]
    found, right = np.mean(told, axis=0)
    assert found >= 0.95
    assert right >= least


@pytest.mark.slow
def test_sound_machines_are_left_alone() -> None:
    profiles = [*sound(150, seed=23), *made_up(150, seed=24)]
    alarmed = [
        profile.id
        for profile in profiles
        if any(finding.severity != "note" for finding in check_profile(profile))
    ]
    assert len(alarmed) < 0.02 * len(profiles), alarmed


def _signs(profile: MachineProfile) -> dict[str, Sign]:
    values = plain(profile)
    bare = [sign for rule in RULES for sign in rule(values)]
    if any(sign.off and sign.severity == "stop" for sign in bare):
        return {sign.name: sign for sign in bare}
    return {sign.name: sign for sign in (*bare, *solved_signs(profile, values))}


def _words(text: object) -> str:
    return str(text() if callable(text) else text)


FACTORS = (0.2, 0.35, 0.6, 0.8, 1.25, 1.6, 2.8, 5.0)


@pytest.mark.parametrize("name", ["hallowmoor-900", "brackwell-250"])
def test_every_rule_can_be_broken_and_says_so_in_plain_words(name: str) -> None:
    """By one figure that it hangs on, or two of them pulled apart, within what the file takes."""
    profile = load_library().profiles[name]
    untold = {sign.name: sign for sign in _signs(profile).values()}
    assert not any(sign.off for sign in untold.values())
    for rule, sign in list(untold.items()):
        for changed in _pulled(profile, sign.of):
            there = _signs(changed).get(rule)
            if there is not None and there.off:
                for words in (there.text, there.mend):
                    said = fill(_words(words), UnitSystem.METRIC)
                    assert said.endswith(".") and "{" not in said, said
                del untold[rule]
                break
    assert untold.keys() == set(), list(untold)


def _pulled(profile: MachineProfile, of: tuple[str, ...]) -> Iterator[MachineProfile]:
    values = plain(profile)
    figures = [_key(key) for key in of if key in SPECS and key in values]
    for first in figures:
        spec, value = SPECS[".".join(first)], values[".".join(first)]
        for end in (spec.low, spec.low + 1e-3, spec.high):
            yield from _made(profile, {first: end})
        for factor in FACTORS:
            for second in figures:
                apart = {second: values[".".join(second)] / factor} if second != first else {}
                yield from _made(profile, {first: value * factor} | apart)
    table = profile.rear.linkage
    if "rear.linkage" in of and isinstance(table, LeverageTable):
        for ratio in (
            [1 / each for each in table.leverage],
            table.leverage[::-1],
            [table.leverage[0] * 1.2, *table.leverage[1:]],
        ):
            yield from _made(profile, {("rear", "linkage"): table.replace(leverage=ratio)})


def _key(name: str) -> Key:
    section, _, field = name.partition(".")
    return section, field


def _made(profile: MachineProfile, changes: Changes) -> Iterator[MachineProfile]:
    made = slipped(profile, changes)
    if made is not None:
        yield made
