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
