"""Owns the changes of a job's readings, each one step of undo.

Refuses to judge a reading.
"""

from collections.abc import Sequence

from fitplanner.documents.bench import Reading, Stage
from fitplanner.session.edits import Edit
from fitplanner.ui.undo import History


def put_readings(history: History, readings: Sequence[Reading], words: str) -> None:
    """Make `readings` those of the job.

    Raises:
        DocumentError: the job does not take them; nothing changed.
    """
    history.end_step()
    history.edit(Edit(("readings",), list(readings)), words)
    history.end_step()


def put_stage(history: History, stage: Stage, words: str) -> None:
    """Let the job be at `stage`."""
    history.end_step()
    history.edit(Edit(("stage",), stage), words)
    history.end_step()
