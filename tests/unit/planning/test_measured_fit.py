"""A machine fitted to its readings."""

from statistics import NormalDist

import numpy as np
import pytest

from fitplanner.documents.base import Source
from fitplanner.documents.bench import MeasuredState, Place, Reading, Settled, When
from fitplanner.documents.job import Job
from fitplanner.library.loader import load_library
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.measured.basis import FITTED, back, changed_since
from fitplanner.planning.measured.estimate import figures_at
from fitplanner.planning.measured.fitting import fit, planned_on
from fitplanner.planning.measured.tape import Spot, bench_of
from fitplanner.planning.measured.unknowns import marks
from fitplanner.planning.plan import Plan
from fitplanner.quantities import UnitSystem, fill
from tests import factories
from tests.taped import EIGHT, FULL, Where

EXTENDED, ON_WHEELS, RIDER_UP, PARKED = MeasuredState


@pytest.fixture(scope="module")
def job() -> Job:
    return factories.job()


@pytest.fixture(scope="module")
def plan(job: Job) -> Plan:
    return evaluate(job)


def exact(job: Job, plan: Plan, where: tuple[Where, ...] = FULL) -> list[Reading]:
    """What the profile's own machine would show."""
    spots = [Spot(When.BEFORE, *each) for each in where]
    shown = bench_of(job, plan).shown(spots, figures_at(marks(), np.zeros((1, 2))))[0]
    return [
        Reading(
            when=When.BEFORE,
            place=spot.place,
            state=spot.state,
            settled=spot.settled,
            value=float(value),
            spread=0.5 if spot.place is Place.STAND_LEAN else 2.0,
        )
        for spot, value in zip(spots, shown, strict=True)
    ]


def off(readings: list[Reading], row: int, by: float) -> list[Reading]:
    changed = list(readings)
    changed[row] = readings[row].replace(value=readings[row].value + by)
    return changed


def row_of(readings: list[Reading], place: Place, state: MeasuredState) -> int:
    return next(
        row for row, each in enumerate(readings) if (each.place, each.state) == (place, state)
    )


def test_no_reading_leaves_the_profile_as_it_is(job: Job, plan: Plan) -> None:
    found = fit(job, plan)
    assert found.profile == job.machine and not found.corrections and not found.misfits
    assert any("no reading" in each for each in found.told)
    assert found.next_readings and found.surprise == 1.0 and not found.readings
    for drop in found.drops:
        assert drop.after == drop.before
    stopped = found.drops[2].before
    planned = plan.requirement.planned_drop_mm
    assert (stopped.value, stopped.low) == pytest.approx((planned.value, planned.low), abs=0.15)


def test_readings_as_predicted_change_no_figure_and_narrow_the_band(job: Job, plan: Plan) -> None:
    found = fit(job.replace(readings=exact(job, plan)), plan)
    for each in found.corrections:
        assert each.after.value == pytest.approx(each.before.value, rel=1e-9)
        assert each.after.spread < each.before.spread
    for told in found.readings:
        assert told.residual == pytest.approx(0.0, abs=1e-6) and told.used and told.fits
    for drop in found.drops:
        assert drop.after.value == pytest.approx(drop.before.value, abs=1e-6)
        assert drop.after.high - drop.after.low < drop.before.high - drop.before.low
    assert not found.misfits and found.surprise > 0.9


def test_more_preload_than_the_profile_says_is_found(plan: Plan) -> None:
    """Readings of a machine whose shock preload is 2 mm more, its figure being a guess."""
    guess = factories.assumed(7.0, 2.0)
    job = factories.job(machine=factories.machine_profile(rear={"preload_mm": guess}))
    true = factories.machine_profile(rear={"preload_mm": 9.0})
    # The catalogue's figures hold on wheels, so a stiffer machine hangs lower, not stands higher.
    readings = exact(job.replace(machine=true), plan)
    found = fit(job.replace(readings=readings), evaluate(job))
    preload = next(each for each in found.corrections if each.address == ("rear", "preload_mm"))
    assert preload.after.value == pytest.approx(9.0, abs=0.8)
    assert preload.after.source is Source.MEASURED and preload.after.spread < 1.0
    assert preload.after.note.startswith(FITTED) and "assumed" in preload.after.note
    assert preload.before == guess
    assert found.profile.rear.preload_mm == preload.after


def test_the_corrected_profile_shows_the_readings_and_can_be_planned_on(
    job: Job, plan: Plan
) -> None:
    chance = np.random.default_rng(3)
    readings = [
        each.replace(value=each.value + each.spread * float(chance.normal(0, 1.5)))
        for each in exact(job, plan)
    ]
    found = fit(job.replace(readings=readings), plan)
    told = {(each.reading.place, each.reading.state): each for each in found.readings}
    again = evaluate(job.replace(machine=found.profile))
    for state in (ON_WHEELS, RIDER_UP):
        height = getattr(again.states.stock, state.value).seat_height_mm
        assert height == pytest.approx(told[Place.SEAT, state].predicted, abs=0.3)


@pytest.mark.parametrize(
    ("place", "state", "by", "words"),
    [
        (Place.REAR_AXLE, RIDER_UP, 20.0, "The rear rider-up reading (pushed down) is"),
        (Place.FRONT_AXLE, ON_WHEELS, -18.0, "The front on-wheels reading (pushed down) is"),
        (Place.SEAT, ON_WHEELS, 25.0, "The seat on-wheels reading is"),
        (Place.STAND_LEAN, PARKED, 4.0, "The first side-stand lean reading is 4.0°"),
    ],
)
def test_the_wrong_reading_is_named(
    job: Job, plan: Plan, place: Place, state: MeasuredState, by: float, words: str
) -> None:
    readings = exact(job, plan)
    row = row_of(readings, place, state)
    found = fit(job.replace(readings=off(readings, row, by)), plan)
    assert len(found.misfits) == 1
    said = fill(found.misfits[0], UnitSystem.METRIC)
    assert said.startswith(words) and "off what the other fourteen" not in said
    assert "measure again" in said and "the other 14 say" in said
    told = found.readings[row]
    assert not told.used and not told.fits and told.apart == pytest.approx(by, rel=0.02)
    assert told.others is not None and not told.others.low < told.reading.value < told.others.high
    assert all(each.fits for each in found.readings if each is not told)
    # It is left out, so it moves nothing.
    assert all(
        each.after.value == pytest.approx(each.before.value, rel=1e-6) for each in found.corrections
    )


def test_a_reading_in_the_wrong_unit_is_named_and_moves_nothing(job: Job, plan: Plan) -> None:
    readings = exact(job, plan, EIGHT)
    row = row_of(readings, Place.SEAT, ON_WHEELS)
    wrong = list(readings)
    wrong[row] = readings[row].replace(value=readings[row].value / 25.4)
    found = fit(job.replace(readings=wrong), plan)
    assert [each.fits for each in found.readings].index(False) == row
    assert found.profile.catalogue.seat_height_mm.value == pytest.approx(930.0, abs=0.01)


def test_a_reading_set_aside_is_shown_and_not_used(job: Job, plan: Plan) -> None:
    readings = exact(job, plan)
    row = row_of(readings, Place.REAR_AXLE, RIDER_UP)
    wrong = off(readings, row, 30.0)
    wrong[row] = wrong[row].replace(set_aside=True)
    found = fit(job.replace(readings=wrong), plan)
    told = found.readings[row]
    assert not told.used and told.why == "Set aside" and not found.misfits
    assert told.apart == pytest.approx(30.0, abs=0.1) and told.residual is not None
    without = fit(job.replace(readings=[*readings[:row], *readings[row + 1 :]]), plan)
    assert found.corrections == without.corrections


def test_readings_after_the_work_do_not_fit_the_stock_machine(job: Job, plan: Plan) -> None:
    readings = exact(job, plan)
    after = [each.replace(when=When.AFTER, value=each.value - 30.0) for each in readings[:8]]
    with_after = fit(job.replace(readings=[*readings, *after]), plan)
    assert with_after == fit(job.replace(readings=readings), plan)


def test_too_few_readings_say_what_to_measure(job: Job, plan: Plan) -> None:
    hung = Reading(when=When.BEFORE, place=Place.REAR_AXLE, state=EXTENDED, value=612.0, spread=2.0)
    found = fit(job.replace(readings=[hung]), plan)
    assert not found.corrections and found.profile == job.machine
    assert any("read the rear axle on its wheels too" in each for each in found.told)
    assert found.readings[0].others is None and found.readings[0].standardised is None
    keys = [each.key for each in found.next_readings]
    assert {"rider_sag_rear", "free_sag_rear"} <= set(keys)
    halves = [each.left_mm for each in found.next_readings]
    assert halves == sorted(halves) and all(each.act for each in found.next_readings)
    lone = fit(job.replace(readings=[hung.replace(state=RIDER_UP)]), plan)
    assert any("with the wheel hanging too" in each for each in lone.told)


def test_what_is_read_is_not_asked_for_again(job: Job, plan: Plan) -> None:
    found = fit(job.replace(readings=exact(job, plan)), plan)
    assert not found.next_readings


def test_friction_anyhow_widens_a_reading_and_a_side_does_not(job: Job, plan: Plan) -> None:
    readings = exact(job, plan, tuple((Place.REAR_AXLE, ON_WHEELS, side) for side in Settled))
    spreads = [each.spread for each in fit(job.replace(readings=readings), plan).readings]
    assert spreads[1:] == [2.0, 2.0] and 2.2 < spreads[0] < 4.0


def test_all_readings_far_from_the_profile_say_so(plan: Plan) -> None:
    """A machine that somebody has put softer springs into: it stands lower all over."""
    job = factories.job()
    soft = factories.machine_profile(
        catalogue={"seat_height_mm": 905.0},
        fork={"spring_rate_n_mm": 6.6},
        rear={"spring_rate_n_mm": 42.0, "preload_mm": 12.0},
    )
    readings = exact(job.replace(machine=soft), plan)
    found = fit(job.replace(readings=readings), plan)
    assert found.surprise < 0.01 or len(found.misfits) > 1
    assert any("springs, preload or ride height" in each for each in found.told)


def noisy(job: Job, plan: Plan) -> list[Reading]:
    chance = np.random.default_rng(8)
    return [
        each.replace(value=each.value + each.spread * float(chance.standard_normal()))
        for each in exact(job, plan)
    ]


def test_a_measured_machine_is_told_as_when_it_was_fitted(job: Job, plan: Plan) -> None:
    read = job.replace(readings=noisy(job, plan))
    once = fit(read, plan)
    later = planned_on(read, once)
    assert later.machine == once.profile and later.readings == read.readings
    twice = fit(later, evaluate(later))
    assert [each.address for each in twice.corrections] == [
        each.address for each in once.corrections
    ]
    for before, after in zip(once.corrections, twice.corrections, strict=True):
        assert after.after.value == pytest.approx(before.after.value, abs=1e-4)
    assert [each.used for each in twice.readings] == [each.used for each in once.readings]
    assert not twice.next_readings and not changed_since(later)
    for drop in twice.drops:
        assert drop.after.high - drop.after.low < drop.before.high - drop.before.low
    assert back(later) == read


def test_readings_that_do_not_fit_are_set_aside_with_the_plan_on_the_others(
    job: Job, plan: Plan
) -> None:
    readings = exact(job, plan)
    row = row_of(readings, Place.SEAT, RIDER_UP)
    read = job.replace(readings=off(readings, row, 25.0))
    later = planned_on(read, fit(read, plan))
    assert [n for n, each in enumerate(later.readings) if each.set_aside] == [row]
    found = fit(later, evaluate(later))
    assert found.aside == "Set aside: seat, rider up." and not found.misfits
    assert not found.readings[row].used and not changed_since(later)


def test_readings_changed_after_the_fit_are_noticed(job: Job, plan: Plan) -> None:
    read = job.replace(readings=noisy(job, plan))
    later = planned_on(read, fit(read, plan))
    assert later.fitted is not None and not changed_since(read)
    first, *rest = later.readings
    for rows in (
        rest,
        [first.replace(set_aside=True), *rest],
        [first.replace(value=first.value + 1.0), *rest],
        [*later.readings, first],
    ):
        assert changed_since(later.replace(readings=rows))
    for rows in (
        [first.replace(typed="otherwise written"), *rest],
        [*later.readings, first.replace(when=When.AFTER)],
    ):
        assert not changed_since(later.replace(readings=rows))
    # Fitted anew it is what it had been, had the new reading been there at first.
    more = later.replace(readings=[*later.readings, first])
    anew = planned_on(more, fit(more, evaluate(more)))
    straight = read.replace(readings=more.readings)
    seat = planned_on(straight, fit(straight, plan)).machine.catalogue.seat_height_mm
    assert anew.machine.catalogue.seat_height_mm.value == pytest.approx(seat.value, abs=1e-3)
    assert not changed_since(anew) and back(anew).machine == job.machine
    bare = planned_on(later.replace(readings=[]), fit(later.replace(readings=[]), evaluate(later)))
    assert bare.machine == job.machine and bare.fitted is None


def test_what_was_changed_by_hand_since_stays_when_the_fit_is_taken_back(
    job: Job, plan: Plan
) -> None:
    read = job.replace(readings=noisy(job, plan))
    later = planned_on(read, fit(read, plan))
    hand = factories.measured(21.0, 1.0)
    machine = later.machine.replace(fork=later.machine.fork.replace(preload_mm=hand))
    again = back(later.replace(machine=machine))
    assert again.machine.fork == job.machine.fork.replace(preload_mm=hand)
    assert again.machine.rear == job.machine.rear


def test_drained_oil_moves_oil_and_air_against_each_other(job: Job, plan: Plan) -> None:
    parts = {"oil_volume_ml": factories.measured(620.0, 10.0)}
    job = factories.job(machine=factories.machine_profile(fork=parts))
    drained = Reading(
        when=When.BEFORE, place=Place.OIL_DRAINED, state=EXTENDED, value=600.0, spread=5.0
    )
    found = fit(job.replace(readings=[drained]), evaluate(job))
    # Prior 620 ± 10; read 600 ± 5, with 15 ± 10 that cling a fill of 615 with a variance of 125.
    oil, left = 620.0 - 5.0 * 100.0 / 225.0, 100.0 * 125.0 / 225.0
    fork = found.profile.fork
    assert fork.oil_volume_ml.value == pytest.approx(oil, abs=0.01)
    assert fork.oil_volume_ml.spread == pytest.approx(np.sqrt(left), abs=0.01)
    air = job.machine.fork.air_volume_bottomed_ml
    assert fork.air_volume_bottomed_ml.value == pytest.approx(air.value + 620.0 - oil, abs=0.01)
    assert fork.air_volume_bottomed_ml.spread == pytest.approx(
        np.hypot(10.0, np.sqrt(left)), abs=0.01
    )


def test_one_seat_reading_is_the_weighted_mean_with_the_profile() -> None:
    """Where a single figure answers, least squares with a prior is a weighted mean."""
    catalogue = {"seat_height_mm": factories.measured(930.0, 3.0)}
    job = factories.job(machine=factories.machine_profile(catalogue=catalogue))
    plan = evaluate(job)
    seat = Reading(
        when=When.BEFORE, place=Place.SEAT, state=ON_WHEELS, settled=Settled.LIFTED, value=940.0
    )
    lifted = bench_of(job, plan).shown(
        [Spot(When.BEFORE, Place.SEAT, ON_WHEELS, Settled.LIFTED)], {}
    )
    found = fit(job.replace(readings=[seat]), plan)
    height = found.profile.catalogue.seat_height_mm
    share = 9.0 / (9.0 + 4.0)
    # Stiction, fuel and tyres of the profile leave a little for themselves.
    assert height.value == pytest.approx(930.0 + share * (940.0 - lifted[0, 0]), abs=1.0)
    assert height.spread == pytest.approx(3.0 * np.sqrt(1 - share), abs=0.3)
    narrow = NormalDist(height.value, height.spread).inv_cdf(0.95)
    told = next(e for e in found.corrections if e.address == ("catalogue", "seat_height_mm"))
    assert told.after_band.high == pytest.approx(narrow, abs=1e-3)


@pytest.mark.parametrize("name", ["duncarrow-250", "skarnhall-450", "sandvoe-450"])
def test_every_kind_of_profile_can_be_fitted(name: str) -> None:
    job = Job(rider=factories.rider(), machine=load_library().profiles[name])
    plan = evaluate(job)
    readings = [
        each.replace(value=each.value + (3.0 if each.place is Place.REAR_AXLE else 0.0))
        if each.state is RIDER_UP
        else each
        for each in exact(job, plan)
    ]
    found = fit(job.replace(readings=readings), plan)
    assert found.corrections and not found.misfits
    evaluate(job.replace(machine=found.profile))


@pytest.mark.parametrize("seed", range(3))
def test_nonsense_is_answered_and_named_as_such(job: Job, plan: Plan, seed: int) -> None:
    chance = np.random.default_rng(seed)
    readings = [
        each.replace(value=float(chance.uniform(-60, 60)))
        if each.place is Place.STAND_LEAN
        else each.replace(value=float(chance.uniform(0, 1500)))
        for each in exact(job, plan)
    ]
    found = fit(job.replace(readings=readings), plan)
    assert any("farther from the profile" in each for each in found.told)
    assert len(found.misfits) == len(readings) // 3
    assert all(np.isfinite(each.after.value) for each in found.corrections)
