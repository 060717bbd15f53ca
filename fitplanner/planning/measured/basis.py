"""A job on its measured machine: what it was fitted from, and how to go back.

Owns the step onto the measured machine and the step back. Refuses to fit.
"""

from collections.abc import Sequence, Set

from fitplanner.documents.base import Figure, Section
from fitplanner.documents.bench import Reading, When
from fitplanner.documents.job import Fitted, Job
from fitplanner.documents.machine import MachineProfile

FITTED = "fitted to "
"""How the note of a fitted figure begins."""


def unfitted(job: Job) -> MachineProfile:
    """The machine of a job as it was before its readings were worked in.

    What was changed by hand since stays.
    """
    if job.fitted is None:
        return job.machine
    before, now = job.fitted.machine, job.machine
    sections: dict[str, Section] = {}
    for name in type(now).model_fields:
        part = getattr(now, name)
        if isinstance(part, Section):
            back = {
                key: getattr(getattr(before, name), key)
                for key, figure in part.__dict__.items()
                if isinstance(figure, Figure) and figure.note.startswith(FITTED)
            }
            sections[name] = part.replace(**back)
    return now.replace(**sections)


def back(job: Job) -> Job:
    """The job on its machine as it was before the readings were worked in."""
    return job.replace(machine=unfitted(job), fitted=None)


def on_measured(job: Job, profile: MachineProfile, wrong: Set[int]) -> Job:
    """The job on `profile`, fitted to its readings; those at the rows `wrong` are set aside."""
    readings = [
        each.replace(set_aside=True) if row in wrong else each
        for row, each in enumerate(job.readings)
    ]
    ground = unfitted(job)
    if profile == ground:
        return back(job).replace(readings=readings)
    fitted = Fitted(machine=ground, readings=_worked_in(readings))
    return job.replace(machine=profile, readings=readings, fitted=fitted)


def changed_since(job: Job) -> bool:
    """Whether a measured machine does not know the readings as they are now."""
    return job.fitted is not None and job.fitted.readings != _worked_in(job.readings)


def _worked_in(readings: Sequence[Reading]) -> list[Reading]:
    return [
        each.replace(typed="")
        for each in readings
        if each.when is When.BEFORE and not each.set_aside
    ]
