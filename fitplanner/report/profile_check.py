"""What a check of several profiles found, as lines of text and as JSON for other programs.

Owns the published shape. `VERSION` rises whenever a key changes its name or meaning. Refuses to
read files and to look for slips.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from fitplanner.documents.base import Document, Figure
from fitplanner.documents.errors import Problem, dotted
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.plain_text import seen
from fitplanner.library.slips.finding import Change, Finding
from fitplanner.quantities import UnitSystem, fill

VERSION = 1


@dataclass(frozen=True)
class CheckedProfile:
    """One file: its profile with what is odd about it, or why it cannot be read."""

    file: str
    profile: MachineProfile | None = None
    findings: tuple[Finding, ...] = ()
    problems: tuple[Problem, ...] = ()


def with_twins(checked: Sequence[CheckedProfile]) -> list[CheckedProfile]:
    """The same, and of profiles of one id all but the first say so."""
    first: dict[str, str] = {}
    told = []
    for one in checked:
        id = "" if one.profile is None else one.profile.id
        if id in first:
            text = f'The id "{id}" is that of {first[id]} too; a library holds one of them.'
            twin = Finding("id", "caution", text, "Give one of them another id.")
            one = CheckedProfile(one.file, one.profile, (*one.findings, twin))
        elif id:
            first[id] = one.file
        told.append(one)
    return told


def check_text(checked: Sequence[CheckedProfile], system: UnitSystem) -> str:
    """One line for each finding, with its file, and a line that sums up."""
    lines = [line for one in checked for line in _lines(one, system)]
    return "\n".join([*lines, _summary_words(checked)])


def check_json(checked: Sequence[CheckedProfile]) -> str:
    """The same for other programs; sentences in metric units."""
    document = {
        "format": "fitplanner-profile-check",
        "version": VERSION,
        "files": [_file(one) for one in checked],
        "summary": _summary(checked),
    }
    return json.dumps(document, indent=2, ensure_ascii=False)


def _lines(one: CheckedProfile, system: UnitSystem) -> Iterator[str]:
    for problem in one.problems:
        yield f"{one.file}: unreadable: {_one_line(str(problem))}"
    for finding in one.findings:
        said = fill(f"{finding.text} {finding.mend}", system)
        writing = "; ".join(f"{'.'.join(each.address)} = {_json(each)}" for each in finding.changes)
        mend = f" Likely mend: {writing}" if writing else ""
        yield f"{one.file}: {finding.severity}: {finding.key}: {_one_line(said)}{mend}"


def _file(one: CheckedProfile) -> dict[str, Any]:
    profile = one.profile
    return {
        "file": one.file,
        "id": None if profile is None else profile.id,
        "name": None if profile is None else profile.name,
        "revision": None if profile is None else profile.revision,
        "findings": [
            {
                "field": finding.key,
                "severity": finding.severity,
                "text": fill(finding.text, UnitSystem.METRIC),
                "mend": fill(finding.mend, UnitSystem.METRIC),
                "changes": [
                    {"field": ".".join(each.address), "value": _plain(each)}
                    for each in finding.changes
                ],
            }
            for finding in one.findings
        ],
        "problems": [
            {"field": dotted(problem.path), "text": problem.text} for problem in one.problems
        ],
    }


def _summary(checked: Sequence[CheckedProfile]) -> dict[str, int]:
    return {
        "files": len(checked),
        "clean": sum(not one.findings and not one.problems for one in checked),
        "with_findings": sum(bool(one.findings) for one in checked),
        "findings": sum(len(one.findings) for one in checked),
        "unreadable": sum(bool(one.problems) for one in checked),
    }


def _summary_words(checked: Sequence[CheckedProfile]) -> str:
    found = _summary(checked)
    files = "1 profile" if found["files"] == 1 else f"{found['files']} profiles"
    if found["clean"] == found["files"]:
        return f"{files}: no slip found."
    return (
        f"{files}: {found['clean']} clean, {found['with_findings']} with findings "
        f"({found['findings']}), {found['unreadable']} unreadable."
    )


def _plain(change: Change) -> Any:
    """What to write at the place of a change: of a figure its value."""
    value = change.value
    if isinstance(value, Figure):
        return value.value
    return value.model_dump(mode="json") if isinstance(value, Document) else value


def _json(change: Change) -> str:
    return json.dumps(_plain(change), ensure_ascii=False)


def _one_line(text: str) -> str:
    return seen(" ".join(text.split()))
