"""A leverage table from readings, and that it plans as the drawn joints do."""

from collections.abc import Sequence

import numpy as np
import pytest

from fitplanner.documents.machine import LinkagePoints, MachineProfile
from fitplanner.library.loader import load_library
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.fixing import as_planned
from fitplanner.planning.leverage_found import LeverageFound, ReadingsError, leverage_found
from fitplanner.planning.linkage import linkage_motion
from fitplanner.planning.profile_check import check_profile
from fitplanner.planning.resolve import reference
from fitplanner.quantities import UnitSystem, fill
from tests import factories

DRAWN = [
    name
    for name, machine in load_library().profiles.items()
    if isinstance(machine.rear.linkage, LinkagePoints)
]


def machine(name: str) -> MachineProfile:
    return load_library().profiles[name]


def sheet(
    name: str, rows: int, error_mm: float = 0.0, seed: int = 1
) -> tuple[list[float], list[float]]:
    """Wheel against shock travel as somebody with a tape would note them, to half a millimetre."""
    rng, travel = np.random.default_rng(seed), machine(name).rear.travel_mm.value
    wheel = np.linspace(0.0, travel, rows)
    shock = reference(machine(name)).machine.leverage.evaluate(wheel)[0]
    wheel[1:] += rng.normal(0.0, error_mm, rows - 1)
    shock[1:] += rng.normal(0.0, error_mm, rows - 1)
    if error_mm:
        wheel, shock = (np.round(2.0 * each) / 2.0 for each in (wheel, shock))
    return list(np.minimum(wheel, travel)), list(shock)


def read(name: str, rows: int, error_mm: float = 0.0, spread_mm: float = 0.5) -> LeverageFound:
    wheel, shock = sheet(name, rows, error_mm)
    return leverage_found(
        wheel, shock, spread_mm=spread_mm, travel_mm=machine(name).rear.travel_mm.value
    )


def on(found: LeverageFound, name: str) -> MachineProfile:
    rear = machine(name).rear.replace(linkage=found.table, leverage_factor=found.factor)
    return machine(name).replace(rear=rear)


STATES = ("on_wheels", "rider_up", "stopped", "parked")


@pytest.mark.parametrize("name", DRAWN)
def test_readings_of_a_linkage_plan_as_its_joints_do(name: str) -> None:
    # The two ways to describe one machine: from its joints, and from thirteen readings to half a
    # millimetre with an error of 0.4 mm each. Stated: leverage to 3 % from a tenth of the travel
    # to nine, wheel rate to 10 % where the machine stands and rides (up to six tenths), the
    # stroke to 1 mm; seat heights and sags of the plan to 2 mm, the amounts being those of the
    # plan from the joints (a step of a spring or limiter may fall either way).
    found = read(name, 13, 0.4)
    joints, table = linkage_motion(machine(name)), linkage_motion(on(found, name))
    most, ridden = slice(12, -12), slice(12, 73)
    assert table.leverage[most] == pytest.approx(joints.leverage[most], rel=0.03)
    assert table.wheel_rate_n_mm[ridden] == pytest.approx(joints.wheel_rate_n_mm[ridden], rel=0.1)
    assert table.shock_mm[-1] == pytest.approx(joints.shock_mm[-1], abs=1.0)
    job = factories.job(machine=machine(name))
    one = evaluate(job)
    fixed = job.replace(choices=as_planned(job, one))
    two = evaluate(fixed.replace(machine=on(found, name)))
    for state in STATES:
        for setup in ("stock", "planned"):
            theirs, ours = (getattr(getattr(each.states, setup), state) for each in (one, two))
            assert ours.seat_height_mm == pytest.approx(theirs.seat_height_mm, abs=2.0)
            assert ours.rear_compression_mm == pytest.approx(theirs.rear_compression_mm, abs=2.0)


@pytest.mark.parametrize("name", DRAWN)
def test_sharp_readings_plan_the_same(name: str) -> None:
    found = read(name, 25, 0.0, spread_mm=0.05)
    joints, table = linkage_motion(machine(name)), linkage_motion(on(found, name))
    assert table.leverage == pytest.approx(joints.leverage, rel=4e-3)
    assert table.shock_mm == pytest.approx(joints.shock_mm, abs=0.1)
    assert found.factor.spread < 0.004


@pytest.mark.parametrize("name", DRAWN)
def test_what_follows_from_honest_readings_looks_like_no_slip(name: str) -> None:
    travel = machine(name).rear.travel_mm.value
    for seed in range(8):
        found = leverage_found(*sheet(name, 13, 0.4, seed), spread_mm=0.5, travel_mm=travel)
        keys = [finding.key for finding in check_profile(on(found, name))]
        assert not [key for key in keys if key.startswith("rear.linkage")]


def test_the_table_covers_the_travel_and_keeps_what_was_read() -> None:
    name = DRAWN[0]
    wheel, shock = sheet(name, 9, 0.3)
    travel = machine(name).rear.travel_mm.value
    found = leverage_found(wheel, shock, spread_mm=0.5, travel_mm=travel)
    assert found.table.wheel_travel_mm[0] == 0.0
    assert found.table.wheel_travel_mm[-1] == max(travel, *wheel)
    assert found.table.read_wheel_mm == wheel and found.table.read_shock_mm == shock
    assert found.factor.value == 1.0 and found.factor.origin.startswith("9 readings")
    assert len(found.off_mm) == 9


def test_the_row_that_does_not_fit_is_named_with_how_far_it_is_off() -> None:
    wheel, shock = sheet(DRAWN[0], 13, 0.2)
    shock[5] += 6.0
    found = leverage_found(wheel, shock, spread_mm=0.5, travel_mm=wheel[-1])
    assert found.misfits[0] == 5
    assert "Row 6 does not go with the others" in fill(found.remarks[0], UnitSystem.METRIC)
    sharper = read(DRAWN[0], 13, 0.2)
    assert sharper.misfits == () and found.factor.spread > sharper.factor.spread


def test_a_reading_that_is_left_out_shows_no_more() -> None:
    wheel, shock = sheet(DRAWN[0], 13, 0.2)
    shock[5] += 6.0
    del wheel[5], shock[5]
    assert leverage_found(wheel, shock, spread_mm=0.5, travel_mm=wheel[-1]).misfits == ()


def test_what_was_not_read_is_carried_on_and_said() -> None:
    wheel, shock = sheet(DRAWN[0], 13)
    travel = wheel[-1]
    found = leverage_found(wheel[:-1], shock[:-1], spread_mm=0.5, travel_mm=travel)
    assert "were not read" in found.remarks[0] and found.table.wheel_travel_mm[-1] == travel


Pairs = Sequence[tuple[float, float]]


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([], "at least 3"),
        ([(0, 0), (250, 90)], "at least 3"),
        ([(100, 35), (100, 35), (100, 35)], "at least 3"),
        ([(0, 0), (50, 18), (100, 36)], "end at 100 mm of wheel travel"),
        ([(0, 0), (125, 45), (900, 90)], "Row 3: wheel travel of 900 mm"),
        ([(0, 0), (-5, 45), (250, 90)], "Row 2: wheel travel of −5 mm"),
        ([(0, 0), (125, 500), (250, 90)], "Row 2: shock travel of 500 mm"),
        ([(0, 12), (125, 45), (250, 90)], "Row 1: one travel is zero"),
        ([(0, 0), (125, 0), (250, 90)], "Row 2: one travel is zero"),
        ([(10, 90), (125, 45), (250, 10)], "does not grow"),
        ([(0, 0), (125, 2), (250, 3)], "no rear suspension has"),
    ],
)
def test_what_no_leverage_follows_from(rows: Pairs, words: str) -> None:
    wheel, shock = [row[0] for row in rows], [row[1] for row in rows]
    with pytest.raises(ReadingsError) as refusal:
        leverage_found(wheel, shock, spread_mm=0.5, travel_mm=250.0)
    said = fill(str(refusal.value), UnitSystem.METRIC)
    assert words in said and "{" not in said


def test_columns_the_other_way_round_are_suspected() -> None:
    wheel, shock = sheet(DRAWN[0], 9)
    found = leverage_found(shock, wheel, spread_mm=0.5, travel_mm=max(shock))
    assert any("which column is the wheel's" in each for each in found.remarks)


def test_a_hanging_position_read_wrong_is_said() -> None:
    wheel, shock = sheet(DRAWN[0], 13)
    off = [each + 4.0 for each in shock[1:]]
    found = leverage_found(wheel[1:], off, spread_mm=0.5, travel_mm=wheel[-1])
    assert any("read the hanging position again" in each for each in found.remarks)
