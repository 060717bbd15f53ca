"""Slips in a machine profile, each with its likely mend.

`lint` looks at the bare figures; `planning.profile_check` adds what the solved machine shows.
"""

from fitplanner.documents.machine import MachineProfile
from fitplanner.library.slips.diagnosis import Signs, diagnosed
from fitplanner.library.slips.finding import Finding, worst_first
from fitplanner.library.slips.notes import notes


def lint(profile: MachineProfile, further: Signs | None = None) -> tuple[Finding, ...]:
    """Everything odd about one profile, worst first; `further` signs count with the figures'."""
    found = diagnosed(profile, further)
    keys = {finding.key for finding in found}
    return worst_first((*found, *(note for note in notes(profile) if note.key not in keys)))
