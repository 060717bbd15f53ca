"""The proof: predicted against delivered, to close the job.

Owns the paper and the least that it has to be told. Refuses to compare: whoever makes the proof
says whether a reading fits.
"""

from collections.abc import Iterator, Sequence
from typing import Protocol

from fitplanner.documents.job import Job
from fitplanner.planning.plan import Band, Check, Severity
from fitplanner.quantities import Kind
from fitplanner.report.papers.paper import (
    Block,
    Fact,
    Facts,
    Grid,
    Heading,
    Line,
    Paper,
    Ruled,
    Words,
)
from fitplanner.report.papers.write import Writer, remark

_VERDICTS = {None: "Not measured", True: "As predicted", False: "Not as predicted: look into it"}
_NOTHING = "\N{EN DASH}"


class ReadingProved(Protocol):
    """A reading after the work; `predicted` is its 90 % band, None where nothing predicts it."""

    @property
    def name(self) -> str: ...
    @property
    def kind(self) -> Kind: ...
    @property
    def predicted(self) -> Band | None: ...
    @property
    def delivered(self) -> float: ...
    @property
    def inside(self) -> bool | None: ...
    @property
    def fits(self) -> bool: ...


class DropProved(Protocol):
    """The seat's drop in one state [mm]."""

    @property
    def label(self) -> str: ...
    @property
    def planned_mm(self) -> float: ...
    @property
    def predicted(self) -> Band: ...
    @property
    def delivered(self) -> Band: ...
    @property
    def inside(self) -> bool | None: ...
    @property
    def on_tape(self) -> bool: ...


class LeanProved(Protocol):
    """The lean on the side-stand [degrees]."""

    @property
    def before_deg(self) -> float: ...
    @property
    def after_deg(self) -> float | None: ...
    @property
    def restored(self) -> bool | None: ...
    @property
    def before_read(self) -> bool: ...
    @property
    def wanted(self) -> bool: ...


class Proved(Protocol):
    """The work against its plan; `tell`, `misfits` and `look_at` are sentences with tokens."""

    @property
    def readings(self) -> Sequence[ReadingProved]: ...
    @property
    def drops(self) -> Sequence[DropProved]: ...
    @property
    def lean(self) -> LeanProved: ...
    @property
    def checks(self) -> Sequence[Check]: ...
    @property
    def misfits(self) -> Sequence[str]: ...
    @property
    def look_at(self) -> str: ...
    @property
    def tell(self) -> Sequence[str]: ...
    @property
    def complete(self) -> bool: ...


def proof_paper(job: Job, proof: Proved, write: Writer, missing: Sequence[str] = ()) -> Paper:
    """The paper that closes a job; `missing` is what it still lacks."""
    head = (Fact("Machine", job.machine.name), Fact("Rider", job.rider.name))
    return Paper(
        name="Proof of the work",
        title=job.title,
        reference=job.reference,
        head=tuple(fact for fact in head if fact.value),
        blocks=tuple(_blocks(proof, write, missing)),
        foot="Measured on the same marks before and after, with the same rider and fuel.",
        remark=remark(job.machine),
    )


def missing(proof: Proved, done: int, count: int) -> tuple[str, ...]:
    """What a proof still lacks; `done` of `count` steps of the bench sheet are ticked."""
    lean, found = proof.lean, []
    if not proof.complete:
        found.append("the seat not read on its wheels before and after")
    if done < count:
        found.append(f"{done} of {count} steps ticked")
    if lean.after_deg is None and lean.wanted:
        found.append("lean on the side-stand not read, and the stand was to be changed")
    elif lean.restored is False:
        found.append("lean not restored")
    return tuple(found)


def against_prediction(inside: bool | None, *, fits: bool = True) -> str:
    """A reading after the work in words: against its prediction, and among the other readings."""
    if not fits:
        return "Does not fit the others"
    if inside is None:
        return "Nothing to compare"
    return "As predicted" if inside else "Not as predicted, fits the others"


def _blocks(proof: Proved, write: Writer, missing: Sequence[str]) -> Iterator[Block]:
    if missing:
        yield Words(f"Not complete yet: {'; '.join(missing)}.", "caution")
    yield from (Words(write.sentence(text), "strong") for text in proof.tell)
    if proof.drops:
        yield Heading("The seat is lower by")
        yield Grid(
            ("", "Planned", "Predicted, 9 of 10", "Delivered, 9 of 10", "By", ""),
            tuple(_drop(each, write) for each in proof.drops),
            (False, True, True, True, False, False),
            (0.13, 0.10, 0.17, 0.21, 0.14, 0.25),
        )
        if any(not each.on_tape and each.inside is not None for each in proof.drops):
            yield Words(
                "Worked out: nobody read the seat there; it follows from all readings together, "
                "with the band that a tape would show.",
                "quiet",
            )
    if proof.readings:
        yield Heading("Readings after the work")
        yield Grid(
            ("", "Predicted", "9 of 10", "Measured", "Difference", ""),
            tuple(_reading(each, write) for each in proof.readings),
            (False, True, True, True, True, False),
            (0.29, 0.10, 0.16, 0.10, 0.10, 0.25),
        )
    yield Heading("On its side-stand")
    yield Facts(_lean(proof.lean, write))
    looks = (*proof.misfits, proof.look_at) if proof.look_at else proof.misfits
    yield from (Words(write.sentence(text), "caution") for text in looks)
    failing = [
        each for each in proof.checks if not each.holds and each.severity is not Severity.NOTE
    ]
    if failing:
        yield Heading("As built, to look at")
        yield from (
            Words(f"{each.title}. {write.sentence(each.reason).rstrip('.')}.", "caution")
            for each in failing
        )
    yield Facts(lines=(Line("Measured by"), Line("On")))
    yield Ruled("Notes", 5)


def _drop(drop: DropProved, write: Writer) -> tuple[str, ...]:
    measured = drop.inside is not None
    return (
        drop.label,
        write.text(drop.planned_mm),
        _band(drop.predicted, Kind.LENGTH, write),
        _delivered(drop.delivered, write) if measured else _NOTHING,
        ("Tape" if drop.on_tape else "Worked out") if measured else "",
        _drop_verdict(drop),
    )


def _delivered(band: Band, write: Writer) -> str:
    return f"{write.text(band.value)} ({_band(band, Kind.LENGTH, write)})"


def _drop_verdict(drop: DropProved) -> str:
    """Both bands count: a drop beside what was predicted can agree, as far as the tape can tell."""
    beside = not drop.predicted.low <= drop.delivered.value <= drop.predicted.high
    if drop.inside and beside:
        return "Agrees, as far as the tape tells"
    return _VERDICTS[drop.inside]


def _reading(reading: ReadingProved, write: Writer) -> tuple[str, ...]:
    kind, band = reading.kind, reading.predicted
    name = reading.name
    measured = write.text(reading.delivered, kind)
    if band is None:
        return name, _NOTHING, _NOTHING, measured, "", "Nothing to compare"
    off = write.text(write.difference(band.value, reading.delivered, kind), kind, signed=True)
    verdict = against_prediction(reading.inside, fits=reading.fits)
    return name, write.text(band.value, kind), _band(band, kind, write), measured, off, verdict


def _band(band: Band, kind: Kind, write: Writer) -> str:
    return write.band(band.low, band.high, kind)


def _lean(lean: LeanProved, write: Writer) -> tuple[Fact, ...]:
    after = _NOTHING if lean.after_deg is None else write.text(lean.after_deg, Kind.ANGLE)
    words = {None: "not measured", True: "as before", False: "not as before"}[lean.restored]
    return (
        Fact(
            "Lean before",
            write.text(lean.before_deg, Kind.ANGLE)
            + ("" if lean.before_read else ", by the profile: not read"),
        ),
        Fact("Lean after", f"{after}, {words}"),
    )
