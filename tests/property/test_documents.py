"""Properties of documents: any acceptable one survives its file, and no file can do harm."""

import json
import math
from collections.abc import Iterable
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic_core import from_json

from fitplanner.documents import codec
from fitplanner.documents.base import Figure, FigureSpec, Section, Source
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Choices, Job, SagWindows, Window
from fitplanner.documents.machine import Fork, Masses, Seat, Stand, Wheels
from fitplanner.documents.rider import Boot, Experience, Rider, RidingStyle
from fitplanner.session.edits import replace_at, value_at
from tests import factories

finite = st.floats(allow_nan=False, allow_infinity=False)
text = st.text(max_size=80)
# What a profile takes: letters that are seen, see `documents.plain_text`.
LETTERS = st.characters(exclude_categories=("C", "Z"))
seen = st.text(LETTERS, max_size=80)
# A whole job takes long to draw on a busy computer, which is no fault of the documents.
unhurried = settings(deadline=None)


def numbers(spec: FigureSpec) -> st.SearchStrategy[float]:
    return st.floats(spec.low, spec.high)


def figures(spec: FigureSpec) -> st.SearchStrategy[Figure]:
    return st.builds(
        Figure,
        value=numbers(spec),
        spread=st.floats(0, allow_infinity=False),
        source=st.sampled_from(Source),
        note=seen,
    )


def sections(section: type[Section], **others: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Every declared figure anywhere in its range; optional ones sometimes left out."""
    fields: dict[str, st.SearchStrategy[Any]] = {}
    for spec in section.specs():
        annotation = section.model_fields[spec.key].annotation
        is_figure = Figure in (annotation, *get_args(annotation))
        values: st.SearchStrategy[Any] = figures(spec) if is_figure else numbers(spec)
        fields[spec.key] = st.none() | values if spec.optional else values
    return st.builds(section, **fields, **others)


riders = sections(
    Rider,
    name=text,
    boot=st.sampled_from(Boot),
    riding_style=st.sampled_from(RidingStyle),
    experience=st.sampled_from(Experience),
)
windows = st.tuples(finite, finite).map(lambda pair: Window(low=min(pair), high=max(pair)))
sag_windows = st.builds(
    SagWindows, rider_front=windows, rider_rear=windows, free_front=windows, free_rear=windows
)
machines = st.builds(
    factories.machine_profile,
    fork=sections(Fork, spring_legs=st.sampled_from([1, 2])),
    masses=sections(Masses),
    wheels=sections(Wheels),
    seat=sections(Seat),
    stand=sections(Stand),
    name=st.text(LETTERS, min_size=1, max_size=120),
    revision=st.integers(1, 10**9),
    invented=st.booleans(),
)
jobs = st.builds(
    Job,
    title=text,
    note=st.text(max_size=300),
    rider=riders,
    machine=machines,
    choices=sections(Choices),
    windows=st.none() | sag_windows,
)


@unhurried
@given(job=jobs)
def test_any_job_survives_its_file(job: Job) -> None:
    written = codec.dump(job)
    read = codec.load_job(codec.decode(written.encode("utf-8")))
    assert read == job
    assert codec.dump(read) == written


@unhurried
@given(job=jobs)
def test_any_job_is_json_to_another_reader(job: Job) -> None:
    assert from_json(codec.dump(job)) == job.model_dump(mode="json")


@unhurried
@given(rider=riders)
def test_any_rider_survives_its_file(rider: Rider) -> None:
    assert codec.load_rider(codec.dump(rider)) == rider


@unhurried
@given(low=finite, high=finite)
def test_every_number_keeps_its_last_bit(low: float, high: float) -> None:
    """IEEE 754: 17 digits tell any two numbers apart; also signed zeros and the subnormal ones."""
    low, high = sorted((low, high))
    share = Window(low=low, high=high)
    own = SagWindows(rider_front=share, rider_rear=share, free_front=share, free_rear=share)
    read = codec.load_job(codec.dump(factories.job(windows=own))).windows
    assert read is not None
    for got, want in ((read.rider_front.low, low), (read.free_rear.high, high)):
        assert got.hex() == want.hex()
        assert math.copysign(1, got) == math.copysign(1, want)


def places(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """The address of everything inside a raw document."""
    found = [path] if path else []
    rows: Iterable[tuple[str | int, Any]] = ()
    if isinstance(value, dict):
        rows = value.items()
    elif isinstance(value, list):
        rows = enumerate(value)
    for key, inner in rows:
        found += places(inner, (*path, key))
    return found


RAW_JOB = json.loads(codec.dump(factories.job()))
json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | text,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(text, inner, max_size=4),
    max_leaves=12,
)


@unhurried
@given(place=st.sampled_from(places(RAW_JOB)), value=json_values)
def test_any_value_in_any_place_is_accepted_or_refused_in_words(
    place: tuple[str | int, ...], value: Any
) -> None:
    raw: Any = json.loads(json.dumps(RAW_JOB))
    inner = raw
    for part in place[:-1]:
        inner = inner[part]
    inner[place[-1]] = value
    try:
        job = codec.load_job(json.dumps(raw))
    except DocumentError as error:
        assert str(error).strip()
        assert error.problems[0].text
    else:
        assert codec.load_job(codec.dump(job)) == job


@unhurried
@given(data=st.binary(max_size=300) | json_values.map(lambda value: json.dumps(value).encode()))
def test_any_bytes_are_refused_in_words(data: bytes) -> None:
    with pytest.raises(DocumentError):
        codec.load_job(codec.decode(data))


@unhurried
@given(cut=st.integers(0, 100_000))
def test_a_file_cut_short_is_refused(cut: int) -> None:
    written = codec.dump(factories.job()).rstrip()
    with pytest.raises(DocumentError):
        codec.load_job(written[: cut % len(written)])


@unhurried
@given(rider=riders, key=st.sampled_from(sorted(Rider.model_fields)))
def test_an_edit_puts_its_value_and_leaves_the_rest(rider: Rider, key: str) -> None:
    job = factories.job()
    value = getattr(rider, key)
    changed = replace_at(job, ("rider", key), value)
    assert value_at(changed, ("rider", key)) == value
    assert changed.rider.model_dump(exclude={key}) == job.rider.model_dump(exclude={key})
    assert changed.machine is job.machine
    assert replace_at(changed, ("rider", key), getattr(job.rider, key)) == job
