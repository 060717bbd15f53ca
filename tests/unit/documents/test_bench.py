"""Readings, stages and ticks: what can be read in which state, and how a bad one is refused."""

import pytest
from pydantic import ValidationError

from fitplanner.documents import codec
from fitplanner.documents.bench import MeasuredState, Place, Reading, Stage, Tick, When
from tests.factories import job


@pytest.mark.parametrize(
    ("place", "state"),
    [
        (Place.STAND_LEAN, MeasuredState.ON_WHEELS),
        (Place.SEAT, MeasuredState.PARKED),
        (Place.SEAT, MeasuredState.EXTENDED),
        (Place.OIL_DRAINED, MeasuredState.RIDER_UP),
    ],
)
def test_a_reading_that_cannot_be_taken_is_refused(place: Place, state: MeasuredState) -> None:
    with pytest.raises(ValidationError, match="is not read in the state"):
        Reading(when=When.BEFORE, place=place, state=state, value=10.0)


@pytest.mark.parametrize("value", [-91.0, 3001.0, float("nan")])
def test_a_reading_past_belief_is_refused(value: float) -> None:
    with pytest.raises(ValidationError):
        Reading(when=When.BEFORE, place=Place.SEAT, state=MeasuredState.ON_WHEELS, value=value)


def test_a_job_keeps_its_readings_and_ticks_in_its_file() -> None:
    reading = Reading(
        when=When.AFTER,
        place=Place.REAR_AXLE,
        state=MeasuredState.RIDER_UP,
        value=512.0,
        typed="20 5/32 in",
    )
    worked = job().replace(
        stage=Stage.IN_WORK, readings=[reading], ticks=[Tick(step="fork-spring", noted="24 mm")]
    )
    assert codec.load_job(codec.dump(worked)) == worked


def test_what_happens_in_the_shop_is_no_part_of_what_a_plan_follows_from() -> None:
    first = job()
    reading = Reading(when=When.AFTER, place=Place.SEAT, state=MeasuredState.ON_WHEELS, value=880.0)
    worked = first.replace(
        title="Another",
        note="Wants it by May",
        reference="26-17",
        stage=Stage.IN_WORK,
        readings=[reading],
        ticks=[Tick(step="lift", said="x")],
        rider=first.rider.replace(name="A. Rider", phone="555 0100"),
    )
    assert worked.planned_on() == first.planned_on() and worked.measured_after
    assert first.with_shop_of(worked) == worked
    aside = worked.replace(readings=[reading.replace(set_aside=True)])
    assert not first.measured_after and not aside.measured_after
    heavier = worked.replace(rider=worked.rider.replace(mass_kg=99.0))
    assert heavier.planned_on() != first.planned_on()


def test_every_field_of_a_job_is_either_planned_on_or_the_shops() -> None:
    """A new field has to be put on one of both sides: this list is the side of the plan."""
    bare = job().planned_on()
    kept = {name for name in type(bare).model_fields if getattr(job(), name) == getattr(bare, name)}
    planned = {"format", "schema_version", "machine", "choices", "windows", "shop_shares"}
    shop = {"title", "note", "reference", "stage", "readings", "ticks", "fitted", "quote", "rider"}
    assert set(type(bare).model_fields) == planned | shop and planned <= kept
