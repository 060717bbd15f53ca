"""The series of readings covers what can be read and goes through it in order."""

import pytest
from pydantic import ValidationError

from fitplanner.documents.bench import MeasuredState, Place, Reading, Settled, When
from fitplanner.planning.measured.series import STEPS, following, step_of, steps


def _can_be_read(place: Place, state: MeasuredState) -> bool:
    try:
        Reading(when=When.BEFORE, place=place, state=state, value=10.0)
    except ValidationError:
        return False
    return True


def test_each_reading_that_a_job_takes_has_one_step() -> None:
    takes = {(p, s) for p in Place for s in MeasuredState if _can_be_read(p, s)}
    assert {(each.place, each.state) for each in STEPS} == takes
    assert len(STEPS) == len(takes)


@pytest.mark.parametrize("when", When)
@pytest.mark.parametrize("settled", [Settled.ANYHOW, Settled.PUSHED_DOWN])
def test_the_series_comes_to_its_end_and_takes_both_sides(when: When, settled: Settled) -> None:
    ahead = (steps(when)[0], settled)
    seen = []
    while ahead is not None:
        seen.append(ahead)
        ahead = following(*ahead, when)
    assert [step for step, side in seen if side is not Settled.LIFTED] == list(steps(when))
    loaded = [step for step in steps(when) if step.rubs]
    lifted = [step for step, side in seen if side is Settled.LIFTED]
    assert lifted == ([] if settled is Settled.ANYHOW else loaded)


def test_after_the_work_no_oil_is_drained() -> None:
    assert Place.OIL_DRAINED in {each.place for each in steps(When.BEFORE)}
    assert Place.OIL_DRAINED not in {each.place for each in steps(When.AFTER)}


def test_a_reading_finds_its_step() -> None:
    for each in STEPS:
        reading = Reading(when=When.AFTER, place=each.place, state=each.state, value=each.low)
        assert step_of(reading) is each
        assert each.low < each.high and each.spread > 0


def test_the_wheels_hang_first_so_that_a_mark_is_chosen_before_it_is_used() -> None:
    first, second = steps(When.BEFORE)[:2]
    for each in (first, second):
        assert each.state is MeasuredState.EXTENDED
        assert "choose a point" in each.told(When.BEFORE) and "mark it" in each.told(When.BEFORE)
        # After the work it is the mark that was chosen before.
        assert "the same mark" in each.told(When.AFTER)
    marked = [row for row, each in enumerate(STEPS) if "the same mark" in each.told(When.BEFORE)]
    assert min(marked) > STEPS.index(second)


def test_some_oil_stays_inside() -> None:
    drained = next(each for each in STEPS if each.place is Place.OIL_DRAINED)
    assert "clings inside" in drained.how and "assumed" in drained.how
