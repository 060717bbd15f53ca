"""The order to the specialist, and what to buy."""

import pytest

from fitplanner.planning.bench import order, parts
from fitplanner.planning.evaluate import evaluate
from tests import factories
from tests.unit.planning.bench_fixture import EVERYTHING, only, ordered, row, told, worked


def test_the_order_asks_for_what_a_specialist_wants_to_know() -> None:
    job = only(shock_limiter_mm=12.0)
    made = order(job, evaluate(job))
    assert made is not None
    blanks = {blank.label for group in made.groups for blank in group.blanks}
    assert {"Sender", "Telephone", "Wanted back on"} <= blanks
    assert "Free length of the new spring" not in blanks
    assert "Free length of the new spring" in repr(order(EVERYTHING, evaluate(EVERYTHING)))
    asked = ordered(job, evaluate(job))
    assert asked["Gas pressure, as the profile has it"] == pytest.approx(1000.0)
    assert asked["Free length of the stock spring"] == pytest.approx(250.0)
    (how,) = [group.words for group in made.groups if group.title == "What to do"]
    assert "within {length|1} (common practice, no source)" in how
    dry = job.machine.rear.replace(gas_pressure_kpa=factories.measured(0.0, 0.0))
    job = job.replace(machine=job.machine.replace(rear=dry))
    assert not [label for label in ordered(job, evaluate(job)) if "Gas" in label]


def test_the_order_tells_the_unit_and_of_the_rider_only_the_mass() -> None:
    job = EVERYTHING.replace(title="Lower Maren's bike", reference="26-17", note="Maren pays")
    job = job.replace(rider=job.rider.replace(name="Maren", phone="0123"))
    found = order(job, evaluate(job))
    assert found is not None and found.reference == "26-17"
    text = repr(found)
    assert "Maren" not in text and "0123" not in text and "1680" not in text
    figures = {each.label: each.value for group in found.groups for each in group.quantities}
    assert 790.0 not in figures.values(), "nor the inside leg"
    assert figures["Rider with gear"] == pytest.approx(83.0)
    assert figures["Limiter on the shaft, length"] == pytest.approx(12.0)
    assert figures["New spring"] == pytest.approx(50.0)
    assert figures["Preload at the new full length"] == pytest.approx(9.0)
    assert "Free sag wanted" in figures and "Rider sag wanted" in figures


def test_a_shock_that_stays_shut_needs_no_order() -> None:
    job = only(shock_rate_n_mm=50.0, shock_preload_mm=9.0, fork_limiter_mm=30.0)
    assert order(job, evaluate(job)) is None


def test_a_shorter_shock_without_a_limiter_is_asked_nothing_about_one() -> None:
    job = only(shorter_shock_mm=5.0, shock_rate_n_mm=50.0)
    plan, found = worked(job)
    made = order(job, plan)
    assert made is not None
    assert not [b for g in made.groups for b in g.blanks if "imiter" in b.label]
    assert "limiter" not in found["shock-spring"].text
    assert told(found["shock-send"], "Between the eyes").value == pytest.approx(5.0)


def test_parts_are_counted_and_priced_as_the_profile_does() -> None:
    job = EVERYTHING
    offer = job.machine.ways.fork_limiter
    assert offer is not None
    ways = job.machine.ways.replace(fork_limiter=offer.replace(parts=95.0))
    job = job.replace(machine=job.machine.replace(ways=ways))
    plan = evaluate(job)
    found = {part.name: part for part in parts(job, plan)}
    limiter = found["Extension limiter, fork"]
    assert (limiter.count, limiter.price) == (2, 95.0)
    assert limiter.size is not None and limiter.size.value == 30.0
    # The tests' fork has its spring in one leg.
    assert found["Fork spring"].count == 1 and found["Fork spring"].price is None
    oil = found["Fork oil"].size
    assert oil is not None and oil.value == pytest.approx(2 * row(plan, "Oil to pour").planned)
    assert "Fork oil" not in {part.name for part in parts(only(), evaluate(only()))}
