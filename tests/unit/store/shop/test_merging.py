"""Two versions of a job into one."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitplanner.documents.bench import MeasuredState, Place, Reading, Stage, Tick, When
from fitplanner.documents.job import Job
from fitplanner.session.edits import replace_at
from fitplanner.store.shop.merging import merged
from tests import factories

BASE = factories.job(ticks=[Tick(step="lift")])
EDITS: list[tuple[tuple[str, ...], object]] = [
    (("title",), "Another title"),
    (("note",), "Rear first"),
    (("stage",), Stage.IN_WORK),
    (("rider", "mass_kg"), 81.0),
    (("rider", "phone"), "01632 960999"),
    (("choices", "lower_seat_mm"), 20.0),
    (("choices", "spare_mm"), 4.0),
    (("machine", "fork", "travel_mm"), factories.measured(281.0, 2.0)),
    (("machine", "rear", "preload_mm"), factories.measured(8.0, 0.5)),
]


def changed(*edits: tuple[tuple[str, ...], object], job: Job = BASE) -> Job:
    for address, value in edits:
        job = replace_at(job, address, value)
    return job


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(range(len(EDITS))), unique=True), st.integers(0, 9))
def test_changes_that_do_not_overlap_are_all_in_it(rows: list[int], cut: int) -> None:
    first, second = ([EDITS[row] for row in part] for part in (rows[:cut], rows[cut:]))
    both = merged(BASE, changed(*first), changed(*second))
    assert both == changed(*first, *second)
    assert merged(BASE, changed(*second), changed(*first)) == both


@pytest.mark.parametrize(("address", "value"), EDITS[:2] + EDITS[3:6])
def test_the_same_entry_changed_twice_has_no_merged_version(
    address: tuple[str, ...], value: object
) -> None:
    mine = changed((address, value))
    other = value + 1.0 if isinstance(value, float) else "Something else"
    assert merged(BASE, mine, changed((address, other))) is None
    assert merged(BASE, mine, mine) == mine


def test_a_figure_is_one_entry_with_its_origin() -> None:
    mine = changed((("machine", "fork", "travel_mm", "spread"), 3.0))
    theirs = changed((("machine", "fork", "travel_mm", "value"), 290.0))
    assert merged(BASE, mine, theirs) is None


def test_steps_ticked_and_readings_taken_by_two_stand_together() -> None:
    mine = BASE.replace(ticks=[*BASE.ticks, Tick(step="stand", noted="new foot")])
    theirs = BASE.replace(ticks=[*BASE.ticks, Tick(step="ride")])
    both = merged(BASE, mine, theirs)
    assert both is not None and {tick.step for tick in both.ticks} == {"lift", "stand", "ride"}
    noted = [BASE.replace(ticks=[Tick(step="lift", noted=words)]) for words in ("one", "two")]
    assert merged(BASE, *noted) is None
    readings = [
        Reading(when=When.BEFORE, place=Place.SEAT, state=MeasuredState.ON_WHEELS, value=value)
        for value in (900.0, 901.0)
    ]
    one, two = (BASE.replace(readings=[each]) for each in readings)
    both = merged(BASE, one, two)
    assert both is not None and sorted(each.value for each in both.readings) == [900.0, 901.0]


def test_a_reading_changed_by_one_and_another_added_is_an_overlap() -> None:
    first = Reading(when=When.BEFORE, place=Place.SEAT, state=MeasuredState.ON_WHEELS, value=900.0)
    base = BASE.replace(readings=[first])
    mine = base.replace(readings=[first.replace(value=905.0)])
    theirs = base.replace(readings=[first, first.replace(value=901.0)])
    assert merged(base, mine, theirs) is None


def test_another_machine_does_not_go_with_figures_of_the_old_one() -> None:
    other = BASE.replace(machine=factories.machine_profile(id="other-bike", name="Other"))
    assert merged(BASE, other, changed(EDITS[7])) is None
    assert merged(BASE, other, changed(EDITS[5])) is None
    titled = merged(BASE, other, changed(EDITS[0]))
    assert titled == other.replace(title="Another title")


def test_an_erased_rider_stays_erased() -> None:
    named = changed((("rider", "name"), "A. Rider"))
    erased = named.replace(rider=named.rider.replace(name="", phone=""))
    both = merged(named, changed(EDITS[0], job=named), erased)
    assert both is not None and both.rider.name == "" and both.title == "Another title"
