"""Owns the question what a profile is good for as it stands, on a thread of its own.

The picture is answered first, then the seat heights with their bands. Refuses to show anything.
"""

import logging
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import sqrt

import numpy as np
from PySide6.QtCore import QObject, Signal

from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.stages import Stage
from fitplanner.outline import Scene
from fitplanner.planning.plan import Band
from fitplanner.session.edits import with_machine
from fitplanner.ui.newest import Newest

LEADING = "rider_up"
"""The state whose band is taken apart."""

_LEAST_MM, _MOST = 0.5, 6

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Question:
    """A profile, and the job of whose rider the heights are; None for a common rider."""

    profile: MachineProfile
    job: Job | None = None


@dataclass(frozen=True)
class Group:
    """Figures of one section that a stage would still give; half the band that they alone make."""

    stage: Stage
    section: str
    half_mm: float
    figures: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Heights:
    """Seat heights by state, and what their bands come from; or why there are none."""

    bands: Mapping[str, Band] = field(default_factory=dict)
    groups: tuple[Group, ...] = ()
    problem: str = ""


@dataclass(frozen=True)
class Sketch:
    """Both views of a profile, or why there are none."""

    profile: MachineProfile
    side: Scene | None = None
    front: Scene | None = None
    problem: str = ""


class ProfileAsker(QObject):
    """Asks for picture and heights of one profile after the other; the newest counts."""

    sketched = Signal(object)
    """The `Sketch` of the profile asked for last."""
    answered = Signal(object)
    """The `Heights` of the profile asked for last."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pictures = Newest(sketch_of, "sketch", self)
        self._heights = Newest(heights_of, "heights", self)
        self._pictures.answered.connect(self._sketched)
        self._heights.answered.connect(self._answered)
        self._asked: Question | None = None

    @property
    def busy(self) -> bool:
        """Whether an answer is still to come."""
        return self._pictures.busy or self._heights.busy

    def ask(self, question: Question) -> None:
        """Ask; what was asked before is forgotten."""
        self._asked = question
        self._pictures.ask(question)
        self._heights.ask(question)

    def close(self) -> None:
        """End both threads; answers no longer come."""
        self._pictures.close()
        self._heights.close()

    def _sketched(self, question: Question, sketch: Sketch) -> None:
        if question is self._asked:
            self.sketched.emit(sketch)

    def _answered(self, question: Question, heights: Heights) -> None:
        if question is self._asked:
            self.answered.emit(heights)


def sketch_of(question: object) -> Sketch:
    """The picture; a fault of the program is written to the log and costs only the picture."""
    # Imported with the first question, so that the window does not wait for it.
    from fitplanner.planning.sketch import front_sketch, sketch

    assert isinstance(question, Question)
    profile = question.profile
    try:
        return Sketch(profile, sketch(profile), front_sketch(profile))
    except ValueError as error:
        return Sketch(profile, problem=str(error))
    except Exception:
        log.exception("the machine could not be drawn")
        return Sketch(profile)


def heights_of(question: object) -> Heights:
    """Seat heights and bands; whatever happens is an answer."""
    from fitplanner.planning.evaluate import IncompleteError, UnsolvableError

    assert isinstance(question, Question)
    try:
        # Among many machines like it some may not stand.
        with np.errstate(all="ignore"):
            return _heights(question)
    except IncompleteError:
        return heights_of(Question(question.profile))
    except (UnsolvableError, ValueError) as error:
        return Heights(problem=str(error))
    except Exception as error:
        log.exception("the seat heights could not be worked out")
        return Heights(problem=f"{type(error).__name__}: {error}")


def _heights(question: Question) -> Heights:
    from fitplanner.planning.profile_check import common_job
    from fitplanner.planning.unknown.groups import missing_groups
    from fitplanner.planning.unknown.heights import seat_heights

    profile, job = question.profile, question.job
    asked = common_job(profile) if job is None else with_machine(job, profile)
    bands = seat_heights(asked)
    half = 0.5 * (bands[LEADING].high - bands[LEADING].low)
    groups = [
        Group(stage.stage, section.section, half * sqrt(section.shares.rider_up), section.figures)
        for stage in missing_groups(asked).groups
        for section in stage.sections
    ]
    groups.sort(key=lambda each: -each.half_mm)
    return Heights(bands, tuple(each for each in groups if each.half_mm >= _LEAST_MM)[:_MOST])
