"""Delivered against predicted, and what closes a job."""

from dataclasses import replace

import numpy as np
import pytest

from fitplanner.documents.bench import MeasuredState, Place, Reading, When
from fitplanner.documents.job import Job
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.measured.account import Proof
from fitplanner.planning.measured.fitting import fit, planned_on
from fitplanner.planning.measured.proof import closed, proof
from fitplanner.planning.plan import Plan, WayId
from fitplanner.quantities import UnitSystem, fill
from tests import factories
from tests.taped import FULL, Taped, taped

BEFORE, AFTER = When


@pytest.fixture(scope="module")
def job() -> Job:
    return factories.job(reference="17")


@pytest.fixture(scope="module")
def plan(job: Job) -> Plan:
    return evaluate(job)


@pytest.fixture(scope="module")
def truth(job: Job, plan: Plan) -> Taped:
    return taped(job, plan, np.random.default_rng(12))


@pytest.fixture(scope="module")
def sheet(truth: Taped) -> list[Reading]:
    chance = np.random.default_rng(13)
    return truth.readings(FULL, chance) + truth.readings(FULL, chance, AFTER)


@pytest.fixture(scope="module")
def proved(job: Job, plan: Plan, sheet: list[Reading]) -> Proof:
    return proof(job.replace(readings=sheet), plan)


def test_every_reading_after_the_work_is_compared(proved: Proof, sheet: list[Reading]) -> None:
    assert [each.reading for each in proved.readings] == [e for e in sheet if e.when is AFTER]
    inside = [each.inside for each in proved.readings]
    assert all(each.predicted is not None for each in proved.readings)
    assert inside.count(True) >= 12 and proved.surprise > 0.01
    for each in proved.readings:
        assert each.predicted is not None
        assert each.inside == (each.predicted.low <= each.delivered <= each.predicted.high)


def test_drops_are_read_where_the_tape_can_and_worked_out_where_it_cannot(
    proved: Proof, truth: Taped, plan: Plan
) -> None:
    assert [each.on_tape for each in proved.drops] == [True, True, False] and proved.complete
    stopped = proved.drop("stopped")
    planned = plan.states.stock.stopped.seat_height_mm - plan.states.planned.stopped.seat_height_mm
    assert stopped.planned_mm == pytest.approx(planned)
    true = truth.drop_stopped_mm()
    assert stopped.delivered.value == pytest.approx(true, abs=4.0)
    # What nobody read is never told more exactly than what a tape would show there.
    rider_up = proved.drop("rider_up").delivered
    assert stopped.delivered.high - stopped.delivered.low > 0.9 * (rider_up.high - rider_up.low)
    seats = {
        each.when: each.value
        for each in truth_sheet(proved)
        if (each.place, each.state) == (Place.SEAT, MeasuredState.ON_WHEELS)
    }
    wheels = proved.drop("on_wheels")
    assert wheels.delivered.value == pytest.approx(seats[BEFORE] - seats[AFTER])


def truth_sheet(proved: Proof) -> list[Reading]:
    return [each.reading for each in proved.fit.readings]


def test_parts_are_what_the_plan_has_and_what_the_readings_make_of_them(
    proved: Proof, truth: Taped
) -> None:
    parts = {each.way: each for each in proved.parts if each.way}
    limiter = parts[WayId.SHOCK_LIMITER]
    built = truth.setups[AFTER]
    assert limiter.planned == pytest.approx(
        next(each.amount_mm for each in truth.plan.ways if each.way is WayId.SHOCK_LIMITER)
    )
    assert limiter.band.value == pytest.approx(float(built.shock_limiter_mm), abs=1.5)
    assert limiter.free is not None and limiter.free_spread is not None
    # What the readings alone say lies farther from the plan than both together.
    assert abs(limiter.free - limiter.planned) > abs(limiter.band.value - limiter.planned)
    assert set(parts) == {each.way for each in truth.plan.ways if each.amount_mm}


def test_the_machine_as_built_is_held_to_the_checks(proved: Proof, job: Job) -> None:
    assert {each.key for each in proved.checks} >= {"footing", "stand", "payload"}
    assert ("old-stand" in {each.key for each in proved.checks}) is not proved.lean.restored
    ways = {each.way: each for each in proved.as_built.ways}
    for part in proved.parts:
        if part.way:
            assert ways[part.way].by_hand
            assert ways[part.way].amount_mm == pytest.approx(part.band.value, abs=1e-9)
    assert all(each.by_hand for each in proved.as_built.ways)


@pytest.mark.parametrize("off_mm", [2.0, 9.0])
def test_a_part_larger_than_accepted_is_in_as_large_as_it_is(
    job: Job, plan: Plan, truth: Taped, off_mm: float
) -> None:
    """The check of its size fails only where the readings can tell that it is past the limit."""
    built = truth.setups[AFTER]
    offer = job.machine.ways.lower_seat
    assert offer is not None and float(built.lower_seat_mm) > 0
    larger = replace(built, lower_seat_mm=offer.maximum_mm + off_mm)
    off = replace(truth, setups={**truth.setups, AFTER: larger})
    chance = np.random.default_rng(14)
    sheet = off.readings(FULL, chance) + off.readings(FULL, chance, AFTER)
    found = proof(job.replace(readings=sheet), plan)
    stopped = found.drop("stopped")
    assert found.as_built.delivered.stopped_mm == pytest.approx(stopped.delivered.value, abs=0.3)
    seat = next(each for each in found.parts if each.way is WayId.LOWER_SEAT)
    held = {each.key: each.holds for each in found.checks}
    if seat.band.value > offer.maximum_mm:
        assert ("lower_seat-offered" in held) is (seat.band.low > offer.maximum_mm)
    low, high = (
        found.as_built.delivered.on_wheels_mm.low,
        found.as_built.delivered.on_wheels_mm.high,
    )
    assert low < found.as_built.delivered.on_wheels_mm.value < high


def test_the_lean_is_restored_by_the_planned_stand_and_not_by_the_old_one(
    job: Job, plan: Plan, truth: Taped, sheet: list[Reading]
) -> None:
    lean = proof(job.replace(readings=sheet), plan).lean
    assert lean.restored and lean.agree
    upright = [
        each.replace(value=3.0) if (each.place, each.when) == (Place.STAND_LEAN, AFTER) else each
        for each in sheet
    ]
    fallen = proof(job.replace(readings=upright), plan)
    assert fallen.lean.restored is False
    assert "old-stand" in {each.key for each in fallen.checks}
    assert any("set the stand right" in each for each in fallen.tell)
    # The stand does not move what the other readings say of the machine.
    assert fallen.drop("stopped") == proof(job.replace(readings=sheet), plan).drop("stopped")
    apart = list(upright)
    apart[-1] = apart[-1].replace(value=5.0)
    assert not proof(job.replace(readings=apart), plan).lean.agree
    unread = [e for e in upright if (e.place, e.when) != (Place.STAND_LEAN, BEFORE)]
    late = proof(job.replace(readings=unread), plan)
    assert lean.before_read and not late.lean.before_read
    assert any("by the profile: set the stand right" in each for each in late.tell)
    assert proof(job.replace(readings=sheet[:12]), plan).lean.after_deg is None


def test_nothing_after_the_work_proves_nothing(job: Job, plan: Plan, sheet: list[Reading]) -> None:
    found = proof(job.replace(readings=[e for e in sheet if e.when is BEFORE]), plan)
    assert not found.readings and not found.complete
    assert all(each.inside is None for each in found.drops)
    assert found.tell == (
        "Nothing was measured after the work yet: read the seat on its wheels first.",
    )
    assert proof(job, plan).drops[0].delivered.value == pytest.approx(
        plan.delivered.on_wheels_mm.value, abs=1e-6
    )


def test_a_mark_never_read_before_predicts_nothing(
    job: Job, plan: Plan, sheet: list[Reading]
) -> None:
    late = [e for e in sheet if e.when is AFTER or e.place is Place.SEAT]
    found = proof(job.replace(readings=late), plan)
    for each in found.readings:
        axle = each.reading.place in (Place.FRONT_AXLE, Place.REAR_AXLE)
        assert (each.predicted is None) == axle and (each.inside is None) == axle


def test_a_limiter_that_was_forgotten_shows(job: Job, plan: Plan, truth: Taped) -> None:
    setup = replace(truth.setups[AFTER], shock_limiter_mm=0.0)
    without = replace(truth, setups={**truth.setups, AFTER: setup})
    chance = np.random.default_rng(14)
    readings = without.readings(FULL, chance) + without.readings(FULL, chance, AFTER)
    found = proof(job.replace(readings=readings), plan)
    assert found.drop("on_wheels").inside is False and found.surprise < 1e-4
    said = [fill(each, UnitSystem.METRIC) for each in found.tell]
    assert any("outside what was to be expected" in each for each in said)
    limiter = next(each for each in found.parts if each.way is WayId.SHOCK_LIMITER)
    assert limiter.free is not None and limiter.free < 0.4 * limiter.planned


def test_the_rider_is_told_in_either_unit_system(proved: Proof) -> None:
    for system, unit in ((UnitSystem.METRIC, " mm "), (UnitSystem.INCH, " in ")):
        first = fill(proved.tell[0], system)
        assert first.startswith("On its wheels the seat is") and unit in first
    assert not any("{" in fill(each, UnitSystem.METRIC) for each in proved.tell)
    assert len(proved.tell) <= 8


def test_a_machine_planned_on_as_read_is_proved_without_counting_readings_twice(
    job: Job, plan: Plan, sheet: list[Reading], proved: Proof
) -> None:
    read = job.replace(readings=sheet)
    later = planned_on(read, fit(read, plan))
    found = proof(later, evaluate(later))
    assert found.complete and not found.misfits
    assert [each.used for each in found.fit.readings] == [each.used for each in proved.fit.readings]
    assert all(each.predicted is not None for each in found.readings)
    for state in ("on_wheels", "rider_up", "stopped"):
        one, other = found.drop(state), proved.drop(state)
        assert one.delivered.value == pytest.approx(other.delivered.value, abs=1.5)
        width = other.predicted.high - other.predicted.low
        assert one.predicted.high - one.predicted.low == pytest.approx(width, rel=0.1)


def test_a_reading_set_aside_proves_nothing(job: Job, plan: Plan, sheet: list[Reading]) -> None:
    """A first reading 40 mm off, set aside with the plan on the others, must not blame the work."""
    wrong = [
        each.replace(value=each.value + 40.0)
        if (each.when, each.place, each.state) == (BEFORE, Place.SEAT, MeasuredState.RIDER_UP)
        else each
        for each in sheet
    ]
    read = job.replace(readings=wrong)
    later = planned_on(read, fit(read, plan))
    assert sum(each.set_aside for each in later.readings) == 1
    found = proof(later, evaluate(later))
    assert found.fit.aside == "Set aside: seat, rider up, before the work."
    drop = found.drop("rider_up")
    assert not drop.on_tape and drop.inside and found.look_at == ""
    straight = proof(job.replace(readings=sheet), plan).drop("rider_up")
    assert drop.delivered.value == pytest.approx(straight.delivered.value, abs=5.0)


def test_a_drop_outside_its_band_says_what_to_look_at(
    job: Job, plan: Plan, truth: Taped, proved: Proof
) -> None:
    assert proved.look_at == ""
    setup = replace(truth.setups[AFTER], shock_limiter_mm=0.0)
    without = replace(truth, setups={**truth.setups, AFTER: setup})
    chance = np.random.default_rng(14)
    readings = without.readings(FULL, chance) + without.readings(FULL, chance, AFTER)
    found = proof(job.replace(readings=readings), plan)
    assert found.look_at.startswith("The drop of the seat is outside what was predicted: on")
    assert "Look at: " in found.look_at and "extension limiter, shock" in found.look_at


def test_readings_have_short_names(proved: Proof) -> None:
    names = [each.name for each in proved.readings]
    assert "Seat, on its wheels" in names and "Rear axle, rider up, lifted" in names
    assert "Lean on the side-stand, second" in names
    assert not any("after the work" in each or "reading" in each for each in names)


def test_a_proved_job_becomes_plain_figures(job: Job, proved: Proof) -> None:
    row = closed(job, proved)
    wheels = proved.drop("on_wheels")
    assert row.reference == "17" and row.kind is job.machine.kind
    assert (row.predicted_mm, row.delivered_mm) == (wheels.predicted.value, wheels.delivered.value)
    by_way = {each.way: each for each in row.ways}
    limiter = next(each for each in proved.parts if each.way is WayId.SHOCK_LIMITER)
    assert limiter.free is not None
    assert by_way[WayId.SHOCK_LIMITER].share == pytest.approx(limiter.free / limiter.planned)
    assert all(each.spread > 0 and each.nominal_mm > 0 for each in row.ways)
