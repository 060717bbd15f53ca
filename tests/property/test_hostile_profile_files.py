"""A profile file from anywhere is a valid profile or refused in words, whatever was done to it."""

import json
import tracemalloc
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fitplanner.documents import codec
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.plain_text import unseen
from fitplanner.library.loader import load_library
from tests import factories

WHOLE = codec.dump(factories.machine_profile(note="measured in spring"))
RAW: dict[str, Any] = json.loads(WHOLE)
MOST_BYTES = 150_000_000

unhurried = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])


def read(text: str) -> MachineProfile | None:
    """The profile, which then survives its own file; or None, refused in words."""
    try:
        profile = codec.load_machine(text)
    except DocumentError as error:
        assert error.problems and all(problem.text.strip() for problem in error.problems)
        assert len(str(error)) < 2500
        assert unseen(str(error), frozenset("\n")) is None
        return None
    assert codec.load_machine(codec.dump(profile)) == profile
    return profile


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = [path] if path else []
    if isinstance(value, dict):
        found += [place for key, one in value.items() for place in places(one, (*path, key))]
    if isinstance(value, list):
        found += [place for row, one in enumerate(value) for place in places(one, (*path, row))]
    return found


PLACES = places(RAW)
odd_values = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.sampled_from([10**400, -(10**30), 1e308, 5e-324, -0.0, "NaN", "", "\u202eabc", "a\x00b"]),
    st.text(max_size=40),
    st.text(min_size=2001, max_size=2500),
    st.lists(st.floats(), max_size=300),
    st.dictionaries(st.text(max_size=8), st.integers(), max_size=4),
)


def put(raw: Any, place: tuple[Any, ...], value: Any) -> None:
    for part in place[:-1]:
        raw = raw[part]
    raw[place[-1]] = value


def take(raw: Any, place: tuple[Any, ...]) -> None:
    for part in place[:-1]:
        raw = raw[part]
    del raw[place[-1]]


@unhurried
@given(changes=st.lists(st.tuples(st.sampled_from(PLACES), odd_values), min_size=1, max_size=3))
def test_odd_values_at_any_place(changes: list[tuple[tuple[Any, ...], Any]]) -> None:
    raw = json.loads(WHOLE)
    for place, value in changes:
        try:
            put(raw, place, value)
        except (KeyError, IndexError, TypeError):
            continue
    read(json.dumps(raw))


@unhurried
@given(gone=st.lists(st.sampled_from(PLACES), min_size=1, max_size=3))
def test_what_is_missing_is_named(gone: list[tuple[Any, ...]]) -> None:
    raw = json.loads(WHOLE)
    for place in gone:
        try:
            take(raw, place)
        except (KeyError, IndexError, TypeError):
            continue
    read(json.dumps(raw))


@unhurried
@given(
    at=st.integers(0, len(WHOLE) - 1),
    length=st.integers(0, 40),
    put_in=st.text(max_size=20) | st.sampled_from(["[" * 40, "{" * 40, '"', "\\", ",", "1" * 9000]),
)
def test_letters_changed_anywhere(at: int, length: int, put_in: str) -> None:
    read(WHOLE[:at] + put_in + WHOLE[at + length :])


@unhurried
@given(data=st.data())
def test_bytes_changed_anywhere(data: st.DataObject) -> None:
    whole = bytearray(WHOLE.encode())
    for _ in range(data.draw(st.integers(1, 5))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    try:
        text = codec.decode(bytes(whole))
    except DocumentError as error:
        assert "UTF-8" in str(error)
    else:
        read(text)


@unhurried
@given(text=st.text(min_size=1, max_size=120))
def test_a_name_that_is_taken_is_seen_as_it_is(text: str) -> None:
    raw = json.loads(WHOLE)
    raw["name"] = text
    profile = read(json.dumps(raw))
    if profile is not None:
        assert profile.name == text
        assert unseen(text) is None and text.strip()


BIDI = "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
OTHER_UNSEEN = "\x00\x07\x1b\x7f\x85\u2028\u2029\ufeff\U000e0041"


@pytest.mark.parametrize("letter", [*BIDI, *OTHER_UNSEEN, "\n", "\t"])
def test_unseen_letters_in_a_name_are_refused_with_their_place(letter: str) -> None:
    """Unicode Standard Annex 9 (bidirectional formatting), categories Cc, Zl, Zp."""
    raw = json.loads(WHOLE)
    raw["name"] = f"Plover{letter}300"
    with pytest.raises(DocumentError) as caught:
        codec.load_machine(json.dumps(raw))
    (problem,) = caught.value.problems
    assert problem.path == ("name",)
    assert f"U+{ord(letter):04X}" in problem.text and "place 7" in problem.text
    assert "delete it" in problem.text


@pytest.mark.parametrize(
    "name", ["Plover é 300", "Regenpfeifer – „300“", "千鳥 300", "زقزاق ۳۰۰", "न्\u200dर 300"]
)
def test_names_of_any_script_are_taken(name: str) -> None:
    assert factories.machine_profile(name=name).name == name


def test_a_note_may_have_lines_and_a_source_may_not() -> None:
    base = factories.machine_profile()
    assert base.replace(note="first\n\tsecond").note == "first\n\tsecond"
    raw = json.loads(WHOLE)
    raw["rear"]["travel_mm"]["origin"] = "book\npage 3"
    with pytest.raises(DocumentError, match="cannot be seen"):
        codec.load_machine(json.dumps(raw))


MANY = codec.MAX_BYTES - 200
HEAD = '{"format": "fitplanner-machine", "schema_version": 2, "x": '
BOMBS = {
    "lists": HEAD + "[" + "[]," * (MANY // 3 - 10) + "[]]}",
    "groups": HEAD + "[" + "{}," * (MANY // 3 - 10) + "{}]}",
    "numbers": HEAD + "[" + "1," * (MANY // 2 - 10) + "1]}",
    "keys": "{" + ",".join(f'"{n}":1' for n in range(MANY // 12)) + "}",
    "one text": HEAD + '"' + "a" * (MANY - 10) + '"}',
    "escapes": HEAD + '"' + "\\u0041" * (MANY // 6 - 10) + '"}',
    "wide letters": HEAD + '"' + "\U0001d11e" * (MANY // 4 - 10) + '"}',
    "digits": HEAD + "1" * (MANY - 10) + "}",
    "decimals": HEAD + "1." + "1" * (MANY - 10) + "}",
    "depth": "[" * MANY,
    "quotes": '"' * MANY,
    "backslashes": '"' + "\\" * MANY,
    "too large": " " * (codec.MAX_BYTES + 1),
    "most values": HEAD + "[" + "[]," * (codec.MAX_VALUES // 3) + "[]]}",
    "most keys": '{"format": "fitplanner-machine", "schema_version": 2'
    + "".join(f',"k{n}":1' for n in range(codec.MAX_VALUES - 10))
    + "}",
}


@pytest.mark.parametrize("name", BOMBS)
def test_no_file_takes_more_memory_than_a_program_has(name: str) -> None:
    """Of 4 MB, the largest file that is read at all; the bound is an assumption."""
    tracemalloc.start()
    try:
        assert read(BOMBS[name]) is None
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert peak < MOST_BYTES


@pytest.mark.parametrize("name", load_library().profiles)
def test_no_profile_comes_near_the_bounds(name: str) -> None:
    text = codec.dump(load_library().profiles[name])
    assert len(text) < codec.MAX_BYTES / 20
    assert sum(text.count(mark) for mark in "[]{},") < codec.MAX_VALUES / 20


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (WHOLE.replace('"name"', '"id": "x", "name"', 1), "stands there twice"),
        (WHOLE.replace('"schema_version": 2', '"schema_version": 3'), "newer program"),
        (WHOLE.replace("fitplanner-machine", "fitplanner-job"), "not a machine profile"),
        (WHOLE.replace('"value": 930.0', '"value": NaN'), "finite number"),
        (WHOLE.replace('"value": 930.0', '"value": 1e999'), "finite number"),
        (WHOLE.replace('"value": 930.0', '"value": "930"'), "must be a number"),
        (WHOLE.replace('"value": 930.0', '"value": 93000'), "check the figure and its unit"),
        (WHOLE.replace('"id": "trail-bike"', '"id": "../trail"'), "small letters"),
        (WHOLE.replace('"id": "trail-bike"', '"id": "trail\\n"'), "small letters"),
        (WHOLE.replace('"id": "trail-bike"', '"id": ""'), "small letters"),
    ],
)
def test_what_is_wrong_is_said(text: str, said: str) -> None:
    assert text != WHOLE
    with pytest.raises(DocumentError, match=said):
        codec.load_machine(text)
