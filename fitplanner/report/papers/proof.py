"""The proof: predicted against delivered, to close the job.

Owns the paper and the least that it has to be told: rows of a figure with its predicted band and
what the tape showed. Refuses to compare: whoever makes the rows says whether a reading fits.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fitplanner.documents.job import Job
from fitplanner.planning.plan import Band
from fitplanner.quantities import Kind
from fitplanner.report.papers.paper import Block, Fact, Facts, Grid, Line, Paper, Ruled, Words
from fitplanner.report.papers.write import Writer, remark


@dataclass(frozen=True)
class Proven:
    """One figure: before the work, predicted after it with its 90 % band, and as measured.

    `fits` is None where nothing was measured.
    """

    label: str
    predicted: Band
    before: float | None = None
    delivered: float | None = None
    fits: bool | None = None
    kind: Kind = Kind.LENGTH
    decimals: int | None = None


_VERDICTS = {None: "Not measured", True: "As predicted", False: "Off: look into it"}


def proof_paper(job: Job, rows: Sequence[Proven], words: Sequence[str], write: Writer) -> Paper:
    """The paper; `words` are sentences with figure tokens that sum the rows up."""
    blocks: list[Block] = [Words(write.sentence(text), "strong") for text in words]
    blocks.append(
        Grid(
            ("Figure", "Before", "Predicted", "Band, 9 of 10", "Measured", "Difference", ""),
            tuple(_row(row, write) for row in rows),
            (False, True, True, True, True, True, False),
            (0.27, 0.11, 0.12, 0.17, 0.11, 0.11, 0.11),
        )
    )
    blocks += [Facts(lines=(Line("Measured by"), Line("On"))), Ruled("Notes", 5)]
    return Paper(
        name="Proof of the work",
        title=job.title,
        reference=job.reference,
        head=tuple(
            fact
            for fact in (Fact("Machine", job.machine.name), Fact("Rider", job.rider.name))
            if fact.value
        ),
        blocks=tuple(blocks),
        foot="Measured on the same marks before and after, with the same rider and fuel.",
        remark=remark(job.machine),
    )


def _row(row: Proven, write: Writer) -> tuple[str, ...]:
    def text(value: float | None, *, signed: bool = False) -> str:
        return "" if value is None else write.text(value, row.kind, row.decimals, signed=signed)

    off = None if row.delivered is None else row.delivered - row.predicted.value
    return (
        row.label,
        text(row.before),
        text(row.predicted.value),
        f"{text(row.predicted.low)} to {text(row.predicted.high)}",
        text(row.delivered),
        text(off, signed=True),
        _VERDICTS[row.fits],
    )
