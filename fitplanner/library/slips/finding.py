"""A doubt about a profile's figure, and its likely mend as data.

Owns what a finding says and the one function that carries its mend out. Refuses to look for any.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

from fitplanner.documents.base import Figure, FigureSpec, Section, Source
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.entering import usual_spread
from fitplanner.quantities import Kind, figure_in_text

Severity = Literal["stop", "caution", "note"]
Address = tuple[str, str]
"""Section and field of a profile, such as ``("fork", "travel_mm")``."""

_SAME = 0.01
_LIKE_VALUE = 0.1
_SPECS: dict[Address, FigureSpec] = {
    (name, spec.key): spec
    for name, field in MachineProfile.model_fields.items()
    if isinstance(field.annotation, type) and issubclass(field.annotation, Section)
    for spec in field.annotation.specs()
}


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

    A mended figure keeps source and origin; its note says how it had been read. Its spread is
    kept, unless it had come from the value or was read in the wrong unit together with it.

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
            present.replace(
                value=float(change.value),
                spread=_spread(present, change),
                typed=change.typed,
                rule="",
            ),
            change.read,
        )
    return change.value


def _spread(present: Figure, change: Change) -> float:
    """The spread that goes with the new value."""
    value = float(change.value) if isinstance(change.value, int | float) else present.value
    spec = _SPECS.get(change.address)
    if spec is not None and present.source in (Source.MAKER, Source.MEASURED, Source.ESTIMATED):
        usual = usual_spread(change.address, spec, present.source, present.value)
        if abs(present.spread - usual) <= _SAME * usual:
            return usual_spread(change.address, spec, present.source, value)
    # One that is large beside its value was not read in that unit.
    if change.typed and present.spread <= _LIKE_VALUE * abs(present.value):
        return present.spread * abs(value / present.value)
    return present.spread


def _noted(figure: Figure, read: str) -> Figure:
    return figure.replace(note="; ".join(each for each in (figure.note, read) if each))


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stops before cautions before notes, else in their order."""
    order = ("stop", "caution", "note")
    return tuple(sorted(findings, key=lambda finding: order.index(finding.severity)))


def shown(value: float, kind: Kind = Kind.LENGTH) -> str:
    """A figure in the words of a finding."""
    return figure_in_text(value, kind)
