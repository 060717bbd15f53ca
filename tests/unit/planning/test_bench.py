"""The bench: steps for what is done, in working order, with the figures of the plan."""

from dataclasses import replace

import numpy as np
import pytest

from fitplanner.documents.bench import MeasuredState, Place, Tick, When
from fitplanner.documents.job import Job
from fitplanner.documents.torque import Fastener
from fitplanner.planning.bench import order, steps
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.measured.tape import MARK, Spot, bench_of
from tests import factories
from tests.unit.planning.bench_fixture import EVERYTHING, LIMITERS, only, ordered, row, told, worked


def test_all_work_stands_in_working_order() -> None:
    # These keys are kept in jobs: one that is renamed loses its tick.
    _, found = worked(EVERYTHING)
    assert list(found) == [
        "measure-before", "stand-before", "settings-before", "parts-ready", "lift", "tyres",
        "fork-out", "fork-open", "fork-drain", "fork-spring", "fork-limiter", "fork-length",
        "fork-oil", "clear-front", "fork-preload", "fork-cap", "clamps", "lock-to-lock",
        "shock-out", "shock-spring", "shock-send", "shock-back", "clear-rear", "chain-tightest",
        "shock-preload", "shock-in", "seat-lower", "seat-narrow", "soles",
        "lower", "settings-after", "axle-pinch", "stand", "chain", "headlamp",
        "measure-after", "feet-after", "stand-after", "tight", "record", "old-parts", "ride",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("choices", "there", "absent"),
    [
        (
            {},
            {"measure-before", "stand", "ride"},
            {"lift", "fork-out", "clamps", "shock-out", "lower", "record", "chain"},
        ),
        ({"lower_seat_mm": 25.0}, {"seat-lower"}, {"lift", "fork-out", "shock-out", "headlamp"}),
        (
            {"raised_stanchions_mm": 5.0},
            {"clamps", "clear-front", "lift"},
            {"fork-out", "fork-oil", "shock-out"},
        ),
        (
            {"shock_preload_mm": 10.0},
            {"shock-preload", "lower"},
            {"shock-out", "shock-send", "fork-out", "record"},
        ),
        (
            {"shock_rate_n_mm": 50.0},
            {"shock-out", "shock-spring", "shock-in"},
            {"shock-send", "shock-back"},
        ),
        (
            {"fork_limiter_mm": 30.0},
            {"fork-limiter", "fork-length", "fork-preload"},
            {"fork-spring", "shock-out"},
        ),
        ({"fork_rate_n_mm": 7.0}, {"fork-spring", "fork-oil"}, {"fork-limiter", "fork-length"}),
    ],
)
def test_a_step_stands_only_for_what_is_done(
    choices: dict[str, float], there: set[str], absent: set[str]
) -> None:
    _, found = worked(only(**choices))
    assert there <= set(found)
    assert not absent & set(found)


def test_a_stock_spring_that_stays_gets_its_preload_and_no_spring_step() -> None:
    job = only(fork_limiter_mm=30.0, fork_preload_mm=14.0)
    plan, found = worked(job)
    assert "fork-spring" not in found
    assert "stock spring stays" in found["fork-preload"].text
    assert told(found["fork-preload"], "Preload set to").value == pytest.approx(14.0)
    stack = row(plan, "Fork spring with its spacer")
    assert told(found["fork-preload"], "Fork spring with").value == stack.planned


def test_springs_go_in_before_limiters() -> None:
    _, found = worked(EVERYTHING)
    keys = list(found)
    assert keys.index("fork-spring") < keys.index("fork-limiter")
    assert keys.index("shock-spring") < keys.index("shock-send")
    assert keys.index("lower") < keys.index("stand")


# Figures.


def test_figures_are_those_of_the_plan() -> None:
    plan, found = worked(EVERYTHING)
    assert told(found["fork-limiter"], "Limiter").value == 30.0
    assert told(found["fork-oil"], "Oil to pour").value == row(plan, "Oil to pour").planned
    assert told(found["fork-oil"], "Level").value == row(plan, "Its level").planned
    # Invented machine: 10 mm of tube above the clamp, raised by 5.
    assert told(found["clamps"], "Tube above").value == pytest.approx(15.0)
    stand = row(plan, "Stand length")
    assert told(found["stand"], "Take off").value == pytest.approx(stand.stock - stand.planned)
    assert told(found["chain"], "Free play").value == row(plan, "Free play").planned
    assert told(found["shock-send"], "Between the eyes").value == pytest.approx(12.0)
    after = told(found["measure-after"], "Seat, on its wheels").value
    assert after == plan.states.planned.on_wheels.seat_height_mm
    before = told(found["measure-before"], "Free sag, rear").value
    assert before == plan.springs["rear"].stock_sag.free_mm


def test_the_front_wheel_is_put_in_once_with_smaller_tyres() -> None:
    _, found = worked(EVERYTHING)
    assert "the front one with the fork" in found["tyres"].text
    assert "wheel" not in found["fork-out"].text
    fasteners = [line.fastener for step in found.values() for line in step.torques]
    assert fasteners.count(Fastener.FRONT_AXLE) == 1
    _, alone = worked(only(smaller_tyres_mm=5.0))
    assert "Put the wheels back" in alone["tyres"].text and "fork-out" not in alone
    assert Fastener.FRONT_AXLE in [line.fastener for line in alone["tyres"].torques]
    assert list(alone).index("tyres") < list(alone).index("clear-front")


def test_a_lamp_that_shines_lower_is_told_without_a_sign() -> None:
    plan, found = worked(only(**LIMITERS))
    spot = row(plan, "Spot on a wall").planned
    word = "higher" if spot > 0 else "lower"
    assert told(found["headlamp"], f"Spot 10 m ahead, {word}").value == pytest.approx(abs(spot))


def test_turns_are_told_where_the_pitch_is_known_and_the_spring_stays() -> None:
    job = only(shock_preload_mm=4.0)
    plan, found = worked(job)
    collar = row(plan, "Collar of the shock spring")
    # Preload from 7 to 4: the collar goes back by 3.
    assert collar.label.endswith("backed off by") and collar.planned == pytest.approx(3.0)
    assert told(found["shock-preload"], "Collar of the").value == collar.planned
    assert not [each for each in found["shock-preload"].quantities if "Turns" in each.label]
    known = job.machine.rear.replace(collar_pitch_mm=factories.measured(1.5, 0.0))
    with_pitch = job.replace(machine=job.machine.replace(rear=known))
    _, found = worked(with_pitch)
    turns = told(found["shock-preload"], "Turns of the collar, backed off")
    assert turns.value == pytest.approx(3.0 / 1.5)


def test_a_collar_is_turned_by_whoever_sets_the_preload() -> None:
    job = only(shock_limiter_mm=12.0, shock_preload_mm=9.0)
    plan, found = worked(job)
    step = found["shock-preload"]
    assert step.text.startswith("Only verify")
    assert not [each for each in step.quantities if "ollar" in each.label]
    assert told(step, "Spring as fitted").value == pytest.approx(241.0)
    # Limiter 12, preload from 7 to 9: back by 10, farther than 7 less the least preload of 3.
    asked = ordered(job, plan)
    assert asked["Collar of the shock spring, backed off by"] == pytest.approx(10.0)
    assert "thread may not reach" in repr(order(job, plan))
    near = only(shock_limiter_mm=3.0)
    assert "thread may not reach" not in repr(order(near, evaluate(near)))
    # Of another body nobody knows the thread.
    other = only(shorter_shock_mm=12.0, shock_preload_mm=9.0)
    assert not [label for label in ordered(other, evaluate(other)) if "ollar" in label]


def test_the_step_that_sends_the_shock_says_what_the_order_says() -> None:
    for job in (only(shock_limiter_mm=12.0), EVERYTHING):
        plan, found = worked(job)
        asked = ordered(job, plan)
        sent = {each.label: each.value for each in found["shock-send"].quantities}
        assert sent.items() <= asked.items()
        assert {"Limiter on the shaft, length", "Preload at the new full length"} <= set(sent)
    now = only(shock_limiter_mm=12.0, shock_preload_mm=8.0)
    was = worked(only(shock_limiter_mm=12.0, shock_preload_mm=9.0))[1]["shock-send"].said
    ticked = now.replace(ticks=[Tick(step="shock-send", said=was)])
    assert worked(ticked)[1]["shock-send"].was == was


@pytest.mark.parametrize("job", [only(), only(**LIMITERS), only(shock_limiter_mm=20.0)])
def test_sags_are_told_as_the_tape_shows_them(job: Job) -> None:
    plan, found = worked(job)
    bench = bench_of(job, plan)
    for key, when in (("measure-before", When.BEFORE), ("measure-after", When.AFTER)):
        for place, end in (
            (Place.FRONT_AXLE, "front, straight up"), (Place.REAR_AXLE, "rear"),
        ):  # fmt: skip
            spots = [Spot(when, place, state) for state in (
                MeasuredState.EXTENDED, MeasuredState.ON_WHEELS, MeasuredState.RIDER_UP
            )]  # fmt: skip
            hung, *sunk = bench.shown(spots, {(MARK, place.value): np.array([300.0])})[0]
            for name, value in zip(("Free", "Rider"), sunk, strict=True):
                figure = told(found[key], f"{name} sag, {end}").value
                assert figure == pytest.approx(hung - value, abs=1.0)


def test_the_seat_is_not_read_with_the_wheels_hanging() -> None:
    _, found = worked(only())
    labels = [blank.label for blank in found["measure-before"].blanks]
    assert len(labels) == 8 and "Seat, wheels hanging" not in labels


def test_either_the_volume_or_the_level_counts() -> None:
    job = only(fork_limiter_mm=30.0)
    plan, found = worked(job)
    oil = found["fork-oil"]
    assert "the level counts" in oil.text
    assert [each.label for each in oil.quantities] == [
        "Oil to pour, one leg, about", "Level under the tube's rim, to set",
    ]  # fmt: skip
    note = "The limiter's maker says so. Both legs take the same"
    by_maker = tuple(
        replace(each, note=note) if each.label.startswith("Oil to pour") else each
        for each in plan.consequences
    )
    stated = {step.key: step for step in steps(job, replace(plan, consequences=by_maker))}
    oil = stated["fork-oil"]
    assert "pour just that much" in oil.text and "level counts" not in oil.text
    assert [each.label for each in oil.quantities] == [
        "Oil to pour, one leg", "Level under the tube's rim, about, to compare",
    ]  # fmt: skip


def test_the_plan_s_own_words_tell_whose_fill_it_is() -> None:
    job = only(fork_limiter_mm=30.0)
    kit = job.machine.fork.replace(kit_oil_volume_ml=factories.maker(600.0))
    _, found = worked(job.replace(machine=job.machine.replace(fork=kit)))
    assert "maker states the fill" in found["fork-oil"].text


def test_legs_go_into_the_clamps_once_and_caps_are_tightened_there() -> None:
    _, found = worked(EVERYTHING)
    keys = list(found)
    assert "loosely in the clamps" in found["clear-front"].text
    assert not [key for key, step in found.items() if "Set both legs in the clamps" in step.text]
    fasteners = [line.fastener for line in found["clamps"].torques]
    assert fasteners[:3] == [Fastener.LOWER_CLAMP, Fastener.FORK_CAP, Fastener.UPPER_CLAMP]
    assert Fastener.AXLE_PINCH not in fasteners
    (pinch,) = [line.fastener for line in found["axle-pinch"].torques]
    assert pinch is Fastener.AXLE_PINCH
    assert "front brake" in found["lower"].text
    assert keys.index("lower") < keys.index("axle-pinch")
    assert "rebound" in found["fork-out"].text


def test_a_shorter_spring_is_due_where_the_spacer_cannot_give_enough() -> None:
    plan, found = worked(only(fork_limiter_mm=30.0))
    less = row(plan, "Fork spring with its spacer").planned
    assert told(found["fork-open"], "To come off").value == less
    assert "shorter spring is due" in found["fork-open"].text
    preload = plan.springs["front"].preload_mm
    assert told(found["fork-preload"], "Spring as fitted").value == pytest.approx(470.0 - preload)
    # More preload alone: the spacer gets longer.
    _, found = worked(only(fork_preload_mm=12.0))
    assert found["fork-open"].quantities == ()
    assert "shorter spring" not in found["fork-open"].text


def test_a_stand_is_cut_long_first_where_there_is_enough_to_cut() -> None:
    _, found = worked(EVERYTHING)
    assert told(found["stand"], "Take off").value > 10.0
    assert "{length|10} long at first" in found["stand"].text
    assert found["stand"].blanks[0].label.startswith("Length as it was")


def test_the_spring_as_fitted_is_its_free_length_less_the_preload() -> None:
    _, found = worked(only(shock_preload_mm=9.0))
    assert told(found["shock-preload"], "Spring as fitted").value == pytest.approx(250.0 - 9.0)


def test_a_fork_with_one_spring_is_filled_by_the_book_of_its_maker() -> None:
    """The leg without a spring may hold the damping, and another quantity of oil."""
    for legs in (1, 2):
        machine = factories.machine_profile(fork={"spring_legs": legs})
        _, found = worked(EVERYTHING.replace(machine=machine))
        told = found["fork-oil"].text
        assert ("maker's book says for that leg" in told) is (legs == 1)
        assert told.startswith("Fill both legs alike, springs out.") is (legs == 2)
