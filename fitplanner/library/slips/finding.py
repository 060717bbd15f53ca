"""A doubt about a profile's figure, and its likely mend as data.

Owns what a finding says and the one function that carries its mend out. Refuses to look for any.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

from fitplanner.documents.base import Figure
from fitplanner.documents.machine import MachineProfile
from fitplanner.quantities import Kind, figure_in_text

Severity = Literal["stop", "caution", "note"]
Address = tuple[str, str]
"""Section and field of a profile, such as ``("fork", "travel_mm")``."""


@dataclass(frozen=True)
class Change:
    """What a mend puts at one place of the profile.

    Attributes:
        address: section and field.
        value: the figure's new value in the profile's unit, or what else the field takes (the
            catalogue state, the legs that hold a spring, a whole leverage table). A `Figure`
            takes the place of the old one with its spread and source, as where two were swapped.
        read: how the old value is read now, such as "read as in: 36.5"; kept in the note.
        typed: the text that the value is now read from, with its unit, such as "36.5 in".
    """

    address: Address
    value: object
    read: str = ""
    typed: str = ""


@dataclass(frozen=True)
class Finding:
    """One doubt: the figure's address, how much it weighs, what is odd and the likely mend.

    Text, mend and action carry their figures as tokens, see `quantities.fill`.

    Attributes:
        key: section, field and, of a table, row, joined by points.
        changes: the likely mend; empty where none is likely.
        action: what carrying it out is called, such as "Enter 927 mm"; empty with `changes`.
    """

    key: str
    severity: Severity
    text: str
    mend: str
    changes: tuple[Change, ...] = ()
    action: str = ""

    @property
    def figure(self) -> Address:
        """The figure that it is told at; of a table the field. "" where it is told of a section."""
        section, _, field = self.key.partition(".")
        return section, field.split(".")[0]


def mended(profile: MachineProfile, finding: Finding) -> MachineProfile:
    """The profile with the mend of `finding` carried out.

    A mended figure keeps spread, source and origin; its note says how it had been read.

    Raises:
        pydantic.ValidationError: the mended profile is not acceptable.
    """
    fields: dict[str, dict[str, object]] = {}
    for change in finding.changes:
        section, key = change.address
        present = getattr(getattr(profile, section), key)
        fields.setdefault(section, {})[key] = _put(present, change)
        if change.address == ("catalogue", "state"):
            # Whoever carries the mend out says in which state the sheet's figures were taken.
            fields[section]["state_known"] = True
    sections: dict[str, Any] = {
        section: getattr(profile, section).replace(**changes) for section, changes in fields.items()
    }
    return profile.replace(**sections)


def _put(present: object, change: Change) -> object:
    if isinstance(change.value, Figure):
        return _noted(change.value, change.read)
    if isinstance(present, Figure) and isinstance(change.value, int | float):
        return _noted(
            present.replace(value=float(change.value), typed=change.typed, rule=""), change.read
        )
    return change.value


def _noted(figure: Figure, read: str) -> Figure:
    return figure.replace(note="; ".join(each for each in (figure.note, read) if each))


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stops before cautions before notes, else in their order."""
    order = ("stop", "caution", "note")
    return tuple(sorted(findings, key=lambda finding: order.index(finding.severity)))


def shown(value: float, kind: Kind = Kind.LENGTH) -> str:
    """A figure in the words of a finding."""
    return figure_in_text(value, kind)
