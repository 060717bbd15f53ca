"""What a fit and a proof cost, and how well they do on hidden truth. Printed, never asserted."""

from collections import Counter

import numpy as np
import pytest

from fitplanner.documents.bench import When
from fitplanner.planning.measured.fitting import fit
from fitplanner.planning.measured.proof import proof
from tests.taped import EIGHT, FULL, Where, taped_machines

NAMES = pytest.mark.parametrize("name", ["brackwell-250", "fellstrid-350"])
"""A leverage table and a linkage."""


@NAMES
def test_fit(name: str, benchmark) -> None:
    truth = next(taped_machines(1, seed=1, names=[name]))
    job = truth.job.replace(readings=truth.readings(FULL, np.random.default_rng(2)))
    benchmark(fit, job, truth.plan)


@NAMES
def test_proof(name: str, benchmark) -> None:
    truth = next(taped_machines(1, seed=1, names=[name]))
    chance = np.random.default_rng(2)
    sheet = truth.readings(FULL, chance) + truth.readings(FULL, chance, When.AFTER)
    benchmark(proof, truth.job.replace(readings=sheet), truth.plan)


@pytest.mark.parametrize(("label", "where"), [("full", FULL), ("eight", EIGHT)])
def test_how_often_drops_after_the_work_lie_in_their_bands(
    label: str, where: tuple[Where, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    chance = np.random.default_rng(11)
    held: Counter[str] = Counter()
    apart = []
    count = 110
    for truth in taped_machines(count, seed=9):
        sheet = truth.readings(where, chance) + truth.readings(where, chance, When.AFTER)
        found = proof(truth.job.replace(readings=sheet), truth.plan)
        stopped, true = found.drop("stopped"), truth.drop_stopped_mm()
        for name, band in (("predicted", stopped.predicted), ("delivered", stopped.delivered)):
            held[name] += band.low <= true <= band.high
        apart.append(found.as_built.delivered.stopped_mm - true)
    with capsys.disabled():
        print(f"\n{label} sheet after the work, {count} invented machines:")
        for name, times in held.items():
            print(f"  true drop, stopped, in its {name} 90 % band  {100 * times / count:5.1f} %")
        print(f"  machine as built against the truth: {np.std(apart):.1f} mm (one sd)")


@pytest.mark.parametrize(("label", "where"), [("full", FULL), ("eight", EIGHT)])
def test_how_often_bands_hold_and_the_wrong_reading_is_named(
    label: str, where: tuple[Where, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    chance = np.random.default_rng(3)
    held, alarms, count = [], 0, 110
    tried: Counter[str] = Counter()
    named: Counter[str] = Counter()
    for truth in taped_machines(count, seed=4):
        readings = truth.readings(where, chance)
        found = fit(truth.job.replace(readings=readings), truth.plan)
        alarms += bool(found.misfits)
        held += [
            each.after_band.low <= value <= each.after_band.high
            for each in found.corrections
            if each.address[1] != "leverage_factor"
            for value in [getattr(getattr(truth.profile, each.address[0]), each.address[1]).value]
        ]
        for row in chance.choice(len(readings), 4, replace=False):
            by = chance.choice((-1, 1)) * chance.uniform(5, 10) * found.readings[row].spread
            wrong = list(readings)
            wrong[row] = readings[row].replace(value=float(readings[row].value + by))
            again = fit(truth.job.replace(readings=wrong), truth.plan)
            spot = f"{readings[row].place.value} {readings[row].state.value}"
            tried[spot] += 1
            named[spot] += not again.readings[row].fits
    with capsys.disabled():
        print(f"\n{label} sheet, {count} invented machines:")
        print(f"  true figure inside its 90 % band  {100 * np.mean(held):5.1f} %")
        print(f"  sheets on which a right reading was named {100 * alarms / count:5.1f} %")
        print("  wrong by 5 to 10 spreads and named:")
        for spot in tried:
            print(f"    {spot:24s} {named[spot]:3d} of {tried[spot]:3d}")
        share = 100 * sum(named.values()) / sum(tried.values())
        print(f"    {'all together':24s} {share:5.1f} %")
