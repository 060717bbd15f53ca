"""Edits: one field changes, everything is validated again, a refusal changes nothing."""

import pytest

from fitplanner.documents.base import Figure, Source
from fitplanner.documents.bench import Tick
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Choices, Job, SagWindows, Window
from fitplanner.documents.rider import RidingStyle
from fitplanner.session.edits import (
    figure_edit,
    replace_at,
    tick_edit,
    value_at,
    with_machine,
)
from tests import factories

SHARE = Window(low=0.1, high=0.2)
WINDOWS = SagWindows(rider_front=SHARE, rider_rear=SHARE, free_front=SHARE, free_rear=SHARE)
LEVERAGE = ("machine", "rear", "linkage", "leverage")


@pytest.mark.parametrize(
    ("address", "value"),
    [
        (("title",), "another"),
        (("rider", "mass_kg"), 48.5),
        (("rider", "mass_kg"), None),
        (("rider", "riding_style"), RidingStyle.TRAVEL),
        (("rider",), factories.rider(name="another")),
        (("choices", "fork_limiter_mm"), 25.0),
        (("machine", "fork", "spring_legs"), 2),
        (("machine", "rear", "travel_mm", "note"), "read twice"),
        (("machine", "rear", "travel_mm"), Figure(value=295.0, source=Source.MEASURED)),
        ((*LEVERAGE, 3), 2.8),
        (("windows",), WINDOWS),
        (("machine", "ways", "lower_seat"), None),
    ],
)
def test_only_the_named_field_changes(address: tuple[str | int, ...], value: object) -> None:
    job = factories.job()
    before = job.model_dump()
    changed = replace_at(job, address, value)
    assert value_at(changed, address) == value
    assert job.model_dump() == before
    assert replace_at(changed, address, value_at(job, address)) == job


@pytest.mark.parametrize(
    ("address", "value", "path", "says"),
    [
        (("rider", "mass_kg"), 900.0, ("rider", "mass_kg"), "lies outside"),
        (("rider", "mass_kg"), "75", ("rider", "mass_kg"), "must be a number"),
        (("rider", "mass_kg"), float("nan"), ("rider", "mass_kg"), "finite"),
        (("rider", "riding_style"), "fast", ("rider", "riding_style"), "not a choice"),
        (("title",), "\ud83d", ("title",), "half a character"),
        ((*LEVERAGE, 3), "2.8", (*LEVERAGE, 3), "must be a number"),
        ((*LEVERAGE, 3), 80.0, ("machine", "rear", "linkage"), "between 0.3 and 8"),
        (
            ("machine", "rear", "travel_mm", "value"),
            20.0,
            ("machine", "rear", "travel_mm"),
            "outsi",
        ),
        (("machine", "rear", "travel_mm", "value"), 310.0, ("machine",), "table ends at 300"),
        (("machine",), None, ("machine",), "group of fields"),
    ],
)
def test_a_refused_edit_names_the_place_in_the_job(
    address: tuple[str | int, ...], value: object, path: tuple[str | int, ...], says: str
) -> None:
    job = factories.job()
    with pytest.raises(DocumentError, match=says) as caught:
        replace_at(job, address, value)
    assert caught.value.problems[0].path == path
    assert job == factories.job()


@pytest.mark.parametrize(
    "address",
    [
        (),
        ("colour",),
        ("rider", "colour"),
        ("rider", "mass_kg", "value"),
        ("rider", 0),
        (*LEVERAGE, 99),
        (*LEVERAGE, -1),
        (*LEVERAGE, "first"),
        ("windows", "rider_rear"),
        ("model_config",),
    ],
)
def test_a_place_that_does_not_exist_is_a_lookup_error(address: tuple[str | int, ...]) -> None:
    with pytest.raises(LookupError):
        replace_at(factories.job(), address, 1.0)


def test_a_figure_changed_for_this_job_says_where_it_is_from() -> None:
    job = factories.job()
    address = ("machine", "rear", "preload_mm")
    edit = figure_edit(job, address, 9.0, Source.ESTIMATED, spread=1.5)
    changed = replace_at(job, edit.address, edit.value)
    assert changed.machine.rear.preload_mm == Figure(value=9.0, spread=1.5, source=Source.ESTIMATED)
    assert changed.machine.revision == job.machine.revision


def test_an_optional_figure_can_be_filled_and_emptied() -> None:
    job = factories.job()
    address = ("machine", "seat", "arc_mm")
    filled = figure_edit(job, address, 1900.0, Source.MEASURED, spread=5.0)
    job = replace_at(job, filled.address, filled.value)
    assert job.machine.seat.arc_mm is not None
    emptied = figure_edit(job, address, None, Source.MEASURED)
    assert replace_at(job, emptied.address, emptied.value) == factories.job()


def test_what_is_no_figure_of_the_machine_is_refused() -> None:
    job = factories.job()
    for address in [("rider", "mass_kg"), ("machine", "kind"), ("machine", "rear"), ("note",)]:
        with pytest.raises(LookupError):
            figure_edit(job, address, 1.0, Source.MEASURED)
    with pytest.raises(DocumentError) as caught:
        figure_edit(job, ("machine", "seat", "x_mm"), 500.0, Source.MEASURED, spread=-1.0)
    assert caught.value.problems[0].path == ("machine", "seat", "x_mm", "spread")


def chosen_job() -> Job:
    return factories.job(
        windows=WINDOWS,
        choices={
            "fork_limiter_mm": 40.0,
            "shock_limiter_mm": 12.0,
            "raised_stanchions_mm": 5.0,
            "lower_seat_mm": 25.0,
            "thicker_sole_mm": 10.0,
            "fork_rate_n_mm": 8.0,
            "fork_preload_mm": 6.0,
            "shock_rate_n_mm": 50.0,
            "shock_preload_mm": 8.0,
            "fuel_share": 0.5,
            "luggage_rear_kg": 4.0,
            "feet_share": 0.3,
            "pitch_wish_deg": 0.2,
        },
    )


def test_another_machine_leaves_every_amount_to_the_planner_again() -> None:
    job = chosen_job()
    profile = factories.machine_profile(id="other")
    moved = with_machine(job, profile)
    assert moved.machine == profile
    assert (moved.rider, moved.windows, moved.title) == (job.rider, job.windows, job.title)
    choices = moved.choices
    assert {getattr(choices, spec.key) for spec in Choices.specs() if spec.optional} == {None}
    assert (choices.fuel_share, choices.luggage_rear_kg) == (0.5, 4.0)
    assert (choices.feet_share, choices.pitch_wish_deg) == (0.3, 0.2)


def test_the_same_machine_again_keeps_every_amount() -> None:
    job = chosen_job()
    revised = job.machine.replace(revision=job.machine.revision + 1)
    assert with_machine(job, revised) == job.replace(machine=revised)


def test_a_tick_takes_the_place_of_its_step_and_goes_when_it_says_nothing() -> None:
    job = factories.job(ticks=[Tick(step="lift"), Tick(step="fork-oil", noted="5W")])

    def after(tick: Tick) -> list[Tick]:
        edit = tick_edit(job, tick)
        changed: list[Tick] = replace_at(job, edit.address, edit.value).ticks
        return changed

    noted = Tick(step="lift", done=False, noted="later")
    assert after(noted) == [noted, job.ticks[1]]
    assert after(Tick(step="lift", done=False)) == [job.ticks[1]]
    assert after(Tick(step="stand")) == [*job.ticks, Tick(step="stand")]
    assert after(Tick(step="chain", done=False)) == job.ticks
