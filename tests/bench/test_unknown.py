"""What the account of the unknown costs, and how often its bands hold. Printed, never asserted."""

from collections import Counter

import pytest

from fitplanner.library.loader import load_library
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.unknown.bands import rows
from fitplanner.planning.unknown.engine import points_of, unknown
from fitplanner.planning.unknown.lanes import case_of
from fitplanner.planning.unknown.margins import margins
from fitplanner.planning.unknown.worth import variance_shares
from tests import factories
from tests.hidden import hidden_machines

PROFILES = pytest.mark.parametrize("name", ["brackwell-250", "fellstrid-350"])
"""A leverage table and a linkage."""


@PROFILES
def test_bands_and_chances_of_2000_samples(name: str, benchmark) -> None:
    job = factories.job(machine=load_library().profiles[name])
    case = case_of(job, evaluate(job))

    def sampled() -> None:
        lanes = case.lanes(points_of(case))
        rows(lanes)
        margins(lanes)

    benchmark(sampled)


@PROFILES
def test_variance_shares(name: str, benchmark) -> None:
    job = factories.job(machine=load_library().profiles[name])
    case = case_of(job, evaluate(job))
    benchmark(variance_shares, case)


@PROFILES
def test_whole_account(name: str, benchmark) -> None:
    job = factories.job(machine=load_library().profiles[name])
    plan = evaluate(job)
    benchmark(unknown, job, plan)


def test_how_often_the_bands_hold(capsys: pytest.CaptureFixture[str]) -> None:
    held: Counter[str] = Counter()
    count = 300
    for each in hidden_machines(count, seed=11):
        held.update(key for key in each.bands if each.held(key))
    with capsys.disabled():
        print(f"\n90 % bands on {count} invented machines, hidden truth inside:")
        for key, inside in held.items():
            print(f"  {key:24s} {100 * inside / count:5.1f} %")
        print(f"  {'all together':24s} {100 * sum(held.values()) / count / len(held):5.1f} %")
