"""What tape and angle gauge show on a solved machine."""

import numpy as np
import pytest

from fitplanner.documents.bench import MeasuredState, Place, Settled, When
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.measured.estimate import figures_at
from fitplanner.planning.measured.tape import AIR, CLINGS_ML, OIL, Bench, Figures, Spot, bench_of
from fitplanner.planning.measured.unknowns import built_unknowns, machine_unknowns, marks
from fitplanner.planning.plan import Plan
from tests import factories
from tests.taped import FULL, taped

BEFORE, AFTER = When
EXTENDED, ON_WHEELS, RIDER_UP, PARKED = MeasuredState


@pytest.fixture(scope="module")
def plan() -> Plan:
    return evaluate(factories.job())


@pytest.fixture(scope="module")
def bench(plan: Plan) -> Bench:
    return bench_of(factories.job(), plan)


def at_the_marks() -> Figures:
    return figures_at(marks(), np.zeros((1, 2)))


def shown(bench: Bench, *spots: Spot) -> list[float]:
    values: list[float] = bench.shown(spots, at_the_marks())[0].tolist()
    return values


def test_seat_readings_are_the_plan_s_heights(bench: Bench, plan: Plan) -> None:
    for when, states in ((BEFORE, plan.states.stock), (AFTER, plan.states.planned)):
        for state in (ON_WHEELS, RIDER_UP):
            height = getattr(states, state.value).seat_height_mm
            assert shown(bench, Spot(when, Place.SEAT, state)) == pytest.approx([height])


def test_differences_of_axle_readings_are_the_plan_s_sags(bench: Bench, plan: Plan) -> None:
    """Rear at the wheel; front along the fork, which leans: a tape goes straight up."""
    for when, end in ((BEFORE, "stock_sag"), (AFTER, "sag")):
        for place, key in ((Place.REAR_AXLE, "rear"), (Place.FRONT_AXLE, "front")):
            hung, free, up = shown(
                bench, *(Spot(when, place, state) for state in (EXTENDED, ON_WHEELS, RIDER_UP))
            )
            sag = getattr(plan.springs[key], end)
            rake = factories.job().machine.catalogue.rake_deg.value
            along = np.cos(np.radians(rake)) if key == "front" else 1.0
            assert hung - free == pytest.approx(sag.free_mm * along, abs=1.0)
            assert hung - up == pytest.approx(sag.rider_mm * along, abs=2.0)


def test_the_mark_moves_all_readings_of_its_end_alike(bench: Bench) -> None:
    spots = [Spot(BEFORE, Place.REAR_AXLE, state) for state in (EXTENDED, ON_WHEELS, RIDER_UP)]
    low, high = at_the_marks(), dict(at_the_marks())
    high["mark", "rear_axle"] = low["mark", "rear_axle"] + 40.0
    change = bench.shown(spots, high) - bench.shown(spots, low)
    assert change[0] == pytest.approx([40.0] * 3, abs=0.1)
    assert shown(bench, spots[0]) == pytest.approx([600.0], abs=0.1)


def test_friction_holds_a_machine_up_once_lifted_and_down_once_pushed(bench: Bench) -> None:
    for place in (Place.SEAT, Place.FRONT_AXLE, Place.REAR_AXLE):
        down, anyhow, up = shown(
            bench,
            *(
                Spot(BEFORE, place, ON_WHEELS, side)
                for side in (Settled.PUSHED_DOWN, Settled.ANYHOW, Settled.LIFTED)
            ),
        )
        assert down < anyhow - 0.5 < anyhow + 0.5 < up
    hung = shown(bench, *(Spot(BEFORE, Place.REAR_AXLE, EXTENDED, side) for side in Settled))
    assert hung[0] == hung[1] == hung[2]


def test_the_new_stand_gives_the_old_lean_and_the_old_lean_is_the_plan_s(
    bench: Bench, plan: Plan
) -> None:
    before, after = shown(
        bench, *(Spot(when, Place.STAND_LEAN, PARKED) for when in (BEFORE, AFTER))
    )
    assert before == pytest.approx(plan.states.stock.parked.lean_deg, abs=1e-6)
    assert after == pytest.approx(before, abs=1e-6)
    length = next(check.value for check in plan.checks if check.key == "stand-length")
    assert bench.new_stand_mm == pytest.approx(length, abs=1e-6)


def test_stanchions_show_as_much_more_as_they_are_raised() -> None:
    job = factories.job(choices={"raised_stanchions_mm": 6.0})
    bench = bench_of(job, evaluate(job))
    before, after = shown(
        bench, *(Spot(when, Place.STANCHION, EXTENDED) for when in (BEFORE, AFTER))
    )
    assert (before, after) == pytest.approx((10.0, 16.0))


def test_less_oil_leaves_more_air_and_a_softer_fork(bench: Bench) -> None:
    spots = [Spot(BEFORE, Place.OIL_DRAINED, EXTENDED), Spot(BEFORE, Place.SEAT, RIDER_UP)]
    fork = factories.job().machine.fork
    less = bench.shown(spots, {OIL: np.array([fork.oil_volume_ml.value - 40.0])})[0]
    air = bench.shown(spots, {AIR: np.array([fork.air_volume_bottomed_ml.value + 40.0])})[0]
    full = bench.shown(spots, {})[0]
    assert full[0] == pytest.approx(fork.oil_volume_ml.value - CLINGS_ML)
    assert less[0] == pytest.approx(full[0] - 40.0) and air[0] == full[0]
    assert less[1] == pytest.approx(air[1], abs=1e-9) and less[1] < full[1]


def test_lanes_are_what_each_machine_shows_alone(bench: Bench) -> None:
    unknowns = (*machine_unknowns(bench), *built_unknowns(bench), *marks())
    points = np.random.default_rng(4).standard_normal((5, len(unknowns)))
    spots = [Spot(when, *where) for when in When for where in FULL]
    together = bench.shown(spots, figures_at(unknowns, points), 5)
    for lane in range(5):
        alone = bench.shown(spots, figures_at(unknowns, points[lane : lane + 1]))
        assert together[lane] == pytest.approx(alone[0], abs=1e-6)


def test_the_tape_agrees_with_a_machine_solved_by_itself(plan: Plan) -> None:
    truth = taped(factories.job(), plan, np.random.default_rng(2))
    ctx = truth.ctx
    bench = bench_of(truth.job.replace(machine=truth.profile), plan)
    lever = {("rear", "leverage_factor"): np.array([1.0])}
    assert ctx.profile == truth.profile
    for where in FULL:
        spot = Spot(BEFORE, *where)
        if spot.place not in (Place.SEAT, Place.STAND_LEAN):
            continue
        true = truth.value(spot, spot.side)
        got = bench.shown([spot], {**at_the_marks(), **lever})[0, 0]
        # The truth's leverage is a little other: half a per cent or so.
        assert got == pytest.approx(true, abs=3.0)


def test_drops_are_the_plan_s(bench: Bench, plan: Plan) -> None:
    stock, planned = plan.states.stock, plan.states.planned
    wanted = [
        getattr(stock, state).seat_height_mm - getattr(planned, state).seat_height_mm
        for state in ("on_wheels", "rider_up", "stopped")
    ]
    assert bench.drops({})[0] == pytest.approx(wanted, abs=1e-6)
