"""Closed jobs worked through one by one, for the record of a shop.

Owns what one job adds to the record, and how the solver's own share of a part's size stands beside
what the tape showed. Refuses to look for jobs, and to change any figure of a plan.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fitplanner.documents.bench import When
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineKind
from fitplanner.planning.evaluate import evaluate
from fitplanner.planning.measured.account import Closed, DropProof
from fitplanner.planning.measured.proof import closed, proof
from fitplanner.planning.measured.shop import Learned, Record, learned, record
from fitplanner.planning.plan import Band, WayId
from fitplanner.planning.ways import WAYS
from fitplanner.quantities import Kind, figure_in_text


@dataclass(frozen=True)
class PastJob:
    """One closed job: the drop on its wheels, and the share of it by the solver alone.

    `physics` is what comes down on its wheels of the sizes on the parts, both at the seat: what
    geometry and springs leave of them, were every part exactly as planned.
    """

    title: str
    machine: str
    rider: str
    drop: DropProof
    closed: Closed
    physics: float


@dataclass(frozen=True)
class WayShare:
    """One way on one kind of machine: the solver's share beside `shown`, what the shop learned.

    `physics` is the mean of the jobs behind it, `shown` the same with the way's learned share: both
    are shares of the nominal amount, where `learned.share` is one of what physics predicts. `told`
    names each of them, so that nobody quotes by the wrong one.
    """

    learned: Learned
    physics: float
    shown: Band
    told: str

    @property
    def way(self) -> WayId:
        """The way."""
        return self.learned.way

    @property
    def kind(self) -> MachineKind:
        """The kind of machine."""
        return self.learned.kind


@dataclass(frozen=True)
class Past:
    """The record of a shop."""

    jobs: tuple[PastJob, ...]
    record: Record
    ways: tuple[WayShare, ...]


def counts(job: Job) -> bool:
    """Whether a job belongs to the record: far enough, and read after the work."""
    read = any(each.when is When.AFTER and not each.set_aside for each in job.readings)
    return job.closed and read


def past_job(job: Job) -> PastJob | None:
    """Work one job through; None where its proof is not complete.

    Raises:
        IncompleteError: the rider is not known well enough.
        UnsolvableError: no machine can be built from its figures.
    """
    plan = evaluate(job)
    proved = proof(job, plan)
    if not proved.complete or plan.delivered.nominal_mm <= 0.0:
        return None
    return PastJob(
        title=job.title,
        machine=job.machine.name,
        rider=job.rider.name,
        drop=proved.drop("on_wheels"),
        closed=closed(job, proved),
        physics=plan.delivered.on_wheels_mm.value / plan.delivered.nominal_mm,
    )


def past(jobs: Sequence[PastJob]) -> Past:
    """The record over jobs worked through."""
    rows = [each.closed for each in jobs]
    return Past(
        jobs=tuple(jobs),
        record=record(rows),
        ways=tuple(_share(each, jobs) for each in learned(rows)),
    )


def _of(row: Learned, jobs: Sequence[PastJob]) -> list[float]:
    """The solver's shares behind a row."""
    return [
        each.physics
        for each in jobs
        if each.closed.kind is row.kind
        and any(result.way is row.way for result in each.closed.ways)
    ]


def _share(row: Learned, jobs: Sequence[PastJob]) -> WayShare:
    alone = _of(row, jobs)
    physics = sum(alone) / len(alone)
    shown = Band(*(physics * end for end in (row.share.value, row.share.low, row.share.high)))
    return WayShare(row, physics, shown, _told(row, physics, shown))


def _told(row: Learned, physics: float, shown: Band) -> str:
    """What may be quoted by, first; then how it comes about."""
    share = row.share
    jobs = "1 job" if row.count == 1 else f"{row.count} jobs"
    return (
        f"{WAYS[row.way].label}: the seat comes down by {_percent(shown.value)} of the nominal "
        f"amount, on its wheels ({_percent(shown.low)} to {_percent(shown.high)}). "
        f"Physics predicts {_percent(physics)} of the nominal amount, and {_percent(share.value)} "
        f"of what physics predicts was delivered, from {jobs} on this kind of machine and "
        f"{row.all_count} in all."
    )


def _percent(value: float) -> str:
    return figure_in_text(value, Kind.PERCENT)
