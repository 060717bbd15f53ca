"""The bench: cautions in their place, torques quoted alone, ticks and readings filled in."""

from collections import Counter
from typing import Any

import pytest

from fitplanner.documents.bench import MeasuredState, Place, Reading, Tick, When
from fitplanner.documents.job import Job
from fitplanner.documents.torque import Fastener, Torque
from tests import factories
from tests.unit.planning.bench_fixture import (
    EVERYTHING,
    LIMITERS,
    only,
    worked,
)


@pytest.mark.parametrize(
    "job",
    [EVERYTHING, only(), only(lower_seat_mm=25.0), only(shock_limiter_mm=12.0), factories.job()],
)
def test_every_caution_of_the_plan_stands_at_exactly_one_step(job: Job) -> None:
    plan, found = worked(job)
    standing = Counter(c for step in found.values() for c in step.cautions)
    assert standing == Counter(plan.cautions)


def test_cautions_stand_where_the_hazard_is() -> None:
    _, found = worked(EVERYTHING)

    def words(key: str) -> str:
        return " ".join(caution.text for caution in found[key].cautions)

    assert "under a jack" in words("lift")
    assert "throws its cap" in words("fork-open")
    assert "heat gun" in words("fork-limiter")
    assert "bleed the air before" in words("fork-out")
    assert "gas under pressure" in words("shock-out")
    assert "lock to lock" in words("lock-to-lock")
    assert "far side" in words("stand")
    assert "springs out" in words("clear-front")
    assert "Ride slowly" in words("ride")


def test_no_torque_is_told_that_the_profile_does_not_quote() -> None:
    _, found = worked(EVERYTHING)
    lines = [line for step in found.values() for line in step.torques]
    assert len(lines) >= 10 and not any(line.words or line.source for line in lines)
    quoted = Torque(fastener=Fastener.FORK_CAP, words="30 N·m", source="book, page 6-12")
    machine = EVERYTHING.machine.replace(torques=[quoted])
    _, found = worked(EVERYTHING.replace(machine=machine))
    told_now = {line.fastener: line for line in found["clamps"].torques}
    assert told_now[Fastener.FORK_CAP].words == "30 N·m"
    assert told_now[Fastener.FORK_CAP].source == "book, page 6-12"
    assert told_now[Fastener.UPPER_CLAMP].words == ""


def test_ticks_and_readings_of_the_job_are_filled_in() -> None:
    def reading(value: float, place: Place, state: MeasuredState, **more: Any) -> Reading:
        return Reading(when=When.BEFORE, place=place, state=state, value=value, **more)

    job = only(**LIMITERS).replace(
        ticks=[Tick(step="lift", noted="Strap renewed"), Tick(step="fork-out", done=False)],
        readings=[
            reading(480.0, Place.REAR_AXLE, MeasuredState.ON_WHEELS),
            reading(486.0, Place.REAR_AXLE, MeasuredState.ON_WHEELS),
            reading(300.0, Place.REAR_AXLE, MeasuredState.ON_WHEELS, set_aside=True),
            reading(610.0, Place.OIL_DRAINED, MeasuredState.EXTENDED),
            reading(590.0, Place.OIL_DRAINED, MeasuredState.EXTENDED),
        ],
    )
    _, found = worked(job)
    assert found["lift"].done and found["lift"].noted == "Strap renewed"
    assert not found["fork-out"].done and not found["fork-open"].done
    blanks = {blank.label: blank.value for blank in found["measure-before"].blanks}
    assert blanks["Rear, on its wheels"] == pytest.approx(483.0)
    assert blanks["Front, on its wheels"] is None
    assert [blank.value for blank in found["fork-drain"].blanks] == [610.0, 590.0]
