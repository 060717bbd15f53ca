"""Documents as text: what is written reads back, and what is refused says which field and how."""

import json
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, Literal

import pytest
from pydantic_core import from_json

from fitplanner.documents import codec
from fitplanner.documents.base import Document
from fitplanner.documents.bench import Stage
from fitplanner.documents.codec import MAX_BYTES, MAX_DEPTH, Format
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.documents.preferences import PREFERENCES, Preferences
from tests import factories

FILES = Path(__file__).parents[2] / "files"


def raw_job() -> dict[str, Any]:
    raw: dict[str, Any] = json.loads(codec.dump(factories.job()))
    return raw


def refused(text: str) -> DocumentError:
    with pytest.raises(DocumentError) as caught:
        codec.load_job(text)
    return caught.value


@pytest.mark.parametrize(
    ("document", "load"),
    [
        (factories.job(), codec.load_job),
        (factories.machine_profile(), codec.load_machine),
        (factories.rider(), codec.load_rider),
        (Preferences(), lambda text: codec.load(PREFERENCES, text)),
    ],
)
def test_what_is_written_reads_back(document: Document, load: Callable[[str], Document]) -> None:
    text = codec.dump(document)
    assert load(text) == document
    assert codec.dump(load(text)) == text


def test_another_reader_finds_the_same_fields() -> None:
    """RFC 8259: the text is JSON to every reader; here one that shares no code with json."""
    document = factories.job(title='Grüße, "quoted" \\ and\ttabbed')
    assert from_json(codec.dump(document)) == document.model_dump(mode="json")


def test_a_figure_is_one_readable_line() -> None:
    lines = codec.dump(factories.job()).splitlines()
    seat = next(line for line in lines if '"seat_height_mm"' in line)
    assert seat.strip().startswith('"seat_height_mm": {"value": 930.0,')
    assert max(map(len, lines)) <= 110


def test_half_a_surrogate_pair_is_refused() -> None:
    """RFC 8259, section 8.2: readers may do anything with it, so that it must not get in."""
    raw = raw_job() | {"title": "\ud83d"}
    assert "half a character" in str(refused(json.dumps(raw)))


def test_the_file_of_version_1_loads_with_its_figures() -> None:
    """A file as version 1 wrote it; it stays as it is and must load for ever."""
    job = codec.load_job(codec.decode((FILES / "job-version-1.fit.json").read_bytes()))
    assert job.title == "Lowered for the first season"
    assert job.choices.fork_limiter_mm == 30.0
    assert job.choices.shock_preload_mm is None
    assert job.machine.catalogue.wheelbase_mm.value == 1440.0
    assert not job.machine.invented
    assert job.machine.rear.spring_rate_n_mm.value == 54.0
    assert job.rider.inside_leg_mm == 790.0
    assert job.windows is not None
    assert job.windows.rider_rear.high == 0.35


def at(*path: str | int, put: object) -> Callable[[dict[str, Any]], None]:
    def change(raw: Any) -> None:
        for part in path[:-1]:
            raw = raw[part]
        raw[path[-1]] = put

    return change


def without(*path: str) -> Callable[[dict[str, Any]], None]:
    def change(raw: Any) -> None:
        for part in path[:-1]:
            raw = raw[part]
        del raw[path[-1]]

    return change


TRAVEL = ("machine", "rear", "travel_mm")
LINKAGE = ("machine", "rear", "linkage")


@pytest.mark.parametrize(
    ("change", "label", "path", "mend"),
    [
        (at(*TRAVEL, "value", put="300"), "Rear wheel travel", "value", "enter a number"),
        (at(*TRAVEL, "value", put=True), "Rear wheel travel", "value", "enter a number"),
        (at(*TRAVEL, "value", put=float("nan")), "Rear wheel travel", "value", "enter the figure"),
        (at(*TRAVEL, "value", put=float("inf")), "Rear wheel travel", "value", "enter the figure"),
        (at(*TRAVEL, "value", put=10**400), "Rear wheel travel", "value", "enter the figure"),
        (at(*TRAVEL, "value", put=9000), "Rear wheel travel", "travel_mm", "check the figure"),
        (at(*TRAVEL, "spread", put=-1), "Rear wheel travel, spread", "spread", "enter 0 or more"),
        (at(*TRAVEL, "source", put="x"), "Rear wheel travel, source", "source", "'measured'"),
        (at(*TRAVEL, "sprad", put=1), "Sprad", "travel_mm.sprad", "take it out"),
        (at(*TRAVEL, put=300), "Rear wheel travel", "travel_mm", "group of fields in braces"),
        (without(*TRAVEL), "Rear wheel travel", "travel_mm", "add it"),
        (without("machine"), "Machine", "machine", "add it"),
        (at(*LINKAGE, "leverage", 2, put="a"), "Leverage, row 3", "leverage.3", "enter a number"),
        (at(*LINKAGE, "leverage", put=[3.0]), "Leverage", "leverage", "give at least 2"),
        (at(*LINKAGE, "layout", put="x"), "Linkage", "linkage", "choose 'table'"),
        (without(*LINKAGE, "layout"), "Linkage", "linkage", "add 'layout'"),
        (at("machine", "id", put="A b"), "Id", "machine.id", "small letters"),
        (at("machine", "revision", put=1.5), "Revision", "revision", "enter a whole number"),
        (at("machine", "invented", put="yes"), "Invented machine", "invented", "true or false"),
        (at("machine", "kind", put="boat"), "Kind", "machine.kind", "choose 'trail'"),
        (at("machine", "fork", "spring_legs", put=3), "Legs that hold a spring", "fork", "1 or 2"),
        (at("rider", "mass_kg", put=750), "Body mass", "rider.mass_kg", "check the figure"),
        (at("rider", "name", put=7), "Name", "rider.name", "put it in quotes"),
        (at("rider", "name", put="n" * 121), "Name", "rider.name", "shorten it"),
        (at("rider", put=[]), "Rider", "rider", "group of fields in braces"),
        (at("colour", put="red"), "Colour", "colour", "take it out"),
        (at("choices", "feet_share", put=1), "Body weight on the feet", "feet_share", "check"),
        (at("windows", put={"rider_front": {"low": 2, "high": 1}}), "Rider front", "w", "swap"),
        (at("format", put="fitplanner-machine"), "Format", "format", "format fitplanner-job"),
        (without("format"), "Format", "format", "choose a file"),
        (without("schema_version"), "Version", "schema_version", "restore it from a backup"),
        (at("schema_version", put="1"), "Version", "schema_version", "restore it from a backup"),
        (at("schema_version", put=True), "Version", "schema_version", "restore it from a backup"),
        (at("schema_version", put=0), "Version", "schema_version", "restore it from a backup"),
        (at("machine", "schema_version", put=99), "Version", "machine.schema_version", "newer"),
    ],
)
def test_a_refusal_names_field_and_mend(
    change: Callable[[dict[str, Any]], None], label: str, path: str, mend: str
) -> None:
    raw = raw_job()
    change(raw)
    first = refused(json.dumps(raw)).problems[0]
    assert first.label.startswith(label)
    assert path in str(first).partition(": ")[0]
    assert mend in first.text


def test_every_problem_is_kept_and_the_message_stays_short() -> None:
    raw = raw_job()
    for key in list(raw["machine"]["catalogue"])[1:]:
        del raw["machine"]["catalogue"][key]
    for key in list(raw["machine"]["chain"]):
        del raw["machine"]["chain"][key]
    error = refused(json.dumps(raw))
    assert len(error.problems) == 9
    assert str(error).endswith("and 4 more")


def test_the_address_leads_back_to_the_field() -> None:
    raw = raw_job()
    raw["machine"]["rear"]["linkage"]["leverage"][4] = None
    (problem,) = refused(json.dumps(raw)).problems
    assert problem.path == ("machine", "rear", "linkage", "leverage", 4)


def test_a_newer_version_is_refused_with_both_versions_named() -> None:
    raw = raw_job()
    raw["schema_version"] = 7
    raw["something"] = "unknown to this version"
    message = str(refused(json.dumps(raw)))
    assert "version 7" in message
    assert f"up to {codec.JOB.version}" in message


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "damaged at line 1, column 1"),
        ('{"format": "fitplanner-job",\n  "title": }', "damaged at line 2, column 12"),
        ("[1, 2]", "no group of fields"),
        ("null", "no group of fields"),
        ('{"title": "a", "title": "b"}', "stands there twice"),
        ("[" * 100_000 + "]" * 100_000, f"more than {MAX_DEPTH} deep"),
        ('{"a":' * 100_000, f"more than {MAX_DEPTH} deep"),
        ('{"a": ' + "9" * 5000 + "}", "thousands of digits"),
        ('"' + "x" * MAX_BYTES + '"', "larger than 4 MB"),
    ],
)
def test_text_that_is_no_document_is_refused(text: str, says: str) -> None:
    assert says in str(refused(text))


def test_brackets_inside_text_are_not_depth() -> None:
    title = '["' * 60 + "\\"
    assert codec.load_job(codec.dump(factories.job(title=title))).title == title


@pytest.mark.parametrize(
    "text",
    [
        "{" + ",".join(f'"key{n}":1' for n in range(250_000)) + "}",
        '{"a": "' + "\\" * 1_000_001 + "}",
        '"' * 1_000_000,
    ],
)
def test_a_hostile_file_is_refused_without_delay(text: str) -> None:
    """Grows with the length only; a square of it would take hours, so that 20 s tell them apart."""
    start = time.perf_counter()
    refused(text)
    assert time.perf_counter() - start < 20


def test_bytes_that_are_not_text_are_refused() -> None:
    with pytest.raises(DocumentError, match="UTF-8"):
        codec.decode(b"\xff\xfe\x00")
    with pytest.raises(DocumentError, match="larger"):
        codec.decode(b" " * (MAX_BYTES + 1))


def test_a_byte_order_mark_is_accepted() -> None:
    assert codec.decode(b"\xef\xbb\xbf{}") == "{}"


class Sheet(Document):
    """A document that has reached version 3."""

    format: Literal["test-sheet"] = "test-sheet"
    schema_version: Literal[3] = 3
    height_mm: float
    job: Job | None = None


SHEET = Format("test-sheet", "sheet", Sheet, version=3)


@pytest.fixture
def sheet_migrations(monkeypatch: pytest.MonkeyPatch) -> None:
    def named_with_its_unit(raw: dict[str, Any]) -> dict[str, Any]:
        raw["height_cm"] = raw.pop("height")
        return raw

    def in_millimetres(raw: dict[str, Any]) -> dict[str, Any]:
        return {**raw, "height_mm": raw["height_cm"] * 10.0} | {"height_cm": None}

    def without_centimetres(raw: dict[str, Any]) -> dict[str, Any]:
        raw = in_millimetres(raw)
        del raw["height_cm"]
        return raw

    monkeypatch.setitem(codec.MIGRATIONS, ("test-sheet", 1), named_with_its_unit)
    monkeypatch.setitem(codec.MIGRATIONS, ("test-sheet", 2), without_centimetres)


@pytest.mark.usefixtures("sheet_migrations")
def test_an_old_version_is_brought_forward_step_by_step() -> None:
    first = '{"format": "test-sheet", "schema_version": 1, "height": 93}'
    second = '{"format": "test-sheet", "schema_version": 2, "height_cm": 93}'
    assert codec.load(SHEET, first) == codec.load(SHEET, second) == Sheet(height_mm=930.0)


def test_a_version_without_a_way_forward_is_refused() -> None:
    with pytest.raises(DocumentError, match="cannot be brought to version 3"):
        codec.load(SHEET, '{"format": "test-sheet", "schema_version": 1}')


def test_documents_inside_bring_their_own_version(monkeypatch: pytest.MonkeyPatch) -> None:
    """A job saved years ago keeps its machine profile in the version of that time."""
    machine = Format("fitplanner-machine", "machine profile", codec.MACHINE.model, version=3)
    seen: list[int] = []

    def record(raw: dict[str, Any]) -> dict[str, Any]:
        seen.append(raw["schema_version"])
        return raw

    monkeypatch.setitem(codec.EMBEDDED, machine.name, machine)
    monkeypatch.setitem(codec.MIGRATIONS, (machine.name, 2), record)
    raw = raw_job()
    raw["fitted"] = {"machine": raw["machine"], "readings": []}
    migrated = codec.migrate(codec.JOB, raw)
    assert seen == [2, 2]
    assert migrated["machine"]["schema_version"] == 3
    assert migrated["fitted"]["machine"]["schema_version"] == 3
    assert migrated["schema_version"] == codec.JOB.version


def test_a_rider_file_carries_format_and_version() -> None:
    raw = json.loads(codec.dump(factories.rider()))
    assert (raw["format"], raw["schema_version"]) == ("fitplanner-rider", 1)


def test_a_document_without_any_format_cannot_be_written() -> None:
    with pytest.raises(TypeError, match="Catalogue"):
        codec.dump(factories.machine_profile().catalogue)


def test_a_job_of_version_1_reads_as_one_that_was_only_planned() -> None:
    old = (FILES / "job-version-1.fit.json").read_text(encoding="utf-8")
    job = codec.load_job(old)
    assert job.stage is Stage.ASKED and not job.readings and not job.ticks
    raw = json.loads(codec.dump(job))
    assert (raw["schema_version"], raw["stage"]) == (2, "asked")


def test_the_leverage_of_an_old_profile_keeps_its_spread() -> None:
    """Version 1 of a profile held the spread alone; it is a figure's since."""
    old = json.loads((FILES / "job-version-1.fit.json").read_text(encoding="utf-8"))
    assert old["machine"]["schema_version"] == 1
    factor = codec.load_job(json.dumps(old)).machine.rear.leverage_factor
    assert (factor.value, factor.spread) == (1.0, old["machine"]["rear"]["leverage_spread"])


def test_a_figure_without_seldom_words_is_written_without_them() -> None:
    figure = factories.measured(300.0, 1.0)
    assert set(figure.model_dump()) == {"value", "spread", "source", "note"}
    told = figure.replace(typed="11 13/16 in", origin="26 November 2026")
    assert type(figure).model_validate_json(told.model_dump_json()) == told


def test_a_profile_opened_as_a_job_leads_to_the_import() -> None:
    text = codec.dump(factories.machine_profile())
    with pytest.raises(
        DocumentError, match=r"it is a machine profile; .* take this one in with “Import”"
    ):
        codec.load_job(text)
