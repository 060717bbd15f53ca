"""How many planted slips the profile check finds and mends, and how often it cries wolf."""

from collections import Counter
from time import perf_counter

import pytest

from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.profile_check import check_profile
from tests.slipped import made_up, planted, seen, sound

COUNT = 200


def _table(title: str, profiles: list[MachineProfile], seed: int) -> list[str]:
    slips, refused = planted(profiles, seed=seed)
    total: Counter[str] = Counter()
    found: Counter[str] = Counter()
    right: Counter[str] = Counter()
    missed: list[str] = []
    began = perf_counter()
    for slip in slips:
        findings = check_profile(slip.slipped)
        is_found, is_right = seen(slip, findings)
        total[slip.kind] += 1
        found[slip.kind] += is_found
        right[slip.kind] += is_right
        if not is_found:
            places = ", ".join(".".join(key) for key in slip.keys)
            missed.append(f"    {slip.kind}: {places} of {slip.true.id}")
    each_ms = (perf_counter() - began) * 1e3 / len(slips)
    wrong = [
        (profile.id, finding.key, finding.text)
        for profile in profiles
        for finding in check_profile(profile)
        if finding.severity != "note"
    ]
    alarmed = len({name for name, _, _ in wrong}) if title == "made up" else len(wrong)
    share = 100 / len(slips)
    return [
        f"{title}: {len(slips)} slips, found {found.total() * share:.1f} %, mend restores "
        f"{right.total() * share:.1f} %, {each_ms:.0f} ms each; the file refuses {refused} more",
        f"  {'kind':28s} planted  found  mended right",
        *(f"  {kind:28s} {total[kind]:7d} {found[kind]:6d} {right[kind]:13d}" for kind in total),
        "  not found:" if missed else "  all found",
        *missed,
        f"  false alarms on {len(profiles)} sound profiles: {len(wrong)} "
        f"({100 * alarmed / len(profiles):.1f} %)",
        *(f"    {name}: {key}: {text}" for name, key, text in wrong),
    ]


def test_slips_found_and_false_alarms(capsys: pytest.CaptureFixture[str]) -> None:
    with capsys.disabled():
        print()
        for line in _table("shipped, varied", sound(COUNT, seed=5), 6):
            print(line)
        for line in _table("made up", made_up(COUNT, seed=7), 8):
            print(line)
