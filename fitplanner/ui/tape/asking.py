"""Owns what the tape's page asks of the planning room, on a thread of its own.

Refuses to show anything.
"""

import logging
from collections.abc import Callable
from dataclasses import dataclass

from fitplanner.documents.bench import When
from fitplanner.documents.job import Job
from fitplanner.planning.measured.account import Fit, Proof
from fitplanner.planning.plan import Plan

log = logging.getLogger(__name__)

Fitter = Callable[[Job, Plan], Fit]
Prover = Callable[[Job, Plan], Proof]


@dataclass(frozen=True, eq=False)
class Question:
    """Of which job and plan, before or after the work."""

    job: Job
    plan: Plan
    when: When


@dataclass(frozen=True)
class Told:
    """The answer, or why there is none: the model refuses, or a fault of the program."""

    fit: Fit | None = None
    proof: Proof | None = None
    problem: str = ""
    fault: str = ""


def answer_to(question: object, fitter: Fitter | None = None, prover: Prover | None = None) -> Told:
    """Fit or prove; whatever happens is an answer."""
    assert isinstance(question, Question)
    # Imported with the first question, so that the window does not wait for it.
    from fitplanner.planning.evaluate import IncompleteError, UnsolvableError
    from fitplanner.planning.measured.fitting import fit
    from fitplanner.planning.measured.proof import proof

    try:
        if question.when is When.BEFORE:
            return Told(fit=(fitter or fit)(question.job, question.plan))
        proved = (prover or proof)(question.job, question.plan)
        return Told(fit=proved.fit, proof=proved)
    except IncompleteError as error:
        return Told(problem=", ".join(error.missing))
    except UnsolvableError as error:
        return Told(problem=str(error))
    except Exception as error:
        log.exception("the readings could not be worked out")
        return Told(fault=f"{type(error).__name__}: {error}")
