"""What rules cost, how often their bands hold, and how wide the seat's band is at each stage.

Printed, never asserted. The hidden machines are the library's invented ones: a check of rules
and library against each other only.
"""

from collections import defaultdict

import numpy as np
import pytest

from fitplanner.documents.machine import EngineShape, MachineKind
from fitplanner.library.loader import load_library
from fitplanner.library.rules import load_rules
from fitplanner.library.stages import STAGES
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.rider import NORMAL_90
from fitplanner.planning.unknown.groups import missing_groups
from tests import factories
from tests.forgetful import forget, plans_with_little_known
from tests.property.test_rules import hidden_and_told

RULES = load_rules()


def test_a_new_profile(benchmark) -> None:
    benchmark(
        RULES.new_profile, id="n", name="N", kind=MachineKind.TRAIL, engine=EngineShape.SINGLE
    )


@pytest.mark.parametrize(("name", "stages"), [("brackwell-250", 1), ("fellstrid-350", 3)])
def test_groups(name: str, stages: int, benchmark) -> None:
    """A leverage table by rule, and a drawn linkage."""
    machine = forget(RULES, load_library().profiles[name], STAGES[:stages])
    job = factories.job(machine=machine)
    benchmark(missing_groups, job, evaluate(job))


def test_how_often_each_rule_holds(capsys: pytest.CaptureFixture[str]) -> None:
    off: dict[str, list[float]] = {}
    for stages in (0, 1):  # what a catalogue page has, and then what follows from one
        now: dict[str, list[float]] = defaultdict(list)
        for key, hidden, told in hidden_and_told(stages):
            if told.spread > 0:
                now[key].append(abs(hidden.value - told.value) / told.spread)
        off |= now
    with capsys.disabled():
        print("\nhidden figure inside the rule's 90 % band; off in spreads (root mean square):")
        for key, rows in sorted(off.items(), key=lambda row: np.mean(np.square(row[1]))):
            inside = np.mean(np.array(rows) <= NORMAL_90)
            print(f"  {key:24s} {100 * inside:5.0f} %  {np.sqrt(np.mean(np.square(rows))):5.2f}")


def test_what_each_stage_is_worth(capsys: pytest.CaptureFixture[str]) -> None:
    count = 110
    for stages in range(len(STAGES) + 1):
        held: dict[str, list[bool]] = defaultdict(list)
        wide: dict[str, list[float]] = defaultdict(list)
        for each in plans_with_little_known(RULES, STAGES[:stages], count, seed=3):
            for key, band in each.bands.items():
                held[key].append(each.held(key))
                wide[key].append(band.high - band.low)
        known = ", ".join(stage.title.lower() for stage in STAGES[:stages]) or "nothing"
        share = np.mean([one for rows in held.values() for one in rows])
        with capsys.disabled():
            print(f"\n{known} known: all bands hold in {100 * share:.1f} %")
            for key in ("seat_on_wheels", "seat_rider_up", "seat_stopped", "drop_needed"):
                print(
                    f"  {key:16s} {100 * np.mean(held[key]):5.1f} %, "
                    f"{np.mean(wide[key]):6.1f} mm wide"
                )
