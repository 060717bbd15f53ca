"""How many planted slips the profile check finds and mends, and how often it cries wolf.

Printed, never asserted; `tests/unit/planning/test_planted.py` holds the thresholds on fewer.
Shipped machines are varied within their spreads; the others are made up from scratch and no
range was set by them. What is planted and what cannot be seen is said in `tests.slipped`.
"""

from collections import Counter
from collections.abc import Callable, Iterator
from time import perf_counter

import pytest

from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.profile_check import check_profile
from fitplanner.quantities import UnitSystem, fill
from tests.slipped import made_up, planted, seen, sheet_only, sound

COUNT = 200


def _told(title: str, profiles: list[MachineProfile], seed: int) -> Iterator[str]:
    slips, refused = planted(profiles, seed=seed)
    counts: dict[str, Counter[str]] = {}
    missed: list[str] = []
    began = perf_counter()
    for slip in slips:
        findings = check_profile(slip.slipped)
        found, right = seen(slip, findings)
        kind = counts.setdefault(slip.kind, Counter())
        kind["planted"] += 1
        kind["found"] += found
        kind["right"] += right
        kind["other"] += not right and any(finding.changes for finding in findings)
        if not found:
            places = ", ".join(".".join(key) for key in slip.keys)
            missed.append(f"{slip.kind}: {places} of {slip.true.id}")
    each_ms = (perf_counter() - began) * 1e3 / len(slips)
    total = sum(counts.values(), Counter())
    share = {name: 100 * total[name] / len(slips) for name in ("found", "right", "other")}
    yield f"{title}: {len(slips)} slips, {each_ms:.0f} ms each; {refused} more the file refuses"
    yield (
        f"  found {share['found']:.1f} %, mend restores the true figures {share['right']:.1f} %, "
        f"only another mend is offered {share['other']:.1f} %"
    )
    yield f"  {'kind':28s} planted found right other"
    for name, kind in sorted(counts.items()):
        numbers = (kind[each] for each in ("planted", "found", "right", "other"))
        yield f"  {name:28s} " + " ".join(f"{each:6d}" for each in numbers)
    yield from (f"  not found: {each}" for each in missed)
    alarms = {
        profile.id: finding
        for profile in (
            profile.replace(id=f"{profile.id}-{row}") for row, profile in enumerate(profiles)
        )
        for finding in check_profile(profile)
        if finding.severity != "note"
    }
    yield f"  false alarms on {len(profiles)} sound ones: {100 * len(alarms) / len(profiles):.1f} %"
    yield from (
        f"    {name}: {each.key}: {fill(each.text, UnitSystem.METRIC)}"
        for name, each in alarms.items()
    )


@pytest.mark.parametrize(
    ("title", "profiles"),
    [("shipped, varied", sound), ("made up", made_up), ("catalogue page only", sheet_only)],
)
def test_slips_found_and_false_alarms(
    title: str,
    profiles: Callable[..., list[MachineProfile]],
    capsys: pytest.CaptureFixture[str],
) -> None:
    with capsys.disabled():
        print()
        for line in _told(title, profiles(COUNT, seed=11), 12):
            print(line)
