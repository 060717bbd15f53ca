"""Owns whether the text that a figure is said to have been typed as still tells its value.

A file changed by hand, or by another program, may hold another value beside the old text; shown
together they would contradict each other. Refuses to mend the value: it is what counts.
"""

from fitplanner.documents.base import Figure, Section
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.tyres import tyre_size
from fitplanner.quantities import Kind, QuantityError, UnitSystem, parse_quantity

_CLOSE = 1e-4
"""Share of the value: what a text loses that was rounded when it was written."""


def reads_back(figure: Figure, kind: Kind) -> bool:
    """Whether `figure.typed`, with either decimal mark, gives the value; an empty text does."""
    if not figure.typed:
        return True
    slack = _CLOSE * max(abs(figure.value), 1e-3)
    return any(abs(read - figure.value) <= slack for read in _readings(figure.typed, kind))


def without_stale_text(profile: MachineProfile) -> MachineProfile:
    """The profile without texts that do not read back to their values; itself where all do."""
    changed: dict[str, Section] = {}
    for name in MachineProfile.model_fields:
        section = getattr(profile, name)
        if isinstance(section, Section):
            stale = {
                spec.key: figure.replace(typed="")
                for spec in section.specs()
                if isinstance(figure := getattr(section, spec.key), Figure)
                and not reads_back(figure, spec.kind)
            }
            if stale:
                changed[name] = section.replace(**stale)
    return profile.replace(**changed) if changed else profile


def _readings(text: str, kind: Kind) -> list[float]:
    found = []
    size = tyre_size(text) if kind is Kind.LENGTH else None
    if size is not None:
        found += [size.width_mm, size.radius_mm]
    for mark in (".", ","):
        try:
            found.append(parse_quantity(text, kind, UnitSystem.METRIC, decimal_mark=mark))
        except QuantityError:
            continue
    return found
