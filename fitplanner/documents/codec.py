"""Documents as text: stable readable JSON out, bounded and validated JSON in.

Owns the formats, their versions and the migrations between versions. A file is untrusted: its
size, depth and number of values are bounded and every refusal is a `DocumentError`. Refuses to
touch files.
"""

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import ValidationError

from fitplanner.documents.base import Document
from fitplanner.documents.errors import Address, DocumentError, from_validation, refusal
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.plain_text import seen
from fitplanner.documents.rider import Rider

MAX_BYTES = 4 * 1024 * 1024
MAX_DEPTH = 24
MAX_VALUES = 30_000
_LINE_WIDTH = 96

D = TypeVar("D", bound=Document)
Raw = dict[str, Any]


@dataclass(frozen=True)
class Format(Generic[D]):
    """A kind of file: its name inside the file, what people call it, its model and version."""

    name: str
    what: str
    model: type[D]
    version: int = 1


JOB = Format("fitplanner-job", "job", Job, version=2)
MACHINE = Format("fitplanner-machine", "machine profile", MachineProfile, version=2)
RIDER = Format("fitplanner-rider", "rider", Rider)

# Formats that may stand inside another document and then bring their own version along.
EMBEDDED: dict[str, Format[Any]] = {fmt.name: fmt for fmt in (JOB, MACHINE)}


def _leverage_as_figure(raw: Raw) -> Raw:
    """The spread of the leverage became that of a figure, a factor on the curve."""
    rear = raw.get("rear")
    if not isinstance(rear, dict):
        return raw
    rear = dict(rear)
    spread = rear.pop("leverage_spread", 0.0)
    note = "the whole curve by one factor"
    factor = {"value": 1.0, "spread": spread, "source": "estimated", "note": note}
    return {**raw, "rear": {**rear, "leverage_factor": factor}}


# (format, version) -> the function that turns a file of that version into the next one. It
# changes the raw fields as it likes; the version number is advanced for it.
MIGRATIONS: dict[tuple[str, int], Callable[[Raw], Raw]] = {
    # The stage, readings and ticks of version 2 have defaults: a job that was only planned.
    (JOB.name, 1): dict,
    (MACHINE.name, 1): _leverage_as_figure,
    # The database of version 2 is left empty: the file on this computer.
    ("fitplanner-preferences", 1): dict,
    # The folder and the customers of version 3 have defaults: this computer, the survey.
    ("fitplanner-preferences", 2): dict,
    # The last job of version 4 is left empty: nothing is offered.
    ("fitplanner-preferences", 3): dict,
    # Before version 2 a job was saved in a file or not at all.
    ("fitplanner-autosave", 1): dict,
}


def is_machine(text: str) -> bool:
    """Whether the text says that it is a machine profile, whatever else is wrong with it."""
    try:
        return _parse(text).get("format") == MACHINE.name
    except DocumentError:
        return False


def load_job(text: str) -> Job:
    """Read a job.

    Raises:
        DocumentError: the text is not an acceptable job; the message names field and mend.
    """
    return load(JOB, text)


def load_machine(text: str) -> MachineProfile:
    """Read a machine profile; raises `DocumentError` as `load_job` does."""
    return load(MACHINE, text)


def load_rider(text: str) -> Rider:
    """Read a rider; raises `DocumentError` as `load_job` does."""
    return load(RIDER, text)


def load(fmt: Format[D], text: str) -> D:
    """Read a document of `fmt`, migrated to the present version and validated.

    Raises:
        DocumentError: damaged, too large, of another format, too new, or refused by its model.
    """
    raw = migrate(fmt, _parse(text))
    if "format" not in fmt.model.model_fields:
        raw = {key: value for key, value in raw.items() if key not in _ENVELOPE}
    try:
        return fmt.model.model_validate_json(json.dumps(raw))
    except ValidationError as error:
        raise from_validation(fmt.model, error) from error


def dump(document: Document, fmt: Format[Any] | None = None) -> str:
    """Write a document as JSON: same document, same text; every number reads back exactly.

    Args:
        document: what to write.
        fmt: needed only for models that do not carry their format themselves.
    """
    raw = document.model_dump(mode="json")
    if "format" not in raw:
        fmt = RIDER if fmt is None and isinstance(document, Rider) else fmt
        if fmt is None:
            raise TypeError(f"{type(document).__name__} needs a format to be written")
        raw = {"format": fmt.name, "schema_version": fmt.version, **raw}
    return _laid_out(raw, "") + "\n"


def decode(data: bytes) -> str:
    """Turn a file's bytes into text for `load`.

    Raises:
        DocumentError: larger than `MAX_BYTES`, or not UTF-8.
    """
    if len(data) > MAX_BYTES:
        raise refusal(_TOO_LARGE)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise refusal(
            f"this is not a text file in UTF-8 (byte {error.start + 1}); "
            "choose another file or restore it from a backup"
        ) from error


def migrate(fmt: Format[Any], raw: Raw, path: Address = ()) -> Raw:
    """Bring raw fields to the present version of `fmt`, and the documents inside them too.

    Raises:
        DocumentError: another format, a version newer than known, or one with no way forward.
    """
    found = raw.get("format")
    if found != fmt.name:
        named = f'its format is "{found}"' if isinstance(found, str) else "it names no format"
        mend = f"choose a file of format {fmt.name}"
        if (fmt, found) == (JOB, MACHINE.name):
            named = "it is a machine profile"
            mend += ", or take this one in with “Import” in the window “Machines of the shop”"
        raise refusal(
            f"this is not a {fmt.what}: {seen(named[:80])}; {mend}",
            label="Format",
            path=(*path, "format"),
        )
    version = _version(raw, path)
    if version > fmt.version:
        raise refusal(
            f"this {fmt.what} is of version {version}, but this program knows versions up to "
            f"{fmt.version}; open it with a newer program",
            label="Version",
            path=(*path, "schema_version"),
        )
    while version < fmt.version:
        step = MIGRATIONS.get((fmt.name, version))
        if step is None:
            raise refusal(
                f"this {fmt.what} is of version {version}, which cannot be brought to version "
                f"{fmt.version}; open and save it with an older program first",
                label="Version",
                path=(*path, "schema_version"),
            )
        version += 1
        raw = {**step(dict(raw)), "schema_version": version}
    return {key: _migrated_inside(value, (*path, key)) for key, value in raw.items()}


_ENVELOPE = ("format", "schema_version")
_TOO_LARGE = (
    f"the file is larger than {MAX_BYTES // 1024**2} MB, far more than a document of this "
    "program needs; choose another file"
)


def _migrated_inside(value: Any, path: Address) -> Any:
    if not isinstance(value, dict):
        return value
    name = value.get("format")
    inner = EMBEDDED.get(name) if isinstance(name, str) else None
    if inner is not None:
        return migrate(inner, value, path)
    return {key: _migrated_inside(one, (*path, key)) for key, one in value.items()}


def _version(raw: Raw, path: Address) -> int:
    version = raw.get("schema_version")
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise refusal(
            "the file does not say its version as a whole number from 1; restore it from a backup",
            label="Version",
            path=(*path, "schema_version"),
        )
    return version


_STRING = re.compile(r'"(?:[^"\\]|\\.)*+"', re.DOTALL)
_MARK = re.compile(r"[\[\]{},]")
_BRACKETS = {"{": 1, "[": 1, "}": -1, "]": -1}


def _parse(text: str) -> Raw:
    if len(text) > MAX_BYTES:
        raise refusal(_TOO_LARGE)
    _check_marks(text)
    try:
        data = json.loads(text, object_pairs_hook=_without_twins)
    except json.JSONDecodeError as error:
        raise refusal(
            f"the file is damaged at line {error.lineno}, column {error.colno} ({error.msg}); "
            "mend it there or restore it from a backup"
        ) from error
    except _TwinError as error:
        raise refusal("stands there twice; take one out", label=seen(str(error)[:80])) from error
    except ValueError as error:
        raise refusal(
            "the file holds a number of thousands of digits; mend it or restore it from a backup"
        ) from error
    if not isinstance(data, dict):
        raise refusal("the file holds no group of fields in braces; choose another file")
    return data


def _check_marks(text: str) -> None:
    """Bound depth and number of values before parsing.

    The parser goes one call deeper per bracket, and makes of two marks an object of 100 bytes.
    """
    depth = 0
    for count, found in enumerate(_MARK.finditer(_STRING.sub("", text))):
        depth += _BRACKETS.get(found.group(), 0)
        if depth > MAX_DEPTH:
            raise refusal(
                f"its fields are nested more than {MAX_DEPTH} deep, which no document of this "
                "program is; choose another file"
            )
        if count > MAX_VALUES:
            raise refusal(
                f"it holds more than {MAX_VALUES} values, far more than a document of this "
                "program needs; choose another file"
            )


class _TwinError(ValueError):
    """A key that stands twice in one group."""


def _without_twins(pairs: list[tuple[str, Any]]) -> Raw:
    group: Raw = {}
    for key, value in pairs:
        if key in group:
            raise _TwinError(key)
        group[key] = value
    return group


def _laid_out(value: Any, indent: str) -> str:
    """One line for what is short and flat, so that a figure reads as a line of a table."""
    flat = json.dumps(value, ensure_ascii=False, allow_nan=False)
    if not isinstance(value, dict | list):
        return flat
    inner = value.values() if isinstance(value, dict) else value
    nested = any(isinstance(one, dict | list) for one in inner)
    if not value or (not nested and len(indent) + len(flat) <= _LINE_WIDTH):
        return flat
    deeper = indent + "  "
    if isinstance(value, dict):
        rows = [
            f"{deeper}{json.dumps(key, ensure_ascii=False)}: {_laid_out(one, deeper)}"
            for key, one in value.items()
        ]
        return "{\n" + ",\n".join(rows) + f"\n{indent}}}"
    rows = [f"{deeper}{_laid_out(one, deeper)}" for one in value]
    return "[\n" + ",\n".join(rows) + f"\n{indent}]"
